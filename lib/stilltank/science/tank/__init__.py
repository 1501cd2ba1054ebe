"""Tanks: level and volume, both ways, the area of the water and the weight to carry."""

from .base import Tank
from .presets import preset, presets
from .shapes import Box, Cylinder, Measured, TaperedBox, TaperedCylinder

__all__ = ["Box", "Cylinder", "Measured", "Tank", "TaperedBox", "TaperedCylinder", "preset", "presets"]
