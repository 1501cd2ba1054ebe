"""Density of water."""

import numpy as np
import pytest
from stilltank.science.pure_water import density, water_density
from stilltank.units import OutOfRange, Q, UnitNeeded


def test_against_the_standard_for_water():
    # IAPWS95 at 101.325 kPa (iapws 1.5.5). Tolerance: Tanaka's formula and IAPWS-95 differ by up to 0.0012.
    celsius = np.array([4.0, 10.0, 20.0, 25.0, 30.0, 40.0])
    standard = [999.9749, 999.7025, 998.2072, 997.0476, 995.6495, 992.2164]
    assert water_density(Q(celsius, "degC")).m_as("kg/m^3") == pytest.approx(standard, abs=0.0015)


def test_other_units_and_shapes():
    assert water_density(Q(77, "degF")).m_as("g/mL") == pytest.approx(0.9970470, abs=1e-6)  # 25 degC
    assert density(np.full((2, 3), 25.0)).shape == (2, 3)


@pytest.mark.parametrize("celsius", [-0.1, 40.1, [20.0, 60.0]])
def test_outside_its_range_it_says_so(celsius):
    with pytest.raises(OutOfRange, match="from 0 °C to 40 °C"):
        water_density(Q(celsius, "degC"))


def test_a_bare_number_is_refused():
    with pytest.raises(UnitNeeded, match="a temperature"):
        water_density(25)


def test_a_refusal_speaks_in_fahrenheit_to_who_asked_in_it():
    with pytest.raises(OutOfRange, match="from 32 °F to 104 °F; 120 °F lies outside"):
        water_density(Q(120, "degF"))
