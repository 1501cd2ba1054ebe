"""Sowings one after the other, and the tanks they need."""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.crops import crop as crop_of
from stilltank.science.sky import ONE_DAY, day_of, days_of
from stilltank.science.weather import Site
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, Quantity, one_value, takes, whole_number, within
from stilltank.units.types import Day, SomeDays

from ._backwards import backwards
from ._years import Clock
from .dates import Schedule


@dataclass(frozen=True)
class Succession:
    """Sowings one after the other, a tank each.

    Parameters
    ----------
    batches : tuple of Schedule
        The sowings.
    tanks : int
        How many tanks they need.

    See Also
    --------
    succession : Plan one.

    Examples
    --------
    >>> len(Succession((), 0))
    0
    """

    batches: tuple[Schedule, ...]
    tanks: int

    def __iter__(self) -> Iterator[Schedule]:
        return iter(self.batches)

    def __len__(self) -> int:
        return len(self.batches)

    def __getitem__(self, index: int) -> Schedule:
        return self.batches[index]

    def __str__(self) -> str:
        lines = [str(batch) for batch in self.batches]
        return "\n".join([*lines, f"{len(lines)} sowings, {self.tanks} tanks"])


@takes(cleaning="day", temperature="degC")
def succession(
    crop: Crop | str,
    site: Site | str,
    first: Day,
    last: Day,
    every: Quantity | None = None,
    chance: float | None = None,
    cleaning: Quantity | None = None,
    temperature: Quantity | None = None,
) -> Succession:
    """Sowings for flowers at even steps, and the tanks they need.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    site : Site or str
        Its weather must hold a whole calendar year at least.
    first, last : Day
        First and last day on which a new batch is to be in flower.
    every : Quantity, optional
        Time between batches in whole days; the crop's own harvest time when left out.
    chance : float, optional
        Share of the outcomes that must be in time; 0.8 when left out.
    cleaning : Quantity, optional
        Time to empty and clean a tank between batches; 1 day when left out, an assumption.
    temperature : Quantity, optional
        A constant mean temperature in place of the weather, for a tank in a room.

    Returns
    -------
    Succession
        Even steps in flower are uneven steps in sowing: wider in spring, since a late sowing catches up in the
        warmth, and closer after midsummer. Each is cut for the crop's weeks of harvest; the next takes over.

    Raises
    ------
    Unreadable
        A date that is none.
    OutOfRange
        A time between batches or for cleaning that is none, more than 200 batches.
    Problem
        ``last`` before ``first``, or as in `sow_for`.

    Examples
    --------
    >>> plan = succession("bedding-zinnia", "new-york", "2026-07-01", "2026-08-12", every=Q(14, "day"))
    >>> [batch.sow.isoformat() for batch in plan], plan.tanks
    (['2026-05-04', '2026-05-25', '2026-06-10', '2026-06-24'], 4)
    """
    # the next sowing takes over, so none is kept until the cold
    clock = Clock(dataclasses.replace(crop_of(crop), harvest_until="weeks"), site, temperature)
    begin, end = day_of(first), day_of(last)
    if end < begin:
        raise Problem(f"The last day wanted, {end}, lies before the first, {begin}.")
    if every is None:
        every = clock.crop.harvest_weeks
    between = one_value(every, "day", "every", "succession")
    longest = int(number("calendar", "succession", "longest step", "day"))
    step = whole_number(
        round(between, 9),  # weeks become days with a rounding error
        1,
        longest,
        f"The time between batches is a whole number of days, 1 to {longest}; {{value:g}} is not.",
    )
    most = int(number("calendar", "succession", "most batches", "1"))
    wanted = np.arange(begin, end + ONE_DAY, step * ONE_DAY)
    if wanted.size > most:
        raise OutOfRange(
            f"That would be {wanted.size} batches; {most} is the most. Take a longer time between them."
        )
    batches = tuple(backwards(clock, day, chance) for day in wanted)
    return Succession(
        batches,
        tanks_needed(
            [batch.transplant for batch in batches],
            [batch.end for batch in batches],
            None if cleaning is None else Q(cleaning, "day"),
        ),
    )


@takes(cleaning="day")
def tanks_needed(transplants: SomeDays, ends: SomeDays, cleaning: Quantity | None = None) -> int:
    """Most tanks in use at one time.

    Parameters
    ----------
    transplants, ends : SomeDays
        One of each for a batch; a tank is free again on its end date.
    cleaning : Quantity, optional
        Time added to each batch; 1 day when left out, an assumption.

    Returns
    -------
    int
        Tanks.

    Raises
    ------
    Unreadable
        A date that is none.
    OutOfRange
        Cleaning time below zero or above a year.
    Problem
        Not one end for each transplant, or an end before it.

    Examples
    --------
    >>> tanks_needed(["2026-05-01", "2026-05-08"], ["2026-05-15", "2026-05-22"], Q(0, "day"))
    2
    """
    idle: Any = number("calendar", "cleaning", "time", "day") if cleaning is None else cleaning
    longest = number("calendar", "succession", "longest step", "day")
    within(idle, 0, longest, f"The time for cleaning is 0 to {longest:g} days; {{value:g}} is not possible.")
    starts, frees = np.atleast_1d(days_of(transplants)), np.atleast_1d(days_of(ends))
    if starts.shape != frees.shape or np.any(frees < starts):
        raise Problem("Each transplant needs its end, on the same day or later.")
    frees = frees + int(np.ceil(idle)) * ONE_DAY
    return int(max((np.sum((starts <= day) & (frees > day)) for day in starts), default=0))
