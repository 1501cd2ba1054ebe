"""What drives a run of oxygen through a season: checks, and from days and members to plain steps."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import OutOfRange, Problem, Q, magnitude, one_value, said, whole_number, within

from ._formulas import (
    ATMOSPHERE,
    check_positive,
    check_pressure,
    check_water,
    n,
    per_day,
)
from ._solver import Grid, Steps
from .solubility import saturation

_UNITS = {
    "depth": "m",
    "added": "m",
    "overflow": "m",
    "demand": "g/m^2/day",
    "temperature": "degC",
    "pressure": "kPa",
    "added_oxygen": "g/m^3",
    "film_coefficient": "m/day",
    "first_depth": "m",
    "start": "g/m^3",
}
_DAILY = (
    "depth",
    "added",
    "overflow",
)  # along days; the next may change from step to step, the rest not at all
_ALONG = ("demand", "temperature", "pressure", "added_oxygen")


@dataclass(frozen=True, eq=False)
class Driven:
    """Plain steps, [steps, members], their cells, the oxygen at the start, [members], and the shape of the members."""

    steps: Steps
    grid: Grid
    start: Any
    shape: tuple[int, ...]
    per: int


def checked(given: dict[str, Any]) -> dict[str, Any]:
    """The plain numbers of a water column, with what was left out; refused where one cannot be."""
    plain = {
        name: magnitude(given[name], unit, name, "WaterColumn")
        for name, unit in _UNITS.items()
        if given[name] is not None or name in ("depth", "demand", "temperature")
    }
    plain.setdefault("pressure", ATMOSPHERE)
    plain.setdefault("film_coefficient", n("film", "coefficient", "m/day"))
    plain.setdefault("overflow", 0.0)
    half = given["half_saturation"]
    plain["half_saturation"] = (
        n("roots", "half saturation", "g/m^3")
        if half is None
        else one_value(half, "g/m^3", "half_saturation", "WaterColumn")
    )
    check_positive(plain["half_saturation"], "The half saturation")
    check_positive(plain["film_coefficient"], "A film coefficient")
    check_water(plain["temperature"])
    check_pressure(plain["pressure"])
    for name in ("demand", "added", "overflow", "added_oxygen", "start"):
        if name in plain:
            sentence = f"WaterColumn: `{name}` is not negative; {{value}} is."
            within(plain[name], 0, np.inf, sentence, _UNITS[name])
    if not np.ndim(plain["depth"]) or not np.size(plain["depth"]):
        raise Problem("WaterColumn needs a depth for the end of each day, such as Q([13, 12.8], 'cm').")
    return plain


def drive(function: str, checked: dict[str, Any], cells: int, mixing: float, per: Any) -> Driven:
    """Spread the plain numbers of a water column over the steps of a run."""
    sentence = f"{function}: 1 to {n('run', 'most steps'):g} whole steps a day; {{value!r}} is not possible."
    per = whole_number(n("run", "steps") if per is None else per, 1, int(n("run", "most steps")), sentence)
    plain = {name: value for name, value in checked.items() if name != "half_saturation"}
    days = plain["depth"].shape[-1]
    shape = _members(function, plain, days, per)
    size = int(np.prod(shape, dtype=int))

    def over(name: str, count: int) -> Any:  # [count, members]
        value = np.asarray(plain[name], dtype=float)
        if value.ndim and value.shape[-1] not in (1, count):
            value = np.repeat(value, count // value.shape[-1], axis=-1)
        return np.broadcast_to(value, (*shape, count)).reshape(size, count).T

    def once(name: str) -> Any:  # [members]
        return np.broadcast_to(plain[name], shape).reshape(size)

    ends = over("depth", days)
    before = np.concatenate([once("first_depth")[None] if "first_depth" in plain else ends[:1], ends[:-1]])
    gained = over("added", days) if "added" in plain else np.maximum(ends - before, 0)
    raised = before + gained - over("overflow", days)
    _check_depths(function, before, raised, ends)
    levels, after, poured = _within_days(before, raised, ends, gained, per)
    count = days * per
    warm = over("temperature", count)
    top = saturation.plain(warm, over("pressure", count))
    steps = Steps(
        length=1 / per,
        depth=levels,
        raised=after,
        gained=poured,
        richness=over("added_oxygen", count) if "added_oxygen" in plain else top,
        surface=top,
        film=np.broadcast_to(once("film_coefficient"), top.shape),
        diffusivity=np.full(top.shape, np.inf) if np.isinf(mixing) else mixing * per_day(warm),
        demand=over("demand", count),
        half=checked["half_saturation"],
    )
    begun = once("start") if "start" in plain else top[0]
    return Driven(steps, Grid(cells, n("run", "stretch")), begun, shape, per)


def _members(function: str, plain: dict[str, Any], days: int, per: int) -> tuple[int, ...]:
    """The shape of the members, and a sentence where something does not fit."""
    shapes = []
    for name, value in plain.items():
        shape = np.shape(value)
        if not shape:
            continue
        if name not in (*_DAILY, *_ALONG):
            shapes.append(shape)
            continue
        allowed = (1, days) if name in _DAILY else (1, days, days * per)
        if shape[-1] not in allowed:
            each = "one a day" if name in _DAILY else f"one a day, or one a step ({days * per})"
            raise Problem(
                f"{function}: `{name}` has {shape[-1]} values along its last axis, and `depth` has {days} days. "
                f"Give one, or {each}."
            )
        shapes.append(shape[:-1])
    try:
        return np.broadcast_shapes(*shapes)
    except ValueError:
        counts = ", ".join(str(shape[0]) for shape in shapes if shape)
        raise Problem(
            f"{function}: the numbers of members do not fit each other: {counts}. Give [members, days] for what "
            "changes from day to day, and [members] for what does not."
        ) from None


def _check_depths(function: str, before: Any, raised: Any, ends: Any) -> None:
    least = n("run", "least depth", "m")
    lowest = min(float(depth.min()) for depth in (before, raised, ends))
    if not lowest >= least:
        raise OutOfRange(
            f"{function}: the water is {said(Q(lowest, 'm'))} deep somewhere; it needs {said(Q(least, 'm'))} or more."
        )
    if np.any(ends > raised + 1e-6):
        day, _ = np.argwhere(ends > raised + 1e-6)[0]
        over = said(Q(float((ends - raised).max()), "m"))
        raise Problem(
            f"{function}: on day {day + 1} the water ends {over} higher than what was there and was added. Give "
            "all that is added, or leave `added` out."
        )


def _within_days(before: Any, raised: Any, ends: Any, gained: Any, per: int) -> tuple[Any, Any, Any]:
    """Depth at the ends of the steps, after what is added, and what is added, by steps: a straight fall each day."""
    part = (np.arange(1, per + 1) / per)[None, :, None]
    fall = (raised[:, None] + part * (ends - raised)[:, None]).reshape(-1, ends.shape[1])
    levels = np.concatenate([before[:1], fall])
    after = levels[:-1].copy()
    after[::per] = raised
    poured = np.zeros_like(after)
    poured[::per] = gained
    return levels, after, poured
