"""Chapter 0, start here: short questions that later chapters open with.

The sizes in the draws are invented for the exercises: tubs, lids and storms of the usual size.
"""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    imperial_for_us_gallon,
    tenfold,
    thousandfold,
)
from stilltank.science.hydraulics import rain_catch
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities

CHAPTER = "00"


def _gallons(n: Numbers) -> dict[str, Any]:
    return {"one": Q(1, "gallon").to("L"), "answer": n.volume.to("L")}


GALLONS = Question(
    id="start-gallons",
    chapter=CHAPTER,
    text="A tub is sold as {volume:US}. How many litres does it hold?",
    draws={"volume": quantities((5, 8, 10, 12, 14, 18, 20), "gallon")},
    work=_gallons,
    kind="volume",
    unit="L",
    between=(Q(15, "L"), Q(90, "L")),
    slips=(
        imperial_for_us_gallon("volume"),
        tenfold(),
        Slip(
            "divided for multiplied",
            "the gallons are divided by the litres in one gallon, and not multiplied",
            "One gallon is several litres. So there are more litres than gallons.",
            lambda n, _: [Q(n.volume.m_as("gallon") / Q(1, "gallon").m_as("L"), "L")],
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: one US gallon is {one:4}.",
        "Direction: there are more litres than gallons.",
    ),
    steps=(("one gallon", "One US gallon is {one:4}."), ("all of them", "{volume:US} are {answer:4}.")),
    why="One US gallon is {one:4}.",
)


def _refill(n: Numbers) -> dict[str, Any]:
    rise = load("roots")["refill", "rise"].quantity
    return {"rise": rise, "answer": (n.area * rise).to("L")}


REFILL = Question(
    id="start-refill",
    chapter=CHAPTER,
    text="The pots hang clear. The water surface of the tank is {area}. The level may rise by {rise} at most. "
    "How many litres may you add?",
    draws={"area": quantities((0.12, 0.15, 0.18, 0.2, 0.24, 0.3, 0.36), "m^2")},
    work=_refill,
    kind="volume",
    unit="L",
    between=(Q(1, "L"), Q(10, "L")),
    slips=(
        tenfold(),
        thousandfold(),
        Slip(
            "area left out",
            "centimetres of level are taken for litres",
            "A centimetre on a wide tank is more water than on a narrow one. Where does the area come in?",
            lambda n, _: [Q(load("roots")["refill", "rise"].quantity.m_as("cm"), "L")],
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: a square metre covered one millimetre deep holds one litre.",
        "Direction: a wider tank may take more.",
    ),
    steps=(
        ("rise in millimetres", "{rise} is {rise:mm}."),
        ("litres", "{area} times {rise:mm} is {answer:4}."),
    ),
    why="{area} covered {rise:mm} deep hold {answer}.",
    sources=("roots/refill/rise",),
)


def _rain(n: Numbers) -> dict[str, Any]:
    return {"answer": rain_catch(n.lid, n.rain)}


RAIN = Question(
    id="start-rain",
    chapter=CHAPTER,
    text="A storm brings {rain:mm} of rain. The lid of the tank measures {lid}, and all the rain on it runs in. "
    "How many litres come in?",
    draws={
        "lid": quantities((0.15, 0.2, 0.25, 0.3, 0.4), "m^2"),
        "rain": quantities((8, 12, 15, 18, 24, 30), "mm"),
    },
    work=_rain,
    kind="volume",
    unit="L",
    between=(Q(1, "L"), Q(15, "L")),
    slips=(
        tenfold(),
        thousandfold(),
        Slip(
            "area left out",
            "millimetres of rain are taken for litres",
            "That is right for a lid of one square metre. How large is this one?",
            lambda n, _: [Q(n.rain.m_as("mm"), "L")],
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: one millimetre of rain on one square metre is one litre.",
        "Direction: a smaller lid catches less.",
    ),
    steps=(("litres", "{lid} times {rain:mm} is {answer:4}."),),
    why="One millimetre on one square metre is one litre.",
)
