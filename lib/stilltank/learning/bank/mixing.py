"""Chapter 1, mixing: exercises, openers, questions to vote on, and worked examples.

The shares of the salts come from data/salts.csv. The volumes, targets and waters of the draws are invented for
the exercises: sizes of tubs, steps of a school balance, and targets within those of data/recipes.csv.
"""

from functools import cache
from typing import Any

from ...science.composition import element_share, from_label
from ...science.mixing import mix, recipe_solution, salt, strength_of
from ...units import Q
from ..questions import ChoiceQuestion, Numbers, Option, Question
from ..slips import (
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
from ..worked import Step, WorkedExample

CALCIUM_NITRATE = "calcium nitrate fertiliser"
POTASSIUM_NITRATE = "potassium nitrate"
EPSOM_SALT = "magnesium sulfate heptahydrate"
CHAPTER = "01"
_LABEL_OF_CALCIUM_NITRATE = tuple(
    f"salts/{CALCIUM_NITRATE}/{prop}" for prop in ("NO3-N share", "NH4-N share", "Ca share")
)


def _all(values: tuple[float, ...], unit: str) -> tuple[Any, ...]:
    return tuple(Q(value, unit) for value in values)


TUBS = _all((18, 24, 30, 36, 45, 60), "L")


def _nitrogen(numbers: Numbers) -> Any:
    return salt(numbers.get("salt", CALCIUM_NITRATE)).share("N")


def _element_from_salt(n: Numbers) -> dict[str, Any]:
    share = _nitrogen(n)
    answer = mix({n.salt: n.mass}, n.volume).elements["N"]
    return {"share": share, "part": (n.mass * share).to("mg"), "answer": answer}


ELEMENT_FROM_SALT = Question(
    id="mixing-element-from-salt",
    chapter=CHAPTER,
    text="You weigh {mass} of {salt}. It holds {share:4} nitrogen (N). You dissolve it, and make it up to {volume}. "
    "How much nitrogen is in each litre?",
    draws={
        "salt": (POTASSIUM_NITRATE, "calcium nitrate tetrahydrate", "magnesium nitrate hexahydrate"),
        "mass": _all((6, 8, 9, 12, 15, 18, 20, 24), "g"),
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
        compound_for_element(_nitrogen),
        share_upside_down(_nitrogen, divided=False),
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
    share = _nitrogen(n)
    amount = (n.target * n.volume).to("mg")
    return {"share": share, "amount": amount, "answer": (amount / share).to("g")}


SALT_FOR_TARGET = Question(
    id="mixing-salt-for-target",
    chapter=CHAPTER,
    text="A recipe asks for {target} of nitrogen (N). Your tank holds {volume}. The label of your calcium nitrate "
    "says {share:4} N. How much of it do you weigh?",
    draws={"target": _all((60, 80, 90, 110, 120, 140, 150), "mg/L"), "volume": TUBS},
    work=_salt_for_target,
    kind="mass",
    unit="g",
    between=(Q(5, "g"), Q(60, "g")),
    slips=(
        thousandfold(),
        tenfold(),
        percent_for_share(),
        element_for_compound(_nitrogen),
        share_upside_down(_nitrogen),
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
    sources=_LABEL_OF_CALCIUM_NITRATE[:2],
)


def _label_phosphorus(n: Numbers) -> dict[str, Any]:
    return {"part": element_share("P2O5", "P"), "answer": from_label(p2o5=n.label)["P"]}


LABEL_PHOSPHORUS = Question(
    id="mixing-label-phosphorus",
    chapter=CHAPTER,
    text="A label says {label} P2O5. By mass, {part:4} of P2O5 is phosphorus (P). How much of the fertiliser is "
    "phosphorus? Give it in per cent.",
    draws={"label": _all((5, 8, 10, 15, 18, 20, 26, 30, 36, 52), "percent")},
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
    draws={"target": _all((20, 24, 30, 36, 40, 48), "mg/L"), "volume": _all((25, 40, 50, 80, 100), "gallon")},
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


def _calcium(_: Numbers) -> Any:
    return salt(CALCIUM_NITRATE).share("Ca")


def _tap_water(n: Numbers) -> dict[str, Any]:
    share = _calcium(n)
    missing = n.target - n.water
    amount = (missing * n.volume).to("g")
    return {"share": share, "missing": missing, "amount": amount, "answer": (amount / share).to("g")}


TAP_WATER = Question(
    id="mixing-tap-water",
    chapter=CHAPTER,
    text="Your tank holds {volume}, and it shall hold {target} of calcium (Ca). The water report says that the tap "
    "water brings {water} of calcium. The label of your calcium nitrate says {share} Ca. How much of it do you weigh?",
    draws={
        "target": _all((100, 120, 140, 160), "mg/L"),
        "water": _all((24, 32, 48, 54, 64), "mg/L"),
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
        element_for_compound(_calcium),
        share_upside_down(_calcium),
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
    sources=_LABEL_OF_CALCIUM_NITRATE[2:],
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
        "left": _all((12, 15, 18, 20, 24), "L"),
        "added": _all((5, 6, 8, 10), "L"),
        "old": _all((60, 70, 80, 90), "mg/L"),
        "new": _all((120, 140, 150, 180), "mg/L"),
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
        "calcium": _all((80, 90, 100, 120), "mg/L"),
        "nitrogen": _all((130, 150, 160, 180, 200), "mg/L"),
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
    sources=(*_LABEL_OF_CALCIUM_NITRATE, f"salts/{POTASSIUM_NITRATE}/formula"),
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


def _in_each_litre(n: Numbers) -> dict[str, Any]:
    return {"answer": (n.mass / n.volume).to("mg/L")}


IN_EACH_LITRE = Question(
    id="mixing-in-each-litre",
    chapter=CHAPTER,
    text="A tank of {volume} holds {mass} of potassium (K). How much potassium is in each litre?",
    draws={"mass": _all((2, 2.5, 3, 4, 5, 6, 8), "g"), "volume": TUBS},
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
    draws={"label": _all((5, 8, 15, 20, 26, 34, 46, 50), "percent")},
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
    text="Concentrates A and B are both {parts} times as strong as the tank solution. The tank shall hold {volume}. "
    "How much of A alone goes in?",
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
            "A and B together",
            "A and B are counted together",
            "Read again: is one bottle asked for, or both?",
            lambda n, solve: [2 * solve(n)],
        ),
        Slip(
            "shared between A and B",
            "one dose is shared between A and B",
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

OPENERS = (IN_EACH_LITRE, LABEL_POTASSIUM, DOSE)
"""Short questions for the start of later chapters."""


def _double_dose(n: Numbers) -> dict[str, Any]:
    return _doubled(n.share)


@cache
def _doubled(part: float) -> dict[str, Any]:
    full = recipe_solution("Hoagland 1", Q(1, "L"))
    room = Q(25, "degC")
    weak, strong = (
        mix({name: mass * share for name, mass in full.masses.items()}, Q(1, "L")).conductivity(room)
        for share in (part, 2 * part)
    )
    return {"weak": weak, "strong": strong, "twice": 2 * weak, "more": 2 * weak + (2 * weak - strong)}


DOUBLE_DOSE = ChoiceQuestion(
    id="mixing-double-dose",
    chapter=CHAPTER,
    text="A weak tank solution reads {weak} on the meter. You put in the same salts once more, so there is twice as "
    "much of each. What will the meter read?",
    options=(
        Option(
            "A bit less than twice as much: {strong}",
            "Ions hinder each other more when there are more of them. Some pair up and carry no current.",
        ),
        Option(
            "Twice as much: {twice}",
            "This is the number you get when EC is taken to grow in step with the dose. "
            "It is near, but ions hinder each other more in a strong solution.",
            "EC taken as proportional",
        ),
        Option(
            "More than twice as much: {more}",
            "This fits when ions are thought to help each other. They hinder each other, so each counts for less.",
            "ions thought to help each other",
        ),
        Option(
            "The same: {weak}",
            "This fits when EC is thought to tell the kind of salt. It tells how many ions there are.",
            "EC taken for the kind of salt",
        ),
    ),
    hint="Think of a crowd. Can each person walk as freely as on an empty street?",
    route="With twice the salt there are twice the ions. But each moves less freely, and some form pairs. "
    "So the meter reads {strong}, and not {twice}.",
    draws={"share": (0.25, 0.4, 0.5)},
    work=_double_dose,
    sources=("recipes/Hoagland 1/potassium nitrate",),
)


ONE_BOTTLE = ChoiceQuestion(
    id="mixing-one-bottle",
    chapter=CHAPTER,
    text="A full recipe stays clear in the tank. Someone puts all its salts, {times} times as strong, into one "
    "bottle of concentrate. What happens in the bottle?",
    options=(
        Option(
            "Gypsum falls out: calcium and sulfate turn solid",
            "In the bottle both are so strong that most of the sulfate falls out with calcium. "
            "That is why there are two bottles.",
        ),
        Option(
            "It stays clear, as it does in the tank",
            "This fits when strength is left out. In the tank the salts are thin, and there they stay dissolved.",
            "strength left out",
        ),
        Option(
            "It stays clear if it is stirred long enough",
            "This fits when dissolving is thought to be a matter of time. Stirring makes it faster, "
            "but does not let more stay dissolved.",
            "stirring for solubility",
        ),
        Option(
            "The nitrate falls out, for there is most of it",
            "This fits when the largest amount is thought to fall out first. Nitrates dissolve very well; "
            "it is the pair that counts.",
            "most of it falls out first",
        ),
    ),
    hint="Which two of the ions make a stone or plaster when they meet?",
    route="Calcium and sulfate make gypsum. In the tank none forms. In one bottle at {times} times the strength, "
    "roughly nine tenths of the sulfate falls out. Apart in A and B, they cannot meet undiluted.",
    draws={"times": (100.0,)},
    work=lambda n: {},
    sources=("recipes/Hoagland 1/magnesium sulfate heptahydrate",),
)

VOTES = (DOUBLE_DOSE, ONE_BOTTLE)
"""Questions with options, for a vote in class."""

QUESTIONS = (*EXERCISES, *OPENERS, *VOTES)


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
    draws={"target": _all((60, 75, 80, 90, 120, 140), "mg/L"), "volume": TUBS},
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
                element_for_compound(_nitrogen),
                share_upside_down(_nitrogen),
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
                compound_for_element(_calcium),
                share_upside_down(_calcium, divided=False),
                Slip(
                    "nitrogen for calcium",
                    "the nitrogen is given once more",
                    "The same salt holds calcium too. Take its share from the label.",
                    lambda n, _: [n.target],
                ),
            ),
        ),
    ),
    sources=_LABEL_OF_CALCIUM_NITRATE,
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
        "target": _all((20, 24, 30, 36, 48, 50), "mg/L"),
        "volume": TUBS,
        "share": _all((9.6, 9.8, 9.9), "percent"),
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

EXAMPLES = (CALCIUM_NITRATE_EXAMPLE, MAGNESIUM_EXAMPLE)
