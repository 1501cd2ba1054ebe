"""Questions with options, for a vote in class or at the end of the page."""

from functools import cache
from typing import Any

import numpy as np

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science.demand import vapour_through_gap
from stilltank.science.oxygen import diffusivity, oxygen_in_moist_air, saturation, unsteady_oxygen
from stilltank.science.roots import fill_level, oxygen_findings, refill, warming_effect
from stilltank.science.tank import preset
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, refill_rise

_TUB = "quillgate-tub"


def _floating_cover(_: Numbers) -> dict[str, Any]:
    table = load("roots")
    loss = table["floating cover", "loss"].quantity
    late = table["floating cover", "loss with a late rest"].quantity
    fixed = table["fixed cover", "head weight"].quantity
    return {
        "fixed": fixed,
        "loss": loss.to("percent"),
        "late": late.to("percent"),
        "floated": fixed * (1 - loss.m_as("dimensionless")),
        "more": fixed * (1 + loss.m_as("dimensionless")),
    }


FLOATING_COVER = ChoiceQuestion(
    id="roots-floating-cover",
    chapter=CHAPTER,
    text="In a published trial lettuce grew over still solution, with no pump. One cover was fixed: as the level fell, "
    "an air zone grew under it. There a head weighed {fixed:g}. Another cover floated on the solution to the end, with "
    "hardly any open water. What did a head weigh there?",
    options=(
        Option(
            "About {floated:g}: somewhat less",
            "It was {loss} less. So the air zone helps, and plants without one still grew. Our sums would empty that "
            "water of oxygen in hours: they leave out air inside the roots and at the edges.",
        ),
        Option(
            "Nothing: without an air zone the plants died",
            "This fits when a lack of oxygen is read as death. It is a risk: those plants grew, and stayed smaller.",
            "risk read as death",
        ),
        Option(
            "About {fixed:g}: the cover makes no change",
            "This fits when roots are thought to find enough in the water. Roots in moist air had more to breathe.",
            "air zone thought useless",
        ),
        Option(
            "About {more:g}: wet roots grow better",
            "This fits when roots in air are thought to dry out. Under a lid the air is moist, and they live in it.",
            "roots in air thought to dry",
        ),
    ),
    hint="What can roots breathe under each cover? And is a lack of it the end, or a loss?",
    route="The heads under the floating cover weighed {loss} less: {floated:g}. Where the cover came to rest on a "
    "support, it was {late} less. We know this from the summary of the paper alone.",
    draws={},
    work=_floating_cover,
    sources=(
        "roots/fixed cover/head weight",
        "roots/floating cover/loss",
        "roots/floating cover/loss with a late rest",
    ),
)


def _still_day(n: Numbers) -> dict[str, Any]:
    return _half_way(n.warm.m_as("degC"), n.level.m_as("cm"))


@cache
def _half_way(warm: float, level: float) -> dict[str, Any]:
    full = saturation(Q(warm, "degC"))
    depths = np.linspace(0, level, 2001)

    def half_depth(time: Any) -> Any:
        held = unsteady_oxygen(Q(depths, "cm"), time, full, Q(warm, "degC"), Q(level, "cm"))
        shares = (held / full).m_as("dimensionless")
        return Q(np.interp(-0.5, -shares, depths), "cm")

    hour, day = half_depth(Q(1, "hour")), half_depth(Q(1, "day"))
    return {
        "hour": hour.to("mm"),
        "day": day.to("mm"),
        "straight": (hour * 24).to("mm"),
    }


STILL_DAY = ChoiceQuestion(
    id="roots-still-day",
    chapter=CHAPTER,
    text="A solution at {warm}, {level} deep, has no oxygen left. It stands quite still, with no roots in it, and "
    "fresh air lies above. How far down does it hold half of what it can hold, a day later?",
    options=(
        Option(
            "Down to {day:2 mm}",
            "Oxygen wanders so slowly that it hardly gets below the skin. A real tub does better: at night it cools "
            "from the top, and turns over.",
        ),
        Option(
            "Down to the floor: still water takes up air in a day",
            "This fits when water is thought to fill with air by standing. It does so when it moves. At the floor "
            "there is as good as nothing yet.",
            "still water thought aired",
        ),
        Option(
            "Down to {straight:2 mm}: in an hour it gets to {hour:2 mm}, and a day has 24",
            "This fits when depth is thought to grow evenly with time. It grows with the square root: four times the "
            "time for twice the depth.",
            "depth taken as even in time",
        ),
        Option(
            "Nowhere: no oxygen gets into still water",
            "This fits when only bubbles are thought to bring oxygen. Some gets in through any surface, but slowly.",
            "no oxygen thought to get in",
        ),
    ),
    hint="In the first hour it gets to {hour:2 mm}. Is the way to go as short for what comes later?",
    route="In an hour half is reached at {hour:2 mm}, in a day at {day:2 mm}. The square root of 24 is about 5, and so "
    "is the step between them. Sources on the speed differ by a fifth: the depth differs by a tenth.",
    draws={"warm": quantities((18, 20, 22, 25), "degC"), "level": quantities((12, 14, 16), "cm")},
    work=_still_day,
    sources=("oxygen/diffusivity/d0",),
)


def _lid_gap(n: Numbers) -> dict[str, Any]:
    return _through_the_ring(n.gap.m_as("mm"), n.canopy.m_as("m^2"))


@cache
def _through_the_ring(gap: float, canopy: float) -> dict[str, Any]:
    pot, wide, thick, warm = Q(5, "cm"), Q(gap, "mm"), Q(5, "mm"), Q(25, "degC")
    use = (load("oxygen")["roots", "demand"].quantity * Q(canopy, "m^2") * Q(1, "day")).to("mg")
    ring = np.pi * wide * (pot + wide)
    lack = use / Q(1, "day") * thick / (diffusivity(warm, "air") * ring)
    vapour = vapour_through_gap(pot, wide, thick, warm, Q(50, "percent")) * Q(1, "day")
    return {
        "pot": pot,
        "warm": warm,
        "thick": thick,
        "use": use,
        "lack": (lack / oxygen_in_moist_air(warm)).to("percent"),
        "vapour": vapour.to("g"),
        "litre": Q(1, "L"),
    }


LID_GAP = ChoiceQuestion(
    id="roots-lid-gap",
    chapter=CHAPTER,
    text="A lid is tight but for a gap of {gap:mm} around each pot. A pot is {pot} wide, and the lid {thick:mm} "
    "thick. At {warm} the roots of one plant use {use:2 mg} of oxygen a day. What does the lid do to them?",
    options=(
        Option(
            "Next to nothing: the air below holds about {lack:2} less oxygen than outside",
            "In air oxygen moves ten thousand times as fast as in water. So a thin gap will do. Of water only about "
            "{vapour:1 g} gets out by it in a day.",
        ),
        Option(
            "It chokes them: the gap is far too thin",
            "This fits when a thin gap is thought to let little through. In air oxygen moves fast, and the way through "
            "the lid is short.",
            "thin gap thought tight",
        ),
        Option(
            "It chokes them unless a fan blows air in",
            "This fits when air is thought to come in only where it blows. Oxygen wanders in by itself.",
            "only wind thought to bring oxygen",
        ),
        Option(
            "It lets them breathe, but {litre} of water gets out by the gap in a day",
            "This fits when the gap is thought to dry the tub. It is about {vapour:1 g} in a day, from moist air to "
            "air half as moist. The leaves give off far more.",
            "gap thought to dry the tub",
        ),
    ),
    hint="Compare with water: how fast does oxygen move in air, and how much of it is in a litre?",
    route="What gets through a gap is its area times the speed in air times the difference, divided by the thickness "
    "of the lid. For {use:2 mg} a day a difference of {lack:2} will do. This is a sum: we found no measurement.",
    draws={"gap": quantities((1, 1.5, 2), "mm"), "canopy": quantities((0.03, 0.04), "m^2")},
    work=_lid_gap,
    sources=("oxygen/roots/demand",),
)


def _full_tank(n: Numbers) -> dict[str, Any]:
    return _filled_again(n.now.m_as("cm"))


@cache
def _filled_again(now: float) -> dict[str, Any]:
    tub, level = preset(_TUB), Q(now, "cm")
    first = fill_level(tub)
    done = refill(tub, level, first - level)
    return {
        "first": first,
        "immersion": done.after.immersion,
        "rise": done.rise,
        "added": done.volume,
        "submerged": done.submerged,
        "allowed": refill_rise(),
    }


FULL_TANK = ChoiceQuestion(
    id="roots-full-tank",
    chapter=CHAPTER,
    text="At Quillgate a full tub stands at {first:cm}. When is a full tub a danger to the plants?",
    options=(
        Option(
            "In week six: the level was {now:cm}, the pots hung clear, and it is filled up at once",
            "That is a rise of {rise:cm}. Roots that had grown used to air, {submerged:cm} of them, come under water. "
            "More than {allowed} may harm the plants.",
        ),
        Option(
            "On the day of planting: the pots stand {immersion:2 cm} deep",
            "This fits when full is thought to be bad at any time. Young roots must reach the solution, and none of "
            "them lives in air yet.",
            "full thought bad at any time",
        ),
        Option(
            "In week one: the pots still stand in the solution, and it is filled up to the same level",
            "This fits when roots are thought to live in air from the first day. They get used to air only where the "
            "level has fallen below the pots.",
            "air roots seen too soon",
        ),
        Option(
            "Never: the more solution, the safer",
            "This fits when water is thought to be all that roots need. They must breathe too, and grown "
            "roots may use up the oxygen of a full tub in hours.",
            "full thought healthy",
        ),
    ),
    hint="Which roots are where at that time? Which of them find themselves in another place the next day?",
    route="A full tub harms roots that had lived in air. In week six that is a rise of {rise:cm}, or {added:2 L}. One "
    "paper on lettuce warns of more than {allowed}. It says that it may harm, not that it must.",
    draws={"now": quantities((10, 11, 12, 13, 14), "cm")},
    work=_full_tank,
    sources=("roots/refill/rise", "roots/pot/immersion", f"tanks/{_TUB}/net pot depth"),
)


def _warmth_most(n: Numbers) -> dict[str, Any]:
    return _warmed(n.cool.m_as("degC"))


@cache
def _warmed(cool: float) -> dict[str, Any]:
    low, high = load("oxygen")["roots", "Q10"].range
    warm = Q(cool + 10, "degC")
    found = warming_effect(warm, Q(cool, "degC"))
    slow = warming_effect(warm, Q(cool, "degC"), float(low))
    return {
        "warm": warm,
        "low": float(low),
        "high": float(high),
        "supply": found.supply,
        "air": found.air,
        "demand": found.demand,
        "reach": found.reach,
        "slow_reach": slow.reach,
    }


WARMTH_MOST = ChoiceQuestion(
    id="roots-warmth-most",
    chapter=CHAPTER,
    text="On a hot day the solution warms from {cool} to {warm}. Which of these changes most?",
    options=(
        Option(
            "How much oxygen the roots use",
            "They use about {demand} times as much; sources say {low} to {high} times. Roots that get used to warmth "
            "may use less than that.",
        ),
        Option(
            "How much oxygen the solution can hold",
            "This fits when warm water is thought to fail by what it holds. It holds {supply:2} times as much, and "
            "that is less of a change.",
            "supply thought to decide",
        ),
        Option(
            "How deep oxygen gets into still water with roots",
            "This fits when depth is thought to go with the use. It goes with the square root, so oxygen still gets "
            "{reach:2} times as deep.",
            "depth without the square root",
        ),
        Option(
            "How much oxygen the air zone holds",
            "This fits when warm air is thought to be poor in oxygen. It holds {air:2} times as much, and that is "
            "nearly the same.",
            "warm air thought poor",
        ),
    ),
    hint="Write a number of times for each of the four. Which one is farthest from 1?",
    route="The use is {demand} times as much. The solution holds {supply:2} times as much, and the air zone {air:2} "
    "times. Oxygen gets {reach:2} times as deep. Even at {low} times the use changes most: then oxygen gets "
    "{slow_reach:2} times as deep.",
    draws={"cool": quantities((15, 18, 20, 22), "degC")},
    work=_warmth_most,
    sources=("oxygen/roots/Q10",),
)


def _two_papers(n: Numbers) -> dict[str, Any]:
    return _findings_at(n.warm.m_as("degC"))


@cache
def _findings_at(warm: float) -> dict[str, Any]:
    found = oxygen_findings(Q(warm, "degC"))
    floated = next(one for one in found if "GOTO1996" in one.source)
    in_gas = next(one for one in found if "HE2007" in one.source and one.seen == "effect seen")
    return {
        "floated": floated.stated,
        "gas": in_gas.stated,
        "in_water": in_gas.concentration,
        "harm": load("oxygen")["critical", "harmful"].quantity,
        "fine": load("oxygen")["critical", "no effect seen"].range[1],
    }


TWO_PAPERS = ChoiceQuestion(
    id="roots-two-papers",
    chapter=CHAPTER,
    text="One paper kept lettuce on a solution with {floated} of oxygen, and saw no loss. Another kept lettuce "
    "in gas with {gas} of oxygen, and its roots grew much less. At {warm} water in touch with that gas would hold "
    "{in_water:2}. That is more than in the first paper. What do you make of it?",
    options=(
        Option(
            "Both can be right: one tested roots in a moving solution, the other plants in gas",
            "That is how we read them, from short summaries alone. So we draw a band, {harm} to {fine:2}, and name "
            "each source in it.",
        ),
        Option(
            "One of the two must be false",
            "This fits when one number is thought to hold for all roots. What is around the roots, and for how long, "
            "counts as well.",
            "one paper thought false",
        ),
        Option(
            "The limit lies between them, and below it the crop fails",
            "This fits when a limit is thought to be a sharp line. We found no paper with such a line: harm was seen "
            "at {harm}, and none at {floated}.",
            "line for a band",
        ),
        Option(
            "{gas} is less oxygen than {floated}, so they agree",
            "This fits when the numbers are compared without their units. Water in touch with {gas} holds "
            "{in_water:2}.",
            "units not compared",
        ),
    ),
    hint="What was around the roots in each paper? Did both measure the same thing?",
    route="{gas} is more oxygen than {floated}, and yet roots grew less. So the number alone does not decide. Roots "
    "in a moving solution with leaves in air are one thing, and plants in gas another. Papers on wet roots say little "
    "of roots in air.",
    draws={"warm": quantities((22, 24, 25, 26), "degC")},
    work=_two_papers,
    sources=("oxygen/critical/harmful", "oxygen/critical/no effect seen"),
)
