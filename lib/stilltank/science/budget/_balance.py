"""What goes in and out in a day, for many seasons at once."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.demand import crop_coefficient, season_length
from stilltank.science.roots import above_refill_limit
from stilltank.science.sky import ONE_DAY, day_of
from stilltank.science.tank import LevelTable, Tank
from stilltank.science.weather import Weather, rows_of_day
from stilltank.tables import Entry, load, number
from stilltank.units import OutOfRange, Problem, Q, magnitude, one_value, whole_number, within


@dataclass(frozen=True)
class Setting:
    """A tank with its plants, ready to be run: plain litres, one entry a day where it is an array."""

    dates: Any
    filled: float
    brim: float  # at the overflow hole
    unusable: float
    shortage: float
    least_uptake: float
    stop_share: Entry
    canopy: Any  # m^2 of leaves times crop coefficient
    catch: float  # m^2 of lid
    top_ups: Any
    exposure: Entry | float
    rain_share: Entry | float
    coefficient_factor: Entry | float


def run(setting: Setting, demand: Any, rain_in: Any) -> tuple[Any, Any, Any]:
    """Run seasons side by side; ``demand`` and ``rain_in`` are litres, [members, days].

    Each day rain and top-ups come first, then what stands above the overflow hole leaves, then the plants drink.
    Returns volume at the end of each day, water used and water lost by the hole.
    """
    gains = np.ascontiguousarray((rain_in + setting.top_ups).T)
    thirst = np.ascontiguousarray(demand.T)
    volume, used, spilled = (np.empty_like(gains) for _ in range(3))
    now = np.full(gains.shape[1], setting.filled)
    for day in range(len(gains)):
        now = now + gains[day]
        spilled[day] = np.maximum(now - setting.brim, 0)
        now = now - spilled[day]
        used[day] = drink(setting, now, thirst[day])
        now = now - used[day]
        volume[day] = now
    return volume.T, used.T, spilled.T


def drink(setting: Setting, now: Any, thirst: Any) -> Any:
    """Litres that plants get out of a tank when they ask for ``thirst``."""
    left = np.maximum(now - setting.unusable, 0)
    reach = max(setting.shortage - setting.unusable, 1e-9)
    share = setting.least_uptake + (1 - setting.least_uptake) * np.minimum(left / reach, 1)
    return np.minimum(thirst * share, left)


def reached(volume: Any, limit: Any) -> Any:
    """Whether a volume is at or below a limit, L; subtracting down to the limit leaves a rounding error."""
    return volume <= limit + 1e-9


def first_day(dates: Any, volume: Any, limit: Any) -> Any:
    """Date on which each row of ``volume``, [members, days], is first at or below a limit; NaT where never."""
    low = reached(volume, limit)
    return np.where(low.any(axis=1), dates[low.argmax(axis=1)], np.datetime64("NaT", "D"))


def prepare(
    tank: Tank,
    plants: Any,
    cover: str,
    start: Any,
    days: int | None,
    fill_level: Any,
    overflow_height: Any,
    top_ups: Mapping[Any, Any] | None,
    factors: dict[str, Any],
    function: str,
    age: int = 0,
) -> Setting:
    """Check what was given, fill in what was not, and strip the units."""
    groups = plant_groups(plants)
    sentence = f"{function}: an age of 0 to 3660 whole days since planting; {{value!r}} is not possible."
    age = whole_number(age, 0, 3660, sentence)
    if days is None:
        days = max(season_length(group.crop) for group in groups) - age
        if days < 1:
            raise OutOfRange(
                f"{function}: at an age of {age} days these plants are past their last stage. Give `days`."
            )
    sentence = f"{function}: a season has 1 to 3660 whole days, a plain number; {{value!r}} is not possible."
    dates = day_of(start) + np.arange(whole_number(days, 1, 3660, sentence)) * ONE_DAY
    fill = _fill_level(tank, fill_level, function)
    hole = (
        tank._height
        if overflow_height is None
        else one_value(overflow_height, "m", "overflow_height", function)
    )
    filled, brim = (float(tank.volume(Q(height, "m")).m_as("L")) for height in (fill, hole))
    if brim < filled:
        raise OutOfRange(
            f"{function}: the overflow hole at {hole * 100:.4g} cm lies below the fill line at {fill * 100:.4g} cm; "
            f"{filled - brim:.3g} L would run out at once. Raise the hole or fill less."
        )
    day = np.arange(age + 1, age + len(dates) + 1)
    canopy = sum(_canopy(group) * crop_coefficient(group.crop, day) for group in groups)
    deep = {
        key: min(number("budget", "tank", f"{key} depth", "m"), tank._height)
        for key in ("unusable", "shortage")
    }
    unusable, shortage = (float(tank.volume(Q(deep[key], "m")).m_as("L")) for key in ("unusable", "shortage"))
    return Setting(
        dates=dates,
        filled=filled,
        brim=brim,
        unusable=unusable,
        shortage=shortage,
        least_uptake=number("budget", "tank", "least uptake", "1"),
        stop_share=load("budget")["stop", "share left"],
        canopy=canopy,
        catch=float(tank.lid_area.m_as("m^2")),
        top_ups=_top_ups(top_ups or {}, dates, function),
        exposure=_factor("exposure", cover, factors["exposure"], function, 10),
        rain_share=_factor("rain share", cover, factors["rain_share"], function, 1),
        coefficient_factor=_factor(
            "coefficient factor", "plants", factors["coefficient_factor"], function, 10
        ),
    )


def plant_groups(plants: Any) -> list[Any]:
    groups = list(plants) if isinstance(plants, Iterable) and not isinstance(plants, str) else [plants]
    if not groups:
        raise Problem("A water budget needs plants, such as Plants(crop('lettuce'), 6).")
    for group in groups:
        if not hasattr(group, "crop") or not hasattr(group, "count"):
            raise Problem(f"{group!r} is not a number of plants. Write Plants(crop('lettuce'), 6).")
    return groups


def _canopy(group: Any) -> float:
    area = group.crop.canopy_area
    if area is None:
        raise Problem(f"{group.crop.name}: no canopy area is known, so its use of water cannot be computed.")
    return group.count * magnitude(area, "m^2", "canopy_area", group.crop.name)


def _fill_level(tank: Tank, fill_level: Any, function: str) -> float:
    if fill_level is None:
        from stilltank.science.roots import fill_level as usual

        fill_level = usual(tank)
    level = one_value(fill_level, "m", "fill_level", function)
    within(
        100 * level,
        1e-4,
        100 * tank._height,
        f"{function}: a fill level of {{value:.4g}} cm; this tank is {tank._height * 100:.4g} cm high. Fill it to "
        "somewhere above the floor and up to the rim.",
    )
    return level


def _top_ups(top_ups: Mapping[Any, Any], dates: Any, function: str) -> Any:
    litres = np.zeros(len(dates))
    if not isinstance(top_ups, Mapping):
        raise Problem(
            f'{function}: top-ups are written as {{"2027-06-01": Q(3, "L")}}, a date and a volume each.'
        )
    for when, volume in top_ups.items():
        day = int((day_of(when) - dates[0]).astype(int))
        if not 0 <= day < len(dates):
            raise OutOfRange(
                f"{function}: a top-up on {when} lies outside the season, {dates[0]} to {dates[-1]}."
            )
        amount = one_value(volume, "L", "top_ups", function)
        within(amount, 0, np.inf, f"{function}: a top-up of {{value:g}} L on {when} is not possible.")
        litres[day] += amount
    return litres


def _factor(prop: str, item: str, given: Any, function: str, high: float) -> Entry | float:
    if given is None:
        return load("budget")[item, prop]
    name = prop.replace(" ", "_")
    plain = one_value(given, "dimensionless", name, function)
    within(
        plain,
        0,
        high,
        f"{function}: {name} {{value:g}} is not possible; write 0 to {high:g}, such as Q({high * 50:g}, 'percent').",
    )
    return plain


def first_date(start: Any, record: Weather | None, function: str) -> Any:
    """The start as given, or the first day of the record."""
    if start is not None:
        return start
    if record is None:
        raise Problem(f'{function} needs a start, such as "2019-05-10", or a weather whose first day it is.')
    return record.dates[0]


def given_et(reference_et: Any, days: int, function: str) -> Any:
    """A demand that is given rather than computed, as plain mm, one value a day."""
    plain = magnitude(reference_et, "mm/day", "reference_et", function)
    within(plain, 0, 30, f"{function}: a reference evapotranspiration of {{value:g}} mm/day; write 0 to 30.")
    if np.ndim(plain) and np.shape(plain) != (days,):
        raise Problem(
            f"{function}: {np.size(plain)} values of reference_et for {days} days. Give one, or one a day."
        )
    return np.broadcast_to(plain, (days,))


def resample(rng: Any, record: Weather, dates: Any, members: int) -> Any:
    """Row numbers of the record for seasons on ``dates``, [members, days]; see `ensemble` for how."""
    block, window = (int(number("budget", "ensemble", key, "day")) for key in ("block length", "window"))
    rows = np.empty((members, len(dates)), dtype=int)
    for begin in range(0, len(dates), block):
        length = min(block, len(dates) - begin)
        anchors = rows_of_day(record, str(dates[begin])[5:])
        choices = (anchors[:, None] + np.arange(-window, window + 1)).ravel()
        choices = choices[(choices >= 0) & (choices + length <= record.days)]
        if not choices.size:
            raise Problem(
                f"The record {record.name or 'given'} has no days near {str(dates[begin])[5:]} to draw from; it runs "
                f"from {record.dates[0]} to {record.dates[-1]}. Take a record that covers the season."
            )
        first = choices[rng.integers(0, choices.size, members)]
        rows[:, begin : begin + length] = first[:, None] + np.arange(length)
    return rows


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


def drowned_days(tank: Tank, setting: Setting, tended: Tended, heights: LevelTable) -> Any:
    """True for each season and day on which roots that live in moist air are drowned, [seasons, days]."""
    levels, peaks = heights.level(tended.volume), heights.level(np.maximum(tended.peak, tended.volume))
    pots = tank._height - float(tank.net_pot_depth.m_as("m"))
    return above_refill_limit(float(heights.level(setting.filled)), levels, peaks, pots)
