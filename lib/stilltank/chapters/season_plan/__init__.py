"""Chapter 6, season plan. An entry is one line here, and its words in the module it is in."""

from . import choices, crowding, examples, openers, predictions, rounds, shopping

EXERCISES = (
    rounds.LITRES_TO_CARRY,
    shopping.LEFT_IN_BAGS,
    shopping.SALT_FOR_BENCH,
    crowding.CARRIED,
    shopping.ELEMENT_FOR_COIN,
    rounds.DRIP_A_DAY,
    crowding.LAST_SOWING,
    shopping.TIMES_AS_DEAR,
    shopping.SHARE_OF_STEM,
    choices.CHEAPER_BAG,
    choices.LATE_BATCH,
)
"""What the page asks under *Exercises*, in this order: easiest first, choices last."""

CHOICES = (
    choices.TOO_MANY,
    choices.OVERLAP,
)
"""Other questions with options, for the sections of the page and for a vote in class."""

OPENERS = (
    openers.LITRES_EACH,
    openers.DRIP_TIME,
    openers.BENCH_LOAD,
)
"""Short questions that later chapters begin with."""

QUESTIONS = (*EXERCISES, *CHOICES, *OPENERS)

EXAMPLES = (
    examples.SHOPPING,
    examples.TWO_WEEKS,
)
"""The worked examples."""

PREDICTIONS = (predictions.TWICE_THE_PLANTS,)
"""What the page asks to predict."""

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "PREDICTIONS",
    "QUESTIONS",
]
