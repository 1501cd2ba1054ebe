"""Chapter 1, mixing: exercises, openers, questions to vote on, and worked examples."""

from .examples import EXAMPLES
from .exercises import (
    ELEMENT_FROM_SALT,
    EXERCISES,
    LABEL_PHOSPHORUS,
    ONE_PLUS,
    OUNCES,
    SALT_FOR_TARGET,
    TAP_WATER,
    TWO_SALTS,
    TWO_SOLUTIONS,
)
from .openers import DOSE, IN_EACH_LITRE, LABEL_POTASSIUM, OPENERS
from .shared import CALCIUM_NITRATE, EPSOM_SALT, POTASSIUM_NITRATE
from .votes import DOUBLE_DOSE, ONE_BOTTLE, VOTES

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
