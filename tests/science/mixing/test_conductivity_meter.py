"""What a meter shows: the model's error against PHREEQC, compensation for temperature, and the scales called ppm."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import chemistry
from stilltank.science.mixing import (
    Water,
    conductance_in_place,
    conductivity_from_ppm,
    expected_conductivity,
    mix,
    ppm_reading,
    ppm_scales,
    recipe_solution,
    specific_conductance,
)
from stilltank.science.products import acid, acid_as_nutrient_source
from stilltank.science.pure_water import water_density
from stilltank.tables import number
from stilltank.units import OutOfRange, Q, UnitNeeded, Unreadable

HALF = {"K+": 3, "Ca+2": 2.5, "Mg+2": 1, "NO3-": 7.5, "H2PO4-": 0.5, "SO4-2": 1}
# mmol/kg water, and uS/cm at 10, 15, 20, 25, 30 and 35 °C: PHREEQC 3.8.6 with its phreeqc.dat (the engine that comes
# with pyEQL 1.7.0), one SOLUTION block each, pH by charge balance, no CO2. Computed there, not measured.
CELSIUS = (10, 15, 20, 25, 30, 35)
PHREEQC = {
    "Hoagland 1": ({"K+": 6, "Ca+2": 5, "Mg+2": 2, "NO3-": 15, "H2PO4-": 1, "SO4-2": 2},
                   (1512.5, 1722.5, 1939.7, 2163.2, 2392.0, 2625.3)),
    "Hoagland 2": ({"K+": 6, "Ca+2": 4, "Mg+2": 2, "NO3-": 14, "NH4+": 1, "H2PO4-": 1, "SO4-2": 2},
                   (1457.6, 1659.6, 1868.5, 2083.2, 2303.0, 2527.0)),
    "Steiner": ({"K+": 7, "Ca+2": 4.5, "Mg+2": 2, "NO3-": 12, "H2PO4-": 1, "SO4-2": 3.5},
                (1491.6, 1698.6, 1912.4, 2132.2, 2356.9, 2585.7)),
    "Sonneveld lettuce": ({"NH4+": 1.25, "K+": 11, "Ca+2": 4.5, "Mg+2": 1, "NO3-": 19, "SO4-2": 1.125, "H2PO4-": 2},
                          (1844.9, 2098.6, 2360.7, 2630.3, 2906.3, 3187.9)),
    "Sonneveld gerbera": ({"NH4+": 1.5, "K+": 5.5, "Ca+2": 3, "Mg+2": 1, "NO3-": 11.25, "SO4-2": 1.25, "H2PO4-": 1.25},
                          (1195.5, 1361.1, 1532.5, 1708.8, 1889.6, 2074.0)),
    "modified Sonneveld": ({"Ca+2": 2.249, "NO3-": 9.7945, "NH4+": 0.9251, "K+": 5.3711, "H2PO4-": 0.9997,
                            "Mg+2": 0.9978, "SO4-2": 0.9978}, (1035.9, 1179.3, 1327.8, 1480.5, 1637.0, 1796.6)),
    "Cooper": ({"Ca+2": 4.2474, "NO3-": 14.2612, "K+": 7.6990, "H2PO4-": 1.9325, "Mg+2": 2.0814, "SO4-2": 2.0814},
               (1536.5, 1748.9, 1968.3, 2193.8, 2424.4, 2659.3)),
    "leafy": ({"Ca+2": 2.2456, "NO3-": 10.3167, "NH4+": 0.372, "K+": 5.3711, "H2PO4-": 1.0008, "SO4-2": 0.4458,
               "Mg+2": 0.9874}, (993.1, 1130.4, 1272.4, 1418.6, 1568.5, 1721.5)),
    "flowering": ({"Ca+2": 2.9942, "NO3-": 12.1841, "NH4+": 0.496, "K+": 5.499, "H2PO4-": 1.2591, "SO4-2": 0.2575,
                   "Mg+2": 0.9874}, (1121.1, 1276.0, 1436.3, 1601.2, 1770.4, 1943.1)),
    "half Hoagland 1": (HALF, (793.8, 904.8, 1019.8, 1138.2, 1259.6, 1383.6)),
    "quarter Hoagland 1": ({key: value / 2 for key, value in HALF.items()}, (412.8, 470.9, 531.1, 593.3, 657.1, 722.4)),
}  # fmt: skip


def model(molal, celsius):
    litre = water_density(Q(celsius, "degC"))
    found = {ion: (Q(value, "mmol/kg") * litre).to("mmol/L") for ion, value in molal.items()}
    return chemistry.conductivity(found, Q(celsius, "degC")).m_as("uS/cm")


@pytest.mark.parametrize("name", PHREEQC)
def test_conductivity_at_25_degrees_is_within_five_percent_of_phreeqc(name):
    molal, stated = PHREEQC[name]
    assert model(molal, 25) == pytest.approx(stated[3], rel=0.05)  # the error that is taught


def test_the_errors_in_the_table_are_those_found():
    off = {t: [100 * (model(m, t) / s[CELSIUS.index(t)] - 1) for m, s in PHREEQC.values()] for t in CELSIUS}
    whole = [each for found in off.values() for each in found]
    for ends, where in ((off[25], ""), (whole, " elsewhere")):
        assert number("mixing", "conductivity", f"error low{where}", "percent") == pytest.approx(
            min(ends), abs=0.1
        )
        assert number("mixing", "conductivity", f"error high{where}", "percent") == pytest.approx(
            max(ends), abs=0.1
        )


@pytest.mark.parametrize(
    ("molality", "celsius", "stated"),
    # CRC Handbook, Standard KCl solutions for calibrating conductivity cells, p. 5-73 (secondary copy); uS/cm
    [(10, 25, 1408.23), (10, 20, 1273.03), (100, 25, 12824.6)],
)
def test_potassium_chloride_within_one_and_a_half_percent(molality, celsius, stated):
    assert model({"K+": molality, "Cl-": molality}, celsius) == pytest.approx(stated, rel=0.015)


@pytest.mark.parametrize("celsius", CELSIUS)
def test_the_range_holds_what_phreeqc_says(celsius):
    for molal, stated in PHREEQC.values():
        litre = water_density(Q(celsius, "degC"))
        made = mix({}, Q(1, "L")).plus({i: (Q(v, "mmol/kg") * litre).to("mmol/L") for i, v in molal.items()})
        expected = expected_conductivity(made, Q(celsius, "degC"))
        assert expected.low <= expected.value <= expected.high
        found = stated[CELSIUS.index(celsius)]
        # a tenth of a percent, for the errors in the table are rounded
        assert expected.low.m_as("uS/cm") * 0.999 <= found <= expected.high.m_as("uS/cm") * 1.001


def test_a_reading_far_off_is_not_in_the_range():
    expected = expected_conductivity(recipe_solution("Steiner"))
    assert not expected.holds(expected.value * 1.2)
    assert "mS/cm at 25 °C" in str(expected)


def test_bicarbonate_that_acid_has_used_up_carries_no_current():
    tap = Water({"Ca": Q(80, "mg/L")}, alkalinity=Q(200, "mg/L"), ph=7.6, temperature=Q(25, "degC"))
    bottle = acid("nitric acid 38 %")
    dosed = mix({acid_as_nutrient_source("nitric acid 38 %"): bottle.mass(Q(3.2, "mmol"))}, Q(1, "L"), tap)
    # 4.0 mmol/L of bicarbonate less 3.2 leaves 0.8 beside Ca 2.0 and NO3 3.2: the sum of ions by hand, diluted limit
    by_hand = {"Ca+2": Q(2.0, "mmol/L"), "NO3-": Q(3.2, "mmol/L"), "HCO3-": Q(0.8, "mmol/L")}
    right = expected_conductivity(dosed, after_acid=True).value.m_as("mS/cm")
    assert right == pytest.approx(chemistry.conductivity(by_hand, Q(25, "degC")).m_as("mS/cm"), rel=0.01)
    assert dosed.conductivity().m_as("mS/cm") > 2 * right  # all H+ and all bicarbonate counted side by side


# Temperature


@settings(deadline=None)
@given(st.floats(0, 20), st.floats(0, 40), st.floats(0, 3))
def test_compensation_goes_there_and_back(reading, celsius, coefficient):
    there = specific_conductance(Q(reading, "mS/cm"), Q(celsius, "degC"), Q(coefficient, "percent/K"))
    back = conductance_in_place(there, Q(celsius, "degC"), Q(coefficient, "percent/K"))
    assert back.m_as("mS/cm") == pytest.approx(reading, rel=1e-9, abs=1e-12)


def test_a_compensating_meter_reads_the_standard_nearly_right_at_20_degrees():
    # KCl, CRC Handbook (secondary copy): 1273.03 uS/cm at 20 °C, 1408.23 at 25; with its own 1.92 percent/K exact
    exact = specific_conductance(Q(1273.03, "uS/cm"), Q(20, "degC"), Q(1.9201, "percent/K")).m_as("uS/cm")
    assert exact == pytest.approx(1408.23, abs=0.1)
    usual = specific_conductance(Q(1273.03, "uS/cm"), Q(20, "degC")).m_as(
        "uS/cm"
    )  # by hand 1273.03/0.9 = 1414.5
    assert usual == pytest.approx(1414.48, abs=0.01)


def test_compensating_twice_is_wrong_by_a_fifth_at_15_degrees():
    once = specific_conductance(Q(1.6, "mS/cm"), Q(15, "degC"))
    assert (specific_conductance(once, Q(15, "degC")) / once).m_as("dimensionless") == pytest.approx(1.25)


# ppm


def test_scales_of_ppm():
    assert ppm_scales() == (500, 640, 700)
    assert [ppm_reading(Q(1.6, "mS/cm"), s) for s in ppm_scales()] == pytest.approx([800, 1024, 1120])
    assert conductivity_from_ppm(np.array([500, 1000]), 500).m_as("mS/cm") == pytest.approx([1, 2])


@settings(deadline=None)
@given(st.floats(0, 20), st.sampled_from([500, 640, 700]))
def test_ppm_goes_there_and_back(reading, scale):
    shown = ppm_reading(Q(reading, "mS/cm"), scale)
    assert conductivity_from_ppm(shown, scale).m_as("mS/cm") == pytest.approx(reading, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (
            lambda: conductivity_from_ppm(1000),
            Unreadable,
            "2 mS/cm on the scale of 500.*1.43 mS/cm on the scale of 700",
        ),
        (lambda: conductivity_from_ppm(1000, 600), Unreadable, "600 is none of them"),
        (lambda: conductivity_from_ppm(-1, 500), OutOfRange, "below zero"),
        (lambda: conductivity_from_ppm(Q(1000, "mg/L"), 500), Unreadable, "plain number"),
        (lambda: ppm_reading(1.6, 500), UnitNeeded, "a conductivity"),
        (lambda: ppm_reading(Q(-1, "mS/cm"), 500), OutOfRange, "below zero"),
        (lambda: specific_conductance(1.6, Q(20, "degC")), UnitNeeded, "reading"),
        (lambda: specific_conductance(Q(1.6, "mS/cm"), Q(60, "degC")), OutOfRange, "60"),
        (lambda: specific_conductance(Q(1.6, "mS/cm"), Q(20, "degC"), Q(20, "percent/K")), OutOfRange, "20"),
        (lambda: expected_conductivity(recipe_solution("Steiner"), 20), UnitNeeded, "temperature"),
        (lambda: expected_conductivity(recipe_solution("Steiner"), Q(70, "degC")), OutOfRange, "70"),
    ],
)
def test_wrong_readings_get_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
