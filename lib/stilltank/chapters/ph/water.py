"""Exercises on the water: what a step of pH means, and what a water can take up."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    bicarbonate_for_calcium_carbonate,
    calcium_carbonate_for_charge,
    change_reversed,
    ph_averaged,
    ph_taken_as_linear,
    ratio_upside_down,
    tenfold,
    thousandfold,
)
from stilltank.science.ph import (
    alkalinity_as_caco3,
    alkalinity_as_charge,
    alkalinity_by_titration,
    hydrogen_from_ph,
    ph_from_hydrogen,
)
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, REPORTS


def _times_more(n: Numbers) -> dict[str, Any]:
    times = (hydrogen_from_ph(n.after) / hydrogen_from_ph(n.before)).m_as("dimensionless")
    return {"steps": n.before - n.after, "answer": float(times)}


def _ten_a_step(n: Numbers, _: Any) -> list[float]:
    steps = n.before - n.after
    return [] if steps == 1 else [10 * steps]


TIMES_MORE = Question(
    id="ph-times-more",
    chapter=CHAPTER,
    text="A tank had pH {before}. Then acid went in. Now it has pH {after}. How many times as much H+ is in a litre "
    "now?",
    draws={"before": (6.5, 7.5, 8.5), "after": (4.5, 5.5)},
    work=_times_more,
    kind="ratio",
    unit="dimensionless",
    slips=(
        ph_taken_as_linear("before", "after"),
        ratio_upside_down(),
        Slip(
            "ten for each step",
            "each step counts ten, and the tens are added up",
            "One step is ten times as much. The next step is ten times of that.",
            _ten_a_step,
        ),
        Slip(
            "one step more or less",
            "one step of pH too many or too few is counted",
            "Count the steps from one pH to the other on your fingers.",
            lambda n, solve: [10 * solve(n), solve(n) / 10],
        ),
    ),
    check=(
        "Size: one step of pH is ten times, two steps are a hundred times.",
        "Unit: a number of times has no unit.",
        "Direction: a lower pH means more H+.",
    ),
    steps=(
        ("steps of pH", "Whole steps from {before} to {after}: {steps}."),
        ("number of times", "Ten times for each step: {answer:4} times."),
    ),
    why="Each whole step of pH is ten times as much H+.",
)


def _two_waters(n: Numbers) -> dict[str, Any]:
    first, second = hydrogen_from_ph(n.first).to("umol/L"), hydrogen_from_ph(n.second).to("umol/L")
    mean = (first + second) / 2
    return {
        "first_acid": first,
        "second_acid": second,
        "mean": mean,
        "answer": float(ph_from_hydrogen(mean)),
    }


TWO_WATERS = Question(
    id="ph-two-waters",
    chapter=CHAPTER,
    text="Two jugs hold soft water with no alkalinity. One has pH {first}, the other pH {second}. You pour equal "
    "volumes together. What is the pH? Give two decimals.",
    draws={"first": (4.0, 4.5, 5.0, 5.5), "second": (6.5, 6.8, 7.0)},
    work=_two_waters,
    kind="pH",
    unit="dimensionless",
    tolerance=Q(0.05, "dimensionless"),
    slips=(
        ph_averaged("first", "second"),
        Slip(
            "added, not shared out",
            "the two amounts of acid are added, and not shared out over both volumes",
            "There is twice as much water now. Share the acid out over all of it.",
            lambda n, _: [
                float(ph_from_hydrogen(hydrogen_from_ph(n.first) + hydrogen_from_ph(n.second))),
            ],
        ),
        change_reversed("first"),
    ),
    check=(
        "Size: the answer lies between the two pH values.",
        "Unit: turn each pH into H+, and turn the mean back at the end.",
        "Direction: it lies near the lower pH, for that jug holds far more H+.",
    ),
    steps=(
        (
            "H+ in each",
            "pH {first} is {first_acid:4 µmol/L} of H+, and pH {second} is {second_acid:4 µmol/L}.",
        ),
        ("H+ in the mix", "The mean of both is {mean:4 µmol/L}."),
        ("back to pH", "That is pH {answer:4}."),
    ),
    why="H+ is shared out, and pH is not: the mean is {mean:3 µmol/L}.",
)


def _alkalinity(n: Numbers) -> dict[str, Any]:
    return {"each": alkalinity_as_caco3(Q(1, "mmol/L")), "answer": alkalinity_as_charge(n.report)}


ALKALINITY = Question(
    id="ph-alkalinity",
    chapter=CHAPTER,
    text="A water report gives an alkalinity of {report:alkalinity}. How much H+ can a litre of it take up? Give it in "
    "meq/L: one meq is one mmol of H+. One meq/L counts as {each:4 alkalinity}.",
    draws={"report": REPORTS},
    work=_alkalinity,
    kind="charge",
    unit="mmol/L",
    between=(Q(1, "mmol/L"), Q(6, "mmol/L")),
    slips=(
        calcium_carbonate_for_charge(),
        bicarbonate_for_calcium_carbonate(),
        thousandfold(),
        tenfold(),
        Slip(
            "multiplied for divided",
            "the report is multiplied, and not divided",
            "One meq/L is worth many mg/L. So there are fewer meq than mg.",
            lambda n, _: [Q(alkalinity_as_caco3(Q(n.report.m_as("mg/L"), "mmol/L")).magnitude, "mmol/L")],
        ),
    ),
    check=(
        "Size: expect between {least:charge} and {most:charge} here.",
        "Unit: divide mg/L by the mg/L that one meq/L counts as.",
        "Direction: the number in meq/L is much smaller.",
    ),
    steps=(
        ("one meq", "One meq/L counts as {each:4 alkalinity}."),
        ("alkalinity as charge", "{report} divided by {each:4} is {answer:4 charge}."),
    ),
    why="One meq/L counts as {each:4 alkalinity}.",
)


def _titration(n: Numbers) -> dict[str, Any]:
    acid = (n.used * n.strength).to("mmol")
    return {
        "each": alkalinity_as_caco3(Q(1, "mmol/L")),
        "acid": acid,
        "charge": (acid / n.sample).to("mmol/L"),
        "answer": alkalinity_by_titration(n.used, n.strength, n.sample),
    }


TITRATION = Question(
    id="ph-titration",
    chapter=CHAPTER,
    text="You take {sample} of tap water. Drop by drop you add nitric acid of {strength:mol/L}, until the dye turns. "
    "That takes {used}. What is the alkalinity in mg/L as CaCO3? One meq/L counts as {each:4}.",
    draws={
        "sample": quantities((50, 100), "mL"),
        "strength": quantities((0.02, 0.05, 0.1), "mol/L"),
        "used": quantities((1.4, 1.8, 2.2, 2.6, 3.2, 4.2, 5.6, 6.4), "mL"),
    },
    work=_titration,
    kind="alkalinity",
    unit="mg/L",
    between=(Q(40, "mg/L"), Q(350, "mg/L")),
    slips=(
        calcium_carbonate_for_charge(),
        bicarbonate_for_calcium_carbonate(),
        thousandfold(),
        tenfold(),
        Slip(
            "sample taken for a litre",
            "the sample is counted as a whole litre",
            "How many such samples are in one litre?",
            lambda n, solve: [solve(n) * n.sample.m_as("L")],
        ),
    ),
    check=(
        "Size: expect between {least:alkalinity} and {most:alkalinity} here.",
        "Unit: mL times mol/L gives mmol of H+.",
        "Direction: more acid used means more alkalinity.",
    ),
    steps=(
        ("acid used", "{used} of {strength:mol/L} hold {acid:4 mmol} of H+."),
        ("alkalinity as charge", "In {sample:L} that is {charge:4 charge}."),
        ("alkalinity as CaCO3", "Times {each:4} that is {answer:4 alkalinity}."),
    ),
    why="The acid used up {charge:3 charge}, and each counts as {each:4}.",
)
