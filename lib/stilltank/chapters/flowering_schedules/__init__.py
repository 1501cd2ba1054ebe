"""Chapter 5, flowering schedules: exercises, openers, questions to vote on, and worked examples."""

from .choices import FROST_DATE, NIGHT_BREAK
from .examples import EXAMPLES
from .openers import OPENERS
from .plans import LAMP_HOURS, SOW_BEFORE
from .rooms import DAYS_AT, DAYS_SAVED, ROOM_FOR_DATE
from .sums import CLIPPED_DAY, DAY_SUM, DAYS_STILL
from .votes import VOTES

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
    "EXAMPLES",
    "EXERCISES",
    "QUESTIONS",
]
