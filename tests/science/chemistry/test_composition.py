"""Formulas, shares and labels against published tables and hand workings."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.chemistry import element_share, from_label, molar_mass, normal_formula
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

# IUPAC/CIAAW abridged standard atomic weights, 2021 table (from memory).
WEIGHT = {
    "H": 1.008, "C": 12.011, "N": 14.007, "O": 15.999, "Na": 22.990, "Mg": 24.305, "P": 30.974, "S": 32.06,
    "Cl": 35.45, "K": 39.098, "Ca": 40.078, "Mn": 54.938, "Fe": 55.845, "Cu": 63.546, "Zn": 65.38, "Mo": 95.95,
    "B": 10.81,
}  # fmt: skip


def by_hand(**atoms):
    return sum(WEIGHT[symbol] * count for symbol, count in atoms.items())


@pytest.mark.parametrize(
    ("formula", "atoms"),
    [
        ("KNO3", {"K": 1, "N": 1, "O": 3}),
        ("Ca(NO3)2.4H2O", {"Ca": 1, "N": 2, "O": 10, "H": 8}),
        ("5Ca(NO3)2.NH4NO3.10H2O", {"Ca": 5, "N": 12, "O": 43, "H": 24}),
        ("MgSO4.7H2O", {"Mg": 1, "S": 1, "O": 11, "H": 14}),
        ("(NH4)2SO4", {"N": 2, "H": 8, "S": 1, "O": 4}),
        ("Na2MoO4.2H2O", {"Na": 2, "Mo": 1, "O": 6, "H": 4}),
        ("NaFeC10H12N2O8.3H2O", {"Na": 1, "Fe": 1, "C": 10, "H": 18, "N": 2, "O": 11}),
    ],
)
def test_molar_mass_is_the_sum_of_the_atomic_weights(formula, atoms):
    # abridged weights are rounded to 0.001, and sulfur is 0.005 higher in the library: 0.01 an atom is ample
    assert molar_mass(formula).m_as("g/mol") == pytest.approx(by_hand(**atoms), abs=0.02)


@pytest.mark.parametrize(
    "written",
    [
        "Ca(NO3)2.4H2O",
        "Ca(NO3)2·4H2O",
        "Ca(NO₃)₂·4H₂O",
        "Ca(NO3)2 * 4 H2O",
        " Ca(NO3)2•4H2O ",
        "Ca(NO3)2.(H2O)4",
    ],
)
def test_hydrates_read_alike_however_the_dot_is_written(written):
    assert molar_mass(written).magnitude == pytest.approx(molar_mass("Ca(NO3)2(H2O)4").magnitude)


def test_number_before_a_part_counts_for_that_part_only():
    parts = 5 * molar_mass("Ca(NO3)2") + molar_mass("NH4NO3") + 10 * molar_mass("H2O")
    assert molar_mass("5Ca(NO3)2.NH4NO3.10H2O").magnitude == pytest.approx(parts.magnitude)


@pytest.mark.parametrize(
    "wrong", ["", "  ", "Xx2", "Ca(NO3", "h2o", "KNO3+", "SO4-2", "KNO3..H2O", "KNO3.", "0H2O", "5", None, 12]
)
def test_wrong_formula_gets_a_sentence(wrong):
    with pytest.raises(Unreadable, match=r"formula|charge"):
        molar_mass(wrong)


def test_element_share_against_mattson_label_table():
    # Mattson (2018), e-GRO Edible Alert 3(5): P = 0.4364 P2O5
    assert element_share("P2O5", "P").m_as("dimensionless") == pytest.approx(0.4364, abs=2e-4)


def test_element_share_is_a_percent_that_also_works_as_a_plain_share():
    share = element_share("KNO3", "N")
    assert share.m_as("percent") == pytest.approx(100 * 14.007 / by_hand(K=1, N=1, O=3), rel=1e-4)
    assert float(share) == pytest.approx(share.m_as("percent") / 100)


def test_element_not_in_the_formula_is_zero_and_a_non_element_a_sentence():
    assert element_share("KNO3", "Ca").magnitude == 0
    for wrong in ("nitrate", "NO3", "N2", "Zz"):
        with pytest.raises(Unreadable, match=r"symbol of an element|formula"):
            element_share("KNO3", wrong)


@settings(deadline=None)
@given(st.sampled_from(["KNO3", "MgSO4.7H2O", "5Ca(NO3)2.NH4NO3.10H2O", "NaFeC10H12N2O8.3H2O", "H3BO3"]))
def test_shares_of_all_elements_make_the_whole(formula):
    assert math.isclose(sum(float(element_share(formula, symbol)) for symbol in WEIGHT), 1.0, rel_tol=1e-9)


def test_label_of_pure_monopotassium_phosphate_is_0_52_34():
    # the grade printed on the bag; rounded down, hence the tolerance of half a percent of the mass
    share = from_label(n=Q(0, "percent"), p2o5=Q(52, "percent"), k2o=Q(34, "percent"))
    assert share["P"].m_as("percent") == pytest.approx(element_share("KH2PO4", "P").m_as("percent"), abs=0.5)
    assert share["K"].m_as("percent") == pytest.approx(element_share("KH2PO4", "K").m_as("percent"), abs=0.6)
    assert share["N"].magnitude == 0


def test_label_of_other_oxides():
    share = from_label(mgo=Q(16, "percent"), so3=Q(32, "percent"), cao=Q(10, "percent"))
    assert share["Mg"].m_as("percent") == pytest.approx(16 * 24.305 / (24.305 + 15.999), abs=0.005)
    assert share["S"].m_as("percent") == pytest.approx(32 * 32.06 / (32.06 + 3 * 15.999), abs=0.005)
    assert share["Ca"].m_as("percent") == pytest.approx(10 * 40.078 / (40.078 + 15.999), abs=0.005)


@pytest.mark.parametrize(
    ("label", "error", "words"),
    [
        ({"n": 15.5}, UnitNeeded, "no unit"),
        ({"n": "15.5"}, UnitNeeded, "text"),
        ({"n": Q(15.5, "g")}, UnitNeeded, "a mass"),
        ({"k2o": Q(-1, "percent")}, OutOfRange, "between 0 and 100"),
        ({"k2o": Q(101, "percent")}, OutOfRange, "between 0 and 100"),
        ({"n": Q(60, "percent"), "k2o": Q(60, "percent")}, OutOfRange, "add up to 120"),
    ],
)
def test_wrong_label_gets_a_sentence(label, error, words):
    with pytest.raises(error, match=words):
        from_label(**label)


def test_normal_formula_is_stable():
    once = normal_formula("Ca(NO₃)₂ · 4 H₂O")
    assert normal_formula(once) == once == "Ca(NO3)2.4H2O"
