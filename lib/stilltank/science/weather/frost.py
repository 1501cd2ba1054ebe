"""Last frost of spring and first of autumn: their dates in a record, and the risk of one after a date."""

import datetime
from dataclasses import dataclass
from statistics import NormalDist
from typing import Any

import numpy as np

from stilltank.science.sky import day_of
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, Quantity, one_value, pure_number, whole_number, within
from stilltank.units.types import Day

from .series import Weather

_HALVES = {"first": (1, 7), "second": (7, 13)}  # months from, and up to


@dataclass(frozen=True)
class FrostDates:
    """The frosts of one half of the year, spring or autumn, over the years of a record.

    Parameters
    ----------
    name : str
        "spring" or "autumn".
    half : str
        "first" or "second" half of the calendar year.
    dates : dict of int to date or None
        By year, the last frost of spring or the first of autumn; None in a year without one.

    See Also
    --------
    frost_dates : Make both halves from a weather record.

    Examples
    --------
    >>> print(FrostDates("spring", "first", {2024: None, 2025: datetime.date(2025, 4, 12)}))
    last frost of spring, 1 of 2 years: 2025-04-12. 2 years show the arithmetic; a risk takes 30.
    """

    name: str
    half: str
    dates: dict[int, datetime.date | None]

    @property
    def years(self) -> int:
        """How many years of the record have every day of this half.

        Examples
        --------
        >>> FrostDates("spring", "first", {2025: None}).years
        1
        """
        return len(self.dates)

    @property
    def share_with_frost(self) -> float:
        """Share of the years that had a frost in this half.

        Examples
        --------
        >>> FrostDates("spring", "first", {2025: None}).share_with_frost
        0.0
        """
        return sum(date is not None for date in self.dates.values()) / self.years

    def risk(self, date: Day) -> float:
        """Chance of a frost after a date in spring, or before it in autumn.

        Parameters
        ----------
        date : Day
            Its year does not matter.

        Returns
        -------
        float
            Between 0 and 1.

        Raises
        ------
        Unreadable
            No date.
        Problem
            A date in the other half of the year, or fewer than two years with a frost.

        Examples
        --------
        >>> from stilltank.science import weather
        >>> spring = frost_dates(weather.record("new-york"))[0]
        >>> round(spring.risk("2026-04-15"), 2)
        0.09
        """
        wanted: Any = day_of(date).item()
        if self._half_of(wanted) != self.half:
            raise Problem(
                f"{wanted} does not lie in the {self.name} half of the year here, {self._told()}. Give one that does."
            )
        spread, day = self._spread(), self._number(wanted)
        # whole days: a later frost than this day's, or an earlier one
        beyond = 1 - spread.cdf(day + 0.5) if self.name == "spring" else spread.cdf(day - 0.5)
        return self.share_with_frost * beyond

    def date(self, risk: float, year: int) -> datetime.date | None:
        """Date from which on in spring, or up to which in autumn, a frost has no more than this chance.

        Parameters
        ----------
        risk : float
            Between 0 and 1, such as 0.1 for one year in ten.
        year : int
            The year to write the date in.

        Returns
        -------
        date or None
            The date, or None where frost is rarer than that on any day of the half.

        Raises
        ------
        OutOfRange
            A risk that is not between 0 and 1, a date beyond the half of the year.
        Unreadable
            A risk that is no number.
        Problem
            Fewer than two years with a frost.

        Examples
        --------
        >>> from stilltank.science import weather
        >>> spring = frost_dates(weather.record("new-york"))[0]
        >>> spring.date(0.1, 2026).isoformat(), spring.date(0.5, 2026).isoformat()
        ('2026-04-15', '2026-04-04')
        """
        chance = pure_number(risk, 0.1, "risk", "date")
        within(chance, 1e-6, 1 - 1e-6, "A risk lies between 0 and 1, such as 0.1; {value:g} does not.")
        whole = _year(year)
        if chance >= self.share_with_frost:
            return None
        spread = self._spread()
        beyond = NormalDist().inv_cdf(1 - chance / self.share_with_frost) * spread.stdev
        # whole days, rounded to the safe side: later in spring, earlier in autumn
        safe = {"spring": np.ceil(spread.mean + beyond - 0.5), "autumn": np.floor(spread.mean - beyond + 0.5)}
        day = int(safe[self.name])
        found = datetime.date(whole, _HALVES[self.half][0], 1) + datetime.timedelta(days=day)
        if self._half_of(found) != self.half:
            raise OutOfRange(
                f"At a risk of {chance:g} the normal curve leaves the {self.name} half of the year; this record "
                "cannot say. Take a larger risk."
            )
        return found

    def _spread(self) -> NormalDist:
        days = [self._number(date) for date in self.dates.values() if date is not None]
        if len(days) < 2 or min(days) == max(days):
            raise Problem(
                f"A risk needs at least two {self.name} frosts on different days, and better thirty years of them; "
                f"this record has {len(days)}. The dates themselves are in .dates."
            )
        return NormalDist(float(np.mean(days)), float(np.std(days, ddof=1)))

    def _number(self, date: datetime.date) -> int:
        return (date - datetime.date(date.year, _HALVES[self.half][0], 1)).days

    @staticmethod
    def _half_of(date: datetime.date) -> str:
        return "first" if date.month < 7 else "second"

    def _told(self) -> str:
        return "January to June" if self.half == "first" else "July to December"

    def __str__(self) -> str:
        there = [date for date in self.dates.values() if date is not None]
        which = "last frost of spring" if self.name == "spring" else "first frost of autumn"
        if not there:
            return f"No frost in {self.name} in {self.years} years."
        listed = ", ".join(str(date) for date in there)
        few = int(number("calendar", "frost", "years for a risk", "1"))
        note = "" if self.years >= few else f" {self.years} years show the arithmetic; a risk takes {few}."
        return f"{which}, {len(there)} of {self.years} years: {listed}.{note}"


def frost_dates(
    weather: Weather, threshold: Quantity | None = None, south: bool | None = None
) -> tuple[FrostDates, FrostDates]:
    """Spring and autumn frosts of each year of a weather record.

    Parameters
    ----------
    weather : Weather
        The weather record.
    threshold : Quantity, optional
        The lowest air temperature at or below which a day counts as frosty; 0 °C when left out.
    south : bool, optional
        Whether the place is south of the equator; by the record's latitude when left out, north without one.

    Returns
    -------
    tuple of FrostDates
        Spring and autumn. Spring is January to June in the north and July to December in the south; only halves of
        which the record has every day count.

    Raises
    ------
    UnitNeeded
        A threshold without a unit.
    Problem
        No Weather, or no whole half of a year in it.

    Notes
    -----
    Air in the shade at a station; a clear night is colder at a tank on the ground, and milder by a wall. In the
    tropics the halves are no spring and autumn. Days are counted from the first of the half, so a leap day moves a
    spring date by one. One year is a date and no risk; thirty are usual.

    References
    ----------
    NCEINORMALS, for the normal distribution of the dates with the chance of a year without frost kept apart.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> spring, autumn = frost_dates(weather.record("new-york"))
    >>> spring.dates[2015].isoformat(), autumn.dates[2012].isoformat()
    ('2015-03-29', '2012-11-06')
    """
    if not isinstance(weather, Weather):
        raise Problem(f'frost_dates needs a Weather, such as record("new-york"); you gave {weather!r}.')
    limit = (
        number("calendar", "frost", "threshold", "degC")
        if threshold is None
        else one_value(threshold, "degC", "threshold", "frost_dates")
    )
    if south is None:
        south = weather.latitude is not None and weather.latitude.m_as("degree") < 0
    spring, autumn = ("second", "first") if south else ("first", "second")
    return (
        FrostDates("spring", spring, _dates(weather, spring, limit, last=True)),
        FrostDates("autumn", autumn, _dates(weather, autumn, limit, last=False)),
    )


def frost_free(spring: FrostDates, autumn: FrostDates, risk: float, year: int) -> Quantity:
    """Length of the frost-free season at a chosen risk.

    Parameters
    ----------
    spring, autumn : FrostDates
        As `frost_dates` gives them.
    risk : float
        Between 0 and 1, at each end.
    year : int
        The year of the spring.

    Returns
    -------
    Quantity
        In days; infinite where frost is rarer than the risk at one end.

    Raises
    ------
    OutOfRange
        A risk that is not between 0 and 1, or a date beyond the half of the year.
    Unreadable
        A risk that is no number.
    Problem
        Fewer than two years with a frost.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> frost_free(*frost_dates(weather.record("new-york")), risk=0.1, year=2026).magnitude
    204.0
    """
    start = spring.date(risk, year)
    end = autumn.date(risk, year + (autumn.half == "first"))
    return Q(np.inf, "day") if start is None or end is None else Q((end - start).days, "day")


def _dates(weather: Weather, half: str, limit: float, last: bool) -> dict[int, datetime.date | None]:
    found: dict[int, datetime.date | None] = {}
    months = weather.dates.astype("datetime64[M]").astype(int)
    begin, until = _HALVES[half]
    inside = (months % 12 + 1 >= begin) & (months % 12 + 1 < until)
    years = months // 12 + 1970
    lows = weather.temperature_min.m_as("degC")
    for year in np.unique(years[inside]):
        there = inside & (years == year)
        length = np.datetime64(f"{year + until // 13}-{(until - 1) % 12 + 1:02d}-01") - np.datetime64(
            f"{year}-{begin:02d}-01"
        )
        if there.sum() == length.astype(int):
            cold = weather.dates[there & (lows <= limit)]
            found[int(year)] = (cold[-1] if last else cold[0]).item() if cold.size else None
    if not found:
        raise Problem("The record holds no whole half of a year, January to June or July to December.")
    return found


def _year(year: Any) -> int:
    low, high = (int(number("plausible", "date", f"{end} year", "1")) for end in ("first", "last"))
    return whole_number(
        year, low, high, f"A year is a whole number from {low} to {high}; {{value!r}} is not."
    )
