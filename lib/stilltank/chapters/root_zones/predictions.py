"""What the page asks to predict."""

from stilltank.learning.predictions import PredictionQuestion

from .shared import CHAPTER

HOURS_OF_OXYGEN = PredictionQuestion(
    id="04-hours-of-oxygen",
    chapter=CHAPTER,
    text="After how many hours have the roots used the oxygen of the water?",
    kind="time",
)

FLOATING_COVER = PredictionQuestion(
    id="04-floating-cover",
    chapter=CHAPTER,
    text="How much less did the heads weigh under the floating cover?",
    kind="share",
)

WARMTH = PredictionQuestion(
    id="04-warmth",
    chapter=CHAPTER,
    text="From 20 to 30 °C, which changes most?",
    kind="choice",
    choices=("what the water holds", "what the roots ask for", "how deep it reaches"),
)
