"""What the page asks to predict."""

from stilltank.learning.predictions import PredictionQuestion

from .shared import CHAPTER

HALF_STRENGTH = PredictionQuestion(
    id="01-half-strength",
    chapter=CHAPTER,
    text="What does the meter show at half strength?",
    kind="conductivity",
)
