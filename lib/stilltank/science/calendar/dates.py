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
    harvest_end : Window
        Last harvest, when the tank comes free. Weeks of harvest count from the late first flower, so that late plants
        are cut too, but a leaf crop that is cut once is cleared after the expected one. Outdoors heat and cold end a
        harvest, in each year of the record at their own time; the range covers these years, or the crop's own weeks.
    reasons : tuple of str
        Sentences on where the dates come from and what they leave out.
    _outcomes : ndarray of datetime64
        Dates of the first flower, of all outcomes.
    outdoors : bool, default True
        Whether the tank stands in the weather of a site, and not in a room.
    frost_share : float, optional
        Share of the years of the record with a frost between transplant and end; None in a room.
    share_reached : float, default 1
        Share of the outcomes that come to the first flower before cold ends the crop; the dates are of these, or those
        of a sheltered tank where they are fewer than half.

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
    harvest_end: Window
    reasons: tuple[str, ...]
    _outcomes: Days = field(repr=False, compare=False)
    outdoors: bool = True
    frost_share: float | None = None
    share_reached: float = 1.0

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
    def end(self) -> datetime.date:
        """The day on which the harvest is expected to end.

        Examples
        --------
        >>> from stilltank.science import calendar
        >>> plan = calendar.schedule("zinnia", "new-york", sow="2026-05-01")
        >>> plan.end == plan.harvest_end.expected
        True
        """
        return self.harvest_end.expected

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


def three(crop: crops.Crop, field: str, unit: str = "") -> tuple[float, float, float]:
    """Low, middle and high of a field of a crop; the middle stands for an end that nobody gives.

    Parameters
    ----------
    crop : Crop
        The crop.
    field : str
        Name of the middle, such as "harvest_weeks".
    unit : str, optional
        Unit of what comes back; left out for a plain number.

    Returns
    -------
    tuple of three floats
        In that unit.

    Examples
    --------
    >>> three(crops.crop("nigella"), "harvest_weeks", "week")
    (1.0, 2.0, 3.0)
    """
    middle = getattr(crop, field)
    low, high = (getattr(crop, f"{field}_{end}") for end in ("low", "high"))
    given = (middle if low is None else low, middle, middle if high is None else high)
    least, usual, most = (float(each.m_as(unit)) if unit else float(each) for each in given)
    return least, usual, most


def said_of_pinch(crop: crops.Crop, start: str) -> str:
    """Say what a pinch does to a crop that may be pinched.

    Parameters
    ----------
    crop : Crop
        With its ``pinch_delay``.
    start : str
        How the sentence begins, such as "It".

    Returns
    -------
    str
        A sentence or two.

    Examples
    --------
    >>> said_of_pinch(crops.crop("sunflower"), "It")
    'It flowers about 8 days later (6 to 10), with 2.6 to 4.6 times the stems; the heads are about 40 percent narrower.'
    """
    low, middle, high = three(crop, "pinch_delay", "day")
    first = crop.event.split()[1]
    gain = ""
    if crop.pinch_stems is not None:
        gain = f", with {crop.pinch_stems_low:g} to {crop.pinch_stems_high:g} times the stems"
    if crop.pinch_head_width is not None:
        gain += f"; the heads are about {100 * (1 - crop.pinch_head_width):.0f} percent narrower"
    verb = "flowers" if first == "flower" else "is ready"
    return f"{start} {verb} about {middle:.0f} days later ({low:.0f} to {high:.0f}){gain}."
