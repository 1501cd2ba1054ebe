"""Plain-number insides shared by the parts of the oxygen package: table values, checks, formulas."""

from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, within


def n(item: str, prop: str, unit: str = "1") -> float:
    return number("oxygen", item, prop, unit)


def vapour(temperature: Any) -> Any:
    """Vapour pressure in atm."""
    kelvin = temperature + 273.15
    item = "vapour pressure"
    return np.exp(n(item, "b0") + n(item, "b1", "K") / kelvin + n(item, "b2", "K^2") / kelvin**2)


def pressure_factor(temperature: Any, pressure: Any) -> Any:
    """Saturation at a pressure in kPa over that at 1 atm."""
    check_pressure(pressure)
    p = pressure / 101.325  # 1 atm by definition
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


def check_water(temperature: Any) -> None:
    low, high = n("saturation", "coldest", "degC"), n("saturation", "warmest", "degC")
    within(
        temperature, low, high, f"Water here is between {low:g} and {high:g} degC; {{value:g}} degC is not."
    )


def check_pressure(pressure: Any) -> None:
    low, high = n("atmosphere", "lowest pressure", "kPa"), n("atmosphere", "highest pressure", "kPa")
    within(
        pressure, low, high, f"Air pressure lies between {low:g} and {high:g} kPa; {{value:g}} kPa does not."
    )


def check_positive(value: Any, what: str) -> None:
    if np.any(np.asarray(value) <= 0):
        raise OutOfRange(f"{what} must be above zero.")
