"""What is possible: ways to read a text, which of them can be, and which are the same."""

import math
from dataclasses import dataclass, replace
from functools import cache

from pint.facets.plain import PlainUnit

from stilltank.problems import UnitNeeded
from stilltank.registry import Quantity
from stilltank.tables import load

from .arguments import instance_of
from .spellings import PART_OF_ONE, Meaning

_NEAR = 0.03
_NEVER_NEAR = ("temperature", "dose", "alkalinity", "charge", "ratio", "pH", "count")


@dataclass(frozen=True, slots=True)
class Way:
    """One way to read the whole text.

    Parameters
    ----------
    values : tuple of float
        One value a side, in the unit of the first term.
    styles : frozenset[str]
        How lone commas were taken.
    notes : tuple of str
        What was assumed.
    terms : tuple of Meaning
        What each unit means.
    text : str
        To type for it.
    words : str
        To read aloud.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> litres = Way((45.0,), frozenset(), (), meanings("L", "volume", None), "45 L", "45 litres")
    >>> litres.values
    (45.0,)
    """

    values: tuple[float, ...]
    styles: frozenset[str]
    notes: tuple[str, ...]
    terms: tuple[Meaning, ...]
    text: str
    words: str


def limits(kind: str, unit: PlainUnit) -> tuple[float, float]:
    """Least and most possible for a kind, in a unit.

    Parameters
    ----------
    kind : str
        A kind of quantity, a name of data/kinds.csv.
    unit : PlainUnit
        The unit in which they are wanted.

    Returns
    -------
    tuple of float
        Least and most.

    Raises
    ------
    TableFault
        data/limits.csv has no such kind.
    Unreadable
        Something else than a name and a unit.
    UnitNeeded
        The unit does not go with the kind.

    Examples
    --------
    >>> from stilltank.registry import ureg
    >>> limits("pH", ureg.Unit("dimensionless"))[1] <= 16
    True
    """
    instance_of(kind, str, "kind", "limits")
    instance_of(unit, PlainUnit, "unit", "limits")
    return _limits(kind, unit)


@cache
def _limits(kind: str, unit: PlainUnit) -> tuple[float, float]:
    entries = load("limits").of(kind)
    least, most = entries["least"].quantity, entries["most"].quantity
    if not most.is_compatible_with(unit):  # a concentration as an amount, not a mass
        if "most amount" not in entries:
            raise UnitNeeded(f"limits: a {kind} has no unit such as {unit:P}.")
        least, most = Quantity(0.0, unit), entries["most amount"].quantity
    return float(least.m_as(unit)), float(most.m_as(unit))


def possible(
    ways: list[Way], least: Quantity | None, most: Quantity | None
) -> tuple[list[Way], tuple[str, ...]]:
    """Leave out what cannot be, as long as something stays.

    Parameters
    ----------
    ways : list of Way
        The ways to read the text.
    least : Quantity, optional
        What is possible at least, where the caller knows it.
    most : Quantity, optional
        What is possible at most, where the caller knows it.

    Returns
    -------
    tuple of list and tuple
        The ways that stay, and notes that say so.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> litres = Way((45.0,), frozenset(), (), meanings("L", "volume", None), "45 L", "45 litres")
    >>> possible([litres], None, None) == ([litres], ())
    True
    """
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
    """Whether the size is possible for the kind, by data/limits.csv; a count is whole.

    Parameters
    ----------
    way : Way
        One way to read the text.

    Returns
    -------
    bool
        True where it is.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> litres = Way((45.0,), frozenset(), (), meanings("L", "volume", None), "45 L", "45 litres")
    >>> fits_kind(litres)
    True
    """
    first = way.terms[0]
    if first.kind == "count" and not way.values[0].is_integer():
        return False
    low, high = limits(first.kind, first.unit)
    low, high = low - abs(low) * 1e-9, high + abs(high) * 1e-9  # room for the rounding of a conversion
    return low <= min(way.values) and max(way.values) <= high


def within_bounds(way: Way, least: Quantity | None, most: Quantity | None) -> bool:
    """Whether the size lies between the bounds the caller gave.

    Parameters
    ----------
    way : Way
        One way to read the text.
    least : Quantity, optional
        What is possible at least, where the caller knows it.
    most : Quantity, optional
        What is possible at most, where the caller knows it.

    Returns
    -------
    bool
        True where it does.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> litres = Way((45.0,), frozenset(), (), meanings("L", "volume", None), "45 L", "45 litres")
    >>> within_bounds(litres, None, Quantity(40, "L"))
    False
    """
    unit = way.terms[0].unit
    ends = [limit for limit in (least, most) if limit is not None]
    if not all(limit.is_compatible_with(unit) for limit in ends):
        return False
    low = -math.inf if least is None else float(least.m_as(unit))
    high = math.inf if most is None else float(most.m_as(unit))
    return low <= min(way.values) and max(way.values) <= high


def distinct(ways: list[Way]) -> list[Way]:
    """One way for each different quantity, the surest first.

    Parameters
    ----------
    ways : list of Way
        The ways to read the text.

    Returns
    -------
    list of Way
        The surest first.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> litres = Way((45.0,), frozenset(), (), meanings("L", "volume", None), "45 L", "45 litres")
    >>> len(distinct([litres, litres]))
    1
    """
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
    """One of the ways, where all lie so close together that nobody at a tank could tell.

    Not for temperatures, whose zero is arbitrary, nor for kinds by which acid is dosed.

    Parameters
    ----------
    ways : list of Way
        The ways to read the text.

    Returns
    -------
    Way or None
        None where they do not agree.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> litres = Way((45.0,), frozenset(), (), meanings("L", "volume", None), "45 L", "45 litres")
    >>> agreeing([litres]).values
    (45.0,)
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
    """Whether no doubtful spelling was needed.

    In a sum the first unit settles what the others are.

    Parameters
    ----------
    way : Way
        One way to read the text.

    Returns
    -------
    bool
        True where none was.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> litres = Way((45.0,), frozenset(), (), meanings("L", "volume", None), "45 L", "45 litres")
    >>> sure(litres)
    True
    """
    return way.terms[0].sure
