"""Chapter 6, season plan. An entry is one line here, and its words in the module it is in."""

from . import bags, choices, examples, openers, plants, predictions, rounds

EXERCISES = (
    rounds.LITRES_TO_CARRY,
    bags.LEFT_IN_BAGS,
    bags.SALT_FOR_BENCH,
    plants.CARRIED,
    bags.ELEMENT_FOR_COIN,
    rounds.DRIP_A_DAY,
    plants.LAST_SOWING,
    bags.TIMES_AS_DEAR,
    bags.SHARE_OF_STEM,
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
