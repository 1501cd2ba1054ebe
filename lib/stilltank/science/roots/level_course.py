"""The level of a tank day by day: what roots need to know of a season."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pint

from stilltank.science.tank import Tank
from stilltank.units import Problem, Quantity, magnitude, one_value

from ._tank_checks import level_inside


@dataclass(frozen=True, eq=False, kw_only=True)
class LevelCourse:
    """The level of one season or of many, day by day; ``Season.levels`` and ``Ensemble.levels`` of a water budget.

    Parameters
    ----------
    dates : numpy array of datetime64[D], [days]
        The days.
    first_level : quantity, length
        Level at the start, before the first day.
    level : quantity, length, [days] or [members, days]
        At the end of each day.
    highest : quantity, length, of the shape of ``level``
        The highest of each day, before the plants drink.

    Examples
    --------
    >>> import numpy as np
    >>> from stilltank.units import Q
    >>> days = np.array(["2027-05-10", "2027-05-11"], dtype="datetime64[D]")
    >>> ends, peaks = Q([24.6, 24.1], "cm"), Q([25, 24.6], "cm")
    >>> course = LevelCourse(dates=days, first_level=Q(25, "cm"), level=ends, highest=peaks)
    >>> float(course.level.max().magnitude)
    24.6
    """

    dates: np.ndarray
    first_level: pint.Quantity
    level: pint.Quantity
    highest: pint.Quantity


@dataclass(frozen=True, eq=False)
class Levels:
    """Plain metres, [members, days], and whether there were members at all."""

    start: float
    ends: Any
    peaks: Any  # before the plants drink
    many: bool
    dates: Any


def levels_of(tank: Tank, water: object, start: pint.Quantity | None, function: str) -> Levels:
    """Read a course of levels, or levels at the end of each day."""
    if isinstance(water, Quantity):
        return _from_levels(tank, water, start, function)
    if not isinstance(water, LevelCourse):
        raise Problem(
            f"{function} needs the levels of a water budget, such as season.levels, or a level for each day such as "
            f"Q([25, 24], 'cm'). You gave a {type(water).__name__}."
        )
    if start is not None:
        raise Problem(f"{function}: a season knows its first level; leave `first_level` out.")
    ends, peaks = (np.atleast_2d(level.m_as("m")) for level in (water.level, water.highest))
    level_inside(tank, peaks)  # of another tank, they may be above its rim
    many = np.ndim(water.level.magnitude) > 1
    return Levels(float(water.first_level.m_as("m")), ends, peaks, many, water.dates)


def _from_levels(tank: Tank, water: pint.Quantity, start: pint.Quantity | None, function: str) -> Levels:
    ends = level_inside(tank, magnitude(water, "m", "levels", function))
    if not np.ndim(ends) or not np.size(ends) or np.ndim(ends) > 2:
        raise Problem(
            f"{function} needs a level for each day, [days] or [members, days], such as Q([25, 24], 'cm')."
        )
    rows = np.atleast_2d(ends)
    begin = None if start is None else level_inside(tank, one_value(start, "m", "first_level", function))
    before = np.concatenate(
        [rows[:, :1] if begin is None else np.full((len(rows), 1), begin), rows[:, :-1]], axis=1
    )
    first = float(rows[:, 0].max()) if begin is None else float(begin)
    return Levels(first, rows, np.maximum(before, rows), np.ndim(ends) > 1, None)
