"""Acid for the top-up bottle: meq by hand, and what the bottle then is."""

import pytest
from stilltank.science import ph
from stilltank.science.chemistry import Water
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

HARD = Water({"Ca": Q(65, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.6)


def mL(acid, left, volume=None):
    return ph.acid_for_top_up(HARD, acid, left, volume).measure.m_as("mL")


def test_ten_litres_of_hard_water_by_hand():
    """180 mg/L over 50.043 mg/meq are 3.597 meq/L, 35.97 in 10 L: 71.9 mL of 0.5 mol/L nitric acid.

    With 30 mg/L left, 150 / 50.043 x 10 = 29.97 meq, 59.9 mL: a grower's 60 mL.
    """
    assert mL("nitric acid 0.5 mol/L", Q(0, "mg/L")) == pytest.approx(35.97 / 0.5, rel=1e-3)
    assert mL("nitric acid 0.5 mol/L", Q(30, "mg/L")) == pytest.approx(29.97 / 0.5, rel=1e-3)
    assert mL("nitric acid 0.5 mol/L", Q(0.6, "mmol/L"), Q(1, "L")) == pytest.approx(2.997 / 0.5, rel=2e-3)


def test_acids_give_one_two_or_a_little_more_than_one():
    """Sulfuric acid gives two H+. Phosphoric gives 1.07 at pH 6 by PHREEQC in bicarbonate water (P, notes)."""
    nitric = mL("nitric acid 0.5 mol/L", Q(30, "mg/L"))
    assert mL("sulfuric acid 0.5 mol/L", Q(30, "mg/L")) == pytest.approx(nitric / 2, rel=0.01)
    assert mL("phosphoric acid 0.5 mol/L", Q(30, "mg/L")) == pytest.approx(nitric / 1.09, rel=0.03)


def test_the_bottle_is_what_its_alkalinity_makes_it():
    """At equivalence a closed water of 150 to 180 mg/L is near pH 4.4 (APHA2320: 4.6, 4.44 computed for 150)."""
    assert ph.acid_for_top_up(HARD, "nitric acid 0.5 mol/L", Q(0, "mg/L")).ph == pytest.approx(4.43, abs=0.1)
    assert 5.2 < ph.acid_for_top_up(HARD, "nitric acid 0.5 mol/L").ph < 5.8


def test_nitrogen_of_the_acid_is_told():
    """150 mg/L as CaCO3 are 2.997 mmol/L of nitric acid, 42 mg/L of nitrogen."""
    found = ph.acid_for_top_up(HARD, "nitric acid 0.5 mol/L", Q(30, "mg/L"))
    assert found.adds["N"].m_as("mg/L") == pytest.approx(2.997 * 14.007, rel=1e-3)
    assert "42 mg/L N" in str(found)
    assert "days" not in str(found).partition("Caution")[0]
    assert "climbs back" in str(ph.acid_for_top_up(HARD, "citric acid 5 %"))


def test_soft_water_needs_none():
    soft = Water({}, alkalinity=Q(15, "mg/L"), ph=7)
    found = ph.acid_for_top_up(soft, "nitric acid 0.5 mol/L")
    assert found.measure.magnitude == 0
    assert str(found) == "10 L of top-up water needs no acid: its alkalinity is 15 mg/L as CaCO3."
    assert found.ph == pytest.approx(7, abs=0.01)


@pytest.mark.parametrize(
    ("call", "kind"),
    [
        (lambda: ph.acid_for_top_up("tap", "citric acid"), Problem),
        (lambda: ph.acid_for_top_up(HARD, "vinegar of my aunt"), Unreadable),
        (lambda: ph.acid_for_top_up(HARD, "citric acid", 20), UnitNeeded),
        (lambda: ph.acid_for_top_up(HARD, "citric acid", Q(-1, "mg/L")), OutOfRange),
        (lambda: ph.acid_for_top_up(HARD, "citric acid", volume=Q(0, "L")), OutOfRange),
        (lambda: ph.acid_for_top_up(Water({}), "citric acid"), Problem),
        (
            lambda: ph.acid_for_top_up(Water({}, alkalinity=Q([10, 20], "mg/L"), ph=7), "citric acid"),
            Problem,
        ),
    ],
)
def test_what_cannot_be_gets_a_sentence(call, kind):
    with pytest.raises(kind):
        call()
