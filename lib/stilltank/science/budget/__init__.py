"""The daily water balance of a tank: one season, or many drawn at random; its nutrients; and what to do about it."""

from . import strategies
from .answers import plants_for, tank_for
from .ensemble import Ensemble, ensemble
from .nutrients import after_uptake, nutrients
from .season import rain_catch, season
from .watching import LatestLook, latest_look

__all__ = [
    "Ensemble",
    "LatestLook",
    "after_uptake",
    "ensemble",
    "latest_look",
    "nutrients",
    "plants_for",
    "rain_catch",
    "season",
    "strategies",
    "tank_for",
]
