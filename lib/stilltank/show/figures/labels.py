"""Labels and dates for figures."""

from datetime import date
from typing import TypeAlias, cast

import numpy as np

from stilltank.tables import load
from stilltank.units import Problem, Quantity, write

from ..given import known_system, of_kind, quoted

DayLike: TypeAlias = date | np.datetime64 | str


def _one_day(day: DayLike) -> np.datetime64:
    try:
        found = np.datetime64(cast(str, day), "D")
        if isinstance(day, (date, np.datetime64, str)) and not np.isnat(found):
            return found
    except (TypeError, ValueError, OverflowError):
        pass
    raise Problem(f'A day is a date or a text such as "2027-04-26"; {quoted(day)} is not.')


def day_text(day: DayLike) -> str:
    """Write a day for people.

    Parameters
    ----------
    day : date, datetime64 or str
        The day; a text has the year first.

    Returns
    -------
    str
        Day, month and year.

    Raises
    ------
    Problem
        This is no day.

    Examples
    --------
    >>> day_text("2027-04-26")
    '26 April 2027'
    """
    plain: date = _one_day(day).astype(date)
    return f"{plain.day} {plain:%B %Y}"


def short_day(day: DayLike) -> str:
    """Write a day of a season whose year is said nearby.

    Parameters
    ----------
    day : date, datetime64 or str
        The day; a text has the year first.

    Returns
    -------
    str
        Day and month.

    Raises
    ------
    Problem
        This is no day.

    Examples
    --------
    >>> short_day("2027-04-26")
    '26 April'
    """
    return day_text(day).rpartition(" ")[0]


def day_number(day: DayLike) -> float:
    """Find where a day stands on an axis of dates.

    Parameters
    ----------
    day : date, datetime64 or str
        The day; a text has the year first.

    Returns
    -------
    float
        Days after 1 January 1970.

    Raises
    ------
    Problem
        This is no day.

    Examples
    --------
    >>> day_number("1970-01-03")
    2.0
    """
    return float(_one_day(day).astype(int))


def rise_text(rise: Quantity, limit: Quantity, system: str = "metric") -> str:
    """Write a rise of the level so that it never reads like a limit which it passes.

    Parameters
    ----------
    rise : Quantity
        How far the level rises.
    limit : Quantity
        The rise above which a caution holds.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        With two figures, or with three where two would read like the limit.

    Examples
    --------
    >>> rise_text(Q(2.03, "cm"), Q(2, "cm")), rise_text(Q(2, "cm"), Q(2, "cm")), rise_text(Q(2.6, "cm"), Q(2, "cm"))
    ('2.03 cm', '2 cm', '2.6 cm')
    """
    for given in (rise, limit):
        of_kind(given, Quantity, 'A rise is a length with its unit, such as Q(2, "cm")')
    known_system(system)
    short = write(rise, system, digits=2)
    return write(rise, system) if rise > limit and short == write(limit, system, digits=2) else short


def rise_rule(system: str = "metric") -> str:
    """Say the published caution about a rise, for a caption.

    Parameters
    ----------
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        Two sentences, with the source.

    Examples
    --------
    >>> rise_rule()
    'The caution: one paper says that ... a rise of more than 2 cm may injure plants (Kratky 2004, abstract). ...'
    """
    most = write(load("roots")["refill", "rise"].quantity, system, digits=2)
    return (
        f"The caution: one paper says that once the pots hang clear, a rise of more than {most} may injure plants "
        "(Kratky 2004, abstract). Nobody has counted how many it injures."
    )


def apart(places: dict[str, float], gap: float) -> dict[str, float]:
    """Move labels so far apart that none covers another, keeping their order from top to bottom.

    Parameters
    ----------
    places : dict of str to float
        Where each label would stand, by its name.
    gap : float
        The least distance between two of them, in the same unit.

    Returns
    -------
    dict of str to float
        Where each label stands, from the top down.

    Examples
    --------
    >>> apart({"low": 1.0, "high": 1.5}, 2.0)
    {'high': 1.5, 'low': -0.5}
    """
    moved: dict[str, float] = {}
    previous = None
    for name, place in sorted(places.items(), key=lambda item: -item[1]):
        previous = place if previous is None else min(place, previous - gap)
        moved[name] = previous
    return moved
