"""Short questions on the root zones that later chapters open with."""

from typing import Any

from stilltank.learning.questions import (
    Numbers,
    Question,
    Slip,
    percent_for_share,
    ratio_upside_down,
    tenfold,
    thousandfold,
)
from stilltank.science.roots import rain_for_rise, refill_limit, zones
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, CLEAR, WATERS, tub


def _air_below_pot(n: Numbers) -> dict[str, Any]:
    found = zones(tub(n), n.level)
    return {"air": found.air_zone, "bottom": n.height - n.pot, "answer": found.below_pot}


AIR_BELOW_POT = Question(
    id="roots-air-below-pot",
    chapter=CHAPTER,
    text="A tub is {height} high inside. The net pots reach {pot} down from the rim. Today the level is {level}. How "
    "much air is there between the bottom of a pot and the solution?",
    draws={
        "height": quantities((28, 30, 32), "cm"),
        "pot": quantities((5, 6, 7), "cm"),
        "level": quantities((9, 10.5, 12, 13.5, 15), "cm"),
    },
    work=_air_below_pot,
    kind="length",
    unit="cm",
    between=(Q(5, "cm"), Q(18, "cm")),
    slips=(
        Slip(
            "up to the lid",
            "all the air up to the lid is counted",
            "The air that is asked for ends at the bottom of the pot.",
            lambda n, _: [_air_below_pot(n)["air"]],
        ),
        Slip(
            "solution for air",
            "the depth of the solution is given, and not the air above it",
            "The level says how deep the solution is. The air lies above.",
            lambda n, _: [n.level],
        ),
        Slip(
            "pot added",
            "the depth of the pot is added, and not taken off",
            "The pot hangs down into the air, so it leaves less of it.",
            lambda n, _: [_air_below_pot(n)["air"] + n.pot],
        ),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least} and {most} here.",
        "Unit: all of it is in cm.",
        "Direction: a lower level leaves more air.",
    ),
    steps=(
        ("bottom of the pots", "{height} less {pot} is {bottom:4 cm}. There the pots end."),
        ("air below them", "{bottom:4 cm} less {level} is {answer:4 cm}."),
    ),
    why="Roots that live in this air are the ones that a high refill puts under water.",
)


def _floating_loss(n: Numbers) -> dict[str, Any]:
    table = load("roots")
    lost = table["floating cover", "loss" if n.cover == _TO_THE_END else "loss with a late rest"].quantity
    each = table["fixed cover", "head weight"].quantity
    share = lost.to("percent")
    left = (Q(100, "percent") - share).to("percent")
    return {
        "each": each,
        "share": share,
        "left": left,
        "head": (each * left).to("g"),
        "answer": (n.count * each * left).to("g"),
    }


_TO_THE_END = "floated on the solution to the end"

FLOATING_LOSS = Question(
    id="roots-floating-loss",
    chapter=CHAPTER,
    text="In a published trial lettuce grew over still tanks. Under a fixed cover an air zone grew as the level fell. "
    "There a head weighed {each:g}. Another cover {cover}. There the heads weighed {share} less. What do "
    "{count} of those heads weigh?",
    draws={
        "cover": (_TO_THE_END, "floated at first, and then came to rest on a support"),
        "count": (6, 8, 9, 12, 15, 20),
    },
    work=_floating_loss,
    kind="mass",
    unit="g",
    tolerance=Q(1, "percent"),
    between=(Q(1, "kg"), Q(4.5, "kg")),
    slips=(
        Slip(
            "loss left out",
            "the heads under the fixed cover are weighed",
            "Which cover is asked for?",
            lambda n, _: [n.count * _floating_loss(n)["each"]],
        ),
        Slip(
            "loss for what is left",
            "the weight that is lost is given, and not what is left",
            "How much is left when that share is gone?",
            lambda n, _: [(n.count * _floating_loss(n)["each"] * _floating_loss(n)["share"]).to("g")],
        ),
        Slip(
            "loss added",
            "the loss is added, and not taken off",
            "Are the heads heavier there, or lighter?",
            lambda n, _: [
                (n.count * _floating_loss(n)["each"] * (Q(100, "percent") + _floating_loss(n)["share"])).to(
                    "g"
                )
            ],
        ),
        Slip(
            "one head",
            "one head is weighed, and not all of them",
            "How many heads are asked for?",
            lambda n, _: [_floating_loss(n)["head"]],
        ),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least:g} and {most:g} here.",
        "Unit: grams for each head, times heads, gives grams.",
        "Direction: these heads are lighter than those under the fixed cover.",
    ),
    steps=(
        ("what is left", "100 % less {share} is {left}."),
        ("one head", "{left} of {each:g} is {head:4 g}."),
        ("all heads", "{count} times {head:4 g} is {answer:5 g}."),
    ),
    why="The heads were smaller there, and the plants did not die. So too little oxygen is a risk, and not the end.",
    sources=(
        "roots/fixed cover/head weight",
        "roots/floating cover/loss",
        "roots/floating cover/loss with a late rest",
    ),
)


def _rain_to_limit(n: Numbers) -> dict[str, Any]:
    tank = tub(n)
    rise = refill_limit(tank, CLEAR).rise
    return {
        "allowed": rise,
        "litres": (rise * n.water).to("L"),
        "whole": (rise * n.water / n.share).to("L"),
        "answer": rain_for_rise(tank, CLEAR, rise, n.share),
    }


RAIN_TO_LIMIT = Question(
    id="roots-rain-to-limit",
    chapter=CHAPTER,
    text="The pots hang clear, so the level may rise by {allowed} at most. The water surface is {water}. Rain falls on "
    "a lid of {lid}, and gaps around the pots let in {share} of it. How many millimetres of rain bring the level to "
    "that limit?",
    draws={
        "water": WATERS[:3],
        "lid": quantities((0.22, 0.25, 0.28), "m^2"),
        "share": quantities((20, 25, 30, 40), "percent"),
    },
    work=_rain_to_limit,
    kind="length",
    unit="mm",
    between=(Q(25, "mm"), Q(100, "mm")),
    slips=(
        Slip(
            "all the rain let in",
            "all the rain on the lid is counted as let in",
            "How much of it finds a gap, and how much runs off the lid?",
            lambda n, solve: [solve(n) * n.share.m_as("dimensionless")],
        ),
        Slip(
            "share multiplied",
            "the share is multiplied in, and not divided by",
            "Where only a part gets in, more rain must fall.",
            lambda n, solve: [solve(n) * n.share.m_as("dimensionless") ** 2],
        ),
        Slip(
            "one area for both",
            "the lid and the water are taken to be of one size",
            "Rain falls on the lid, and spreads over the water. Both areas count.",
            lambda n, solve: [solve(n) * (n.lid / n.water).m_as("dimensionless")],
        ),
        ratio_upside_down("lid", "water"),
        percent_for_share(),
        tenfold(),
        thousandfold(),
    ),
    check=(
        "Size: expect between {least:mm} and {most:mm} here.",
        "Unit: one millimetre of rain on one square metre is one litre.",
        "Direction: a larger lid or wider gaps need less rain.",
    ),
    steps=(
        ("litres to the limit", "{allowed:mm} on {water} is {litres:4 L}."),
        ("litres on the lid", "That is {share} of {whole:4 L}."),
        ("rain", "{whole:4 L} on {lid} is {answer:4 mm}."),
    ),
    why="The {allowed} come from one paper on lettuce. Gaps differ, so look at the level after the first rain.",
    sources=("roots/refill/rise",),
)
