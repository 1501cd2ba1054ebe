"""Water on its way: rain into the tank, out by the overflow hole, down through drip emitters."""

from .emitters import drop_rate, emitter_exponent, emitter_flow, head_for_flow
from .overflow_hole import (
    OverflowDiameter,
    discharge_coefficient,
    hole_flow,
    hole_level,
    orifice_flow,
    overflow_diameter,
)
from .rain import collecting_area, level_rise, rain_catch, rain_into_tank
from .storm import Hole, Rain, Storm, blocked_hole, drain_time, storm

__all__ = [
    "Hole",
    "OverflowDiameter",
    "Rain",
    "Storm",
    "blocked_hole",
    "collecting_area",
    "discharge_coefficient",
    "drain_time",
    "drop_rate",
    "emitter_exponent",
    "emitter_flow",
    "head_for_flow",
    "hole_flow",
    "hole_level",
    "level_rise",
    "orifice_flow",
    "overflow_diameter",
    "rain_catch",
    "rain_into_tank",
    "storm",
]
