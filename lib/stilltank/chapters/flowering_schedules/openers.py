"""Short questions on flowering schedules that later chapters open with."""

from typing import Any

import numpy as np

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    per_day_for_total,
    percent_for_share,
    tenfold,
    thousandfold,
)
from stilltank.science.heat import degree_days
from stilltank.science.sky import daily_light_integral
from stilltank.units import Q

from ..draws import quantities
from .shared import (
    BASES,
    CHAPTER,
    ROOMS,
    above_freezing,
    fahrenheit_days,
    gained,
)


def _week_sum(n: Numbers) -> dict[str, Any]:
    days = round(n.days.m_as("day"))
    each = degree_days(Q([n.mean.m_as("degC")] * days, "degC"), n.mean, n.base, method="average")
    return {"daily": gained(n.mean, n.base), "answer": each.sum()}


WEEK_SUM = Question(
    id="flowering-week-sum",
    chapter=CHAPTER,
    text="For {days} the mean of each day was {mean}. The crop gains nothing below {base}. How many degree-days did "
    "it gather in this time? Give it in °C day.",
    draws={"days": quantities((5, 6, 7, 8, 9), "day"), "mean": ROOMS, "base": BASES},
    work=_week_sum,
    kind="degree-days",
    unit="delta_degC*day",
    between=(Q(40, "delta_degC*day"), Q(180, "delta_degC*day")),
    slips=(
        Slip(
            "base left out",
            "the base is not taken off",
            "Below the base nothing is gained. How many degrees lie above it?",
            lambda n, _: [above_freezing(n.mean, n.days)],
        ),
        Slip(
            "base taken off once",
            "the base is taken off once for all the days",
            "Each day loses it. Take it off first, and then count the days.",
            lambda n, _: [above_freezing(n.mean, n.days) - above_freezing(n.base)],
        ),
        per_day_for_total("days"),
        fahrenheit_days(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:3} and {most:3} here.",
        "Unit: degrees above the base, times days.",
        "Direction: more days and warmer days bring more.",
    ),
    steps=(
        ("gained in a day", "{mean} less {base} is {daily:4}."),
        ("in all the days", "{daily:4} for {days} makes {answer:4}."),
    ),
    why="Each day brings {daily:4}. Degree-days of many days are added up.",
)


def _light(n: Numbers) -> dict[str, Any]:
    return {
        "seconds": n.time.m_as("s"),
        "answer": (daily_light_integral(n.lamps, n.time) / Q(1, "day")).to("mol/m^2/day"),
    }


def _lit_for(n: Numbers, time: Any) -> Any:
    return _light(n.but(time=time))["answer"]


DAILY_LIGHT = Question(
    id="flowering-daily-light",
    chapter=CHAPTER,
    text="Lamps give {lamps} at the leaves for {time:h} a day. There is no other light. How much light do the leaves "
    "get in a day? Give it in mol/m²/day.",
    draws={
        "lamps": quantities((120, 150, 180, 200, 250), "umol/m^2/s"),
        "time": quantities((10, 12, 14, 16, 18), "hour"),
    },
    work=_light,
    kind="light",
    unit="mol/m²/day",
    between=(Q(4, "mol/m^2/day"), Q(17, "mol/m^2/day")),
    slips=(
        Slip(
            "light all day and night",
            "the lamps are taken to burn for 24 hours",
            "For how many hours are they on?",
            lambda n, _: [_lit_for(n, Q(24, "hour"))],
        ),
        Slip(
            "hours of darkness",
            "the hours without light are counted",
            "Light comes while the lamps are on.",
            lambda n, _: [_lit_for(n, Q(24, "hour") - n.time)],
        ),
        Slip(
            "minutes for seconds",
            "the time is counted in minutes, and not in seconds",
            "The lamps give so much in each second. How many seconds does an hour have?",
            lambda n, solve: [solve(n) / 60],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: µmol in each second times seconds gives µmol, and a million of them are a mol.",
        "Direction: brighter lamps and more hours bring more.",
    ),
    steps=(
        ("seconds of light", "{time:h} are {seconds:6} seconds."),
        ("light of a day", "{lamps} times {seconds:6} is {answer:4}."),
    ),
    why="Twice the hours with half the brightness bring the same sum. As a day length they are not the same.",
)

_FIRST_FLOWERS = (
    (11, 13, 14, 15, 16, 17, 18, 20, 22, 25),
    (9, 12, 14, 16, 17, 18, 19, 20, 21, 24),
    (12, 14, 16, 17, 19, 20, 22, 23, 24, 26),
)
"""The first flower in ten years, days of June: invented for the exercise."""


def _in_time(n: Numbers) -> dict[str, Any]:
    days = np.array(n.flowers)
    return {
        "listed": ", ".join(f"{day}" for day in n.flowers[:-1]) + f" and {n.flowers[-1]}",
        "years": len(days),
        "met": int(np.sum(days <= n.wanted)),
        "answer": Q(float(np.mean(days <= n.wanted)), "dimensionless").to("percent"),
    }


IN_TIME = Question(
    id="flowering-in-time",
    chapter=CHAPTER,
    text="A tank is planted on the same day each year. In {years} years its first flower came in June, on day "
    "{listed}. Flowers are wanted for {wanted} June. In what share of the years were they there by that day?",
    draws={"flowers": _FIRST_FLOWERS, "wanted": (16, 17, 18, 20, 22, 24)},
    work=_in_time,
    kind="share",
    unit="percent",
    between=(Q(25, "percent"), Q(95, "percent")),
    slips=(
        Slip(
            "years too late",
            "the years in which the flowers came too late are counted",
            "Which years are asked for: those in time, or the others?",
            lambda n, solve: [Q(100, "percent") - solve(n)],
        ),
        Slip(
            "the day itself left out",
            "a flower on the wanted day is counted as too late",
            "A flower on the day itself is there in time.",
            lambda n, solve: [solve(n.but(wanted=n.wanted - 1))] if n.wanted in n.flowers else [],
        ),
        percent_for_share(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: years divided by years, and 100 times that is per cent.",
        "Direction: a later day lets more years in.",
    ),
    steps=(
        ("years in time", "Up to {wanted} June it was {met} of {years} years."),
        ("share", "{met} divided by {years} is {answer:4}."),
    ),
    why="Past years are a guide and no promise. To be surer, sow sooner.",
)
