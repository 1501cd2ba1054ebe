"""What tanks beside each other share: one weather, drawn once; a place, a water, a shelf."""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import fields
from datetime import date, timedelta
from pathlib import Path

import numpy as np

from stilltank.science import budget
from stilltank.season.plan import Plan
from stilltank.units import Problem, Quantity


def under_one_sky(plans: Mapping[str, Plan]) -> tuple[dict[str, Plan], dict[str, tuple[str, ...]]]:
    """Draw the weather once for all tanks that stand in the same weather at the same time.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank.

    Returns
    -------
    dict of str to Plan
        The same plans, each with the weather of its group.
    dict of str to tuple of str
        For each tank the tanks that share its weather, itself among them.

    Raises
    ------
    Problem
        A plan cannot be followed.

    Examples
    --------
    >>> pair = {"A": Plan.make(count=4), "B": Plan.make(crop="basil", start="2027-05-10")}
    >>> found, together = under_one_sky(pair)
    >>> together["A"]
    ('A', 'B')
    """
    made, together = {}, {}
    for names in _groups(plans):
        sky = _sky([plans[name] for name in names]) if len(names) > 1 else None
        for name in names:
            made[name] = plans[name] if sky is None else plans[name].under(sky)
            together[name] = tuple(names) if sky is not None else (name,)
    return {name: made[name] for name in plans}, {name: together[name] for name in plans}


def in_turn(plans: Mapping[str, Plan]) -> Iterator[tuple[str, Plan]]:
    """Go through the tanks; each takes over what has been calculated for one before that was chosen alike.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank.

    Yields
    ------
    tuple of str and Plan
        In their order.

    Examples
    --------
    >>> [name for name, _ in in_turn({"A": Plan.make(), "B": Plan.make()})]
    ['A', 'B']
    """
    before: list[Plan] = []
    for name, plan in plans.items():
        for other in before:
            plan.outlook.take_over(other.outlook)
        yield name, plan
        before.append(plan)


def differences(plans: Mapping[str, Plan], together: Mapping[str, tuple[str, ...]]) -> tuple[str, ...]:
    """Say where the tanks of a bench do not share place, water, shelf or weather.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank.
    together : mapping of str to tuple of str
        The tanks that share a weather, as `under_one_sky` gives them.

    Returns
    -------
    tuple of str
        One sentence for each difference; empty where all is shared.

    Examples
    --------
    >>> pair = {"A": Plan.make(), "B": Plan.make(water="quillgate-rain")}
    >>> differences(pair, {"A": ("A", "B"), "B": ("A", "B")})
    ('Not the same water: A has ..., B has ....',)
    """
    found = []
    for what, said in (
        ("place", lambda plan: f"{plan.site.name} ({plan.site.cover})"),
        ("water", lambda plan: plan.water.name or "a water without a name"),
        ("shelf", _shelf),
    ):
        if sentence := _said(what, {name: said(plan) for name, plan in plans.items()}):
            found.append(sentence)
    apart = list(dict.fromkeys(together.values()))
    if len(apart) > 1:
        found.append(
            f"Weather is drawn once for each of: {'; '.join(' with '.join(names) for names in apart)}. A hot week in "
            "one group says nothing about the other."
        )
    return tuple(found)


def _shelf(plan: Plan) -> str:
    if plan.shelf is None:
        return "the salts of the workbook"
    return (
        Path(plan.shelf_file).name
        if plan.shelf_file
        else f"a shelf with {', '.join(one.name for one in plan.shelf)}"
    )


def _said(what: str, words: Mapping[str, str]) -> str:
    """A sentence on what differs, or none."""
    if len(set(words.values())) < 2:
        return ""
    each = [
        f"{', '.join(names)} {'has' if len(names) == 1 else 'have'} {one}"
        for one in dict.fromkeys(words.values())
        if (names := [name for name, value in words.items() if value == one])
    ]
    return f"Not the same {what}: {', '.join(each)}."


def _groups(plans: Mapping[str, Plan]) -> list[list[str]]:
    """Names of the tanks that share a record and whose seasons meet."""
    alike: dict[Hashable, list[str]] = {}
    for name, plan in plans.items():
        alike.setdefault(_weather_of(plan), []).append(name)
    found = []
    for names in alike.values():
        last: date | None = None
        for name in sorted(names, key=lambda name: plans[name].outlook.first_day):
            begin, end = _span(plans[name])
            if last is None or begin > last:
                found.append([name])
                last = end
            else:
                found[-1].append(name)
                last = max(last, end)
    return found


def _weather_of(plan: Plan) -> Hashable:
    """The same for two records that hold the same: a file that is read twice is one weather."""
    record = plan.site.weather
    if record is None:
        return None
    return tuple(
        _plain(getattr(record, one.name)) for one in fields(record) if one.name not in ("name", "notes")
    )


def _plain(value: object) -> Hashable:
    if isinstance(value, Quantity):
        return np.asarray(value.magnitude).tobytes(), f"{value.units}"
    return value.tobytes() if isinstance(value, np.ndarray) else repr(value)


def _span(plan: Plan) -> tuple[date, date]:
    first = plan.outlook.first_day
    return first, first + timedelta(days=plan.outlook.days - 1)


def _sky(plans: list[Plan]) -> budget.Skies | None:
    """Weather from the first day of any of them to the last; None where the record does not hold all these days."""
    first = min(_span(plan)[0] for plan in plans)
    last = max(_span(plan)[1] for plan in plans)
    eldest = min(plans, key=lambda plan: plan.outlook.first_day)
    whole = eldest.scenario().change(start=first, days=(last - first).days + 1, top_up=budget.nothing())
    try:
        return whole.skies()
    except Problem:
        return None
