"""The weeks of all tanks as a CSV: levels, litres, top-ups, and what is to be done."""

import csv
import io
from collections.abc import Iterable, Mapping
from datetime import date, timedelta

import numpy as np

from stilltank.science.calendar import Task
from stilltank.season.plan import Plan

_SHARES = (("low", 0.1), ("median", 0.5), ("high", 0.9))


def weekly_numbers(plans: Mapping[str, Plan], todo: Mapping[str, Iterable[Task]], system: str) -> str:
    """Write a row for each tank and week.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank.
    todo : mapping of str to iterable of Task
        What is to be done, as ``Bench.tasks`` gives it.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        CSV with the unit in each heading: level and volume at the end of the week, what the week's top-ups take, each
        as the value below which 1, 5 and 9 of 10 simulated seasons lie; then the days with what is done on them.

    Examples
    --------
    >>> print(weekly_numbers({"A": Plan.make(count=4)}, {}, "US").splitlines()[0][:40])
    tank,week,from,to,level low (in),level m
    """
    length, volume = ("cm", "L") if system == "metric" else ("inch", "gallon")
    shown = {"inch": "in", "gallon": "US gal"}
    heads = ["tank", "week", "from", "to"]
    for what, unit in (("level", length), ("volume", volume), ("top-up", volume)):
        heads += [f"{what} {name} ({shown.get(unit, unit)})" for name, _ in _SHARES]
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow([*heads, "to do"])
    for name, plan in plans.items():
        out.writerows(_rows(name, plan, tuple(todo.get(name, ())), length, volume))
    return text.getvalue()


def _rows(name: str, plan: Plan, todo: tuple[Task, ...], length: str, volume: str) -> Iterable[list[object]]:
    season, first = plan.outlook.season, plan.outlook.first_day
    last = len(season.dates) - 1
    for week, start in enumerate(range(0, last + 1, 7), 1):
        end = min(start + 6, last)
        begin, until = first + timedelta(days=start), first + timedelta(days=end)
        columns = (
            season.level[:, end].m_as(length),
            season.volume[:, end].m_as(volume),
            season.top_up[:, start : end + 1].sum(axis=1).m_as(volume),
        )
        numbers = [f"{float(np.quantile(each, share)):.2f}" for each in columns for _, share in _SHARES]
        since = date.min if week == 1 else begin  # what comes before the filling stands in the first week
        done = " | ".join(f"{task.date} {_said(task)}" for task in todo if since <= task.date <= until)
        yield [name, week, begin, until, *numbers, done]


def _said(task: Task) -> str:
    """What a task is; of a look what there is to see."""
    return task.text.rstrip(".") if task.kind in ("look", "fill") else task.title
