"""Levels as they come out of a water budget, in plain metres."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import Problem, Q, Quantity, magnitude, one_value

from ._tank_checks import level_inside

_COLUMNS = ("volume (L)", "transpired (L)")


@dataclass(frozen=True, eq=False)
class Levels:
    """[members, days], and whether there were members at all."""

    start: float
    ends: Any
    peaks: Any  # before the plants drink
    many: bool
    dates: Any


def levels_of(tank: Any, water: Any, start: Any, function: str) -> Levels:
    """Read a season's table, an ensemble, or levels at the end of each day."""
    if isinstance(water, Quantity):
        return _from_levels(tank, water, start, function)
    if start is not None:
        raise Problem(f"{function}: a season knows its first level; leave `first_level` out.")
    if hasattr(water, "columns") and all(column in water.columns for column in _COLUMNS):
        volume = water["volume (L)"].to_numpy()[None]
        peak = volume + water["transpired (L)"].to_numpy()[None]
        filled, dates, many = water.attrs["filled (L)"], water.index.to_numpy().astype("datetime64[D]"), False
    elif hasattr(water, "volume") and hasattr(water, "transpired"):
        volume = water.volume.m_as("L")
        peak = volume + water.transpired.m_as("L")
        filled, dates, many = water.filled.m_as("L"), water.dates, True
    else:
        raise Problem(
            f"{function} needs a season or ensemble of `budget`, or a level for each day such as Q([25, 24], 'cm'). "
            f"You gave a {type(water).__name__}."
        )
    ends, peaks = (tank.level(Q(litres, "L")).m_as("m") for litres in (volume, peak))
    begin = float(tank.level(Q(float(filled), "L")).m_as("m"))
    return Levels(begin, ends, np.maximum(peaks, ends), many, dates)


def _from_levels(tank: Any, water: Any, start: Any, function: str) -> Levels:
    ends = level_inside(tank, magnitude(water, "m", "water", function))
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
