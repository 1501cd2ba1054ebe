"""Portions that drops or strips can see, held against the titration curve."""

import numpy as np
import pytest
from stilltank.science.chemistry import Water
from stilltank.science.mixing import demo_water, mix, weigh_out
from stilltank.science.ph import acid_dose, dose_range, ph_after, ph_of, portions_for_test
from stilltank.science.products import acid, usual_salts
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

TAP = demo_water("quillgate-tap")
HARD = Water({"Ca": Q(70, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.8, name="hard tap")
RAIN = Water({}, alkalinity=Q(5, "mg/L"), ph=6.5, name="rain")
SOLUTION = weigh_out("leafy", usual_salts(), Q(36, "L"), HARD).solution
DOUBT = {"strips": 0.5, "drops": 0.3, "meter": 0.1}  # data/dosing.csv, common practice
BOTTLE = "nitric acid 0.5 mol/L"


@pytest.mark.parametrize("test", DOUBT)
@pytest.mark.parametrize("by", ["drops", "strips"])
@pytest.mark.parametrize(
    "solution", [mix({}, Q(36, "L"), TAP), mix({}, Q(36, "L"), HARD), SOLUTION], ids=["tap", "hard", "mix"]
)
def test_each_portion_is_seen_and_none_overshoots(solution, test, by):
    found = portions_for_test(solution, 5.8, BOTTLE, test, by)
    before, added = float(ph_of(solution)), 0.0
    assert 1 <= len(found.rows) <= 3
    for row in found.rows:
        # the titration curve, by another door: mmol/L from the millilitres
        shown = ph_after(solution, BOTTLE, row.added * Q(0.5, "mol/L") / solution.volume)
        assert float(shown) == pytest.approx(row.ph, abs=1e-6)
        assert before - row.ph >= DOUBT[test] - 1e-6
        assert row.step.m_as("mL") == pytest.approx(row.added.m_as("mL") - added)
        assert row.ph_low >= 5.8 - DOUBT[test] - 1e-4  # the weakest water possible
        assert row.ph_low <= row.ph <= row.ph_high
        assert (row.reads_low, row.reads_high) == (row.ph_low - DOUBT[test], row.ph_high + DOUBT[test])
        before, added = row.ph, row.added.m_as("mL")
    whole = acid_dose(solution, 5.8, BOTTLE)
    assert added + found.rest.m_as("mL") == pytest.approx(whole.volume.m_as("mL"))


def test_the_range_is_that_of_the_dose_range():
    found = portions_for_test(mix({}, Q(36, "L"), HARD), 5.8, BOTTLE, "drops", "drops")
    wide = dose_range(mix({}, Q(36, "L"), HARD), 5.8, BOTTLE, "drops", "drops")
    assert found.rest.m_as("mL") == pytest.approx(0)
    assert (found.rows[-1].ph_low, found.rows[-1].ph_high) == pytest.approx((wide.ph_low, wide.ph_high))


def test_a_poorly_known_water_ends_above_the_target():
    sure = portions_for_test(SOLUTION, 5.8, BOTTLE, "drops", Q(2, "mg/L"))
    rough = portions_for_test(SOLUTION, 5.8, BOTTLE, "drops", Q(40, "mg/L"))
    assert sure.rows[-1].ph == pytest.approx(5.8, abs=1e-3)
    assert rough.rows[-1].ph > 5.9
    assert "more in small sips" in rough.sentence
    assert "more in small sips" not in sure.sentence


def test_strips_take_two_steps_and_never_all_at_once():
    found = portions_for_test(SOLUTION, 5.8, BOTTLE, "strips")
    assert len(found.rows) == 2
    assert found.rows[0].added < 0.7 * found.rows[-1].added
    assert "After the last portion the test shows pH" in str(found)
    assert found.stop_at == pytest.approx(6.3)
    assert "goggles" in str(found)


def test_close_enough_and_too_uncertain_are_said():
    near = Water({}, alkalinity=Q(60, "mg/L"), ph=6.2)
    assert "Add nothing" in portions_for_test(near, 5.8, BOTTLE, "strips").sentence
    assert portions_for_test(near, 5.8, BOTTLE, "strips").dose is None
    found = portions_for_test(mix({}, Q(36, "L"), RAIN), 5.8, BOTTLE, "drops")
    assert not found.rows
    assert "Begin with a tenth" in found.sentence


def test_a_solid_is_weighed():
    found = portions_for_test(mix({}, Q(36, "L"), HARD), 5.8, "citric acid", "drops")
    assert all(row.step.check("[mass]") for row in found.rows)
    assert " g more" in str(found.rows[1])


@pytest.mark.parametrize(
    ("wrong", "kind"),
    [
        (lambda: portions_for_test("tap", 5.8, BOTTLE), Unreadable),
        (lambda: portions_for_test(HARD, "5.8", BOTTLE), Unreadable),
        (lambda: portions_for_test(HARD, 5.8, "vinegar"), Unreadable),
        (lambda: portions_for_test(HARD, 5.8, BOTTLE, "tongue"), Unreadable),
        (lambda: portions_for_test(HARD, 5.8, BOTTLE, "drops", 20), Unreadable),
        (lambda: portions_for_test(HARD, 5.8, BOTTLE, None), Unreadable),
        (lambda: portions_for_test(HARD, 9.0, BOTTLE), OutOfRange),
        (lambda: portions_for_test(HARD, 0.5, acid("citric acid 5 %")), OutOfRange),
        (lambda: portions_for_test(HARD, np.array([5.8, 6.0]), BOTTLE), Problem),
        (lambda: portions_for_test(Water({"Ca": Q(48, "mg/L")}, ph=7.6), 5.8, BOTTLE), Problem),
        (lambda: portions_for_test(HARD, 5.8, BOTTLE, "drops", Q(2, "cm")), UnitNeeded),
    ],
)
def test_wrong_input(wrong, kind):
    with pytest.raises(kind):
        wrong()
