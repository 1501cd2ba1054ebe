"""Lengths as they are read off a ruler: millimetres, or inches in halves, quarters, eighths and sixteenths."""

import math
from fractions import Fraction

import numpy as np

from stilltank.problems import UnitNeeded
from stilltank.registry import Q, Quantity

from .writing import write

_FINE = 2.0  # inches; a longer length is read to an eighth, a shorter one to a sixteenth
_SAME = 1e-6  # of a mark; what a calculation leaves over


def on_ruler(length: Quantity, system: str = "metric", *, down: bool = False) -> str:
    """Write a length as a ruler shows it: to a millimetre, or to an eighth of an inch.

    Parameters
    ----------
    length : Quantity
        One length, not negative.
    system : {"metric", "US", "both"}
        Centimetres, inches, or centimetres with inches in brackets.
    down : bool
        True for a length that must not be passed: the mark below, in place of the nearest.

    Returns
    -------
    str
        Such as ``25 cm`` or ``9 7/8 in``. Below 2 inches to a sixteenth.

    Raises
    ------
    UnitNeeded
        This is no length, or there is no such system.

    See Also
    --------
    ruler_range : Both ends of a range.

    Examples
    --------
    >>> on_ruler(Q(25, "cm"), "both"), on_ruler(Q(2, "cm"), "US"), on_ruler(Q(2, "cm"), "US", down=True)
    ('25 cm (9 7/8 in)', '13/16 in', '3/4 in')
    """
    if not isinstance(system, str) or system not in ("metric", "US", "both"):
        raise UnitNeeded(f'The systems are "metric", "US" and "both"; you gave {system!r}.')
    if system == "both":
        return f"{on_ruler(length, down=down)} ({on_ruler(length, 'US', down=down)})"
    if system == "US":
        return f"{_inches(_plain(length, 'inch'), down)} in"
    millimetres = _whole(_plain(length, "mm"), down)
    return write(Q(millimetres / 10, "cm"), digits=4 + len(str(millimetres)))


def ruler_range(low: Quantity, high: Quantity, system: str = "metric") -> str:
    """Write a range of lengths as a ruler shows its ends, such as ``1 1/8 to 2 1/4 in``.

    Parameters
    ----------
    low, high : Quantity
        Lengths, not negative.
    system : {"metric", "US", "both"}
        As for `on_ruler`.

    Returns
    -------
    str
        One length where both ends are at the same mark.

    Raises
    ------
    UnitNeeded
        These are no lengths, or there is no such system.

    Examples
    --------
    >>> ruler_range(Q(3, "cm"), Q(5.8, "cm")), ruler_range(Q(3, "cm"), Q(5.8, "cm"), "US")
    ('3 to 5.8 cm', '1 3/16 to 2 1/4 in')
    """
    if isinstance(system, str) and system == "both":
        return f"{ruler_range(low, high)} ({ruler_range(low, high, 'US')})"
    first, last = on_ruler(low, system), on_ruler(high, system)
    if first == last:
        return first
    (figures, unit), (more, other) = (text.rsplit(" ", 1) for text in (first, last))
    return f"{figures} to {more} {unit}" if unit == other else f"{first} to {last}"


def _plain(length: object, unit: str) -> float:
    if not isinstance(length, Quantity) or not length.check("[length]") or np.size(length.magnitude) != 1:
        raise UnitNeeded(f'A ruler shows one length with its unit, such as Q(25, "cm"); {length!r} is none.')
    plain = float(np.squeeze(length.m_as(unit)))
    if not math.isfinite(plain) or plain < 0:
        raise UnitNeeded(f"A ruler shows lengths from 0 up; {write(length)} is not one.")
    return plain


def _whole(marks: float, down: bool) -> int:
    return math.floor(marks + _SAME) if down else math.floor(marks + 0.5)


def _inches(inches: float, down: bool) -> str:
    parts = 16 if inches < _FINE else 8
    whole, over = divmod(_whole(inches * parts, down), parts)
    figures = [f"{whole}"] if whole or not over else []
    return " ".join([*figures, str(Fraction(over, parts))] if over else figures)
