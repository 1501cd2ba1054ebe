"""How much oxygen water and moist air hold."""

from typing import Any

import numpy as np

from stilltank.units import Problem, Q, check_shapes, pure_number, takes, ureg, within

from ._formulas import check_pressure, check_water, n, pressure_factor, vapour


@takes(temperature="degC", pressure="kPa", conductivity="uS/cm")
def saturation(temperature: Any, pressure: Any = None, conductivity: Any = None, salinity: Any = None) -> Any:
    """Oxygen that water holds when it is in balance with moist air.

    Parameters
    ----------
    temperature : quantity, of the water; one or an array, as all that follow
    pressure : quantity, of the air; 1 atm when left out. See `pressure_at`
    conductivity : quantity, at 25 degC; fresh water when left out
    salinity : plain number, practical salinity, in place of ``conductivity``

    Returns
    -------
    quantity, mg/L of oxygen

    Raises
    ------
    UnitNeeded   a bare number, or a unit of another kind
    OutOfRange   water below 0 or above 40 degC, or another value the equation does not hold for
    Problem      both conductivity and salinity are given, or arrays that do not fit each other
    Unreadable   a salinity that is not a plain number

    Example
    -------
    >>> saturation(Q([0, 8, 24], "degC")).magnitude.round(3).tolist()
    [14.621, 11.843, 8.418]

    Limits: 0 to 40 degC, practical salinity 0 to 40. Nutrient salts hardly matter: -0.6 percent at 2 mS/cm.
    Source: Benson & Krause (1984), equations 24 and 32; salinity from conductivity: USGS (2011), from memory.
    """
    check_water(temperature)
    if conductivity is not None:
        if salinity is not None:
            raise Problem("saturation takes conductivity or salinity, not both.")
        salinity = _salinity(conductivity)
    salinity = 0.0 if salinity is None else pure_number(salinity, 5, "salinity", "saturation")
    shapes = {"temperature": np.shape(temperature), "salinity": np.shape(salinity)}
    check_shapes(shapes, "saturation")
    most = n("saturation", "most saline")
    within(salinity, 0, most, f"A practical salinity lies between 0 and {most:g} here; {{value:g}} does not.")
    kelvin = temperature + 273.15
    log = n("saturation", "a0") + sum(n("saturation", f"a{i}", f"K^{i}") / kelvin**i for i in (1, 2, 3, 4))
    log = log - salinity * (
        n("saturation", "s0") + n("saturation", "s1", "K") / kelvin + n("saturation", "s2", "K^2") / kelvin**2
    )
    return Q(np.exp(log)[()] * (1.0 if pressure is None else pressure_factor(temperature, pressure)), "mg/L")


@takes(temperature="degC")
def vapour_pressure(temperature: Any) -> Any:
    """Pressure of water vapour over water.

    Parameters
    ----------
    temperature : quantity, one or an array

    Returns
    -------
    quantity, kPa

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   outside 0 to 40 degC

    Example
    -------
    >>> round(vapour_pressure(Q(25, "degC")).magnitude, 3)
    3.168

    Source: the form in APHA method 4500-O, made for `saturation`.
    """
    check_water(temperature)
    return Q(vapour(temperature), "atm").to("kPa")


@takes(altitude="m")
def pressure_at(altitude: Any) -> Any:
    """Mean pressure of the air at an altitude.

    Parameters
    ----------
    altitude : quantity, above the sea; one or an array

    Returns
    -------
    quantity, kPa

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   below the Dead Sea or above the highest mountain

    Example
    -------
    >>> round(pressure_at(Q(1500, "m")).to("atm").magnitude, 4)
    0.8345

    Limits: the standard atmosphere, whose air has 15 degC at the sea; weather moves it by some 3 percent.
    `sky.atmospheric_pressure` belongs to FAO-56, which takes 20 degC: it says 0.3 kPa more at 2000 m, 0.03 mg/L of
    oxygen.
    Source: U.S. Standard Atmosphere (1976), from memory.
    """
    low, high = n("atmosphere", "lowest altitude", "m"), n("atmosphere", "highest altitude", "m")
    within(altitude, low, high, f"An altitude lies between {low:g} and {high:g} m; {{value:g}} m does not.")
    share = (1 - n("atmosphere", "lapse", "1/m") * altitude) ** n("atmosphere", "exponent")
    return Q(share, "atm").to("kPa")


@takes(temperature="degC", pressure="kPa")
def oxygen_in_moist_air(temperature: Any, pressure: Any = None) -> Any:
    """Oxygen in air that is saturated with vapour, such as the air under the lid.

    Parameters
    ----------
    temperature : quantity, one or an array
    pressure : quantity; 1 atm when left out

    Returns
    -------
    quantity, g/m^3

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   outside 0 to 40 degC, or a pressure that cannot be

    Example
    -------
    >>> round(oxygen_in_moist_air(Q(25, "degC")).magnitude, 1)
    265.4

    Source: ideal gas, 20.95 percent oxygen in dry air.
    """
    check_water(temperature)
    if pressure is not None:
        check_pressure(pressure)
    total = Q(101.325 if pressure is None else pressure, "kPa")  # 1 atm by definition
    dry = total - Q(vapour(temperature), "atm").to("kPa")
    warmth = Q(temperature + 273.15, "K")
    mass = Q(n("oxygen", "molar mass", "g/mol"), "g/mol")
    return (dry * n("air", "oxygen share") * mass / (ureg.molar_gas_constant * warmth)).to("g/m^3")


def _salinity(conductivity: Any) -> Any:
    """Practical salinity from conductivity at 25 degC in uS/cm."""
    most = n("salinity", "highest conductivity", "uS/cm")
    within(
        conductivity,
        0,
        most,
        f"A conductivity lies between 0 and {most / 1000:g} mS/cm here; {{value:g}} uS/cm does not.",
    )
    return conductivity * (n("salinity", "c1", "cm/uS") + n("salinity", "c2", "cm^2/uS^2") * conductivity)
