"""The panels of chapter 3: the level through the season, a storm, two ways of topping up, a tank left alone."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from functools import cache, lru_cache

from pint import Quantity

from stilltank.science import budget, hydraulics, roots, tank, weather
from stilltank.season.pictures import COVERS, season_picture
from stilltank.season.plan import Plan, Reading
from stilltank.show.figures import Picture, SeasonLevel, rise_text, short_day
from stilltank.show.panels import Exploration, Number, Pick, Scale, known_crops, ready_made_tanks
from stilltank.tables import number
from stilltank.units import Q, whole_number, write

from .figures import LevelLeftAlone, StormCourse, TwoLevelCourses

_TUB = "quillgate-tub"
_DAY = "2027-05-10"
_OWN = "own"  # the tank, or the place, of somebody's plan
_SITES = {"quillgate": "Quillgate", "new-york": "New York City", "seattle": "Seattle"}
_PLACES = [
    (f"{name}, {COVERS[cover]}", (site, cover)) for site, name in _SITES.items() for cover in ("open", "roof")
]
_PLANTS = Number("count", "Plants in the tank", 4, Scale("1", 1, 12, 1), place="plants")
_DAYS = [
    (words, f"2027-{month:02}-10")
    for month, words in enumerate(("10 May", "10 June", "10 July", "10 August", "10 September"), start=5)
]
# Where a panel looks at a tank in mid-season, as parts of the first level and of the season.
_PART_OF_LEVEL, _PART_OF_SEASON = (
    number("plan", "panel", f"part of the {what}", "1") for what in ("level", "season")
)

_Place = tuple[str, str] | str


@cache
def _tub() -> tank.Tank:
    return tank.preset(_TUB)


@cache
def _site(place: tuple[str, str]) -> weather.Site:
    name, cover = place
    return replace(weather.site(name), cover=cover)


def _place(plan: Plan | None) -> Pick:
    places = Pick("place", "The tank stands", ("quillgate", "open"), _PLACES, "weather")
    return places.starting(_OWN, f"your own place, {COVERS[plan.site.cover]}") if plan else places


def _standing(place: _Place, plan: Plan | None) -> weather.Site:
    """The site that is chosen."""
    return _site(place) if isinstance(place, tuple) else _of(plan).site


def _of(plan: Plan | None) -> Plan:
    assert plan is not None  # only a plan offers its own tank and place
    return plan


def _plan_itself(plan: Plan | None) -> Mapping[str, object]:
    return {"plan": plan}


def _count(plan: Plan | None, demo: int) -> Number:
    """How many plants, of the crop of a plan, or of basil."""
    if plan is None:
        return replace(_PLANTS, label="Basil plants in the tank", value=demo)
    return replace(_PLANTS, label=f"Plants in the tank, {plan.plants.crop.spoken}").starting(
        plan.plants.count
    )


def _level_controls(plan: Plan | None) -> list[Number | Pick]:
    tanks = Pick("tank", "Tank", _TUB, ready_made_tanks(), "tank")
    crop = Pick("crop", "Crop", "basil", known_crops(), "plants")
    if plan:
        tanks = tanks.starting(_OWN, "your own tank")
        crop = crop.starting(plan.plants.crop.name, plan.plants.crop.label)
    return [tanks, crop, _PLANTS.starting(plan.plants.count) if plan else _PLANTS, _place(plan)]


@lru_cache(maxsize=64)
def _level(tank: str, crop: str, count: float, place: _Place, plan: Plan | None) -> Plan:
    if plan is None:
        return Plan.make(tank, crop, _standing(place, plan), start=_DAY, count=count)  # type: ignore[arg-type]
    return plan.change(
        tank=plan.tank if tank == _OWN else tank,
        crop=plan.plants.crop if crop == plan.plants.crop.name else crop,
        count=count,
        site=_standing(place, plan),
    )


def _level_key(plan: Plan, system: str) -> str:
    lasting = 1 - plan.outlook.season.share_of("low")
    return f"The water lasts to the end in {100 * lasting:.0f} of 100 seasons"


class _SeasonFigure:
    """The figure of a season, which writes in a system."""

    def __init__(self, system: str, large: bool):
        self._system, self._drawing = system, SeasonLevel(system, large)
        self.figure = self._drawing.figure

    def show(self, plan: Plan) -> Picture:
        return season_picture(plan, self._system, self._drawing)


level_panel = Exploration(
    "The level through the season", _level_controls, _level, _SeasonFigure, _level_key, given=_plan_itself
)
"""The level through a season, with its range, for a tank, a crop and a place."""


@cache
def _mid_season(of: tank.Tank) -> Quantity:
    """A level at which the pots of a tank have hung clear for weeks, to a millimetre."""
    return Q(round(_PART_OF_LEVEL * roots.fill_level(of).m_as("cm"), 1), "cm")


_Storms = tuple[tuple[hydraulics.Storm, hydraulics.Storm], hydraulics.Hole, tank.Tank]
_LIDS = (
    ("lid with gaps around the pots", "gaps"),
    ("lid with a rim that drains inside", "rimmed"),
    ("no lid", "off"),
    ("tight or sloped lid", "tight"),
)
_DIAMETER = Number(
    "diameter", "Overflow hole", 12, Scale("mm", 3, 25, 1), Scale("inch", 0.125, 1, 0.0625), "tank"
)
_WIDTHS = (12, 25)  # mm, of the holes to choose from for a plan


def _storm_controls(plan: Plan | None) -> list[Number | Pick]:
    hole: Number | Pick = _DIAMETER
    if plan:
        heights = _holes(plan)
        words = {"plan": "yours", "second": "a second one, drilled"}
        names = [
            (f"{words[which]} at {write(height, 'both')}, {width} mm wide", (which, width))
            for which, height in heights.items()
            for width in _WIDTHS
        ]
        hole = Pick(
            "hole", "Overflow hole", ("second" if plan.hole is None else "plan", _WIDTHS[0]), names, "tank"
        )
    return [
        Pick("lid", "Lid", "gaps", _LIDS, "tank"),
        hole,
        Number(
            "intensity",
            "Rain in an hour",
            50,
            Scale("mm/hour", 5, 150, 5),
            Scale("inch/hour", 0.25, 6, 0.25),
            "weather",
        ),
        Number("duration", "The storm lasts", 2, Scale("hour", 0.5, 6, 0.5), place="weather"),
    ]


def _storm_level(plan: Plan) -> Quantity:
    """The level before the storm: as it was read, or as in mid-season; never above the person's own hole."""
    level = plan.reading.level if plan.reading else _mid_season(plan.outlook.pots.tank)
    return level if plan.hole is None else min(level, plan.hole)


def _holes(plan: Plan) -> dict[str, Quantity]:
    """The hole of a plan, and a second one that guards the roots from this level on."""
    second = roots.overflow_height(plan.outlook.pots.tank, level=_storm_level(plan)).height
    return {"plan": plan.outlook.hole, "second": second}


def _storm_given(plan: Plan | None) -> Mapping[str, object]:
    """The tank, its level before the storm, and where holes are or can be."""
    if plan is None:
        return {"of": _tub(), "level": Q(16, "cm"), "heights": {"demo": Q(17, "cm")}}
    return {"of": plan.outlook.pots.tank, "level": _storm_level(plan), "heights": _holes(plan)}


def _storm(
    lid: str,
    intensity: Quantity,
    duration: Quantity,
    of: tank.Tank,
    level: Quantity,
    heights: Mapping[str, Quantity],
    diameter: Quantity | None = None,
    hole: tuple[str, int] | None = None,
) -> _Storms:
    which, width = ("demo", diameter) if hole is None else (hole[0], Q(hole[1], "mm"))
    assert width is not None  # either is a control
    drilled = hydraulics.Hole(height=heights[which], diameter=width)
    rain = hydraulics.Rain(intensity=intensity, duration=duration)
    return hydraulics.blocked_hole(of, level, rain, drilled, lid), drilled, of


def _storm_key(result: _Storms, system: str) -> str:
    clean, blocked = (rise_text(storm.rise, storm.allowed, system) for storm in result[0])
    return f"Level rises {clean} ({blocked} with the hole blocked)"


def _show_storm(figure: StormCourse, result: _Storms) -> Picture:
    storms, hole, of = result
    return figure.show(storms, hole, of.height)


storm_panel = Exploration(
    "A storm and the overflow hole",
    _storm_controls,
    _storm,
    StormCourse,
    _storm_key,
    _show_storm,
    given=_storm_given,
)
"""A storm over a tank in the open whose pots hang clear: with the overflow hole open, and blocked."""


@lru_cache(maxsize=16)
def _ways(plan: Plan | None) -> Mapping[str, budget.TopUp]:
    """The ways of topping up, for the demo tub or sized for the tank of a plan."""
    if plan is None:
        first, held, valve = Q(25, "cm"), Q(15, "cm"), "float valve, holds 15 cm"
        daily, drip = Q(2, "L/hour") * Q(15, "minute"), "drip, half a litre a day"
    else:
        first, valve = plan.outlook.fill_level, f"float valve, holds {_PART_OF_LEVEL:.0%} of the first level"
        held = _PART_OF_LEVEL * first
        daily = Q(number("plan", "panel", "drip for each plant", "L"), "L") * plan.plants.count
        drip = f"drip, {write(daily, 'both')} a day"
    return {
        "none": budget.nothing(),
        "little": budget.by_hand(2, rise=Q(1, "cm"), name="by hand every 2 days, at most 1 cm"),
        "weekly": budget.by_hand(7, rise=Q(2, "cm"), name="by hand every 7 days, at most 2 cm"),
        "refill": budget.by_hand(14, first, first, name="by hand every 14 days, to the first level"),
        "valve": budget.float_valve(held, name=valve),
        "drip": budget.drip(daily / Q(15, "minute"), Q(15, "minute"), name=drip),
    }


def _strategies_controls(plan: Plan | None) -> list[Number | Pick]:
    names = [(way.name, key) for key, way in _ways(plan).items()]
    return [
        Pick("first", "One way", "none", names, "tank"),
        Pick("second", "Another way", "refill", names, "tank"),
        _count(plan, demo=5),
        _place(plan),
    ]


_Compared = tuple[tank.Tank, budget.Comparison]


@lru_cache(maxsize=64)
def _planned(count: float, place: _Place, start: str, plan: Plan | None) -> Plan:
    """The plan with other plants and another place; basil in the demo tub where there is none."""
    if plan is None:
        return Plan.make(_TUB, "basil", _standing(place, plan), start=start, count=count)  # type: ignore[arg-type]
    return plan.change(count=count, site=_standing(place, plan))


@lru_cache(maxsize=64)
def _strategies(first: str, second: str, count: float, place: _Place, plan: Plan | None) -> _Compared:
    ways = [_ways(plan)[name] for name in dict.fromkeys((first, second))]
    planned = _planned(count, place, _DAY, plan)
    return planned.outlook.pots.tank, planned.scenario().compare(ways)


def _strategies_key(result: _Compared, system: str) -> str:
    table = result[1].table
    told = [
        f"low {low:.0f}, above caution {above:.0f}"
        for low, above in zip(table["runs low (%)"], table["above caution (%)"], strict=True)
    ]
    named = zip(("first", "second"), told, strict=False)
    return f"Of 100: {'; '.join(f'{which} {words}' for which, words in named)}"


def _show_strategies(figure: TwoLevelCourses, result: _Compared) -> Picture:
    return figure.show(*result)


strategies_panel = Exploration(
    "Two ways to top up",
    _strategies_controls,
    _strategies,
    TwoLevelCourses,
    _strategies_key,
    _show_strategies,
    given=_plan_itself,
)
"""Two ways of topping up one tank, over the same seasons."""

_YOUNG = 14  # days to the end of the season that are still to come, whatever the age


def _oldest(plan: Plan | None) -> int:
    """Days that the plants may have stood in the tank, so that the end of the season is still to come."""
    season = plan or _planned(5, ("quillgate", "open"), _DAY, None)
    last = season.outlook.season.dates[-1].item()
    return max((last - season.start).days + 1 - _YOUNG, 1)


def _away_controls(plan: Plan | None) -> list[Number | Pick]:
    level = Number(
        "level", "Level today", 15, Scale("cm", 4, 25, 0.5), Scale("inch", 1.75, 9.75, 0.25), "tank"
    )
    age = Number("age", "Time since planting", 42, Scale("day", 0, _oldest(plan), 1), place="plants")
    if plan is None:
        return [level, _count(plan, demo=5), age, Pick("day", "Today is", _DAYS[1][1], _DAYS, "weather")]
    assert level.us
    own = replace(
        level, metric=level.metric.upto(plan.outlook.fill_level), us=level.us.upto(plan.outlook.fill_level)
    )
    oldest = _oldest(plan)
    now, old = _mid_season(plan.outlook.pots.tank), round(_PART_OF_SEASON * oldest)
    if plan.reading:
        now, old = plan.reading.level, min((plan.reading.day - plan.start).days, oldest)
    return [own.starting(now), _count(plan, demo=5), replace(age, value=old)]


@lru_cache(maxsize=64)
def _look(level: float, count: float, age: int, day: str, plan: Plan | None) -> budget.LatestLook:
    start = (date.fromisoformat(day) - timedelta(days=age)).isoformat()
    place: _Place = ("quillgate", "open") if plan is None else _OWN
    planned = _planned(count, place, start, plan)
    alone = planned.top_up if planned.top_up.after_use else budget.nothing()  # a float valve needs nobody
    today = planned.change(reading=Reading(date.fromisoformat(day), Q(level, "cm")), top_up=alone)
    return today.scenario().latest_look()


def _away(
    level: Quantity, count: float, age: Quantity, plan: Plan | None, day: str = ""
) -> budget.LatestLook:
    """The latest day to look; for a plan, today is as long after its start as the plants are old."""
    oldest = _oldest(plan)
    sentence = f"A day is a whole number here, 0 to {oldest}; {{value:g}} is not."
    days = whole_number(age.m_as("day"), 0, oldest, sentence)
    today = day if plan is None else (plan.start + timedelta(days=days)).isoformat()
    return _look(level.m_as("cm"), count, days, today, plan)


def _away_key(found: budget.LatestLook, system: str) -> str:
    if found.date is None:
        return "Look today"
    if found.ends:
        return f"The water lasts to the end, {short_day(found.date)}"
    return f"Look by {short_day(found.date)}: {write(Q(found.days, 'day'))}"


away_panel = Exploration(
    "How long can I leave it?", _away_controls, _away, LevelLeftAlone, _away_key, given=_plan_itself
)
"""How long a tank may be left alone from a level and an age on."""
