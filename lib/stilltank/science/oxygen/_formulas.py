"""Plain-number insides shared by the parts of the oxygen package: table values, checks, formulas."""

from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, takes, within
from stilltank.units.types import Quantity

ATMOSPHERE = 101.325  # kPa, by definition


def n(item: str, prop: str, unit: str = "1") -> float:
    """One number of data/oxygen.csv."""
    return number("oxygen", item, prop, unit)


def vapour(temperature: Any) -> Any:
    """Vapour pressure in atm, in the form of APHA method 4500-O, which belongs to the standard of saturation.

    Equation 24 of Benson & Krause was fitted together with it, so that standard keeps it. It is within 0.1 percent of
    `sky.saturation_vapour_pressure`, the form of FAO-56 for everything else.
    """
    kelvin = temperature + 273.15
    item = "vapour pressure"
    return np.exp(n(item, "b0") + n(item, "b1", "K") / kelvin + n(item, "b2", "K^2") / kelvin**2)


def pressure_factor(temperature: Any, pressure: Any) -> Any:
    """Saturation at a pressure in kPa over that at 1 atm."""
    check_pressure(pressure)
    p = pressure / ATMOSPHERE
    u = vapour(temperature)
    theta = sum(n("saturation", f"theta{i}") * temperature**i for i in (0, 1, 2))
    return (p - u) * (1 - theta * p) / ((1 - u) * (1 - theta))


def water_diffusivity(temperature: Any) -> Any:
    """Of oxygen in water, in m^2/s."""
    kelvin = temperature + 273.15
    item = "diffusivity"
    log = n(item, "d0") + n(item, "d1", "K") / kelvin - (n(item, "d2", "K") / kelvin) ** 2
    return 10**log / 1e4


def per_day(temperature: Any) -> Any:
    """Diffusivity in water in m^2/day."""
    return water_diffusivity(temperature) * 86400


@takes(temperature="degC")
def check_water_temperature(temperature: Quantity) -> None:
    """Refuse a temperature at which the solubility of oxygen is not known.

    Parameters
    ----------
    temperature : Quantity
        Of the water; one or an array.

    Raises
    ------
    UnitNeeded
        It is no temperature.
    OutOfRange
        The water is below 0 or above 40 degC.

    Examples
    --------
    >>> check_water_temperature(Q(45, "degC"))
    Traceback (most recent call last):
    stilltank.problems.OutOfRange: Water here is between 0 °C and 40 °C; 45 °C is not.
    """
    low, high = n("saturation", "coldest", "degC"), n("saturation", "warmest", "degC")
    within(temperature, low, high, "Water here is between {low} and {high}; {value} is not.", "degC")


check_water = check_water_temperature.plain


def check_pressure(pressure: Any) -> None:
    """Refuse what is no pressure of outside air, in kPa."""
    low, high = n("atmosphere", "lowest pressure", "kPa"), n("atmosphere", "highest pressure", "kPa")
    within(pressure, low, high, "Air pressure lies between {low} and {high}; {value} does not.", "kPa")


def check_positive(value: Any, what: str) -> None:
    """Refuse nothing and less."""
    if np.any(np.asarray(value) <= 0):
        raise OutOfRange(f"{what} must be above zero.")


def check_concentration(value: Any) -> None:
    """Refuse a negative concentration, in g/m^3."""
    within(value, 0, np.inf, "A concentration is not negative; {value} is.", "g/m^3")
