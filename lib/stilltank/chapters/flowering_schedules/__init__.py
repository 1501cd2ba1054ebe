"""Chapter 5, flowering schedules. An entry is one line here, and its words in the module it is in."""

from . import choices, examples, openers, plans, predictions, rooms, sums

EXERCISES = (
    sums.DAY_SUM,
    sums.CLIPPED_DAY,
    rooms.DAYS_AT,
    sums.DAYS_STILL,
    rooms.DAYS_SAVED,
    rooms.ROOM_FOR_DATE,
    plans.LAMP_HOURS,
    plans.SOW_BEFORE,
    choices.TWICE_AS_FAR,
    choices.FROST_DATE,
)
"""What the page asks under *Exercises*, in this order: easiest first, choices last."""

CHOICES = (
    choices.SAME_STEP,
    choices.NIGHT_BREAK,
    choices.TANKS,
)
"""Other questions with options, for the sections of the page and for a vote in class."""

OPENERS = (
    openers.WEEK_SUM,
    openers.DAILY_LIGHT,
    openers.IN_TIME,
)
"""Short questions that later chapters begin with."""

QUESTIONS = (*EXERCISES, *CHOICES, *OPENERS)

EXAMPLES = (
    examples.WARMTH_TO_DATE,
    examples.BACK_TO_SOWING,
)
"""The worked examples."""

PREDICTIONS = (
    predictions.THREE_DEGREES,
    predictions.IN_TIME,
)
"""What the page asks to predict."""

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "PREDICTIONS",
    "QUESTIONS",
]
