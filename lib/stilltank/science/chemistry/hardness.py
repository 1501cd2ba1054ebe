"""Hardness on the scales people use: calcium and magnesium, counted as CaCO3.

Hardness is not alkalinity. Hardness counts calcium and magnesium, and says nothing about acid; alkalinity counts
what takes up acid, mostly bicarbonate. In many tap waters the two are near each other because limestone brought
both; softened water has no hardness and all its alkalinity, and gypsum brings hardness without any.
"""

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from stilltank.tables import number
from stilltank.units import PlainNumber, Quantity, check_shapes, magnitude, takes, within
from stilltank.units.types import Plain

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
    """The scales of hardness that the workbook reads.

    Returns
    -------
    tuple of str
        Their names, for ``hardness_as_caco3`` and ``hardness_on_scale``.

    Examples
    --------
    >>> hardness_scales()[1]
    'German degrees'
    """
    return tuple(_ROWS)


@takes(value=PlainNumber(8), scale=tuple(_ROWS), returns="mg/L")
def hardness_as_caco3(value: Plain, scale: str) -> Quantity:
    """Turn a hardness from the scale of a report or test kit into mg/L as CaCO3.

    Parameters
    ----------
    value : float or array
        A plain number, as the kit shows it.
    scale : str
        One of ``hardness_scales()``; "mmol/L" is calcium and magnesium together.

    Returns
    -------
    Quantity
        mg/L as CaCO3, in the shape of ``value``.

    Raises
    ------
    Unreadable
        The scale is another, or the value is no plain number.
    OutOfRange
        The value is below zero, or above what any water holds.

    See Also
    --------
    hardness_on_scale : The way back.
    total_hardness : From the calcium and magnesium of a report.

    Notes
    -----
    Hardness is not alkalinity, and a dose of acid cannot be calculated from it.

    References
    ----------
    HARDNESSDEGREES; the definitions in data/units.csv.

    Examples
    --------
    >>> round(hardness_as_caco3(8, "German degrees").m_as("mg/L"), 1)
    142.8
    """
    return _believable(value * _size(scale), "hardness_as_caco3")  # type: ignore[return-value]


@takes(scale=tuple(_ROWS))
def hardness_on_scale(scale: str, quantity: Quantity) -> Plain:
    """Read a hardness on a scale.

    Parameters
    ----------
    scale : str
        One of ``hardness_scales()``.
    quantity : Quantity
        mg/L as CaCO3, or mmol/L of calcium and magnesium together; one value or an array.

    Returns
    -------
    float or array
        Degrees of the scale, in the shape of ``quantity``.

    Raises
    ------
    Unreadable
        The scale is another.
    UnitNeeded
        The hardness has no unit.
    OutOfRange
        The hardness is below zero, or above what any water holds.

    See Also
    --------
    hardness_as_caco3 : The way back.

    Examples
    --------
    >>> round(hardness_on_scale("grains per US gallon", Q(171.181, "mg/L")), 2)
    10.0
    """
    if _by_amount(quantity):
        plain = magnitude(quantity, "mmol/L", "quantity", "hardness_on_scale") * _size("mmol/L")
    else:
        plain = magnitude(quantity, "mg/L", "quantity", "hardness_on_scale")
    return _believable(plain, "hardness_on_scale") / _size(scale)


@takes(returns="mg/L")
def total_hardness(calcium: Quantity, magnesium: Quantity) -> Quantity:
    """Hardness from the calcium and magnesium of a water report.

    Parameters
    ----------
    calcium, magnesium : Quantity
        mg/L of the element or mmol/L; one value or an array.

    Returns
    -------
    Quantity
        mg/L as CaCO3, in the common shape of both.

    Raises
    ------
    UnitNeeded
        A concentration has no unit.
    OutOfRange
        A concentration is below zero, or the hardness is above what any water holds.
    Problem
        The arrays do not fit.

    See Also
    --------
    hardness_on_scale : The same in degrees.

    Notes
    -----
    Strontium, iron and the like, which count too, are left out. Hardness is not alkalinity.

    Examples
    --------
    >>> round(total_hardness(Q(48, "mg/L"), Q(6, "mg/L")).m_as("mg/L"), 1)
    144.6
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
    return _believable(parts["calcium"] + parts["magnesium"], "total_hardness")  # type: ignore[return-value]


def _by_amount(value: object) -> bool:
    return isinstance(value, Quantity) and value.check("[substance]/[length]**3")


def _size(scale: str) -> float:
    """mg/L as CaCO3 in one step of a scale."""
    if row := _ROWS[scale]:
        return number("units", row, "size", "mg/L")
    return number("units", "hardness of CaCO3", "by amount", "g/mol") if scale == "mmol/L" else 1.0


def _believable(plain: Plain, function: str) -> Plain:
    low, high = (number("limits", "hardness", end, "mg/L") for end in ("least", "most"))
    within(
        plain, low, high,
        f"{function}: a hardness of {{value:g}} mg/L as CaCO3 cannot be; it lies between {low:g} and {high:g}. "
        "Check the scale and the number.",
    )  # fmt: skip
    return plain
