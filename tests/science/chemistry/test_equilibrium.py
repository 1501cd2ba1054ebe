"""The acid-base and ion-pair equilibrium: standards, conservation, limits."""

import re

import numpy as np
import pytest
from buffers import STANDARDS
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science.chemistry.equilibrium import (
    conservative_charge,
    debye_hueckel_slope,
    dic_from_alkalinity,
    log_pco2_of_air,
    reagent_to_ph,
    solve,
    titration_alkalinity,
)
from stilltank.units import OutOfRange, Problem, Q

CHARGES = {"K": 1, "Na": 1, "Ca": 2, "Mg": 2, "NO3": -1, "Cl": -1, "SO4": -2}
HOLDS = {  # how each total shows in the name of a species
    "Ca": "Ca", "Mg": "Mg", "P": "PO4", "SO4": "SO4", "DIC": "CO", "NH4": "NH", "B": "B", "citrate": "citrate",
}  # fmt: skip


def state(celsius=25.0, **mmol):
    """A state from mmol in a kg of water, its strong charge from its ions."""
    totals = {key: np.asarray(value) / 1000 for key, value in mmol.items()}
    strong = sum(CHARGES.get(key, 0) * value for key, value in totals.items())
    return totals | {"strong_charge": strong, "temperature": celsius}


def charge(species):
    sign, size = re.search(r"([+-]?)(\d*)$", species).groups()
    return int(f"{sign}{size or 1}") if sign else 0


amounts = st.floats(0, 0.03)
solutions = st.fixed_dictionaries(
    dict.fromkeys(("Ca", "Mg", "K", "Na", "NH4", "NO3", "SO4", "Cl", "P", "B", "DIC", "citrate"), amounts)
    | {"temperature": st.floats(0, 40)}
).map(lambda one: one | {"strong_charge": sum(z * one[key] for key, z in CHARGES.items())})


# NIST primary standards at 0, 10, 20, 25, 30, 40 degC (Bates 1962; Staples and Bates 1969; third decimals from
# memory). Tolerance 0.02: what the Davies equation, without fitted ion sizes, comes to (0.019 at most measured).
@pytest.mark.parametrize(
    ("mmol", "standard"),
    [
        ({"K": 25, "Na": 50, "P": 50}, STANDARDS["phosphate"]),
        ({"K": 8.695, "Na": 60.86, "P": 39.125}, [7.534, 7.472, 7.429, 7.413, 7.400, 7.380]),
        ({"Na": 75, "DIC": 50}, STANDARDS["carbonate"]),
        ({"Na": 20, "B": 40}, STANDARDS["borax"]),
    ],
    ids=["equimolal phosphate", "blood phosphate", "carbonate", "borax"],
)
def test_buffer_standards(mmol, standard):
    celsius = np.array([0, 10, 20, 25, 30, 40])
    assert solve(state(celsius, **mmol)).ph == pytest.approx(standard, abs=0.02)


def test_citrate_standard():
    # 0.05 mol/kg potassium dihydrogen citrate, 25 degC: 3.776 (Bates 1962, from memory). Tolerance 0.05: the
    # constants are from memory too.
    assert solve(state(K=50, citrate=50)).ph == pytest.approx(3.776, abs=0.05)


def test_pure_water_is_neutral_at_its_own_ph():
    # Half of pKw (IAPWS R11-07, iapws 1.5.5): 14.946, 14.534, 13.994, 13.534. Half the tolerance of pKw, 0.01.
    celsius = np.array([0.01, 10, 25, 40])
    assert solve({"temperature": celsius}).ph == pytest.approx([7.473, 7.267, 6.997, 6.767], abs=0.005)


def test_water_in_air():
    # PHREEQC 3.7.3 and 3.8.6: 5.598 at 420 ppm, 5.609 at 400 ppm; sodium bicarbonate water of 25 and 100 mg/L
    # as CaCO3: 7.880, 8.461. Tolerance: rounding, and the solubility of CO2 by another equation.
    assert solve({}, log_pco2=np.log10([420e-6, 400e-6])).ph == pytest.approx([5.598, 5.609], abs=0.001)
    soft = state(Na=np.array([25, 100]) / 50.043)
    assert solve(soft, log_pco2_of_air()).ph == pytest.approx([7.880, 8.461], abs=0.001)


def test_strong_acid_by_the_definition_of_ph():
    # 0.01 mol/kg HCl: pH = 2 - log gamma; Davies, A = 0.510: log gamma = -0.510 (0.1/1.1 - 0.003) = -0.0448.
    assert solve(state(Cl=10)).ph == pytest.approx(2.0448, abs=0.0005)


def test_slope_of_the_limiting_law():
    # A at 25 degC is 0.5091 to 0.5115 in handbooks (from memory); at 0 degC 0.4913 (Bates, from memory).
    assert debye_hueckel_slope(Q(298.15, "K")) == pytest.approx(0.510, abs=0.0015)
    assert debye_hueckel_slope(Q(273.15, "K")) == pytest.approx(0.491, abs=0.0015)


def test_gypsum_pairs_carry_a_third_of_saturated_gypsum():
    # CRC: 15.1 mmol/kg CaSO4 dissolve at 25 degC with log Ksp -4.58 (from memory). Free ions alone: the product
    # of activities at that total must come to Ksp. Tolerance 0.05 in log: 6 percent in solubility.
    found = solve(state(Ca=15.1, SO4=15.1))
    root = np.sqrt(found.ionic_strength)
    log_gamma = -0.510 * 4 * (root / (1 + root) - 0.3 * root**2)
    product = np.log10(found.species["Ca+2"] * found.species["SO4-2"]) + 2 * log_gamma
    assert product == pytest.approx(-4.58, abs=0.05)
    assert 0.25 < found.species["CaSO4"] / 0.0151 < 0.4


@given(solutions)
@settings(max_examples=80, deadline=None)
def test_every_atom_and_every_charge_is_accounted_for(one):
    try:
        found = solve(one)
    except OutOfRange as refusal:
        assert re.search(r"pH 1 to 13|too strong", str(refusal))  # noqa: PT017 (the only two ways out)
        return
    for total, mark in HOLDS.items():
        held = sum(c for name, c in found.species.items() if mark in name)
        assert held == pytest.approx(one[total], rel=1e-7, abs=1e-15)
    balance = sum(charge(name) * c for name, c in found.species.items())
    assert abs(balance) < 1e-9 * max(1e-6, sum(abs(charge(n)) * c for n, c in found.species.items()))
    strength = sum(charge(name) ** 2 * c for name, c in found.species.items()) / 2
    assert found.ionic_strength == pytest.approx(strength, rel=1e-7)


@given(
    st.floats(0.0002, 0.008), st.floats(6.0, 9.0), st.floats(0, 40), st.floats(0, 0.0005), st.floats(0, 0.002)
)
@settings(max_examples=50, deadline=None)
def test_carbonate_from_alkalinity_gives_the_ph_back(alkalinity, ph, celsius, phosphorus, ammonium):
    water = {"Ca": alkalinity / 2, "P": phosphorus, "NH4": ammonium, "SO4": 0.0005}
    try:
        dic = dic_from_alkalinity(alkalinity, ph, celsius, water)
    except OutOfRange:
        assert phosphorus + ammonium > alkalinity / 10  # only other bases can leave no room for carbonate
        return
    water |= {"DIC": dic, "temperature": celsius}
    water["strong_charge"] = conservative_charge(alkalinity, ammonium, phosphorus)
    assert solve(water).ph == pytest.approx(ph, abs=1e-7)
    assert titration_alkalinity(water) == pytest.approx(alkalinity)


def test_closed_keeps_carbonate_and_open_keeps_alkalinity():
    hard = state(Ca=np.array([1.0, 2.5]), DIC=np.array([2.1, 5.2]))
    assert solve(hard).dic == pytest.approx(hard["DIC"])
    air = solve(hard, log_pco2_of_air())
    assert air.log_pco2 == pytest.approx(log_pco2_of_air())
    species = air.species
    pairs = species["CaHCO3+"] + 2 * species["CaCO3"] + species["CaOH+"]
    alkalinity = species["HCO3-"] + 2 * species["CO3-2"] + pairs + species["OH-"] - species["H+"]
    assert alkalinity == pytest.approx(2 * hard["Ca"], rel=1e-8)


def test_one_at_a_time_and_all_at_once_are_the_same():
    ph = []
    for acid in np.linspace(0, 3, 13):
        one = state(K=6, Ca=5, Mg=2, P=1, SO4=2, NO3=15 - 2 + acid, DIC=2.1)
        found = solve(one)
        assert np.ndim(found.ph) == 0
        assert np.ndim(found.species["HCO3-"]) == 0
        ph.append(found.ph)
    many = state(K=6, Ca=5, Mg=2, P=1, SO4=2, NO3=13 + np.linspace(0, 3, 13), DIC=2.1)
    assert solve(many).ph == pytest.approx(ph, abs=1e-8)
    grid = solve(many | {"temperature": np.array([[10.0], [25.0]])})
    assert grid.ph.shape == (2, 13)
    assert grid.ph[1] == pytest.approx(ph, abs=1e-8)


def test_empty_batch():
    assert solve({"Na": np.zeros(0), "temperature": np.zeros(0)}).ph.shape == (0,)


def test_a_dose_of_any_reagent_reaches_its_ph():
    for reagent in (
        {"Cl": 1, "strong_charge": -1},
        {"P": 1},
        {"SO4": 1, "strong_charge": -2},
        {"citrate": 1},
    ):
        before = state(Ca=2.5, Mg=1, DIC=5.2, K=3, NO3=3)
        before["strong_charge"] = 0.005
        found = reagent_to_ph(before, np.array([6.5, 5.5, 4.5]), reagent)
        after = dict(before)
        for key, share in reagent.items():
            after[key] = after.get(key, 0.0) + share * found.dose
        assert solve(after).ph == pytest.approx([6.5, 5.5, 4.5], abs=1e-7)
    lime = reagent_to_ph(state(NO3=1), 6.0, {"Ca": 1, "strong_charge": 2})
    assert lime.dose == pytest.approx(0.0005, rel=0.01)


def test_half_strength_solution_with_and_without_phosphate():
    # 0.1 mmol base into half-strength solution at pH 5.8: 6.4 with 0.5 mmol phosphate and 9.8 with none (PHREEQC
    # 3.8.6, in the notes to one decimal, hence 0.06). There magnesium holds a fifth of the hydroxide.
    base = {"K": 1, "strong_charge": 1}
    for phosphate, expected, tolerance in ((0.5, 6.4, 0.06), (0.0, 9.8, 0.06)):
        half = state(K=3, Ca=2.5, Mg=1, SO4=1, P=phosphate, NO3=8 - phosphate)
        start = reagent_to_ph(half, 5.8, base).dose
        half["strong_charge"] = half["strong_charge"] + start + 0.0001
        assert solve(half).ph == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("bad", "kind", "sentence"),
    [
        ({"Fe": 0.001}, Problem, "does not know Fe"),
        ({"Ca": -0.001}, OutOfRange, "Ca cannot be below zero"),
        ({"Ca": np.nan}, OutOfRange, "Ca has a value that is not one"),
        ({"temperature": 45}, OutOfRange, "from 0 to 40 degC; 45 degC"),
        ({"K": 0.6, "NO3": 0.6}, OutOfRange, "more than the 0.5"),
        ({"K": 0.45, "NO3": 0.45, "Na": 0.2, "Cl": 0.2}, OutOfRange, "too strong"),
        ({"NO3": 0.2, "strong_charge": -0.2}, OutOfRange, "from pH 1 to 13"),
        ({"K": 0.3, "strong_charge": 0.3}, OutOfRange, "from pH 1 to 13"),
    ],
)
def test_what_lies_outside_is_refused_in_a_sentence(bad, kind, sentence):
    with pytest.raises(kind, match=sentence):
        solve(bad)


def test_doses_outside_are_refused_in_a_sentence():
    with pytest.raises(OutOfRange, match=r"pH 0.5 lies outside"):
        reagent_to_ph({}, 0.5, {"P": 1})
    with pytest.raises(OutOfRange, match="Choose a nearer pH"):
        reagent_to_ph({}, 1.3, {"citrate": 1})
    with pytest.raises(OutOfRange, match="No amount"):
        reagent_to_ph({"Na": 0.002, "strong_charge": 0.002}, 5.0, {"Na": 1})


def test_alkalinity_and_ph_that_do_not_belong_together():
    with pytest.raises(OutOfRange, match="too low for the pH"):
        dic_from_alkalinity(0.0001, 12.0)
    with pytest.raises(OutOfRange, match="more CO2 than soda water"):
        dic_from_alkalinity(0.002, 3.5)
