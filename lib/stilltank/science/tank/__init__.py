"""Tanks: level and volume, both ways, what stands in them, what is left in them, and the weight to carry."""

from .base import Tank
from .contents import Bricks, Displaced, Pots, Roots
from .lifting import Lifting, lifting
from .marks import Dipstick, dipstick
from .presets import preset, presets
from .remaining import Tilted, left_by_tilt, left_by_weight, tilted
from .shapes import Box, Cylinder, Measured, TaperedBox, TaperedCylinder

__all__ = [
    "Box",
    "Bricks",
    "Cylinder",
    "Dipstick",
    "Displaced",
    "Lifting",
    "Measured",
    "Pots",
    "Roots",
    "Tank",
    "TaperedBox",
    "TaperedCylinder",
    "Tilted",
    "dipstick",
    "left_by_tilt",
    "left_by_weight",
    "lifting",
    "preset",
    "presets",
    "tilted",
]
