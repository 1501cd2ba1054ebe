"""Tanks: level and volume, both ways, what stands in them, what is left in them, and the weight to carry."""

from .contents import Bricks, Pots, Roots, TankWithContents, with_contents
from .dipstick import Dipstick, dipstick
from .level_table import LevelTable
from .lifting import Lifting, lifting_index
from .presets import preset, presets
from .remaining_volume import Tilted, tilted_level, volume_from_tilt, volume_from_weight
from .shapes import Box, Cylinder, Measured, TaperedBox, TaperedCylinder
from .tank import PlainTank, Tank

__all__ = [
    "Box",
    "Bricks",
    "Cylinder",
    "Dipstick",
    "LevelTable",
    "Lifting",
    "Measured",
    "PlainTank",
    "Pots",
    "Roots",
    "Tank",
    "TankWithContents",
    "TaperedBox",
    "TaperedCylinder",
    "Tilted",
    "dipstick",
    "lifting_index",
    "preset",
    "presets",
    "tilted_level",
    "volume_from_tilt",
    "volume_from_weight",
    "with_contents",
]
