"""Conductivity against the KCl standards and published limiting values; gypsum against PHREEQC and handbooks."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import chemistry
from stilltank.science.chemistry import osmotic_pressure
from stilltank.science.mixing import recipe_solution
from stilltank.science.pure_water import water_density
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

ROOM = Q(25, "degC")
KG_25, KG_20, KG_0 = 0.997047, 0.998207, 0.999843  # kg/L of water, IAPWS-95


def potassium_chloride(molality, litre):
    """mol/kg water to mmol/L, the volume of the salt left out."""
    return {ion: Q(1000 * molality * litre, "mmol/L") for ion in ("K+", "Cl-")}


@pytest.mark.parametrize(
    ("molality", "celsius", "litre", "stated"),
    # CRC Handbook, Standard KCl solutions for calibrating conductivity cells, p. 5-73 (secondary copy); uS/cm
    [(0.01, 25, KG_25, 1408.23), (0.01, 20, KG_20, 1273.03), (0.1, 25, KG_25, 12824.6)],
)
def test_potassium_chloride_standards(molality, celsius, litre, stated):
    computed = chemistry.conductivity(potassium_chloride(molality, litre), Q(celsius, "degC")).m_as("uS/cm")
    assert computed == pytest.approx(stated, rel=0.015)  # the model's own error on KCl


# PHREEQC 3.8.6, phreeqc.dat, 25 °C, mmol/kg water; computed there, not measured
PHREEQC = [
    ({"K+": 6, "Ca+2": 5, "Mg+2": 2, "NO3-": 15, "H2PO4-": 1, "SO4-2": 2}, 2.163),
    ({"K+": 7, "Ca+2": 4.5, "Mg+2": 2, "NO3-": 12, "H2PO4-": 1, "SO4-2": 3.5}, 2.132),
    ({"NH4+": 1.25, "K+": 11, "Ca+2": 4.5, "Mg+2": 1, "NO3-": 19, "SO4-2": 1.125, "H2PO4-": 2}, 2.630),
    (
        {"Ca+2": 2.249, "NO3-": 9.7945, "NH4+": 0.9251, "K+": 5.3711, "H2PO4-": 0.9997, "Mg+2": 0.9978,
         "SO4-2": 0.9978},
        1.481,
    ),
]  # fmt: skip


@pytest.mark.parametrize(("molal", "stated"), PHREEQC)
def test_recipes_against_phreeqc(molal, stated):
    ions = {ion: Q(value * KG_25, "mmol/L") for ion, value in molal.items()}
    assert chemistry.conductivity(ions, ROOM).m_as("mS/cm") == pytest.approx(
        stated, rel=0.05
    )  # the error taught


@pytest.mark.parametrize(
    ("ion", "stated"),
    # CRC Handbook, limiting equivalent conductivity at 25 °C (K, Cl, Mg, Ca in a secondary copy; others from memory)
    [("K+", 73.48), ("Cl-", 76.31), ("Mg+2", 53.0), ("Ca+2", 59.47), ("Na+", 50.08), ("NH4+", 73.5),
     ("NO3-", 71.42), ("SO4-2", 80.0), ("HCO3-", 44.5), ("H+", 349.65)],
)  # fmt: skip
def test_limiting_conductivities_against_the_handbook(ion, stated):
    # the polynomials are fits: KCl comes out 1.1 % high in all, so an ion may be off by 1 %; a lost sign is 5 %
    assert chemistry.limiting_conductivity(ion, ROOM).m_as("S*cm^2/mol") == pytest.approx(stated, rel=0.01)


def test_ions_mixed_up_in_order_make_no_difference_and_pairs_lower_the_reading():
    sulfate = {"Mg+2": Q(5, "mmol/L"), "SO4-2": Q(5, "mmol/L")}
    nitrate = {"Mg+2": Q(5, "mmol/L"), "NO3-": Q(10, "mmol/L")}
    turned = chemistry.conductivity(dict(reversed(sulfate.items())), ROOM).magnitude
    assert turned == pytest.approx(chemistry.conductivity(sulfate, ROOM).magnitude)
    assert chemistry.conductivity(sulfate, ROOM) < 0.75 * chemistry.conductivity(nitrate, ROOM)


def test_half_strength_is_more_than_half_the_reading():
    whole = recipe_solution("Hoagland 1").ions
    half = {ion: value / 2 for ion, value in whole.items()}
    ratio = (chemistry.conductivity(half, ROOM) / chemistry.conductivity(whole, ROOM)).magnitude
    assert 0.51 < ratio < 0.55  # PHREEQC: 1.14 of 2.16 mS/cm


def test_arrays_of_solutions_and_temperatures():
    temperatures = Q([10.0, 20.0, 25.0], "degC")
    strengths = np.array([[0.5], [1.0]])
    ions = {ion: value * strengths for ion, value in recipe_solution("Steiner").ions.items()}
    many = chemistry.conductivity(ions, temperatures).m_as("mS/cm")
    assert many.shape == (2, 3)
    for i in range(2):
        for j in range(3):
            single = chemistry.conductivity({k: v[i, 0] for k, v in ions.items()}, temperatures[j]).m_as(
                "mS/cm"
            )
            assert many[i, j] == pytest.approx(single, rel=1e-8)


def test_conductivity_rises_about_two_percent_a_degree():
    # KCl 1.92 % from the CRC table; nutrient solutions 1.9 to 2.1 (from memory), PHREEQC 2.04 for this one.
    # The model gives 1.90, and says so in its limits.
    ions = recipe_solution("Hoagland 1").ions
    cold, warm = (chemistry.conductivity(ions, Q(t, "degC")).m_as("mS/cm") for t in (15, 25))
    assert 1.85 < (warm - cold) / warm / 10 * 100 < 2.1


def test_pure_water_reads_nothing_and_rain_water_little():
    assert chemistry.conductivity({}, ROOM).magnitude == 0


def test_hand_rule_by_hand():
    # 0.095 x (6 + 2 x 5 + 2 x 2) + 0.19 = 2.09
    assert chemistry.conductivity_from_cations(recipe_solution("Hoagland 1").ions).m_as(
        "mS/cm"
    ) == pytest.approx(2.09, abs=1e-9)


@pytest.mark.parametrize(
    ("ions", "temperature", "error", "words"),
    [
        ({"K+": 5}, ROOM, UnitNeeded, "no unit"),
        ({"K+": Q(5, "g")}, ROOM, UnitNeeded, "a mass"),
        ({"K+": Q(-5, "mmol/L")}, ROOM, OutOfRange, "less than zero"),
        ({"Unobtainium": Q(5, "mmol/L")}, ROOM, Unreadable, "no ion"),
        ({"K+": Q(5, "mmol/L")}, 25, UnitNeeded, "temperature"),
        ({"K+": Q(5, "mmol/L")}, Q(95, "degC"), OutOfRange, "95"),
    ],
)
def test_wrong_input_gets_a_sentence(ions, temperature, error, words):
    with pytest.raises(error, match=words):
        chemistry.conductivity(ions, temperature)


def test_a_solution_too_strong_for_the_model_is_refused():
    """The equation behind the pairs ends at an ionic strength of 0.5 mol/kg; before, its value there was kept."""
    assert chemistry.conductivity(potassium_chloride(0.499, KG_25), ROOM).magnitude > 50
    for strong in (potassium_chloride(0.501, KG_25), {"Mg+2": Q(200, "mmol/L"), "NO3-": Q(400, "mmol/L")}):
        with pytest.raises(OutOfRange, match=r"up to an ionic strength of 0.5"):
            chemistry.conductivity(strong, ROOM)


@pytest.mark.parametrize(
    ("ion", "handbook"),
    [("K+", 73.48), ("Cl-", 76.31), ("Ca+2", 59.47), ("Mg+2", 53.0), ("HCO3-", 44.5), ("NH4+", 73.5)],
)
def test_limiting_conductivities_lie_within_one_percent_of_the_handbook(ion, handbook):
    """CRC Handbook, infinite dilution, 25 degC (secondary copy; the last two from memory).

    Potassium is the farthest off, 74.13: 0.65 where 0.6 was hoped for, so it is no stated check.
    """
    assert chemistry.limiting_conductivity(ion, ROOM).m_as("S*cm^2/mol") == pytest.approx(handbook, rel=0.01)


def test_limiting_of_an_ion_without_coefficients_says_which_there_are():
    with pytest.raises(Unreadable, match=r"MoO4-2.*It has: Ca\+2"):
        chemistry.limiting_conductivity("MoO4-2", ROOM)


# Pairs and gypsum


@settings(deadline=None)
@given(
    st.lists(st.floats(0, 0.5), min_size=4, max_size=4),
    st.floats(0, 40),
)
def test_pairs_keep_every_ion(totals, celsius):
    calcium, magnesium, potassium, sulfate = totals
    left, root = chemistry.free_ions(
        {"Ca+2": calcium, "Mg+2": magnesium, "K+": potassium, "SO4-2": sulfate}, celsius
    )
    bound = sum(
        t - left[k] for t, k in zip((calcium, magnesium, potassium), ("Ca+2", "Mg+2", "K+"), strict=True)
    )
    assert all(value >= -1e-12 for value in left.values())
    assert left["SO4-2"] + bound == pytest.approx(sulfate, abs=1e-9)
    assert root >= 0


def test_gypsum_solubility_against_the_handbook_and_the_naive_answer():
    solubility = chemistry.gypsum_solubility(ROOM).m_as("mmol/kg")
    assert solubility == pytest.approx(15.1, rel=0.03)  # CRC Handbook, from memory; PHREEQC 3.8.6 15.05
    assert solubility > 2.5 * 1000 * 10 ** (-4.58 / 2)  # without activity and pairs: 5.1, three times too low


def test_gypsum_in_hoagland_1_at_working_strength():
    index = chemistry.gypsum_saturation_index(recipe_solution("Hoagland 1").ions, Q(20, "degC"))
    assert float(index) == pytest.approx(-1.12, abs=0.1)  # PHREEQC 3.8.6


def test_one_tank_concentrate_loses_its_sulfate_and_two_tanks_nothing():
    whole = {ion: value * 100 for ion, value in recipe_solution("Hoagland 1").ions.items()}
    formed = chemistry.gypsum_precipitated(whole, Q(20, "degC")).m_as("mol/kg")
    assert formed == pytest.approx(0.19, rel=0.05)  # PHREEQC 3.8.6 0.1904, 95 % of the sulfate
    without = {ion: value for ion, value in whole.items() if ion != "Ca+2"}
    assert chemistry.gypsum_precipitated(without, Q(20, "degC")).magnitude == 0
    assert chemistry.gypsum_saturation_index(without, Q(20, "degC")) == -np.inf


def test_what_gypsum_leaves_is_just_saturated():
    ions = {
        "Ca+2": Q(60, "mmol/L"),
        "SO4-2": Q(40, "mmol/L"),
        "Na+": Q(80, "mmol/L"),
        "Cl-": Q(120, "mmol/L"),
    }
    fallen = chemistry.gypsum_precipitated(ions, ROOM).m_as("mol/kg") * 1000 * KG_25
    rest = {**ions, "Ca+2": Q(60 - fallen, "mmol/L"), "SO4-2": Q(40 - fallen, "mmol/L")}
    assert 0 < fallen < 40
    assert float(chemistry.gypsum_saturation_index(rest, ROOM)) == pytest.approx(0, abs=1e-4)


def test_osmotic_pressure_of_steiner():
    # Steiner (1984), from memory: 30 mmol of ions in a litre, 0.72 atm
    pressure = osmotic_pressure(recipe_solution("Steiner").ions, Q(20, "degC"))
    assert pressure.m_as("atm") == pytest.approx(0.7217, abs=0.005)


def test_the_error_on_potassium_chloride_is_what_is_stated():
    """The standards of the CRC Handbook from 0 to 35 °C; the ends of the stated range are reached, to its rounding."""
    low, high = (number("mixing", "conductivity", f"KCl error {end}", "percent") for end in ("low", "high"))
    table = load("conductivity-standard")
    errors = []
    for moles in (0.01, 0.1):
        for item in table.items_named:
            celsius = Q(float(item.split()[0]), "degC")
            amount = Q(moles, "mol/kg") * water_density(celsius)
            found = chemistry.conductivity({"K+": amount, "Cl-": amount}, celsius)
            errors.append(
                100 * (found / table[item, f"{moles:g} mol/kg KCl"].quantity).m_as("dimensionless") - 100
            )
    assert low <= min(errors) < low + 0.1
    assert high - 0.1 < max(errors) <= high
