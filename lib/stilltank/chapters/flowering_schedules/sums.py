"""Exercises on degree-days: of a day, and of the days that are still to come."""

from typing import Any

from stilltank.learning.questions import Numbers, Question, Slip, tenfold, weeks_for_days
from stilltank.science.heat import degree_days
from stilltank.units import Q

from ..draws import quantities
from .shared import (
    BASES,
    CHAPTER,
    ROOMS,
    TWO_CROPS,
    above_freezing,
    days_for,
    fahrenheit_days,
    gained,
    sources_of,
    warmth_of,
)


def _day_sum(n: Numbers) -> dict[str, Any]:
    mean = Q((n.low.m_as("degC") + n.high.m_as("degC")) / 2, "degC")
    return {"mean": mean, "answer": degree_days(n.low, n.high, n.base, method="average")}


DAY_SUM = Question(
    id="flowering-day-sum",
    chapter=CHAPTER,
    text="One day the air was {low} at its coldest and {high} at its warmest. The crop gains nothing below {base}. How "
    "many degree-days did this day bring? Take the mean of the two, and give it in °C day.",
    draws={
        "low": quantities((9, 10, 11, 12, 13), "degC"),
        "high": quantities((19, 20, 22, 24, 25, 27), "degC"),
        "base": BASES,
    },
    work=_day_sum,
    kind="degree-days",
    unit="delta_degC*day",
    between=(Q(5, "delta_degC*day"), Q(17, "delta_degC*day")),
    slips=(
        Slip(
            "base left out",
            "the base is not taken off",
            "Below the base nothing is gained. How many degrees lie above it?",
            lambda n, _: [above_freezing(_day_sum(n)["mean"])],
        ),
        Slip(
            "highest for the mean",
            "the warmest hour is taken for the whole day",
            "The night counts as well. What was the mean of the day?",
            lambda n, _: [gained(n.high, n.base)],
        ),
        Slip(
            "sum not halved",
            "the two temperatures are added up, and not halved",
            "A mean of two is their sum, divided by two.",
            lambda n, solve: [solve(n) + above_freezing(_day_sum(n)["mean"])],
        ),
        Slip(
            "base halved",
            "the base is halved as well",
            "First the mean of the day, and then the whole base off.",
            lambda n, solve: [solve(n) + above_freezing(n.base) / 2],
        ),
        fahrenheit_days(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: degrees above the base, times one day.",
        "Direction: a warmer day brings more, and a higher base leaves less.",
    ),
    steps=(
        ("mean of the day", "Half way from {low} to {high} is {mean:4}."),
        ("above the base", "{mean:4} less {base} is {answer:4}."),
    ),
    why="The mean is {mean:4}, and only what lies above {base} counts.",
)


def _clipped_day(n: Numbers) -> dict[str, Any]:
    low, high, base, upper = (n[name].m_as("degF") for name in ("low", "high", "base", "upper"))
    clipped = degree_days(n.low, n.high, n.base, n.upper, method="clipped")
    warm, cool = min(high, upper), max(low, base)
    return {
        "warm": Q(warm, "degF"),
        "cool": Q(cool, "degF"),
        "mean": Q((warm + cool) / 2, "degF"),
        "celsius": clipped,
        "answer": clipped.to("delta_degF*day"),
    }


def _fahrenheit(degrees: float) -> Any:
    return Q(degrees, "delta_degF*day")


def _not_cut(n: Numbers) -> list[Any]:
    over = n.high.m_as("degF") - n.upper.m_as("degF")
    return [_clipped_day(n)["answer"] + _fahrenheit(over) / 2]


def _not_lifted(n: Numbers) -> list[Any]:
    low, base = n.low.m_as("degF"), n.base.m_as("degF")
    return [_clipped_day(n)["answer"] - _fahrenheit(base - low) / 2] if low < base else []


CLIPPED_DAY = Question(
    id="flowering-clipped-day",
    chapter=CHAPTER,
    text="A farm advice page counts by the {upper:US} and {base:US} rule. What is above {upper:US} counts as "
    "{upper:US}, and what is below {base:US} counts as {base:US}. Then the mean is taken, and {base:US} goes off. "
    "Today: {low:US} and {high:US}. How many degree-days is that, in °F day?",
    draws={
        "low": quantities((40, 42, 44, 46, 56, 60, 64), "degF"),
        "high": quantities((88, 90, 91, 92, 94, 96), "degF"),
        "base": quantities((50,), "degF"),
        "upper": quantities((86,), "degF"),
    },
    work=_clipped_day,
    kind="degree-days",
    unit="delta_degF*day",
    between=(Q(8, "delta_degF*day"), Q(30, "delta_degF*day")),
    slips=(
        Slip(
            "heat not cut off",
            "the warmest hour counts in full, though it is above the limit",
            "By this rule more heat than the upper limit does not help. Cut it down first.",
            lambda n, _: _not_cut(n),
        ),
        Slip(
            "cold night not lifted",
            "the coldest hour counts in full, though it is below the base",
            "By this rule a cold night takes nothing away. Lift it to the base first.",
            lambda n, _: _not_lifted(n),
        ),
        Slip(
            "base left out",
            "the base is not taken off in the end",
            "Below the base nothing is gained. Take it off the mean.",
            lambda n, solve: [solve(n) + _fahrenheit(n.base.m_as("degF"))],
        ),
        Slip(
            "sum not halved",
            "the degrees of both are added up, and not halved",
            "How far does the mean of the two lie above the base?",
            lambda n, solve: [2 * solve(n)],
        ),
        fahrenheit_days(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: degrees above the base, times one day. All of it is in °F.",
        "Direction: more heat than the limit adds nothing, and a cold night takes nothing away.",
    ),
    steps=(
        ("into the limits", "{high:US} counts as {warm:US}, and {low:US} as {cool:US}."),
        ("mean", "Half way between {cool:US} and {warm:US} is {mean:4 US}."),
        ("above the base", "{mean:4 US} less {base:US} is {answer:4}."),
    ),
    why="In the other scale it is {celsius}. A sum of this rule is never used with another rule.",
)


def _days_still(n: Numbers) -> dict[str, Any]:
    known = warmth_of(n.crop)
    daily, rest = gained(n.mean, known["base"]), known["need"] - n.so_far
    return {**known, "rest": rest, "daily": daily, "answer": days_for(rest, daily)}


DAYS_STILL = Question(
    id="flowering-days-still",
    chapter=CHAPTER,
    text="A {plant} flowers when it has gathered {need:4} of warmth above {base}, counted from {phase}. Tonight its "
    "log says {so_far}. The days to come have a mean of {mean}. In how many days does it flower? Give one decimal.",
    draws={
        "crop": TWO_CROPS,
        "so_far": quantities((180, 240, 300, 360, 420), "delta_degC*day"),
        "mean": ROOMS,
    },
    work=_days_still,
    kind="time",
    unit="day",
    whole="up",
    between=(Q(12, "day"), Q(60, "day")),
    slips=(
        Slip(
            "what is gathered counted again",
            "the whole sum is counted from today, and not what is still missing",
            "The log has a part of the sum already. Take it off first.",
            lambda n, _: [days_for(_days_still(n)["need"], _days_still(n)["daily"])],
        ),
        Slip(
            "gathered for missing",
            "what is gathered is used, and not what is still missing",
            "Which of the two still has to come?",
            lambda n, _: [days_for(n.so_far, _days_still(n)["daily"])],
        ),
        Slip(
            "base left out",
            "the base is not taken off the mean",
            "How many degrees of each day lie above the base?",
            lambda n, _: [days_for(_days_still(n)["rest"], above_freezing(n.mean))],
        ),
        weeks_for_days(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: degree-days divided by degree-days a day gives days.",
        "Direction: the more is gathered, the fewer days are left.",
    ),
    steps=(
        ("still missing", "{need:4} less {so_far} is {rest:4}."),
        ("gained in a day", "{mean} less {base} is {daily:4}."),
        ("days", "{rest:4} divided by {daily:4} is {answer:4}."),
    ),
    why="{rest:4} are missing, and each day brings {daily:4}. A cool week moves the day back.",
    sources=sources_of(TWO_CROPS),
)
