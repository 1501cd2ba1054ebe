"""Chapter 2, pH: exercises, openers, questions to vote on, and worked examples."""

from .acid import ACID_FOR_TANK, BOTTLE, DILUTION, NITROGEN_LEFT
from .examples import EXAMPLES
from .openers import OPENERS
from .votes import VOTES
from .water import ALKALINITY, TIMES_MORE, TITRATION, TWO_WATERS

EXERCISES = (
    TIMES_MORE,
    TWO_WATERS,
    ALKALINITY,
    TITRATION,
    BOTTLE,
    DILUTION,
    ACID_FOR_TANK,
    NITROGEN_LEFT,
)
"""The eight exercises of the chapter, easiest first."""

QUESTIONS = (*EXERCISES, *OPENERS, *VOTES)

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "QUESTIONS",
]
