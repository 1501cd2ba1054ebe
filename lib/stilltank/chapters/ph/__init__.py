"""Chapter 2, pH: exercises, openers, questions to vote on, and worked examples."""

from .acid import ACID_FOR_TANK, BOTTLE, DILUTION, NITROGEN_LEFT
from .examples import ACID_FROM_REPORT, EXAMPLES, LADDER
from .openers import AT_REST, FROM_TIMES, OPENERS, PHOSPHORUS
from .votes import ESCAPING_GAS, LOW_TAP, NITRATE_DRIFT, VOTES
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
    "ACID_FOR_TANK",
    "ACID_FROM_REPORT",
    "ALKALINITY",
    "AT_REST",
    "BOTTLE",
    "DILUTION",
    "ESCAPING_GAS",
    "EXAMPLES",
    "EXERCISES",
    "FROM_TIMES",
    "LADDER",
    "LOW_TAP",
    "NITRATE_DRIFT",
    "NITROGEN_LEFT",
    "OPENERS",
    "PHOSPHORUS",
    "QUESTIONS",
    "TIMES_MORE",
    "TITRATION",
    "TWO_WATERS",
    "VOTES",
]
