"""What the parts of the root zones ask of a tank, in plain metres."""

from typing import Any

import numpy as np

from stilltank.science.tank import Tank
from stilltank.units import Problem, within

ROUNDING = 1e-9  # m; far below what a ruler shows


def pot_depth_of(tank: Tank) -> float:
    """From the rim down to the bottom of a net pot."""
    if tank.net_pot_depth is None:
        raise Problem(
            "This tank has no net_pot_depth. Measure from the rim down to the bottom of a net pot and make the "
            'tank with net_pot_depth=Q(7, "cm"), for example.'
        )
    return float(tank.net_pot_depth.m_as("m"))


def level_inside(tank: Tank, level: Any) -> Any:
    """The level, refused where it is not between floor and rim."""
    top = tank.plain.height
    bad = np.ravel(level)[(np.ravel(level) < -ROUNDING) | (np.ravel(level) > top + ROUNDING)]
    if bad.size:
        within(bad[0], 0, top, "A level lies between 0 and the rim at {high}; {value} does not.", "m")
    return np.clip(level, 0, top)  # only what rounding left over
