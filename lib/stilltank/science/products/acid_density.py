"""Density and strength of bottled acids and lye: one belongs to the other."""

from functools import cache
from typing import Any

import numpy as np

from stilltank.science.pure_water import density as water_density
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Problem, Quantity, Unreadable, one_value, takes, within

_WARM = 20.0  # °C, of the table


@cache
def _items() -> dict[str, str]:
    """The names in data/acid-density.csv, by anhydrous formula."""
    table = load("acid-density")
    return {
        str(table[name, "formula"].value): name for name in table.items_named if (name, "formula") in table
    }


def listed(formula: str) -> str | None:
    """The plain name of a substance that the table has; None where it has not."""
    return _items().get(formula.split(".")[0])


@cache
def _curve(name: str) -> Any:
    from scipy.interpolate import PchipInterpolator

    rows = {prop: entry for prop, entry in load("acid-density").of(name).items() if prop.endswith(" %")}
    percent = [0.0, *(float(prop.removesuffix(" %")) for prop in rows)]
    values = [float(water_density(_WARM)) / 1000, *(entry.quantity.m_as("g/mL") for entry in rows.values())]
    return PchipInterpolator(percent, values)


@takes(returns="g/mL")
def bottle_density(name: str, strength: Quantity) -> Quantity:
    """Density at 20 degC of an acid, or of potassium hydroxide solution, of a strength.

    Parameters
    ----------
    name : str
        "nitric acid", "phosphoric acid", "sulfuric acid", "hydrochloric acid", "citric acid" or "potassium hydroxide".
    strength : Quantity
        Percent of the mass.

    Returns
    -------
    Quantity
        g/mL.

    Raises
    ------
    Unreadable
        The name is another.
    UnitNeeded
        The strength has no unit.
    OutOfRange
        Nobody sells this strength for tanks, or its density does not fix it.

    Notes
    -----
    A smooth curve through the rows of data/acid-density.csv.

    References
    ----------
    CRCacids; CRCdensity; data/acid-density.csv says which row is whose.

    Examples
    --------
    >>> round(bottle_density("nitric acid", Q(53, "percent")).m_as("g/mL"), 3)
    1.328
    """
    if not isinstance(name, str) or name not in _items().values():
        raise Unreadable(f"The table of densities has {', '.join(_items().values())}; not {name!r}.")
    percent = one_value(strength, "percent", "strength", "bottle_density")
    _sold(name, percent)
    dense: Any = float(_curve(name)(percent))
    return dense


@takes(density="g/mL", returns="percent")
def strength_by_density(name: str, density: Quantity) -> Quantity:
    """Strength of an acid, or of potassium hydroxide solution, that its density at 20 degC means.

    Parameters
    ----------
    name : str
        As for `bottle_density`.
    density : Quantity
        g/mL, one value.

    Returns
    -------
    Quantity
        Percent of the mass.

    Raises
    ------
    Unreadable
        The name is another.
    UnitNeeded
        The density has no unit.
    OutOfRange
        No strength that is sold for tanks has this density.
    Problem
        There are several values.

    See Also
    --------
    bottle_density : The other way round.

    Notes
    -----
    A hydrometer reads a density; 10 degC of warmth change that of an acid of 50 % by 0.005 to 0.012 g/mL, up to a
    point of strength. Sulfuric acid above 97 % is left out: its density no longer fixes the strength.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(strength_by_density("sulfuric acid", Q(1.260, "g/mL")).m_as("percent"), 1)
    34.9
    """
    if not isinstance(name, str) or name not in _items().values():
        raise Unreadable(f"The table of densities has {', '.join(_items().values())}; not {name!r}.")
    if np.ndim(density):
        raise Problem("strength_by_density takes one density.")
    highest = number("acid-density", name, "highest strength", "percent")
    row = np.linspace(0, highest, 4001)
    curve = _curve(name)(row)
    within(
        density,
        float(curve[0]),
        float(curve[-1]),
        f"{name.capitalize()} of up to {highest:g} % has {{low}} to {{high}}; {{value}} is outside. Read it again.",
        "g/mL",
    )
    found: Any = float(np.interp(density, curve, row))
    return found


def _sold(name: str, percent: float) -> None:
    entry = load("acid-density")[name, "highest strength"]
    highest = entry.quantity.m_as("percent")
    if not 0 < percent <= highest:
        raise OutOfRange(
            f"{name.capitalize()} of {percent:g} % is refused; we calculate with up to {highest:g} %: {entry.note}. "
            "Read the label again."
        )


def checked_label(name: str, percent: float, stated: float) -> str:
    """A sentence where strength and density of a label hardly belong together; empty where they do.

    Raises OutOfRange where they cannot.
    """
    _sold(name, percent)
    usual = float(_curve(name)(percent))
    apart = abs(stated - usual)
    if apart <= number("acid-density", "label", "worth a word", "g/mL"):
        return ""
    highest = number("acid-density", name, "highest strength", "percent")
    row = np.linspace(0, highest, 1001)
    curve = _curve(name)(row)
    belongs = f"belongs to about {row[np.argmin(np.abs(curve - stated))]:.0f} %"
    if stated > curve.max() + number("acid-density", "label", "worth a word", "g/mL"):
        belongs = "is more than any has"
    said = f"{name} of {percent:g} % has about {usual:.4g} g/mL at 20 °C, and {stated:g} g/mL {belongs}"
    if apart > number("acid-density", "label", "differs", "g/mL"):
        raise OutOfRange(f"{said[0].upper()}{said[1:]}. Read the label again: one of the two is wrong.")
    return f"Check the label: {said}."
