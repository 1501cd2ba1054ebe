"""Short questions on the water budget that later chapters open with."""

from typing import Any

from stilltank.learning.questions import Numbers, Question, Slip, per_day_for_total, tenfold, thousandfold
from stilltank.science.hydraulics import rain_catch
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, LENGTHS, SURFACES, WIDTHS, box, hour_for_minute


def _use_a_day(n: Numbers) -> dict[str, Any]:
    volume = (n.water * n.drop).to("L")
    return {"volume": volume, "answer": (volume / n.days).to("L/day")}


USE_A_DAY = Question(
    id="water-use-a-day",
    chapter=CHAPTER,
    text="In {days} the level falls by {drop:cm}. The water surface is {water}, and nothing came in. How much do the "
    "plants drink in a day?",
    draws={
        "days": quantities((3, 4, 5, 6, 8), "day"),
        "drop": quantities((1.4, 1.8, 2.4, 2.7, 3.2), "cm"),
        "water": SURFACES,
    },
    work=_use_a_day,
    kind="flow",
    unit="L/day",
    between=(Q(0.3, "L/day"), Q(2, "L/day")),
    slips=(
        per_day_for_total("days"),
        Slip(
            "area left out",
            "centimetres of level are taken for litres",
            "A volume is a depth times an area. Look for the size of the water surface.",
            lambda n, _: [Q(n.drop.m_as("cm"), "L") / n.days],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:L/day} and {most:L/day} here.",
        "Unit: one millimetre of level on one square metre is one litre.",
        "Direction: a level that falls faster means more drunk each day.",
    ),
    steps=(
        ("litres gone", "{drop:mm} on {water} is {volume:4 L}."),
        ("in a day", "{volume:4 L} in {days} is {answer:4 L/day}."),
    ),
    why="The {drop:cm} that are missing were {volume:L}, drunk in {days}.",
)


def _storm_flow(n: Numbers) -> dict[str, Any]:
    hourly = rain_catch(n.lid, n.rain) / Q(1, "hour")
    return {"hourly": hourly, "answer": hourly.to("L/min")}


STORM_FLOW = Question(
    id="water-storm-flow",
    chapter=CHAPTER,
    text="In a heavy storm {rain:mm} of rain fall in one hour. A lid of {lid} drains all of it into a tub that is full "
    "to its overflow hole. How many litres must leave through the hole in each minute?",
    draws={
        "rain": quantities((30, 40, 50, 60, 75, 90), "mm"),
        "lid": quantities((0.18, 0.2, 0.24, 0.3), "m^2"),
    },
    work=_storm_flow,
    kind="flow",
    unit="L/min",
    between=(Q(0.08, "L/min"), Q(0.5, "L/min")),
    slips=(
        hour_for_minute(),
        Slip(
            "area left out",
            "millimetres of rain are taken for litres",
            "That is right for a lid of one square metre. How large is this one?",
            lambda n, _: [Q(n.rain.m_as("mm"), "L/hour")],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least:L/min} and {most:L/min} here.",
        "Unit: litres in an hour, divided by 60, give litres in a minute.",
        "Direction: a heavier storm or a larger lid brings more.",
    ),
    steps=(
        ("in an hour", "{rain:mm} on {lid} bring {hourly:4 L/h}."),
        ("in a minute", "{hourly:4 L/h} divided by 60 is {answer:4 L/min}."),
    ),
    why="As much must leave as comes. Keep the hole free: roots and leaves block it.",
)


def _full_weight(n: Numbers) -> dict[str, Any]:
    tub = box(n)
    weight = tub.weight(n.level)
    return {"litres": tub.volume(n.level), "solution": weight - n.empty, "answer": weight}


FULL_WEIGHT = Question(
    id="water-full-weight",
    chapter=CHAPTER,
    text="A tub with upright walls is {length} long and {width} wide inside. Empty it weighs {empty:kg}. It is filled "
    "{level} deep. What does it weigh then? A litre of solution weighs about one kilogram.",
    draws={
        "length": LENGTHS,
        "width": WIDTHS,
        "level": quantities((18, 20, 22, 25), "cm"),
        "empty": quantities((2.4, 2.8, 3.2), "kg"),
    },
    work=_full_weight,
    kind="mass",
    unit="kg",
    tolerance=Q(1, "percent"),
    between=(Q(25, "kg"), Q(70, "kg")),
    slips=(
        Slip(
            "tub left out",
            "the solution alone is weighed, and not the tub",
            "Who lifts the solution lifts the tub as well.",
            lambda n, solve: [solve(n) - n.empty],
        ),
        Slip(
            "tub taken off",
            "the weight of the tub is taken off, and not added",
            "Does the tub make it heavier or lighter?",
            lambda n, solve: [solve(n) - 2 * n.empty],
        ),
        Slip(
            "pounds for kilograms",
            "pounds and kilograms are mixed up",
            f"One kilogram is {Q(1, 'kg').m_as('lb'):.3g} lb. Look which unit is asked for.",
            lambda n, solve: [Q(solve(n).m_as("lb"), "kg"), Q(solve(n).m_as("kg"), "lb")],
        ),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: cm³ divided by 1000 are litres, and a litre weighs about a kilogram.",
        "Direction: the tub comes on top of the solution.",
    ),
    steps=(
        ("litres", "{length} times {width} times {level} is {litres:4 L}."),
        ("weight", "They weigh {solution:4 kg}. With {empty:kg} of tub that is {answer:4 kg}."),
    ),
    why="That is {answer:both}. Put the tub in place first, fill it there, and never carry it full.",
    sources=("budget/tank/usual temperature",),
)
