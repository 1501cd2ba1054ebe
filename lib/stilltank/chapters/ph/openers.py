"""Short questions on pH that later chapters open with."""

import math
from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    change_reversed,
    compound_for_element,
    oxide_for_element,
    per_litre_for_total,
    tenfold,
    thousandfold,
    us_gallon_for_litre,
)
from stilltank.science.chemistry import element_share, molar_mass
from stilltank.science.ph import hand_dose_open, hydrogen_from_ph, ph_from_hydrogen
from stilltank.units import Q

from ..draws import TUBS, quantities
from .shared import CHAPTER, FOR_CLASS, strength_multiplied


def _from_times(n: Numbers) -> dict[str, Any]:
    return {
        "steps": math.log10(n.times),
        "answer": float(ph_from_hydrogen(n.times * hydrogen_from_ph(n.start))),
    }


FROM_TIMES = Question(
    id="ph-from-times",
    chapter=CHAPTER,
    text="A tank has pH {start}. Acid makes the H+ in it {times} times as much. What is the pH now?",
    draws={"start": (6.8, 7.0, 7.2, 7.5, 7.8), "times": (10.0, 100.0, 1000.0)},
    work=_from_times,
    kind="pH",
    unit="dimensionless",
    tolerance=Q(0.1, "dimensionless"),
    slips=(
        change_reversed("start"),
        Slip(
            "figures for zeros",
            "the figures of the number are counted, and not its zeros",
            "Ten has one zero, and it is one step of pH.",
            lambda n, solve: [solve(n) - 1],
        ),
        Slip(
            "pH divided",
            "the pH itself is divided by the number of times",
            "pH is no amount. Count in steps: each is ten times.",
            lambda n, _: [n.start / n.times],
        ),
    ),
    check=(
        "Size: each ten times is one step of pH.",
        "Unit: a pH has no unit.",
        "Direction: more H+ means a lower pH.",
    ),
    steps=(
        ("steps of pH", "{times} has as many zeros as there are steps: {steps}."),
        ("new pH", "{start} less {steps} is {answer:4}."),
    ),
    why="Each ten times is one step of pH, downwards.",
)


def _phosphorus(n: Numbers) -> dict[str, Any]:
    return {
        "each": (Q(1, "mmol") * molar_mass("P")).to("mg"),
        "answer": (n.dose * molar_mass("P")).to("mg/L"),
    }


PHOSPHORUS = Question(
    id="ph-phosphorus",
    chapter=CHAPTER,
    text="A tank gets {dose:mmol/L} of phosphoric acid (H3PO4) for its pH. How much phosphorus (P) does that bring to "
    "each litre? One mmol of P weighs {each:4 mg}.",
    draws={"dose": quantities((0.4, 0.5, 0.6, 0.8, 1.2, 1.6), "mmol/L")},
    work=_phosphorus,
    kind="concentration",
    unit="mg/L",
    of="P",
    between=(Q(10, "mg/L"), Q(60, "mg/L")),
    slips=(
        compound_for_element(lambda _: element_share("H3PO4", "P")),
        oxide_for_element("P2O5", "P"),
        thousandfold(),
        tenfold(),
        Slip(
            "mmol for mg",
            "mmol are taken for mg",
            "A mmol is a number of atoms. How much does one mmol weigh?",
            lambda n, _: [Q(n.dose.m_as("mmol/L"), "mg/L")],
        ),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: mmol in each litre times mg in a mmol gives mg/L.",
        "Direction: more acid brings more phosphorus.",
    ),
    steps=(("phosphorus", "{dose:mmol/L} times {each:4 mg} is {answer:4}."),),
    why="Each mmol of the acid holds one mmol of P, which weighs {each:4 mg}.",
)


def _at_rest(n: Numbers) -> dict[str, Any]:
    per_litre = hand_dose_open(n.alkalinity)
    amount = (per_litre * n.volume).to("mmol")
    return {"amount": amount, "answer": (amount / n.strength).to("mL")}


AT_REST = Question(
    id="ph-at-rest",
    chapter=CHAPTER,
    text="A tank holds {volume} of water with an alkalinity of {alkalinity:charge}. Once the gas has left, acid must "
    "take all of it. Your nitric acid has {strength:mol/L}. How much goes in, all in all?",
    draws={
        "alkalinity": quantities((1.2, 1.6, 2, 2.4, 3), "mmol/L"),
        "volume": TUBS,
        "strength": FOR_CLASS,
    },
    work=_at_rest,
    kind="volume",
    unit="mL",
    between=(Q(40, "mL"), Q(1600, "mL")),
    slips=(
        thousandfold(),
        tenfold(),
        per_litre_for_total("volume"),
        strength_multiplied(),
        us_gallon_for_litre("volume"),
    ),
    check=(
        "Size: expect between {least:mL} and {most:mL} here.",
        "Unit: meq/L times litres gives mmol of H+. Divide by mol/L for mL.",
        "Direction: a stronger acid needs less volume.",
    ),
    steps=(
        ("H+ for the tank", "{alkalinity:charge} times {volume} is {amount:4 mmol} of H+."),
        ("volume to measure", "{amount:4 mmol} divided by {strength:mol/L} is {answer:4 mL}."),
    ),
    why="{amount:4 mmol} of H+ are in {answer:4 mL} of this acid.",
)
