"""What the questions on mixing share: salts, tubs, labels.

The shares of the salts come from data/salts.csv. The volumes, targets and waters of the draws are invented for
the exercises: steps of a school balance, and targets within those of data/recipes.csv.
"""

import pint

from stilltank.learning.questions import Numbers
from stilltank.science.products import salt

CALCIUM_NITRATE = "calcium nitrate fertiliser"
POTASSIUM_NITRATE = "potassium nitrate"
EPSOM_SALT = "magnesium sulfate heptahydrate"
CHAPTER = "01"
LABEL_OF_CALCIUM_NITRATE = tuple(
    f"salts/{CALCIUM_NITRATE}/{prop}" for prop in ("NO3-N share", "NH4-N share", "Ca share")
)


def nitrogen_share(numbers: Numbers) -> pint.Quantity:
    """The nitrogen of the salt that was drawn, or of calcium nitrate where none was."""
    return salt(numbers.get("salt", CALCIUM_NITRATE)).share("N")


def calcium_share(_: Numbers) -> pint.Quantity:
    """The calcium of calcium nitrate, by its label."""
    return salt(CALCIUM_NITRATE).share("Ca")
