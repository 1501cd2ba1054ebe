"""Worked examples of chapter 4."""

from typing import Any

from stilltank.learning.questions import Numbers, Slip, tenfold, thousandfold
from stilltank.learning.worked import Step, WorkedExample
from stilltank.science.oxygen import saturation
from stilltank.science.roots import refill, refill_limit
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import (
    CHAPTER,
    DEMANDS,
    LEVELS,
    WARMTHS,
    WATERS,
    hour_for_day,
    refill_rise,
    tub,
)


def _hours(n: Numbers) -> dict[str, Any]:
    full = saturation(n.warm)
    litre = (full * n.share).to("mg/L")
    under = (litre * n.level).to("g/m^2")
    return {
        "full": full,
        "litre": litre,
        "litres": n.level.m_as("mm") * Q(1, "L"),
        "under": (under * Q(1, "m^2")).to("mg"),
        "use": n.demand * Q(1, "m^2*day"),
        "usual": load("oxygen")["roots", "demand"].quantity * Q(1, "m^2*day"),
        "hourly": (n.demand * Q(1, "m^2*hour")).to("mg"),
        "hours": (under / n.demand).to("hour"),
    }


HOURS = WorkedExample(
    id="roots-worked-hours",
    chapter=CHAPTER,
    title="How long does the oxygen of the solution last?",
    text="A meter in a tub shows {share} of the oxygen that the solution can hold. At {warm} it can hold "
    "{full:4 mg/L}. The solution is {level} deep. All roots on a square metre use {use:g} of oxygen in a day. "
    "Potatoes in a field use about {usual:g}. For lettuce we found no number. Suppose that none comes in.",
    shown=Numbers(share=Q(75, "percent"), warm=Q(20, "degC"), level=Q(14, "cm"), demand=Q(4, "g/m^2/day")),
    draws={
        "share": quantities((65, 70, 80, 85), "percent"),
        "warm": WARMTHS,
        "level": LEVELS,
        "demand": DEMANDS,
    },
    work=_hours,
    steps=(
        Step(
            label="oxygen in a litre",
            working="{share} of {full:4 mg/L} is {litre:4 mg/L}.",
            prompt="How much oxygen is in each litre?",
            result="litre",
            kind="concentration",
            unit="mg/L",
            check=(
                "Size: somewhat less than a litre can hold.",
                "Unit: a share of mg/L stays mg/L.",
                "Direction: a smaller share is less oxygen.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "share left out",
                    "the solution is taken to hold all the oxygen it can",
                    "The meter shows less than that. Which share does it show?",
                    lambda n, _: [_hours(n)["full"]],
                ),
                Slip(
                    "what is missing",
                    "the oxygen that is missing is given, and not the oxygen that is there",
                    "The share on the meter is what is there.",
                    lambda n, _: [_hours(n)["full"] - _hours(n)["litre"]],
                ),
            ),
        ),
        Step(
            label="oxygen under a square metre",
            working="{level} deep, a square metre has {litres:4} under it. Times {litre:4 mg/L} that is {under:4 mg}.",
            prompt="How much oxygen is under one square metre of the surface? One millimetre of depth is one litre.",
            result="under",
            kind="mass",
            unit="mg",
            check=(
                "Size: about a gram, which is 1000 mg.",
                "Unit: litres times mg/L gives mg.",
                "Direction: deeper solution holds more.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "one litre for all",
                    "the oxygen of one litre is given for all that is under a square metre",
                    "How many litres are under a square metre, at this depth?",
                    lambda n, _: [_hours(n)["litre"] * Q(1, "L")],
                ),
            ),
        ),
        Step(
            label="use in an hour",
            working="{use:g} in a day is {hourly:4 mg} in an hour.",
            prompt="How much oxygen do the roots use in an hour?",
            result="hourly",
            kind="mass",
            unit="mg",
            check=(
                "Size: some hundred milligrams.",
                "Unit: a gram is 1000 mg, and a day has 24 hours.",
                "Direction: in an hour it is less than in a day.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "day for hour",
                    "the use of a whole day is given",
                    "Share it out over the hours of a day.",
                    lambda n, _: [_hours(n)["use"]],
                ),
                Slip(
                    "minutes for hours",
                    "the use of a minute is given, or a day is counted as 60 hours",
                    "An hour has 60 minutes. How many hours has a day?",
                    lambda n, solve: [solve(n) / 60, _hours(n)["use"] / 60],
                ),
            ),
        ),
        Step(
            label="hours",
            working="{under:4 mg} divided by {hourly:4 mg} an hour is {hours:4 h}. In a real tub more comes in at "
            "the surface, and roots in the air zone breathe air. How much each takes, we do not know.",
            prompt="For how many hours does the oxygen in the solution last?",
            result="hours",
            kind="time",
            unit="hour",
            check=(
                "Size: some hours, and less than a day.",
                "Unit: milligrams divided by milligrams an hour gives hours.",
                "Direction: the more the roots use, the sooner it is gone.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                hour_for_day(),
                Slip(
                    "use multiplied",
                    "the oxygen is multiplied by the use, and not divided",
                    "Roots that use more empty the water sooner.",
                    lambda n, _: [Q(_hours(n)["under"].m_as("g") * _hours(n)["hourly"].m_as("g"), "hour")],
                ),
            ),
        ),
    ),
    sources=("oxygen/roots/demand",),
)


def _refill(n: Numbers) -> dict[str, Any]:
    tank = tub(n)
    limit, done = refill_limit(tank, n.level), refill(tank, n.level, n.amount)
    return {
        "allowed": limit.rise,
        "litres": limit.volume,
        "rise": done.rise,
        "verdict": "more than" if done.too_far else "within",
        "bottom": n.height - n.pot,
        "gap": done.before.below_pot,
        "after": done.after.level,
        "left": done.after.below_pot,
        "submerged": done.submerged,
        "share": done.share_submerged.to("percent"),
    }


REFILL = WorkedExample(
    id="roots-worked-refill",
    chapter=CHAPTER,
    title="What does a refill of some litres do to the air zone?",
    text="A tub with upright walls is {height} high inside. The net pots reach {pot} down from the rim. The solution "
    "stands {level} deep, its surface is {water}, and the pots have hung clear for weeks. Somebody pours in {amount} "
    "at once. One paper on lettuce warns of a rise of more than {allowed}. Roots in the air fill the gap from the pots "
    "down to the solution.",
    shown=Numbers(
        height=Q(30, "cm"), pot=Q(7, "cm"), level=Q(13, "cm"), water=Q(0.2, "m^2"), amount=Q(6, "L")
    ),
    draws={
        "height": quantities((30, 32), "cm"),
        "pot": quantities((6, 7), "cm"),
        "level": quantities((11, 12, 14, 15), "cm"),
        "water": WATERS,
        "amount": quantities((2.4, 2.7, 4.5, 7.2, 9), "L"),
    },
    work=_refill,
    steps=(
        Step(
            label="litres that the rule allows",
            working="{allowed} is {allowed:mm}. On {water} that is {litres:4 L}.",
            prompt="How many litres does the rule allow at once?",
            result="litres",
            kind="volume",
            unit="L",
            check=(
                "Size: some litres; all the tub holds some tens.",
                "Unit: one millimetre of level on one square metre is one litre.",
                "Direction: a wider tub may take more.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "area left out",
                    "centimetres of level are taken for litres",
                    "A volume is a depth times an area. Look for the size of the water surface.",
                    lambda n, _: [Q(refill_rise().m_as("cm"), "L")],
                ),
            ),
        ),
        Step(
            label="rise of the level",
            working="{amount} over {water} is {rise:4 cm}: {verdict} the {allowed} of the rule.",
            prompt="How far does this refill lift the level? Give it in cm.",
            result="rise",
            kind="length",
            unit="cm",
            check=(
                "Size: some centimetres.",
                "Unit: one litre on one square metre is one millimetre.",
                "Direction: on a wider tub the same litres lift the level less.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "litres for centimetres",
                    "the litres are given as centimetres",
                    "Share the litres out over the water surface.",
                    lambda n, _: [Q(n.amount.m_as("L"), "cm")],
                ),
                Slip(
                    "area multiplied",
                    "the litres are multiplied by the area, and not divided",
                    "On a wide tub the level rises less. So divide by the area.",
                    lambda n, _: [Q(n.amount.m_as("L") * n.water.m_as("m^2"), "mm")],
                ),
            ),
        ),
        Step(
            label="air that is left below the pots",
            working="The pots end at {height} less {pot}, which is {bottom:4 cm}. The new level is {after:4 cm}. "
            "{left:4 cm} of air are left.",
            prompt="How much air is left between the pots and the solution?",
            result="left",
            kind="length",
            unit="cm",
            check=(
                "Size: less than before the refill.",
                "Unit: all of it is in cm.",
                "Direction: a higher level leaves less air.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "air before the refill",
                    "the air before the refill is given",
                    "The level is higher now. Take off the rise.",
                    lambda n, _: [_refill(n)["gap"]],
                ),
                Slip(
                    "up to the lid",
                    "all the air up to the lid is counted",
                    "The air that is asked for ends at the bottom of the pots.",
                    lambda n, _: [_refill(n)["left"] + n.pot],
                ),
            ),
        ),
        Step(
            label="share of the air roots under water",
            working="Before, the gap was {gap:4 cm}. Now {submerged:4 cm} of it are under water: that is {share:4}.",
            prompt="Which share of the roots in the air comes under water?",
            result="share",
            kind="share",
            unit="percent",
            check=(
                "Size: a part of them, so less than 100 %.",
                "Unit: centimetres divided by centimetres. Times 100 that is per cent.",
                "Direction: a larger rise puts more of them under water.",
            ),
            slips=(
                thousandfold(),
                tenfold(),
                Slip(
                    "share that stays",
                    "the share of roots that stay in air is given",
                    "Both shares make 100 %. Which one is asked for?",
                    lambda n, solve: [Q(100, "percent") - solve(n)],
                ),
                Slip(
                    "rise over the new gap",
                    "the rise is divided by the gap after the refill",
                    "The roots filled the gap as it was before.",
                    lambda n, _: [(_refill(n)["submerged"] / _refill(n)["left"]).to("percent")],
                ),
            ),
        ),
    ),
    sources=("roots/refill/rise",),
)
