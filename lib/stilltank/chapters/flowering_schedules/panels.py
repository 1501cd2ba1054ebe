"""The panels of chapter 5: rate and warmth, the dates of a season, sowings in succession, and being in time."""

import datetime
from functools import lru_cache
from typing import Any

import numpy as np

from stilltank.science import calendar, crops, heat, weather
from stilltank.show.figures import SeasonDates, day_text, short_day
from stilltank.show.panels import ExplorePanel, Number, PartDrawn, Pick, Scale, explore, known_crops
from stilltank.units import Problem, Q

from .figures import BatchBars, ChanceInTime, RateAndDays, Warming

_YEAR = 2027
_ROOM = 20.0  # degC, of the place indoors
_PLACES = [
    ("Quillgate, in the open", "quillgate"),
    ("New York City, in the open", "new-york"),
    ("Seattle, in the open", "seattle"),
    ("a room at 20 °C (68 °F)", ""),
]
_TRIALS = {"snapdragon": "snapdragon 'Chimes White' 2003"}


def _site(place: str) -> tuple[weather.Site, Any]:
    """The site, and the steady temperature where it stands in a room."""
    return weather.site(place or "quillgate"), None if place else Q(_ROOM, "degC")


def _every(first: datetime.date, last: datetime.date, days: int) -> list[tuple[str, str]]:
    found, day = [], first
    while day <= last:
        found.append((day_text(day), day.isoformat()))
        day += datetime.timedelta(days=days)
    return found


_SOWINGS = _every(datetime.date(_YEAR, 2, 1), datetime.date(_YEAR, 8, 2), 14)
_WANTED = _every(datetime.date(_YEAR, 5, 10), datetime.date(_YEAR, 10, 11), 7)


def _sowing(value: str) -> Pick:
    return Pick("sow", "Sow on", value, _SOWINGS, "plants")


def _place() -> Pick:
    return Pick("place", "The tank stands", "quillgate", _PLACES, "weather")


@lru_cache(maxsize=128)
def _schedule(crop: str, place: str, sow: str) -> calendar.Schedule:
    site, room = _site(place)
    return calendar.schedule(crop, site, sow, temperature=room)


def rate_panel() -> ExplorePanel:
    """Days to the flower by temperature, and the rate that makes a straight line of them."""
    warm = Q(np.linspace(0, 36, 145), "degC")
    known = [name for name in crops.names("flower") if crops.crop(name).thermal_time is not None]

    @lru_cache(maxsize=8)
    def along(name: str) -> heat.DaysToFlower:
        return heat.days_to_flower(name, warm)

    def calculate(crop: str, temperature: Any) -> Warming:
        one = crops.crop(crop)
        ends = one.coldest_tested, one.warmest_tested
        trial = _TRIALS.get(crop)
        return Warming(
            one.label,
            warm,
            along(crop),
            temperature,
            heat.days_to_flower(crop, temperature),
            None if None in ends else ends,
            None if trial is None else heat.trial(trial),
        )

    def key(found: Warming, system: str) -> str:
        days = float(found.at_chosen.expected.m_as("day"))
        return (
            "It never flowers" if not np.isfinite(days) else f"{days:.0f} days from {found.at_chosen.phase}"
        )

    return explore(
        "Warmth and the first flower",
        [
            Pick("crop", "Crop", "snapdragon", [(crops.crop(name).label, name) for name in known], "plants"),
            Number(
                "temperature",
                "Mean temperature",
                18,
                Scale("degC", 2, 35, 1),
                Scale("degF", 36, 95, 1),
                "weather",
            ),
        ],
        calculate,
        RateAndDays,
        key,
    )


def dates_panel() -> ExplorePanel:
    """The dates of one sowing as bars, each with its range."""

    def calculate(crop: str, sow: str, place: str) -> calendar.Schedule:
        return _schedule(crop, place, sow)

    def remark(found: calendar.Schedule) -> str:
        if not found.frost_share:
            return ""
        return f"In {found.frost_share:.0%} of the years on record there was frost while the plants stood in the tank."

    return explore(
        "One sowing and what follows",
        [Pick("crop", "Crop", "snapdragon", known_crops(), "plants"), _sowing(_SOWINGS[3][1]), _place()],
        calculate,
        lambda system, large: PartDrawn(
            SeasonDates(large), lambda figure, found: figure.show(found, found.transplant, remark(found))
        ),
        lambda found, system: (
            f"{found.event.capitalize()} {short_day(found.first_flower.early)} to {short_day(found.first_flower.late)}"
        ),
    )


def succession_panel() -> ExplorePanel:
    """Sowings one after the other for flowers all summer: tanks and stems of each week."""

    @lru_cache(maxsize=64)
    def plan(crop: str, every: float, place: str) -> calendar.Succession:
        site, room = _site(place)
        return calendar.succession(
            crop, site, f"{_YEAR}-07-01", f"{_YEAR}-09-09", every=Q(every, "day"), temperature=room
        )

    def calculate(crop: str, plants: Any, every: Any, place: str) -> tuple[Any, ...]:
        found = plan(crop, every.m_as("day"), place)
        return found, calendar.stems_per_week(found, plants), plants

    def key(result: tuple[Any, ...], system: str) -> str:
        found, stems, _ = result
        low, _, high = stems.total
        return f"{found.tanks} tanks; {low:.0f} to {high:.0f} stems"

    known = [
        (label, name) for label, name in known_crops("flower") if crops.crop(name).stems_per_plant is not None
    ]
    return explore(
        "Flowers from July to September",
        [
            Pick("crop", "Crop", "zinnia", known, "plants"),
            Number("plants", "Plants of each sowing", 6, Scale("1", 1, 12, 1), place="plants"),
            Number("every", "A new batch in flower every", 14, Scale("day", 7, 35, 7), place="plants"),
            _place(),
        ],
        calculate,
        lambda system, large: PartDrawn(
            BatchBars(system, large), lambda figure, result: figure.show(*result)
        ),
        key,
    )


def in_time_panel() -> ExplorePanel:
    """The chance that a sowing is in flower by a day."""

    def calculate(crop: str, sow: str, wanted: str, place: str) -> tuple[calendar.Schedule, Any]:
        day = datetime.date.fromisoformat(wanted)
        if day <= datetime.date.fromisoformat(sow):
            raise Problem(
                f"{day_text(day)} lies before the sowing, {day_text(sow)}. Want it later, or sow earlier."
            )
        return _schedule(crop, place, sow), day

    def key(result: tuple[calendar.Schedule, Any], system: str) -> str:
        found, day = result
        return f"In time in {100 * found.chance_by(day):.0f} of 100 outcomes"

    return explore(
        "Will it be in time?",
        [
            Pick("crop", "Crop", "snapdragon", known_crops(), "plants"),
            _sowing(_SOWINGS[5][1]),
            Pick("wanted", "Flowers wanted by", f"{_YEAR}-06-28", _WANTED, "plants"),
            _place(),
        ],
        calculate,
        lambda system, large: PartDrawn(
            ChanceInTime(system, large), lambda figure, result: figure.show(*result)
        ),
        key,
    )
