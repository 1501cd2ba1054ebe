"""Questions on pH: against hand working and the solver."""

import itertools

import pytest
from stilltank.chapters.bank import ask, find, find_example
from stilltank.learning.questions import Asked, Numbers, State, judge
from stilltank.science.chemistry import Water
from stilltank.science.chemistry.equilibrium import solve
from stilltank.science.ph import acid_dose
from stilltank.units import Q

CODES = [
    f"{year}{letter}-{number}" for year in range(5, 10) for letter in "ABCD" for number in range(1, 28)
]  # 540 codes


def value(question, numbers):
    return Asked(question, "A1", numbers).value


def test_ph_is_counted_in_steps_of_ten():
    """From pH 6.5 to 5.5 ten times the H+; equal volumes of pH 5 and pH 7, unbuffered, make pH 5.30."""
    assert value(find("ph-times-more"), Numbers(before=6.5, after=5.5)) == pytest.approx(10)
    assert value(find("ph-from-times"), Numbers(start=7.5, times=100.0)) == pytest.approx(5.5)
    # (1e-5 + 1e-7) / 2 = 5.05e-6 mol/L; -log10 of it
    assert value(find("ph-two-waters"), Numbers(first=5.0, second=7.0)) == pytest.approx(5.297, abs=5e-4)


def test_two_soft_waters_mix_as_the_solver_says():
    """The solver counts hydroxide too: at most 1e-7 of the 3.3e-6 mol/L of acid, 3 %, which is 0.013 pH.

    The question accepts 0.05.
    """
    for first, second in itertools.product(*find("ph-two-waters").draws.values()):
        # the strong acid that makes each pH: H+ less OH-, 1e-14 the product of both at 25 degC
        acid = [10**-each - 1e-14 / 10**-each for each in (first, second)]
        mixed = solve({"strong_charge": -sum(acid) / 2, "temperature": 25.0}, None).ph
        assert value(find("ph-two-waters"), Numbers(first=first, second=second)) == pytest.approx(
            mixed, abs=0.015
        )


def test_alkalinity_against_hand_working():
    """One meq of CaCO3 is 100.087 / 2 = 50.04 mg (CIAAW abridged weights, from memory)."""
    assert value(find("ph-alkalinity"), Numbers(report=Q(130, "mg/L"))) == pytest.approx(
        130 / 50.0435, rel=1e-4
    )
    # 2.6 mL x 0.1 mol/L = 0.26 mmol in 100 mL: 2.6 meq/L
    numbers = Numbers(sample=Q(100, "mL"), strength=Q(0.1, "mol/L"), used=Q(2.6, "mL"))
    assert value(find("ph-titration"), numbers) == pytest.approx(2.6 * 50.0435, rel=1e-4)


def test_bottles_against_hand_working():
    """H3PO4 97.994 g/mol: 1.575 g/mL x 1000 x 0.75 / 97.994 = 12.054 mol/L; 1 L of 2 mol/L takes 165.9 mL."""
    assert value(find("ph-bottle"), Numbers(bottle="phosphoric acid 75 %")) == pytest.approx(12.054, abs=2e-3)
    numbers = Numbers(bottle="phosphoric acid 75 %", weak=Q(2, "mol/L"), volume=Q(1, "L"))
    assert value(find("ph-dilution"), numbers) == pytest.approx(165.9, abs=0.1)
    # 1.8 mmol/L x 14.007 = 25.2 mg/L of nitrogen; 150 less that
    assert value(
        find("ph-nitrogen-left"), Numbers(dose=Q(1.8, "mmol/L"), target=Q(150, "mg/L"))
    ) == pytest.approx(124.79, abs=0.01)
    assert value(find("ph-phosphorus"), Numbers(dose=Q(0.5, "mmol/L"))) == pytest.approx(15.487, abs=1e-3)
    # 2 meq/L x 36 L = 72 mmol, over 0.25 mol/L
    numbers = Numbers(alkalinity=Q(2, "mmol/L"), volume=Q(36, "L"), strength=Q(0.25, "mol/L"))
    assert value(find("ph-at-rest"), numbers) == pytest.approx(288)


def test_the_ladder_keeps_its_acid():
    """Every draw is two rungs, and the same amount is in the bottle's share, in the first jug and in the last."""
    example = find_example("ph-worked-ladder")
    for code in CODES[:60]:
        numbers = example.stage(3, code).numbers
        shown = example.work(numbers)
        amount = numbers.volume * numbers.weak
        for held in (shown["take"] * shown["strong"], shown["jug"] * shown["middle"], shown["amount"]):
            assert held.m_as("mmol") == pytest.approx(amount.m_as("mmol"))
        assert (shown["second_water"] + shown["jug"]).m_as("L") == pytest.approx(numbers.volume.m_as("L"))
        assert "Water first" in example.questions[3].why
        assert "teacher" in shown["caution"]


@pytest.mark.parametrize("report", [80, 130, 240])
@pytest.mark.parametrize("target", [5.5, 5.6, 5.8])
def test_the_dose_by_hand_accepts_the_hand_and_the_solver(report, target):
    """Three per cent let in pK1 rounded to 6.35 with 50 for 50.04 mg/L, and the solver's dose for a tap at pH 8."""
    numbers = Numbers(report=Q(report, "mg/L"), target=target, volume=Q(36, "L"), strength=Q(0.1, "mol/L"))
    asked = Asked(find("ph-acid-for-tank"), "A1", numbers)
    share = 1 / (1 + 10 ** (6.35 - target))
    by_hand = report / 50 * (1 - share) * 36 / (2 * 0.1)
    assert judge(asked, f"{by_hand:.3g} mL").good
    tap = Water({"Ca": Q(0.4 * report, "mg/L")}, alkalinity=numbers.report, ph=8.0, temperature=Q(25, "degC"))
    dose = acid_dose(tap, target, "nitric acid 0.1 mol/L").amount.m_as("mmol/L")
    assert judge(asked, f"{dose * 36 / (2 * 0.1):.4g} mL").good


def test_an_alkalinity_is_taken_as_the_question_asks():
    """The question names CaCO3, so mg/L alone means that; bicarbonate is turned; degrees and meq/L are read."""
    asked = ask("ph-titration", "A1")
    right = asked.right.m_as("mg/L")
    for text in (f"{right} mg/L", f"{right} ppm", f"{right} mg/L HCO3", right, f"{right}"):
        state = judge(asked, text).state
        if "HCO3" in str(text):
            assert judge(asked, text).slips == ("bicarbonate for CaCO3",)
        else:
            assert state == (State.RIGHT if "mg" in str(text) or "ppm" in str(text) else State.UNIT), text
    charge = ask("ph-alkalinity", "A1")
    assert judge(charge, charge.right).state == judge(charge, f"{charge.value} mmol/l").state == State.RIGHT
    assert judge(charge, f"{charge.value} mg/L").state == State.UNIT
