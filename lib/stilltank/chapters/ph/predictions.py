"""What the page asks to predict."""

from stilltank.learning.predictions import PredictionQuestion

from .shared import CHAPTER

HALF_THE_ACID = PredictionQuestion(
    id="02-half-the-acid",
    chapter=CHAPTER,
    text="What does the meter show once half the acid is in?",
    kind="pH",
)

WEEKS_LATER = PredictionQuestion(
    id="02-weeks-later",
    chapter=CHAPTER,
    text="The tank was set to 5.8 on the first day. What does the meter show once it is at rest with the air?",
    kind="pH",
)
