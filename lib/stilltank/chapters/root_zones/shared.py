"""What the questions on the root zones share.

Oxygen, coefficients, the refill rule and the trial of the covers come from data/. The tubs, levels, refills and
meter readings of the draws are invented for the exercises, and their walls are upright.
"""

import pint

from stilltank.learning.questions import Numbers, Slip
from stilltank.science.tank import Box
from stilltank.tables import load
from stilltank.units import Q

from ..draws import quantities

CHAPTER = "04"
WATERS = quantities((0.15, 0.18, 0.2, 0.24), "m^2")
LEVELS = quantities((10, 12, 14, 15, 16), "cm")
HEIGHT, POT, CLEAR = Q(30, "cm"), Q(7, "cm"), Q(13, "cm")
"""Where a question does not ask for them: a tub, its net pots, and a level at which they hang clear."""
WARMTHS = quantities((18, 20, 22, 25), "degC")
DEMANDS = quantities((2.5, 3, 3.5, 4, 5), "g/m^2/day")


def tub(n: Numbers) -> Box:
    """The tub with upright walls that was drawn."""
    width, water = Q(40, "cm"), n.get("water", WATERS[0])
    return Box(
        (water / width).to("cm"),
        width,
        n.get("height", HEIGHT),
        net_pot_depth=n.get("pot", POT),
        lid_area=n.get("lid"),
    )


def refill_rise() -> pint.Quantity:
    """How far a refill may lift the level once the pots hang clear."""
    return load("roots")["refill", "rise"].quantity


def hour_for_day() -> Slip:
    """Hours and days mixed up."""
    hours = Q(1, "day").m_as("hour")
    return Slip(
        "hours for days",
        "hours are counted as days, or days as hours",
        "Write the unit of time beside each number. A day has 24 hours.",
        lambda n, solve: [solve(n) * hours, solve(n) / hours],
    )
