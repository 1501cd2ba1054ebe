"""What is to be done at all tanks of a bench, day by day: sowing to emptying, rounds, looks."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from stilltank.science import calendar
from stilltank.season.plan import Course, Plan

from .common_weather import in_turn
from .rounds import Watering

_WEEK = timedelta(days=7)
_EVERY_WEEK = "Level, leaves, larvae in the water, lid closed; write it into the log."


def tasks(
    plans: Mapping[str, Plan], watering: Watering, system: str = "metric"
) -> dict[str, tuple[calendar.Task, ...]]:
    """List what is to be done at each tank, and on the rounds.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank.
    watering : Watering
        The rounds of these tanks.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    dict of str to tuple of Task
        By the name of the tank; the rounds and the weekly looks, which are for all tanks, under an empty name. Titles
        hold no forecast, so that a task keeps its identifier when litres change.

    Raises
    ------
    UnitNeeded
        Another system.

    Examples
    --------
    >>> plans = {"A": Plan.make(count=4)}
    >>> found = tasks(plans, Watering(plans))
    >>> found["A"][0].title
    'Sow: Snapdragon'
    """
    found = {
        name: tuple(sorted(_of_tank(plan, system), key=lambda task: task.date))
        for name, plan in in_turn(plans)
    }
    looks = {task.date for each in found.values() for task in each if task.kind == "look"}
    common = [_round(watering, day, system) for day in watering.days]
    common += _weekly(plans, {*watering.days, *looks})
    return {**found, "": tuple(sorted(common, key=lambda task: task.date))}


def _of_tank(plan: Plan, system: str) -> Iterator[calendar.Task]:
    courses = plan.outlook.courses
    last = max(courses, key=lambda course: course.end)
    for course in courses:
        for task in calendar.tasks(course.schedule):
            if task.kind == "empty" and course is not last:
                yield _cleared(course)
            elif plan.reading is None or task.until >= plan.reading.day:
                yield task
    texts: dict[date, list[str]] = {}
    for look in plan.outlook.looks(system):
        texts.setdefault(look.day, []).append(look.what)
    for day, what in texts.items():
        filling = day == plan.start and plan.reading is None
        title = "Fill and plant the tank" if filling else "Look at the tank"
        said = "; ".join(what)
        yield calendar.Task(day, day, "fill" if filling else "look", title, f"{said[0].upper()}{said[1:]}.")


def _cleared(course: Course) -> calendar.Task:
    """In place of emptying the tank, in which others go on."""
    crop = course.group.crop
    return calendar.Task(
        course.end,
        course.end,
        "clear",
        f"Take out: {crop.label or crop.name}",
        "Take these plants out with their net pots and close the slots of the lid. The tank goes on.",
    )


def _round(watering: Watering, day: date, system: str) -> calendar.Task:
    return calendar.Task(day, day, "round", "Watering round", watering.round(day).brief(system))


def _weekly(plans: Mapping[str, Plan], busy: set[date]) -> Iterator[calendar.Task]:
    """A look at all tanks in each week in which nothing else leads there."""
    day = min(plan.outlook.first_day for plan in plans.values())
    last = max(plan.outlook.first_day + timedelta(days=plan.outlook.days - 1) for plan in plans.values())
    while day + _WEEK <= last:
        if not any(day <= one < day + _WEEK for one in busy):
            when = day + _WEEK - timedelta(days=1)
            yield calendar.Task(when, when, "look", "Look at all tanks", _EVERY_WEEK)
        day += _WEEK
