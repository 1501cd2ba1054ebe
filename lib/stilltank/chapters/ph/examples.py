"""Worked examples of chapter 2."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Slip,
    bicarbonate_for_calcium_carbonate,
    calcium_carbonate_for_charge,
    density_upside_down,
    molarity_for_normality,
    per_litre_for_total,
    percent_by_volume,
    percent_for_share,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.learning.worked import Step, WorkedExample
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
    TARGETS,
    all_taken,
    by_hand,
    plain_name,
    strength_multiplied,
    what_stays,
)


def _acid_from_report(n: Numbers) -> dict[str, Any]:
    way = by_hand(n)
    amount = (way["per_litre"] * n.volume).to("mmol")
    return way | {"amount": amount, "measured": (amount / n.strength).to("mL")}


ACID_FROM_REPORT = WorkedExample(
    id="ph-worked-acid-for-tank",
    chapter=CHAPTER,
    title="From the water report to millilitres of thinned acid",
    text="The report gives an alkalinity of {report:alkalinity}. One meq/L counts as {each:4 alkalinity}. The tank "
    "holds {volume} and shall get pH {target}. There {share:3} stays as bicarbonate. Your nitric "
    "acid has {strength:mol/L}.",
    shown=Numbers(report=Q(130, "mg/L"), target=5.8, volume=Q(36, "L"), strength=Q(0.1, "mol/L")),
    draws={"report": REPORTS, "target": TARGETS, "volume": TUBS, "strength": FOR_CLASS},
    work=_acid_from_report,
    steps=(
        Step(
            label="alkalinity as charge",
            working="{report} divided by {each:4} is {charge:4 charge}.",
            prompt="How much H+ can a litre take up, in meq/L?",
            result="charge",
            kind="charge",
            unit="mmol/L",
            check=(
                "Size: tap waters lie between less than one and some meq/L.",
                "Unit: one meq/L counts as {each:4 alkalinity}.",
                "Direction: the number in meq/L is much smaller.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                calcium_carbonate_for_charge(),
                bicarbonate_for_calcium_carbonate(),
            ),
        ),
        Step(
            label="acid for each litre",
            working="{share:3} stays, so {taken:3} goes: {per_litre:4 mmol/L} of acid. "
            "That holds as long as the gas is in the water.",
            prompt="How much acid does each litre need, in mmol/L?",
            result="per_litre",
            kind="concentration",
            unit="mmol/L",
            check=(
                "Size: a bit less than the alkalinity in meq/L.",
                "Unit: one meq of bicarbonate takes one mmol of nitric acid.",
                "Direction: a lower pH leaves less as bicarbonate, and needs more acid.",
            ),
            slips=(thousandfold(), tenfold(), all_taken(), what_stays()),
        ),
        Step(
            label="acid for the tank",
            working="{per_litre:4 mmol/L} times {volume} is {amount:4 mmol}.",
            prompt="How much acid does the tank need, in mmol?",
            result="amount",
            kind="amount",
            unit="mmol",
            check=(
                "Size: more than for one litre, by as many times as there are litres.",
                "Unit: mmol/L times litres gives mmol.",
                "Direction: a larger tank needs more.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                per_litre_for_total("volume"),
                us_gallon_for_litre("volume"),
            ),
        ),
        Step(
            label="volume to measure",
            working="{amount:4 mmol} divided by {strength:mol/L} is {measured:4 mL}. Goggles and gloves; add most of "
            "it, stir, measure, then the rest.",
            prompt="How many millilitres of the acid do you measure?",
            result="measured",
            kind="volume",
            unit="mL",
            check=(
                "Size: of some tens to some hundreds of mL.",
                "Unit: mol/L is the same as mmol in each mL.",
                "Direction: a stronger acid needs less volume.",
            ),
            slips=(thousandfold(), tenfold(), strength_multiplied(), per_litre_for_total("volume")),
        ),
    ),
    tolerance=Q(3, "percent"),
    sources=("acids/nitric acid 0.1 mol/L/concentration",),
)


def _ladder(n: Numbers) -> dict[str, Any]:
    bottle = acid(n.bottle)
    first, second = serial_dilution(bottle, n.weak, n.volume).steps
    litre = (bottle.density * Q(1, "L")).to("g")
    return {
        "name": plain_name(n.bottle),
        "formula": bottle.formula,
        "share": bottle.strength,
        "density": bottle.density,
        "molar": bottle.molar_mass,
        "caution": first.caution,
        "litre": litre,
        "pure": (litre * bottle.strength).to("g"),
        "strong": first.before,
        "amount": (n.volume * n.weak).to("mmol"),
        "take": first.take,
        "middle": first.strength,
        "jug": first.made.to("mL"),
        "first_water": first.water.to("mL"),
        "second_water": second.water.to("mL"),
    }


def _density(n: Numbers) -> Any:
    return acid(n.bottle).density


LADDER = WorkedExample(
    id="ph-worked-ladder",
    chapter=CHAPTER,
    title="Down the ladder: from the teacher's bottle to an acid for the class",
    text="This is work for the teacher. {caution} A bottle of {name} says {share} {formula} by mass and "
    "{density:4 g/mL}. One mol weighs {molar:4 g/mol}. The class needs {volume} of {weak:mol/L}. On the "
    "way all of it is made as {middle:mol/L}, so that no step is too large.",
    shown=Numbers(bottle=NITRIC, weak=Q(0.25, "mol/L"), volume=Q(2, "L")),
    draws={
        "bottle": (NITRIC, "nitric acid 38 %", PHOSPHORIC, "phosphoric acid 85 %"),
        "weak": quantities((0.2, 0.25, 0.5), "mol/L"),
        "volume": quantities((1, 1.5, 2.5, 3), "L"),
    },
    work=_ladder,
    steps=(
        Step(
            label="strength of the bottle",
            working="A litre weighs {litre:4 g}, and {share} of it is {pure:4 g}. Divided by {molar:4 g/mol} that is "
            "{strong:4 mol/L}.",
            prompt="How strong is the bottle, in mol/L?",
            result="strong",
            kind="concentration",
            unit="mol/L",
            check=(
                "Size: strong acids hold some mol to some tens of mol in a litre.",
                "Unit: grams in a litre, divided by grams in a mol.",
                "Direction: a heavier liquid holds more acid in each litre.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                percent_for_share(),
                percent_by_volume(_density),
                density_upside_down(_density),
                molarity_for_normality(lambda n: acid(n.bottle).protons),
            ),
        ),
        Step(
            label="amount wanted",
            working="{volume} of {weak:mol/L} hold {amount:4 mmol}. It is the same on every rung.",
            prompt="How much acid shall be in the class's {volume}, in mmol?",
            result="amount",
            kind="amount",
            unit="mmol",
            check=(
                "Size: some hundreds of mmol, or a bit more than a thousand.",
                "Unit: litres times mol/L gives mol. Turn them into mmol.",
                "Direction: more litres need more acid.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "divided for multiplied",
                    "the volume is divided by the strength, and not multiplied",
                    "Each litre holds so much. So two litres hold twice that.",
                    lambda n, _: [Q(n.volume.m_as("L") / n.weak.m_as("mol/L"), "mol")],
                ),
            ),
        ),
        Step(
            label="acid from the bottle",
            working="{amount:4 mmol} divided by {strong:4 mol/L} is {take:4 mL}. Goggles, gloves, apron.",
            prompt="How much of the bottle does the teacher measure?",
            result="take",
            kind="volume",
            unit="mL",
            check=(
                "Size: far less than what the class gets, for the bottle is many times as strong.",
                "Unit: mol/L is the same as mmol in each mL.",
                "Direction: a stronger bottle needs less.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "from the jug",
                    "the acid is taken from the first jug, and not from the bottle",
                    "The first jug is still empty. Which strength is poured from?",
                    lambda n, _: [_ladder(n)["jug"]],
                ),
            ),
        ),
        Step(
            label="first jug, then the second",
            working="{amount:4 mmol} divided by {middle:mol/L} is {jug:4 mL} in the first jug. Water first: "
            "{first_water:4 mL}. Then the acid, slowly; stir, let it cool, fill up. Second jug: {second_water:4 mL} of "
            "water, then all of the first.",
            prompt="How much does the first jug hold, when it is made up to {middle:mol/L}?",
            result="jug",
            kind="volume",
            unit="mL",
            check=(
                "Size: more than from the bottle, and less than what the class gets.",
                "Unit: mol/L is the same as mmol in each mL.",
                "Direction: the thinner the first jug, the more it holds.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "second jug",
                    "the volume of the second jug is given",
                    "Which strength is in the first jug?",
                    lambda n, _: [n.volume],
                ),
                Slip(
                    "water alone",
                    "the water in the jug is given, and not all that it holds",
                    "The acid is in the jug too.",
                    lambda n, _: [_ladder(n)["first_water"]],
                ),
            ),
        ),
    ),
    sources=tuple(
        f"acids/{name}/{prop}" for name in (NITRIC, PHOSPHORIC) for prop in ("strength", "density")
    ),
)
