"""Chapter 1, mixing: exercises, openers, questions to vote on, and worked examples."""

from .amounts import ELEMENT_FROM_SALT, LABEL_PHOSPHORUS, ONE_PLUS, TWO_SOLUTIONS
from .examples import EXAMPLES
from .openers import OPENERS
from .votes import VOTES
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
    "EXAMPLES",
    "EXERCISES",
    "QUESTIONS",
]
