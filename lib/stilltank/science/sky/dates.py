"""Single dates, and their places in a leap year."""

import datetime
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import Unreadable, within
from stilltank.units.types import Day, Days, Numbers, SomeDays

_MONTH_STARTS = np.cumsum([0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30])


def slot(dates: Days) -> Numbers:
    """Place of a date in a leap year, counted from 0.

    Parameters
    ----------
    dates : ndarray of datetime64
        Days as numpy holds them.

    Returns
    -------
    ndarray of int
        0 to 365; 29 February has 59 to itself.

    Examples
    --------
    >>> slot(days_of(["2025-03-01", "2024-02-29"])).tolist()
    [60, 59]
    """
    months = dates.astype("datetime64[M]")
    month = months.astype(int) % 12
    day = (dates - months.astype("datetime64[D]")).astype(int)
    return _MONTH_STARTS[month] + day


ONE_DAY = np.timedelta64(1, "D")  # a date + 3 * ONE_DAY: numpy will soon refuse a bare 3


def days_of(dates: SomeDays | int | Numbers) -> Days:
    """Turn a date, or many, into numpy's days.

    Parameters
    ----------
    dates : SomeDays or int
        Dates, whole ISO dates as text, or numpy datetimes.

    Returns
    -------
    ndarray of datetime64
        Of the shape of ``dates``.

    Raises
    ------
    Unreadable
        Text that is no ISO date, a date that does not exist, or something that is no date.
    OutOfRange
        A year that no tank is planned in.

    Examples
    --------
    >>> str(days_of("2025-06-21"))
    '2025-06-21'
    """
    array = np.asarray(dates)
    if dates is not None and not array.size:
        return np.zeros(array.shape, dtype="datetime64[D]")
    if array.dtype.kind in "UO":
        flat = np.array([_one_day(item) for item in array.ravel()], dtype="datetime64[D]")
        array = flat.reshape(array.shape)[()]
    elif array.dtype.kind != "M":
        raise Unreadable(f'A date is needed, such as "2025-06-21". You gave {dates!s}.')
    days = array.astype("datetime64[D]")
    if np.isnat(days).any():
        raise Unreadable("A date is missing. Leave the gap out, or fill it first.")
    first, last = (int(number("plausible", "date", f"{end} year", "1")) for end in ("first", "last"))
    within(
        days.astype("datetime64[Y]").astype(int) + 1970,
        first,
        last,
        f"The year {{value:.0f}} cannot be meant; write one from {first} to {last}.",
    )
    return days


def _one_day(item: Any) -> Any:
    if item is None or item != item:  # pandas writes a gap as a date that does not equal itself
        return np.datetime64("NaT", "D")
    if isinstance(item, datetime.datetime):
        return item.date()
    if isinstance(item, (datetime.date, np.datetime64)):
        return item
    try:
        if len(item) != len("2025-06-21"):
            raise ValueError
        return datetime.date.fromisoformat(item)
    except (TypeError, ValueError):
        shown = repr(str(item)) if isinstance(item, str) else str(item)
        raise Unreadable(f'{shown} is no date. Write year, month and day, as in "2025-06-21".') from None


def day_of(date: Day) -> np.datetime64:
    """Turn one date into numpy's day.

    Parameters
    ----------
    date : Day
        A date, a whole ISO date as text, or a numpy datetime.

    Returns
    -------
    datetime64
        The day.

    Raises
    ------
    Unreadable
        No date, or several.
    OutOfRange
        A year that no tank is planned in.

    Examples
    --------
    >>> str(day_of("2025-06-21"))
    '2025-06-21'
    """
    day: Any = days_of(date)
    if np.ndim(day):
        raise Unreadable("One date is needed here, not a list of them.")
    return np.datetime64(day, "D")


def month_day(text: str) -> tuple[int, int]:
    """Month and day of a text.

    Parameters
    ----------
    text : str
        Such as "05-15" for 15 May.

    Returns
    -------
    tuple of int
        Month and day.

    Raises
    ------
    Unreadable
        Anything else.

    Examples
    --------
    >>> month_day("05-15")
    (5, 15)
    """
    try:
        found = np.datetime64(f"2000-{text}", "D")
        if len(text) != 5:
            raise ValueError
    except ValueError:
        raise Unreadable(f"{text!r} is no month and day. Write it as 05-15 for 15 May.") from None
    return int(text[:2]), found.item().day


def plain_day_of_year(dates: SomeDays) -> Numbers:
    """Number of each day in its year, from 1.

    Parameters
    ----------
    dates : SomeDays
        Days as numpy holds them, or ISO dates.

    Returns
    -------
    ndarray of int
        1 to 366; the J of FAO-56.

    Examples
    --------
    >>> plain_day_of_year(["2025-01-01", "2024-12-31"]).tolist()
    [1, 366]
    """
    days = np.asarray(dates, dtype="datetime64[D]")
    return (days - days.astype("M8[Y]").astype("M8[D]")).astype(int) + 1


def consecutive(dates: SomeDays) -> Days:
    """Dates as numpy holds them, each following the one before.

    Parameters
    ----------
    dates : SomeDays
        Dates or ISO dates, one a day.

    Returns
    -------
    ndarray of datetime64
        The days.

    Raises
    ------
    Unreadable
        No dates, or dates that are missing, doubled or out of order.

    Examples
    --------
    >>> len(consecutive(["2025-06-21", "2025-06-22"]))
    2
    """
    if dates is None or not np.asarray(dates).size:
        raise Unreadable("Weather needs at least one day, and a date for each.")
    days = np.atleast_1d(days_of(dates))
    if days.ndim != 1:
        raise Unreadable("Weather needs its dates in one row, a date for each day.")
    step = np.diff(days).astype(int)
    wrong = np.flatnonzero(step < 1)
    if wrong.size:
        first = days[wrong[0] + 1]
        what = "stands there twice" if first == days[wrong[0]] else f"comes after {days[wrong[0]]}"
        raise Unreadable(f"Weather: {first} {what}. The days must follow each other; sort the rows.")
    if (step > 1).any():
        raise Unreadable(missing_sentence(days))
    return days


def missing_sentence(days: Days) -> str:
    """Say which dates are missing between rising days, and what to do.

    Parameters
    ----------
    days : ndarray of datetime64
        Rising days, at least one of them missing.

    Returns
    -------
    str
        The sentence.

    Examples
    --------
    >>> missing_sentence(days_of(["2025-06-21", "2025-06-23"]))[:41]
    'Weather: 1 day is missing: 2025-06-22. Ad'
    """
    days = np.atleast_1d(days_of(days)).ravel()
    gaps = np.flatnonzero(np.diff(days).astype(int) > 1)
    spans = [(days[gap] + ONE_DAY, days[gap + 1] - ONE_DAY) for gap in gaps]
    count = sum(int((last - first).astype(int)) + 1 for first, last in spans)
    shown = ", ".join(str(first) if first == last else f"{first} to {last}" for first, last in spans[:5])
    more = "" if len(spans) <= 5 else f" and {len(spans) - 5} more places"
    word = "day is" if count == 1 else "days are"
    return (
        f"Weather: {count} {word} missing: {shown}{more}. Add a row for each (from a neighbouring station, or the "
        "mean of the days before and after), or use the years before or after the gap on their own."
    )
