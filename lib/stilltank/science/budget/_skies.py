"""Seasons that could come, before anybody tends the tank: what the plants ask for and what the sky gives."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science import demand
from stilltank.science.tank import Tank
from stilltank.science.weather import Weather, record_and_cover
from stilltank.tables import Entry, number
from stilltank.units import Problem, whole_number

from ._balance import Setting, first_date, given_et, prepare, resample


@dataclass(frozen=True, eq=False)
class Draws:
    """Plain litres, [members, days], and what they were drawn from."""

    setting: Setting
    thirst: Any
    rain_in: Any
    factors: dict[str, Any]
    procedures: tuple[str, ...]
    seed: int


def draw(
    function: str,
    tank: Tank,
    plants: Any,
    weather: Any,
    *,
    start: Any = None,
    days: int | None = None,
    members: int | None = None,
    seed: int = 1,
    fill_level: Any = None,
    overflow_height: Any = None,
    rain_share: Any = None,
    exposure: Any = None,
    coefficient_factor: Any = None,
    top_ups: Mapping[Any, Any] | None = None,
    reference_et: Any = None,
    age: int = 0,
) -> Draws:
    """Draw the seasons that `ensemble` describes; ``function`` is for the sentences."""
    record, cover = record_and_cover(weather, function)
    start = first_date(start, record, function)
    members = int(number("budget", "ensemble", "members", "1")) if members is None else members
    sentence = f"{function}: 1 to 100000 whole seasons; {{value!r}} is not possible."
    members = whole_number(members, 1, 100_000, sentence)
    sentence = f"{function}: a seed is a whole number from 0 on; {{value!r}} is not."
    seed = whole_number(seed, 0, 2**63, sentence)
    given = {"exposure": exposure, "rain_share": rain_share, "coefficient_factor": coefficient_factor}
    setting = prepare(
        tank, plants, cover, start, days, fill_level, overflow_height, top_ups, given, function, age
    )
    rng = np.random.default_rng(seed)
    factors = {name: _draw_factor(rng, getattr(setting, name), members) for name in (*given, "stop_share")}
    et, rain, procedures = _weather(rng, record, setting, members, reference_et, function)
    thirst = et * setting.canopy * (factors["exposure"] * factors["coefficient_factor"])[:, None]
    rain_in = rain * setting.catch * factors["rain_share"][:, None]
    return Draws(setting, thirst, rain_in, factors, procedures, seed)


def _draw_factor(rng: Any, factor: Entry | float, members: int) -> Any:
    if not isinstance(factor, Entry):
        return np.full(members, factor)
    low, high = (end.m_as("dimensionless") for end in factor.range)
    if low == high:
        return np.full(members, low)
    return rng.triangular(low, factor.value, high, members)


def _weather(
    rng: Any, record: Weather | None, setting: Setting, members: int, reference_et: Any, function: str
) -> tuple[Any, Any, tuple[str, ...]]:
    """Reference ET and rain in mm, [members, days], and how they were reached."""
    length = len(setting.dates)
    nothing = np.zeros((members, length))
    if record is None:
        if reference_et is None:
            raise Problem(
                f"{function} needs a weather, or the reference evapotranspiration itself as `reference_et`."
            )
        return (
            nothing + given_et(reference_et, length, function),
            nothing,
            ("Demand: as given.", "Rain: none."),
        )
    rows = resample(rng, record, setting.dates, members)
    rain = nothing if record.precipitation is None else record.precipitation.magnitude[rows]
    missing = ("Rain: none in the record, so none counted.",) if record.precipitation is None else ()
    if reference_et is not None:
        return nothing + given_et(reference_et, length, function), rain, ("Demand: as given.", *missing)
    et = demand.reference_et(record).magnitude  # once for the record: it depends on the weather only
    return et[rows], rain, demand.missing_data_procedures(record) + missing
