"""Water on its way: rain into the tank, out by the overflow hole, down through drip emitters."""

from .emitters import emitter_exponent, emitter_flow, head_for, laminar_warming, viscosity
from .hole import HoleAdvice, discharge_coefficient, hole_flow, hole_for, hole_level, orifice_flow
from .rain import collecting_area, level_rise, rain_in
from .storm import Storm, blocked_hole, drain_time, storm
from .washing import after_overflow

__all__ = [
    "HoleAdvice",
    "Storm",
    "after_overflow",
    "blocked_hole",
    "collecting_area",
    "discharge_coefficient",
    "drain_time",
    "emitter_exponent",
    "emitter_flow",
    "head_for",
    "hole_flow",
    "hole_for",
    "hole_level",
    "laminar_warming",
    "level_rise",
    "orifice_flow",
    "rain_in",
    "storm",
    "viscosity",
]
