"""Panels: they connect controls, calculation and pictures, and compute nothing themselves."""

from .chapter_0 import crop_panel, place_panel, reading, season_panel, tank_panel, water_panel
from .chapter_1 import bottle_panel, meter_panel, recipe_panel, salt_panel
from .chapter_2 import dose_panel, drift_panel, titration_panel, week_panel
from .chapter_3 import away_panel, level_panel, storm_panel, strategies_panel
from .chapter_4 import breathing_panel, film_panel, oxygen_panel, refill_panel, zones_panel
from .chapter_5 import dates_panel, in_time_panel, rate_panel, succession_panel
from .draft import Draft
from .lesson import Learner, predict, questions, worked
from .saving import Keep, Sheets, Tasks
from .sketch import sketch

__all__ = [
    "Draft",
    "Keep",
    "Learner",
    "Sheets",
    "Tasks",
    "away_panel",
    "bottle_panel",
    "breathing_panel",
    "crop_panel",
    "dates_panel",
    "dose_panel",
    "drift_panel",
    "film_panel",
    "in_time_panel",
    "level_panel",
    "meter_panel",
    "oxygen_panel",
    "place_panel",
    "predict",
    "questions",
    "rate_panel",
    "reading",
    "recipe_panel",
    "refill_panel",
    "salt_panel",
    "season_panel",
    "sketch",
    "storm_panel",
    "strategies_panel",
    "succession_panel",
    "tank_panel",
    "titration_panel",
    "water_panel",
    "week_panel",
    "worked",
    "zones_panel",
]
