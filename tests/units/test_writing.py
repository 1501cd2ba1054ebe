"""Numbers for people: digits, symbols, the choice of unit. Reading them back is tested in test_reading."""

import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.units import Q, UnitNeeded, ureg, write, write_range


@pytest.mark.parametrize(
    ("value", "unit", "metric", "us"),
    [
        (45, "L", "45 L", "11.9 US gal"),  # 45 / 3.785411784 = 11.888
        (4.8, "L", "4.8 L", "1.27 US gal"),
        (250, "mL", "250 mL", "8.45 US fl oz"),  # 250 / 29.5735 = 8.4535
        (0.2, "mL", "0.2 mL", "0.2 mL"),
        (12345, "L", "12\u202f300 L", "3260 US gal"),
        (2500, "m^3", "2500 m³", "660\u202f000 US gal"),
        (1, "gallon", "3.79 L", "1 US gal"),
        (1500, "g", "1.5 kg", "3.31 lb"),  # 1500 / 453.59237 = 3.3069
        (36, "g", "36 g", "1.27 oz"),
        (0.5, "g", "500 mg", "500 mg"),
        (30, "cm", "30 cm", "11.8 in"),
        (4, "mm", "4 mm", "0.157 in"),
        (210, "m", "210 m", "689 ft"),
        (0.24, "m^2", "0.24 m²", "2.58 ft²"),  # 0.24 / 0.09290304 = 2.5833
        (20, "degC", "20 °C", "68 °F"),
        (-5, "degC", "−5 °C", "23 °F"),
        (5, "delta_degC", "5 °C", "9 °F"),
        (1.8, "dS/m", "1.8 mS/cm", "1.8 mS/cm"),
        (55, "uS/cm", "55 µS/cm", "55 µS/cm"),
        (150, "mg/L", "150 mg/L", "150 mg/L"),
        (1.5, "mg/mL", "1500 mg/L", "1500 mg/L"),
        (120, "g/L", "120 g/L", "120 g/L"),
        (0.05, "mg/L", "0.05 mg/L", "0.05 mg/L"),
        (1, "day", "1 day", "1 day"),
        (72, "hour", "3 days", "3 days"),
        (90, "minute", "1.5 h", "1.5 h"),
        (4, "mm/day", "4 mm/day", "0.157 in/day"),
        (2, "m/s", "2 m/s", "4.47 mph"),
        (0.3, "L/day", "300 mL/day", "10.1 US fl oz/day"),
        (101.3, "kPa", "101 kPa", "101 kPa"),
        (80, "percent", "80 %", "80 %"),
        (6.2, "dimensionless", "6.2", "6.2"),
        (41.5, "degree", "41.5°", "41.5°"),
        (22, "MJ/m^2/day", "22 MJ/m²/day", "22 MJ/m²/day"),
        (681, "delta_degC*day", "681 °C day", "681 °C day"),
        (5, "1/day", "5 per day", "5 per day"),
        (5, "percent/day", "5 %/day", "5 %/day"),
        (5, "mL/L", "5 mL/L", "5 mL/L"),
        (1, "fluid_ounce/gallon", "7.81 mL/L", "7.81 mL/L"),  # 1 / 128
        (5, "g/kg", "5 g/kg", "5 g/kg"),
        (2e-9, "m^2/s", "2 × 10⁻⁹ m²/s", "2 × 10⁻⁹ m²/s"),
        (0, "L", "0 L", "0 US gal"),
    ],
)
def test_written(value, unit, metric, us):
    assert write(Q(value, unit)) == metric
    assert write(Q(value, unit), "US") == us


# Where the next unit begins: a metre is written from 2 m on, a foot from 4 ft, a cubic metre from 100 of them.
@pytest.mark.parametrize(
    ("value", "unit", "system", "text"),
    [
        (99, "m^3", "metric", "99\u202f000 L"),
        (100, "m^3", "metric", "100 m³"),
        (99, "uL", "metric", "99 µL"),
        (100, "uL", "metric", "0.1 mL"),
        (31, "fluid_ounce", "US", "31 US fl oz"),
        (32, "fluid_ounce", "US", "1 US qt"),
        (112, "fluid_ounce", "US", "3.5 US qt"),
        (127, "fluid_ounce", "US", "3.97 US qt"),
        (128, "fluid_ounce", "US", "1 US gal"),
        (5, "mL", "US", "5 mL"),
        (0.9, "fluid_ounce", "US", "26.6 mL"),
        (1, "fluid_ounce", "US", "1 US fl oz"),
        (96, "fluid_ounce/day", "US", "3 US qt/day"),
        (999, "g", "metric", "999 g"),
        (1000, "g", "metric", "1 kg"),
        (0.9, "mg", "metric", "900 µg"),
        (0.09, "oz", "US", "2.55 g"),
        (0.1, "oz", "US", "0.1 oz"),
        (15.9, "oz", "US", "15.9 oz"),
        (16, "oz", "US", "1 lb"),
        (0.9, "g", "US", "900 mg"),
        (199, "cm", "metric", "199 cm"),
        (2, "m", "metric", "2 m"),
        (999, "m", "metric", "999 m"),
        (1000, "m", "metric", "1 km"),
        (0.09, "mm", "metric", "90 µm"),
        (0.1, "mm", "metric", "0.1 mm"),
        (47, "inch", "US", "47 in"),
        (48, "inch", "US", "4 ft"),
        (5280, "foot", "US", "1 mile"),
        (10_560, "foot", "US", "2 miles"),
        (99, "cm^2", "metric", "99 cm²"),
        (100, "cm^2", "metric", "0.01 m²"),
        (143, "inch^2", "US", "143 in²"),
        (144, "inch^2", "US", "1 ft²"),
        (0.9, "ug/L", "metric", "0.9 µg/L"),
        (1, "ug/L", "metric", "0.001 mg/L"),
        (9.9, "g/L", "metric", "9900 mg/L"),
        (10, "g/L", "metric", "10 g/L"),
        (9, "umol/L", "metric", "9 µmol/L"),
        (10, "umol/L", "metric", "0.01 mmol/L"),
        (999, "mmol/L", "metric", "999 mmol/L"),
        (1, "mol/L", "metric", "1 mol/L"),
        (9, "umol", "metric", "9 µmol"),
        (0.01, "mmol", "metric", "0.01 mmol"),
        (1, "mol", "metric", "1 mol"),
        (99, "uS/cm", "metric", "99 µS/cm"),
        (100, "uS/cm", "metric", "0.1 mS/cm"),
        (99, "Pa", "metric", "99 Pa"),
        (0.1, "kPa", "metric", "0.1 kPa"),
        (59, "s", "metric", "59 s"),
        (60, "s", "metric", "1 min"),
        (59, "minute", "metric", "59 min"),
        (23, "hour", "metric", "23 h"),
        (24, "hour", "metric", "1 day"),
        (999, "mL/day", "metric", "999 mL/day"),
        (1, "L/day", "metric", "1 L/day"),
        (1, "gallon/day", "US", "1 US gal/day"),
        (86, "mm/day", "metric", "86 mm/day"),
        (86.4, "m/day", "metric", "0.001 m/s"),
        (-0.5, "L", "metric", "−500 mL"),
        (0, "g", "US", "0 oz"),
        (0, "cm", "US", "0 in"),
        (0, "m^2", "US", "0 ft²"),
        (9999, "dimensionless", "metric", "10\u202f000"),
    ],
)
def test_where_the_next_unit_begins(value, unit, system, text):
    assert write(Q(value, unit), system) == text


def test_both_systems_side_by_side():
    assert write(Q(45, "L"), "both") == "45 L (11.9 US gal)"
    assert write(Q(150, "mg/L"), "both") == "150 mg/L"
    assert write_range(Q(2, "L"), Q(3, "L"), "both") == "2 to 3 L (2.11 to 3.17 US qt)"


def test_rounding_moves_to_the_next_unit():
    assert write(Q(999.6, "mL")) == "1 L"
    assert write(Q(999.4, "mL")) == "999 mL"
    assert write(Q(999.9, "mg")) == "1 g"


def test_digits():
    assert write(Q(1234.5678, "mg/L"), digits=6) == "1234.57 mg/L"
    assert write(Q(1234.5678, "mg/L"), digits=1) == "1000 mg/L"
    assert write(Q(2.0, "mg/L"), digits=5) == "2 mg/L"


def test_arrays_share_one_unit():
    assert write(Q([900, 2500], "mL")) == "0.9, 2.5 L"
    assert write(Q(np.arange(20), "cm")) == "0 to 19 cm (20 values)"
    assert write(Q([1, math.nan], "L")) == "1 L, unknown"
    assert write(Q([], "L")) == "none"


def test_ranges():
    assert write_range(Q(2, "L"), Q(3, "L")) == "2 to 3 L"
    assert write_range(Q(2, "L"), Q(2.001, "L")) == "2 L"
    assert write_range(5.5, 6.5) == "5.5 to 6.5"


def test_what_is_missing_or_endless():
    assert write(Q(math.nan, "L")) == "unknown"
    assert write(math.nan) == "unknown"
    assert write(Q(math.inf, "L")) == "unlimited"
    assert write(Q(-math.inf, "L")) == "without a lower end"
    assert (
        write(Q(math.inf, "day"))
        == write(Q(math.inf, "hour"))
        == write(Q(math.inf, "day"), "both")
        == "never"
    )
    assert write(Q([52.7, math.inf], "day")) == "52.7 days, never"
    assert write(Q([20.0] * 7 + [30, math.inf, math.nan], "day")) == (
        "20 to 30 days (10 values, 1 of them never, 1 of them unknown)"
    )
    assert write_range(Q(49, "day"), Q(math.inf, "day")) == "49 days to never"
    assert write_range(Q(math.inf, "day"), Q(math.inf, "day")) == "never"


def test_refusals():
    for wrong in ("5 L", None, object()):
        with pytest.raises(UnitNeeded, match="quantity or a number"):
            write(wrong)
    with pytest.raises(UnitNeeded, match="systems"):
        write(Q(5, "L"), "imperial")
    for digits in (0, 16, 2.5, True):
        with pytest.raises(UnitNeeded, match="significant digits"):
            write(Q(5, "L"), digits=digits)
    with pytest.raises(UnitNeeded, match="one kind"):
        write_range(Q(5, "L"), Q(5, "g"))


UNITS = "L mL g mg kg cm m m^2 degC mS/cm mg/L mmol/L day kPa L/day mm/day percent g/m^2/day m^2/s 1/day mol umol/m^2/s"


@settings(max_examples=200, deadline=None)
@given(
    st.floats(allow_nan=False, allow_infinity=False, min_value=-1e12, max_value=1e12),
    st.sampled_from(UNITS.split()),
    st.sampled_from(["metric", "US", "both"]),
    st.integers(1, 9),
)
def test_never_a_power_of_e_and_never_letters_of_another_alphabet(value, unit, system, digits):
    text = write(Q(value, unit), system, digits)
    assert not re.search(r"\de[+-]?\d", text)
    assert "μ" not in text  # the Greek letter looks like µ and is not
    assert not re.search(r"\bl\b|ml|delta|degree|\*\*", text)


@settings(max_examples=200, deadline=None)
@given(st.floats(1e-6, 1e12), st.integers(1, 9))
def test_significant_digits(value, digits):
    """The figure written lies within half a unit of its last digit, and has no more digits than asked for."""
    text = write(value, digits=digits).replace("\u202f", "")
    assert float(text) == pytest.approx(value, rel=0.5 * 10 ** (1 - digits) * (1 + 1e-9))
    assert len(text.replace(".", "").strip("0")) <= digits


def test_every_unit_of_a_step_is_written_with_its_own_symbol():
    """A symbol in the table of steps means the unit beside it: pint reads most of them back."""
    from stilltank.units import read
    from stilltank.units.writing import _STEPS

    for kind, systems in _STEPS.items():
        for steps in systems.values():
            for _, unit, symbol in steps:
                quantity = read(f"1 {symbol}", "mass" if symbol == "oz" else None)
                assert quantity.m_as(unit) == pytest.approx(1), (kind, symbol)
    assert ureg.Unit("gallon") == read("1 US gal").units


@pytest.mark.parametrize(
    ("ways", "text"),
    [
        (["MJ/m^2/day", "MJ/day/m^2", "1/day*MJ/m^2", "1/m^2/day*MJ"], "1 MJ/m²/day"),
        (["kg*m/s^2/K", "m*kg/K/s^2"], "1 kg m/K/s²"),
        (["delta_degC*day", "day*delta_degC"], "1 °C day"),
    ],
)
def test_a_unit_has_one_text_however_it_was_made(ways, text):
    assert {write(Q(1, way)) for way in ways} == {text}
    made = Q(1, "MJ") / Q(1, "day") / Q(1, "m^2")
    assert write(made) == write(Q(1, "MJ") / Q(1, "m^2") / Q(1, "day")) == "1 MJ/m²/day"
