"""What a schedule says: one sowing and what follows."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from stilltank.science import crops
from stilltank.science.sky import day_of
from stilltank.units.types import Day, Days

from ...units import Q, Quantity, instance_of


@dataclass(frozen=True)
class Window:
    """A date with its range.

    Parameters
    ----------
    early, expected, late : date
        The dates.

    Examples
    --------
    >>> print(Window(datetime.date(2026, 6, 7), datetime.date(2026, 6, 11), datetime.date(2026, 6, 19)))
    2026-06-11 (2026-06-07 to 2026-06-19)
    """

    early: datetime.date
    expected: datetime.date
    late: datetime.date

    def __str__(self) -> str:
        return f"{self.expected} ({self.early} to {self.late})"


@dataclass(frozen=True)
class Schedule:
    """One sowing and what follows.

    Parameters
    ----------
    crop : Crop
        The crop.
    sow, transplant : date
        Into seed compost, and into the tank.
    first_flower : Window
        Of a leaf crop the first harvest, as ``event`` says. The range covers the years of the weather record and the
        range of the crop's own time.
    end : date
        Last harvest, when the tank comes free: the crop's harvest time after the first flower expected, and never
        before the late first flower. A crop cut once keeps its tank for its harvest time after the late one.
    reasons : tuple of str
        Sentences on where the dates come from and what they leave out.
    _outcomes : ndarray of datetime64
        Dates of the first flower, of all outcomes.
    outdoors : bool, default True
        Whether the tank stands in the weather of a site, and not in a room.
    frost_share : float, optional
        Share of the years of the record with a frost between transplant and end; None in a room.

    See Also
    --------
    schedule : Make one from a sowing.

    Examples
    --------
    >>> from stilltank.science import calendar
    >>> calendar.schedule("zinnia", "new-york", sow="2026-05-01").transplant.isoformat()
    '2026-05-17'
    """

    crop: crops.Crop
    sow: datetime.date
    transplant: datetime.date
    first_flower: Window
    end: datetime.date
    reasons: tuple[str, ...]
    _outcomes: Days = field(repr=False, compare=False)
    outdoors: bool = True
    frost_share: float | None = None

    @property
    def event(self) -> str:
        """What ``first_flower`` means for this crop: "first flower" or "first harvest".

        Examples
        --------
        >>> from stilltank.science import calendar
        >>> calendar.schedule("zinnia", "new-york", sow="2026-05-01").event
        'first flower'
        """
        return self.crop.event

    @property
    def time_in_tank(self) -> Quantity:
        """From transplant to the last harvest, in days.

        Examples
        --------
        >>> from stilltank.science import calendar
        >>> calendar.schedule("zinnia", "new-york", sow="2026-05-01").time_in_tank.units == Q(1, "day").units
        True
        """
        return Q((self.end - self.transplant).days, "day")

    def chance_by(self, date: Day) -> float:
        """Share of the outcomes that flower by a date.

        Parameters
        ----------
        date : Day
            The day.

        Returns
        -------
        float
            Between 0 and 1; the outcomes are years of weather times steps of the crop's own range.

        Raises
        ------
        Unreadable
            No date.

        Examples
        --------
        >>> from stilltank.science import calendar
        >>> calendar.schedule("zinnia", "new-york", sow="2026-05-01").chance_by("2026-12-01")
        1.0
        """
        return float(np.mean(self._outcomes <= day_of(date)))

    def by_rank(self, count: int) -> Days:
        """Dates of the first flower at evenly spaced ranks of all outcomes.

        Parameters
        ----------
        count : int
            How many ranks.

        Returns
        -------
        ndarray of datetime64
            From the earliest to the latest.

        Examples
        --------
        >>> from stilltank.science import calendar
        >>> calendar.schedule("zinnia", "new-york", sow="2026-05-01").by_rank(5).size
        5
        """
        ordered = np.sort(self._outcomes)
        return ordered[np.round(np.linspace(0, ordered.size - 1, count)).astype(int)]

    def __str__(self) -> str:
        return (
            f"{self.crop.label}: sow {self.sow}, into the tank {self.transplant}, "
            f"{self.event} {self.first_flower}, until {self.end}"
        )


def several_schedules(given: Schedule | Iterable[Schedule], function: str) -> tuple[Schedule, ...]:
    """One schedule, a succession or several, as a tuple.

    Parameters
    ----------
    given : Schedule or iterable of Schedule
        What the caller gave.
    function : str
        The function that asks, for the sentence of a refusal.

    Returns
    -------
    tuple of Schedule
        The schedules.

    Raises
    ------
    Unreadable
        Something else than schedules.

    Examples
    --------
    >>> several_schedules(5, "example")
    Traceback (most recent call last):
    stilltank.problems.Unreadable: example needs a Schedule for `schedules`. You gave 5, which is none.
    """
    try:
        found = (given,) if isinstance(given, (Schedule, str)) else tuple(given)
    except TypeError:  # a number, or a quantity of one
        found = (given,)  # type: ignore[assignment]
    return tuple(instance_of(one, Schedule, "schedules", function) for one in found)
