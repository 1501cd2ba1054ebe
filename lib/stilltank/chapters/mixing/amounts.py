"""Exercises on what is in it: an element in a salt, a label, a concentrate, two solutions together."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    compound_for_element,
    final_for_added_volume,
    imperial_gallon_for_litre,
    nitrate_for_nitrogen,
    oxide_for_element,
    percent_for_share,
    share_upside_down,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.science.chemistry import element_share, from_label
from stilltank.science.mixing import mix, strength_of
from stilltank.units import Q

from ..draws import TUBS, quantities
from .shared import CHAPTER, POTASSIUM_NITRATE, nitrogen_share


def _element_from_salt(n: Numbers) -> dict[str, Any]:
    share = nitrogen_share(n)
    answer = mix({n.salt: n.mass}, n.volume).elements["N"]
    return {"share": share, "part": (n.mass * share).to("mg"), "answer": answer}


ELEMENT_FROM_SALT = Question(
    id="mixing-element-from-salt",
    chapter=CHAPTER,
    text="You weigh {mass} of {salt}. It holds {share:4} nitrogen (N). You dissolve it, and make it up to {volume}. "
    "How much nitrogen is in each litre?",
    draws={
        "salt": (POTASSIUM_NITRATE, "calcium nitrate tetrahydrate", "magnesium nitrate hexahydrate"),
        "mass": quantities((6, 8, 9, 12, 15, 18, 20, 24), "g"),
        "volume": TUBS,
    },
    work=_element_from_salt,
    kind="concentration",
    unit="mg/L",
    of="N",
    between=(Q(40, "mg/L"), Q(250, "mg/L")),
    slips=(
        thousandfold(),
        tenfold(),
        percent_for_share(),
        compound_for_element(nitrogen_share),
        share_upside_down(nitrogen_share, divided=False),
        nitrate_for_nitrogen(),
        us_gallon_for_litre("volume"),
        Slip(
            "volume left out",
            "all the nitrogen is put into one litre",
            "The nitrogen spreads through the whole tank. Share it out over all its litres.",
            lambda n, solve: [solve(n) * n.volume.m_as("L")],
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: grams in the bag become milligrams in each litre.",
        "Direction: more water makes the number smaller.",
    ),
    steps=(
        ("amount of salt", "{mass} is {mass:mg}."),
        ("part that is the element", "{share:4} of {mass:mg} is {part:4 mg} of nitrogen."),
        ("in each litre", "{part:4 mg} in {volume} is {answer:4}."),
    ),
    why="{part:4 mg} of nitrogen in {volume} is {answer}.",
    sources=(
        "salts/potassium nitrate/formula",
        "salts/calcium nitrate tetrahydrate/formula",
        "salts/magnesium nitrate hexahydrate/formula",
    ),
)


def _label_phosphorus(n: Numbers) -> dict[str, Any]:
    return {"part": element_share("P2O5", "P"), "answer": from_label(p2o5=n.label)["P"]}


LABEL_PHOSPHORUS = Question(
    id="mixing-label-phosphorus",
    chapter=CHAPTER,
    text="A label says {label} P2O5. By mass, {part:4} of P2O5 is phosphorus (P). How much of the fertiliser is "
    "phosphorus? Give it in per cent.",
    draws={"label": quantities((5, 8, 10, 15, 18, 20, 26, 30, 36, 52), "percent")},
    work=_label_phosphorus,
    kind="share",
    unit="percent",
    slips=(
        oxide_for_element("P2O5", "P"),
        share_upside_down(lambda _: element_share("P2O5", "P"), divided=False),
        percent_for_share(),
        tenfold(),
        Slip(
            "K2O factor for P2O5",
            "the factor of K2O is used, and not that of P2O5",
            "Look which oxide stands on the label. Each has a factor of its own.",
            lambda n, _: [from_label(k2o=n.label)["K"]],
        ),
    ),
    check=(
        "Size: it must be less than half of the number on the label.",
        "Unit: both numbers are per cent of the fertiliser.",
        "Direction: the oxygen counts in P2O5 but not in P.",
    ),
    steps=(
        ("what the label gives", "{label} P2O5."),
        ("part that is the element", "{part:4} of P2O5 is P."),
        ("share of the element", "{part:4} of {label} is {answer:4}."),
    ),
    why="{part} of the {label} is phosphorus. The rest is oxygen.",
)


def _one_plus(n: Numbers) -> dict[str, Any]:
    times = strength_of(f"1 + {n.parts:g}")
    return {"times": times, "answer": (n.volume / times).to("mL")}


ONE_PLUS = Question(
    id="mixing-one-plus-many",
    chapter=CHAPTER,
    text="A concentrate says 1 + {parts}: one part of it, and {parts} parts of water. The tank shall hold {volume} "
    "when all is in. How much concentrate do you measure? Give it to the millilitre.",
    draws={"parts": (40.0, 50.0, 60.0, 80.0, 100.0), "volume": TUBS},
    work=_one_plus,
    kind="volume",
    unit="mL",
    tolerance=Q(0.3, "percent"),
    slips=(
        final_for_added_volume(lambda n: (n.volume / strength_of(f"1 in {n.parts:g}")).to("mL")),
        thousandfold(),
        tenfold(),
        us_gallon_for_litre("volume"),
        imperial_gallon_for_litre("volume"),
    ),
    check=(
        "Size: it is a bit less than the tank divided by the parts of water.",
        "Unit: turn litres into millilitres.",
        "Direction: more parts of water mean less concentrate.",
    ),
    steps=(
        ("parts in all", "1 and {parts} are {times} parts."),
        ("one part", "{volume:mL} divided by {times} is {answer:4 mL}."),
        ("concentrate", "One part is concentrate: {answer:4 mL}."),
    ),
    why="The concentrate is one part in {times}, for it is in the tank too.",
)


def _two_solutions(n: Numbers) -> dict[str, Any]:
    held, brought = (n.old * n.left).to("mg"), (n.new * n.added).to("mg")
    whole = n.left + n.added
    return {
        "held": held,
        "brought": brought,
        "all": held + brought,
        "whole": whole,
        "answer": ((held + brought) / whole).to("mg/L"),
    }


TWO_SOLUTIONS = Question(
    id="mixing-two-solutions",
    chapter=CHAPTER,
    text="After some weeks {left} are left in the tank, with {old} of nitrogen (N). You top up with {added} of a mix "
    "that holds {new} of nitrogen. How much nitrogen is then in each litre?",
    draws={
        "left": quantities((12, 15, 18, 20, 24), "L"),
        "added": quantities((5, 6, 8, 10), "L"),
        "old": quantities((60, 70, 80, 90), "mg/L"),
        "new": quantities((120, 140, 150, 180), "mg/L"),
    },
    work=_two_solutions,
    kind="concentration",
    unit="mg/L",
    of="N",
    slips=(
        Slip(
            "averaged without volumes",
            "the two numbers are averaged as if the volumes were equal",
            "The larger volume counts for more. Find the milligrams in each first.",
            lambda n, _: [(n.old + n.new) / 2],
        ),
        Slip(
            "added up",
            "the two numbers are added up",
            "Milligrams can be added up; milligrams in each litre cannot.",
            lambda n, _: [n.old + n.new],
        ),
        final_for_added_volume(lambda n: _two_solutions(n)["all"] / n.left),
        Slip(
            "top-up taken as plain water",
            "the top-up is taken as plain water",
            "Look at what the mix brings, and add its milligrams too.",
            lambda n, _: [_two_solutions(n)["held"] / _two_solutions(n)["whole"]],
        ),
        Slip(
            "volumes changed over",
            "the two volumes are changed over",
            "Write each volume beside its own number.",
            lambda n, solve: [solve(n.but(left=n.added, added=n.left))],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: the answer lies between the two numbers you started from.",
        "Unit: litres times milligrams in each litre gives milligrams.",
        "Direction: it lies nearer to the number of the larger volume.",
    ),
    steps=(
        ("what is there", "{left} at {old} hold {held:mg}."),
        ("what comes in", "{added} at {new} bring {brought:mg}."),
        ("in each litre", "Together {all:mg} in {whole} is {answer:4}."),
    ),
    why="{all:mg} of nitrogen in {whole} is {answer}.",
)
