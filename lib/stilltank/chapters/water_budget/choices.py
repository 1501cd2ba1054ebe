"""Questions with options, for a vote in class or at the end of the page."""

from functools import cache
from typing import Any

import numpy as np

from stilltank.learning.questions import ChoiceQuestion, Numbers, Option
from stilltank.science.crops import Plants
from stilltank.science.crops import crop as crop_of
from stilltank.science.demand import crop_coefficient
from stilltank.science.hydraulics import level_rise, rain_into_tank
from stilltank.science.tank import preset
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities
from .shared import CHAPTER, TUB


def _hot_week(n: Numbers) -> dict[str, Any]:
    return _two_weeks(n.crop, n.count, n.day, n.asked.m_as("mm/day"))


@cache
def _two_weeks(crop: str, count: int, day: int, asked: float) -> dict[str, Any]:
    plants = Plants(crop_of(crop), count)
    coefficients = crop_coefficient(plants.crop, np.arange(day, day + 14))
    daily = coefficients * Q(asked, "mm/day") * plants.canopy_area
    used, later = ((part.sum() * Q(1, "day")).to("L") for part in (daily[:7], daily[7:]))
    return {
        "used": used,
        "later": later,
        "less": used - (later - used) / 2,
        "twice": 2 * used,
    }


HOT_WEEK = ChoiceQuestion(
    id="water-hot-week",
    chapter=CHAPTER,
    text="The week from day {day} after planting was hot, and {count} {crop} plants drank {used:2 L}. The next week "
    "will be as hot as this one, and no rain gets in. How much will they drink?",
    options=(
        Option(
            "More: {later:2 L}",
            "The plants have grown, so under the same sky they drink more. A level that falls "
            "faster need not be a leak.",
        ),
        Option(
            "The same: {used:2 L}",
            "This fits when the weather alone is thought to set the use. The leaves set it too, and there are more of "
            "them each week.",
            "growth left out",
        ),
        Option(
            "Less: {less:2 L}",
            "This fits when a lower level is thought to slow the plants. In our sums it does so only when the "
            "tank is nearly dry.",
            "lower level thought to slow them",
        ),
        Option(
            "Twice as much: {twice:2 L}",
            "This fits when young plants are thought to double each week. They grow, but under this sky not so fast.",
            "doubling each week",
        ),
    ),
    hint="Two things set the use: what the weather asks for, and how many leaves there are. Which one changes?",
    route="The weather asks for the same. But the coefficient of the plants climbs from day to day until they are "
    "grown. Added up it makes {used:2 L} in the first week and {later:2 L} in the next.",
    draws={
        "crop": ("basil", "lettuce"),
        "count": (4, 5, 6),
        "day": (22, 24, 26),
        "asked": quantities((5, 6, 7), "mm/day"),
    },
    work=_hot_week,
    sources=tuple(
        f"crops/{name}/{prop}" for name in ("basil", "lettuce") for prop in ("Kcb mid", "canopy area")
    ),
)


def _lidded_storm(n: Numbers) -> dict[str, Any]:
    return _on_the_lid(n.rain.m_as("mm"), n.level.m_as("cm"))


@cache
def _on_the_lid(depth: float, level: float) -> dict[str, Any]:
    tub, rain, now = preset(TUB), Q(depth, "mm"), Q(level, "cm")
    through_gaps, rimmed = (rain_into_tank(tub, rain, lid=lid) for lid in ("gaps", "rimmed"))
    return {
        "share": load("budget")["open", "rain share"].quantity.to("percent"),
        "let_in": through_gaps,
        "rise": level_rise(tub, now, through_gaps),
        "rimmed": level_rise(tub, now, rimmed),
        "allowed": load("roots")["refill", "rise"].quantity,
    }


LIDDED_STORM = ChoiceQuestion(
    id="water-lidded-storm",
    chapter=CHAPTER,
    text="In one night {rain:mm} of rain fall on a Quillgate tub. Its pots hang clear at a level of {level:cm}, and it "
    "has no overflow hole yet. Rain runs off the closed lid; gaps around the pots let in about {share} of it. What "
    "does the storm do?",
    options=(
        Option(
            "The level rises {rise:2 cm}, which is within the caution",
            "One paper warns of more than {allowed}, and this is less. But {share} is a guess: wider gaps let "
            "in more. Look at the level after the first rain, and drill the hole.",
        ),
        Option(
            "The level rises {rimmed:2 cm}, far above the caution",
            "This fits when all the rain on the lid is counted. It would be so with a rim that holds the rain.",
            "all the rain let in",
        ),
        Option(
            "The level rises {rain:cm}, as deep as the rain, above the caution",
            "This fits a tub without a lid, of one size from floor to rim. Here most of the rain runs off.",
            "rain depth for the rise",
        ),
        Option(
            "Nothing: a lid keeps all rain out",
            "This fits a lid without gaps. Each pot sits in a hole, and rain finds its way in beside the stem.",
            "lid thought tight",
        ),
    ),
    hint="How much rain falls on the lid, how much of it gets in, and over what water does it spread?",
    route="About {share} gets in: {let_in:2 L}. That lifts the level {rise:2 cm}, and one "
    "paper warns only of more than {allowed}. With a rim all of it would get in, and the level would rise "
    "{rimmed:2 cm}.",
    draws={
        "rain": quantities((40, 45, 50, 55, 60), "mm"),
        "level": quantities((11, 12, 13), "cm"),
    },
    work=_lidded_storm,
    sources=("budget/open/rain share", "roots/refill/rise", f"tanks/{TUB}/lid area"),
)
