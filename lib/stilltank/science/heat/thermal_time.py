"""Days to flower at a temperature."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import crops
from stilltank.science.crops import Crop
from stilltank.units import Problem, Q, Quantity, takes, within
from stilltank.units.types import PlainLike

from .degree_days import degree_days


@dataclass(frozen=True, eq=False)
class DaysToFlower:
    """A time to flower with its range.

    Parameters
    ----------
    early, expected, late : Quantity
        In days, counted from ``phase``.
    phase : str
        "sowing", "emergence" or "transplant".
    note : str, optional
        Where the temperature lies outside the trials.

    See Also
    --------
    days_to_flower : Make one for a crop and a temperature.

    Examples
    --------
    >>> print(DaysToFlower(Q(50, "day"), Q(56, "day"), Q(62, "day"), "sowing"))
    56 days from sowing (50 to 62).
    """

    early: Quantity
    expected: Quantity
    late: Quantity
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
def days_to_flower(crop: Crop | str, temperature: Quantity) -> DaysToFlower:
    """Days to first flower at a constant mean temperature.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    temperature : Quantity
        Mean of day and night; one value or an array.

    Returns
    -------
    DaysToFlower
        ``.early``, ``.expected`` and ``.late`` in days, counted from ``.phase``; infinite at or below the base, and
        from the ceiling on where the crop has one.

    Raises
    ------
    UnitNeeded
        ``temperature`` has no unit.
    OutOfRange
        A temperature that no air on earth has had.
    Problem
        No thermal time to flower is known for the crop.

    See Also
    --------
    degree_days : Warmth of days that differ.

    Notes
    -----
    Holds inside the temperatures that the crop was tried at, and where light is not what limits. A plateau above the
    optimum is too kind to great heat: the hottest trial of snapdragon, 31.8 °C, took 34 days, not 29. The values
    stand in data/crops.csv; where no range is published, the assumed one of data/calendar.csv is taken.

    Examples
    --------
    >>> days_to_flower("bedding-zinnia", Q([20, 25], "degC")).expected.magnitude.round(1).tolist()
    [52.7, 40.1]
    """
    what = _with_thermal_time(crop)
    gained = np.asarray(daily_thermal_time(what, temperature, temperature))
    with np.errstate(divide="ignore"):
        early, expected, late = (Q((total / gained)[()], "day") for total in thermal_time_range(what))
    return DaysToFlower(early, expected, late, what.thermal_phase, _note(what, temperature))


def daily_thermal_time(crop: Crop | str, tmin: PlainLike, tmax: PlainLike) -> PlainLike:
    """Degree-days that a crop gains on each day, by its own method and limits.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    tmin, tmax : float or ndarray
        Lowest and highest temperature of the day, in degC.

    Returns
    -------
    float or ndarray
        In degC day.

    Raises
    ------
    Problem
        No thermal time to flower is known for the crop.
    OutOfRange
        A lowest temperature above its highest, or one that no air on earth has had.

    Examples
    --------
    >>> round(float(daily_thermal_time("zinnia", 20.0, 20.0)), 2) > 10
    True
    """
    what = _with_thermal_time(crop)
    limits: dict[str, Any] = {}
    if what.ceiling_temperature is not None:
        limits = {"cutoff": "intermediate", "ceiling": what.ceiling_temperature}
    return degree_days(
        Q(tmin, "degC"),
        Q(tmax, "degC"),
        what.base_temperature,
        what.optimum_temperature,
        what.thermal_method,
        **limits,
    ).m_as("delta_degC*day")


def thermal_time_range(crop: Crop | str) -> tuple[float, float, float]:
    """Least, expected and largest thermal time of a crop.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.

    Returns
    -------
    tuple of float
        In degC day.

    Raises
    ------
    Problem
        No thermal time to flower is known for the crop.

    Notes
    -----
    Where nothing is published for the range, the share in data/calendar.csv, an assumption, stands in.

    Examples
    --------
    >>> thermal_time_range(crops.crop("sunflower"))
    (1149.0, 1351.7, 1554.0)
    """
    what = _with_thermal_time(crop)
    expected = what.thermal_time.m_as("delta_degC*day")
    if what.thermal_time_low is not None:
        low, high = (
            t.m_as("delta_degC*day")
            for t in (what.thermal_time_low, what.thermal_time_high or what.thermal_time)
        )
        return low, expected, high
    spread = tables.number("calendar", "thermal time", "spread", "1")
    return expected * (1 - spread), expected, expected * (1 + spread)


@takes(days="day", counted_from=("sowing", "transplant"))
def with_packet_days(crop: Crop | str, days: Quantity, counted_from: str = "sowing") -> Crop:
    """Take a crop with the days to first flower or harvest that its seed packet says.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.
    days : Quantity
        What the packet says, such as 75 days.
    counted_from : str
        "sowing" or "transplant".

    Returns
    -------
    Crop
        The same with ``packet_days``: its thermal time becomes what it gains in these days at the warmth in which
        seedlings are raised, its base and method stay. A crop without a thermal time takes the days themselves.

    Raises
    ------
    UnitNeeded
        ``days`` has no unit.
    OutOfRange
        Far fewer or more days than those of the crop.
    Problem
        Neither a thermal time nor days are known for the crop.

    Notes
    -----
    A packet seldom says for what warmth its days hold, so the share to either side in data/calendar.csv, an assumption,
    is its range. The dependence on temperature stays that of the kind that was measured.

    Examples
    --------
    >>> quick = with_packet_days("sunflower", Q(55, "day"))
    >>> round(quick.thermal_time.m_as("delta_degC*day")), quick.thermal_phase
    (1001, 'emergence')
    """
    found = crops.crop(crop)
    usual = usual_days(found)
    if usual is None:
        raise Problem(
            f"Neither a thermal time nor days are known for {found.name}; a packet alone does not do."
        )
    from_sowing = days + _skipped(found, counted_from)
    least, most = (usual * tables.number("calendar", "packet", end, "1") for end in ("least", "most"))
    within(
        from_sowing,
        float(np.ceil(least.m_as("day"))),
        float(np.floor(most.m_as("day"))),
        f"{found.label} takes about {usual.m_as('day'):.0f} days from sowing; a packet says {{low}} to {{high}}, not "
        "{value}. Look whether it counts from sowing or from transplanting.",
        "day",
    )
    spread = tables.number("calendar", "packet", "spread", "1")
    packet: dict[str, Any] = {"packet_days": Q(days, "day"), "packet_phase": counted_from}
    if found.thermal_time is None:
        packet["days_phase"] = counted_from
        name, value, unit = f"days_to_{_awaited(found)}", days, "day"
    else:
        name, unit = "thermal_time", "delta_degC*day"
        value = (from_sowing - _skipped(found, found.thermal_phase)) * _a_day(found)
    for end, share in (("", 1), ("_low", 1 - spread), ("_high", 1 + spread)):
        packet[f"{name}{end}"] = Q(value * share, unit)
    return replace(found, **packet)


def usual_days(crop: Crop | str) -> Quantity | None:
    """Days from sowing to first flower or harvest, in the warmth in which seedlings are raised.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name in data/crops.csv.

    Returns
    -------
    Quantity or None
        In days; None where neither a thermal time nor days are known.

    Raises
    ------
    Problem
        There is no such crop.

    Examples
    --------
    >>> round(usual_days("sunflower").m_as("day"), 1)
    71.5
    """
    found = crops.crop(crop)
    if found.thermal_time is not None:
        own = found.thermal_time.m_as("delta_degC*day") / _a_day(found)
        return Q(own + _skipped(found, found.thermal_phase), "day")
    known = getattr(found, f"days_to_{_awaited(found)}")
    return None if known is None else Q(known.m_as("day") + _skipped(found, found.days_phase), "day")


def _awaited(crop: Crop) -> str:
    return "flower" if crop.days_to_flower is not None else "harvest"


def _a_day(crop: Crop) -> float:
    """What a crop gains on a day in the warmth of seedlings, in degC day."""
    room = tables.number("calendar", "seedlings", "temperature", "degC")
    return float(np.asarray(daily_thermal_time(crop, room, room)))


def _skipped(crop: Crop, phase: str | None) -> float:
    """Days from sowing to where a phase begins."""
    days = {"transplant": crop.seedling_days, "emergence": crop.emergence_days}.get(phase or "sowing")
    return 0.0 if days is None else float(days.m_as("day"))


def _with_thermal_time(crop: Crop | str) -> Any:
    what = crops.crop(crop)
    if what.thermal_time is None:
        raise Problem(
            f"No thermal time to flower is known for {what.name}, so its days cannot follow the temperature. "
            "Use a crop that has one, or calendar.schedule, which counts in days."
        )
    return what


def _note(crop: Any, temperature: Any) -> str:
    if crop.coldest_tested is None or crop.warmest_tested is None:
        return ""
    coldest, warmest = crop.coldest_tested.m_as("degC"), crop.warmest_tested.m_as("degC")
    if np.all((temperature >= coldest) & (temperature <= warmest)):
        return ""
    return f"Tried between {coldest:g} and {warmest:g} degC only; outside that this is a guess."
