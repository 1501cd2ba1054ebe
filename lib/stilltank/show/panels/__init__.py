"""Panels: they connect controls, calculation and pictures, and compute nothing themselves."""

from .chapter_0 import crop_panel, place_panel, reading, season_panel, tank_panel, water_panel
from .draft import Draft

__all__ = ["Draft", "crop_panel", "place_panel", "reading", "season_panel", "tank_panel", "water_panel"]
