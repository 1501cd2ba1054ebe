"""Chapter 5, flowering schedules: exercises, openers, questions to vote on, and worked examples."""

from .choices import FROST_DATE, NIGHT_BREAK
from .examples import BACK_TO_SOWING, EXAMPLES, WARMTH_TO_DATE
from .openers import DAILY_LIGHT, IN_TIME, OPENERS, WEEK_SUM
from .plans import LAMP_HOURS, SOW_BEFORE
from .rooms import DAYS_AT, DAYS_SAVED, ROOM_FOR_DATE
from .sums import CLIPPED_DAY, DAY_SUM, DAYS_STILL
from .votes import SAME_STEP, TANKS, TWICE_AS_FAR, VOTES

EXERCISES = (
    DAY_SUM,
    DAYS_AT,
    CLIPPED_DAY,
    DAYS_STILL,
    LAMP_HOURS,
    ROOM_FOR_DATE,
    DAYS_SAVED,
    SOW_BEFORE,
    NIGHT_BREAK,
    FROST_DATE,
)
"""The ten exercises of the chapter: eight with a number, easiest first, and two choices."""

QUESTIONS = (*EXERCISES, *OPENERS, *VOTES)

__all__ = [
    "BACK_TO_SOWING",
    "CLIPPED_DAY",
    "DAILY_LIGHT",
    "DAYS_AT",
    "DAYS_SAVED",
    "DAYS_STILL",
    "DAY_SUM",
    "EXAMPLES",
    "EXERCISES",
    "FROST_DATE",
    "IN_TIME",
    "LAMP_HOURS",
    "NIGHT_BREAK",
    "OPENERS",
    "QUESTIONS",
    "ROOM_FOR_DATE",
    "SAME_STEP",
    "SOW_BEFORE",
    "TANKS",
    "TWICE_AS_FAR",
    "VOTES",
    "WARMTH_TO_DATE",
    "WEEK_SUM",
]
