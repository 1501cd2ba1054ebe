"""Exercises on too much water: rain on a lid, a blocked overflow hole, a top-up that rises too far."""

from functools import cache
from typing import Any

from stilltank.learning.questions import (
    ChoiceQuestion,
    Numbers,
    Option,
    Question,
    Slip,
    percent_for_share,
    ratio_upside_down,
    tenfold,
    thousandfold,
)
from stilltank.science.hydraulics import Hole, Rain, blocked_hole, rain_catch
from stilltank.science.roots import fill_level, refill_limit
from stilltank.science.tank import preset
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, SURFACES, TUB


def _rain_rise(n: Numbers) -> dict[str, Any]:
    caught = rain_catch(n.lid, n.rain)
    let_in = (caught * n.share).to("L")
    return {"caught": caught, "let_in": let_in, "answer": (let_in / n.water).to("mm")}


RAIN_RISE = Question(
    id="water-rain-rise",
    chapter=CHAPTER,
    text="A storm brings {rain:mm} of rain. The lid of a tub measures {lid}, and gaps around the pots let in {share} "
    "of what falls on it. The water surface below measures {water}. By how many millimetres does the level rise?",
    draws={
        "rain": quantities((16, 20, 24, 30, 36, 45), "mm"),
        "lid": quantities((0.2, 0.22, 0.25, 0.28), "m^2"),
        "share": quantities((15, 20, 25, 30, 40), "percent"),
        "water": SURFACES[:3],
    },
    work=_rain_rise,
    kind="length",
    unit="mm",
    between=(Q(3, "mm"), Q(18, "mm")),
    slips=(
        Slip(
            "all the rain let in",
            "all the rain on the lid is counted as let in",
            "How much of it finds a gap, and how much runs off the lid?",
            lambda n, solve: [solve(n) / n.share.m_as("dimensionless")],
        ),
        Slip(
            "what runs off",
            "the rain that runs off the lid is counted, and not what gets in",
            "The share in the text is what the gaps let in.",
            lambda n, solve: [solve(n) * (1 / n.share.m_as("dimensionless") - 1)],
        ),
        Slip(
            "one area for both",
            "the lid and the water are taken to be of one size",
            "Rain falls on the lid, and spreads over the water. Both areas count.",
            lambda n, _: [(n.rain * n.share).to("mm")],
        ),
        ratio_upside_down("lid", "water"),
        Slip(
            "litres for millimetres",
            "the litres that got in are given as millimetres",
            "Share the litres out over the water surface.",
            lambda n, _: [Q(_rain_rise(n)["let_in"].m_as("L"), "mm")],
        ),
        percent_for_share(),
        thousandfold(),
        tenfold(),
    ),
    check=(
        "Size: expect between {least} and {most:mm} here.",
        "Unit: one millimetre of rain on one square metre is one litre.",
        "Direction: the larger the lid beside the water, the higher the rise.",
    ),
    steps=(
        ("rain on the lid", "{rain:mm} on {lid} is {caught:4 L}."),
        ("rain let in", "{share} of that is {let_in:4 L}."),
        ("rise", "{let_in:4 L} over {water} is {answer:4 mm}."),
    ),
    why="The rain falls on {lid} of lid, and what gets in, {let_in:L}, spreads over {water} of water.",
)


def _blocked_hole(n: Numbers) -> dict[str, Any]:
    return _storm(n.level.m_as("cm"), n.rain.m_as("mm"), n.daily.m_as("L"))


@cache
def _storm(level: float, rain: float, daily: float) -> dict[str, Any]:
    tub, hole = preset(TUB), Q(level + 1, "cm")
    clean, blocked = blocked_hole(
        tub,
        Q(level, "cm"),
        Rain(intensity=Q(rain, "mm/hour"), duration=Q(1, "hour")),
        Hole(height=hole, diameter=Q(12, "mm")),
        lid="rimmed",
    )
    out = (tub.volume(blocked.highest) - tub.volume(hole)).to("L")
    return {
        "hole": hole,
        "clean": clean.rise,
        "blocked": blocked.rise,
        "allowed": clean.allowed,
        "out": out,
        "wait": Q(out.m_as("L") / daily, "day"),
        "strength": (tub.volume(Q(level, "cm")) / tub.volume(blocked.highest)).to("percent"),
    }


BLOCKED_HOLE = ChoiceQuestion(
    id="water-blocked-hole",
    chapter=CHAPTER,
    text="The lid of a Quillgate tub has a rim, so all its rain runs in. The pots hang clear at a level of {level:cm}, "
    "and the overflow hole is at {hole:cm}. In an hour {rain:mm} of rain fall. With the hole open the level would rise "
    "{clean:2 cm}. But a leaf blocks it, and the level rises {blocked:2 cm}. The plants drink {daily:L} a day. What do "
    "you do first?",
    options=(
        Option(
            "Free the hole, and let {out:2 L} run out down to it",
            "Roots that live in moist air may be harmed by a rise of more than {allowed}. So the level goes back "
            "today. Then put a mesh on the hole, and drill a second one beside it.",
        ),
        Option(
            "Wait: the plants drink that in {wait:2}",
            "This fits when only the litres are counted. All that time the roots in the air zone stand under water.",
            "litres counted, not roots",
        ),
        Option(
            "Add salts, for the rain has thinned the solution",
            "This fits when the strength is thought to come first. It is down to {strength:2} of what it was, but the "
            "roots come first. Measure when the level is back.",
            "strength before level",
        ),
        Option(
            "Drill a second hole near the floor, so that it cannot happen again",
            "This fits when any way out is thought to be good. Through a hole near the floor the tub runs empty.",
            "hole too low",
        ),
    ),
    hint="Which part of the plant is in danger now: the roots in the water, or those in the air above it?",
    route="The level stands {blocked:2 cm} higher, and more than {allowed} may harm roots in moist air. Freed, the "
    "hole lets out what lies above it, {out:2 L}. Catch it, and pour it on planted soil, never in a storm drain.",
    draws={
        "level": quantities((11, 12, 13), "cm"),
        "rain": quantities((30, 35, 40, 45), "mm"),
        "daily": quantities((0.9, 1, 1.2), "L"),
    },
    work=_blocked_hole,
    sources=("roots/refill/rise", f"tanks/{TUB}/lid area"),
)


def _rising_way(n: Numbers) -> dict[str, Any]:
    return _back_to_the_first_level(n.now.m_as("cm"))


@cache
def _back_to_the_first_level(now: float) -> dict[str, Any]:
    tub, level = preset(TUB), Q(now, "cm")
    first, limit = fill_level(tub), refill_limit(tub, level)
    return {
        "first": first,
        "rise": first - level,
        "added": (tub.volume(first) - tub.volume(level)).to("L"),
        "allowed": limit.rise,
        "most": limit.volume,
    }


RISING_WAY = ChoiceQuestion(
    id="water-drowning-way",
    chapter=CHAPTER,
    text="Four groups at Quillgate have the same tub. At planting each was filled to {first:cm}. Now the pots hang "
    "clear and the level is {now:cm}. Each group tops up with water in a way of its own. Which way raises the level so "
    "far at once that it may injure the plants?",
    options=(
        Option(
            "From today on every second week, back to {first:cm} at once",
            "That is {rise:cm} at once. One paper says that more than {allowed} may injure plants whose roots live in "
            "moist air.",
        ),
        Option(
            "Every second day, but less than the plants drank since the last time",
            "This fits when small top-ups are thought to add up. The level still falls from visit to visit, and the "
            "roots follow it.",
            "small top-ups added up",
        ),
        Option(
            "A float valve that holds {now:cm} from now on",
            "This fits when a steady level is taken for a rise. The valve replaces what was drunk, and the level "
            "does not rise. Set to the first level it would.",
            "held level for a rise",
        ),
        Option(
            "A drip that brings each day what the plants drink in a day",
            "This fits when steady dripping is taken for a rise. As much comes as goes, so the level stays. Look "
            "at it in cool weeks, when they drink less.",
            "drip for a rise",
        ),
    ),
    hint="Roots come to harm where there was air and water rises. By how much does each way lift the level?",
    route="Only one way lifts the level far: back to the first level is {rise:cm}, or {added:2 L} at once. More "
    "than {allowed} may injure plants, one paper says, and that is {most:2 L} here. Nobody has counted how many.",
    draws={"now": quantities((11, 12, 13, 14, 15), "cm")},
    work=_rising_way,
    sources=("roots/refill/rise", f"tanks/{TUB}/net pot depth"),
)
