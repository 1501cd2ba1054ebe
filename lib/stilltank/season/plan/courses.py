"""How the plants of a plan go through its season: dates of each crop, the end of the tank, who drinks when."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from stilltank.science import budget, calendar, demand, weather
from stilltank.science.crops import Crop, Plants
from stilltank.units import Problem, Q

from .choices import Until
from .groups import Group, plantings

_SHORTEST = 14  # days that a season is followed at least


@dataclass(frozen=True, eq=False)
class Course:
    """A group of plants with its dates.

    Parameters
    ----------
    group : Group
        The plants.
    transplanted : date
        The day on which they were set into the tank.
    schedule : Schedule
        Sowing, flowering and end, with their range.
    end : date
        The day on which they leave the tank.

    Examples
    --------
    >>> found = courses([Group("basil", 2)], weather.site("quillgate"), date(2027, 5, 10), None)[0]
    >>> found.end.month
    10
    """

    group: Group
    transplanted: date
    schedule: calendar.Schedule
    end: date

    @property
    def crop(self) -> Crop:
        """The crop, with full cover and end on the days of the schedule."""
        first, end = (
            Q(max((day - self.transplanted).days, 0), "day")
            for day in (min(self.schedule.first_flower.expected, self.end), self.end)
        )
        return demand.fit_stages(self.group.crop, first, end)

    @property
    def plants(self) -> Plants:
        """The plants as set in, with the stages of this season."""
        return Plants(self.crop, self.group.count)

    @property
    def plantings(self) -> tuple[budget.Planting, ...]:
        """Who of them drinks when."""
        return plantings(self.crop, self.group.count, self.transplanted, self.group.losses, self.end)


def seedling_time(crop: Crop) -> timedelta:
    """Time from sowing to transplanting.

    Parameters
    ----------
    crop : Crop
        The crop.

    Returns
    -------
    timedelta
        Whole days; none where it is not known.

    Examples
    --------
    >>> from stilltank.science.crops import crop
    >>> seedling_time(crop("snapdragon")).days > 20
    True
    """
    return timedelta(days=round(crop.seedling_days.m_as("day")) if crop.seedling_days is not None else 0)


def courses(groups: Sequence[Group], site: weather.Site, start: date, until: Until) -> tuple[Course, ...]:
    """Find the dates of each group of plants in a tank.

    Parameters
    ----------
    groups : sequence of Group
        The plants, the leading crop first.
    site : Site
        The place, with its weather.
    start : date
        Of the plan.
    until : date, "frost", "dry" or None
        When the tank is emptied. A day holds for the leading crop as it is. What is cut once is otherwise cleared as
        it is ready, and what is cut again goes on to the end, or until heat ends it.

    Returns
    -------
    tuple of Course
        One a group.

    Raises
    ------
    Problem
        A crop cannot be grown then; or a group comes after the end of the tank.

    Examples
    --------
    >>> pair = courses([Group("basil", 2), Group("lettuce", 2)], weather.site("quillgate"), date(2027, 5, 10), "frost")
    >>> pair[0].end > pair[1].end
    True
    """
    last = end_of_tank(until, start, site)
    found = []
    for number, group in enumerate(groups):
        crop, planted = group.crop, group.transplanted or start
        if last is not None and planted >= last:
            raise Problem(
                f"The tank is emptied on {last}, and the {crop.spoken} would be set in on {planted}. Set them in "
                "earlier, or end later."
            )
        sow = planted - seedling_time(crop)
        by_choice = number == 0 and isinstance(until, date)
        own = calendar.schedule(crop, site, sow, decided=True, until=last if by_choice else None)
        if last is not None and not by_choice:
            goes_on = crop.cut == "again" and crop.harvest_until != "heat" and until != "dry"
            if last < own.end or (goes_on and last > own.end):
                own = calendar.schedule(crop, site, sow, decided=True, until=last)
        found.append(Course(group, planted, own, own.end))
    return tuple(found)


def end_of_tank(until: Until, start: date, site: weather.Site) -> date | None:
    """Turn the end that was chosen into a day.

    Parameters
    ----------
    until : date, "frost", "dry" or None
        As in the plan.
    start : date
        Of the plan.
    site : Site
        The place.

    Returns
    -------
    date or None
        The day; None where each crop ends as it does, also in a tank that is left to run dry.

    Raises
    ------
    Problem
        No frost is to be expected there.

    Examples
    --------
    >>> end_of_tank("frost", date(2027, 5, 10), weather.site("quillgate")).month
    10
    """
    if until == "frost":
        return budget.last_day_before_frost(start, site.weather)
    return until if isinstance(until, date) else None


def length_of(found: Sequence[Course], first_day: date) -> int:
    """Count the days from a first day to the end of the last plants.

    Parameters
    ----------
    found : sequence of Course
        The plants.
    first_day : date
        On which the reckoning begins.

    Returns
    -------
    int
        The days, two weeks at least.

    Raises
    ------
    Problem
        All plants are out of the tank before.

    Examples
    --------
    >>> length_of(courses([Group("lettuce", 2)], weather.site("quillgate"), date(2027, 5, 10), None), date(2027, 5, 10))
    4...
    """
    end = max(one.end for one in found)
    if end < first_day:
        raise Problem(
            f"By this plan the last plants left the tank on {end}, before the reading of {first_day}. Give a later "
            "end, or take the reading out of the plan."
        )
    return max((end - first_day).days + 1, _SHORTEST)
