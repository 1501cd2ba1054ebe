"""Labels and dates for figures."""

from datetime import date
from typing import Any

import numpy as np

from stilltank.tables import load
from stilltank.units import write


def day_text(day: Any) -> str:
    """A day for people: "26 April 2027".

    Example
    -------
    >>> day_text("2027-04-26")
    '26 April 2027'
    """
    plain: date = np.datetime64(day, "D").astype(date)
    return f"{plain.day} {plain:%B %Y}"


def short_day(day: Any) -> str:
    """A day of a season whose year is said nearby: "26 April".

    Example
    -------
    >>> short_day("2027-04-26")
    '26 April'
    """
    return day_text(day).rpartition(" ")[0]


def day_number(day: Any) -> float:
    """Where a day stands on an axis of dates.

    Example
    -------
    >>> day_number("1970-01-03")
    2.0
    """
    return float(np.datetime64(day, "D").astype(int))


def rise_rule() -> str:
    """The published limit of a rise, as captions say it."""
    most = write(load("roots")["refill", "rise"].quantity)
    return (
        f"Published: once the pots hang clear, a rise of more than {most} may injure (Kratky 2004, abstract)."
    )


def apart(places: dict[str, float], gap: float) -> dict[str, float]:
    """Move labels so far apart that none covers another, keeping their order from top to bottom.

    Example
    -------
    >>> apart({"low": 1.0, "high": 1.5}, 2.0)
    {'high': 1.5, 'low': -0.5}
    """
    moved: dict[str, float] = {}
    previous = None
    for name, place in sorted(places.items(), key=lambda item: -item[1]):
        previous = place if previous is None else min(place, previous - gap)
        moved[name] = previous
    return moved
