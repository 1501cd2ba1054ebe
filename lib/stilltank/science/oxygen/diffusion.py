"""How fast oxygen moves: diffusion, and the film at the surface of mixed water."""

from typing import Any, Literal

import numpy as np

from stilltank.units import takes, within
from stilltank.units.types import Quantity

from ._formulas import check_positive, check_water, n, per_day, water_diffusivity
from .solubility import saturation


@takes(temperature="degC", medium=("water", "air"), returns="m^2/s")
def diffusivity(temperature: Quantity, medium: Literal["water", "air"] = "water") -> Quantity:
    """Diffusion coefficient of oxygen.

    Parameters
    ----------
    temperature : Quantity
        Of the water or the air, 0 to 40 degC; one or an array.
    medium : {"water", "air"}, optional
        What it moves through; air is at 1 atm.

    Returns
    -------
    Quantity
        In m^2/s.

    Raises
    ------
    UnitNeeded
        The temperature is no temperature.
    OutOfRange
        The temperature is below 0 or above 40 degC.
    Unreadable
        The medium is another word.

    See Also
    --------
    diffusive_flux : What moves through a still layer.

    Notes
    -----
    Sources for water disagree by up to 20 percent; carry that either way. The formula for air is from memory.

    References
    ----------
    HANBARTELS1996, FULLER1966

    Examples
    --------
    >>> round((diffusivity(Q(25, "degC")) * 1e9).magnitude, 3)
    1.998
    """
    check_water(temperature)
    if medium == "water":
        return water_diffusivity(temperature)
    kelvin, item = temperature + 273.15, "diffusivity in air"
    sizes = sum(np.cbrt(n(item, f"volume of {gas}", "cm^3/mol")) for gas in ("oxygen", "air"))
    masses = sum(1 / n(gas, "molar mass", "g/mol") for gas in ("oxygen", "air"))
    return n(item, "factor") * kelvin ** n(item, "exponent") * np.sqrt(masses) / sizes**2


@takes(difference="g/m^3", thickness="m", temperature="degC", returns="g/m^2/day")
def diffusive_flux(difference: Quantity, thickness: Quantity, temperature: Quantity) -> Quantity:
    """Oxygen that diffuses through a still layer of water.

    Parameters
    ----------
    difference : Quantity
        Concentration at the top less that at the base; one or an array, as all that follow.
    thickness : Quantity
        Of the layer, above zero.
    temperature : Quantity
        Of the water, 0 to 40 degC.

    Returns
    -------
    Quantity
        Downwards, in g/m^2/day.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The thickness is zero or less, or the water is below 0 or above 40 degC.

    See Also
    --------
    film_coefficient : The same for a difference of one unit.

    Notes
    -----
    Fick's first law:

    .. math:: J = D \\frac{\\Delta C}{L}

    Examples
    --------
    >>> round(diffusive_flux(saturation(Q(25, "degC")), Q(10, "mm"), Q(25, "degC")).magnitude, 4)
    0.1426
    """
    check_positive(thickness, "The thickness of a layer")
    check_water(temperature)
    return per_day(temperature) * difference / thickness


@takes(thickness="m", temperature="degC", returns="m/day")
def film_coefficient(thickness: Quantity, temperature: Quantity) -> Quantity:
    """Speed at which a still film passes oxygen: diffusivity over thickness.

    Parameters
    ----------
    thickness : Quantity
        Of the film, above zero; one or an array.
    temperature : Quantity
        Of the water, 0 to 40 degC; one or an array.

    Returns
    -------
    Quantity
        In m/day.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The thickness is zero or less, or the water is below 0 or above 40 degC.

    See Also
    --------
    fit_film_coefficient : Measures it in your own tank.

    Notes
    -----
    Nobody knows the film of a lidded still tank; 0.1 to 0.6 m/day is assumed. Measure your own.

    References
    ----------
    JORGENSEN1990, HANBARTELS1996

    Examples
    --------
    >>> round(film_coefficient(Q(0.16, "mm"), Q(25, "degC")).magnitude, 3)
    1.079
    """
    check_positive(thickness, "The thickness of a film")
    check_water(temperature)
    return per_day(temperature) / thickness


@takes(temperature="degC", film_coefficient="m/day", keep="g/m^3", pressure="kPa", returns="g/m^2/day")
def greatest_surface_supply(
    temperature: Quantity,
    film_coefficient: Quantity | None = None,
    keep: Quantity | None = None,
    pressure: Quantity | None = None,
) -> Quantity:
    """Most oxygen that the surface passes to mixed water that is to keep a given concentration.

    Parameters
    ----------
    temperature : Quantity
        Of the water, 0 to 40 degC; one or an array, as all that follow.
    film_coefficient : Quantity, optional
        Speed; 0.3 m/day when left out, an assumption with a range of 0.1 to 0.6.
    keep : Quantity, optional
        Concentration to keep in the water; none when left out.
    pressure : Quantity, optional
        Of the air; 1 atm when left out.

    Returns
    -------
    Quantity
        In g/m^2/day; negative where ``keep`` is above saturation.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The film coefficient is zero or less, or the water is below 0 or above 40 degC.

    See Also
    --------
    steady_mixed_oxygen : What is left where roots use it.

    Notes
    -----
    The steady balance of a film. Its coefficient decides more than anything else.

    Examples
    --------
    >>> supply = greatest_surface_supply(Q(25, "degC"), Q(0.3, "m/day"), keep=Q(2.1, "mg/L"))
    >>> round((supply / Q(4, "g/m^2/day")).magnitude, 2)
    0.46
    """
    top = saturation.plain(temperature, pressure)
    return _film(film_coefficient) * (top - (0.0 if keep is None else keep))


@takes(
    demand="g/m^3/day",
    depth="m",
    temperature="degC",
    film_coefficient="m/day",
    pressure="kPa",
    returns="mg/L",
)
def steady_mixed_oxygen(
    demand: Quantity,
    depth: Quantity,
    temperature: Quantity,
    film_coefficient: Quantity | None = None,
    pressure: Quantity | None = None,
) -> Quantity:
    """Steady oxygen in mixed water whose roots use it and whose surface lets it in.

    Parameters
    ----------
    demand : Quantity
        Use in each volume of water a day; one or an array, as all that follow.
    depth : Quantity
        Of the water.
    temperature : Quantity
        Of the water, 0 to 40 degC.
    film_coefficient : Quantity, optional
        Speed; 0.3 m/day when left out, an assumption with a range of 0.1 to 0.6.
    pressure : Quantity, optional
        Of the air; 1 atm when left out.

    Returns
    -------
    Quantity
        In mg/L; 0 where the surface cannot carry the demand.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The demand is negative, the depth or the film coefficient zero or less, or the water below 0 or above 40 degC.

    See Also
    --------
    mixed_water : The same through a season.

    Notes
    -----
    A balance of mass in well mixed water:

    .. math:: C = S - \\frac{R h}{k}

    Roots in moist air are left out, and a crop floated on its solution for the whole time lost only 19 percent
    (abstract). Read it as a risk.

    References
    ----------
    KRATKY2005

    Examples
    --------
    >>> round(steady_mixed_oxygen(Q(1.5, "g/m^3/day"), Q(10, "cm"), Q(25, "degC"), Q(0.3, "m/day")).magnitude, 2)
    7.76
    """
    within(demand, 0, np.inf, "A demand for oxygen is not negative; {value} is.", "g/m^3/day")
    check_positive(depth, "The depth of the water")
    left = saturation.plain(temperature, pressure) - demand * depth / _film(film_coefficient)
    return np.maximum(left, 0)


def _film(coefficient: Any) -> Any:
    if coefficient is None:
        return n("film", "coefficient", "m/day")
    check_positive(coefficient, "A film coefficient")
    return coefficient
