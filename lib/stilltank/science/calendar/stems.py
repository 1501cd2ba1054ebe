"""Stems to cut in each week, as a range."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from stilltank.science.sky import ONE_DAY
from stilltank.units.types import Array

from ...tables import number
from ...units import OutOfRange, Problem, Quantity, takes, whole_number
from .dates import Schedule, several_schedules, three

if TYPE_CHECKING:
    import pandas

_MEMBERS = 101  # ranks at which the outcomes of each sowing are read


@dataclass(frozen=True, eq=False)
class Stems:
    """Stems of each week.

    Parameters
    ----------
    weeks : tuple of date
        Mondays.
    low, expected, high : ndarray
        Numbers of stems, [weeks]; low and high leave out a tenth of the outcomes at each end.
    total : tuple of float
        Low, expected and high of all weeks together.

    See Also
    --------
    stems_per_week : Count them for sowings.

    Examples
    --------
    >>> from stilltank.science import calendar
    >>> len(stems_per_week(calendar.schedule("zinnia", "new-york", sow="2026-05-01"), 6).weeks)
    20
    """

    weeks: tuple[datetime.date, ...]
    low: Array
    expected: Array
    high: Array
    total: tuple[float, float, float]

    def table(self) -> "pandas.DataFrame":
        """The stems as a table, rounded to whole stems.

        Returns
        -------
        pandas.DataFrame
            One row a week.

        Examples
        --------
        >>> from stilltank.science import calendar
        >>> table = stems_per_week(calendar.schedule("zinnia", "new-york", sow="2026-05-01"), 6).table()
        >>> list(table)
        ['week from', 'low', 'expected', 'high']
        """
        import pandas

        columns = {name: np.round(getattr(self, name)).astype(int) for name in ("low", "expected", "high")}
        return pandas.DataFrame({"week from": self.weeks, **columns})

    def __str__(self) -> str:
        low, middle, high = self.total
        return (
            f"{middle:.0f} stems ({low:.0f} to {high:.0f}) between {self.weeks[0]} and "
            f"{self.weeks[-1] + datetime.timedelta(days=6)}"
        )


def stems_per_week(schedules: Schedule | Iterable[Schedule], plants: int) -> Stems:
    """Stems to cut in each week, of one sowing or of several.

    Parameters
    ----------
    schedules : Schedule or iterable of Schedule
        A sowing, a succession, or several sowings.
    plants : int
        Plants of each sowing.

    Returns
    -------
    Stems
        Stems of each week, with their range.

    Raises
    ------
    OutOfRange
        A number of plants that is not whole and at least 1.
    Problem
        No schedule, or a crop of which no stems are known.
    Unreadable
        Something else than schedules.

    Notes
    -----
    All combinations of the years of weather, the stems a plant and the weeks of harvest in data/crops.csv are
    counted. Stems come evenly over the harvest time, which real plants do not keep to; of a crop that is cut until heat
    or cold they come over all of it, and fewer where that is shorter than its weeks. A warm year is taken to be warm
    for all sowings. Stems and weeks are recalled from fields; no tank has been counted.

    Examples
    --------
    >>> from stilltank.science import calendar
    >>> plan = calendar.schedule("zinnia", "new-york", sow="2026-05-01")
    >>> print(stems_per_week(plan, 6))
    76 stems (36 to 132) between 2026-06-15 and 2026-11-01
    """
    several = several_schedules(schedules, "stems_per_week")
    if not several:
        raise Problem("stems_per_week needs a Schedule or several, such as those of a succession.")
    most = int(number("plausible", "plants", "most", "1"))
    count = whole_number(
        plants, 1, most, f"A number of plants is whole and at least 1, at most {most}; {{value!r}} is not."
    )
    runs = [_run(one) for one in several]
    first = min(starts.min() for starts, *_ in runs)
    last = max(np.datetime64(one.end, "D") + ONE_DAY for one in several)
    weekday = (first.astype("datetime64[D]").astype(int) + 3) % 7  # 1 January 1970 was a Thursday
    monday = first - weekday * ONE_DAY
    weeks = np.arange(monday, last, 7 * ONE_DAY)
    found = sum(_spread(weeks, *run) for run in runs) * count
    low, high = np.quantile(found, [0.1, 0.9], axis=0)
    totals = found.sum(axis=1)
    return Stems(
        tuple(week.item() for week in weeks),
        low,
        found.mean(axis=0),
        high,
        (float(np.quantile(totals, 0.1)), float(totals.mean()), float(np.quantile(totals, 0.9))),
    )


@takes(stems="1/m^2", plants="1/m^2")
def stems_per_plant(stems: Quantity, plants: Quantity) -> float:
    """Stems of one plant, from what a bed gave on its area.

    Parameters
    ----------
    stems : Quantity
        Stems for an area, such as 12 for a square foot.
    plants : Quantity
        Plants for an area; for a spacing, 1 divided by the ground of one plant.

    Returns
    -------
    float
        Stems.

    Raises
    ------
    UnitNeeded
        A number without its area.
    OutOfRange
        Stems below 0, or no plants.

    Notes
    -----
    To hold your own count, or that of a trial, beside ``stems_per_plant`` of data/crops.csv. Plants that stand closer
    give fewer stems each.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(stems_per_plant(Q(12, "1/ft^2"), 1 / Q(9 * 9, "inch^2")), 2)
    6.75
    """
    if np.any(np.asarray(stems) < 0) or np.any(np.asarray(plants) <= 0):
        raise OutOfRange("stems_per_plant needs stems of 0 or more, and plants above 0, each for an area.")
    return stems / plants


def _run(plan: Schedule) -> tuple[Any, Any, Any]:
    """First day, day after the last, and stems a day of each member: outcomes by rank, times weeks, times stems."""
    crop = plan.crop
    if crop.stems_per_plant is None or crop.harvest_weeks is None:
        raise Problem(
            f"No stems a plant, or no weeks of harvest, are known for {crop.name}. Give it some: "
            'dataclasses.replace(crop, stems_per_plant=8, harvest_weeks=Q(4, "week")).'
        )
    starts = plan.by_rank(_MEMBERS)
    weeks = [round(days) for days in three(crop, "harvest_weeks", "day")]
    start, long, stems = (
        grid.ravel() for grid in np.meshgrid(starts, weeks, three(crop, "stems_per_plant"), indexing="ij")
    )
    freed = np.datetime64(plan.end, "D") + ONE_DAY
    if crop.cut == "once":  # all are cut before the tank is cleared
        long = np.clip(long, 1, np.maximum((freed - start).astype(int), 1))
    elif crop.harvest_until != "weeks":  # the same stems, over as long as it is cut
        long = np.maximum(long, (freed - start).astype(int))
    return start, np.maximum(np.minimum(start + long * ONE_DAY, freed), start), stems / long


def _spread(weeks: Any, starts: Any, ends: Any, daily: Any) -> Any:
    """Stems by member and week: days of the week on which the member is cut, times its stems a day."""
    begin = np.maximum(weeks, starts[:, None])
    stop = np.minimum(weeks + 7 * ONE_DAY, ends[:, None])
    return np.maximum((stop - begin).astype(int), 0) * daily[:, None]
