"""What the parts of the root zones ask of a tank, in plain metres."""

from typing import Any

import numpy as np

from stilltank.units import Problem, within

ROUNDING = 1e-9  # m; far below what a ruler shows


def height_of(tank: Any) -> float:
    """Of the rim; refuses what is no tank."""
    if not hasattr(tank, "height") or not hasattr(tank, "net_pot_depth"):
        raise Problem(
            f"A tank is needed here, such as preset('quillgate-tub') or Box(...); you gave {tank!r}."
        )
    return tank.height.m_as("m")


def pot_depth_of(tank: Any) -> float:
    """From the rim down to the bottom of a net pot."""
    height_of(tank)
    if tank.net_pot_depth is None:
        raise Problem(
            "This tank has no net_pot_depth. Measure from the rim down to the bottom of a net pot and make the "
            'tank with net_pot_depth=Q(7, "cm"), for example.'
        )
    return tank.net_pot_depth.m_as("m")


def level_inside(tank: Any, level: Any) -> Any:
    """The level, refused where it is not between floor and rim."""
    top = height_of(tank)
    within(
        level,
        -ROUNDING,
        top + ROUNDING,
        f"A level lies between 0 and the rim at {top:g} m; {{value:g}} m does not.",
    )
    return np.clip(level, 0, top)  # only what rounding left over
