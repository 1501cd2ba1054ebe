"""Chapter 4, root zones: exercises, openers, questions to vote on, and worked examples."""

from .choices import TWO_PAPERS, WARMTH_MOST
from .diffusion import FILM_FROM_RECOVERY, SHARE_FROM_AIR, STILL_LAYER
from .examples import EXAMPLES
from .levels import FILL_LEVEL, REFILL_DAYS
from .openers import OPENERS
from .solubility import HOURS_OF_OXYGEN, HOURS_WHEN_WARM, OXYGEN_HELD
from .votes import VOTES

EXERCISES = (
    FILL_LEVEL,
    REFILL_DAYS,
    OXYGEN_HELD,
    HOURS_OF_OXYGEN,
    HOURS_WHEN_WARM,
    STILL_LAYER,
    SHARE_FROM_AIR,
    FILM_FROM_RECOVERY,
    WARMTH_MOST,
    TWO_PAPERS,
)
"""The ten exercises of the chapter: eight with a number, easiest first, and two choices."""

QUESTIONS = (*EXERCISES, *OPENERS, *VOTES)

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "QUESTIONS",
]
