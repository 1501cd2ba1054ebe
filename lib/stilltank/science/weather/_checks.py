"""Dates and places: what is read, and what is refused."""

from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import Quantity, UnitNeeded, Unreadable, magnitude, ureg, within


def one_date(value: Any) -> Any:
    """One date as numpy sees it; raises Unreadable for anything that is none."""
    try:
        found = np.datetime64(value, "D")
    except (ValueError, TypeError):
        found = np.datetime64("NaT")
    if np.isnat(found) or (isinstance(value, str) and len(value) != 10):
        raise Unreadable(f"{value!r} is no date. Write it year first, as 2015-07-06.")
    return found


def month_day(text: str) -> tuple[int, int]:
    """Month and day of a text such as ``"05-15"``; raises Unreadable for anything else."""
    try:
        found = np.datetime64(f"2000-{text}", "D")
        if len(text) != 5:
            raise ValueError
    except ValueError:
        raise Unreadable(f"{text!r} is no month and day. Write it as 05-15 for 15 May.") from None
    return int(text[:2]), found.item().day


def day_of_year(dates: Any) -> Any:
    """Number of each day in its year, from 1; the ``J`` of FAO-56."""
    days = np.asarray(dates, dtype="datetime64[D]")
    return (days - days.astype("M8[Y]").astype("M8[D]")).astype(int) + 1


def consecutive(dates: Any) -> Any:
    """Dates as numpy sees them; raises Unreadable unless each day follows the one before."""
    try:
        days = np.atleast_1d(np.asarray(dates, dtype="datetime64[D]"))
    except (ValueError, TypeError):
        raise Unreadable("Weather: the dates must be written year first, as 2015-07-06.") from None
    if days.ndim != 1 or not days.size or np.isnat(days).any():
        raise Unreadable("Weather needs at least one day, and a date for each.")
    step = np.diff(days).astype(int)
    wrong = np.flatnonzero(step < 1)
    if wrong.size:
        first = days[wrong[0] + 1]
        what = "stands there twice" if first == days[wrong[0]] else f"comes after {days[wrong[0]]}"
        raise Unreadable(f"Weather: {first} {what}. The days must follow each other; sort the rows.")
    if (step > 1).any():
        raise Unreadable(missing_sentence(days))
    return days


def missing_sentence(days: Any) -> str:
    """Say which dates are missing between rising ``days``, and what to do."""
    gaps = np.flatnonzero(np.diff(days).astype(int) > 1)
    spans = [(days[gap] + 1, days[gap + 1] - 1) for gap in gaps]
    count = sum(int((last - first).astype(int)) + 1 for first, last in spans)
    shown = ", ".join(str(first) if first == last else f"{first} to {last}" for first, last in spans[:5])
    more = "" if len(spans) <= 5 else f" and {len(spans) - 5} more places"
    word = "day is" if count == 1 else "days are"
    return (
        f"Weather: {count} {word} missing: {shown}{more}. Add a row for each (from a neighbouring station, or the "
        "mean of the days before and after), or use the years before or after the gap on their own."
    )


def latitude_degrees(latitude: Any, function: str) -> Any:
    """A latitude as plain degrees; south negative.

    Parameters
    ----------
    latitude : quantity in degrees or radians, one value or an array
    function : str
        Who asks, for the sentence.

    Returns
    -------
    float or array

    Raises
    ------
    UnitNeeded   not an angle (a percentage is none)
    OutOfRange   beyond a pole

    Example
    -------
    >>> latitude_degrees(Q(-22.9, "degree"), "example")
    -22.9
    """
    if not isinstance(latitude, Quantity) or latitude.units not in (ureg.degree, ureg.radian):
        raise UnitNeeded(
            f'{function} needs a latitude in degrees, such as Q(41.5, "degree"), south negative. You gave {latitude!s}.'
        )
    degrees = magnitude(latitude, "degree", "latitude", function)
    within(degrees, -90, 90, f"{function}: a latitude lies between -90 and 90 degrees; {{value:g}} does not.")
    return degrees


def altitude_metres(altitude: Any, function: str) -> Any:
    """An altitude as plain metres.

    Raises UnitNeeded without a length, OutOfRange where nobody gardens.
    """
    metres = magnitude(altitude, "m", "altitude", function)
    check_metres(metres, "altitude", function)
    return metres


def check_metres(metres: Any, what: str, function: str) -> None:
    """Refuse plain metres outside the limits for an ``altitude`` or a ``wind gauge``.

    Raises OutOfRange.
    """
    low, high = (number("plausible", "weather", f"{end} {what}", "m") for end in ("lowest", "highest"))
    within(metres, low, high, f"{function}: {what} {{value:g}} m; write {low:g} to {high:g} m.")
