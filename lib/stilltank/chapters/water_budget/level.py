"""Exercises on the level: what stands in a tub, what a drop of the level means, what the plants drank."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    area_left_out,
    sign_turned,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, LENGTHS, SURFACES, WIDTHS, box


def _litres_for_level(n: Numbers) -> dict[str, Any]:
    tub = box(n)
    return {"floor": tub.area(n.level), "answer": tub.volume(n.level)}


LITRES_FOR_LEVEL = Question(
    id="water-litres-for-level",
    chapter=CHAPTER,
    text="A tub has upright walls. Inside it is {length} long, {width} wide and {height} high. "
    "The solution stands {level} deep. How many litres are in it?",
    draws={
        "length": LENGTHS,
        "width": WIDTHS,
        "height": quantities((28, 30, 32), "cm"),
        "level": quantities((12, 14, 15, 18, 21, 24), "cm"),
    },
    work=_litres_for_level,
    kind="volume",
    unit="L",
    between=(Q(15, "L"), Q(60, "L")),
    slips=(
        Slip(
            "rim for level",
            "the tub is counted full to its rim",
            "Up to where does the solution stand? Above it there is air for the roots.",
            lambda n, solve: [solve(n.but(level=n.height))],
        ),
        area_left_out("level"),
        thousandfold(),
        tenfold(),
        us_gallon_for_litre(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: cm times cm times cm gives cm³. A litre is 1000 cm³.",
        "Direction: a deeper solution is more.",
    ),
    steps=(
        ("floor", "{length} times {width} is {floor:4 cm²}."),
        ("volume", "{floor:4 cm²} times {level} is {answer:5 cm³}. Divided by 1000 that is {answer:4 L}."),
    ),
    why="Each centimetre of level holds the same here, for the walls are upright.",
)


def _inch_of_level(n: Numbers) -> dict[str, Any]:
    surface = box(n.but(height=Q(16, "inch"))).area(n.drop)
    inch = (surface * Q(1, "inch")).to("gallon")
    return {
        "gallon": Q(1, "gallon").to("L"),
        "inches": float(Q(1, "gallon").m_as("inch^3")),
        "cubic": float((surface * n.drop).m_as("inch^3")),
        "inch": inch,
        "answer": (surface * n.drop).to("gallon"),
    }


INCH_OF_LEVEL = Question(
    id="water-inch-of-level",
    chapter=CHAPTER,
    text="A grower measures in inches. The water in a tub with upright walls is {length:US} by {width:US}. In a hot "
    "week the level falls by {drop:US}. How many US gallons did the plants drink? One US gallon is {inches} cubic "
    "inches, or {gallon:4}.",
    draws={
        "length": quantities((20, 22, 24, 28), "inch"),
        "width": quantities((12, 14, 16), "inch"),
        "drop": quantities((0.75, 1.25, 1.5, 1.75, 2, 2.5), "inch"),
    },
    work=_inch_of_level,
    kind="volume",
    unit="gallon",
    gallon="US",
    between=(Q(1, "gallon"), Q(5, "gallon")),
    slips=(
        Slip(
            "imperial for US gallon",
            "an imperial gallon is taken for a US gallon",
            "The text says which gallon is meant, and how many cubic inches it holds.",
            lambda n, solve: [Q(solve(n).m_as("imperial_gallon"), "gallon")],
        ),
        Slip(
            "one inch for the drop",
            "one inch of level is counted, and not all of the drop",
            "Find the gallons of one inch first. How many inches is the level down?",
            lambda n, _: [_inch_of_level(n)["inch"]],
        ),
        Slip(
            "area left out",
            "inches of level are taken for gallons",
            "An inch on a wide tub is more water than on a narrow one. Look for the size of the water.",
            lambda n, _: [Q(n.drop.m_as("inch"), "gallon")],
        ),
        Slip(
            "inches as centimetres",
            "the inches are counted as centimetres",
            f"One inch is {Q(1, 'inch').m_as('cm'):g} cm. Stay with inches, or turn all three.",
            lambda n, solve: [solve(n) / Q(1, "inch").m_as("cm") ** 3],
        ),
        us_gallon_for_litre(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:US} and {most:US} here.",
        "Unit: inches times inches times inches gives cubic inches.",
        "Direction: a larger drop is more water.",
    ),
    steps=(
        (
            "cubic inches",
            "{length:US} times {width:US} times {drop:US} is {cubic:4} cubic inches.",
        ),
        ("gallons", "{cubic:4} divided by {inches} is {answer:US 4}, which is {answer:4 L}."),
    ),
    why="Here an inch of level is {inch:US}, or {inch:L}.",
)


def _used_in_week(n: Numbers) -> dict[str, Any]:
    drop = n.before - n.after
    from_level = (drop * n.water).to("L")
    return {"drop": drop, "from_level": from_level, "answer": from_level + n.rain + n.added}


USED_IN_WEEK = Question(
    id="water-used-in-week",
    chapter=CHAPTER,
    text="On Monday the level stands at {before:cm}, and a week later at {after:cm}. The water surface is {water}. In "
    "that week {rain:L} of rain got in, and you added {added}. Nothing ran off. How much did the plants drink?",
    draws={
        "before": quantities((18.2, 19, 19.6), "cm"),
        "after": quantities((14.5, 15.2, 16.4), "cm"),
        "water": SURFACES,
        "rain": quantities((0.8, 1.2, 2), "L"),
        "added": quantities((1.5, 2, 2.5), "L"),
    },
    work=_used_in_week,
    kind="volume",
    unit="L",
    between=(Q(4, "L"), Q(18, "L")),
    slips=(
        Slip(
            "rain forgotten",
            "the rain that got in is left out",
            "Rain held the level up. What would the level be without it?",
            lambda n, solve: [solve(n.but(rain=0 * n.rain))],
        ),
        Slip(
            "top-up forgotten",
            "the water that was added is left out",
            "The jug held the level up too. What would the level be without it?",
            lambda n, solve: [solve(n.but(added=0 * n.added))],
        ),
        Slip(
            "drop alone",
            "the drop of the level alone is counted",
            "The plants drank what is missing, and also what came in on the way.",
            lambda n, _: [_used_in_week(n)["from_level"]],
        ),
        sign_turned("rain"),
        sign_turned("added"),
        Slip(
            "area left out",
            "centimetres of level are taken for litres",
            "A volume is a depth times an area. Look for the size of the water surface.",
            lambda n, _: [Q(_used_in_week(n)["drop"].m_as("cm"), "L") + n.rain + n.added],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: one millimetre of level on one square metre is one litre.",
        "Direction: what came in makes the drink larger than the drop shows.",
    ),
    steps=(
        (
            "drop of the level",
            "{before:cm} less {after:cm} is {drop:cm}. Times {water} that is {from_level:4 L}.",
        ),
        ("what came in", "{rain:L} of rain and {added} by hand came in, and they are gone as well."),
        ("what the plants drank", "{from_level:4 L} and {rain:L} and {added} make {answer:4 L}."),
    ),
    why="The level shows {from_level:3 L}. The rest came in and was drunk as well.",
)
