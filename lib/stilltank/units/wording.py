"""Whose units a sentence is written in: those of the person who asked."""

import functools
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

from stilltank.registry import Q, Quantity  # noqa: F401 (Q is used in the examples)

from .writing import figure, write

# The system of units of whoever asked, as long as their question is being answered.
_SYSTEM: ContextVar[str] = ContextVar("system of units", default="")
_US = frozenset(
    (
        *("inch", "foot", "yard", "mile", "acre", "gallon", "quart", "pint", "fluid_ounce"),
        *("cup", "tablespoon", "teaspoon", "ounce", "pound", "pound_force_per_square_inch"),
        *("degree_Fahrenheit", "delta_degree_Fahrenheit"),
    )
)


@functools.lru_cache(maxsize=1024)
def _is_us(units: Any) -> bool:
    return not _US.isdisjoint(units._units)


@contextmanager
def speaking_of(*values: object) -> Iterator[None]:
    """Have ``said`` write quantities in the system of units of these values, as long as this lasts.

    What is asked inside is answered in the system of the first who asked.

    Parameters
    ----------
    *values : object
        What the caller gave; quantities among them tell the system.

    Yields
    ------
    None
        Nothing.

    Examples
    --------
    >>> with speaking_of(Q(20, "inch")):
    ...     said(Q(1.016, "m"))
    '40 in'
    """
    if _SYSTEM.get():
        yield
        return
    us = any(isinstance(value, Quantity) and _is_us(value.units) for value in values)
    token = _SYSTEM.set("US" if us else "metric")
    try:
        yield
    finally:
        _SYSTEM.reset(token)


def said(quantity: Quantity[Any], digits: int = 3, us: str = "") -> str:
    """Write a quantity for a refusal: in US units where the person gave any, else in metric ones.

    Parameters
    ----------
    quantity : Quantity
        One value, or an array.
    digits : int, default 3
        Significant digits.
    us : str, optional
        A unit that a US sentence keeps to; a metric one then keeps to the unit of ``quantity``. When left out, both
        take the unit that suits the size.

    Returns
    -------
    str
        The number with its unit.

    Raises
    ------
    UnitNeeded
        ``quantity`` is no quantity and no number.

    Examples
    --------
    >>> said(Q(0.508, "m"))
    '50.8 cm'
    >>> with speaking_of(Q(20, "inch")):
    ...     said(Q(900, "m"), us="ft")
    '2950 ft'
    """
    system = _SYSTEM.get() or "metric"
    if not us:
        return write(quantity, system, digits)
    fixed = quantity.to(us) if system == "US" else quantity
    return f"{figure(float(fixed.magnitude), digits)} {fixed.units:~}"


def said_ends(low: Quantity[Any], high: Quantity[Any], digits: int = 3, us: str = "") -> tuple[str, str]:
    """Write the two ends of a range as ``said`` does; an end of nothing takes the unit of the other.

    Parameters
    ----------
    low, high : Quantity
        One value each.
    digits, us : int, default 3
        And str. As for ``said``.

    Returns
    -------
    tuple of str
        Low and high, each with its unit.

    Raises
    ------
    UnitNeeded
        An end is no quantity and no number.

    Examples
    --------
    >>> said_ends(Q(0, "m/s"), Q(60, "m/s"))
    ('0 m/s', '60 m/s')
    """
    least, most = said(low, digits, us), said(high, digits, us)
    if least.startswith("0 ") and most[0].isdigit():
        least = f"0 {most.partition(' ')[2]}"
    return least, most
