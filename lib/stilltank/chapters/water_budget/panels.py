"""The panels of chapter 3: the level through the season, a storm, two ways of topping up, a tank left alone."""

from dataclasses import replace
from functools import cache, lru_cache
from typing import Any

from stilltank.science import budget, crops, hydraulics, tank, weather
from stilltank.science.budget import comparison
from stilltank.season.pictures import COVERS, season_picture
from stilltank.season.plan import Plan
from stilltank.show.figures import SeasonLevel, short_day
from stilltank.show.panels import (
    ExplorePanel,
    Number,
    PartDrawn,
    Pick,
    Scale,
    explore,
    known_crops,
    ready_made_tanks,
)
from stilltank.units import Q, whole_number, write

from .figures import LevelLeftAlone, StormCourse, TwoLevelCourses

_TUB = "quillgate-tub"
_DAY = "2027-05-10"
_SITES = {"quillgate": "Quillgate", "new-york": "New York City", "seattle": "Seattle"}
_PLACES = [
    (f"{name}, {COVERS[cover]}", (site, cover)) for site, name in _SITES.items() for cover in ("open", "roof")
]
_PLANTS = Number("count", "Plants in the tank", 4, Scale("1", 1, 12, 1), place="plants")
_DAYS = [
    (words, f"2027-{month:02}-10")
    for month, words in enumerate(("10 May", "10 June", "10 July", "10 August", "10 September"), start=5)
]


@cache
def _site(place: tuple[str, str]) -> weather.Site:
    name, cover = place
    return replace(weather.site(name), cover=cover)


def _place() -> Pick:
    return Pick("place", "The tank stands", ("quillgate", "open"), _PLACES, "weather")


def level_panel() -> ExplorePanel:
    """The level through a season, with its range, for a tank, a crop and a place."""

    @lru_cache(maxsize=64)
    def calculate(tank: str, crop: str, count: Any, place: tuple[str, str]) -> Plan:
        return Plan.make(tank, crop, _site(place), start=_DAY, count=count)

    def key(plan: Plan, system: str) -> str:
        lasting = 1 - plan.season.share_of("stop")
        return f"The water lasts to the end in {100 * lasting:.0f} of 100 seasons"

    return explore(
        "The level through the season",
        [
            Pick("tank", "Tank", _TUB, ready_made_tanks(), "tank"),
            Pick("crop", "Crop", "basil", known_crops(), "plants"),
            _PLANTS,
            _place(),
        ],
        calculate,
        lambda system, large: PartDrawn(
            SeasonLevel(system, large), lambda figure, plan: season_picture(plan, system, figure)
        ),
        key,
    )


def storm_panel() -> ExplorePanel:
    """A storm over a tank whose pots hang clear: with the overflow hole open, and blocked."""
    tub = tank.preset(_TUB)
    level, hole = Q(16, "cm"), Q(17, "cm")

    def calculate(lid: str, diameter: Any, intensity: Any, duration: Any) -> tuple[Any, Any]:
        rain = hydraulics.Rain(intensity=intensity, duration=duration)
        given = hydraulics.Hole(height=hole, diameter=diameter)
        return hydraulics.blocked_hole(tub, level, rain, given, lid), given

    def key(result: tuple[Any, Any], system: str) -> str:
        rises = [write(storm.rise, system, digits=2) for storm in result[0]]
        return f"Rises {rises[0]}; {rises[1]} with the hole blocked"

    lids = [
        ("lid with gaps around the pots", "gaps"),
        ("lid with a rim that drains inside", "rimmed"),
        ("no lid", "off"),
        ("tight or sloped lid", "tight"),
    ]
    return explore(
        "A storm and the overflow hole",
        [
            Pick("lid", "Lid", "gaps", lids, "tank"),
            Number(
                "diameter",
                "Overflow hole",
                12,
                Scale("mm", 3, 25, 1),
                Scale("inch", 0.125, 1, 0.0625),
                "tank",
            ),
            Number(
                "intensity",
                "Rain in an hour",
                50,
                Scale("mm/hour", 5, 150, 5),
                Scale("inch/hour", 0.25, 6, 0.25),
                "weather",
            ),
            Number("duration", "The storm lasts", 2, Scale("hour", 0.5, 6, 0.5), place="weather"),
        ],
        calculate,
        lambda system, large: PartDrawn(
            StormCourse(system, large),
            lambda figure, result: figure.show(*result, tub.height),
        ),
        key,
    )


def strategies_panel() -> ExplorePanel:
    """Two ways of topping up one tank, over the same seasons."""
    tub = tank.preset(_TUB)
    ways = {
        "none": comparison.nothing(),
        "little": comparison.by_hand(2, rise=Q(1, "cm"), name="by hand every 2 days, at most 1 cm"),
        "weekly": comparison.by_hand(7, rise=Q(2, "cm"), name="by hand every 7 days, at most 2 cm"),
        "refill": comparison.by_hand(
            14, Q(25, "cm"), Q(25, "cm"), name="by hand every 14 days, to the first level"
        ),
        "valve": comparison.float_valve(Q(15, "cm"), name="float valve, holds 15 cm"),
        "drip": comparison.drip(Q(2, "L/hour"), Q(15, "minute"), name="drip, half a litre a day"),
    }
    names = [(way.name, key) for key, way in ways.items()]

    @lru_cache(maxsize=64)
    def calculate(first: str, second: str, count: Any, place: tuple[str, str]) -> Any:
        return comparison.compare(
            tub,
            crops.Plants(crops.crop("basil"), count),
            _site(place),
            [ways[name] for name in dict.fromkeys((first, second))],
            start=_DAY,
        )

    def key(table: Any, system: str) -> str:
        drown = " and ".join(f"{share:.0f}" for share in table["drowned roots (%)"])
        dry = " and ".join(f"{share:.0f}" for share in table["runs dry (%)"])
        return f"Dry in {dry}, roots drown in {drown} of 100 seasons"

    return explore(
        "Two ways to top up",
        [
            Pick("first", "One way", "none", names, "tank"),
            Pick("second", "Another way", "refill", names, "tank"),
            replace(_PLANTS, label="Basil plants in the tank", value=5),
            _place(),
        ],
        calculate,
        lambda system, large: PartDrawn(
            TwoLevelCourses(system, large), lambda figure, table: figure.show(tub, table)
        ),
        key,
    )


def away_panel() -> ExplorePanel:
    """How long a tank may be left alone from a level and an age on."""
    tub = tank.preset(_TUB)

    oldest = 77  # days

    @lru_cache(maxsize=64)
    def look(level: float, count: Any, age: int, day: str) -> budget.LatestLook:
        return budget.latest_look(
            tub,
            crops.Plants(crops.crop("basil"), count),
            _site(("quillgate", "open")),
            start=day,
            level=Q(level, "cm"),
            age=age,
        )

    def calculate(level: Any, count: Any, age: Any, day: str) -> budget.LatestLook:
        sentence = f"A day is a whole number here, 0 to {oldest}; {{value:g}} is not."
        return look(level.m_as("cm"), count, whole_number(age.m_as("day"), 0, oldest, sentence), day)

    def key(found: budget.LatestLook, system: str) -> str:
        if found.date is None:
            return "Look today"
        if found.ends:
            return f"The water lasts to the end, {short_day(found.date)}"
        return f"Look by {short_day(found.date)}: {write(Q(found.days, 'day'))}"

    return explore(
        "How long can I leave it?",
        [
            Number(
                "level", "Level today", 15, Scale("cm", 4, 25, 0.5), Scale("inch", 1.75, 9.75, 0.25), "tank"
            ),
            replace(_PLANTS, label="Basil plants in the tank", value=5),
            Number("age", "Time since planting", 42, Scale("day", 0, oldest, 1), place="plants"),
            Pick("day", "Today is", _DAYS[1][1], _DAYS, "weather"),
        ],
        calculate,
        LevelLeftAlone,
        key,
    )
