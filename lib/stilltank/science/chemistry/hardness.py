"""Hardness on the scales people use: calcium and magnesium, counted as CaCO3.

Hardness is not alkalinity. Hardness counts calcium and magnesium, and says nothing about acid; alkalinity counts
what takes up acid, mostly bicarbonate. In many tap waters the two are near each other because limestone brought
both; softened water has no hardness and all its alkalinity, and gypsum brings hardness without any.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import Q, Quantity, Unreadable, check_shapes, magnitude, pure_number, within

NOT_ALKALINITY = (
    "Hardness counts calcium and magnesium; alkalinity counts what takes up acid. Only alkalinity says how much "
    "acid a water needs."
)
# The scale as people write it, and its row in data/units.csv.
_ROWS: Mapping[str, str] = MappingProxyType(
    {
        "mg/L CaCO3": "",
        "German degrees": "German degree",
        "French degrees": "French degree",
        "English degrees": "Clark degree",
        "grains per US gallon": "grain per US gallon",
        "mmol/L": "",
    }
)


def hardness_scales() -> tuple[str, ...]:
    """The scales of ``hardness_as_caco3``.

    Example
    -------
    >>> hardness_scales()[1]
    'German degrees'
    """
    return tuple(_ROWS)


def hardness_as_caco3(value: Any, scale: str) -> Any:
    """Turn a hardness from the scale of a report or test kit into mg/L as CaCO3.

    Parameters
    ----------
    value : number or array
        Plain, as the kit shows it.
    scale : str
        One of ``hardness_scales()``; "mmol/L" is calcium and magnesium together.

    Returns
    -------
    quantity, mg/L as CaCO3

    Raises
    ------
    Unreadable   another scale, or a value that is not a plain number
    OutOfRange   below zero, or above what any water holds

    Example
    -------
    >>> round(hardness_as_caco3(8, "German degrees").m_as("mg/L"), 1)
    142.8

    Limits: hardness is not alkalinity, and a dose of acid cannot be reckoned from it.
    Source: the definitions in data/units.csv.
    """
    size = _size(scale, "hardness_as_caco3")
    plain = pure_number(value, 8, "value", "hardness_as_caco3") * size
    return _believable(plain, "hardness_as_caco3")


def hardness_on_scale(scale: str, quantity: Any) -> Any:
    """Read a hardness on a scale.

    Parameters
    ----------
    scale : str
        One of ``hardness_scales()``.
    quantity : quantity, mg/L as CaCO3, or mmol/L of calcium and magnesium together; one or an array

    Returns
    -------
    number or array, in degrees of the scale

    Raises
    ------
    Unreadable   another scale
    UnitNeeded   no unit
    OutOfRange   below zero, or above what any water holds

    Example
    -------
    >>> round(hardness_on_scale("grains per US gallon", Q(171.181, "mg/L")), 2)
    10.0
    """
    size = _size(scale, "hardness_on_scale")
    if _by_amount(quantity):
        plain = magnitude(quantity, "mmol/L", "quantity", "hardness_on_scale") * _size(
            "mmol/L", "hardness_on_scale"
        )
    else:
        plain = magnitude(quantity, "mg/L", "quantity", "hardness_on_scale")
    return _believable(plain, "hardness_on_scale").magnitude / size


def total_hardness(calcium: Any, magnesium: Any) -> Any:
    """Hardness from the calcium and magnesium of a water report.

    Parameters
    ----------
    calcium, magnesium : quantity, mg/L of the element or mmol/L; one or an array

    Returns
    -------
    quantity, mg/L as CaCO3

    Raises
    ------
    UnitNeeded   no unit
    OutOfRange   below zero, or above what any water holds
    Problem      arrays that do not fit

    Example
    -------
    >>> round(total_hardness(Q(48, "mg/L"), Q(6, "mg/L")).m_as("mg/L"), 1)
    144.6

    Limits: strontium, iron and the like, which count too, are left out. Hardness is not alkalinity.
    """
    parts = {}
    for name, symbol, value in (("calcium", "Ca", calcium), ("magnesium", "Mg", magnesium)):
        way, unit, per = ("by amount", "mmol/L", "g/mol") if _by_amount(value) else ("by mass", "mg/L", "1")
        plain = magnitude(value, unit, name, "total_hardness")
        within(
            plain, 0, np.inf, f"total_hardness: {{value:g}} {unit} of {name} cannot be; it is zero or more."
        )
        parts[name] = plain * number("units", f"hardness of {symbol}", way, per)
    check_shapes({name: np.shape(part) for name, part in parts.items()}, "total_hardness")
    return _believable(parts["calcium"] + parts["magnesium"], "total_hardness")


def _by_amount(value: Any) -> bool:
    return isinstance(value, Quantity) and value.check("[substance]/[length]**3")


def _size(scale: Any, function: str) -> float:
    """mg/L as CaCO3 in one step of a scale."""
    if not isinstance(scale, str) or scale not in _ROWS:
        raise Unreadable(f"{function} knows the scales {', '.join(_ROWS)}; {scale!r} is none of them.")
    if row := _ROWS[scale]:
        return number("units", row, "size", "mg/L")
    return number("units", "hardness of CaCO3", "by amount", "g/mol") if scale == "mmol/L" else 1.0


def _believable(plain: Any, function: str) -> Any:
    low, high = (number("limits", "hardness", end, "mg/L") for end in ("least", "most"))
    within(
        plain, low, high,
        f"{function}: a hardness of {{value:g}} mg/L as CaCO3 cannot be; it lies between {low:g} and {high:g}. "
        "Check the scale and the number.",
    )  # fmt: skip
    return Q(plain, "mg/L")
