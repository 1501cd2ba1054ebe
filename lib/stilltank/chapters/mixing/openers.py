"""Short questions on mixing that later chapters open with."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    imperial_gallon_for_litre,
    oxide_for_element,
    percent_for_share,
    share_upside_down,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.science.chemistry import element_share, from_label
from stilltank.science.mixing import strength_of
from stilltank.units import Q

from ..draws import TUBS, quantities
from .shared import CHAPTER


def _in_each_litre(n: Numbers) -> dict[str, Any]:
    return {"answer": (n.mass / n.volume).to("mg/L")}


IN_EACH_LITRE = Question(
    id="mixing-in-each-litre",
    chapter=CHAPTER,
    text="A tank of {volume} holds {mass} of potassium (K). How much potassium is in each litre?",
    draws={"mass": quantities((2, 2.5, 3, 4, 5, 6, 8), "g"), "volume": TUBS},
    work=_in_each_litre,
    kind="concentration",
    unit="mg/L",
    between=(Q(40, "mg/L"), Q(400, "mg/L")),
    of="K",
    slips=(
        thousandfold(),
        tenfold(),
        us_gallon_for_litre("volume"),
        Slip(
            "multiplied for shared out",
            "the mass is multiplied by the litres, and not shared out over them",
            "One litre holds less than the whole tank does.",
            lambda n, _: [Q(n.mass.m_as("mg") * n.volume.m_as("L"), "mg/L")],
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: grams in the tank become milligrams in each litre.",
        "Direction: more water makes the number smaller.",
    ),
    steps=(("amount", "{mass} is {mass:mg}."), ("in each litre", "{mass:mg} in {volume} is {answer:4}.")),
    why="{mass:mg} in {volume} is {answer}.",
)


def _label_potassium(n: Numbers) -> dict[str, Any]:
    return {"part": element_share("K2O", "K"), "answer": from_label(k2o=n.label)["K"]}


LABEL_POTASSIUM = Question(
    id="mixing-label-potassium",
    chapter=CHAPTER,
    text="A label says {label} K2O. By mass, {part:4} of K2O is potassium (K). How much of the fertiliser is "
    "potassium? Give it in per cent.",
    draws={"label": quantities((5, 8, 15, 20, 26, 34, 46, 50), "percent")},
    work=_label_potassium,
    kind="share",
    unit="percent",
    slips=(
        oxide_for_element("K2O", "K"),
        share_upside_down(lambda _: element_share("K2O", "K"), divided=False),
        percent_for_share(),
        tenfold(),
        Slip(
            "P2O5 factor for K2O",
            "the factor of P2O5 is used, and not that of K2O",
            "Look which oxide stands on the label. Each has a factor of its own.",
            lambda n, _: [from_label(p2o5=n.label)["P"]],
        ),
    ),
    check=(
        "Size: it must be a bit less than the number on the label.",
        "Unit: both numbers are per cent of the fertiliser.",
        "Direction: the oxygen counts in K2O but not in K.",
    ),
    steps=(
        ("what the label gives", "{label} K2O."),
        ("part that is the element", "{part:4} of K2O is K."),
        ("share of the element", "{part:4} of {label} is {answer:4}."),
    ),
    why="{part} of the {label} is potassium. The rest is oxygen.",
)


def _dose(n: Numbers) -> dict[str, Any]:
    return {"answer": (n.volume / strength_of(f"1 in {n.parts:g}")).to("mL")}


DOSE = Question(
    id="mixing-dose",
    chapter=CHAPTER,
    text="The calcium stock and the sulfate and phosphate stock are both {parts} times as strong as the tank solution. "
    "The tank holds {volume}. How much of the calcium stock alone goes in?",
    draws={"parts": (50.0, 80.0, 100.0, 150.0, 200.0), "volume": TUBS},
    work=_dose,
    kind="volume",
    unit="mL",
    between=(Q(80, "mL"), Q(1300, "mL")),
    slips=(
        thousandfold(),
        tenfold(),
        us_gallon_for_litre("volume"),
        imperial_gallon_for_litre("volume"),
        Slip(
            "both stocks together",
            "both bottles are counted together",
            "Read again: is one bottle asked for, or both?",
            lambda n, solve: [2 * solve(n)],
        ),
        Slip(
            "shared between both stocks",
            "one dose is shared between both bottles",
            "Each bottle holds other salts, so each goes in with its full dose.",
            lambda n, solve: [solve(n) / 2],
        ),
    ),
    check=(
        "Size: expect between {least:mL} and {most:mL} here.",
        "Unit: turn litres into millilitres.",
        "Direction: a stronger concentrate needs a smaller dose.",
    ),
    steps=(
        ("strength", "One part in {parts} parts of the tank is A."),
        ("dose", "{volume:mL} divided by {parts} is {answer:4 mL}."),
    ),
    why="{answer:mL} in {volume} is one part in {parts}.",
)
