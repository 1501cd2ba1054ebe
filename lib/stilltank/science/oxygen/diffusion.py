"""How fast oxygen moves: diffusion, and the film at the surface of mixed water."""

from typing import Any

import numpy as np

from stilltank.units import Problem, Q, takes, within

from ._formulas import check_positive, check_water, n, per_day, water_diffusivity
from .solubility import saturation


@takes(temperature="degC")
def diffusivity(temperature: Any, medium: str = "water") -> Any:
    """Diffusion coefficient of oxygen.

    Parameters
    ----------
    temperature : quantity, one or an array
    medium : str
        "water", or "air" at 1 atm.

    Returns
    -------
    quantity, m^2/s

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   outside 0 to 40 degC
    Problem      another medium

    Example
    -------
    >>> round((diffusivity(Q(25, "degC")) * 1e9).magnitude, 3)
    1.998

    Limits: sources for water disagree by up to 20 percent; carry that either way.
    Source: water: Han & Bartels (1996), abstract. Air: Fuller, Schettler & Giddings (1966), from memory.
    """
    check_water(temperature)
    kelvin = temperature + 273.15
    if medium == "water":
        return Q(water_diffusivity(temperature), "m^2/s")
    if medium == "air":
        item = "diffusivity in air"
        sizes = sum(np.cbrt(n(item, f"volume of {gas}", "cm^3/mol")) for gas in ("oxygen", "air"))
        masses = sum(1 / n(gas, "molar mass", "g/mol") for gas in ("oxygen", "air"))
        return Q(n(item, "factor") * kelvin ** n(item, "exponent") * np.sqrt(masses) / sizes**2, "m^2/s")
    raise Problem(f'diffusivity knows "water" and "air", not {medium!r}.')


@takes(difference="g/m^3", thickness="m", temperature="degC")
def diffusive_flux(difference: Any, thickness: Any, temperature: Any) -> Any:
    """Oxygen that diffuses through a still layer of water.

    Parameters
    ----------
    difference : quantity, concentration at the top less that at the base
    thickness : quantity, of the layer, above zero
    temperature : quantity
        One or an array each.

    Returns
    -------
    quantity, g/m^2/day, downwards

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a thickness of zero or less, or water outside 0 to 40 degC

    Example
    -------
    >>> round(diffusive_flux(saturation(Q(25, "degC")), Q(10, "mm"), Q(25, "degC")).magnitude, 4)
    0.1426

    Source: Fick's first law.
    """
    check_positive(thickness, "The thickness of a layer")
    check_water(temperature)
    return Q(per_day(temperature) * difference / thickness, "g/m^2/day")


@takes(thickness="m", temperature="degC")
def film_coefficient(thickness: Any, temperature: Any) -> Any:
    """Speed at which a still film passes oxygen: diffusivity over thickness, in m/day.

    Parameters
    ----------
    thickness, temperature : quantity, one or an array each

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a thickness of zero or less, or water outside 0 to 40 degC

    Example
    -------
    >>> round(film_coefficient(Q(0.16, "mm"), Q(25, "degC")).magnitude, 3)
    1.079

    Limits: nobody knows the film of a lidded still tank; 0.1 to 0.6 m/day is assumed. Measure your own.
    """
    check_positive(thickness, "The thickness of a film")
    check_water(temperature)
    return Q(per_day(temperature) / thickness, "m/day")


@takes(temperature="degC", film_coefficient="m/day", keep="g/m^3", pressure="kPa")
def greatest_surface_supply(
    temperature: Any, film_coefficient: Any = None, keep: Any = None, pressure: Any = None
) -> Any:
    """Most oxygen that the surface passes to mixed water that is to keep a given concentration.

    Parameters
    ----------
    temperature : quantity, one or an array, as all that follow
    film_coefficient : quantity; 0.3 m/day when left out, an assumption with a range of 0.1 to 0.6
    keep : quantity, concentration to keep in the water; none when left out
    pressure : quantity, of the air; 1 atm when left out

    Returns
    -------
    quantity, g/m^2/day; negative where ``keep`` is above saturation

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a film coefficient of zero or less, or water outside 0 to 40 degC

    Example
    -------
    >>> supply = greatest_surface_supply(Q(25, "degC"), Q(0.3, "m/day"), keep=Q(2.1, "mg/L"))
    >>> round((supply / Q(4, "g/m^2/day")).magnitude, 2)
    0.46

    Source: steady balance of a film; the coefficient decides more than anything else.
    """
    k = _film(film_coefficient)
    top = _saturated(temperature, pressure)
    return Q(k * (top - (0.0 if keep is None else keep)), "g/m^2/day")


@takes(demand="g/m^3/day", depth="m", temperature="degC", film_coefficient="m/day", pressure="kPa")
def steady_mixed_oxygen(
    demand: Any, depth: Any, temperature: Any, film_coefficient: Any = None, pressure: Any = None
) -> Any:
    """Steady oxygen in mixed water whose roots use it and whose surface lets it in.

    Parameters
    ----------
    demand : quantity, use in each volume of water a day; one or an array, as all that follow
    depth : quantity, of the water
    temperature : quantity
    film_coefficient : quantity; 0.3 m/day when left out, an assumption with a range of 0.1 to 0.6
    pressure : quantity, of the air; 1 atm when left out

    Returns
    -------
    quantity, mg/L; 0 where the surface cannot carry the demand

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative demand, a depth or film coefficient of zero or less, water outside 0 to 40 degC

    Example
    -------
    >>> round(steady_mixed_oxygen(Q(1.5, "g/m^3/day"), Q(10, "cm"), Q(25, "degC"), Q(0.3, "m/day")).magnitude, 2)
    7.76

    Limits: well mixed water; roots in moist air are left out, and a crop floated on its solution for the whole
    time lost only 19 percent (Kratky 2005, abstract). Read it as a risk.
    Source: balance of mass.
    """
    within(demand, 0, np.inf, "A demand for oxygen is not negative; {value:g} is.")
    check_positive(depth, "The depth of the water")
    left = _saturated(temperature, pressure) - demand * depth / _film(film_coefficient)
    return Q(np.maximum(left, 0), "mg/L")


def _saturated(temperature: Any, pressure: Any) -> Any:
    pressure = None if pressure is None else Q(pressure, "kPa")
    return saturation(Q(temperature, "degC"), pressure).m_as("g/m^3")


def _film(coefficient: Any) -> Any:
    if coefficient is None:
        return n("film", "coefficient", "m/day")
    check_positive(coefficient, "A film coefficient")
    return coefficient
