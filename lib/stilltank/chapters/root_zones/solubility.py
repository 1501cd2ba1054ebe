"""Exercises on how much oxygen the solution holds, how long it lasts, and what warmth does to that."""

from typing import Any

from stilltank.learning.questions import Numbers, Question, Slip, percent_for_share, tenfold, thousandfold
from stilltank.science.oxygen import oxygen_in_moist_air, saturation
from stilltank.science.roots import warming_effect
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, DEMANDS, LEVELS, WARMTHS, WATERS, hour_for_day


def _oxygen_held(n: Numbers) -> dict[str, Any]:
    full = (saturation(n.warm) * Q(1, "L")).to("mg")
    litres = (n.water * n.level).to("L")
    each = (full * n.share).to("mg")
    return {
        "full": full,
        "litres": litres,
        "each": each,
        "air": (oxygen_in_moist_air(n.warm) * litres).to("g"),
        "answer": each * litres.m_as("L"),
    }


OXYGEN_HELD = Question(
    id="roots-oxygen-held",
    chapter=CHAPTER,
    text="The solution in a tub stands {level} deep, and its surface is {water}. At {warm} a litre "
    "can hold {full:4 mg} of oxygen from the air. The meter shows {share} of that. How many milligrams of oxygen are "
    "in the solution?",
    draws={
        "level": LEVELS,
        "water": WATERS,
        "warm": WARMTHS,
        "share": quantities((60, 70, 75, 80), "percent"),
    },
    work=_oxygen_held,
    kind="mass",
    unit="mg",
    between=(Q(60, "mg"), Q(350, "mg")),
    slips=(
        Slip(
            "share left out",
            "the solution is taken to hold all the oxygen it can",
            "The meter shows less than that. Which share does it show?",
            lambda n, solve: [solve(n) / n.share.m_as("dimensionless")],
        ),
        Slip(
            "what is missing",
            "the oxygen that is missing is given, and not the oxygen that is there",
            "The share on the meter is what is there.",
            lambda n, solve: [solve(n) * (1 / n.share.m_as("dimensionless") - 1)],
        ),
        Slip(
            "one litre for the whole tub",
            "the oxygen of one litre is given for the whole tub",
            "How many litres are in the tub? Each of them holds so much.",
            lambda n, _: [_oxygen_held(n)["each"]],
        ),
        Slip(
            "area left out",
            "centimetres of level are taken for litres",
            "A volume is a depth times an area. Look for the size of the water surface.",
            lambda n, _: [_oxygen_held(n)["each"] * n.level.m_as("cm")],
        ),
        percent_for_share(),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least:mg} and {most:mg} here.",
        "Unit: litres times milligrams in a litre gives milligrams.",
        "Direction: more solution holds more oxygen.",
    ),
    steps=(
        ("litres", "{level} deep on {water} is {litres:4 L}."),
        ("oxygen in a litre", "{share} of {full:4 mg} is {each:4}."),
        ("oxygen in all", "{litres:4 L} times {each:4} is {answer:4 mg}."),
    ),
    why="As many litres of moist air hold {air:2 g}. So air is far richer than water.",
)


def _hours_of_oxygen(n: Numbers) -> dict[str, Any]:
    full = saturation(n.warm)
    under = (full * n.level).to("g/m^2")
    hourly = n.demand.to("mg/m^2/hour")
    return {
        "full": full,
        "under": under * Q(1, "m^2"),
        "use": n.demand * Q(1, "m^2*day"),
        "usual": load("oxygen")["roots", "demand"].quantity * Q(1, "m^2*day"),
        "hourly": hourly * Q(1, "m^2*hour"),
        "answer": (under / n.demand).to("hour"),
    }


HOURS_OF_OXYGEN = Question(
    id="roots-hours-of-oxygen",
    chapter=CHAPTER,
    text="A solution at {warm} is {level} deep and holds as much oxygen as it can: {full:4 mg/L}. Its surface is "
    "{water}. Roots of a grown crop use {use:g} of oxygen on each square metre in a day. Suppose that none comes in "
    "from above. For how many hours does the oxygen in the solution last?",
    draws={"warm": WARMTHS, "level": LEVELS, "water": WATERS, "demand": DEMANDS},
    work=_hours_of_oxygen,
    kind="time",
    unit="hour",
    between=(Q(4, "hour"), Q(16, "hour")),
    slips=(
        hour_for_day(),
        Slip(
            "tub for square metre",
            "the oxygen of the tub is divided by the use on a whole square metre",
            "Take both for one square metre, or both for the tub. Then the size of the tub drops out.",
            lambda n, solve: [solve(n) * n.water.m_as("m^2")],
        ),
        Slip(
            "depth left out",
            "each square metre is taken to have one litre under it",
            "A square metre that is one centimetre deep holds ten litres. How deep is it here?",
            lambda n, solve: [solve(n) / (n.level.m_as("mm"))],
        ),
        Slip(
            "use multiplied",
            "the oxygen is multiplied by the use, and not divided",
            "Roots that use more empty the water sooner.",
            lambda n, solve: [solve(n) * n.demand.m_as("g/m^2/day") ** 2],
        ),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least:h} and {most:h} here.",
        "Unit: grams divided by grams an hour gives hours.",
        "Direction: deeper water lasts longer; more roots empty it sooner.",
    ),
    steps=(
        ("oxygen under a square metre", "{level} deep times {full:4 mg/L} is {under:4 mg}."),
        ("use in an hour", "{use:g} in a day is {hourly:4 mg} in an hour."),
        ("hours", "{under:4 mg} divided by {hourly:4 mg} an hour is {answer:4 h}."),
    ),
    why="So grown roots cannot live on that alone. In a real tank more comes in at the surface, and roots in the air "
    "zone breathe air. Potatoes in a field use about {usual:g}. For lettuce we found no number.",
    sources=("oxygen/roots/demand",),
)


def _hours_when_warm(n: Numbers) -> dict[str, Any]:
    warm = n.cool + Q(10, "delta_degC")
    found = warming_effect(warm, n.cool, n.factor)
    low, high = load("oxygen")["roots", "Q10"].range
    held, later = saturation(n.cool), saturation(warm)
    left = (n.hours * found.supply).to("hour")
    return {
        "warm": warm,
        "low": float(low),
        "high": float(high),
        "held": held,
        "later": later,
        "supply": found.supply,
        "left": left,
        "answer": (left / found.demand).to("hour"),
    }


HOURS_WHEN_WARM = Question(
    id="roots-hours-when-warm",
    chapter=CHAPTER,
    text="At {cool} the oxygen in a still solution would last {hours:h}. The solution warms to {warm}. A litre then "
    "holds {later:4 mg/L} at most, and not {held:4 mg/L}. Roots use {factor} times as much. How long would the oxygen "
    "last then?",
    draws={
        "cool": quantities((15, 18, 20, 22), "degC"),
        "hours": quantities((6, 8, 9, 10, 12), "hour"),
        "factor": (1.5, 2.0, 2.5, 3.0),
    },
    work=_hours_when_warm,
    kind="time",
    unit="hour",
    between=(Q(1, "hour"), Q(8, "hour")),
    slips=(
        Slip(
            "supply alone",
            "only the oxygen in the water is counted, and the roots use as much as before",
            "Warm roots breathe faster. How many times as fast?",
            lambda n, _: [_hours_when_warm(n)["left"]],
        ),
        Slip(
            "use alone",
            "only the faster use is counted, and the water holds as much as before",
            "Warm water also holds less. Both make the time shorter.",
            lambda n, _: [n.hours / n.factor],
        ),
        Slip(
            "use upside down",
            "the faster use makes the time longer",
            "Roots that use more empty the water sooner.",
            lambda n, solve: [solve(n) * n.factor**2],
        ),
        Slip(
            "supply upside down",
            "warm water is taken to hold more",
            "Warm water holds less oxygen than cool water. The two numbers say so.",
            lambda n, solve: [solve(n) / _hours_when_warm(n)["supply"].m_as("dimensionless") ** 2],
        ),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least:h} and {most:h} here.",
        "Unit: hours times plain numbers stay hours.",
        "Direction: less oxygen and a faster use both make the time shorter.",
    ),
    steps=(
        (
            "what the water holds",
            "{later:4 mg/L} divided by {held:4 mg/L} is {supply:4}. That makes {left:4 h} of {hours:h}.",
        ),
        ("what the roots use", "{left:4 h} divided by {factor} is {answer:4 h}."),
    ),
    why="The water holds {supply:2} times as much. The faster use does more harm. Sources say {low} to {high} times "
    "for 10 °C, and roots that get used to warmth may use less.",
    sources=("oxygen/roots/Q10",),
)
