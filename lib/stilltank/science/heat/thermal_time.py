"""Days to flower at a temperature."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import crops
from stilltank.units import Problem, Q, takes

from .degree_days import degree_days


@dataclass(frozen=True, eq=False)
class DaysToFlower:
    """A time to flower with its range; quantities in days, counted from ``phase``."""

    early: Any
    expected: Any
    late: Any
    phase: str
    note: str = ""

    def __str__(self) -> str:
        if np.ndim(self.expected.magnitude):
            listed = ", ".join(map(_day, np.ravel(self.expected.magnitude)))
            return f"days from {self.phase}: {listed}. {self.note}".strip()
        if not np.isfinite(self.expected.magnitude):
            return f"never: it stands still at this temperature. {self.note}".strip()
        days = f"{self.expected.magnitude:.0f} days from {self.phase}"
        return f"{days} ({self.early.magnitude:.0f} to {self.late.magnitude:.0f}). {self.note}".strip()


def _day(days: float) -> str:
    return f"{days:.0f}" if np.isfinite(days) else "never"


@takes(temperature="degC")
def days_to_flower(crop: Any, temperature: Any) -> DaysToFlower:
    """Days to first flower at a constant mean temperature.

    Parameters
    ----------
    crop : Crop, or the name of one
    temperature : quantity, temperature, one or an array
        Mean of day and night.

    Returns
    -------
    Days
        ``.early``, ``.expected``, ``.late`` in days, counted from ``.phase``; infinite at or below the base, and from
        the ceiling on where the crop has one.

    Raises
    ------
    UnitNeeded   ``temperature`` has no unit
    OutOfRange   a temperature that no air on earth has had
    Problem      no thermal time to flower is known for the crop

    Example
    -------
    >>> days_to_flower("zinnia", Q([20, 25], "degC")).expected.magnitude.round(1).tolist()
    [52.7, 40.1]

    Limits: holds inside the temperatures the crop was tried at, and where light is not what limits. A plateau above
    the optimum is too kind to great heat: the hottest trial of snapdragon, 31.8 degC, took 34 days, not 29.
    Source: data/crops.csv; where no range is published the assumed one of data/calendar.csv.
    """
    crop = crops.crop(crop)
    if crop.thermal_time is None:
        raise Problem(
            f"No thermal time to flower is known for {crop.name}, so its days cannot follow the temperature. "
            "Use a crop that has one, or calendar.schedule, which counts in days."
        )
    gained = np.asarray(daily_thermal_time(crop, temperature, temperature))
    with np.errstate(divide="ignore"):
        early, expected, late = (Q((total / gained)[()], "day") for total in thermal_time_range(crop))
    return DaysToFlower(early, expected, late, crop.thermal_phase, _note(crop, temperature))


def daily_thermal_time(crop: Any, tmin: Any, tmax: Any) -> Any:
    """Degree-days that a crop gains on each day, in degC day, by its own method and limits; plain degC in."""
    limits = {}
    if crop.ceiling_temperature is not None:
        limits = {"cutoff": "intermediate", "ceiling": crop.ceiling_temperature}
    return degree_days(
        Q(tmin, "degC"),
        Q(tmax, "degC"),
        crop.base_temperature,
        crop.optimum_temperature,
        crop.thermal_method,
        **limits,
    ).m_as("delta_degC*day")


def thermal_time_range(crop: Any) -> tuple[float, float, float]:
    """Least, expected and largest thermal time of a crop, in degC day.

    Where nothing is published for the range, the share in data/calendar.csv (an assumption) stands in.

    Example
    -------
    >>> thermal_time_range(crops.crop("sunflower"))
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
