"""Oxygen in still water against printed tables, closed forms and common slips."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank.science import oxygen, sky
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded

T25 = Q(25, "degC")


@pytest.mark.parametrize(
    ("degrees", "stated"),
    [(0, 14.621), (8, 11.843), (24, 8.418), (20, 9.092), (25, 8.263)],  # the last two from memory
)
def test_saturation_of_fresh_water(degrees, stated):
    """APHA Standard Methods, table 4500-O, printed to 0.001 mg/L; half a last digit."""
    assert oxygen.saturation(Q(degrees, "degC")).m_as("mg/L") == pytest.approx(stated, abs=0.0006)


def test_saturation_of_sea_water():
    """Garcia & Gordon (1992): 6.315 mL/L at 10 degC, S = 35; 22.3916 L/mol and 31.9988 g/mol give mg."""
    in_ml = oxygen.saturation(Q(10, "degC"), salinity=35).m_as("mg/L") * 22.3916 / 31.9988
    assert in_ml == pytest.approx(6.315, abs=0.001)


@pytest.mark.parametrize(("degrees", "salinity", "slip"), [(10, 35, 6.347), (0, 0, 12.21)])
def test_the_bracket_slip_is_not_ours(degrees, salinity, slip):
    """R116: (a*x)^n for a*x^n passes near the usual check point and fails in cold fresh water, in mL/L."""
    in_ml = oxygen.saturation(Q(degrees, "degC"), salinity=salinity).m_as("mg/L") * 22.3916 / 31.9988
    assert abs(in_ml - slip) > 0.02


def test_pressure_uses_the_full_factor():
    """R017: C times P/P0 is half a percent too high at 1500 m (7.588 for 7.553 mg/L at 20 degC)."""
    water, air = Q(20, "degC"), oxygen.pressure_at(Q(1500, "m"))
    shortcut = oxygen.saturation(water) * air.m_as("atm")
    assert shortcut.m_as("mg/L") == pytest.approx(7.588, abs=0.001)
    assert oxygen.saturation(water, air).m_as("mg/L") == pytest.approx(7.553, abs=0.001)


def test_the_two_pressures_differ_by_the_air_they_assume():
    """FAO-56, equation 7, with the 288.15 K of the standard atmosphere in place of its 293 K is the standard one."""
    high = Q(2000, "m")
    standard, fao = oxygen.pressure_at(high).m_as("kPa"), sky.atmospheric_pressure(high).m_as("kPa")
    assert fao - standard == pytest.approx(0.3, abs=0.05)
    by_hand = 101.3 * ((288.15 - 0.0065 * 2000) / 288.15) ** 5.26
    assert standard == pytest.approx(by_hand, abs=0.05)
    water = Q(20, "degC")
    apart = oxygen.saturation(water, Q(fao, "kPa")) - oxygen.saturation(water, Q(standard, "kPa"))
    assert apart.m_as("mg/L") == pytest.approx(0.03, abs=0.005)


def test_thin_air_over_warm_water():
    """Benson & Krause (1984), equation 24, by hand at 40 degC and 0.7 atm, to all its terms.

    C1 6.4127218 mg/L, u 0.0727958 atm, theta 0.000507576: C1 (0.7 - u)(1 - 0.7 theta)/((1 - u)(1 - theta)).
    """
    by_hand = 6.4127218 * (0.7 - 0.0727958) * (1 - 0.7 * 0.000507576) / ((1 - 0.0727958) * (1 - 0.000507576))
    found = oxygen.saturation(Q(40, "degC"), Q(0.7, "atm")).m_as("mg/L")
    assert found == pytest.approx(by_hand, rel=2e-6)


def test_diffusion_in_air_term_by_term():
    """Fuller, Schettler & Giddings (1966), from memory, by hand at 25 degC and 1 atm.

    1e-7 * 298.15^1.75 * sqrt(1/31.9988 + 1/28.97) / (16.3^(1/3) + 19.7^(1/3))^2
    = 1e-7 * 21392 * 0.256456 / 27.4185 = 2.0009e-5 m2/s.
    """
    assert oxygen.diffusivity(T25, "air").m_as("m^2/s") == pytest.approx(2.0009e-5, rel=1e-4)


def test_one_atmosphere_is_the_default():
    warm = Q(np.linspace(0, 40, 9), "degC")
    same = oxygen.saturation(warm, Q(1, "atm")).m_as("mg/L")
    assert same == pytest.approx(oxygen.saturation(warm).m_as("mg/L"), rel=1e-12)


def test_nutrient_salts_hardly_matter():
    """USGS (2011) quadratic by hand: 5.572e-4*2000 + 2.02e-9*2000^2 = 1.1225; the loss is 0.64 percent."""
    by_meter = oxygen.saturation(T25, conductivity=Q(2, "mS/cm"))
    assert by_meter.m_as("mg/L") == pytest.approx(
        oxygen.saturation(T25, salinity=1.1144 + 0.00808).m_as("mg/L"), rel=1e-9
    )
    assert 1 - (by_meter / oxygen.saturation(T25)).m_as("") == pytest.approx(0.0064, abs=0.0001)


def test_arrays_combine():
    table = oxygen.saturation(Q(np.array([[10.0], [20], [30]]), "degC"), Q([90, 101.325], "kPa"))
    assert table.shape == (3, 2)
    assert table[1, 1].m_as("mg/L") == pytest.approx(oxygen.saturation(Q(20, "degC")).m_as("mg/L"))
    assert isinstance(oxygen.saturation(T25).magnitude, float)


@given(st.floats(0, 39), st.floats(60, 105))
@settings(deadline=None)
def test_warmer_or_higher_holds_less(degrees, kilopascal):
    here = oxygen.saturation(Q(degrees, "degC"), Q(kilopascal, "kPa"))
    assert oxygen.saturation(Q(degrees + 1, "degC"), Q(kilopascal, "kPa")) < here
    assert oxygen.saturation(Q(degrees, "degC"), Q(kilopascal - 1, "kPa")) < here


def test_vapour_pressure_against_the_steam_table():
    """IAPWS saturation pressure, from memory: 0.6117 kPa at 0.01, 2.3393 at 20, 3.1699 at 25 degC; 0.2 percent."""
    degrees = np.array([0.01, 20, 25])
    dry = (
        oxygen.oxygen_in_moist_air(Q(degrees, "degC")) * Q(8.314462618, "J/mol/K") * Q(degrees + 273.15, "K")
    )
    ours = Q(101.325, "kPa") - dry / (0.2095 * Q(31.9988, "g/mol"))
    assert ours.m_as("kPa") == pytest.approx([0.6117, 2.3393, 3.1699], rel=2e-3)


def test_diffusivity():
    """Han & Bartels (1996) by hand at 298.15 K: -4.410 + 2.59534 - 2.88484 = -4.69950, so 1.998e-5 cm2/s."""
    assert oxygen.diffusivity(T25).m_as("cm^2/s") == pytest.approx(1.9976e-5, rel=2e-4)
    assert oxygen.diffusivity(T25, "air").m_as("m^2/s") == pytest.approx(2.0e-5, abs=0.15e-5)
    with pytest.raises(Problem, match="water"):
        oxygen.diffusivity(T25, "jam")


def test_zero_order_profile():
    top, use = oxygen.saturation(T25), Q(20, "g/m^3/day")
    reach = oxygen.penetration_depth(top, use, T25)
    depth = Q(np.array([0, 0.5, 1, 2]) * reach.m_as("mm"), "mm")
    still = oxygen.profile(depth, top, Q(14, "cm"), T25, demand=use)
    share = still.concentration.m_as("mg/L") / top.m_as("mg/L")
    assert share == pytest.approx([1, 0.25, 0, 0], abs=1e-9)  # (1 - z/L)^2
    assert still.flux.m_as("g/m^2/day") == pytest.approx(0.2389, abs=0.0002)  # sqrt(2 D C R)
    assert still.reaches.m_as("mm") == pytest.approx(11.94, abs=0.01)


def test_a_shallow_profile_uses_up_what_comes_in():
    top, use, deep = oxygen.saturation(T25), Q(20, "g/m^3/day"), Q(5, "mm")
    still = oxygen.profile(Q([5], "mm"), top, deep, T25, demand=use)
    assert still.flux.m_as("g/m^2/day") == pytest.approx(20 * 0.005)
    expected = top.m_as("g/m^3") - 20 * 0.005**2 / (2 * oxygen.diffusivity(T25).m_as("m^2/day"))
    assert still.concentration[0].m_as("g/m^3") == pytest.approx(expected)


def test_first_order_profile():
    top = oxygen.saturation(T25)
    deep = oxygen.profile(Q([0, 50], "mm"), top, Q(50, "mm"), T25, rate=Q(2, "1/day"))
    assert deep.flux.m_as("g/m^2/day") == pytest.approx(0.1535, abs=0.0002)  # C sqrt(D k) tanh(phi)
    phi = 0.05 * np.sqrt(2 / oxygen.diffusivity(T25).m_as("m^2/day"))
    share = deep.concentration.m_as("mg/L") / top.m_as("mg/L")
    assert share == pytest.approx([1, 1 / np.cosh(phi)], rel=1e-9)
    very_deep = oxygen.profile(Q([0, 5], "m"), top, Q(5, "m"), T25, rate=Q(50, "1/day"))
    assert np.isfinite(very_deep.concentration.magnitude).all()


@given(st.floats(0.5, 200), st.floats(1, 300))
@settings(deadline=None)
def test_the_flux_is_the_slope_at_the_surface(use, millimetre):
    """Fick's first law at the surface, by a difference over a thousandth of the reach."""
    top = oxygen.saturation(T25)
    reach = oxygen.profile(Q([0], "mm"), top, Q(millimetre, "mm"), T25, demand=Q(use, "g/m^3/day")).reaches
    step = reach / 1000
    still = oxygen.profile(
        Q([0, step.m_as("mm")], "mm"), top, Q(millimetre, "mm"), T25, demand=Q(use, "g/m^3/day")
    )
    drop = still.concentration[0] - still.concentration[1]
    fick = oxygen.diffusive_flux(drop, step, T25)
    assert fick.m_as("g/m^2/day") == pytest.approx(still.flux.m_as("g/m^2/day"), rel=2e-3)


def test_film():
    k, use = Q(0.3, "m/day"), Q(1.5, "g/m^3/day")
    kept = oxygen.steady_mixed_oxygen(use, Q(0.1, "m"), T25, k)
    assert kept.m_as("mg/L") == pytest.approx(7.763, abs=0.001)  # Cs - R h / k by hand: 8.2635 - 0.5
    assert oxygen.greatest_surface_supply(T25, k, keep=kept).m_as("g/m^2/day") == pytest.approx(0.15)
    assert oxygen.steady_mixed_oxygen(Q(100, "g/m^3/day"), Q(0.1, "m"), T25, k).m_as("mg/L") == 0
    assert oxygen.greatest_surface_supply(T25) == oxygen.greatest_surface_supply(T25, Q(0.3, "m/day"))


@pytest.mark.parametrize(
    ("call", "error", "words"),
    [
        (lambda: oxygen.saturation(20), UnitNeeded, "needs a temperature"),
        (lambda: oxygen.saturation(Q(20, "cm")), UnitNeeded, "which is a length"),
        (lambda: oxygen.saturation(Q(45, "degC")), OutOfRange, "between 0 °C and 40 °C"),
        (lambda: oxygen.saturation(Q(np.nan, "degC")), OutOfRange, "not a number"),
        (lambda: oxygen.saturation(T25, Q(5, "kPa")), OutOfRange, "Air pressure"),
        (lambda: oxygen.saturation(T25, conductivity=Q(-1, "mS/cm")), OutOfRange, "conductivity"),
        (lambda: oxygen.saturation(T25, salinity=80), OutOfRange, "salinity"),
        (lambda: oxygen.saturation(T25, conductivity=Q(1, "mS/cm"), salinity=1), Problem, "not both"),
        (
            lambda: oxygen.pressure_at(Q(20, "km")),
            OutOfRange,
            "altitude lies between −430 m and 9 km; 20 km",
        ),
        (lambda: oxygen.diffusive_flux(Q(8, "mg/L"), Q(0, "mm"), T25), OutOfRange, "above zero"),
        (lambda: oxygen.steady_mixed_oxygen(Q(-1, "g/m^3/day"), Q(1, "cm"), T25), OutOfRange, "not negative"),
        (lambda: oxygen.greatest_surface_supply(T25, Q(0, "m/day")), OutOfRange, "film coefficient"),
        (lambda: oxygen.profile(Q([1], "cm"), Q(8, "mg/L"), Q(5, "cm"), T25), Problem, "demand"),
        (
            lambda: oxygen.profile(Q([9], "cm"), Q(8, "mg/L"), Q(5, "cm"), T25, rate=Q(1, "1/day")),
            OutOfRange,
            "depth",
        ),
    ],
)
def test_bad_input_gets_a_sentence(call, error, words):
    with pytest.raises(error, match=words):
        call()
