"""The daily water balance of a tank: one season, or many drawn at random."""

from .ensemble import Ensemble, ensemble
from .season import rain_catch, season

__all__ = ["Ensemble", "ensemble", "rain_catch", "season"]
