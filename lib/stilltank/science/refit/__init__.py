"""What a log teaches about a tank: its factor, what comes, and what the next look is worth."""

from .coming_days import NextVisit, TankForecast, Week
from .fit import Surprise, TankFit, refit
from .neighbours import from_neighbours
from .observations import Observation, Prior
from .scores import interval_score

__all__ = [
    "NextVisit",
    "Observation",
    "Prior",
    "Surprise",
    "TankFit",
    "TankForecast",
    "Week",
    "from_neighbours",
    "interval_score",
    "refit",
]
