"""Oxygen saturation against the TEOS-10 library (gsw), and the vapour pressure against the steam tables (IAPWS)."""

import numpy as np
import pytest
from stilltank.science import oxygen
from stilltank.science.oxygen._formulas import vapour
from stilltank.units import Q

gsw = pytest.importorskip("gsw")
iapws = pytest.importorskip("iapws")

MOLAR_MASS = 31.9988


def by_gsw(salinity, degrees):
    """Garcia & Gordon (1992) as gsw computes it, in mg/L at the surface of the water."""
    absolute = gsw.SA_from_SP(salinity, 0, 0, 0)
    density = gsw.rho(absolute, gsw.CT_from_pt(absolute, degrees), 0)
    return gsw.O2sol_SP_pt(salinity, degrees) * density * MOLAR_MASS / 1e6


def test_the_reference_itself():
    """Garcia & Gordon (1992): 274.610 umol/kg at 10 degC of the 1968 scale; on today's scale that is 10/1.00024."""
    assert gsw.O2sol_SP_pt(35.0, 10 / 1.00024) == pytest.approx(274.610, abs=0.001)
    assert gsw.O2sol_SP_pt(35.0, 10.0) != pytest.approx(274.610, abs=0.01)  # the temperature-scale trap


def test_fresh_water_from_0_to_40():
    """Two fits of the same measurements; 0.0033 mg/L was the largest difference found."""
    degrees = np.linspace(0, 40, 81)
    ours = oxygen.saturation(Q(degrees, "degC")).m_as("mg/L")
    assert np.abs(ours - by_gsw(0.0, degrees)).max() < 0.004


@pytest.mark.parametrize("salinity", [1, 5, 20, 35])
def test_salt_water(salinity):
    """0.1 percent: the two fits were made to fresh and to sea water, and part a little between."""
    degrees = np.linspace(0, 40, 41)
    ours = oxygen.saturation(Q(degrees, "degC"), salinity=salinity).m_as("mg/L")
    assert ours == pytest.approx(by_gsw(float(salinity), degrees), rel=1e-3)


def test_the_bracket_slip_would_show_in_cold_fresh_water():
    """(a*x)^n for a*x^n gives 12.21 mL/L at 0 degC, S = 0, where 10.23 is right."""
    in_ml = oxygen.saturation(Q(0, "degC")).m_as("mg/L") * 22.3916 / MOLAR_MASS
    assert in_ml == pytest.approx(by_gsw(0.0, 0.0) * 22.3916 / MOLAR_MASS, abs=0.003)
    assert in_ml == pytest.approx(10.23, abs=0.01)


def test_vapour_pressure_against_the_steam_tables():
    """0.15 percent at most; it moves the saturation by less than 1e-4 of itself."""
    for degrees in (1, 10, 20, 25, 30, 40):
        stated = iapws.IAPWS97(T=degrees + 273.15, x=0).P * 1000
        assert vapour(degrees) * 101.325 == pytest.approx(stated, rel=1.5e-3)


@pytest.mark.parametrize("degrees", [5, 15, 25, 35])
def test_saturation_against_phreeqc(degrees):
    """phreeqc.dat at the pressure oxygen has in moist air: 8.319 mg in a kg of water at 25 degC, 0.4 percent more.

    Another measurement of the solubility and another form of its course with temperature: 0.6 percent covers both.
    """
    engine = pytest.importorskip("phreeqpython").PhreeqPython(database="phreeqc.dat")
    dry = 0.2095 * (1 - vapour(degrees))
    water = engine.add_solution({"temp": degrees, "units": "mmol/kgw"})
    water.equalize(["O2(g)"], [np.log10(dry)])
    in_a_kg = water.total("O2", units="mol") * MOLAR_MASS * 1000
    if degrees == 25:
        assert in_a_kg == pytest.approx(8.319, abs=0.005)
    in_a_litre = in_a_kg * iapws.IAPWS97(T=degrees + 273.15, P=0.101325).rho / 1000
    assert oxygen.saturation(Q(degrees, "degC")).m_as("mg/L") == pytest.approx(in_a_litre, rel=6e-3)


def test_diffusivity_lies_within_its_spread_of_phreeqc():
    """phreeqc.dat gives 2.35e-9 m2/s at 25 degC (-dw of O2): 18 percent more, and 20 is the spread we state."""
    ours = oxygen.diffusivity(Q(25, "degC")).m_as("m^2/s")
    assert abs(2.35e-9 / ours - 1) < 0.2
