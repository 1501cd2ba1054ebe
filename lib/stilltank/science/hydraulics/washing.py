"""What is left in the solution after rain has thinned it and some has run off."""

from typing import Any

import numpy as np

from stilltank.science.mixing.blending import blend
from stilltank.science.solution import Solution, Water
from stilltank.units import OutOfRange, Q, UnitNeeded, takes, within


def _share_left(volume: Any, rain_in: Any, overflow: Any) -> Any:
    """Share of the final volume that is still the old solution.

    First the rain fills what room there is; from then on as much leaves as comes, and the old solution goes as
    exp(-overflow/volume).
    """
    final = volume + rain_in - overflow
    return volume / final * np.exp(-np.asarray(overflow) / final)


@takes(rain_in="L", overflow="L")
def after_overflow(
    solution: Solution, rain_in: Any, overflow: Any = None, rain: Water | None = None
) -> Solution:
    """The solution after rain has run in and some of the mixture has run off.

    Parameters
    ----------
    solution : Solution, with the volume in the tank before the rain
    rain_in : quantity, volume; one value or an array
    overflow : quantity, volume that left by the hole; none when left out
    rain : Water; pure water when left out

    Returns
    -------
    Solution
        With the volume afterwards; its ``conductivity()`` is what a meter will show.

    Raises
    ------
    UnitNeeded   no solution, no volume
    OutOfRange   negative volumes, or more overflow than rain

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Steiner", Q(40, "L"))
    >>> wet = after_overflow(tank, Q(20, "L"), Q(20, "L"))
    >>> round(wet.elements["K"] / tank.elements["K"], 3).magnitude
    0.607

    Source: perfect mixing: the rain fills what room there is, then the old solution goes as exp(-overflow/volume).

    Limits: well mixed all the while. In a still tank cold rain may lie below, or fresh rain run off by a high hole
    before it mixes; then more stays. The daily budget mixes a day's rain first and lets it run off at once, which
    keeps a little more: 0.667 instead of 0.607 here.
    """
    if not isinstance(solution, Solution):
        raise UnitNeeded(
            f"after_overflow needs a Solution, such as recipe_solution(...); you gave {solution!r}."
        )
    water = Water.pure() if rain is None else rain
    if not isinstance(water, Water):
        raise UnitNeeded(
            f"after_overflow needs a Water for `rain`, such as Water.pure(); you gave {water!r}."
        )
    lost = 0.0 if overflow is None else overflow
    volume = solution.volume.m_as("L")
    within(rain_in, 0, 1e7, "after_overflow: {value:g} L of rain is not possible.")
    within(lost, 0, 1e7, "after_overflow: an overflow of {value:g} L is not possible.")
    if np.any(np.asarray(lost) > np.asarray(rain_in) + 1e-9):
        raise OutOfRange(
            f"after_overflow: {np.max(lost):.4g} L ran off and only {np.min(rain_in):.4g} L rained in. Solution "
            "that is taken out by hand changes no strength."
        )
    final = volume + rain_in - lost
    old = final * _share_left(volume, rain_in, lost)
    return blend(solution, Q(old, "L"), water, Q(np.maximum(final - old, 0), "L"))
