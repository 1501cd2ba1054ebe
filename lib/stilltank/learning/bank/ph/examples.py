"""Worked examples of chapter 2."""

from typing import Any

from ....science.ph import acid
from ....units import Q
from ...questions import Numbers
from ...slips import (
    Slip,
    bicarbonate_for_calcium_carbonate,
    calcium_carbonate_for_charge,
    density_upside_down,
    final_for_added_volume,
    molarity_for_normality,
    per_litre_for_total,
    percent_by_volume,
    percent_for_share,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from ...worked import Step, WorkedExample
from ..drawn import TUBS, quantities
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
    "holds {volume} and shall get pH {target}. There {share:3} stays as bicarbonate, as long as the gas is in "
    "the water. Your nitric acid has {strength:mol/L}.",
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
            working="{share:3} stays, so {taken:3} goes: {per_litre:4 mmol/L} of acid.",
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

_MIDDLE = Q(1, "mol/L")


def _ladder(n: Numbers) -> dict[str, Any]:
    bottle = acid(n.bottle)
    litre = (bottle.density * Q(1, "L")).to("g")
    first_amount = (n.jug * _MIDDLE).to("mmol")
    second_amount = (n.volume * n.weak).to("mmol")
    second = (second_amount / _MIDDLE).to("mL")
    return {
        "name": plain_name(n.bottle),
        "formula": bottle.formula,
        "share": bottle.strength,
        "density": bottle.density,
        "molar": bottle.molar_mass,
        "caution": bottle.caution,
        "middle": _MIDDLE,
        "litre": litre,
        "pure": (litre * bottle.strength).to("g"),
        "strong": bottle.concentration,
        "first_amount": first_amount,
        "first": bottle.volume(first_amount),
        "second_amount": second_amount,
        "second": second,
        "water": (n.volume - second).to("mL"),
    }


def _of_bottle(n: Numbers) -> Any:
    return acid(n.bottle).density


LADDER = WorkedExample(
    id="ph-worked-ladder",
    chapter=CHAPTER,
    title="Down the ladder: from the teacher's bottle to an acid for the class",
    text="This is the teacher's work. {caution} A bottle of {name} says {share} {formula} by mass and {density:4 g/mL}. "
    "One mol weighs {molar:4 g/mol}. First {jug:mL} of {middle:mol/L} are made, and from that {volume} of "
    "{weak:mol/L} for the class.",
    shown=Numbers(bottle=NITRIC, jug=Q(0.5, "L"), weak=Q(0.1, "mol/L"), volume=Q(2, "L")),
    draws={
        "bottle": (NITRIC, "nitric acid 38 %", PHOSPHORIC, "phosphoric acid 85 %"),
        "jug": quantities((0.5, 1), "L"),
        "weak": quantities((0.1, 0.2, 0.25), "mol/L"),
        "volume": quantities((1, 1.5, 2), "L"),
    },
    work=_ladder,
    steps=(
        Step(
            label="strength of the bottle",
            working="A litre weighs {litre:4 g}, and {share} of it is {pure:4 g}. Over {molar:4 g/mol} that is "
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
                percent_by_volume(_of_bottle),
                density_upside_down(_of_bottle),
                molarity_for_normality(lambda n: acid(n.bottle).protons),
            ),
        ),
        Step(
            label="first rung",
            working="{jug:mL} of {middle:mol/L} hold {first_amount:4 mmol}. Over {strong:4 mol/L} that is {first:4 mL}. "
            "Water is in the jug first, then the acid in a thin stream, then water to {jug:mL}.",
            prompt="How much of the bottle goes into the jug for {jug:mL} of {middle:mol/L}?",
            result="first",
            kind="volume",
            unit="mL",
            check=(
                "Size: far less than the jug, for the bottle is many times as strong.",
                "Unit: mL times mol/L gives mmol.",
                "Direction: a stronger bottle needs less.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "the second rung",
                    "the strength for the class is made from the bottle at once",
                    "Which strength is in the first jug?",
                    lambda n, _: [acid(n.bottle).volume((n.volume * n.weak).to("mmol"))],
                ),
            ),
        ),
        Step(
            label="second rung",
            working="{volume} of {weak:mol/L} hold {second_amount:4 mmol}. Over {middle:mol/L} that is {second:4 mL} "
            "from the jug.",
            prompt="How much from the jug makes {volume} of {weak:mol/L}?",
            result="second",
            kind="volume",
            unit="mL",
            check=(
                "Size: less than {volume}, by as many times as the jug is stronger.",
                "Unit: litres times mol/L gives mol. Turn them into mmol.",
                "Direction: a thinner acid needs less from the jug.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                final_for_added_volume(lambda n: (n.volume * n.weak / (_MIDDLE - n.weak)).to("mL")),
                Slip(
                    "from the bottle",
                    "the acid is taken from the bottle, and not from the jug",
                    "The bottle is back in the store. Which strength do you pour from now?",
                    lambda n, _: [acid(n.bottle).volume((n.volume * n.weak).to("mmol"))],
                ),
            ),
        ),
        Step(
            label="water that goes in first",
            working="{volume:mL} less {second:4 mL} is {water:4 mL}. It goes in first; then the acid. Label it: {name}, "
            "{weak:mol/L}.",
            prompt="How much water goes in before the acid?",
            result="water",
            kind="volume",
            unit="mL",
            check=(
                "Size: the most of the volume is water.",
                "Unit: both volumes in mL.",
                "Direction: more acid leaves less room for water.",
            ),
            slips=(
                thousandfold(),
                Slip(
                    "all of the volume",
                    "the acid's own volume is left out",
                    "The acid takes room too. Take it off.",
                    lambda n, _: [n.volume],
                ),
                Slip(
                    "acid for water",
                    "the acid is given, and not the water",
                    "Read again what is asked for.",
                    lambda n, solve: [n.volume - solve(n)],
                ),
            ),
        ),
    ),
    sources=tuple(
        f"acids/{name}/{prop}" for name in (NITRIC, PHOSPHORIC) for prop in ("strength", "density")
    ),
)

EXAMPLES = (ACID_FROM_REPORT, LADDER)
