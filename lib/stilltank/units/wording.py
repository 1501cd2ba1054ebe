"""Whose units a sentence is written in: those of the person who asked."""

import functools
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any

from stilltank.registry import Q, Quantity  # noqa: F401 (Q is used in the examples)

from .writing import write

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


def said(quantity: "Quantity[Any]", digits: int = 3) -> str:
    """Write a quantity for a refusal: in US units where the person gave any, else in metric ones.

    Examples
    --------
    >>> said(Q(0.508, "m"))
    '50.8 cm'
    """
    return write(quantity, _SYSTEM.get() or "metric", digits)
