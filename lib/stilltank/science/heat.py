"""Warmth that adds up: degree-days, and the days to flower they give."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from .. import tables
from ..units import OutOfRange, Problem, Q, takes, within
from . import crop as crops

METHODS = ("average", "sine", "clipped")


@takes(tmin="degC", tmax="degC", base="degC", upper="degC")
def degree_days(tmin: Any, tmax: Any, base: Any, upper: Any = None, method: str = "sine") -> Any:
    """Degree-days gained on each day.

    Parameters
    ----------
    tmin, tmax : quantity, temperature; lowest and highest of the day, one or an array
    base : quantity, temperature
        Below it nothing is gained.
    upper : quantity, temperature, optional
        Above it nothing more is gained (horizontal cut-off).
    method : str
        "sine": single sine curve through the two (default). "average": their mean, at most ``upper``, above
        ``base``. "clipped": both brought into base to upper first, then the mean (the "86/50" of extension
        services). A published sum goes with its own method only.

    Returns
    -------
    quantity, delta_degC*day, one value a day; add up with ``.sum()``

    Raises
    ------
    UnitNeeded   a bare number, or not a temperature
    OutOfRange   a minimum above its maximum, an upper limit not above the base, a missing value, or a temperature
        that no air on earth has had
    Problem      an unknown method, or arrays that do not fit each other

    Example
    -------
    >>> round(degree_days(Q(7, "degC"), Q(14, "degC"), base=Q(12, "degC")).magnitude, 3)
    0.468
    >>> warm = degree_days(Q(65, "degF"), Q(90, "degF"), Q(50, "degF"), Q(86, "degF"), method="clipped")
    >>> round(warm.to("delta_degF*day").magnitude, 1)
    25.5

    Limits: against hourly sums over a year at a base of 10 degC "sine" was 2 to 2.4 percent high, "average"
    -2.9 to +0.1, "clipped" 4.9 to 6.7 percent high (two stations); the methods part most in cool weather.
    Source: Baskerville & Emin (1969) for "sine"; extension services for the others.
    """
    tmin, tmax, base = _of_the_air(tmin), _of_the_air(tmax), _of_the_air(base)
    upper = None if upper is None else _of_the_air(upper)
    wrong = np.argwhere(np.atleast_1d(tmin > tmax))
    if wrong.size:
        place = tuple(wrong[0])
        low, high = (np.broadcast_to(t, np.broadcast(tmin, tmax).shape or (1,))[place] for t in (tmin, tmax))
        raise OutOfRange(
            f"A day's minimum is above its maximum: {low:g} above {high:g} degC, day {place[-1] + 1} of the list. "
            "Mend the record first."
        )
    if upper is not None and np.any(upper <= base):
        raise OutOfRange("The upper limit must lie above the base temperature.")
    if method == "average":
        mean = (tmin + tmax) / 2
        gained = np.maximum((mean if upper is None else np.minimum(mean, upper)) - base, 0)
    elif method == "clipped":
        top = np.inf if upper is None else upper
        gained = (np.clip(tmin, base, top) + np.clip(tmax, base, top)) / 2 - base
    elif method == "sine":
        gained = _sine_above(tmin, tmax, base)
        if upper is not None:
            gained = gained - _sine_above(tmin, tmax, upper)
    else:
        raise Problem(f"There is no degree-day method {method!r}. The methods are: {', '.join(METHODS)}.")
    return Q(gained[()], "delta_degC*day")


def _of_the_air(temperature: Any) -> Any:
    low, high = (
        tables.number("plausible", "weather", f"{end} temperature", "degC") for end in ("lowest", "highest")
    )
    within(
        temperature,
        low,
        high,
        f"The air is between {low:g} and {high:g} degC; {{value:g}} degC is not. Check the unit.",
    )
    return np.asarray(temperature, dtype=float)


def _sine_above(tmin: Any, tmax: Any, threshold: Any) -> Any:
    """Area above a threshold under one sine wave from tmin to tmax, in degC day."""
    mean, half = (
        (tmax + tmin) / 2,
        np.maximum((tmax - tmin) / 2, 1e-9),
    )  # a day without swing must not divide by zero
    above = mean - threshold
    ratio = np.clip(-above / half, -1, 1)  # -1 and 1 are a day all above and all below
    theta = np.arcsin(ratio)
    area = (above * (np.pi / 2 - theta) + half * np.cos(theta)) / np.pi
    return np.where(ratio < 1, area, 0.0)  # exactly nothing where the cosine leaves a rounding error


@dataclass(frozen=True, eq=False)
class Days:
    """A time to flower with its range; quantities in days, counted from ``phase``."""

    early: Any
    expected: Any
    late: Any
    phase: str
    note: str = ""

    def __str__(self) -> str:
        if np.ndim(self.expected.magnitude):
            listed = ", ".join(f"{days:.0f}" for days in np.ravel(self.expected.magnitude))
            return f"days from {self.phase}: {listed}. {self.note}".strip()
        days = f"{self.expected.magnitude:.0f} days from {self.phase}"
        return f"{days} ({self.early.magnitude:.0f} to {self.late.magnitude:.0f}). {self.note}".strip()


@takes(temperature="degC")
def days_to_flower(crop: Any, temperature: Any) -> Days:
    """Days to first flower at a constant mean temperature.

    Parameters
    ----------
    crop : Crop, or the name of one
    temperature : quantity, temperature, one or an array
        Mean of day and night.

    Returns
    -------
    Days
        ``.early``, ``.expected``, ``.late`` in days, counted from ``.phase``; infinite at or below the base.

    Raises
    ------
    UnitNeeded   ``temperature`` has no unit
    OutOfRange   a temperature that no air on earth has had
    Problem      no thermal time to flower is known for the crop

    Example
    -------
    >>> days_to_flower("zinnia", Q([20, 25], "degC")).expected.magnitude.round(1).tolist()
    [52.7, 40.1]

    Limits: holds inside the temperatures the crop was tried at, and where light is not what limits.
    Source: data/crops.csv; where no range is published the assumed one of data/calendar.csv.
    """
    crop = crops.crop(crop)
    if crop.thermal_time is None:
        raise Problem(
            f"No thermal time to flower is known for {crop.name}, so its days cannot follow the temperature. "
            "Use a crop that has one, or calendar.schedule, which counts in days."
        )
    base = crop.base_temperature.m_as("degC")
    warmth = _of_the_air(temperature)
    if crop.optimum_temperature is not None:
        warmth = np.minimum(warmth, crop.optimum_temperature.m_as("degC"))
    with np.errstate(divide="ignore"):
        early, expected, late = (
            Q(total / np.maximum(warmth - base, 0)[()], "day") for total in thermal_range(crop)
        )
    return Days(early, expected, late, crop.thermal_phase, _note(crop, temperature))


def thermal_range(crop: Any) -> tuple[float, float, float]:
    """Least, expected and largest thermal time of a crop, in degC day.

    Where nothing is published for the range, the share in data/calendar.csv (an assumption) stands in.

    Example
    -------
    >>> thermal_range(crops.crop("sunflower"))
    (1299.9, 1351.7, 1403.5)
    """
    expected = crop.thermal_time.m_as("delta_degC*day")
    if crop.thermal_time_low is not None:
        low, high = (
            t.m_as("delta_degC*day")
            for t in (crop.thermal_time_low, crop.thermal_time_high or crop.thermal_time)
        )
        return low, expected, high
    spread = tables.number("calendar", "thermal time", "spread", "1")
    return expected * (1 - spread), expected, expected * (1 + spread)


def _note(crop: Any, temperature: Any) -> str:
    if crop.coldest_tested is None or crop.warmest_tested is None:
        return ""
    coldest, warmest = crop.coldest_tested.m_as("degC"), crop.warmest_tested.m_as("degC")
    if np.all((temperature >= coldest) & (temperature <= warmest)):
        return ""
    return f"Tried between {coldest:g} and {warmest:g} degC only; outside that this is a guess."


@dataclass(frozen=True)
class Fit:
    """A base temperature and thermal time fitted to trials; ``rmse`` in days, ranges from leaving out one trial."""

    base: Any
    thermal_time: Any
    rmse: Any
    base_range: tuple[Any, Any]
    thermal_time_range: tuple[Any, Any]
    trials: int

    def __str__(self) -> str:
        low, high = (b.m_as("degC") for b in self.base_range)
        return (
            f"base {self.base.m_as('degC'):.2f} degC ({low:.1f} to {high:.1f} leaving out one trial at a time), "
            f"thermal time {self.thermal_time.m_as('delta_degC*day'):.0f} degC day, {self.trials} trials, "
            f"typical error {self.rmse.m_as('day'):.1f} days"
        )


@takes(temperature="degC", days="day")
def fit_base(temperature: Any, days: Any) -> Fit:
    """Fit base temperature and thermal time to trials at constant mean temperatures.

    Parameters
    ----------
    temperature : quantity, temperature, array
        Leave out trials on the warm plateau; they bend the line.
    days : quantity, time, array of the same length

    Returns
    -------
    Fit
        The two trade off: a good fit pins down neither, so the ranges are given too.

    Raises
    ------
    Problem      fewer than three trials, lengths that differ, or warmth that does not shorten the time
    OutOfRange   days that are not above zero

    Example
    -------
    >>> trials = fit_base(Q([14.6, 19.5, 23.1, 25.3], "degC"), Q([68, 43, 37, 35], "day"))
    >>> round(trials.base.magnitude, 1)
    2.7

    Limits: straight part of the response only.
    Source: 1/days = (T - base)/thermal time, ordinary least squares of 1/days on T.
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
    return Fit(
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
