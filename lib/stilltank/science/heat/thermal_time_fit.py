"""A base temperature and a thermal time from trials at several temperatures."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import OutOfRange, Problem, Q, Quantity, takes


@dataclass(frozen=True)
class ThermalTimeFit:
    """A base temperature and a thermal time fitted to trials.

    Parameters
    ----------
    base : Quantity
        The base temperature.
    thermal_time : Quantity
        In delta_degC*day.
    rmse : Quantity
        Typical error, in days.
    base_range, thermal_time_range : tuple of Quantity
        Least and largest when one trial at a time is left out.
    trials : int
        How many trials.

    See Also
    --------
    fit_thermal_time : Fit one.

    Examples
    --------
    >>> fit_thermal_time(Q([14.6, 19.5, 23.1, 25.3], "degC"), Q([68, 43, 37, 35], "day")).trials
    4
    """

    base: Quantity
    thermal_time: Quantity
    rmse: Quantity
    base_range: tuple[Quantity, Quantity]
    thermal_time_range: tuple[Quantity, Quantity]
    trials: int

    def __str__(self) -> str:
        low, high = (b.m_as("degC") for b in self.base_range)
        return (
            f"base {self.base.m_as('degC'):.2f} degC ({low:.1f} to {high:.1f} leaving out one trial at a time), "
            f"thermal time {self.thermal_time.m_as('delta_degC*day'):.0f} degC day, {self.trials} trials, "
            f"typical error {self.rmse.m_as('day'):.1f} days"
        )


@takes(temperature="degC", days="day")
def fit_thermal_time(temperature: Quantity, days: Quantity) -> ThermalTimeFit:
    r"""Fit base temperature and thermal time to trials at constant mean temperatures.

    Parameters
    ----------
    temperature : Quantity
        [trials]. Leave out trials on the warm plateau; they bend the line.
    days : Quantity
        Days to flower, [trials].

    Returns
    -------
    ThermalTimeFit
        The two trade off: a good fit pins down neither, so the ranges are given too.

    Raises
    ------
    Problem
        Fewer than three trials, lengths that differ, or warmth that does not shorten the time.
    OutOfRange
        Days that are not above zero.

    Notes
    -----
    For the straight part of the response only: ordinary least squares of the rate on the temperature.

    .. math:: \frac{1}{d} = \frac{T - T_b}{\theta}

    Examples
    --------
    >>> trials = fit_thermal_time(Q([14.6, 19.5, 23.1, 25.3], "degC"), Q([68, 43, 37, 35], "day"))
    >>> round(trials.base.magnitude, 1)
    2.7
    """
    warmth, rate = np.atleast_1d(temperature), np.atleast_1d(days)
    if warmth.shape != rate.shape or warmth.ndim != 1 or warmth.size < 3:
        raise Problem(
            "A fit needs at least three trials, with one temperature and one number of days each. "
            f"You gave {warmth.size} and {rate.size}."
        )
    if np.any(rate <= 0):
        raise OutOfRange("Days to flower must be above zero.")
    base, total = _line(warmth, 1 / rate)
    each = np.array([_line(np.delete(warmth, i), 1 / np.delete(rate, i)) for i in range(warmth.size)])
    rmse = np.sqrt(np.mean((total / (warmth - base) - rate) ** 2))
    return ThermalTimeFit(
        Q(base, "degC"),
        Q(total, "delta_degC*day"),
        Q(rmse, "day"),
        (Q(each[:, 0].min(), "degC"), Q(each[:, 0].max(), "degC")),
        (Q(each[:, 1].min(), "delta_degC*day"), Q(each[:, 1].max(), "delta_degC*day")),
        warmth.size,
    )


def _line(warmth: Any, rate: Any) -> tuple[float, float]:
    if np.ptp(warmth) == 0:
        raise Problem("All trials have the same temperature; a base cannot be fitted.")
    slope, start = np.polyfit(warmth, rate, 1)
    if slope <= 0:
        raise Problem("The days do not get fewer as it gets warmer; a base cannot be fitted.")
    return -start / slope, 1 / slope
