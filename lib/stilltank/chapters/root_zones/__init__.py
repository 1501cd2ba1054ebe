"""Chapter 4, root zones. An entry is one line here, and its words in the module it is in."""

from . import choices, diffusion, examples, levels, openers, predictions, solubility

EXERCISES = (
    levels.FILL_LEVEL,
    solubility.OXYGEN_HELD,
    solubility.HOURS_OF_OXYGEN,
    levels.REFILL_DAYS,
    diffusion.STILL_LAYER,
    solubility.HOURS_WHEN_WARM,
    diffusion.SHARE_FROM_AIR,
    diffusion.FILM_FROM_RECOVERY,
    choices.LID_GAP,
    choices.FULL_TANK,
)
"""What the page asks under *Exercises*, in this order: easiest first, choices last."""

CHOICES = (
    choices.STILL_DAY,
    choices.TWO_PAPERS,
    choices.FLOATING_COVER,
    choices.WARMTH_MOST,
)
"""Other questions with options, for the sections of the page and for a vote in class."""

OPENERS = (
    openers.AIR_BELOW_POT,
    openers.FLOATING_LOSS,
    openers.RAIN_TO_LIMIT,
)
"""Short questions that later chapters begin with."""

QUESTIONS = (*EXERCISES, *CHOICES, *OPENERS)

EXAMPLES = (
    examples.HOURS,
    examples.REFILL,
)
"""The worked examples."""

PREDICTIONS = (
    predictions.HOURS_OF_OXYGEN,
    predictions.FLOATING_COVER,
    predictions.WARMTH,
)
"""What the page asks to predict."""

__all__ = [
    "EXAMPLES",
    "EXERCISES",
    "PREDICTIONS",
    "QUESTIONS",
]
