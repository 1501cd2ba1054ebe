"""The number in a box of a panel, whether the box takes plain numbers or measures as a ruler has them."""

import math
from fractions import Fraction


def number_in(box):
    """The number; nan for words that are none."""
    try:
        return float(sum(map(Fraction, box.value.split()))) if isinstance(box.value, str) else box.value
    except ValueError:
        return math.nan
