"""Chapter 1, mixing. An entry is one line here, and its words in the module it is in."""

from . import amounts, choices, examples, openers, predictions, weighing

EXERCISES = (
    amounts.ELEMENT_FROM_SALT,
    weighing.SALT_FOR_TARGET,
    amounts.LABEL_PHOSPHORUS,
    weighing.OUNCES,
    weighing.TAP_WATER,
    amounts.ONE_PLUS,
    amounts.TWO_SOLUTIONS,
    weighing.TWO_SALTS,
)
"""What the page asks under *Exercises*, in this order: easiest first, choices last."""

CHOICES = (
    choices.ONE_BOTTLE,
    choices.DOUBLE_DOSE,
)
"""Other questions with options, for the sections of the page and for a vote in class."""

OPENERS = (
    openers.IN_EACH_LITRE,
    openers.LABEL_POTASSIUM,
    openers.DOSE,
)
"""Short questions that later chapters begin with."""

QUESTIONS = (*EXERCISES, *CHOICES, *OPENERS)

EXAMPLES = (
    examples.CALCIUM_NITRATE_EXAMPLE,
    examples.MAGNESIUM_EXAMPLE,
)
"""The worked examples."""

PREDICTIONS = (predictions.HALF_STRENGTH,)
"""What the page asks to predict."""

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "PREDICTIONS",
    "QUESTIONS",
]
