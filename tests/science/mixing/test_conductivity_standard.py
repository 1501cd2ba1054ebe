"""The calibration bottle against other people's tables."""

import numpy as np
import pytest
from stilltank.science.mixing import calibration_standard
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded


@pytest.mark.parametrize(("celsius", "printed"), [(20, 1278), (25, 1413), (30, 1552)])
def test_the_bottle_by_the_litre(celsius, printed):
    """A conductivity meter's manual, table of KCl standards; 0.3 % as the check table allows, rounded to 1 µS/cm."""
    assert calibration_standard(Q(celsius, "degC"), "litre").m_as("uS/cm") == pytest.approx(
        printed, rel=0.003
    )


def test_the_two_bottles_differ_by_the_density_of_water():
    """By hand: 1/0.99705 is 0.3 % more salt in each kilogram of water, and nearly as much more conductivity."""
    ratio = (calibration_standard(each="litre") / calibration_standard()).m_as("dimensionless")
    assert ratio == pytest.approx(1.003, abs=0.0005)


def test_arrays_and_a_rising_curve():
    row = calibration_standard(Q(np.arange(0.0, 35.5, 0.5), "degC")).m_as("uS/cm")
    assert row.shape == (71,)
    assert np.all(np.diff(row) > 0)


def test_between_the_table_s_temperatures():
    """CRC Handbook, 18 degC: 1219.93, 11140.6 µS/cm, from memory; the curve from 15 to 20 degC may miss by 0.05 %."""
    assert calibration_standard(Q(18, "degC")).m_as("uS/cm") == pytest.approx(1219.93, rel=0.0005)
    assert calibration_standard(Q(18, "degC"), moles=0.1).m_as("uS/cm") == pytest.approx(11140.6, rel=0.0005)


@pytest.mark.parametrize(
    ("given", "fault"),
    [
        ({"temperature": 25}, UnitNeeded),
        ({"temperature": Q(50, "degC")}, OutOfRange),
        ({"each": "gallon"}, Problem),
        ({"moles": 0.5}, Problem),
        ({"moles": 1, "each": "litre"}, OutOfRange),
    ],
)
def test_what_it_refuses(given, fault):
    with pytest.raises(fault):
        calibration_standard(**given)
