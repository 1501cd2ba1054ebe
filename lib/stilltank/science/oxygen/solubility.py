"""How much oxygen water and moist air hold."""

import numpy as np
from numpy.typing import NDArray

from stilltank.units import PlainNumber, Problem, Q, takes, ureg, within
from stilltank.units.types import Plain, Quantity

from ._formulas import (
    ATMOSPHERE,
    check_pressure,
    check_water,
    n,
    pressure_factor,
    vapour,
)


@takes(temperature="degC")
def warmest_known(temperature: Quantity) -> tuple[Quantity, bool | NDArray[np.bool_]]:
    """Lower a temperature to the warmest at which the solubility of oxygen was measured.

    Parameters
    ----------
    temperature : Quantity
        Of the water, up to 60 degC; one or an array.

    Returns
    -------
    Quantity
        The same, and 40 degC where it is warmer.
    bool or array of bool
        True where it is warmer. Warmer water holds less oxygen and roots ask for more, so what is calculated there is
        at most that.

    Raises
    ------
    UnitNeeded
        It is no temperature.
    OutOfRange
        The water is below 0 or above 60 degC.

    See Also
    --------
    saturation : Refuses water above 40 degC.

    Examples
    --------
    >>> known, at_most = warmest_known(Q(43, "degC"))
    >>> f"at most {saturation(known).magnitude:.1f} mg/L" if at_most else ""
    'at most 6.4 mg/L'
    """
    low, most = (n("saturation", name, "degC") for name in ("coldest", "warmest followed"))
    within(temperature, low, most, "Water here is between {low} and {high}; {value} is not.", "degC")
    warmest = n("saturation", "warmest", "degC")
    warmer = temperature > warmest
    return Q(np.minimum(temperature, warmest), "degC"), bool(warmer) if np.ndim(warmer) == 0 else warmer


@takes(temperature="degC", pressure="kPa", conductivity="uS/cm", salinity=PlainNumber(5), returns="mg/L")
def saturation(
    temperature: Quantity,
    pressure: Quantity | None = None,
    conductivity: Quantity | None = None,
    salinity: Plain | None = None,
) -> Quantity:
    """Oxygen that water holds when it is in balance with moist air.

    Parameters
    ----------
    temperature : Quantity
        Of the water, 0 to 40 degC; one or an array, as all that follow.
    pressure : Quantity, optional
        Of the air; 1 atm when left out.
    conductivity : Quantity, optional
        At 25 degC; fresh water when left out.
    salinity : float or array, optional
        Practical salinity, 0 to 40, in place of ``conductivity``.

    Returns
    -------
    Quantity
        Of oxygen, in mg/L.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The water is below 0 or above 40 degC, or another value lies where the equation does not hold.
    Problem
        Both conductivity and salinity are given, or arrays do not fit each other.
    Unreadable
        The salinity is not a plain number.

    See Also
    --------
    pressure_at : The pressure of the air at an altitude.
    oxygen_in_moist_air : What the air above holds.

    Notes
    -----
    Equation 32 for the saturation at 1 atm, equation 24 for another pressure. Nutrient salts hardly matter: -0.6
    percent at 2 mS/cm. The salinity of a conductivity is from memory.

    References
    ----------
    BENSONKRAUSE1984, USGS2011

    Examples
    --------
    >>> saturation(Q([0, 8, 24], "degC")).magnitude.round(3).tolist()
    [14.621, 11.843, 8.418]
    """
    check_water(temperature)
    if conductivity is not None:
        if salinity is not None:
            raise Problem("saturation takes conductivity or salinity, not both.")
        salinity = _salinity(conductivity)
    salinity = 0.0 if salinity is None else salinity
    most = n("saturation", "most saline")
    within(salinity, 0, most, f"A practical salinity lies between 0 and {most:g} here; {{value:g}} does not.")
    kelvin = temperature + 273.15
    log = n("saturation", "a0") + sum(n("saturation", f"a{i}", f"K^{i}") / kelvin**i for i in (1, 2, 3, 4))
    log = log - salinity * (
        n("saturation", "s0") + n("saturation", "s1", "K") / kelvin + n("saturation", "s2", "K^2") / kelvin**2
    )
    return np.exp(log)[()] * (1.0 if pressure is None else pressure_factor(temperature, pressure))


@takes(altitude="m", returns="kPa")
def pressure_at(altitude: Quantity) -> Quantity:
    """Mean pressure of the air at an altitude, in the standard atmosphere.

    Parameters
    ----------
    altitude : Quantity
        Above the sea; one or an array.

    Returns
    -------
    Quantity
        In kPa.

    Raises
    ------
    UnitNeeded
        The altitude is no length.
    OutOfRange
        The altitude lies below the Dead Sea or above the highest mountain.

    See Also
    --------
    saturation : The oxygen that water holds under it.

    Notes
    -----
    The U.S. Standard Atmosphere of 1976, from memory, whose air has 15 degC at the sea; weather moves it by some 3
    percent. Tables of saturation are stated with it, so it stays beside `sky.atmospheric_pressure`, which belongs to
    FAO-56 and takes 20 degC: that one says 0.3 kPa more at 2000 m, which is 0.03 mg/L of oxygen and more than the
    tolerance of those tables.

    References
    ----------
    ISA1976

    Examples
    --------
    >>> round(pressure_at(Q(1500, "m")).to("atm").magnitude, 4)
    0.8345
    """
    low, high = n("atmosphere", "lowest altitude", "m"), n("atmosphere", "highest altitude", "m")
    within(altitude, low, high, "An altitude lies between {low} and {high}; {value} does not.", "m")
    share = (1 - n("atmosphere", "lapse", "1/m") * altitude) ** n("atmosphere", "exponent")
    return ATMOSPHERE * share


@takes(temperature="degC", pressure="kPa", returns="g/m^3")
def oxygen_in_moist_air(temperature: Quantity, pressure: Quantity | None = None) -> Quantity:
    """Oxygen in air that is saturated with vapour, such as the air under the lid.

    Parameters
    ----------
    temperature : Quantity
        Of the air, 0 to 40 degC; one or an array.
    pressure : Quantity, optional
        Of the air; 1 atm when left out.

    Returns
    -------
    Quantity
        In g/m^3.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The air is below 0 or above 40 degC, or the pressure cannot be.

    See Also
    --------
    saturation : What the water below holds.

    Notes
    -----
    An ideal gas, with 20.95 percent of oxygen in dry air:

    .. math:: c = \\frac{0.2095 (p - e) M}{R T}

    The vapour pressure is that of the standard of `saturation`, so that air and water are in balance.

    References
    ----------
    APHA4500O, CODATA2018

    Examples
    --------
    >>> round(oxygen_in_moist_air(Q(25, "degC")).magnitude, 1)
    265.4
    """
    check_water(temperature)
    if pressure is not None:
        check_pressure(pressure)
    total = ATMOSPHERE if pressure is None else pressure
    dry = 1000 * (total - ATMOSPHERE * vapour(temperature))  # Pa
    gas = float((1 * ureg.molar_gas_constant).m_as("J/mol/K"))
    return (
        dry * n("air", "oxygen share") * n("oxygen", "molar mass", "g/mol") / (gas * (temperature + 273.15))
    )


def _salinity(conductivity: Quantity) -> Plain:
    """Practical salinity from conductivity at 25 degC in uS/cm."""
    most = n("salinity", "highest conductivity", "uS/cm")
    sentence = "A conductivity lies between {low} and {high} here; {value} does not."
    within(conductivity, 0, most, sentence, "uS/cm")
    return conductivity * (n("salinity", "c1", "cm/uS") + n("salinity", "c2", "cm^2/uS^2") * conductivity)
