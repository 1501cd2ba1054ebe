"""Days as people give them."""

from datetime import date
from typing import cast

import numpy as np

from stilltank.units import Problem, within
from stilltank.units.types import Day


def day_from(given: Day) -> date:
    """Take a day.

    Parameters
    ----------
    given : date, datetime64 or str
        What the person gave; a text is ISO.

    Returns
    -------
    date
        The day.

    Raises
    ------
    Problem
        This is no date.
    OutOfRange
        Its year is before 1900 or after 2200.

    Examples
    --------
    >>> day_from("2027-04-26")
    datetime.date(2027, 4, 26)
    """
    try:
        # numpy also takes "now", "2027" and counts of days, none of which anybody means
        plain = date.fromisoformat(given.strip()[:10]) if isinstance(given, str) else given
        if isinstance(plain, (bool, int, float)):
            raise TypeError
        found = np.datetime64(cast(date, plain), "D").item()
        year = found.year
    except (TypeError, ValueError, AttributeError):
        raise Problem(f"{given!r} is no date. Write the year first: 2027-04-26.") from None
    within(year, 1900, 2200, "A start lies between 1900 and 2200; the year {value:g} does not.")
    return found
