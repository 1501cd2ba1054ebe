"""Exercises on the acid: how strong a bottle is, how to thin it, how much goes in, what it brings."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    density_upside_down,
    final_for_added_volume,
    molarity_for_normality,
    per_litre_for_total,
    percent_by_volume,
    percent_for_share,
    sign_turned,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.science.chemistry import element_share, molar_mass
from stilltank.science.ph import serial_dilution
from stilltank.science.products import acid
from stilltank.units import Q

from ..draws import TUBS, quantities
from .shared import (
    CHAPTER,
    FOR_CLASS,
    NITRIC,
    PHOSPHORIC,
    REPORTS,
    SULFURIC,
    TARGETS,
    all_taken,
    by_hand,
    plain_name,
    strength_multiplied,
    what_stays,
)

_BOTTLES = (
    NITRIC,
    "nitric acid 38 %",
    PHOSPHORIC,
    "phosphoric acid 85 %",
    "sulfuric acid 35 %",
    "sulfuric acid 93 %",
)


def _bottle(n: Numbers) -> dict[str, Any]:
    bottle = acid(n.bottle)
    litre = (bottle.density * Q(1, "L")).to("g")
    return {
        "name": plain_name(n.bottle),
        "formula": bottle.formula,
        "share": bottle.strength,
        "density": bottle.density,
        "molar": bottle.molar_mass,
        "litre": litre,
        "pure": (litre * bottle.strength).to("g"),
        "answer": bottle.concentration,
    }


def _density(n: Numbers) -> Any:
    return acid(n.bottle).density


BOTTLE = Question(
    id="ph-bottle",
    chapter=CHAPTER,
    text="A bottle of {name} stays locked in the teacher's store. Its label says {share} {formula} by mass, and "
    "{density:4 g/mL}. One mol of {formula} weighs {molar:4 g/mol}. How strong is it in mol/L?",
    draws={"bottle": _BOTTLES},
    work=_bottle,
    kind="concentration",
    unit="mol/L",
    between=(Q(4, "mol/L"), Q(20, "mol/L")),
    slips=(
        percent_by_volume(_density),
        density_upside_down(_density),
        percent_for_share(),
        tenfold(),
        molarity_for_normality(lambda n: acid(n.bottle).protons),
        Slip(
            "water counted too",
            "all of the liquid is counted as acid",
            "Only a part of the mass is acid. The label gives that part.",
            lambda n, solve: [solve(n) / acid(n.bottle).strength.m_as("dimensionless")],  # type: ignore[union-attr]
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: grams in a litre, divided by grams in a mol.",
        "Direction: a heavier liquid holds more acid in each litre.",
    ),
    steps=(
        ("mass of a litre", "At {density:4 g/mL}, one litre weighs {litre:4 g}."),
        ("acid in it", "{share} of that is {pure:4 g} of {formula}."),
        ("strength", "{pure:4 g} divided by {molar:4 g/mol} is {answer:4 mol/L}."),
    ),
    why="A litre weighs {litre:4 g}, and {share} of it is acid.",
    sources=tuple(f"acids/{name}/{prop}" for name in _BOTTLES for prop in ("strength", "density")),
)


def _dilution(n: Numbers) -> dict[str, Any]:
    (rung,) = serial_dilution(n.bottle, n.weak, n.volume).steps
    return {
        "name": plain_name(n.bottle),
        "strong": rung.before,
        "amount": (n.volume * n.weak).to("mmol"),
        "water": rung.water.to("mL"),
        "answer": rung.take,
    }


def _on_added_water(n: Numbers) -> Any:
    """The volume taken as that of the water: what would go into so much water."""
    strong = acid(n.bottle).concentration
    return (n.volume * n.weak / (strong - n.weak)).to("mL")


DILUTION = Question(
    id="ph-dilution",
    chapter=CHAPTER,
    text="A teacher thins {name} to {volume} of {weak:mol/L}. The bottle holds {strong:4 mol/L}. Water goes into the "
    "jug first, then the acid, then water up to the mark. How much acid does the teacher measure?",
    draws={
        "bottle": (NITRIC, "nitric acid 38 %", PHOSPHORIC, "phosphoric acid 85 %"),
        "weak": quantities((1.5, 2, 2.5), "mol/L"),
        "volume": quantities((0.25, 0.4, 0.5, 1), "L"),
    },
    work=_dilution,
    kind="volume",
    unit="mL",
    between=(Q(20, "mL"), Q(500, "mL")),
    slips=(
        final_for_added_volume(_on_added_water),
        Slip(
            "strengths changed over",
            "the two strengths are changed over",
            "Which liquid is the small volume: the strong one, or the thin one?",
            lambda n, _: [(n.volume * acid(n.bottle).concentration / n.weak).to("mL")],
        ),
        Slip(
            "water for acid",
            "the water is given, and not the acid",
            "Read again which of the two is asked for.",
            lambda n, _: [_dilution(n)["water"]],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: it is as many times less than {volume:mL} as the bottle is stronger.",
        "Unit: litres times mol/L gives mol. Turn them into mmol.",
        "Direction: a stronger bottle needs less.",
    ),
    steps=(
        ("amount wanted", "{volume} of {weak:mol/L} hold {amount:4 mmol}."),
        ("acid from the bottle", "{amount:4 mmol} divided by {strong:4 mol/L} is {answer:4 mL}."),
    ),
    why="{answer:4 mL} from the bottle hold {amount:4 mmol}, as much as {volume} of the thin acid.",
    sources=tuple(f"acids/{name}/strength" for name in (NITRIC, PHOSPHORIC)),
)


def _acid_for_tank(n: Numbers) -> dict[str, Any]:
    way = by_hand(n)
    protons = acid(SULFURIC).protons
    hydrogen = (way["per_litre"] * n.volume).to("mmol")
    return way | {
        "protons": float(protons),
        "hydrogen": hydrogen,
        "amount": hydrogen / protons,
        "answer": (hydrogen / protons / n.strength).to("mL"),
    }


ACID_FOR_TANK = Question(
    id="ph-acid-for-tank",
    chapter=CHAPTER,
    text="A report gives an alkalinity of {report:alkalinity}. Fresh at pH {target}, {share:3} of it stays as "
    "bicarbonate. The tank holds {volume}. The sulfuric acid has {strength:mol/L}, and each molecule gives {protons} "
    "H+. How much acid goes in? One meq/L counts as {each:4 alkalinity}.",
    draws={"report": REPORTS, "target": TARGETS, "volume": TUBS, "strength": FOR_CLASS},
    work=_acid_for_tank,
    kind="volume",
    unit="mL",
    between=(Q(20, "mL"), Q(1000, "mL")),
    tolerance=Q(3, "percent"),
    slips=(
        molarity_for_normality(lambda _: acid(SULFURIC).protons),
        all_taken(),
        what_stays(),
        per_litre_for_total("volume"),
        strength_multiplied(),
        thousandfold(),
        tenfold(),
        us_gallon_for_litre("volume"),
    ),
    check=(
        "Size: expect between {least:mL} and {most:mL} here.",
        "Unit: mg/L, then meq/L, then mmol for the whole tank, then mL.",
        "Direction: more alkalinity needs more acid; a stronger acid needs less of it.",
    ),
    steps=(
        ("alkalinity as charge", "{report} divided by {each:4} is {charge:4 charge}."),
        ("H+ for each litre", "{taken:4} of that goes: {per_litre:4 mmol/L} of H+."),
        ("H+ for the tank", "Times {volume} that is {hydrogen:4 mmol} of H+."),
        (
            "volume to measure",
            "{protons} H+ a molecule make it {amount:4 mmol} of acid. In {strength:mol/L} that is {answer:4 mL}.",
        ),
    ),
    why="The tank needs {hydrogen:4 mmol} of H+, and each molecule gives {protons}.",
    sources=(f"acids/{SULFURIC}/formula",),
)


def _brought(n: Numbers, what: str) -> Any:
    return (n.dose * molar_mass(what)).to("mg/L")


def _nitrogen_left(n: Numbers) -> dict[str, Any]:
    brought = _brought(n, acid(NITRIC).element)
    return {
        "each": (Q(1, "mmol") * molar_mass("N")).to("mg"),
        "brought": brought,
        "answer": n.target - brought,
    }


NITROGEN_LEFT = Question(
    id="ph-nitrogen-left",
    chapter=CHAPTER,
    text="For its pH a tank needs {dose:mmol/L} of nitric acid (HNO3). The recipe asks for {target} of nitrogen (N). "
    "How much nitrogen is left for the salts to bring to each litre? One mmol of N weighs {each:4 mg}.",
    draws={
        "dose": quantities((1.2, 1.5, 1.8, 2.2, 2.6, 3.2), "mmol/L"),
        "target": quantities((100, 120, 140, 150, 160), "mg/L"),
    },
    work=_nitrogen_left,
    kind="concentration",
    unit="mg/L",
    of="N",
    between=(Q(40, "mg/L"), Q(160, "mg/L")),
    slips=(
        Slip(
            "acid left out",
            "the nitrogen of the acid is left out",
            "Nitric acid is a nutrient too. Take off what it brings.",
            lambda n, _: [n.target],
        ),
        Slip(
            "compound for element",
            "all of the nitric acid is counted as nitrogen",
            f"Only {element_share('HNO3', 'N').m_as('percent'):.0f} % of HNO3 is nitrogen. The rest is mostly oxygen.",
            lambda n, _: [n.target - _brought(n, "HNO3")],
        ),
        sign_turned("dose"),
        Slip(
            "what the acid brings",
            "the nitrogen of the acid is given",
            "Read again: is it what the acid brings, or what is left for the salts?",
            lambda n, _: [_brought(n, "N")],
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: mmol in each litre times mg in a mmol gives mg/L.",
        "Direction: the more acid, the less is left for the salts.",
    ),
    steps=(
        ("what the acid brings", "{dose:mmol/L} times {each:4 mg} is {brought:4} of nitrogen."),
        ("what is left", "{target} less {brought:4} is {answer:4}."),
    ),
    why="The acid brings {brought} of the {target}.",
    sources=(f"acids/{NITRIC}/formula",),
)
