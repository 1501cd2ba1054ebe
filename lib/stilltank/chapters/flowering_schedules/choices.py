"""The choices of chapter 5: a night break, and what a frost date of one year in ten means."""

from functools import cache
from typing import Any

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science import sky, weather
from stilltank.science.sky import day_length
from stilltank.science.weather import frost_dates
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, spoken

_SITE = "quillgate"


def _night_break(n: Numbers) -> dict[str, Any]:
    return _lit(n.latitude.m_as("degree"), n.date)


@cache
def _lit(latitude: float, date: str) -> dict[str, Any]:
    place, lamps = Q(latitude, "degree"), sky.night_break()
    light, lit = sky.effective_day_length(place, date), sky.effective_day_length(place, date, lamps)
    ((begin, end),) = lamps
    return {
        "when": spoken(date),
        "begin": begin,
        "end": end,
        "sun": day_length(place, date),
        "light": light,
        "lit": lit,
        "dark": Q(24, "hour") - light,
        "left": Q(24, "hour") - lit,
        "weak": load("trials")["night break", "light"].quantity,
    }


NIGHT_BREAK = ChoiceQuestion(
    id="flowering-night-break",
    chapter=CHAPTER,
    text="A short-day plant flowers where the day has at most {critical:h}. On {when}, at {latitude} north, the day "
    "with its twilight has {light:3 h}. Weak lamps ({weak} at the leaves) burn from {begin} to {end} each night. What "
    "does the plant do?",
    options=(
        Option(
            "It stays in leaf: no darkness is left that is long enough",
            "Plants measure the dark. The longest darkness is now {left:3 h}, as in a day of {lit:3 h}. Many plants "
            "react so, not all. Keep mains leads and plugs away from water.",
        ),
        Option(
            "It flowers as before: the sun is up no longer than before",
            "This fits when hours of sun are thought to count. Plants measure the dark, and the lamps cut it in two.",
            "sun counted, not the dark",
        ),
        Option(
            "It flowers sooner: more light means more growth",
            "This fits when bright light is thought to stand for long days. These lamps are far too weak to grow by.",
            "brightness for length",
        ),
        Option(
            "It flowers as before: such weak lamps do not count",
            "This fits for growth. To cut a night in two, weak light is enough for many plants.",
            "weak light thought not to count",
        ),
    ),
    hint="Do not count the hours of light. How long is the longest darkness with the lamps, and without?",
    route="Without lamps the night has {dark:3 h} of darkness. The lamps cut it in two, and the longer part has "
    "{left:3 h}. To the plant that is a day of {lit:3 h}, and it flowers up to {critical:h} only.",
    draws={
        "latitude": quantities((38, 41.5, 45), "degree"),
        "date": ("2026-01-15", "2026-02-01", "2026-11-05", "2026-11-20"),
        "critical": quantities((12.5, 13), "hour"),
    },
    work=_night_break,
    sources=("trials/night break/light", "daylength/horizon/civil twilight"),
)


def _frost_date(n: Numbers) -> dict[str, Any]:
    return _last_frost(n.share.m_as("percent"))


@cache
def _last_frost(percent: float) -> dict[str, Any]:
    record: Any = weather.site(_SITE).weather
    spring, _ = frost_dates(record)
    day = spring.date(percent / 100, 2026)
    half = spring.date(0.5, 2026)
    return {
        "years": f"{spring.years}",
        "times": f"{percent / 10:g}",
        "other": f"{10 - percent / 10:g}",
        "day": spoken(str(day)),
        "half": spoken(str(half)),
    }


FROST_DATE = ChoiceQuestion(
    id="flowering-frost-date",
    chapter=CHAPTER,
    text="From the weather record of Quillgate comes a table of the last frost in spring. It gives {half} for 50 %, "
    "and {day} for {share}. What does the second date say?",
    options=(
        Option(
            "In about {times} of 10 years there is still a frost after {day}",
            "For tender plants that is a risk one can choose. This record has {years} years and shows the sum alone: "
            "for a risk people take thirty years.",
        ),
        Option(
            "In about {other} of 10 years there is still a frost after {day}",
            "This fits when the share is read the other way round. The later the day, the fewer frosts follow.",
            "share upside down",
        ),
        Option(
            "In about {times} of 10 years the last frost falls on {day}",
            "This fits when the share is thought to be of this one day. It counts all the frosts after it.",
            "one day for all later ones",
        ),
        Option(
            "After {day} there is no frost any more",
            "This fits when a date is thought to be a promise. A share of {share} is left.",
            "date thought to be a promise",
        ),
    ),
    hint="Which of the two dates is later? And after a later day, are there more frosts or fewer?",
    route="After {half} a frost comes in half of the years. {day} is later, so fewer years have one after it: "
    "{share} of them, or about {times} of 10.",
    draws={"share": quantities((10, 20, 30), "percent")},
    work=_frost_date,
    sources=("calendar/frost/threshold", "calendar/frost/years for a risk"),
)
