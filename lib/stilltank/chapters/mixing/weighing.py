"""Exercises on what to weigh: from a target to the mass of a salt."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    element_for_compound,
    fluid_ounces_for_ounces,
    hydrate_for_anhydrous,
    imperial_for_us_gallon,
    imperial_gallon_for_litre,
    nitrate_for_nitrogen,
    per_litre_for_total,
    percent_for_share,
    share_upside_down,
    sign_turned,
    tap_water_counted_twice,
    tap_water_forgotten,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.science.products import salt
from stilltank.units import Q

from ..draws import TUBS, quantities
from .shared import (
    CALCIUM_NITRATE,
    CHAPTER,
    EPSOM_SALT,
    LABEL_OF_CALCIUM_NITRATE,
    POTASSIUM_NITRATE,
    calcium_share,
    nitrogen_share,
)


def _salt_for_target(n: Numbers) -> dict[str, Any]:
    share = nitrogen_share(n)
    amount = (n.target * n.volume).to("mg")
    return {"share": share, "amount": amount, "answer": (amount / share).to("g")}


SALT_FOR_TARGET = Question(
    id="mixing-salt-for-target",
    chapter=CHAPTER,
    text="A recipe asks for {target} of nitrogen (N). Your tank holds {volume}. The label of your calcium nitrate "
    "says {share:4} N. How much of it do you weigh?",
    draws={"target": quantities((60, 80, 90, 110, 120, 140, 150), "mg/L"), "volume": TUBS},
    work=_salt_for_target,
    kind="mass",
    unit="g",
    between=(Q(5, "g"), Q(60, "g")),
    slips=(
        thousandfold(),
        tenfold(),
        percent_for_share(),
        element_for_compound(nitrogen_share),
        share_upside_down(nitrogen_share),
        nitrate_for_nitrogen(),
        us_gallon_for_litre("volume"),
        imperial_gallon_for_litre("volume"),
        per_litre_for_total("volume"),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: milligrams in each litre times litres gives milligrams. Turn them into grams.",
        "Direction: you need more salt than nitrogen.",
    ),
    steps=(
        ("amount wanted", "{target} times {volume} is {amount:4 mg}, or {amount:4 g}, of nitrogen."),
        ("part that is the element", "{share:4} of the salt is nitrogen."),
        ("mass of salt", "{amount:4 g} divided by {share:4} is {answer:4} of salt."),
    ),
    why="{share:4} of {answer} is {amount}, and that in {volume} is {target}.",
    sources=LABEL_OF_CALCIUM_NITRATE[:2],
)


def _magnesium(_: Numbers) -> Any:
    return salt(EPSOM_SALT).share("Mg")


def _ounces(n: Numbers) -> dict[str, Any]:
    share = _magnesium(n)
    amount = (n.target * n.volume).to("g")
    mass = (amount / share).to("g")
    return {
        "share": share,
        "litres": n.volume.to("L"),
        "amount": amount,
        "mass": mass,
        "ounce": Q(1, "oz").to("g"),
        "gallon": Q(1, "gallon").to("L"),
        "answer": mass.to("oz"),
    }


OUNCES = Question(
    id="mixing-ounces-for-gallons",
    chapter=CHAPTER,
    text="A grower fills a tank with {volume:US}. It shall hold {target} of magnesium (Mg). Epsom salt is {share:3} "
    "Mg. How many ounces of Epsom salt go in? One US gallon is {gallon:4}; one ounce of weight is {ounce:4}.",
    draws={
        "target": quantities((20, 24, 30, 36, 40, 48), "mg/L"),
        "volume": quantities((25, 40, 50, 80, 100), "gallon"),
    },
    work=_ounces,
    kind="mass",
    unit="oz",
    between=(Q(0.5, "oz"), Q(7, "oz")),
    gallon="US",
    tolerance=Q(1, "percent"),
    slips=(
        fluid_ounces_for_ounces(),
        imperial_for_us_gallon("volume"),
        us_gallon_for_litre("volume"),
        thousandfold(),
        tenfold(),
        element_for_compound(_magnesium),
        share_upside_down(_magnesium),
        hydrate_for_anhydrous("MgSO4.7H2O", "MgSO4"),
    ),
    check=(
        "Size: expect between {least:US} and {most:US} here.",
        "Unit: turn gallons into litres first, and grams into ounces last.",
        "Direction: you need more salt than magnesium.",
    ),
    steps=(
        ("amount wanted", "{volume:US} is {litres:4 L}. Times {target} that is {amount:4} of magnesium."),
        ("part that is the element", "{share:4} of the salt is magnesium."),
        ("mass of salt", "{amount:4} divided by {share:4} is {mass:4}, which is {answer:US 4}."),
    ),
    why="{answer:US} is {mass}, and {share} of that in {volume:US} is {target}.",
    sources=(f"salts/{EPSOM_SALT}/formula",),
)


def _tap_water(n: Numbers) -> dict[str, Any]:
    share = calcium_share(n)
    missing = n.target - n.water
    amount = (missing * n.volume).to("g")
    return {"share": share, "missing": missing, "amount": amount, "answer": (amount / share).to("g")}


TAP_WATER = Question(
    id="mixing-tap-water",
    chapter=CHAPTER,
    text="Your tank holds {volume}, and it shall hold {target} of calcium (Ca). The water report says that the tap "
    "water brings {water} of calcium. The label of your calcium nitrate says {share} Ca. How much of it do you weigh?",
    draws={
        "target": quantities((100, 120, 140, 160), "mg/L"),
        "water": quantities((24, 32, 48, 54, 64), "mg/L"),
        "volume": TUBS,
    },
    work=_tap_water,
    kind="mass",
    unit="g",
    between=(Q(5, "g"), Q(50, "g")),
    slips=(
        tap_water_forgotten("water"),
        tap_water_counted_twice("water"),
        sign_turned("water"),
        element_for_compound(calcium_share),
        share_upside_down(calcium_share),
        thousandfold(),
        tenfold(),
        us_gallon_for_litre("volume"),
        per_litre_for_total("volume"),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: milligrams in each litre times litres gives milligrams. Turn them into grams.",
        "Direction: what the water brings makes the mass smaller.",
    ),
    steps=(
        (
            "amount wanted",
            "{target} less {water} leaves {missing}. Times {volume} that is {amount:4} of calcium.",
        ),
        ("part that is the element", "{share} of the salt is calcium."),
        ("mass of salt", "{amount:4} divided by {share} is {answer:4} of salt."),
    ),
    why="The water brings {water}, so the salt needs to bring {missing}.",
    sources=LABEL_OF_CALCIUM_NITRATE[2:],
)


def _two_salts(n: Numbers) -> dict[str, Any]:
    first, second = salt(CALCIUM_NITRATE), salt(POTASSIUM_NITRATE)
    calcium = (n.calcium * n.volume).to("g")
    first_mass = (calcium / first.share("Ca")).to("g")
    wanted = (n.nitrogen * n.volume).to("g")
    brought = (first_mass * first.share("N")).to("g")
    return {
        "calcium_share": first.share("Ca"),
        "first_nitrogen": first.share("N"),
        "second_nitrogen": second.share("N"),
        "calcium_amount": calcium,
        "first_mass": first_mass,
        "wanted": wanted,
        "brought": brought,
        "missing": wanted - brought,
        "answer": ((wanted - brought) / second.share("N")).to("g"),
    }


def _second_nitrogen(_: Numbers) -> Any:
    return salt(POTASSIUM_NITRATE).share("N")


TWO_SALTS = Question(
    id="mixing-two-salts",
    chapter=CHAPTER,
    text="Your tank holds {volume} of pure water. It shall hold {calcium} of calcium (Ca) and {nitrogen} of nitrogen "
    "(N). Calcium nitrate ({calcium_share} Ca, {first_nitrogen:4} N) brings all the calcium. Potassium nitrate "
    "({second_nitrogen:4} N) brings the nitrogen that is still missing. How much potassium nitrate do you weigh?",
    draws={
        "calcium": quantities((80, 90, 100, 120), "mg/L"),
        "nitrogen": quantities((130, 150, 160, 180, 200), "mg/L"),
        "volume": TUBS,
    },
    work=_two_salts,
    kind="mass",
    unit="g",
    between=(Q(4, "g"), Q(60, "g")),
    slips=(
        Slip(
            "first salt's nitrogen forgotten",
            "the nitrogen of the calcium nitrate is left out",
            "One salt brings two nutrients. Take off what the first one brings.",
            lambda n, _: [(_two_salts(n)["wanted"] / _two_salts(n)["second_nitrogen"]).to("g")],
        ),
        Slip(
            "other salt",
            "the mass of calcium nitrate is given",
            "Read again which of the two salts is asked for.",
            lambda n, _: [_two_salts(n)["first_mass"]],
        ),
        Slip(
            "calcium taken off",
            "the calcium is taken off, and not the nitrogen that comes with it",
            "Find first how much calcium nitrate it is, and then the nitrogen in it.",
            lambda n, _: [
                ((_two_salts(n)["wanted"] - _two_salts(n)["calcium_amount"]) / _second_nitrogen(n)).to("g")
            ],
        ),
        element_for_compound(_second_nitrogen),
        share_upside_down(_second_nitrogen),
        thousandfold(),
        tenfold(),
        us_gallon_for_litre("volume"),
        per_litre_for_total("volume"),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: work in grams of nitrogen for the whole tank.",
        "Direction: the more calcium you want, the less potassium nitrate you need.",
    ),
    steps=(
        (
            "amount wanted",
            "Calcium: {calcium_amount:4}. Nitrogen: {wanted:4}.",
        ),
        (
            "part that is the element",
            "{calcium_amount:4} divided by {calcium_share} is {first_mass:4} of calcium nitrate. "
            "It brings {brought:4} of nitrogen, so {missing:4} is missing.",
        ),
        ("mass of salt", "{missing:4} divided by {second_nitrogen:4} is {answer:4} of potassium nitrate."),
    ),
    why="The calcium nitrate brings {brought} of the {wanted} of nitrogen; the rest is {missing}.",
    sources=(*LABEL_OF_CALCIUM_NITRATE, f"salts/{POTASSIUM_NITRATE}/formula"),
)
