"""Chapter 3, water budget. An entry is one line here, and its words in the module it is in."""

from . import choices, examples, level, openers, predictions, rain, use

EXERCISES = (
    level.LITRES_FOR_LEVEL,
    level.INCH_OF_LEVEL,
    level.USED_IN_WEEK,
    rain.RAIN_RISE,
    use.DAILY_USE,
    use.DAYS_LEFT,
    use.DRIP_TIME,
    use.STRENGTH_AFTER_USE,
    rain.RISING_WAY,
    rain.BLOCKED_HOLE,
)
"""What the page asks under *Exercises*, in this order: easiest first, choices last."""

CHOICES = (
    choices.HOT_WEEK,
    choices.LIDDED_STORM,
)
"""Other questions with options, for the sections of the page and for a vote in class."""

OPENERS = (
    openers.USE_A_DAY,
    openers.STORM_FLOW,
    openers.FULL_WEIGHT,
)
"""Short questions that later chapters begin with."""

QUESTIONS = (*EXERCISES, *CHOICES, *OPENERS)

EXAMPLES = (
    examples.USE_PER_PLANT,
    examples.LIFTING,
)
"""The worked examples."""

PREDICTIONS = (
    predictions.LEVEL,
    predictions.LATEST_LOOK,
)
"""What the page asks to predict."""

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "PREDICTIONS",
    "QUESTIONS",
]
