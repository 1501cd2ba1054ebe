"""Chapter 2, pH. An entry is one line here, and its words in the module it is in."""

from . import acid, choices, examples, openers, predictions, water

EXERCISES = (
    water.TIMES_MORE,
    water.TWO_WATERS,
    water.ALKALINITY,
    water.TITRATION,
    acid.BOTTLE,
    acid.DILUTION,
    acid.ACID_FOR_TANK,
    acid.NITROGEN_LEFT,
)
"""What the page asks under *Exercises*, in this order: easiest first, choices last."""

CHOICES = (
    choices.LOW_TAP,
    choices.ESCAPING_GAS,
    choices.NITRATE_DRIFT,
)
"""Other questions with options, for the sections of the page and for a vote in class."""

OPENERS = (
    openers.FROM_TIMES,
    openers.PHOSPHORUS,
    openers.AT_REST,
)
"""Short questions that later chapters begin with."""

QUESTIONS = (*EXERCISES, *CHOICES, *OPENERS)

EXAMPLES = (
    examples.ACID_FROM_REPORT,
    examples.LADDER,
)
"""The worked examples."""

PREDICTIONS = (
    predictions.HALF_THE_ACID,
    predictions.WEEKS_LATER,
)
"""What the page asks to predict."""

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "PREDICTIONS",
    "QUESTIONS",
]
