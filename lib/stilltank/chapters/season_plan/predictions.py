"""What the page asks to predict."""

from stilltank.learning.predictions import PredictionQuestion

from .shared import CHAPTER

TWICE_THE_PLANTS = PredictionQuestion(
    id="06-twice-the-plants",
    chapter=CHAPTER,
    text="After how many days is the tub with eight plants dry, in half of the simulated seasons?",
    kind="time",
)
