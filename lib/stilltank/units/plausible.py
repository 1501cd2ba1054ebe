"""What is possible: ways to read a text, which of them can be, and which are the same."""

import math
from dataclasses import dataclass, replace
from functools import cache

from pint import Unit

from stilltank.registry import Quantity
from stilltank.tables import load

from .spellings import PART_OF_ONE, Meaning

_NEAR = 0.03
_NEVER_NEAR = ("temperature", "dose", "alkalinity", "charge", "ratio", "pH", "count")


@dataclass(frozen=True, slots=True)
class Way:
    """One way to read the whole text: one value a side, in the unit of the first term."""

    values: tuple[float, ...]
    styles: frozenset[str]
    notes: tuple[str, ...]
    terms: tuple[Meaning, ...]
    text: str
    words: str


@cache
def limits(kind: str, unit: Unit) -> tuple[float, float]:
    """Least and most possible for the kind, in this unit."""
    entries = load("limits").of(kind)
    least, most = entries["least"].quantity, entries["most"].quantity
    if not most.is_compatible_with(unit):  # a concentration as an amount, not a mass
        least, most = Quantity(0.0, unit), entries["most amount"].quantity
    return float(least.m_as(unit)), float(most.m_as(unit))


def possible(
    ways: list[Way], least: Quantity | None, most: Quantity | None
) -> tuple[list[Way], tuple[str, ...]]:
    """Leave out what cannot be, as long as something stays; the notes say so."""
    notes: tuple[str, ...] = ()
    if len(ways) > 1 and (least is not None or most is not None):
        kept = [way for way in ways if within_bounds(way, least, most)]
        if kept and len(kept) < len(ways):
            ways, notes = kept, ("the only reading of a possible size here",)
    digits_only = len({way.terms for way in ways}) == 1 or any(
        way.terms[0].written == PART_OF_ONE for way in ways
    )
    if len(ways) > 1 and digits_only:  # no look-alike units: the size may decide
        kept = [way for way in ways if fits_kind(way)]
        if kept and len(kept) < len(ways):
            ways, notes = kept, notes or ("the only reading of a possible size",)
    return ways, notes


def fits_kind(way: Way) -> bool:
    """Whether the size is possible for the kind, by data/limits.csv; a count is whole."""
    first = way.terms[0]
    if first.kind == "count" and not way.values[0].is_integer():
        return False
    low, high = limits(first.kind, first.unit)
    low, high = low - abs(low) * 1e-9, high + abs(high) * 1e-9  # room for the rounding of a conversion
    return low <= min(way.values) and max(way.values) <= high


def within_bounds(way: Way, least: Quantity | None, most: Quantity | None) -> bool:
    """Whether the size lies between the bounds the caller gave."""
    unit = way.terms[0].unit
    ends = [limit for limit in (least, most) if limit is not None]
    if not all(limit.is_compatible_with(unit) for limit in ends):
        return False
    low = -math.inf if least is None else float(least.m_as(unit))
    high = math.inf if most is None else float(most.m_as(unit))
    return low <= min(way.values) and max(way.values) <= high


def distinct(ways: list[Way]) -> list[Way]:
    """One way for each different quantity, the surest first."""
    found: list[Way] = []
    for way in sorted(ways, key=lambda way: not sure(way)):
        if not any(_same(way, other) for other in found):
            found.append(way)
    return found


def _same(way: Way, other: Way) -> bool:
    one, two = way.terms[0], other.terms[0]
    if one.kind != two.kind or one.of != two.of or one.unit.dimensionality != two.unit.dimensionality:
        return False
    values = (float(Quantity(value, one.unit).m_as(two.unit)) for value in way.values)
    return all(math.isclose(*pair, rel_tol=1e-9) for pair in zip(values, other.values, strict=True))


def agreeing(ways: list[Way]) -> Way | None:
    """One of the ways, where all lie so close together that nobody at a tank could tell; None where they do not.

    Not for temperatures, whose zero is arbitrary, nor for kinds by which acid is dosed.
    """
    first = ways[0].terms[0]
    if first.kind in _NEVER_NEAR or len({way.terms[0].kind for way in ways}) > 1:
        return None
    spans = []
    for way in ways:
        unit, (low, high) = way.terms[0].unit, way.terms[0].spread
        if unit.dimensionality != first.unit.dimensionality or way.terms[0].of != first.of:
            return None
        spans.append([float(Quantity(value, unit).m_as(first.unit)) for value in way.values])
        spans += [[value * share for value in spans[-1]] for share in (low, high)]
    for column in zip(*spans, strict=True):
        if min(column) < 0 or max(column) > min(column) * (1 + _NEAR):
            return None
    way = next((way for way in ways if "metric" in way.terms[0].systems), ways[0])
    return replace(way, notes=(*way.notes, f"{way.words} taken; all readings agree within 3 %"))


def sure(way: Way) -> bool:
    """Whether no doubtful spelling was needed; in a sum the first unit settles what the others are."""
    return way.terms[0].sure
