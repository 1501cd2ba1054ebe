"""Exercises on days to flower at a steady temperature, and on rooms that bring flowers sooner."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    fahrenheit_for_celsius,
    tenfold,
    weeks_for_days,
)
from stilltank.science.heat import days_to_flower
from stilltank.units import Q

from ..draws import quantities
from .shared import (
    CHAPTER,
    CROPS,
    ROOMS,
    TWO_CROPS,
    above_freezing,
    days_for,
    gained,
    sources_of,
    warmth_of,
)


def _days_at(n: Numbers) -> dict[str, Any]:
    known = warmth_of(n.crop)
    return {
        **known,
        "daily": gained(n.room, known["base"]),
        "answer": days_to_flower(n.crop, n.room).expected,
    }


DAYS_AT = Question(
    id="flowering-days-at",
    chapter=CHAPTER,
    text="A {plant} takes {need:5} of warmth above {base} from {phase} until it flowers. Its tank stands in a room of "
    "{room}, day and night. How many days does it take? Give one decimal.",
    draws={"crop": CROPS, "room": ROOMS},
    work=_days_at,
    kind="time",
    unit="day",
    whole="up",
    tolerance=Q(1, "percent"),
    between=(Q(30, "day"), Q(85, "day")),
    slips=(
        Slip(
            "base left out",
            "the base is not taken off the temperature of the room",
            "How many degrees lie above the base? Only they count.",
            lambda n, _: [days_for(_days_at(n)["need"], above_freezing(n.room))],
        ),
        Slip(
            "base on the other side",
            "the base is added where it should be taken off, or the other way round",
            "From the base up to the room: how many degrees are that?",
            lambda n, _: [
                days_for(
                    _days_at(n)["need"],
                    2 * above_freezing(n.room) - _days_at(n)["daily"],
                )
            ],
        ),
        weeks_for_days(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: degree-days divided by the degrees above the base gives days.",
        "Direction: a warmer room takes fewer days.",
    ),
    steps=(
        ("degrees above the base", "From {base} up to {room} each day gains {daily:4}."),
        ("days", "{need:5} divided by {daily:4} is {answer:4}."),
    ),
    why="Each day brings {daily:4} of the {need:5}. The number on a packet holds for one temperature.",
    sources=sources_of(),
)


def _room_for_date(n: Numbers) -> dict[str, Any]:
    known = warmth_of(n.crop)
    above = (known["need"] / n.days).to("delta_degC")
    return {**known, "above": above, "answer": known["base"] + above}


ROOM_FOR_DATE = Question(
    id="flowering-room-for-date",
    chapter=CHAPTER,
    text="A {plant} takes {need:5} of warmth above {base} from {phase} until it flowers. It is to flower {days} after "
    "{phase}. How warm must its room be, day and night? Give one decimal.",
    draws={
        "crop": CROPS,
        "days": quantities((36, 40, 44, 48, 52, 56, 60, 64, 72), "day"),
    },
    work=_room_for_date,
    kind="temperature",
    unit="degC",
    tolerance=Q(0.3, "delta_degC"),
    between=(Q(15, "degC"), Q(26, "degC")),
    slips=(
        Slip(
            "base left out",
            "the degrees above the base are given for the room",
            "You know how far the room lies above the base. Where does the base lie?",
            lambda n, _: [Q(_room_for_date(n)["above"].m_as("delta_degC"), "degC")],
        ),
        Slip(
            "base on the other side",
            "the base is taken off where it should be added, or the other way round",
            "The room lies above the base. So start from the base, and go up.",
            lambda n, solve: [
                Q(2 * _room_for_date(n)["above"].m_as("delta_degC") - solve(n).m_as("degC"), "degC")
            ],
        ),
        fahrenheit_for_celsius(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: degree-days divided by days are degrees above the base.",
        "Direction: fewer days need a warmer room.",
    ),
    steps=(
        ("degrees above the base", "{need:5} in {days} are {above:4} for each day."),
        ("temperature of the room", "The base is {base}. So much above it is {answer:4}."),
    ),
    why="It must be {above:3} above the base. Each cultivar has a base and a sum of its own.",
    sources=sources_of(),
)

_WARM = Q(24, "degC")


def _saved(name: str, room: Any, by: Any) -> Any:
    now, warmer = (days_to_flower(name, each).expected for each in (room, room + by))
    return now - warmer


def _days_saved(n: Numbers) -> dict[str, Any]:
    known = warmth_of(n.crop)
    now, then = (days_to_flower(n.crop, each).expected for each in (n.room, n.room + n.by))
    return {
        **known,
        "warmer": n.room + n.by,
        "now": now,
        "then": then,
        "warm": _WARM,
        "in_warmth": _saved(n.crop, _WARM, n.by),
        "answer": now - then,
    }


DAYS_SAVED = Question(
    id="flowering-days-saved",
    chapter=CHAPTER,
    text="A {plant} takes {need:4} of warmth above {base} from {phase} until it flowers. Its room is at {room}. You "
    "make the room {by} warmer. How many days sooner does it flower? Give one decimal.",
    draws={
        "crop": TWO_CROPS,
        "room": quantities((14.6, 15, 16, 17, 18), "degC"),
        "by": quantities((2, 3, 4), "delta_degC"),
    },
    work=_days_saved,
    kind="time",
    unit="day",
    whole="down",
    tolerance=Q(0.5, "day"),
    between=(Q(6, "day"), Q(25, "day")),
    slips=(
        Slip(
            "days that are left",
            "the days in the warmer room are given, and not those that are saved",
            "How many days did it take before? What is the difference?",
            lambda n, _: [_days_saved(n)["then"]],
        ),
        Slip(
            "base left out",
            "the base is not taken off the temperatures",
            "How far does each of the two rooms lie above the base?",
            lambda n, _: [
                days_for(_days_saved(n)["need"], above_freezing(n.room))
                - days_for(_days_saved(n)["need"], above_freezing(n.room + n.by))
            ],
        ),
        Slip(
            "saving of a warm room",
            f"the room is taken to be at {_WARM.m_as('degC'):g} °C before",
            "The same step saves more in a cool room. Start from the room of the text.",
            lambda n, _: [_days_saved(n)["in_warmth"]],
        ),
        Slip(
            "straight line",
            "the days are thought to fall in step with the degrees",
            "Work out the days in each room, and take the difference.",
            lambda n, _: [
                _days_saved(n)["now"] * (n.by / (n.room - warmth_of(n.crop)["base"])).m_as("dimensionless")
            ],
        ),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: days less days are days.",
        "Direction: the cooler the room was, the more is saved.",
    ),
    steps=(
        ("days now", "At {room} it takes {now:4}."),
        ("days in the warmer room", "At {warmer} it takes {then:4}."),
        ("saved", "{now:4} less {then:4} is {answer:4}."),
    ),
    why="From {warm} upwards the same {by} would save {in_warmth:2} only.",
    sources=sources_of(TWO_CROPS),
)
