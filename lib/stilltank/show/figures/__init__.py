"""Figures: they take results, are drawn once and updated in place, and say in words what they show."""

from .elements import ElementBars
from .level import SeasonLevel
from .picture import Picture
from .tank import TankSection

__all__ = ["ElementBars", "Picture", "SeasonLevel", "TankSection"]
