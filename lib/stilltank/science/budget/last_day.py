"""The last day of a season that is to end before the frost."""

from datetime import date

import numpy as np

from stilltank.science.weather import Weather, frost_dates
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem
from stilltank.units.types import Day

from ._checks import one_day, plain_date


def last_day_before_frost(start: Day, record: Weather | None) -> date:
    """Find the day up to which a frost in the autumn after a start is rarer than the risk in data/budget.csv.

    Parameters
    ----------
    start : date or str
        The first day of the season.
    record : Weather
        The weather of the place.

    Returns
    -------
    date
        The day.

    Raises
    ------
    OutOfRange
        The season would begin among the frosts of an autumn.
    Unreadable
        The start is no date.
    Problem
        There is no record, or frost is rarer there than the risk.

    Examples
    --------
    >>> from stilltank.science.weather import record
    >>> last_day_before_frost("2027-05-10", record("quillgate")).isoformat()
    '2027-10-...'
    """
    first = one_day(start, "The start")
    if record is None:
        raise Problem('`until="frost"` needs a weather record. Give a last day instead.')
    risk = number("budget", "season end", "frost risk", "1")
    autumn = frost_dates(record)[1]
    year = plain_date(first).year
    days = [autumn.date(risk, each) for each in (year, year + 1)]
    if days[0] is None or days[1] is None:
        raise Problem(
            f"In autumn a frost is rarer there than in {risk:g} of the years. Give a last day instead."
        )
    this, following = (np.datetime64(day, "D") for day in days)
    if first <= this:
        return days[0]
    if (first - this).astype(int) < (following - this).astype(int) / 2:
        raise OutOfRange(f"On {first} frosts are usual there since {this}. Give a last day instead.")
    return days[1]
