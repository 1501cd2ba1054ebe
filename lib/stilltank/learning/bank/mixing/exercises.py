"""Eight exercises on mixing, from easy to hard."""

from typing import Any

from ....science.composition import element_share, from_label
from ....science.mixing import mix, salt, strength_of
from ....units import Q
from ...questions import Numbers, Question
from ...slips import (
    Slip,
    compound_for_element,
    element_for_compound,
    final_for_added_volume,
    fluid_ounces_for_ounces,
    hydrate_for_anhydrous,
    imperial_for_us_gallon,
    imperial_gallon_for_litre,
    nitrate_for_nitrogen,
    oxide_for_element,
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
from .shared import (
    CALCIUM_NITRATE,
    CHAPTER,
    EPSOM_SALT,
    LABEL_OF_CALCIUM_NITRATE,
    POTASSIUM_NITRATE,
    TUBS,
    calcium_share,
    nitrogen_share,
    quantities,
)


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

EXERCISES = (
    ELEMENT_FROM_SALT,
    SALT_FOR_TARGET,
    LABEL_PHOSPHORUS,
    OUNCES,
    TAP_WATER,
    ONE_PLUS,
    TWO_SOLUTIONS,
    TWO_SALTS,
)
"""The eight exercises of the chapter, easiest first."""
