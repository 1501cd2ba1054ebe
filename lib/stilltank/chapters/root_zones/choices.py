"""Exercises with options: what warmth changes most, and why two papers disagree."""

from functools import cache
from typing import Any

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science.roots import oxygen_findings, warming_effect
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER


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
