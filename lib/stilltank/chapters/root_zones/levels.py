"""Exercises on the level: how high to fill at planting, and how often to refill within the caution."""

from typing import Any

from stilltank.learning.questions import Numbers, Question, Slip, tenfold, thousandfold
from stilltank.science.roots import fill_level, refill_limit
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, CLEAR, WATERS, tub


def _fill_level(n: Numbers) -> dict[str, Any]:
    return {"bottom": n.height - n.pot, "answer": fill_level(tub(n), n.immersion)}


FILL_LEVEL = Question(
    id="roots-fill-level",
    chapter=CHAPTER,
    text="The rim of a tub is {height} above its floor, inside. The net pots hang in the lid and reach {pot} down from "
    "the rim. At planting they shall stand {immersion:cm} deep in the solution. How high above the floor do you fill?",
    draws={
        "height": quantities((26, 28, 30, 32), "cm"),
        "pot": quantities((5, 6, 7, 8), "cm"),
        "immersion": quantities((1.5, 2, 2.5, 3), "cm"),
    },
    work=_fill_level,
    kind="length",
    unit="cm",
    tolerance=Q(1, "percent"),
    between=(Q(18, "cm"), Q(30, "cm")),
    slips=(
        Slip(
            "filled to the pot",
            "the level ends at the bottom of the pots",
            "Then the pots only touch the solution. How deep shall they stand in it?",
            lambda n, _: [_fill_level(n)["bottom"]],
        ),
        Slip(
            "depth taken off",
            "the depth that the pots stand in is taken off, and not added",
            "Pots that stand in the solution need a level above their bottom.",
            lambda n, _: [_fill_level(n)["bottom"] - n.immersion],
        ),
        Slip(
            "pot left out",
            "the depth of the pots is left out",
            "The pots do not end at the rim. How far down do they reach?",
            lambda n, _: [n.height - n.immersion],
        ),
        Slip(
            "from the rim",
            "the height is counted from the rim down",
            "Which height is asked for: the one above the floor, or the one below the rim?",
            lambda n, _: [n.pot - n.immersion],
        ),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: all of it is in cm.",
        "Direction: pots that stand deeper need a higher level.",
    ),
    steps=(
        ("bottom of the pots", "{height} less {pot} is {bottom:4 cm}. There the pots end."),
        ("level", "{immersion:cm} more is {answer:4 cm}."),
    ),
    why="The pots end {bottom:cm} above the floor. Guides for lettuce differ: they say 1.3, 2 or 3 cm deep.",
    sources=("roots/pot/immersion",),
)


def _refill_days(n: Numbers) -> dict[str, Any]:
    limit = refill_limit(tub(n), CLEAR)
    return {"allowed": limit.rise, "litres": limit.volume, "answer": (limit.volume / n.use).to("day")}


REFILL_DAYS = Question(
    id="roots-refill-days",
    chapter=CHAPTER,
    text="The pots hang clear, and roots live in the air above the solution. One paper on lettuce warns: a rise of "
    "more than {allowed} may harm the plants. The water surface is {water}. The plants drink {use:L/day}. You bring "
    "back what they drank, all at once. How many days may pass between two refills?",
    draws={
        "water": WATERS,
        "use": quantities((0.6, 0.75, 0.9, 1.2, 1.6), "L/day"),
    },
    work=_refill_days,
    kind="time",
    unit="day",
    whole="down",
    between=(Q(1.5, "day"), Q(9, "day")),
    slips=(
        Slip(
            "area left out",
            "centimetres of level are taken for litres",
            "A centimetre on a wide tub is more water than on a narrow one. Look for the size of the water surface.",
            lambda n, _: [Q(_refill_days(n)["allowed"].m_as("cm"), "L") / n.use],
        ),
        Slip(
            "litres for days",
            "the litres that may come in are given as days",
            "So many litres may come in. How many days do the plants take to drink them?",
            lambda n, _: [Q(_refill_days(n)["litres"].m_as("L"), "day")],
        ),
        Slip(
            "use multiplied",
            "the litres are multiplied by what the plants drink in a day",
            "Thirsty plants need a refill sooner. So divide by what they drink.",
            lambda n, _: [Q(_refill_days(n)["litres"].m_as("L") * n.use.m_as("L/day"), "day")],
        ),
        Slip(
            "one centimetre",
            "a rise of one centimetre is counted",
            "How many centimetres may the level rise?",
            lambda n, solve: [solve(n) / _refill_days(n)["allowed"].m_as("cm")],
        ),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: litres divided by litres a day gives days.",
        "Direction: the more the plants drink, the sooner.",
    ),
    steps=(
        ("litres that may come in", "{allowed} is {allowed:mm}. On {water} that is {litres:4 L}."),
        ("days", "{litres:4 L} divided by {use:L/day} is {answer:4 day}s."),
    ),
    why="In that time they drink {litres:L}, the most that may come back at once. Less is safer.",
    sources=("roots/refill/rise",),
)
