"""How each stated value of the root zones chapter is computed, through the public functions."""

import numpy as np
from stilltank.science import oxygen, roots, sky
from stilltank.science.oxygen import WaterColumn
from stilltank.science.tank import Box
from stilltank.tables import load
from stilltank.units import Q

T20, T24, T25, T30 = (Q(degrees, "degC") for degrees in (20, 24, 25, 30))
OXYGEN = Q(31.9988, "g/mol")
GAS = Q(22.3916, "L/mol")  # oxygen at 0 degC and 1 atm, as sea chemists take it
IDEAL_GAS = Q(22.414, "L/mol")
ONE_ATM = Q(1, "atm")
HIGH_UP = Q(1500, "m")
USE = Q(20, "g/m^3/day")
FILM = Q(0.3, "m/day")

TRIAL_2005 = Box(Q(109 / 7.6 * 10, "cm"), Q(1, "m"), Q(8.9, "cm"), net_pot_depth=Q(3, "cm"))
TUB = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))  # 0.24 m2


def _oxygen_pressure():
    return 0.2095 * (ONE_ATM - sky.saturation_vapour_pressure(T25))


def _reach(temperature, use):
    return oxygen.penetration_depth(oxygen.saturation(temperature), use, temperature)


def _profile(at, water, **use):
    return oxygen.profile(at, oxygen.saturation(T25), water, T25, **use)


def _at_half_reach():
    at = Q([_reach(T25, USE).m_as("mm") / 2], "mm")
    return (_profile(at, Q(14, "cm"), demand=USE).concentration[0] / oxygen.saturation(T25)).to("")


def _filled(age):
    deep, top = Q(14, "cm"), oxygen.saturation(T25)
    points, weights = np.polynomial.legendre.leggauss(40)
    time = (age * deep**2 / oxygen.diffusivity(T25)).to("day")
    inside = oxygen.unsteady_oxygen(deep * (1 + points) / 2, time, top, T25, deep)
    return Q((inside / top).m_as("") @ weights / 2, "")


def _slowed_over_constant():
    at, deep = Q([0], "mm"), Q(14, "cm")
    return (
        _profile(at, deep, demand=USE, half_saturation=Q(0.5, "mg/L")).flux
        / _profile(at, deep, demand=USE).flux
    )


def _settling(film):
    """From how much is missing after a day in 20 cm of water that began without oxygen and that nothing breathes."""
    column = WaterColumn(
        depth=Q([20, 20], "cm"),
        temperature=T25,
        demand=Q(0, "g/m^2/day"),
        film_coefficient=film,
        start=Q(0, "mg/L"),
    )
    left = 1 - (oxygen.mixed_water(column).mean[23] / oxygen.saturation(T25)).m_as("")
    return Q(1, "day") / -np.log(left)


def _mixed_and_falling():
    level = Q(15 - 0.4 * np.arange(1, 26), "cm")
    none = Q(0, "g/m^2/day")
    column = WaterColumn(
        depth=level,
        temperature=T25,
        demand=none,
        first_depth=Q(15, "cm"),
        film_coefficient=Q(0.02, "m/day"),
        start=Q(0, "mg/L"),
    )
    return oxygen.mixed_water(column).mean[-1]


def _unexplained():
    level = Q(np.linspace(13, 3, 42), "cm")
    use = Q(4.0 * np.exp(0.12 * np.arange(-41, 1)), "g/m^2/day")
    column = WaterColumn(depth=level, temperature=T25, demand=use, first_depth=Q(13, "cm"))
    return oxygen.still_water(column).balance


def _table(item, prop):
    return load("roots")[item, prop].quantity


COMPUTED = {
    "R001": lambda: oxygen.saturation(Q(0, "degC")),
    "R002": lambda: oxygen.saturation(Q(8, "degC")),
    "R004": lambda: oxygen.saturation(T24),
    "R007": lambda: oxygen.saturation(T20),
    "R008": lambda: oxygen.saturation(T25),
    "R009": lambda: oxygen.saturation(Q(10, "degC"), salinity=35) / OXYGEN * GAS,
    "R012": lambda: oxygen.saturation(T25, conductivity=Q(2000, "uS/cm")),
    "R014": lambda: oxygen.saturation(T20) - oxygen.saturation(T20, salinity=1),
    "R016": lambda: oxygen.saturation(T20, pressure=oxygen.pressure_at(HIGH_UP)),
    "R017": lambda: oxygen.saturation(T20) * oxygen.pressure_at(HIGH_UP).m_as("atm"),
    "R018": lambda: sky.saturation_vapour_pressure(T25),
    "R019": lambda: Q(1.3e-5, "mol/m^3/Pa") * _oxygen_pressure() * OXYGEN,
    "R021": lambda: oxygen.saturation(T25) / OXYGEN / _oxygen_pressure(),
    "R023": lambda: oxygen.diffusivity(T25),
    "R028": lambda: oxygen.diffusivity(T25, "air"),
    "R029": lambda: oxygen.diffusivity(T25, "air") / oxygen.diffusivity(T25),
    "R030": lambda: oxygen.oxygen_in_moist_air(T25),
    "R031": lambda: oxygen.oxygen_in_moist_air(T25) / oxygen.saturation(T25),
    "R033": lambda: oxygen.diffusive_flux(oxygen.saturation(T25), Q(10, "mm"), T25),
    "R034": lambda: oxygen.film_coefficient(Q(0.16, "mm"), T25),
    "R036": lambda: Q(3.9, "nmol/cm^2/min") * OXYGEN,
    "R038": lambda: Q(14, "cm") ** 2 / oxygen.diffusivity(T25),
    "R039": lambda: (oxygen.diffusivity(T25) * Q(1, "day")) ** 0.5,
    "R040": lambda: oxygen.unsteady_oxygen(Q(10, "mm"), Q(1, "day"), oxygen.saturation(T25), T25),
    "R042": lambda: _filled(0.197),
    "R043": lambda: _filled(0.848),
    "R046": lambda: _reach(T25, USE),
    "R048": lambda: _profile(Q([0], "mm"), Q(14, "cm"), demand=USE).flux,
    "R049": _at_half_reach,
    "R050": _slowed_over_constant,
    "R052": lambda: _profile(Q([0], "mm"), Q(50, "mm"), rate=Q(2, "1/day")).flux,
    "R054": lambda: oxygen.steady_mixed_oxygen(Q(1.5, "g/m^3/day"), Q(0.1, "m"), T25, FILM),
    "R055": _mixed_and_falling,
    "R058": lambda: (Q(14, "cm") / 100) ** 2 / (2 * oxygen.diffusivity(T25)),
    "R059": _unexplained,
    "R063": lambda: 1 - oxygen.saturation(T30) / oxygen.saturation(T20),
    "R064": lambda: _reach(T30, 2 * USE) / _reach(T20, USE),
    "R066": lambda: Q(2.8, "L/m^2/day") / IDEAL_GAS * OXYGEN,
    "R068": lambda: oxygen.saturation(T25) * Q(14, "cm"),
    "R069": lambda: oxygen.saturation(T25) * Q(14, "cm") / Q(4, "g/m^2/day"),
    "R071": lambda: Q(20, "nmol/g/s") * OXYGEN,
    "R072": lambda: 0.25 * oxygen.saturation(T24),
    "R074": lambda: Q(0.10, "mmol/L") * OXYGEN,
    "R075": lambda: (
        _table("cucumber", "water drunk at 0.10 mmol/L") / _table("cucumber", "water drunk at 0.20 mmol/L")
    ),
    "R077": lambda: oxygen.greatest_surface_supply(T25, FILM, keep=Q(2.1, "mg/L")) / Q(4.0, "g/m^2/day"),
    "R084": lambda: TRIAL_2005.volume(Q(7.6, "cm")) - TRIAL_2005.volume(Q(1.3, "cm")),
    "R085": lambda: TRIAL_2005.volume(Q(1.3, "cm")) / TRIAL_2005.volume(Q(7.6, "cm")),
    "R085a": lambda: roots.zones(TRIAL_2005, Q(1.3, "cm")).air_zone,
    "R086": lambda: _table("fixed cover", "head weight") * (1 - _table("floating cover", "loss")),
    "R091": lambda: roots.refill_limit(TUB, Q(15, "cm")).volume,
    "S66a": lambda: _settling(Q(0.3, "m/day")),
    "S66b": lambda: _settling(Q(0.5, "m/day")),
    "S68a": lambda: roots.sun_through_canopy(1),
    "S68b": lambda: roots.sun_through_canopy(2),
    "S68c": lambda: roots.sun_through_canopy(3),
    "R116a": lambda: oxygen.saturation(Q(0, "degC")) / OXYGEN * GAS,
}
