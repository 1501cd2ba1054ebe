"""What goes in and out in a day, for many seasons at once: plain litres and metres."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.roots import LevelCourse, Rises, rises
from stilltank.science.tank import LevelTable, Tank
from stilltank.tables import number
from stilltank.units import OutOfRange, Q, instance_of

from ._checks import told
from .routines import Barrel, TopUp
from .setting import Setting

Rule = Callable[[int, Any], Any]  # day index and litres in the tank to litres that are added
Rules = tuple[Rule | None, Rule | None]  # before the plants drink, and after


@dataclass(frozen=True, eq=False)
class Balance:
    """Plain litres, [seasons, days]."""

    volume: Any
    used: Any
    spilled: Any
    before: Any  # added before the plants drank
    after: Any  # and after; None where nothing is
    peak: Any  # before the plants drink; None where nobody asked

    @property
    def added(self) -> Any:
        """What was added on each day."""
        return self.before if self.after is None else self.before + self.after


def run(
    setting: Setting,
    thirst: Any,
    rain_in: Any,
    rules: Rules = (None, None),
    peaks: bool = False,
    first: Any = None,
) -> Balance:
    """Run seasons side by side; ``thirst`` and ``rain_in`` are litres, [seasons, days].

    Each begins with the filling, or with its own of ``first``, [seasons].

    Each day rain and top-ups come first, then what is above the overflow hole leaves, then the plants drink; what a
    float valve lets in comes last.
    """
    before, after = rules
    gains = np.ascontiguousarray((rain_in + setting.added).T)
    asked = np.ascontiguousarray(thirst.T)
    volume, used, spilled = (np.empty_like(gains) for _ in range(3))
    early = np.zeros_like(gains) + setting.added[:, None] if before is not None else None
    late = np.empty_like(gains) if after is not None else None
    peak = np.empty_like(gains) if peaks else None
    now = np.full(gains.shape[1], setting.filled) if first is None else first
    for day in range(len(gains)):
        now = now + gains[day]
        if before is not None and early is not None:
            more = before(day, now)
            early[day] += more
            now = now + more
        spilled[day] = np.maximum(now - setting.brim, 0)
        now = now - spilled[day]
        if peak is not None:
            peak[day] = now
        used[day] = setting.drink(now, asked[day])
        now = now - used[day]
        if after is not None and late is not None:
            late[day] = after(day, now)
            now = now + late[day]
        volume[day] = now
    return Balance(
        volume.T,
        used.T,
        spilled.T,
        np.broadcast_to(setting.added, thirst.shape) if early is None else early.T,
        None if late is None else late.T,
        None if peak is None else peak.T,
    )


def rules_of(routine: TopUp, setting: Setting, rain: Any, heights: LevelTable | None = None) -> Rules:
    """Find what a routine adds on a day, for use between rooms of science.

    Parameters
    ----------
    routine : TopUp
        The routine; what it adds on dates is in ``setting.added``.
    setting : Setting
        The tank and its days.
    rain : array, mm, [seasons, days]
        What a barrel catches depends on it.
    heights : LevelTable, optional
        Of the tank; made when left out.

    Returns
    -------
    tuple of two callables or None
        What is added before the plants drink, and after: of the day's index and the litres in the tanks.

    Raises
    ------
    OutOfRange
        The routine fills above the overflow hole.

    Examples
    --------
    >>> from stilltank.science import crops
    >>> from stilltank.science.budget import Scenario, nothing
    >>> scenario = Scenario.make("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10")
    >>> rules_of(nothing(), scenario.plain, np.zeros((1, 3)))
    (None, None)
    """
    instance_of(routine, TopUp, "routine", "rules_of")
    instance_of(setting, Setting, "setting", "rules_of")
    if routine.way in ("nothing", "on dates"):
        return None, None
    if routine.daily is not None:
        daily = float(routine.daily.m_as("L"))
        return lambda day, now: np.full_like(now, daily), None
    table = LevelTable(setting.tank) if heights is None else heights
    start = float(table.level(setting.filled))
    if routine.level is None:
        level = number("budget", "top-up", "holding level", "1") * start
    else:
        level = float(routine.level.m_as("m"))
    hole = float(table.level(setting.brim))
    if level > hole + 1e-9:
        raise OutOfRange(
            f"{routine.name}: a level of {told(level, 'm', routine.level, 'cm')} is above the overflow hole or rim, "
            f"at {told(hole, 'm', routine.level, 'cm')}. Take a lower level."
        )
    full = float(table.volume(level))
    if routine.way == "float valve":
        return None, lambda day, now: np.maximum(full - now, 0)
    rise = number("budget", "top-up", "small rise", "m") if routine.rise is None else routine.rise.m_as("m")

    def visit(day: int, now: Any) -> Any:
        if day == 0 or day % routine.every:
            return np.zeros_like(now)
        return np.maximum(np.minimum(table.volume(table.level(now) + rise), full) - now, 0)

    return (visit if routine.barrel is None else _from_barrel(routine.barrel, rain, visit)), None


def _from_barrel(barrel: Barrel, rain: Any, visit: Rule) -> Rule:
    """The same visits with no more than a barrel holds; it begins again on day 0, as the rule of each run does."""
    size, first = (float(each.m_as("L")) for each in (barrel.size, barrel.first))
    caught = _caught(rain, float(barrel.first_flush.m_as("mm")))
    caught = caught * float(barrel.area.m_as("m^2")) * float(barrel.share.m_as("dimensionless"))
    held = np.empty(len(caught))

    def pour(day: int, now: Any) -> Any:
        if day == 0:
            held[:] = first
        held[:] = np.minimum(held + caught[:, day], size)
        given = np.minimum(visit(day, now), held)
        held[:] -= given
        return given

    return pour


def _caught(rain: Any, flush: float) -> Any:
    """Plain mm that are left of each day's rain when the first of each wet spell has run off, [seasons, days]."""
    caught = np.empty(np.shape(rain))
    to_lose = np.full(len(caught), flush)
    for day in range(caught.shape[1]):
        today = rain[:, day]
        gone = np.minimum(today, to_lose)
        caught[:, day] = today - gone
        to_lose = np.where(today > 0, to_lose - gone, flush)
    return caught


def added_on(routine: TopUp, dates: Any) -> Any:
    """Litres that a routine on dates adds each day; refuses a day outside the season."""
    litres = np.zeros(len(dates))
    for when, volume in (routine.volumes or {}).items():
        day = int((np.datetime64(when, "D") - dates[0]).astype(int))
        if not 0 <= day < len(dates):
            raise OutOfRange(
                f"A top-up on {when} is outside the season, {dates[0]} to {dates[-1]}. Give a day within it."
            )
        litres[day] += float(volume.m_as("L"))
    return litres


def reached(volume: Any, limit: Any) -> Any:
    """Whether a volume is at or below a limit, L; subtracting down to the limit leaves a rounding error."""
    return volume <= limit + 1e-9


def first_day(dates: Any, volume: Any, limit: Any) -> Any:
    """Date on which each row of ``volume``, [seasons, days], is first at or below a limit; NaT where never."""
    low = reached(volume, limit)
    return np.where(low.any(axis=1), dates[low.argmax(axis=1)], np.datetime64("NaT", "D"))


def level_course(tank: Tank, dates: Any, filled: float, volume: Any, used: Any, late: Any) -> LevelCourse:
    """Levels of volumes, L, [days] or [seasons, days]; ``late`` was added after the plants drank."""
    highest = volume - late + used
    first, level, peak = (tank.level(Q(litres, "L")) for litres in (filled, volume, highest))
    top: Any = np.maximum(peak, level)
    return LevelCourse(dates=dates, first_level=first, level=level, highest=top)


def rises_of(setting: Setting, balance: Balance, heights: LevelTable) -> Rises:
    """How far the level rises over roots that live in moist air, in each season and on each day."""
    levels, peaks = heights.level(balance.volume), heights.level(np.maximum(balance.peak, balance.volume))
    tank = setting.tank
    pots = float(tank.height.m_as("m")) - float(tank.net_pot_depth.m_as("m"))
    return rises(float(heights.level(setting.filled)), levels, peaks, pots)
