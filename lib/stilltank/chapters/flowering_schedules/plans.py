"""Exercises on plans: lamps that lengthen the day, and the way back from a wanted day to the sowing."""

from functools import cache
from typing import Any

from stilltank.learning.questions import Numbers, Question, Slip, tenfold, weeks_for_days
from stilltank.science.sky import day_extension, day_length, effective_day_length
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import (
    CHAPTER,
    ROOMS,
    above_freezing,
    days_for,
    gained,
    sources_of,
    spoken,
    warmth_of,
)

_DATES = ("2026-01-15", "2026-02-01", "2026-02-15", "2026-10-20", "2026-11-05")


@cache
def _winter_day(latitude: float, date: str) -> tuple[Any, Any]:
    place = Q(latitude, "degree")
    return day_length(place, date), effective_day_length(place, date)


def _lamp_hours(n: Numbers) -> dict[str, Any]:
    sun, light = _winter_day(n.latitude.m_as("degree"), n.date)
    return {
        "when": spoken(n.date),
        "sun": sun,
        "light": light,
        "dusk": light - sun,
        "dark": Q(24, "hour") - light,
        "answer": day_extension(n.latitude, n.date, n.wanted),
    }


LAMP_HOURS = Question(
    id="flowering-lamp-hours",
    chapter=CHAPTER,
    text="At {latitude} north, on {when}, the sun is up for {sun:4 h}. Twilight adds {dusk:3 h} in all; count it as "
    "day. Your plants are to have days of {wanted:h}. Lamps go on at dusk. For how many hours do they stay on at "
    "the least? Give one decimal.",
    draws={
        "latitude": quantities((38, 41.5, 45, 48, 51), "degree"),
        "date": _DATES,
        "wanted": quantities((14, 15, 16), "hour"),
    },
    work=_lamp_hours,
    kind="time",
    unit="hour",
    tolerance=Q(0.1, "hour"),
    between=(Q(1.5, "hour"), Q(7, "hour")),
    slips=(
        Slip(
            "twilight left out",
            "the day is counted from sunrise to sunset alone",
            "Here the twilight counts as day. Add it first.",
            lambda n, _: [day_extension(n.latitude, n.date, n.wanted, method="cbm")],
        ),
        Slip(
            "twilight taken off",
            "the twilight is taken off the day, and not added",
            "Does twilight make the day longer or shorter?",
            lambda n, solve: [solve(n) + 2 * _lamp_hours(n)["dusk"]],
        ),
        Slip(
            "whole day by lamps",
            "the lamps are taken to give the whole day",
            "The sun gives a part of it. How much is missing?",
            lambda n, _: [n.wanted],
        ),
        Slip(
            "whole night lit",
            "the lamps stay on all night",
            "A part of the night may stay dark. How long is the day to be?",
            lambda n, _: [_lamp_hours(n)["dark"]],
        ),
        Slip(
            "minutes for hours",
            "minutes are counted as hours, or hours as minutes",
            "Write the unit of time beside each number. Which one does the text ask for?",
            lambda n, solve: [solve(n) * 60, solve(n) / 60],
        ),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:h} and {most:h} here.",
        "Unit: hours less hours are hours.",
        "Direction: the shorter the day outdoors, the longer the lamps stay on.",
    ),
    steps=(
        ("day with its twilight", "{sun:4 h} and {dusk:3 h} of twilight are {light:4 h}."),
        ("hours of lamps", "{wanted:h} less {light:4 h} is {answer:4 h}."),
    ),
    why="The day has {light:4 h} of its own. Keep mains leads and plugs away from water.",
    sources=("daylength/horizon/civil twilight",),
)


def _sow_before(n: Numbers) -> dict[str, Any]:
    known = warmth_of("bedding-zinnia")
    bench = load("calendar")["seedlings", "temperature"].quantity
    raised = gained(bench, known["base"]) * n.seedling.m_as("day")
    daily, rest = gained(n.tank, known["base"]), known["need"] - raised
    in_tank = days_for(rest, daily)
    return {
        **known,
        "bench": bench,
        "raised": raised,
        "rest": rest,
        "daily": daily,
        "in_tank": in_tank,
        "answer": n.seedling + in_tank + n.margin,
    }


SOW_BEFORE = Question(
    id="flowering-sow-before",
    chapter=CHAPTER,
    text="Bedding zinnias take {need} of warmth above {base} from {phase} until they flower. They stand on a bench at "
    "{bench} for the first {seedling}, and then in a tank at {tank}. You want a margin of {margin}. How many days "
    "before the wanted day do you sow? Give one decimal.",
    draws={
        "seedling": quantities((14, 16, 18, 21), "day"),
        "tank": ROOMS,
        "margin": quantities((4, 5, 6, 7), "day"),
    },
    work=_sow_before,
    kind="time",
    unit="day",
    whole="up",
    tolerance=Q(0.5, "day"),
    between=(Q(45, "day"), Q(80, "day")),
    slips=(
        Slip(
            "bench counted twice",
            "the whole sum is counted in the tank, and the days on the bench on top",
            "The sum counts from sowing. How much of it is gathered on the bench?",
            lambda n, _: [
                n.seedling + days_for(_sow_before(n)["need"], _sow_before(n)["daily"]) + n.margin,
            ],
        ),
        Slip(
            "bench left out",
            "the days on the bench are left out in the end",
            "You sow before the bench, not after it.",
            lambda n, solve: [solve(n) - n.seedling],
        ),
        Slip(
            "margin left out",
            "no margin is added",
            "A cool week comes as late as that. Sow so many days sooner.",
            lambda n, solve: [solve(n) - n.margin],
        ),
        Slip(
            "margin on the other side",
            "the margin is taken off, and not added",
            "To be on the safe side, do you sow sooner or later?",
            lambda n, solve: [solve(n) - 2 * n.margin],
        ),
        Slip(
            "base left out",
            "the base is not taken off the temperatures",
            "How far do bench and tank lie above the base?",
            lambda n, _: [
                n.seedling
                + n.margin
                + days_for(
                    _sow_before(n)["need"] - above_freezing(_sow_before(n)["bench"], n.seedling),
                    above_freezing(n.tank),
                )
            ],
        ),
        weeks_for_days(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: degree-days divided by degree-days a day gives days.",
        "Direction: a cooler tank and a larger margin mean an earlier sowing.",
    ),
    steps=(
        ("gathered on the bench", "{seedling} at {bench} bring {raised:4}."),
        ("days in the tank", "{rest:4} are missing. At {tank} each day brings {daily:4}: {in_tank:4}."),
        ("days before", "{seedling}, {in_tank:4} and {margin} are {answer:4}."),
    ),
    why="{seedling} on the bench, {in_tank:3} in the tank, and {margin} for a cool week.",
    sources=("calendar/seedlings/temperature", *sources_of(("bedding-zinnia",))),
)
