"""What the page asks to predict."""

from stilltank.learning.predictions import PredictionQuestion

from .shared import CHAPTER

THREE_DEGREES = PredictionQuestion(
    id="05-three-degrees",
    chapter=CHAPTER,
    text="After how many days does the first flower open at 18 °C?",
    kind="time",
)

IN_TIME = PredictionQuestion(
    id="05-in-time",
    chapter=CHAPTER,
    text="In what share of the outcomes are there flowers by 28 June?",
    kind="share",
)
