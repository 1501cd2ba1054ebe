"""The density of water: from litres to kilograms and back."""

import numpy as np

from stilltank.tables import number
from stilltank.units import Quantity, takes, within
from stilltank.units.types import PlainLike


@takes(temperature="degC", returns="kg/m^3")
def water_density(temperature: Quantity) -> Quantity:
    r"""Density of pure water at one atmosphere.

    Parameters
    ----------
    temperature : Quantity
        0 °C to 40 °C; one value or an array.

    Returns
    -------
    Quantity
        In kg/m^3, of the shape of ``temperature``; the same number in g/L.

    Raises
    ------
    UnitNeeded
        No temperature.
    OutOfRange
        Below 0 or above 40 degC.

    See Also
    --------
    viscosity : How thick water is at a temperature.

    Notes
    -----
    Within 0.002 kg/m^3 of the international standard for water (IAPWS-95). Dissolved air lowers it by up to
    0.005 kg/m^3; the salts of a full nutrient solution raise it by about 1 to 2 kg/m^3, which is left out.

    .. math:: \rho = \rho_0 \left(1 - \frac{(t + a_1)^2 (t + a_2)}{a_3 (t + a_4)}\right)

    References
    ----------
    Tanaka2001, equation 1.

    Examples
    --------
    >>> round(water_density(Q(25, "degC")).magnitude, 2)
    997.05
    """
    return density(temperature)


def density(celsius: PlainLike) -> PlainLike:
    """Density of pure water from a plain temperature, for use between rooms of science.

    Parameters
    ----------
    celsius : float or ndarray
        In degC, 0 to 40.

    Returns
    -------
    float or ndarray
        In kg/m^3, of the shape of ``celsius``.

    Raises
    ------
    OutOfRange
        Below 0 or above 40 degC.

    References
    ----------
    Tanaka2001, equation 1.

    Examples
    --------
    >>> round(density(25.0), 2)
    997.05
    """
    low, high = (number("density", "water", f"{which} temperature", "1") for which in ("lowest", "highest"))
    within(
        celsius,
        low,
        high,
        "The density of water is known here from {low} to {high}; {value} lies outside.",
        "degC",
    )
    greatest = number("density", "water", "greatest density", "kg/m^3")
    warmer = celsius - number("density", "water", "temperature of greatest density", "1")
    a2, a3, a4 = (number("density", "water", f"density {a}", "1") for a in ("a2", "a3", "a4"))
    return greatest * (1 - warmer**2 * (celsius + a2) / (a3 * (celsius + a4)))


@takes(temperature="degC", returns="mPa*s")
def viscosity(temperature: Quantity) -> Quantity:
    """Viscosity of pure water at one atmosphere.

    Parameters
    ----------
    temperature : Quantity
        0 °C to 40 °C; one value or an array.

    Returns
    -------
    Quantity
        Dynamic viscosity in mPa*s, of the shape of ``temperature``.

    Raises
    ------
    UnitNeeded
        No temperature.
    OutOfRange
        Below 0 or above 40 degC.

    Notes
    -----
    Within 0.01 % of the full international formulation. The salts of a nutrient solution add less than 1 %.

    References
    ----------
    IAPWSR12, equation for the liquid at 0.1 MPa; the coefficients are from memory, compared with an independent
    library.

    Examples
    --------
    >>> viscosity(Q([10, 30], "degC")).magnitude.round(3).tolist()
    [1.306, 0.797]
    """
    low, high = (
        number("hydraulics", "viscosity", f"{end} temperature", "1") for end in ("lowest", "highest")
    )
    within(
        temperature,
        low,
        high,
        "The viscosity of water is known here from {low} to {high}; {value} lies outside.",
        "degC",
    )
    ratio = (np.asarray(temperature) + 273.15) / 300
    terms = (
        number("hydraulics", "viscosity", f"a{i}", "1")
        * ratio ** number("hydraulics", "viscosity", f"b{i}", "1")
        for i in range(1, 5)
    )
    return np.sum(list(terms), axis=0)[()] / 1000
