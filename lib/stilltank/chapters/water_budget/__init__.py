"""Chapter 3, water budget: exercises, openers, questions to vote on, and worked examples."""

from .examples import EXAMPLES
from .level import INCH_OF_LEVEL, LITRES_FOR_LEVEL, USED_IN_WEEK
from .openers import OPENERS
from .rain import BLOCKED_HOLE, DROWNING_WAY, RAIN_RISE
from .use import DAILY_USE, DAYS_LEFT, DRIP_TIME, STRENGTH_AFTER_USE
from .votes import VOTES

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
    "EXAMPLES",
    "EXERCISES",
    "QUESTIONS",
]
