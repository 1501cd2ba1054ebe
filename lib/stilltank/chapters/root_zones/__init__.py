"""Chapter 4, root zones: exercises, openers, questions to vote on, and worked examples."""

from .choices import TWO_PAPERS, WARMTH_MOST
from .diffusion import FILM_FROM_RECOVERY, SHARE_FROM_AIR, STILL_LAYER
from .examples import EXAMPLES, HOURS, REFILL
from .levels import FILL_LEVEL, REFILL_DAYS
from .openers import AIR_BELOW_POT, FLOATING_LOSS, OPENERS, RAIN_TO_LIMIT
from .solubility import HOURS_OF_OXYGEN, HOURS_WHEN_WARM, OXYGEN_HELD
from .votes import FLOATING_COVER, FULL_TANK, LID_GAP, STILL_DAY, VOTES

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
    "AIR_BELOW_POT",
    "EXAMPLES",
    "EXERCISES",
    "FILL_LEVEL",
    "FILM_FROM_RECOVERY",
    "FLOATING_COVER",
    "FLOATING_LOSS",
    "FULL_TANK",
    "HOURS",
    "HOURS_OF_OXYGEN",
    "HOURS_WHEN_WARM",
    "LID_GAP",
    "OPENERS",
    "OXYGEN_HELD",
    "QUESTIONS",
    "RAIN_TO_LIMIT",
    "REFILL",
    "REFILL_DAYS",
    "SHARE_FROM_AIR",
    "STILL_DAY",
    "STILL_LAYER",
    "TWO_PAPERS",
    "VOTES",
    "WARMTH_MOST",
]
