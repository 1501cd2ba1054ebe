"""The daily water balance of a tank: one season, or many drawn at random; its nutrients; and what to do about it."""

from . import comparison
from .design import how_large_a_tank, how_many_plants
from .ensemble import Ensemble, ensemble
from .looks import LatestLook, latest_look
from .nutrients import concentration_after_uptake, nutrients
from .season import season

__all__ = [
    "Ensemble",
    "LatestLook",
    "comparison",
    "concentration_after_uptake",
    "ensemble",
    "how_large_a_tank",
    "how_many_plants",
    "latest_look",
    "nutrients",
    "season",
]
