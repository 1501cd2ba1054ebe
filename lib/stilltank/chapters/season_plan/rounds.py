"""Exercises on several tanks: what is carried on a round, and what a drip must give."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    area_left_out,
    tenfold,
    us_gallon_for_litre,
)
from stilltank.science.roots import fill_level
from stilltank.science.tank import preset
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, TUB, one_tub_only, put_back, surface


def _litres_to_carry(n: Numbers) -> dict[str, Any]:
    each = put_back(n.level, n.rise)
    return {"area": surface(n.level, n.rise), "each": each, "answer": n.tubs * each}


def _to_the_first_mark(n: Numbers) -> Any:
    return n.tubs * put_back(n.level, fill_level(preset(TUB)) - n.level)


LITRES_TO_CARRY = Question(
    id="season-litres-to-carry",
    chapter=CHAPTER,
    text="{tubs} Quillgate tubs stand at a level of {level:cm}. Their pots hang clear, so each may rise by {rise:cm} "
    "and no more. There the water of a tub has a surface of {area:4}. How much water do you carry?",
    draws={
        "tubs": (3, 4, 5, 6),
        "level": quantities((10, 12, 13, 14, 15, 16), "cm"),
        "rise": quantities((1, 1.5, 2), "cm"),
    },
    work=_litres_to_carry,
    kind="volume",
    unit="L",
    between=(Q(4, "L"), Q(19, "L")),
    slips=(
        one_tub_only(),
        area_left_out("rise"),
        Slip(
            "filled to the first mark",
            "the tubs are filled to the fill line again",
            "How far may a level rise once roots live in moist air?",
            lambda n, _: [_to_the_first_mark(n)],
        ),
        Slip(
            "level for rise",
            "the level is used, and not the rise",
            "How much higher is the water afterwards?",
            lambda n, _: [n.tubs * surface(n.level, n.rise) * n.level],
        ),
        us_gallon_for_litre(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: 1 cm on 1 m² is 10 L.",
        "Direction: more tubs and a larger rise mean more to carry.",
    ),
    steps=(
        ("one tub", "{rise:cm} on {area:4} is {each:4 L}."),
        ("the round", "{tubs} times {each:4 L} is {answer:4 L}."),
    ),
    why="Each tub takes {each:3 L}. Carry it in cans, and never a tank.",
    sources=(f"tanks/{TUB}/top length", "roots/refill/rise"),
)


def _drip_a_day(n: Numbers) -> dict[str, Any]:
    used = (n.daily * n.days).to("L")
    dripped = used - n.spare
    return {"used": used, "dripped": dripped, "answer": (dripped / n.days).to("L/day")}


def _per_day(litres: Any) -> Any:
    """Litres given as litres a day."""
    return litres / Q(1, "day")


DRIP_A_DAY = Question(
    id="season-drip-a-day",
    chapter=CHAPTER,
    text="You are away for {days}. The plants of a tub use {daily:L/day}. Of its own, the tub may give {spare} in that "
    "time. A drip gives the rest. How much must it give each day?",
    draws={
        "days": quantities((7, 10, 12, 14, 16), "day"),
        "daily": quantities((1, 1.2, 1.4, 1.6, 1.8, 2), "L/day"),
        "spare": quantities((4, 5, 6, 8, 9), "L"),
    },
    work=_drip_a_day,
    kind="flow",
    unit="L/day",
    between=(Q(0.3, "L/day"), Q(1.7, "L/day")),
    slips=(
        Slip(
            "all days for one",
            "the water of the whole time is given for one day",
            "Share it out over the days.",
            lambda n, _: [_per_day(_drip_a_day(n)["dripped"])],
        ),
        Slip(
            "tub left out",
            "the water of the tub is not counted",
            "The tub gives a part of it. How much is that a day?",
            lambda n, _: [n.daily],
        ),
        Slip(
            "tub counted each day",
            "all the water of the tub is taken off on each day",
            "The tub has it once, for all the days.",
            lambda n, _: [abs(n.daily - _per_day(n.spare))],
        ),
        Slip(
            "tub added",
            "the water of the tub is added, and not taken off",
            "With water in the tub, must the drip give more, or less?",
            lambda n, solve: [2 * n.daily - solve(n)],
        ),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:L/day} and {most:L/day} here.",
        "Unit: litres divided by days are litres a day.",
        "Direction: more water in the tub leaves less for the drip.",
    ),
    steps=(
        ("used in the time", "{daily:L/day} for {days} is {used:4}."),
        ("left for the drip", "{used:4} less {spare} is {dripped:4}."),
        ("each day", "{dripped:4} shared out over {days} is {answer:4 L/day}."),
    ),
    why="The drip gives {dripped:3} in {days}. Let it run for two days before you go, and measure.",
)
