"""What the page asks to predict."""

from stilltank.learning.predictions import PredictionQuestion

from .shared import CHAPTER

LEVEL = PredictionQuestion(
    id="03-level",
    chapter=CHAPTER,
    text="Where does the level stand on these days, in a usual summer?",
    kind="length",
)

LATEST_LOOK = PredictionQuestion(
    id="03-latest-look",
    chapter=CHAPTER,
    text="By which day must somebody look at the tub again?",
    kind="day",
    year=2027,
)
