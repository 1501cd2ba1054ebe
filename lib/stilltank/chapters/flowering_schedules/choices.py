"""Questions with options, for a vote in class or at the end of the page."""

from functools import cache
from typing import Any

import numpy as np

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science import sky, weather
from stilltank.science.calendar import tanks_needed
from stilltank.science.heat import days_to_flower
from stilltank.science.sky import day_length
from stilltank.science.weather import frost_dates
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, TWO_CROPS, sources_of, spoken, warmth_of


def _twice_as_far(n: Numbers) -> dict[str, Any]:
    known = warmth_of(n.crop)
    base = known["base"]
    above = n.room - base
    warm = n.room + above
    now, then = (days_to_flower(n.crop, room).expected for room in (n.room, warm))
    return {
        "plant": known["plant"],
        "base": base,
        "above": above,
        "warm": warm,
        "twice": 2 * above,
        "now": now,
        "then": then,
        "quarter": now / 4,
        "thermometer": now * (n.room.m_as("degC") / warm.m_as("degC")),
    }


TWICE_AS_FAR = ChoiceQuestion(
    id="flowering-twice-as-far",
    chapter=CHAPTER,
    text="A {plant} gains nothing below {base}. In a room of {room} it takes {now:2} to flower. Another room has "
    "{warm:3}. That is twice as far above the base. How long does it take there?",
    options=(
        Option(
            "{then:2}",
            "Each day now gains twice as much, so half of the days do.",
        ),
        Option(
            "{thermometer:2}",
            "This fits when the degrees on the thermometer are compared. They start at the point where water freezes, "
            "and growth starts at the base.",
            "degrees from zero",
        ),
        Option(
            "{quarter:2}",
            "This fits when the warmth is counted twice. Twice the gain of a day halves the days, once.",
            "warmth counted twice",
        ),
        Option(
            "{now:2}, as before",
            "This fits when the days on the packet are thought to be fixed. They hold for one temperature.",
            "days thought to be fixed",
        ),
    ),
    hint="How much does one day gain in each room? How many such days make the same sum?",
    route="The first room lies {above:3} above the base, the second {twice:3}. The sum is the same, so {now:2} turn "
    "into {then:2}. Above the best temperature this ends: more heat does not help.",
    draws={"crop": TWO_CROPS, "room": quantities((14.6, 15, 15.5), "degC")},
    work=_twice_as_far,
    sources=sources_of(TWO_CROPS),
)


def _same_step(n: Numbers) -> dict[str, Any]:
    days = {
        name: days_to_flower(n.crop, room).expected
        for name, room in (
            ("cool_now", n.cool),
            ("cool_then", n.cool + n.by),
            ("warm_now", n.warm),
            ("warm_then", n.warm + n.by),
        )
    }
    return {
        "plant": warmth_of(n.crop)["plant"],
        **days,
        "cool_saves": days["cool_now"] - days["cool_then"],
        "warm_saves": days["warm_now"] - days["warm_then"],
    }


SAME_STEP = ChoiceQuestion(
    id="flowering-same-step",
    chapter=CHAPTER,
    text="The same {plant} plants stand in two houses, one at {cool}, one at {warm}. Both houses are made {by} warmer. "
    "In which one do the flowers come sooner by more days?",
    options=(
        Option(
            "In the cool house",
            "It saves {cool_saves:2}, and the warm house {warm_saves:2}. Where little is gained in a day, some degrees "
            "more are a large share.",
        ),
        Option(
            "In the warm house",
            "This fits when warmth is thought to work best where it is warm. There the days are few already, and few "
            "are left to save.",
            "warm house thought to save most",
        ),
        Option(
            "In both by the same number of days",
            "This fits a straight line from degrees to days. The days follow a curve: steep where it is cool, flat "
            "where it is warm.",
            "straight line",
        ),
        Option(
            "In neither: the days are a matter of the seed",
            "This fits when the days on the packet are thought to be fixed. They hold for one temperature.",
            "days thought to be fixed",
        ),
    ),
    hint="Work out the days of each house, before and after. Which difference is larger?",
    route="Cool house: {cool_now:3} turn into {cool_then:3}. Warm house: {warm_now:3} turn into {warm_then:3}. So the "
    "cool one saves {cool_saves:2}, the warm one {warm_saves:2}.",
    draws={
        "crop": TWO_CROPS,
        "cool": quantities((14.6, 15, 16), "degC"),
        "warm": quantities((23, 24), "degC"),
        "by": quantities((2, 3), "delta_degC"),
    },
    work=_same_step,
    sources=sources_of(TWO_CROPS),
)


def _tanks(n: Numbers) -> dict[str, Any]:
    cleaning = load("calendar")["cleaning", "time"].quantity
    stay = n.before + n.harvest
    week = np.timedelta64(1, "W")
    planted = np.datetime64("2026-04-06") + week * np.arange(n.sowings)
    emptied = planted + week * round(stay.m_as("week"))
    return {
        "cleaning": cleaning,
        "stay": stay.m_as("week"),
        "cut": n.harvest.m_as("week"),
        "planting": n.before.m_as("week"),
        "most": tanks_needed(planted, emptied),
        "no_cleaning": tanks_needed(planted, emptied, Q(0, "day")),
    }


TANKS = ChoiceQuestion(
    id="flowering-tanks",
    chapter=CHAPTER,
    text="Each week one more tank is to come into flower, {sowings} times. A tank is planted {planting} weeks before "
    "its first flower, and then cut for {cut} weeks. To empty and clean it takes {cleaning}. How many tanks does it "
    "take?",
    options=(
        Option(
            "{most}",
            "Each is in use for {stay} weeks, so {stay} are full at one time. The next planting needs a tank on the "
            "day on which the oldest is being cleaned.",
        ),
        Option(
            "{no_cleaning}",
            "This fits when a tank is planted again on the day it is emptied. Count the day for cleaning.",
            "cleaning left out",
        ),
        Option(
            "{cut}",
            "This fits when the weeks of cutting alone are counted. Before that each tank is full of leaves.",
            "harvest weeks alone",
        ),
        Option(
            "{sowings}",
            "This fits when each planting is thought to need a new tank. The oldest comes free while the others grow.",
            "a tank for each planting",
        ),
    ),
    hint="Draw a bar for each tank, from its planting until it is clean. How many bars lie over one day?",
    route="{planting} weeks and {cut} weeks are {stay} weeks in use. With one planting a week that makes "
    "{no_cleaning} tanks, and the time for cleaning asks for one more: {most}.",
    draws={
        "sowings": (16, 18, 20),
        "before": quantities((6, 7, 8), "week"),
        "harvest": quantities((3, 4, 5), "week"),
    },
    work=_tanks,
    sources=("calendar/cleaning/time",),
)


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
