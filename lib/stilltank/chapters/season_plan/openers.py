"""Short questions on the season plan that later chapters open with."""

from typing import Any

from stilltank.learning.questions import Numbers, Question, Slip, tenfold, us_gallon_for_litre
from stilltank.units import Q

from ..draws import TUBS, quantities
from .shared import CHAPTER, left_out, one_tub_only


def _litres_each(n: Numbers) -> dict[str, Any]:
    gives = n.volume - n.rest
    return {"gives": gives, "answer": gives / n.count}


LITRES_EACH = Question(
    id="season-litres-each",
    chapter=CHAPTER,
    text="A tub is filled with {volume}. The last {rest} stay out of reach of the roots. {count} plants share the "
    "rest, and nobody tops up. How much water is there for each plant?",
    draws={"volume": TUBS, "rest": quantities((3, 4, 5, 6), "L"), "count": (2, 3, 4, 5, 6, 8)},
    work=_litres_each,
    kind="volume",
    unit="L",
    between=(Q(2, "L"), Q(20, "L")),
    slips=(
        left_out(
            "rest counted in",
            "the rest that no root reaches is shared out as well",
            "Take off first what the plants cannot reach.",
            {"rest": Q(0, "L")},
        ),
        Slip(
            "rest for each plant",
            "the rest is taken off once for each plant",
            "The rest lies on the floor once. Take it off, and then share.",
            lambda n, _: [abs(n.volume / n.count - n.rest)],
        ),
        Slip(
            "not shared",
            "the water for all plants is given",
            "How many plants drink from it?",
            lambda n, _: [_litres_each(n)["gives"]],
        ),
        us_gallon_for_litre(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: litres shared out over plants are litres.",
        "Direction: more plants leave less for each.",
    ),
    steps=(
        ("what the tub gives", "{volume} less {rest} is {gives:4}."),
        ("for each plant", "{gives:4} shared out over {count} plants is {answer:4}."),
    ),
    why="{gives:3} for {count} plants.",
)


def _drip_time(n: Numbers) -> dict[str, Any]:
    return {"answer": (n.need / n.flow * Q(1, "day")).to("minute")}


DRIP_TIME = Question(
    id="season-drip-time",
    chapter=CHAPTER,
    text="A dripper gives {flow:L/hour} while its tap is open. A tub needs {need:L/day}. For how many minutes a day is "
    "the tap open?",
    draws={
        "flow": quantities((1, 1.5, 2, 3, 4), "L/hour"),
        "need": quantities((0.4, 0.5, 0.6, 0.8, 0.9, 1.2), "L/day"),
    },
    work=_drip_time,
    kind="time",
    unit="minute",
    between=(Q(8, "minute"), Q(60, "minute")),
    slips=(
        Slip(
            "hours for minutes",
            "hours are counted as minutes",
            "One hour has 60 minutes. Which of the two is asked for?",
            lambda n, solve: [solve(n) / 60],
        ),
        Slip(
            "rate and amount swapped",
            "the flow is divided by the need",
            "How long does one litre take? Then how long does the need take?",
            lambda n, _: [Q(60 * n.flow.m_as("L/hour") / n.need.m_as("L/day"), "minute")],
        ),
        Slip(
            "spread over the day",
            "the need is spread over 24 hours first",
            "The need is for the whole day, and the tap runs for a part of it.",
            lambda n, solve: [solve(n) / 24],
        ),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: litres divided by litres an hour are hours. Then turn them into minutes.",
        "Direction: a faster dripper is open for less time.",
    ),
    steps=(("time", "{need:L/day} at {flow:L/hour} takes {answer:4} of each day."),),
    why="It is a rate: litres in each hour. The tub needs an amount: litres for the day.",
)


def _bench_load(n: Numbers) -> dict[str, Any]:
    water = Q(n.volume.m_as("L"), "kg")
    full = water + n.empty
    return {"water": water, "full": full, "answer": n.tubs * full}


BENCH_LOAD = Question(
    id="season-bench-load",
    chapter=CHAPTER,
    text="{tubs} tubs stand on a bench. Each weighs {empty} when empty and holds {volume} of solution. A litre weighs "
    "about one kilogram. How much must the bench bear?",
    draws={
        "tubs": (2, 3, 4, 5),
        "empty": quantities((1.8, 2.4, 3), "kg"),
        "volume": quantities((18, 24, 30, 36), "L"),
    },
    work=_bench_load,
    kind="mass",
    unit="kg",
    between=(Q(35, "kg"), Q(200, "kg")),
    slips=(
        left_out(
            "empty tubs left out",
            "the tubs themselves are left out",
            "What does a tub weigh before you fill it?",
            {"empty": Q(0, "kg")},
        ),
        one_tub_only(),
        Slip(
            "kilograms for pounds",
            "kilograms and pounds are mixed up",
            "One kilogram is about 2.2 pounds. Which one is asked for?",
            lambda n, solve: [solve(n) * Q(1, "kg").m_as("lb"), solve(n) / Q(1, "kg").m_as("lb")],
        ),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: a litre of solution counts as one kilogram.",
        "Direction: more tubs weigh more.",
    ),
    steps=(
        ("one full tub", "{water} of solution and {empty} of tub are {full:4}."),
        ("the bench", "{tubs} times {full:4} is {answer:4}."),
    ),
    why="Fill the tubs where they stand. Nobody lifts {full:3} of moving water.",
)
