"""What the questions on the water budget share.

Crops, coefficients and the unusable rest come from data/. The tubs, lids, storms and weeks of the draws are invented
for the exercises. Where a number is worked out by hand the walls are upright; the choices take the tub of Quillgate,
whose walls lean.
"""

import pint

from stilltank.learning.questions import Numbers, Slip
from stilltank.science.tank import Box
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities

CHAPTER = "03"
TUB = "quillgate-tub"
LENGTHS = quantities((50, 55, 60), "cm")
WIDTHS = quantities((30, 35, 40), "cm")
SURFACES = quantities((0.15, 0.18, 0.2, 0.24), "m^2")
HEIGHT = Q(32, "cm")


def box(n: Numbers) -> Box:
    """The tub with upright walls that was drawn."""
    return Box(n.length, n.width, n.get("height", HEIGHT), empty_mass=n.get("empty"))


def unusable_rest() -> pint.Quantity:
    """The depth of solution that no root takes."""
    return load("budget")["tank", "unusable depth"].quantity


def one_plant_for_all(divided: bool = False) -> Slip:
    """The number of one plant given for all; ``divided`` where more plants make the answer smaller."""
    return Slip(
        "one plant for all",
        "one plant is counted, and not all of them",
        "Count the plants in the text, and see whether that number is in the answer once.",
        lambda n, solve: [solve(n) * (n.count if divided else 1 / n.count)],
    )


def hour_for_minute() -> Slip:
    """Minutes and hours mixed up."""
    minutes = Q(1, "hour").m_as("minute")
    return Slip(
        "minutes for hours",
        "minutes are counted as hours, or hours as minutes",
        "Write the unit of time beside each number. Which one does the text ask for?",
        lambda n, solve: [solve(n) * minutes, solve(n) / minutes],
    )
