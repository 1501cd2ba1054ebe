"""Chapter 1, mixing: exercises, openers, questions to vote on, and worked examples."""

from .amounts import ELEMENT_FROM_SALT, LABEL_PHOSPHORUS, ONE_PLUS, TWO_SOLUTIONS
from .examples import EXAMPLES
from .openers import DOSE, IN_EACH_LITRE, LABEL_POTASSIUM, OPENERS
from .shared import CALCIUM_NITRATE, EPSOM_SALT, POTASSIUM_NITRATE
from .votes import DOUBLE_DOSE, ONE_BOTTLE, VOTES
from .weighing import OUNCES, SALT_FOR_TARGET, TAP_WATER, TWO_SALTS

EXERCISES = (
    ELEMENT_FROM_SALT,
    SALT_FOR_TARGET,
    LABEL_PHOSPHORUS,
    OUNCES,
    TAP_WATER,
    ONE_PLUS,
    TWO_SOLUTIONS,
    TWO_SALTS,
)
"""The eight exercises of the chapter, easiest first."""

QUESTIONS = (*EXERCISES, *OPENERS, *VOTES)

__all__ = [
    "CALCIUM_NITRATE",
    "DOSE",
    "DOUBLE_DOSE",
    "ELEMENT_FROM_SALT",
    "EPSOM_SALT",
    "EXAMPLES",
    "EXERCISES",
    "IN_EACH_LITRE",
    "LABEL_PHOSPHORUS",
    "LABEL_POTASSIUM",
    "ONE_BOTTLE",
    "ONE_PLUS",
    "OPENERS",
    "OUNCES",
    "POTASSIUM_NITRATE",
    "QUESTIONS",
    "SALT_FOR_TARGET",
    "TAP_WATER",
    "TWO_SALTS",
    "TWO_SOLUTIONS",
    "VOTES",
]
