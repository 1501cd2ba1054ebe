"""Day length as a plant counts it: critical photoperiods, and lamps in the night."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.units import Problem, Q, Quantity, Unreadable, one_of, one_value, takes, whole_number, within
from stilltank.units.types import Numbers, SomeDays

from .dates import days_of
from .day_length import day_length

RESPONSES = ("long-day", "short-day", "day-neutral")


@dataclass(frozen=True)
class Period:
    """Consecutive dates, both included.

    Parameters
    ----------
    first, last : date
        First and last date.

    Examples
    --------
    >>> print(Period(datetime.date(2025, 5, 1), datetime.date(2025, 8, 9)))
    2025-05-01 to 2025-08-09
    """

    first: datetime.date
    last: datetime.date

    def __str__(self) -> str:
        return f"{self.first} to {self.last}"


def effective_day_length(
    latitude: Quantity,
    date: SomeDays | int | Numbers,
    lamps: Iterable[tuple[str, str]] = (),
    noon: Quantity | None = None,
    method: str = "twilight",
) -> Quantity:
    """Length of the day as a plant counts it: 24 hours less the longest unbroken darkness.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    date : SomeDays or int
        Dates or ISO dates; one or an array.
    lamps : iterable of pairs of str, optional
        Pairs of clock times, such as ``[("22:00", "02:00")]``: from when to when the lamps are on, every night. They
        may run over midnight.
    noon : Quantity, optional
        Clock time of the sun's highest stand, such as ``Q(13, "hour")`` under daylight saving; 12 h when left out.
    method : str, default "twilight"
        A method of `day_length`. Plants see civil twilight.

    Returns
    -------
    Quantity
        In hours; 24 where no darkness is left, 0 where no light comes at all.

    Raises
    ------
    UnitNeeded
        ``latitude`` or ``noon`` without a unit.
    OutOfRange
        A latitude beyond 90 degrees, or a noon outside the day.
    Unreadable
        A date, a clock time or a method that cannot be understood.
    Problem
        Arrays that do not fit each other, or lamps that are on for no time.

    Notes
    -----
    All light counts alike, however weak. A night break acts on many long-day and short-day plants as the short nights
    it makes, not on all, and only if the lamps are bright enough. That plants measure the dark is common practice.

    Examples
    --------
    >>> winter = effective_day_length(Q(40, "degree"), "2025-12-21")
    >>> lit = effective_day_length(Q(40, "degree"), "2025-12-21", lamps=[("22:00", "02:00")])
    >>> round(winter.magnitude, 1), round(lit.magnitude, 1)
    (10.3, 19.2)
    """
    middle = 12.0 if noon is None else one_value(noon, "hour", "noon", "effective_day_length")
    within(middle, 0, 24, "Noon is a clock time of 0 to 24 hours; {value:g} is not.")
    on = _pairs(lamps)
    day = np.asarray(day_length(latitude, date, method).m_as("hour"))
    light = [(np.full(day.shape, start - middle + 12), length) for start, length in on if length]
    return Q(24 - _longest_gap(day, light), "hour")


def _longest_gap(day: Any, lamps: list[tuple[Any, float]]) -> Any:
    """Longest darkness in hours of a round of 24; the day is centred on 12, lamps are (start, length)."""
    starts = np.stack([12 - day / 2, *(start % 24 for start, _ in lamps)])
    lengths = np.stack([day, *(np.full(day.shape, length) for _, length in lamps)])
    lit = lengths > 0
    longest = np.zeros(day.shape)
    for index, (start, length) in enumerate(zip(starts, lengths, strict=True)):
        end = start + length
        # two lights that go out together must not each seem to outlast the other
        still_on = lit & ((end - starts) % 24 < lengths - 1e-9)
        still_on[index] = length >= 24
        wait = np.where(lit, (starts - end) % 24, np.inf)
        wait[index] = 24 - length
        gap = np.where(still_on.any(axis=0), 0.0, wait.min(axis=0))
        longest = np.maximum(longest, np.where(length > 0, gap, 0.0))
    return np.where(lit.any(axis=0), longest, 24.0)[()]


def _pairs(lamps: Any) -> list[tuple[float, float]]:
    """Start in hours and length of each time of light."""
    try:
        several = list(lamps)
    except TypeError:
        raise Unreadable(
            f'Times of lamps are a list of pairs, such as [("22:00", "02:00")]; {type(lamps).__name__} is none.'
        ) from None
    return [_pair(pair) for pair in several]


def _pair(pair: Any) -> tuple[float, float]:
    """Start in hours and length of one time of light."""
    try:
        start, end = pair
    except (TypeError, ValueError):
        start = end = None
    if start is None or isinstance(pair, str):
        raise Unreadable(f'A time of lamps is a pair such as ("22:00", "02:00"); {pair!r} is none.')
    begin, until = _clock(start), _clock(end)
    if begin == until:
        raise Problem(
            f"Lamps from {start} to {end} would be on for no time, or for the whole day. Write two times."
        )
    return begin, (until - begin) % 24


def _clock(text: Any) -> float:
    try:
        hours, minutes = str(text).split(":")
        found = int(hours), int(minutes)
        if not (isinstance(text, str) and 0 <= found[0] <= 24 and 0 <= found[1] < 60) or found > (24, 0):
            raise ValueError
    except ValueError:
        raise Unreadable(f'{text!r} is no clock time. Write hours and minutes, as in "22:00".') from None
    return found[0] + found[1] / 60


def night_break() -> tuple[tuple[str, str], ...]:
    """The usual night break of greenhouse flowers.

    Returns
    -------
    tuple of pairs of str
        Pairs of clock times, as `effective_day_length` and `inductive_periods` take them for their ``lamps``.

    Notes
    -----
    Common practice, with 1 to 4 umol/m^2/s at the leaves; the times stand in data/trials.csv.

    Examples
    --------
    >>> night_break()
    (('22:00', '02:00'),)
    """
    row = tables.load("trials").of("night break")
    return ((str(row["from"].value), str(row["to"].value)),)


def day_extension(
    latitude: Quantity, date: SomeDays | int | Numbers, wanted: Quantity, method: str = "twilight"
) -> Quantity:
    """Hours of lamps that make a day as long as wanted, put on at dusk or before dawn.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    date : SomeDays or int
        Dates or ISO dates; one or an array.
    wanted : Quantity
        The length of day that the plants are to have, 0 to 24 hours.
    method : str, default "twilight"
        A method of `day_length`.

    Returns
    -------
    Quantity
        In hours; 0 where the day is long enough by itself.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A latitude beyond a pole, or a day above 24 hours.
    Unreadable
        A date that cannot be understood, or an unknown method.
    Problem
        Arrays that do not fit each other.

    Notes
    -----
    The difference of two lengths. All light counts alike, however weak.

    Examples
    --------
    >>> round(day_extension(Q(40, "degree"), "2025-12-21", Q(16, "hour")).magnitude, 1)
    5.7
    """
    hours = one_value(wanted, "hour", "wanted", "day_extension")
    within(hours, 0, 24, "A day has 0 to 24 hours; {value:g} cannot be wanted.")
    return Q(np.maximum(hours - day_length(latitude, date, method).m_as("hour"), 0)[()], "hour")


def inductive_periods(
    latitude: Quantity,
    year: int,
    critical: Quantity,
    response: str = "long-day",
    method: str = "twilight",
    lamps: Iterable[tuple[str, str]] = (),
) -> tuple[Period, ...]:
    """Dates of a year on which the day suits a plant with a critical photoperiod.

    Parameters
    ----------
    latitude : Quantity
        Of the place, one angle in degrees, south negative.
    year : int
        The calendar year.
    critical : Quantity
        Day length at which the plant changes over, 0 to 24 hours.
    response : str, default "long-day"
        "long-day": days of ``critical`` or longer suit. "short-day": days of ``critical`` or shorter do.
        "day-neutral": every day does.
    method : str, default "twilight"
        A method of `day_length`.
    lamps : iterable of pairs of str, optional
        Pairs of clock times, as in `effective_day_length`.

    Returns
    -------
    tuple of Period
        Spells of days, in order; none where no day suits.

    Raises
    ------
    UnitNeeded
        A latitude or a critical photoperiod without a unit.
    OutOfRange
        A latitude beyond 90 degrees, a critical photoperiod outside the day, or an impossible year.
    Unreadable
        An unknown response or method, or times of lamps that cannot be understood.
    Problem
        More than one latitude.

    Notes
    -----
    A critical photoperiod goes with its definition of the day: those of trials are hours of lamp light, and light at
    dusk may or may not count. It moves with temperature and cultivar. Many plants flower in the other days too, only
    later.

    Examples
    --------
    >>> for spell in inductive_periods(Q(40, "degree"), 2025, Q(14, "hour"), method="almanac"):
    ...     print(spell)
    2025-05-04 to 2025-08-08
    >>> len(inductive_periods(Q(-40, "degree"), 2025, Q(14, "hour"), method="almanac"))
    2
    """
    one_of(response, RESPONSES, "response", "inductive_periods")
    low, high = (int(tables.number("plausible", "date", f"{end} year", "1")) for end in ("first", "last"))
    whole = whole_number(
        year, low, high, f"A year is a whole number from {low} to {high}; {{value!r}} is not."
    )
    limit = one_value(critical, "hour", "critical", "inductive_periods")
    within(limit, 0, 24, "A critical photoperiod has 0 to 24 hours; {value:g} is not possible.")
    if isinstance(latitude, Quantity) and np.size(latitude.magnitude) != 1:
        raise Problem("inductive_periods takes one latitude; call it once for each place.")
    days = days_of(np.arange(f"{whole}-01-01", f"{whole + 1}-01-01", dtype="datetime64[D]"))
    hours = np.ravel(effective_day_length(latitude, days, lamps, method=method).m_as("hour"))
    suits = {"long-day": hours >= limit, "short-day": hours <= limit, "day-neutral": hours >= 0}[response]
    edges = np.flatnonzero(np.diff(np.concatenate([[False], suits, [False]]).astype(int)))
    return tuple(
        Period(days[a].item(), days[b - 1].item()) for a, b in zip(edges[::2], edges[1::2], strict=True)
    )


@takes(intensity="umol/m^2/s", time="hour")
def daily_light_integral(intensity: Quantity, time: Quantity) -> Quantity:
    """Daily light integral of lamps.

    Parameters
    ----------
    intensity : Quantity
        Photosynthetic photon flux density at the leaves; one value or an array.
    time : Quantity
        How long the lamps are on in a day, 0 to 24 hours; one value or an array.

    Returns
    -------
    Quantity
        In mol/m^2, the photons of a day.

    Raises
    ------
    UnitNeeded
        No unit.
    OutOfRange
        Below zero, or a day above 24 hours.
    Problem
        Arrays that do not fit.

    Notes
    -----
    Lamps alone; daylight comes on top.

    Examples
    --------
    >>> round(daily_light_integral(Q(200, "umol/m^2/s"), Q(16, "hour")).magnitude, 2)
    11.52
    """
    within(time, 0, 24, "Lamps are on for 0 to 24 hours of a day; {value:g} is not possible.")
    within(intensity, 0, np.inf, "A light is not negative; {value:g} umol/m^2/s is.")
    return Q(intensity * time, "umol/m^2/s*hour").to("mol/m^2")
