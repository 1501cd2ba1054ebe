"""Exercises on how many plants the water carries, and on the last sowing that is worth it."""

from typing import Any

from stilltank.learning.questions import Numbers, Question, Slip, tenfold, us_gallon_for_litre, weeks_for_days
from stilltank.science.heat import days_to_flower
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, left_out


def _carried(n: Numbers) -> dict[str, Any]:
    used = n.count * n.each
    return {"used": used, "answer": used - n.gives}


CARRIED = Question(
    id="season-carried-in-all",
    chapter=CHAPTER,
    text="A tub can give {gives} from the fill line down. {count} plants stand in it, and each drinks {each} before "
    "the first frost. No rain gets in. How much water is topped up in all, until the frost?",
    draws={
        "gives": quantities((24, 26, 28, 30, 32), "L"),
        "count": (4, 5, 6, 8),
        "each": quantities((9, 11, 12, 14, 16, 18), "L"),
    },
    work=_carried,
    kind="volume",
    unit="L",
    between=(Q(10, "L"), Q(120, "L")),
    slips=(
        left_out(
            "filling left out",
            "the water that the tub can give is not counted",
            "The tub is full at first. Take off what it can give.",
            {"gives": Q(0, "L")},
        ),
        Slip(
            "filling counted for each plant",
            "the filling is taken off once for each plant",
            "There is one filling, and all plants share it.",
            lambda n, _: [n.count * abs(n.each - n.gives)],
        ),
        Slip(
            "filling added",
            "the filling is added, and not taken off",
            "Does a full tub mean more to carry, or less?",
            lambda n, solve: [solve(n) + 2 * n.gives],
        ),
        us_gallon_for_litre(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: litres less litres are litres.",
        "Direction: more plants need more, and a larger tub leaves less to carry.",
    ),
    steps=(
        ("what the plants drink", "{count} times {each} is {used:4}."),
        ("what is topped up", "{used:4} less {gives} is {answer:4}."),
    ),
    why="The plants drink {used:3}, and the tub gives {gives} of it.",
)


def _last_sowing(n: Numbers) -> dict[str, Any]:
    flower = days_to_flower("snapdragon", n.warmth).expected
    cutting = Q(7 * n.weeks, "day")
    return {"flower": flower, "cutting": cutting, "answer": n.seedling + flower + cutting}


LAST_SOWING = Question(
    id="season-last-sowing",
    chapter=CHAPTER,
    text="Seedlings of snapdragon stay {seedling} on the bench. In a tank at {warmth} the first flower opens "
    "{flower:3} later. You want to cut for {weeks} weeks before the cold ends it. How many days before that cold do "
    "you sow, at the latest? Give one decimal.",
    draws={
        "seedling": quantities((28, 30, 32, 35), "day"),
        "warmth": quantities((15, 16, 17, 18, 19, 20, 21), "degC"),
        "weeks": (3, 4, 5, 6),
    },
    work=_last_sowing,
    kind="time",
    unit="day",
    whole="up",
    tolerance=Q(0.5, "day"),
    between=(Q(85, "day"), Q(145, "day")),
    slips=(
        left_out(
            "cutting left out",
            "the weeks of cutting are left out",
            "On that day the first flower would open. How long do you want to cut?",
            {"weeks": 0},
        ),
        left_out(
            "bench left out",
            "the days on the bench are left out",
            "You sow before the bench, not after it.",
            {"seedling": Q(0, "day")},
        ),
        Slip(
            "weeks counted as days",
            "the weeks of cutting are added as if they were days",
            "Turn the weeks into days first.",
            lambda n, solve: [solve(n) - Q(6 * n.weeks, "day")],
        ),
        Slip(
            "cutting taken off",
            "the weeks of cutting are taken off, and not added",
            "To cut for longer, do you sow sooner or later?",
            lambda n, solve: [solve(n) - Q(14 * n.weeks, "day")],
        ),
        weeks_for_days(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: turn weeks into days, and add days to days.",
        "Direction: a cooler tank and more weeks of cutting mean an earlier sowing.",
    ),
    steps=(
        ("days until the flower", "{seedling} on the bench and {flower:4} in the tank."),
        ("days of cutting", "{weeks} weeks are {cutting}."),
        ("days before the cold", "All three make {answer:4}."),
    ),
    why="{seedling}, {flower:3} and {cutting}. A later sowing gives up weeks of cutting first.",
    sources=("crops/snapdragon/base temperature", "crops/snapdragon/thermal time"),
)
