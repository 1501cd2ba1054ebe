"""The one unit registry of the workbook, made once and shared with the whole process."""

from functools import lru_cache
from typing import Any

import pint
from numpy.typing import ArrayLike

from stilltank.problems import UnitNeeded, Unreadable


def _make_registry() -> pint.UnitRegistry:
    try:
        registry: pint.UnitRegistry = pint.UnitRegistry(
            cache_folder=":auto:"
        )  # eight times faster from the second start on
    except OSError:  # the cache folder cannot be written
        registry = pint.UnitRegistry()
    registry.define("liter = decimeter ** 3 = L = l = litre")  # so that mg/L prints with a capital L
    registry.formatter.default_format = "~P"
    # pint reads "mg/L" anew each time it is written; no unit is defined after this line, so once is enough.
    kept = lru_cache(maxsize=4096)(registry.parse_units_as_container)
    registry.parse_units_as_container = kept  # type: ignore[method-assign]
    pint.set_application_registry(registry)
    return registry


ureg = _make_registry()
Quantity = pint.Quantity
"""The class of every quantity, for annotations and for ``isinstance``; ``Q`` makes one."""


def Q(value: "ArrayLike | Quantity[Any]", unit: str) -> "Quantity[Any]":  # noqa: N802 (the name learners type; short on purpose)
    """Make a quantity: a number, or a list of numbers, with its unit.

    Parameters
    ----------
    value : array_like or Quantity
        A number, a sequence or an array of numbers, or a quantity to convert.
    unit : str
        A unit name such as ``"L"``, ``"mg/L"``, ``"degC"``, ``"cm"``.

    Returns
    -------
    Quantity
        Of the shape of ``value``.

    Raises
    ------
    UnitNeeded
        ``unit`` is not a unit this workbook knows, or does not fit the quantity given.
    Unreadable
        ``value`` is text; text goes through ``read``.

    See Also
    --------
    read : Read a quantity as people write it.

    Examples
    --------
    >>> Q(45, "L").to("mL").magnitude
    45000.0
    """
    import numpy as np

    if isinstance(value, str):
        raise Unreadable(f"Q needs a number and got the text {value!r}. For text, write read({value!r}).")
    if value is None:
        raise Unreadable("Q needs a number and got None, which is no value at all.")
    try:
        parsed = ureg.Unit(unit)
    except Exception as error:
        raise UnitNeeded(
            f'Q does not know the unit {unit!r}. Write one such as "L", "g", "cm", "mg/L", "degC" or "mS/cm".'
        ) from error
    if isinstance(value, Quantity):
        try:
            return value.to(parsed)
        except pint.DimensionalityError as error:
            raise UnitNeeded(f"{value.units:P} cannot be turned into {parsed:P}.") from error
    try:
        if isinstance(value, (int, float)):
            return ureg.Quantity(float(value), parsed)
        return ureg.Quantity(np.asarray(value, dtype=float), parsed)
    except OverflowError as error:
        raise Unreadable(
            "Q got a number with more than 308 digits, which is too large to compute with."
        ) from error
    except (TypeError, ValueError) as error:
        raise Unreadable(f"Q needs numbers and got {value!r}.") from error
