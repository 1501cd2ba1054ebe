"""A tank that somebody or something tops up: the same day as in `_balance`, with a rule that adds."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.roots._rule import too_far
from stilltank.science.tank import Tank
from stilltank.science.tank.heights import Heights

from ._balance import Setting, drink


@dataclass(frozen=True, eq=False)
class Tended:
    """Plain litres, [seasons, days]; ``peak`` is the volume before the plants drink."""

    volume: Any
    peak: Any
    used: Any
    spilled: Any
    before: Any  # added before the plants drank
    after: Any  # and after


Rule = Callable[[int, Any], Any]  # day index and litres in the tank to litres that are added


def tend(setting: Setting, thirst: Any, rain_in: Any, before: Rule | None, after: Rule | None) -> Tended:
    """Run seasons with a rule that adds before the plants drink, and one that adds after."""
    rain, asked = (np.ascontiguousarray(litres.T) for litres in (rain_in, thirst))
    volume, peak, used, spilled, early, late = (np.zeros_like(rain) for _ in range(6))
    now = np.full(rain.shape[1], setting.filled)
    for day in range(len(rain)):
        now = now + rain[day]
        if before is not None:
            early[day] = before(day, now)
            now = now + early[day]
        spilled[day] = np.maximum(now - setting.brim, 0)
        now = now - spilled[day]
        peak[day] = now
        used[day] = drink(setting, now, asked[day])
        now = now - used[day]
        if after is not None:
            late[day] = after(day, now)
            now = now + late[day]
        volume[day] = now
    return Tended(*(litres.T for litres in (volume, peak, used, spilled, early, late)))


def drowned(tank: Tank, setting: Setting, tended: Tended, heights: Heights) -> Any:
    """True for each season and day on which roots that live in moist air are drowned, [seasons, days]."""
    levels, peaks = heights.level(tended.volume), heights.level(np.maximum(tended.peak, tended.volume))
    pots = tank._height - float(tank.net_pot_depth.m_as("m"))
    return too_far(float(heights.level(setting.filled)), levels, peaks, pots)
