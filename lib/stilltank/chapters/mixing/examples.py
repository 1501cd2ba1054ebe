"""Worked examples of chapter 1."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Slip,
    compound_for_element,
    element_for_compound,
    hydrate_for_anhydrous,
    per_litre_for_total,
    share_upside_down,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.learning.worked import Step, WorkedExample
from stilltank.science.mixing import mix
from stilltank.science.products import salt
from stilltank.units import Q

from ..draws import TUBS, quantities
from .shared import (
    CALCIUM_NITRATE,
    CHAPTER,
    EPSOM_SALT,
    LABEL_OF_CALCIUM_NITRATE,
    calcium_share,
    nitrogen_share,
)


def _calcium_nitrate(n: Numbers) -> dict[str, Any]:
    bag = salt(CALCIUM_NITRATE)
    amount = (n.target * n.volume).to("g")
    mass = (amount / bag.share("N")).to("g")
    return {
        "nitrate_share": bag.share("NO3-N"),
        "ammonium_share": bag.share("NH4-N"),
        "share": bag.share("N"),
        "calcium_share": bag.share("Ca"),
        "amount": amount,
        "gram": Q(1, "g"),
        "part": (Q(1, "g") * bag.share("N")).to("mg"),
        "mass": mass,
        "calcium": mix({bag: mass}, n.volume).elements["Ca"],
    }


_AMOUNT_CHECK = (
    "Size: a tank of this kind holds some grams of a nutrient, or less than one.",
    "Unit: milligrams in each litre times litres gives milligrams.",
    "Direction: a larger tank holds more.",
)
_PART_CHECK = (
    "Size: it is a part of one gram, so it is less than 1000 mg.",
    "Unit: 1 g is 1000 mg.",
    "Direction: 1 % of a gram is 10 mg.",
)
_MASS_CHECK = (
    "Size: the salt weighs several times as much as the nutrient in it.",
    "Unit: grams divided by milligrams in a gram. Turn both into milligrams first.",
    "Direction: you need more salt than nutrient.",
)

CALCIUM_NITRATE_EXAMPLE = WorkedExample(
    id="mixing-worked-calcium-nitrate",
    chapter=CHAPTER,
    title="Calcium nitrate for nitrogen, and the calcium that comes with it",
    text="A tank of {volume} shall hold {target} of nitrogen (N). The label of the calcium nitrate says "
    "{nitrate_share} nitrate-N, {ammonium_share} ammonium-N and {calcium_share} calcium (Ca).",
    shown=Numbers(target=Q(100, "mg/L"), volume=Q(10, "L")),
    draws={"target": quantities((60, 75, 80, 90, 120, 140), "mg/L"), "volume": TUBS},
    work=_calcium_nitrate,
    steps=(
        Step(
            label="amount wanted",
            working="{target} times {volume} is {amount:4} of nitrogen.",
            prompt="How much nitrogen shall the whole tank hold?",
            result="amount",
            kind="mass",
            unit="g",
            check=_AMOUNT_CHECK,
            slips=(thousandfold(), tenfold(), us_gallon_for_litre("volume"), per_litre_for_total("volume")),
        ),
        Step(
            label="part that is the element",
            working="{nitrate_share} and {ammonium_share} make {share:4}. "
            "So 1 g of salt holds {part:4 mg} of nitrogen.",
            prompt="How much nitrogen is in 1 g of the salt?",
            result="part",
            kind="mass",
            unit="mg",
            check=_PART_CHECK,
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "one kind of nitrogen",
                    "only the nitrate-N or only the ammonium-N is counted",
                    "Both kinds are nitrogen. Add them up.",
                    lambda n, _: [
                        Q(1, "g") * salt(CALCIUM_NITRATE).share(kind) for kind in ("NO3-N", "NH4-N")
                    ],
                ),
                Slip(
                    "calcium for nitrogen",
                    "the calcium is read off the label, and not the nitrogen",
                    "Look for the letter N on the label.",
                    lambda n, _: [Q(1, "g") * salt(CALCIUM_NITRATE).share("Ca")],
                ),
            ),
            varies=False,
        ),
        Step(
            label="mass of salt",
            working="{amount:4} divided by {part:4 mg} in each gram is {mass:4} of salt.",
            prompt="How much salt do you weigh?",
            result="mass",
            kind="mass",
            unit="g",
            check=_MASS_CHECK,
            slips=(
                thousandfold(),
                tenfold(),
                element_for_compound(nitrogen_share),
                share_upside_down(nitrogen_share),
                per_litre_for_total("volume"),
            ),
        ),
        Step(
            label="what else it brings",
            working="{calcium_share} of {mass:4} in {volume} is {calcium:4} of calcium.",
            prompt="How much calcium does the salt bring to each litre?",
            result="calcium",
            kind="concentration",
            unit="mg/L",
            of="Ca",
            check=(
                "Size: it is of the size of the nitrogen, some tens to some hundreds of mg/L.",
                "Unit: grams in the tank become milligrams in each litre.",
                "Direction: more salt brings more calcium.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                compound_for_element(calcium_share),
                share_upside_down(calcium_share, divided=False),
                Slip(
                    "nitrogen for calcium",
                    "the nitrogen is given once more",
                    "The same salt holds calcium too. Take its share from the label.",
                    lambda n, _: [n.target],
                ),
            ),
        ),
    ),
    sources=LABEL_OF_CALCIUM_NITRATE,
)


def _magnesium_sulfate(n: Numbers) -> dict[str, Any]:
    amount = (n.target * n.volume).to("g")
    mass = (amount / n.share).to("g")
    pure = salt(EPSOM_SALT)
    return {
        "amount": amount,
        "part": (Q(1, "g") * n.share).to("mg"),
        "mass": mass,
        "pure_share": pure.share("Mg"),
        "sulfur_share": pure.share("S"),
        "sulfur": (mass * pure.share("S") / n.volume).to("mg/L"),
    }


MAGNESIUM_EXAMPLE = WorkedExample(
    id="mixing-worked-magnesium",
    chapter=CHAPTER,
    title="Epsom salt for magnesium, and the sulfur that comes with it",
    text="A tank of {volume} shall hold {target} of magnesium (Mg). The label of the Epsom salt says {share} Mg. "
    "Sulfur (S) makes up {sulfur_share} of it.",
    shown=Numbers(target=Q(40, "mg/L"), volume=Q(10, "L"), share=Q(9.7, "percent")),
    draws={
        "target": quantities((20, 24, 30, 36, 48, 50), "mg/L"),
        "volume": TUBS,
        "share": quantities((9.6, 9.8, 9.9), "percent"),
    },
    work=_magnesium_sulfate,
    steps=(
        Step(
            label="amount wanted",
            working="{target} times {volume} is {amount:4} of magnesium.",
            prompt="How much magnesium shall the whole tank hold?",
            result="amount",
            kind="mass",
            unit="g",
            check=_AMOUNT_CHECK,
            slips=(thousandfold(), tenfold(), us_gallon_for_litre("volume"), per_litre_for_total("volume")),
        ),
        Step(
            label="part that is the element",
            working="{share} of 1 g is {part:4 mg}, so 1 g of salt holds {part:4 mg} of magnesium.",
            prompt="How much magnesium is in 1 g of the salt?",
            result="part",
            kind="mass",
            unit="mg",
            check=_PART_CHECK,
            slips=(thousandfold(), tenfold(), hydrate_for_anhydrous("MgSO4.7H2O", "MgSO4")),
            varies=False,
        ),
        Step(
            label="mass of salt",
            working="{amount:4} divided by {part:4 mg} in each gram is {mass:4} of salt.",
            prompt="How much salt do you weigh?",
            result="mass",
            kind="mass",
            unit="g",
            check=_MASS_CHECK,
            slips=(
                thousandfold(),
                tenfold(),
                element_for_compound(lambda n: n.share),
                share_upside_down(lambda n: n.share),
                hydrate_for_anhydrous("MgSO4.7H2O", "MgSO4"),
                per_litre_for_total("volume"),
            ),
        ),
        Step(
            label="what else it brings",
            working="{sulfur_share} of {mass:4} in {volume} is {sulfur:4} of sulfur.",
            prompt="How much sulfur does the salt bring to each litre?",
            result="sulfur",
            kind="concentration",
            unit="mg/L",
            of="S",
            check=(
                "Size: there is a bit more sulfur than magnesium in the salt.",
                "Unit: grams in the tank become milligrams in each litre.",
                "Direction: more salt brings more sulfur.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                compound_for_element(lambda _: salt(EPSOM_SALT).share("S")),
                Slip(
                    "magnesium for sulfur",
                    "the magnesium is given once more",
                    "The same salt holds sulfur too. Take its share.",
                    lambda n, _: [n.target],
                ),
            ),
        ),
    ),
    sources=(f"salts/{EPSOM_SALT}/formula",),
)
