"""The panels of chapter 4: the tank day by day, oxygen over depth and through a season, a refill, one's own k."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import cache, lru_cache
from pathlib import Path

import numpy as np
from pint import Quantity

from stilltank.science import budget, crops, oxygen, roots, tank, weather
from stilltank.season import pictures
from stilltank.season.plan import Plan
from stilltank.show.figures import Picture, rise_text
from stilltank.show.panels import Exploration, Number, Pick, Scale
from stilltank.tables import load, number
from stilltank.units import Problem, Q, whole_degrees, whole_number, write, write_range

from .figures import (
    HotDays,
    OxygenDepth,
    OxygenSeason,
    RecoveryFit,
    RefillColumns,
    RootSection,
    StillAndMixed,
    limit_word,
)

_TUB = "quillgate-tub"
_WARM = Number(
    "temperature", "Temperature of the solution", 25, Scale("degC", 10, 45, 1), Scale("degF", 50, 113, 1)
)


@cache
def _tub() -> tank.Tank:
    return tank.preset(_TUB)


_Day = tuple[tank.Tank, roots.RootCourse, int]
_START, _LENGTH = date(2019, 5, 10), 80  # of the demo, in the weather of a year on record
_REFILLED = 49 / 80  # of the season is over when a full refill comes


def _length(plan: Plan | None) -> int:
    """Days of the season."""
    return plan.outlook.days if plan else _LENGTH


def _refill_day(plan: Plan | None) -> int:
    """Days that are over when a full refill comes."""
    return round(_REFILLED * _length(plan))


def _zones_controls(plan: Plan | None) -> list[Number | Pick]:
    length = _length(plan)
    count = Number("count", "Basil plants in the tank", 3, Scale("1", 1, 12, 1), place="plants")
    if plan:
        label = f"Plants in the tank, {plan.plants.crop.spoken}"
        count = replace(count, label=label).starting(plan.plants.count)
    events = [
        ("nothing is added", "nothing"),
        (f"filled up on day {_refill_day(plan) + 1}", "refill"),
        ("all rain on the lid gets in", "storm"),
    ]
    return [
        count,
        Pick("happens", "What happens", "nothing", events),
        Number(
            "day", "Time since planting", round(length * 50 / 80), Scale("day", 1, length, 1), place="view"
        ),
    ]


def _on_record(plan: Plan) -> date:
    """The start of a plan in the last year for which its weather record holds the whole season."""
    record = plan.site.weather
    assert record is not None  # a plan has a record
    first, last = (day.astype(date) for day in (record.dates[0], record.dates[-1]))
    day = min(plan.start.day, 28) if plan.start.month == 2 else plan.start.day
    for year in range(last.year, first.year - 1, -1):
        start = date(year, plan.start.month, day)
        if first <= start and start + timedelta(days=_length(plan) - 1) <= last:
            return start
    raise Problem(
        f"No year of the record {record.name or 'of this plan'} holds the whole season from "
        f"{plan.start.day} {plan.start:%B} on. Choose a record of at least a whole year, or begin with the demo."
    )


@lru_cache(maxsize=16)
def _course(count: float, happens: str, plan: Plan | None) -> roots.RootCourse:
    of, crop, site, start = (
        (plan.outlook.pots.tank, plan.outlook.plants.crop, plan.site, _on_record(plan))
        if plan
        else (_tub(), crops.crop("basil"), weather.site("quillgate"), _START)
    )
    plants = crops.Plants(crop, count)  # type: ignore[arg-type]
    rain = Q(100, "percent") if happens == "storm" else None
    water = budget.season(of, plants, site, start=start, days=_length(plan), rain_share=rain)
    if happens == "refill":
        done = _refill_day(plan)
        missing = water.filled.m_as("L") - water.table["volume (L)"].iloc[done - 1]
        top_up = {water.table.index[done].date(): Q(max(missing, 0.0), "L")}
        water = budget.season(of, plants, site, start=start, days=_length(plan), top_up=top_up)
    return roots.root_course(of, water.levels)


def _zones(count: float, happens: str, day: Quantity, plan: Plan | None) -> _Day:
    length = _length(plan)
    sentence = f"A day is a whole number here, 1 to {length}; {{value:g}} is not."
    chosen = whole_number(day.m_as("day"), 1, length, sentence)
    return plan.outlook.pots.tank if plan else _tub(), _course(count, happens, plan), chosen


def _zones_key(result: _Day, system: str) -> str:
    _, course, day = result
    share = 100 * float(course.share.magnitude[day - 1])
    submerged = course.submerged[day - 1]
    if submerged > Q(0.1, "cm"):
        return f"{write(submerged, system, digits=2)} of air roots go under water"
    return f"{write(course.air_zone[day - 1], system, digits=2)} of air, {share:.0f} % of the oxygen from it"


def _show_zones(figure: RootSection, result: _Day) -> Picture:
    return figure.show(*result)


def _plan_itself(plan: Plan | None) -> Mapping[str, object]:
    return {"plan": plan}


zones_panel = Exploration(
    "The tank day by day",
    _zones_controls,
    _zones,
    RootSection,
    _zones_key,
    _show_zones,
    given=_plan_itself,
)
"""The tank day by day: level, air zone and roots, with nothing added, a full refill, or all the rain."""


def _film() -> Number:
    entry = load("oxygen")["film", "coefficient"]
    usual, least, most = (float(end.m_as("m/day")) for end in (entry.quantity, *entry.range))
    return Number("film", "Film coefficient k", usual, Scale("m/day", least, most, 0.05))


def _oxygen_controls(plan: Plan | None) -> list[Number | Pick]:
    depth = Number(
        "depth", "Depth of the solution", 14, Scale("cm", 2, 30, 1), Scale("inch", 1, 12, 0.5), "tank"
    )
    demand = Number(
        "demand", "Roots ask for, on each m²", 2.0, Scale("g/m^2/day", 0.2, 6, 0.2), place="plants"
    )
    return [
        depth.starting(plan.outlook.fill_level, rounded=True) if plan else depth,
        demand,
        _WARM,
        _film(),
    ]


def _oxygen(depth: Quantity, demand: Quantity, temperature: Quantity, film: Quantity) -> StillAndMixed:
    each = demand / depth
    deep = np.linspace(0, 1, 121) * depth
    known, too_warm = oxygen.warmest_known(temperature)
    return StillAndMixed(
        oxygen.profile(deep, oxygen.saturation(known), depth, known, demand=each),
        oxygen.steady_mixed_oxygen(each, depth, known, film),
        bool(too_warm),
    )


def _oxygen_key(found: StillAndMixed, system: str) -> str:
    reach = write(found.profile.reaches, system, digits=2)
    most = "at most " if found.at_most else ""
    return f"Still: reaches {reach}; mixed: {most}{found.mixed.m_as('mg/L'):.1f} mg/L"


oxygen_panel = Exploration("Oxygen over depth", _oxygen_controls, _oxygen, OxygenDepth, _oxygen_key)
"""Oxygen over depth: quite still water, and mixed water under a film."""

_Breathing = tuple[oxygen.OxygenCourse, Quantity, Quantity, bool]
_DAYS = np.arange(1, 43)  # of a crop of lettuce
_WAYS = (
    ("falls, and roots live in the air above", "falling"),
    ("is held, and all roots stay in it", "held"),
)


@cache
def _falling() -> Quantity:
    return Q(np.linspace(13, 3, _DAYS.size), "cm")


@cache
def _share_in_air() -> Quantity:
    """Share of the roots in the air, day by day, in a model tank whose level falls."""
    tub = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(14, "cm"), net_pot_depth=Q(3, "cm"))
    return roots.root_course(tub, _falling()).share.magnitude


def _breathing_controls(plan: Plan | None) -> list[Number | Pick]:
    return [Pick("way", "The solution", "falling", _WAYS, "tank"), _WARM, _film()]


def _breathing(way: str, temperature: Quantity, film: Quantity) -> _Breathing:
    ends, limit = _film().metric, load("oxygen")["critical", "no effect seen"].quantity
    films = Q([ends.low, film.m_as("m/day"), ends.high], "m/day")
    known, too_warm = oxygen.warmest_known(temperature)
    demand = roots.oxygen_demand(Q(_DAYS, "day"), known)
    depth = Q(np.full(_DAYS.size, 13.0), "cm") if way == "held" else _falling()
    wet = demand if way == "held" else demand * (1 - _share_in_air())
    many = Q(np.broadcast_to(depth.magnitude, (3, _DAYS.size)), "cm")
    column = oxygen.WaterColumn(depth=many, temperature=known, demand=wet, film_coefficient=films)
    return oxygen.mixed_water(column), films, limit, bool(too_warm)


def _breathing_key(result: _Breathing, system: str) -> str:
    course, _, limit, at_most = result
    least = float(course.lowest.m_as("mg/L")[1].min())
    first = float(course.first_below(limit).m_as("day")[1])
    when = "" if np.isinf(first) else f", below {write(limit)} from day {first:.0f} on"
    return f"Falls to {'at most ' * at_most}{least:.1f} mg/L{when}"


def _show_breathing(figure: OxygenSeason, result: _Breathing) -> Picture:
    return figure.show(*result)


breathing_panel = Exploration(
    "Oxygen through a crop of lettuce",
    _breathing_controls,
    _breathing,
    OxygenSeason,
    _breathing_key,
    _show_breathing,
    alone="This panel follows one model tank, 60 by 40 cm and 13 cm deep, with lettuce: how fast roots breathe was "
    "measured for no other crop here. It takes nothing from your plan.",
)
"""The lowest oxygen of each day through a crop of lettuce, for a film coefficient nobody has measured."""

_Refilled = tuple[tank.Tank, roots.Refill]


def _refill_controls(plan: Plan | None) -> list[Number | Pick]:
    metric, us = Scale("cm", 3, 22, 0.5), Scale("inch", 1.25, 8.5, 0.25)
    rises, us_rises = Scale("cm", 0.5, 7, 0.5), Scale("inch", 0.25, 2.75, 0.25)
    level = Number("level", "Level now", 12, metric, us, "tank")
    rise = Number("rise", "Raise it by", 5, rises, us_rises)
    if plan is None:
        return [level, rise]
    pots = plan.outlook.pots.tank.net_pot_depth
    clear = plan.tank.height - pots
    level = replace(level, metric=metric.upto(clear), us=us.upto(clear))
    rise = replace(rise, metric=rises.upto(pots), us=us_rises.upto(pots))
    part = number("plan", "panel", "part of the clear height", "1")
    half = Q(round(part * clear.m_as("cm"), 1), "cm")
    now = min(plan.reading.level, clear) if plan.reading else half
    return [level.starting(now), replace(rise, value=min(5.0, rise.metric.high))]


def _tank_of(plan: Plan | None) -> Mapping[str, object]:
    return {"of": plan.outlook.pots.tank if plan else _tub()}


def _refill(level: Quantity, rise: Quantity, of: tank.Tank) -> _Refilled:
    return of, roots.refill(of, level, rise)


def _refill_key(result: _Refilled, system: str) -> str:
    _, found = result
    verdict = f"{'above' if found.too_far else 'within'} the {limit_word(found)}"
    rise = rise_text(found.rise, found.limit.rise, system)
    return f"{write(found.volume, system, digits=2)} raise it {rise}: {verdict}"


def _show_refill(figure: RefillColumns, result: _Refilled) -> Picture:
    return figure.show(*result)


refill_panel = Exploration(
    "A refill", _refill_controls, _refill, RefillColumns, _refill_key, _show_refill, given=_tank_of
)
"""What a refill does to the air zone and to the roots in it."""

_Heated = tuple[roots.SolutionTemperature, date]
_COLOURS = [(words, name) for name, words in pictures.COLOURS.items()]


def _warmth_controls(plan: Plan | None) -> list[Number | Pick]:
    level = Number(
        "level", "Level of the solution", 15, Scale("cm", 4, 25, 0.5), Scale("inch", 1.5, 10, 0.25), "tank"
    )
    leaves = Number(
        "leaves",
        "Leaf area over the lid (0: bare)",
        number("plan", "panel", "leaf area", "1"),
        Scale("1", 0, 5, 0.5),
        place="plants",
    )
    shade = Number("shade", "Shade cloth", 0, Scale("percent", 0, 90, 10), place="weather")
    colour = Pick("colour", "Lid and walls", "dark", _COLOURS, "tank")
    if plan is None:
        return [colour, level, leaves, shade]
    full = plan.outlook.fill_level
    level = replace(level, metric=level.metric.upto(full), us=(level.us or level.metric).upto(full))
    part = number("plan", "panel", "part of the level", "1")
    return [
        replace(colour, value=plan.colour),
        level.starting(plan.reading.level if plan.reading else Q(round(part * full.m_as("cm"), 1), "cm")),
        leaves,
        shade.starting(Q(100 * plan.shade, "percent")),
    ]


@lru_cache(maxsize=4)
def _warm_days(site: weather.Site) -> weather.Site:
    """The place in the warmest days on its record."""
    record = site.weather
    assert record is not None  # a plan has a record, and so has Quillgate
    days = min(int(number("plan", "panel", "warm days", "day")), record.days)
    mean = (record.temperature_max.m_as("degC") + record.temperature_min.m_as("degC")) / 2
    first = int(np.argmax(np.convolve(mean, np.ones(days), "valid")))
    return replace(site, weather=record.between(record.dates[first], record.dates[first + days - 1]))


def _sunny(plan: Plan | None) -> Mapping[str, object]:
    return {**_tank_of(plan), "site": _warm_days(plan.site if plan else weather.site("quillgate"))}


def _heated(
    colour: str, level: Quantity, leaves: float, shade: Quantity, of: tank.Tank, site: weather.Site
) -> _Heated:
    assert site.weather is not None
    found = roots.solution_temperature(
        of, level, site, colour=colour, leaf_area=leaves, shade=float(shade.m_as("dimensionless"))
    )
    return found, site.weather.dates[0].astype(date)


def _heated_key(result: _Heated, system: str) -> str:
    found = result[0]
    low, usual, high = (
        whole_degrees(Q(float(each.m_as("degC").max()), "degC"), system)
        for each in (found.low, found.water, found.high)
    )
    return f"Hottest hour: {write(usual, system)} ({write_range(low, high, system)})"


def _show_heated(figure: HotDays, result: _Heated) -> Picture:
    return figure.show(*result)


warmth_panel = Exploration(
    "How warm does the solution get?",
    _warmth_controls,
    _heated,
    HotDays,
    _heated_key,
    _show_heated,
    given=_sunny,
)
"""The solution in the warmest days on record, with the colour of the tub, leaves, shade cloth and depth."""

_Recovery = tuple[oxygen.ReaerationReadings, oxygen.FilmFit, Quantity, np.ndarray]


def _film_controls(plan: Plan | None) -> list[Number | Pick]:
    """The readings of Quillgate, and those in this folder, where there are any."""
    own = sorted(path.name for path in Path().glob("my-recovery*.csv"))
    files = [("Quillgate's, invented", ""), *((f"your own, {name}", name) for name in own)]
    depth = Number(
        "depth", "Depth of the water", 13, Scale("cm", 4, 40, 0.5), Scale("inch", 1.5, 16, 0.25), "tank"
    )
    return [
        depth,
        *([Pick("trial", "Readings", "", files)] if own else []),
        Number("first", "Readings from", 0, Scale("hour", 0, 12, 1), place="view"),
        Number("last", "Readings up to", 30, Scale("hour", 15, 48, 1), place="view"),
    ]


@cache
def _demo_readings() -> oxygen.ReaerationReadings:
    return oxygen.reaeration_readings()


def _fit(depth: Quantity, first: Quantity, last: Quantity, trial: str = "") -> _Recovery:
    readings = oxygen.reaeration_readings(trial) if trial else _demo_readings()
    used = (readings.time >= first) & (readings.time <= last)
    if not used.any():
        raise Problem(
            "No reading lies between these two times. Set the last one later, or the first earlier."
        )
    fit = oxygen.fit_film_coefficient(
        readings.time[used], readings.concentration[used], depth, readings.temperature[used]
    )
    return readings, fit, depth, used


def _fit_key(result: _Recovery, system: str) -> str:
    fit = result[1]
    k, low, high = (value.m_as("m/day") for value in (fit.coefficient, fit.low, fit.high))
    return f"k = {k:.2g} m/day, {low:.2g} to {high:.2g}"


def _show_fit(figure: RecoveryFit, result: _Recovery) -> Picture:
    return figure.show(*result)


film_panel = Exploration(
    "Your own k",
    _film_controls,
    _fit,
    RecoveryFit,
    _fit_key,
    _show_fit,
    alone="This panel takes the depth of the water in which you took the readings, and nothing from your plan.",
)
"""The film coefficient from readings of one's own, or from those of Quillgate."""
