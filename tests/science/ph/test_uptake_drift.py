"""Uptake by plants, solids that may fall out, and buffering."""

import numpy as np
import pytest
from stilltank.science.chemistry import Solution, Water, gypsum_saturation_index
from stilltank.science.chemistry.equilibrium import log_k
from stilltank.science.mixing import brushite_saturation, recipe_solution
from stilltank.science.ph import (
    acid_dose,
    buffer_capacity,
    ph_after_uptake,
    ph_of,
    saturation_indices,
)
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, Unreadable

WARM = Q(25, "degC")
HOAGLAND = recipe_solution("Hoagland 1", water=Water.pure(WARM))
BUFFERED = HOAGLAND.plus({"K+": Q(0.1063 * 0.997047, "mmol/L")})  # KOH to pH 5.80, PHREEQC 3.8.6
TAP = Water({"Ca": Q(40, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=7.5, temperature=WARM)


def mmol(amount):
    return Q(amount, "mmol/L")


# Uptake


def test_uptake_is_the_solution_with_less_in_it():
    """The same ions left out from the start must give the same pH, whichever ion it is."""
    whole = {
        "K+": 6.1,
        "Ca+2": 5,
        "Mg+2": 2,
        "NO3-": 14,
        "H2PO4-": 1,
        "SO4-2": 2,
        "NH4+": 1,
        "Na+": 0.5,
        "Cl-": 0.6,
    }
    names = {
        "potassium": "K+", "calcium": "Ca+2", "magnesium": "Mg+2", "nitrate": "NO3-", "phosphate": "H2PO4-",
        "sulfate": "SO4-2", "ammonium": "NH4+", "sodium": "Na+", "chloride": "Cl-",
    }  # fmt: skip
    tank = Solution(Q(1, "L"), {ion: mmol(amount) for ion, amount in whole.items()}, water=TAP)
    for name, ion in names.items():
        rest = {key: mmol(amount - 0.3 * (key == ion)) for key, amount in whole.items()}
        expected = ph_of(Solution(Q(1, "L"), rest, water=TAP), "open")
        assert ph_after_uptake(tank, **{name: mmol(0.3)}) == pytest.approx(expected, abs=1e-9), name


def test_anions_raise_cations_lower_and_equal_charges_do_neither():
    before = ph_of(BUFFERED, "open")
    assert before == pytest.approx(5.80, abs=0.03)
    assert ph_after_uptake(BUFFERED, nitrate=mmol(0.2)) > before + 0.3
    assert ph_after_uptake(BUFFERED, potassium=mmol(0.05)) < before - 0.2
    both = ph_after_uptake(BUFFERED, nitrate=mmol(1), potassium=mmol(1))
    assert both == pytest.approx(before, abs=0.02)
    row = ph_after_uptake(BUFFERED, nitrate=mmol(np.array([0, 0.2, 0.4, 0.6])))
    assert row[0] == pytest.approx(before)
    assert np.all(np.diff(row) > 0)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: ph_after_uptake(BUFFERED, nitrate=0.5), UnitNeeded, "nitrate"),
        (lambda: ph_after_uptake(BUFFERED, nitrate=mmol(-0.5)), OutOfRange, "-0.5 mmol/L of nitrate"),
        (lambda: ph_after_uptake(BUFFERED, phosphate=mmol(1.5)), OutOfRange, "holds 1"),
        (lambda: ph_after_uptake(BUFFERED, ammonium=mmol(0.1)), OutOfRange, "holds 0"),
        (lambda: ph_after_uptake(BUFFERED, iron=mmol(0.1)), Unreadable, "nitrate, ammonium"),
        (lambda: ph_after_uptake(BUFFERED, nitrate=mmol([1, 2]), potassium=mmol([1, 2, 3])), Problem, "fit"),
        (lambda: ph_after_uptake(BUFFERED, air="ajar"), Unreadable, "ajar"),
    ],
)
def test_wrong_uptakes_get_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


# Solids


def test_constant_of_calcite():
    # phreeqc.dat states log K -8.48 at 25 °C and an enthalpy of -2.297 kcal/mol beside the form that is used here:
    # by hand, van 't Hoff to 10 °C: 2.297 x 4184 / (8.3145 x 2.3026) x (1/283.15 - 1/298.15) = 0.089.
    assert log_k("calcite", Q(298.15, "K")) == pytest.approx(-8.48, abs=0.005)
    assert log_k("calcite", Q(283.15, "K")) == pytest.approx(-8.48 + 0.089, abs=0.02)


def test_each_index_is_that_of_the_first_chapter():
    for ph in (None, 6.5):
        found = saturation_indices(HOAGLAND, ph)
        assert found.brushite == pytest.approx(brushite_saturation(HOAGLAND, ph), abs=1e-12)
        assert found.gypsum == pytest.approx(gypsum_saturation_index(HOAGLAND.ions, WARM), abs=1e-12)
        assert found.calcite == -np.inf


def test_ten_times_the_calcium_is_one_more():
    """In so weak a solution activities hardly change: the ion product is proportional to calcium."""
    few, many = (
        Solution(Q(1, "L"), {"Ca+2": mmol(amount), "Cl-": mmol(2 * amount)}, water=Water(
            {}, alkalinity=Q(20, "mg/L"), ph=7.0, temperature=WARM
        ))
        for amount in (0.01, 0.1)
    )  # fmt: skip
    assert saturation_indices(many, 7.0).calcite - saturation_indices(few, 7.0).calcite == pytest.approx(
        1, abs=0.03
    )


def test_warnings_say_what_falls_out():
    assert saturation_indices(TAP).warnings == ()
    assert str(saturation_indices(TAP)) == "Nothing falls out."
    (lime,) = saturation_indices(TAP, air="open").warnings
    assert lime.startswith("Lime can fall out")
    mixed = saturation_indices(recipe_solution("Hoagland 1", water=TAP), np.array([6.0, 7.0]))
    assert "phosph" in mixed.warnings[0]
    assert "1 of 2" in mixed.warnings[0]
    assert mixed.calcite.shape == mixed.gypsum.shape == (2,)
    assert mixed.ph == pytest.approx([6, 7])
    strong = Solution(Q(1, "L"), {"Ca+2": mmol(30), "SO4-2": mmol(30)}, water=Water.pure(WARM))
    assert "Gypsum" in str(saturation_indices(strong))


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: saturation_indices("tap"), Unreadable, "Solution or a Water"),
        (lambda: saturation_indices(TAP, "7"), Unreadable, "plain number"),
        (lambda: saturation_indices(TAP, 14), OutOfRange, "14"),
        (lambda: buffer_capacity(TAP, 0.5), OutOfRange, "0.5"),
        (lambda: buffer_capacity(TAP, 13.5), OutOfRange, "13.5"),
        (lambda: buffer_capacity({}), Unreadable, "Solution or a Water"),
    ],
)
def test_wrong_questions_get_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()


# Buffering


def test_buffering_of_pure_water_by_hand():
    """d/dpH of [H+] is ln 10 [H+]; at pH 3 that is 2.30 mmol/L over gamma, 10^-0.0156 at 0.001 mol/kg."""
    found = buffer_capacity(Water.pure(WARM), 3.0).m_as("mmol/L")
    assert found == pytest.approx(np.log(10) / 10**-0.0156 * 0.997, rel=0.003)


def test_buffering_of_carbonate_by_hand():
    """ln 10 C a(1 - a) is at its greatest, ln 10 C/4, where half of the carbonate is bicarbonate (pK1 6.35)."""
    row = np.linspace(5.5, 8, 251)
    found = buffer_capacity(TAP, row).m_as("mmol/L")
    dic = TAP.state()["DIC"] * 997.047
    assert found.max() == pytest.approx(np.log(10) * dic / 4, rel=0.01)
    assert row[np.argmax(found)] == pytest.approx(6.35, abs=0.05)
    assert found[-1] < 0.2 * found.max()


def test_buffering_is_the_slope_of_dosing():
    """Nitric acid from pH 6.6 to 6.4, over 0.2: the mean of a curve that bends by a percent or two there."""
    doses = acid_dose(TAP, np.array([6.4, 6.6]), "nitric acid 1 mol/L").amount.m_as("mmol/L")
    assert buffer_capacity(TAP, 6.5).m_as("mmol/L") == pytest.approx((doses[0] - doses[1]) / 0.2, rel=0.02)
    assert buffer_capacity(TAP).m_as("mmol/L") == pytest.approx(buffer_capacity(TAP, 7.5).m_as("mmol/L"))
    assert buffer_capacity(TAP, 6.5, "open") < buffer_capacity(TAP, 6.5)
    assert buffer_capacity(TAP, 8.4, "open") > 10 * buffer_capacity(
        TAP, 8.4
    )  # the air gives what the acid takes
