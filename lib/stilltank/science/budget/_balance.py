"""What goes in and out in a day, for many seasons at once: plain litres and metres."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.roots import LevelCourse, Rises, rises
from stilltank.science.tank import LevelTable, Tank
from stilltank.science.weather import Weather
from stilltank.tables import number
from stilltank.units import OutOfRange, Q

from ._checks import told
from .routines import Barrel, TopUp


@dataclass(frozen=True, eq=False, kw_only=True)
class Setting:
    """A scenario, ready to be followed: plain litres, one entry a day where it is an array."""

    tank: Tank
    record: Weather | None
    cover: str
    dates: Any
    filled: float  # on the first day
    filling: float  # when the tank was filled
    brim: float  # at the overflow hole
    unusable: float
    shortage: float
    least_uptake: float
    grown: Callable[
        [Any], Any
    ]  # m^2 of leaves times crop coefficient, [days] or [members, days], by the stretch of time
    catch: float  # m^2 of lid
    top_up: TopUp
    added: Any  # by a top-up on dates
    uncertain: dict[str, tuple[float, float, float]]  # value, low, high; drawn in this order
    reference_et: Any  # mm, where it is given
    first_conductivity: Any  # a quantity, or None
    members: int
    seed: int

    def usual(self, name: str) -> float:
        """The value of something uncertain where it is not drawn."""
        return self.uncertain[name][0]


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
        used[day] = drink(setting, now, asked[day])
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


def drink(setting: Setting, now: Any, thirst: Any) -> Any:
    """Litres that plants get out of a tank when they ask for ``thirst``."""
    left = np.maximum(now - setting.unusable, 0)
    reach = max(setting.shortage - setting.unusable, 1e-9)
    share = setting.least_uptake + (1 - setting.least_uptake) * np.minimum(left / reach, 1)
    return np.minimum(thirst * share, left)


def rules_of(routine: TopUp, setting: Setting, rain: Any, heights: LevelTable | None = None) -> Rules:
    """What a routine adds before the plants drink, and what after; dated volumes are in ``setting.added``.

    ``rain`` is in mm, [seasons, days]: what a barrel catches depends on it.
    """
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
