"""The daily water balance of a tank: one season, or many drawn at random."""

from .balance import rain_catch
from .ensemble import Ensemble, ensemble
from .season import season

__all__ = ["Ensemble", "ensemble", "rain_catch", "season"]
