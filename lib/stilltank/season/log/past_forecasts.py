"""Past forecasts against what was read later: each made only with the visits before it."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

import pint

from stilltank.units import Q, write, write_range

from .log_fit import Refit
from .tank_forecast import stick_range

_LAST = 10  # forecasts that are counted
_AHEAD = 14  # days after which a forecast is from too long ago to speak for the next


@dataclass(frozen=True, kw_only=True)
class PastForecast:
    """What a visit forecast of the next one, and what was read there.

    Parameters
    ----------
    made, day : date
        When it was made, and for when.
    low, middle, high : quantity, cm
        10, 50 and 90 of 100 possible tanks lay below.
    read : quantity, cm
        What the stick showed.

    Examples
    --------
    >>> low, middle, high, read = (Q(each, "cm") for each in (14, 16, 18, 17))
    >>> PastForecast(made=date(2027, 6, 1), day=date(2027, 6, 5), low=low, middle=middle, high=high, read=read).held
    True
    """

    made: date
    day: date
    low: pint.Quantity
    middle: pint.Quantity
    high: pint.Quantity
    read: pint.Quantity

    @property
    def held(self) -> bool:
        """Whether the reading lay in the range."""
        return bool(self.low <= self.read <= self.high)

    def said(self, system: str = "metric") -> str:
        """Say it in a line.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        str
            Two days, the range, and what was read.

        Examples
        --------
        >>> low, middle, high, read = (Q(each, "cm") for each in (14, 16, 18, 12))
        >>> days = {"made": date(2027, 6, 1), "day": date(2027, 6, 5)}
        >>> PastForecast(**days, low=low, middle=middle, high=high, read=read).said()
        '1 June, for 5 June: 14 to 18 cm. Read: 12 cm, outside.'
        """
        first, last = (f"{each.day} {each:%B}" for each in (self.made, self.day))
        return (
            f"{first}, for {last}: {write_range(self.low, self.high, system)}. "
            f"Read: {write(self.read, system)}, {'inside' if self.held else 'outside'}."
        )


def past_forecasts(fitted: Refit, tank: str | None = None, last: int = _LAST) -> tuple[PastForecast, ...]:
    """Forecast each of the latest readings from the visit before it, as it could be done then.

    Parameters
    ----------
    fitted : Refit
        What the log taught.
    tank : str, optional
        Its code; not needed where there is one.
    last : int
        How many, from the end.

    Returns
    -------
    tuple of PastForecast
        In order. A reading more than two weeks after the one before it is left out.

    Raises
    ------
    Problem
        Several tanks and none named.

    Notes
    -----
    Each tank is fitted again for each of them, with the visits up to then. A question that was answered later counts as
    answered all along.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read, refit
    >>> from stilltank.season.plan import Plan
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n2027-06-14,18\\n")
    >>> [each.made.isoformat() for each in past_forecasts(refit(Plan.make(count=4), read(path), members=500))]
    ['2027-06-10']
    """
    fit = fitted.of(tank)
    first: dict[date, pint.Quantity] = {}
    for seen in fit.observations:
        if seen.level is not None and not seen.evening and not seen.after_adding:
            first.setdefault(seen.day, seen.level.to("cm"))
    days = sorted({each.day for each in fit.observations if each.measures})
    found = []
    for made, day in list(itertools.pairwise(days))[-last:]:
        if day not in first or (day - made).days > _AHEAD:
            continue
        then = fitted.as_of(made, tank)
        ahead = (day - then.last_day).days  # an evening's reading counts on the next morning
        if ahead < 1:
            continue
        low, middle, high = (  # as they are told
            Q(round(float(each.m_as("cm")), 1), "cm") for each in stick_range(then.forecast(ahead), day)
        )
        found.append(PastForecast(made=made, day=day, low=low, middle=middle, high=high, read=first[day]))
    return tuple(found)


def held_words(past: Iterable[PastForecast]) -> str:
    """Say how many of the past forecasts held.

    Parameters
    ----------
    past : sequence of PastForecast
        As `past_forecasts` finds them.

    Returns
    -------
    str
        One sentence.

    Examples
    --------
    >>> held_words([])
    'There is no earlier forecast to hold against a reading yet.'
    """
    several = tuple(past)
    if not several:
        return "There is no earlier forecast to hold against a reading yet."
    held = sum(each.held for each in several)
    count = len(several)
    if count == 1:
        return f"The one earlier forecast {'held' if held else 'did not hold'}; 8 of 10 are meant to."
    return f"{held} of the last {count} forecasts held; 8 of 10 are meant to."
