"""The panels of chapter 5: rate and warmth, the dates of a season, sowings in succession, and being in time."""

import datetime
from collections.abc import Mapping
from functools import cache, lru_cache

import numpy as np
from pint import Quantity

from stilltank.science import calendar, crops, heat, weather
from stilltank.science.crops import Crop
from stilltank.season.plan import Plan
from stilltank.show.figures import Picture, SeasonDates, day_text, short_day
from stilltank.show.panels import Exploration, Number, Pick, Scale, known_crops
from stilltank.units import Problem, Q

from .figures import BatchBars, ChanceInTime, RateAndDays, Warming

_YEAR = 2027
_ROOM = 20.0  # degC, of the place indoors
_OWN = "own"  # the place of somebody's plan
_PLACES = [
    ("Quillgate, in the open", "quillgate"),
    ("New York City, in the open", "new-york"),
    ("Seattle, in the open", "seattle"),
    ("a room at 20 °C (68 °F)", ""),
]
_TRIALS = {"snapdragon": "snapdragon 'Chimes White' 2003"}


def _every(first: datetime.date, last: datetime.date, days: int) -> list[tuple[str, str]]:
    found, day = [], first
    while day <= last:
        found.append((day_text(day), day.isoformat()))
        day += datetime.timedelta(days=days)
    return found


def _year(plan: Plan | None) -> int:
    return plan.start.year if plan else _YEAR


def _crop(plan: Plan | None, demo: str, known: list[tuple[str, str]]) -> Pick:
    """The crops that a panel can show; it begins with that of the plan where it is one of them."""
    own = plan.plants.crop.name if plan else demo
    return Pick("crop", "Crop", own if own in [name for _, name in known] else demo, known, "plants")


def _sowing(plan: Plan | None, which: int) -> Pick:
    year = _year(plan)
    days = _every(datetime.date(year, 2, 1), datetime.date(year, 8, 2), 14)
    sowings = Pick("sow", "Sow on", days[which][1], days, "plants")
    return (
        sowings.starting(plan.outlook.schedule.sow.isoformat(), _planned(plan.outlook.schedule.sow))
        if plan
        else sowings
    )


def _planned(day: datetime.date) -> str:
    return f"{day_text(day)}, as in your plan"


def _place(plan: Plan | None) -> Pick:
    places = Pick("place", "The tank stands", "quillgate", _PLACES, "weather")
    return places.starting(_OWN, "your own place") if plan else places


def _own(plan: Plan | None) -> Mapping[str, object]:
    """The place of the plan, and its crop as it is grown there."""
    return {"site": plan.site if plan else None, "grown": plan.plants.crop if plan else None}


def _where(place: str, site: weather.Site | None) -> tuple[weather.Site, Quantity | None]:
    """The site, and the steady temperature where it stands in a room."""
    if place == _OWN and site is not None:
        return site, None
    return weather.site(place or "quillgate"), None if place else Q(_ROOM, "degC")


def _as_grown(crop: str, grown: Crop | None) -> Crop:
    """The crop of a name; that of the plan with its packet and its pinch."""
    return grown if grown is not None and grown.name == crop else crops.crop(crop)


@lru_cache(maxsize=128)
def _schedule(
    crop: str, place: str, sow: str, site: weather.Site | None, grown: Crop | None
) -> calendar.Schedule:
    where, room = _where(place, site)
    kind = _as_grown(crop, grown)
    return calendar.schedule(kind, where, sow, temperature=room, decided=site is not None)


_WARM = Q(np.linspace(0, 36, 145), "degC")


@cache
def _timed() -> list[tuple[str, str]]:
    """The flowers whose sum of warmth is known."""
    return [
        (crops.crop(name).label, name)
        for name in crops.names("flower")
        if crops.crop(name).thermal_time is not None
    ]


def _rate_controls(plan: Plan | None) -> list[Number | Pick]:
    return [
        _crop(plan, "snapdragon", _timed()),
        Number(
            "temperature",
            "Mean temperature",
            18,
            Scale("degC", 2, 35, 1),
            Scale("degF", 36, 95, 1),
            "weather",
        ),
    ]


@lru_cache(maxsize=8)
def _along(crop: str) -> heat.DaysToFlower:
    return heat.days_to_flower(crop, _WARM)


def _rate(crop: str, temperature: Quantity) -> Warming:
    one = crops.crop(crop)
    coldest, warmest = one.coldest_tested, one.warmest_tested
    trial = _TRIALS.get(crop)
    return Warming(
        one.label,
        _WARM,
        _along(crop),
        temperature,
        heat.days_to_flower(crop, temperature),
        None if coldest is None or warmest is None else (coldest, warmest),
        None if trial is None else heat.trial(trial),
    )


def _rate_key(found: Warming, system: str) -> str:
    days = float(found.at_chosen.expected.m_as("day"))
    return "It never flowers" if not np.isfinite(days) else f"{days:.0f} days from {found.at_chosen.phase}"


rate_panel = Exploration("Warmth and the first flower", _rate_controls, _rate, RateAndDays, _rate_key)
"""Days to the flower by temperature, and the rate that makes a straight line of them."""


def _dates_controls(plan: Plan | None) -> list[Number | Pick]:
    return [_crop(plan, "snapdragon", known_crops()), _sowing(plan, 3), _place(plan)]


def _dates(
    crop: str, sow: str, place: str, site: weather.Site | None, grown: Crop | None
) -> calendar.Schedule:
    return _schedule(crop, place, sow, site, grown)


def _dates_key(found: calendar.Schedule, system: str) -> str:
    flower = found.first_flower
    return f"{found.event.capitalize()} {short_day(flower.early)} to {short_day(flower.late)}"


def _season_dates(system: str, large: bool) -> SeasonDates:
    return SeasonDates(large)


def _show_dates(figure: SeasonDates, found: calendar.Schedule) -> Picture:
    remark = ""
    if found.frost_share:
        years = f"{found.frost_share:.0%} of the years on record"
        remark = f"In {years} there was frost while the plants stood in the tank."
    return figure.show(found, found.transplant, remark)


dates_panel = Exploration(
    "One sowing and what follows",
    _dates_controls,
    _dates,
    _season_dates,
    _dates_key,
    _show_dates,
    given=_own,
)
"""The dates of one sowing as bars, each with its range."""

_Batches = tuple[calendar.Succession, calendar.Stems, float]


@cache
def _counted() -> list[tuple[str, str]]:
    """The flowers whose stems are known."""
    return [
        (label, name) for label, name in known_crops("flower") if crops.crop(name).stems_per_plant is not None
    ]


def _succession_controls(plan: Plan | None) -> list[Number | Pick]:
    plants = Number("plants", "Plants of each sowing", 6, Scale("1", 1, 12, 1), place="plants")
    return [
        _crop(plan, "zinnia", _counted()),
        plants.starting(plan.plants.count) if plan else plants,
        Number("every", "A new batch in flower every", 14, Scale("day", 7, 35, 7), place="plants"),
        _place(plan),
    ]


def _succession_given(plan: Plan | None) -> Mapping[str, object]:
    return {**_own(plan), "year": _year(plan)}


@lru_cache(maxsize=64)
def _sowings(
    crop: str, every: float, place: str, site: weather.Site | None, grown: Crop | None, year: int
) -> calendar.Succession:
    where, room = _where(place, site)
    return calendar.succession(
        _as_grown(crop, grown),
        where,
        f"{year}-07-15",
        f"{year}-09-23",
        every=Q(every, "day"),
        temperature=room,
    )


def _succession(
    crop: str,
    plants: float,
    every: Quantity,
    place: str,
    site: weather.Site | None,
    grown: Crop | None,
    year: int,
) -> _Batches:
    found = _sowings(crop, every.m_as("day"), place, site, grown, year)
    return found, calendar.stems_per_week(found, plants), plants  # type: ignore[arg-type]


def _succession_key(result: _Batches, system: str) -> str:
    found, stems, _ = result
    low, _, high = stems.total
    return f"{found.tanks} tanks; {low:.0f} to {high:.0f} stems"


def _show_batches(figure: BatchBars, result: _Batches) -> Picture:
    found, stems, plants = result
    return figure.show(found, stems, plants)


succession_panel = Exploration(
    "Flowers from July to September",
    _succession_controls,
    _succession,
    BatchBars,
    _succession_key,
    _show_batches,
    given=_succession_given,
)
"""Sowings one after the other for flowers all summer: tanks and stems of each week."""

_InTime = tuple[calendar.Schedule, datetime.date]


def _in_time_controls(plan: Plan | None) -> list[Number | Pick]:
    year = _year(plan)
    days = _every(datetime.date(year, 5, 10), datetime.date(year, 10, 11), 7)
    wanted = Pick("wanted", "Flowers wanted by", f"{year}-06-28", days, "plants")
    if plan:
        expected = plan.outlook.schedule.first_flower.expected
        wanted = wanted.starting(expected.isoformat(), _planned(expected))
    return [_crop(plan, "snapdragon", known_crops()), _sowing(plan, 5), wanted, _place(plan)]


def _in_time(
    crop: str, sow: str, wanted: str, place: str, site: weather.Site | None, grown: Crop | None
) -> _InTime:
    day, sown = (datetime.date.fromisoformat(text) for text in (wanted, sow))
    if day <= sown:
        raise Problem(
            f"{day_text(day)} lies before the sowing, {day_text(sown)}. Want it later, or sow earlier."
        )
    return _schedule(crop, place, sow, site, grown), day


def _in_time_key(result: _InTime, system: str) -> str:
    found, day = result
    return f"In time in {100 * found.chance_by(day):.0f} of 100 outcomes"


def _show_chance(figure: ChanceInTime, result: _InTime) -> Picture:
    return figure.show(*result)


in_time_panel = Exploration(
    "Will it be in time?",
    _in_time_controls,
    _in_time,
    ChanceInTime,
    _in_time_key,
    _show_chance,
    given=_own,
)
"""The chance that a sowing is in flower by a day."""
