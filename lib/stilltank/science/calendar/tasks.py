"""What is to be done on which day, from sowing to the empty tank."""

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from stilltank.science import heat

from ...tables import load, number
from ...units import Problem, instance_of
from .dates import Schedule, said_of_pinch, several_schedules

if TYPE_CHECKING:
    import pandas

TASK_KINDS = {
    "sow": "Sow",
    "label": "Label",
    "emerge": "Look for seedlings",
    "thin": "Thin",
    "pot": "Set into net pots",
    "harden": "Harden off",
    "plant": "Put into the tank",
    "support": "Put up support",
    "pinch": "Pinch",
    "open": "Look for the first",
    "cut": "Cut",
    "empty": "Empty and clean the tank",
}


_COUNTS = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]


@dataclass(frozen=True)
class Task:
    """One thing to do.

    Parameters
    ----------
    date : date
        The day, or the first of several.
    until : date
        Last day, the same as ``date`` for a task of one day.
    kind : str
        One of ``TASK_KINDS``.
    title : str
        A few words, with the crop.
    text : str
        What to do, and why.
    batch : int, default 1
        Number of the sowing, from 1.

    See Also
    --------
    tasks : Make them from sowings.

    Examples
    --------
    >>> day = datetime.date(2026, 3, 15)
    >>> print(Task(day, day, "sow", "Sow: Zinnia", "Three seeds to a pot."))
    2026-03-15: Sow: Zinnia. Three seeds to a pot.
    """

    date: datetime.date
    until: datetime.date
    kind: str
    title: str
    text: str
    batch: int = 1

    def __str__(self) -> str:
        when = str(self.date) if self.until == self.date else f"{self.date} to {self.until}"
        return f"{when}: {self.title}. {self.text}"


def tasks(schedules: Schedule | Iterable[Schedule]) -> tuple[Task, ...]:
    """Dated tasks of one sowing, or of several.

    Parameters
    ----------
    schedules : Schedule or iterable of Schedule
        A sowing, a succession, or several sowings.

    Returns
    -------
    tuple of Task
        By date. What is not known of a crop gives no task.

    Raises
    ------
    Unreadable
        Something else than schedules.

    Notes
    -----
    The days between the steps, in data/calendar.csv, are common practice; look at the plants, not only at the date.

    Examples
    --------
    >>> from stilltank.science import calendar, crops
    >>> todo = calendar.tasks(calendar.schedule(crops.pinched("snapdragon"), "new-york", sow="2026-03-15"))
    >>> [f"{task.date:%d %b} {task.kind}" for task in todo if task.kind in ("sow", "pot", "plant", "pinch")]
    ['15 Mar sow', '07 Apr pot', '11 Apr plant', '23 Apr pinch']
    """
    found: list[Task] = []
    for batch, one in enumerate(several_schedules(schedules, "tasks"), 1):
        found += _of_one(one, batch)
    order = list(TASK_KINDS)
    return tuple(sorted(found, key=lambda task: (task.date, task.batch, order.index(task.kind))))


def task_table(todo: Iterable[Task]) -> "pandas.DataFrame":
    """Tasks as a table, one row each.

    Parameters
    ----------
    todo : Iterable[Task]
        Tasks, as `tasks` gives them.

    Returns
    -------
    pandas.DataFrame
        One row each: date, until, batch, task, what to do.

    Raises
    ------
    Unreadable
        Something else than tasks.

    Examples
    --------
    >>> from stilltank.science import calendar
    >>> todo = calendar.tasks(calendar.schedule("rocket", "new-york", sow="2026-04-01"))
    >>> calendar.task_table(todo)["task"].iloc[0]
    'Sow: Rocket'
    """
    import pandas

    try:
        several = list(todo)
    except TypeError:
        several = [todo]  # type: ignore[list-item]
    for one in several:
        instance_of(one, Task, "todo", "task_table")
    return pandas.DataFrame(
        [(task.date, task.until, task.batch, task.title, task.text) for task in several],
        columns=["date", "until", "batch", "task", "what to do"],
    )


def _days(step: str, of: str = "task") -> datetime.timedelta:
    return datetime.timedelta(days=round(number("calendar", of, step, "day")))


def _in_a_pot(crop: Any, what: str) -> int:
    """Seeds sown into a net pot, or plants left in it: those of the crop, or the usual ones."""
    own = getattr(crop, f"{what}_a_pot")
    return round(number("calendar", "sowing", f"{what} a pot", "1") if own is None else own)


def _in_words(count: int) -> str:
    return _COUNTS[count] if count < len(_COUNTS) else str(count)


def _counted(count: int, noun: str) -> str:
    return f"{_in_words(count)} {noun}{'' if count == 1 else 's'}"


def _of_one(plan: Schedule, batch: int) -> list[Task]:
    crop = plan.crop
    found: list[Task] = []

    def add(kind: str, date: datetime.date, text: str, until: datetime.date | None = None) -> None:
        what = f"{TASK_KINDS[kind]} {plan.event.split()[1]}s" if kind == "open" else TASK_KINDS[kind]
        title = f"{what}: {crop.label or crop.name}"
        found.append(Task(date, until or date, kind, title, text, batch))

    _seedlings(plan, add)
    _in_the_tank(plan, add)
    return found


def _seedlings(plan: Schedule, add: Any) -> None:
    crop = plan.crop
    in_pot = crop.sow_into == "net pot"
    seeds, left = _in_a_pot(crop, "seeds"), _in_a_pot(crop, "plants")
    if plan.transplant > plan.sow:
        where = (
            f"{_counted(seeds, 'seed')} to a net pot of rinsed, inert medium such as perlite or mineral wool"
            if in_pot
            else "thinly into a tray of fine seed compost or perlite"
        )
        warm = _warmth(crop)
        add(
            "sow",
            plan.sow,
            f"{where[0].upper()}{where[1:]}, moist, never standing in water.{warm}{_light(crop)}",
        )
    else:
        add(
            "sow",
            plan.sow,
            f"Straight into the net pots of the tank, {_counted(seeds, 'seed')} to each, in rinsed, inert medium.",
        )
    add(
        "label",
        plan.sow,
        "Crop, kind and date on every pot or row. Keep two seedlings of the same seed apart, or a drawing of their "
        "seed leaves: what comes up and looks different is a weed.",
    )
    if crop.germination_days is None:
        return
    first, last = (_germination(crop, end) for end in ("low", "high"))
    add(
        "emerge",
        plan.sow + first,
        "Count what has come up; sow again what has not by the last day.",
        plan.sow + last,
    )
    emerged = plan.sow + _germination(crop, "")
    if plan.transplant <= emerged:
        return
    if not in_pot or left < seeds:
        clump = in_pot and left > 1
        stay = (
            f"Leave the {_in_words(left)} strongest in each pot"
            if clump
            else "One seedling a place, the strongest"
        )
        add(
            "thin",
            min(emerged + _days("thin"), plan.transplant),
            f"{stay}: cut the others off with scissors, and pull the weeds.",
        )
    if crop.sow_into == "tray":
        add(
            "pot",
            min(emerged + _days("pot"), plan.transplant),
            "With the first true leaves, one plant to a net pot; hold it by a leaf, and rinse the compost off.",
        )
    if plan.outdoors:
        start = max(plan.transplant - _days(crop.hardiness or "half-hardy", "hardening off"), emerged)
        add("harden", start, "Outdoors by day, in the shade first, indoors at night.", plan.transplant)


def _in_the_tank(plan: Schedule, add: Any) -> None:
    crop = plan.crop
    add("plant", plan.transplant, "Net pots into the lid, with their lower end in the solution.")
    if crop.support in ("stake", "net"):
        lower, upper = (number("calendar", "net", which, "cm") for which in ("first", "second"))
        text = {
            "stake": "A stake to each plant, tied to something heavier than the tank: a tall plant tips a light tub.",
            "net": f"Two nets with wide meshes on four firm posts, {lower:g} and {upper:g} cm above the lid, raised as "
            "the plants grow.",
        }[crop.support]
        add("support", min(plan.transplant + _days("support"), plan.end), text)
    if crop.pinched:
        date = plan.transplant + _days("pinch")
        late = date >= plan.first_flower.early
        add(
            "pinch",
            min(date, plan.end),
            "Only plants that show no bud yet: it may be too late for the others."
            if late and crop.use == "flower"
            else f"Take the tip out above three pairs of leaves. {said_of_pinch(crop, 'It')}",
        )
    early, late_first = plan.first_flower.early, plan.first_flower.late
    add(
        "open",
        early,
        f"Expected about {plan.first_flower.expected}; write the day into the log.{_weight(crop)}",
        late_first,
    )
    if plan.end > plan.first_flower.expected:
        how = "at once" if crop.cut == "once" else "every few days: it keeps the others coming"
        add("cut", plan.first_flower.expected, f"In the cool of the morning, {how}.", plan.end)
    add(
        "empty",
        plan.end,
        "Pull the plants and wash the tank. Where the rest of the solution may go stands in the caution on emptying.",
    )


def _germination(crop: Any, end: str) -> datetime.timedelta:
    days = getattr(crop, f"germination_days_{end}" if end else "germination_days")
    days = crop.germination_days if days is None else days
    return datetime.timedelta(days=int(np.ceil(days.m_as("day"))))


def _weight(crop: Any) -> str:
    """What a leaf crop gives at its first cut."""
    if crop.harvest_weight is None:
        return ""
    usual, low, high = (
        crop.harvest_weight if each is None else each
        for each in (crop.harvest_weight, crop.harvest_weight_low, crop.harvest_weight_high)
    )
    span = "" if low == high else f" ({low.m_as('g'):g} to {high.m_as('g'):g})"
    one = "pot" if crop.sow_into == "net pot" and _in_a_pot(crop, "plants") > 1 else "plant"
    return f" The first cut of one {one} weighs about {usual.m_as('g'):g} g{span}."


def _warmth(crop: Any) -> str:
    if crop.germination_temperature is None:
        return ""
    return f" About {crop.germination_temperature.m_as('degC'):.0f} degC until they come up{_too_warm(crop)}."


def _too_warm(crop: Any) -> str:
    """What warmer compost does to the seed, where it is much and known."""
    warmer = crop.germination_temperature + load("calendar")["sowing", "warmer"].quantity
    try:
        usual, then = (
            heat.germination_percentage(crop, each).m_as("percent")
            for each in (crop.germination_temperature, warmer)
        )
    except Problem:
        return ""
    if then > usual * number("calendar", "sowing", "fewer", "1"):
        return ""
    return f"; at {warmer.m_as('degC'):.0f} degC only {then:.0f} of 100 seeds do"


def _lamps() -> str:
    hours = number("calendar", "seedlings", "lamps", "hour")
    return f" Indoors with lamps on {hours:g} hours a day once they are up; keep mains leads and plugs away from water."


def _light(crop: Any) -> str:
    said = {
        "light": " Press the seed on, do not cover it: it needs light.",
        "dark": " Cover the seed with medium.",
    }
    return said.get(crop.germination_light or "", "")
