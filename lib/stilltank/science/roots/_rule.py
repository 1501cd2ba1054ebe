"""The refill rule along a season, in plain metres."""

from typing import Any

import numpy as np

from ...tables import number

_SAME = 1e-6  # m; far below what a ruler shows


def too_far(start: float, levels: Any, peaks: Any, pots: float) -> Any:
    """True for each season and day on which roots that live in moist air are drowned, [seasons, days].

    That is: the pots have hung clear, and the level stands higher than `refill_limit` allows from the lowest level
    of the last days. ``levels`` are those at the end of each day, ``peaks`` the highest of each day, ``pots`` the
    height of the pots' bottoms.
    """
    most = number("roots", "refill", "rise", "m")
    memory = int(number("budget", "top-up", "root memory", "day"))
    ends = np.concatenate([np.full((len(levels), 1), start), levels], axis=1)
    clear = np.maximum.accumulate(ends < pots - _SAME, axis=1)[:, :-1]
    lowest = ends[:, :-1].copy()
    for back in range(1, memory):
        lowest[:, back:] = np.minimum(lowest[:, back:], ends[:, : -1 - back])
    allowed = np.maximum(np.minimum(lowest + most, start), lowest)
    return clear & (peaks > allowed + _SAME)
