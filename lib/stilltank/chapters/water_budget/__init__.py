"""Chapter 3, water budget: exercises, openers, questions to vote on, and worked examples."""

from .examples import EXAMPLES, LIFTING, USE_PER_PLANT
from .level import INCH_OF_LEVEL, LITRES_FOR_LEVEL, USED_IN_WEEK
from .openers import FULL_WEIGHT, OPENERS, STORM_FLOW, USE_A_DAY
from .rain import BLOCKED_HOLE, DROWNING_WAY, RAIN_RISE
from .use import DAILY_USE, DAYS_LEFT, DRIP_TIME, STRENGTH_AFTER_USE
from .votes import HOT_WEEK, LIDDED_STORM, VOTES

EXERCISES = (
    LITRES_FOR_LEVEL,
    INCH_OF_LEVEL,
    USED_IN_WEEK,
    RAIN_RISE,
    DAILY_USE,
    DAYS_LEFT,
    DRIP_TIME,
    STRENGTH_AFTER_USE,
    DROWNING_WAY,
    BLOCKED_HOLE,
)
"""The ten exercises of the chapter: eight with a number, easiest first, and two choices."""

QUESTIONS = (*EXERCISES, *OPENERS, *VOTES)

__all__ = [
    "BLOCKED_HOLE",
    "DAILY_USE",
    "DAYS_LEFT",
    "DRIP_TIME",
    "DROWNING_WAY",
    "EXAMPLES",
    "EXERCISES",
    "FULL_WEIGHT",
    "HOT_WEEK",
    "INCH_OF_LEVEL",
    "LIDDED_STORM",
    "LIFTING",
    "LITRES_FOR_LEVEL",
    "OPENERS",
    "QUESTIONS",
    "RAIN_RISE",
    "STORM_FLOW",
    "STRENGTH_AFTER_USE",
    "USED_IN_WEEK",
    "USE_A_DAY",
    "USE_PER_PLANT",
    "VOTES",
]
