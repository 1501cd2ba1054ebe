"""The panels of chapter 4: the tank day by day, oxygen over depth and through a season, a refill, one's own k."""

from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import numpy as np

from stilltank.science import budget, crops, oxygen, roots, tank, weather
from stilltank.show.panels import ExplorePanel, Number, PartDrawn, Pick, Scale, explore
from stilltank.tables import load
from stilltank.units import Problem, Q, whole_number, write

from .figures import (
    OxygenDepth,
    OxygenSeason,
    RecoveryFit,
    RefillColumns,
    RootSection,
    StillAndMixed,
)

_TUB = "quillgate-tub"
_WARM = Number(
    "temperature", "Temperature of the solution", 25, Scale("degC", 10, 35, 1), Scale("degF", 50, 95, 1)
)


@cache
def _tub() -> tank.Tank:
    return tank.preset(_TUB)


def zones_panel() -> ExplorePanel:
    """The tank day by day: level, air zone and roots, with nothing added, a full refill, or all the rain."""
    start, length, refilled = "2019-05-10", 80, 49

    @lru_cache(maxsize=16)
    def season(count: Any, happens: str) -> roots.RootCourse:
        plants, site = crops.Plants(crops.crop("basil"), count), weather.site("quillgate")
        given: dict[str, Any] = {"start": start, "days": length}
        if happens == "storm":
            given["rain_share"] = Q(100, "percent")
        water = budget.season(_tub(), plants, site, **given)
        if happens == "refill":
            missing = water.attrs["filled (L)"] - water["volume (L)"].iloc[refilled - 1]
            top_ups = {water.index[refilled].date(): Q(max(missing, 0.0), "L")}
            water = budget.season(_tub(), plants, site, **given, top_ups=top_ups)
        return roots.root_course(_tub(), water)

    def calculate(count: Any, happens: str, day: Any) -> tuple[roots.RootCourse, int]:
        sentence = f"A day is a whole number here, 1 to {length}; {{value:g}} is not."
        return season(count, happens), whole_number(day.m_as("day"), 1, length, sentence)

    def key(result: tuple[roots.RootCourse, int], system: str) -> str:
        course, day = result
        share = 100 * float(course.share.magnitude[day - 1])
        drowned = course.drowned[day - 1]
        if drowned > Q(0.1, "cm"):
            return f"{write(drowned, system, digits=2)} of air roots are drowned"
        return (
            f"{write(course.air_zone[day - 1], system, digits=2)} of air, {share:.0f} % of the oxygen from it"
        )

    events = [
        ("nothing is added", "nothing"),
        (f"filled up on day {refilled + 1}", "refill"),
        ("all rain on the lid gets in", "storm"),
    ]
    return explore(
        "The tank day by day",
        [
            Number("count", "Basil plants in the tank", 4, Scale("1", 1, 12, 1), place="plants"),
            Pick("happens", "What happens", "nothing", events),
            Number("day", "Time since planting", 50, Scale("day", 1, length, 1), place="view"),
        ],
        calculate,
        lambda system, large: PartDrawn(
            RootSection(system, large), lambda figure, result: figure.show(_tub(), *result)
        ),
        key,
    )


def oxygen_panel() -> ExplorePanel:
    """Oxygen over depth: quite still water, and mixed water under a film."""

    def calculate(depth: Any, demand: Any, temperature: Any, film: Any) -> StillAndMixed:
        each = demand / depth
        deep = np.linspace(0, 1, 121) * depth
        surface = oxygen.saturation(temperature)
        return StillAndMixed(
            oxygen.profile(deep, surface, depth, temperature, demand=each),
            oxygen.steady_mixed_oxygen(each, depth, temperature, film),
        )

    def key(found: StillAndMixed, system: str) -> str:
        reach = write(found.profile.reaches, system, digits=2)
        return f"Still: reaches {reach}; mixed: {found.mixed.m_as('mg/L'):.1f} mg/L"

    return explore(
        "Oxygen over depth",
        [
            Number(
                "depth", "Depth of the solution", 14, Scale("cm", 2, 30, 1), Scale("inch", 1, 12, 0.5), "tank"
            ),
            Number(
                "demand",
                "Roots ask for, on each m²",
                2.0,
                Scale("g/m^2/day", 0.2, 6, 0.2),
                place="plants",
            ),
            _WARM,
            _film_control(),
        ],
        calculate,
        OxygenDepth,
        key,
    )


def _film_control() -> Number:
    entry = load("oxygen")["film", "coefficient"]
    usual, least, most = (float(end.m_as("m/day")) for end in (entry.quantity, *entry.range))
    return Number("film", "Film coefficient k", usual, Scale("m/day", least, most, 0.05))


def breathing_panel() -> ExplorePanel:
    """The lowest oxygen of each day through a crop of lettuce, for a film coefficient nobody has measured."""
    days = np.arange(1, 43)
    tub = tank.Box(Q(60, "cm"), Q(40, "cm"), Q(14, "cm"), net_pot_depth=Q(3, "cm"))
    falling, held = Q(np.linspace(13, 3, days.size), "cm"), Q(np.full(days.size, 13.0), "cm")
    ends, limit = _film_control().metric, load("oxygen")["critical", "no effect seen"].quantity

    @cache
    def share() -> Any:
        return roots.root_course(tub, falling).share.magnitude

    def calculate(way: str, temperature: Any, film: Any) -> tuple[oxygen.OxygenCourse, Any, Any]:
        films = Q([ends.low, film.m_as("m/day"), ends.high], "m/day")
        demand = roots.oxygen_demand(Q(days, "day"), temperature)
        depth = held if way == "held" else falling
        wet = demand if way == "held" else demand * (1 - share())
        many = Q(np.broadcast_to(depth.magnitude, (3, days.size)), "cm")
        column = oxygen.WaterColumn(depth=many, temperature=temperature, demand=wet, film_coefficient=films)
        return oxygen.mixed_water(column), films, limit

    def key(result: tuple[oxygen.OxygenCourse, Any, Any], system: str) -> str:
        course = result[0]
        least = float(course.lowest.m_as("mg/L")[1].min())
        first = float(course.first_below(limit).m_as("day")[1])
        when = "" if np.isinf(first) else f", below {write(limit)} from day {first:.0f} on"
        return f"Falls to {least:.1f} mg/L{when}"

    ways = [
        ("falls, and roots live in the air above", "falling"),
        ("is held, and all roots stay in it", "held"),
    ]
    return explore(
        "Oxygen through a crop of lettuce",
        [Pick("way", "The solution", "falling", ways, "tank"), _WARM, _film_control()],
        calculate,
        lambda system, large: PartDrawn(
            OxygenSeason(system, large), lambda figure, result: figure.show(*result)
        ),
        key,
    )


def refill_panel() -> ExplorePanel:
    """What a refill does to the air zone and to the roots in it."""

    def calculate(level: Any, rise: Any) -> roots.Refill:
        return roots.refill(_tub(), level, rise)

    def key(found: roots.Refill, system: str) -> str:
        verdict = "too far" if found.too_far else "within the limit"
        return f"{write(found.volume, system, digits=2)} raise it {write(found.rise, system, digits=2)}: {verdict}"

    return explore(
        "A refill",
        [
            Number("level", "Level now", 12, Scale("cm", 3, 22, 0.5), Scale("inch", 1.25, 8.5, 0.25), "tank"),
            Number("rise", "Raise it by", 5, Scale("cm", 0.5, 7, 0.5), Scale("inch", 0.25, 2.75, 0.25)),
        ],
        calculate,
        lambda system, large: PartDrawn(
            RefillColumns(system, large), lambda figure, found: figure.show(_tub(), found)
        ),
        key,
    )


def film_panel() -> ExplorePanel:
    """The film coefficient from readings of one's own, or from those of Quillgate."""
    own = sorted(path.name for path in Path().glob("my-recovery*.csv"))
    files = [("Quillgate's, invented", ""), *((f"your own, {name}", name) for name in own)]
    choice = [Pick("trial", "Readings", "", files)] if own else []

    @lru_cache(maxsize=8)
    def read(name: str) -> oxygen.ReaerationReadings:
        return oxygen.reaeration_readings(name or None)

    def calculate(depth: Any, first: Any, last: Any, trial: str = "") -> tuple[Any, ...]:
        readings = read(trial)
        used = (readings.time >= first) & (readings.time <= last)
        if not used.any():
            raise Problem(
                "No reading lies between these two times. Set the last one later, or the first earlier."
            )
        fit = oxygen.fit_film_coefficient(
            readings.time[used], readings.concentration[used], depth, readings.temperature[used]
        )
        return readings, fit, depth, used

    def key(result: tuple[Any, ...], system: str) -> str:
        k, low, high = (
            value.m_as("m/day") for value in (result[1].coefficient, result[1].low, result[1].high)
        )
        return f"k = {k:.2g} m/day, {low:.2g} to {high:.2g}"

    return explore(
        "Your own k",
        [
            Number(
                "depth",
                "Depth of the water",
                13,
                Scale("cm", 4, 40, 0.5),
                Scale("inch", 1.5, 16, 0.25),
                "tank",
            ),
            *choice,
            Number("first", "Readings from", 0, Scale("hour", 0, 12, 1), place="view"),
            Number("last", "Readings up to", 30, Scale("hour", 15, 48, 1), place="view"),
        ],
        calculate,
        lambda system, large: PartDrawn(
            RecoveryFit(system, large), lambda figure, result: figure.show(*result)
        ),
        key,
    )
