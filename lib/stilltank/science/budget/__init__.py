"""The daily water balance of a tank: one season, or many drawn at random; its nutrients; and what to do about it."""

from ._balance import rules_of
from .absence import Absence, AbsenceSummary, Help, Pour
from .alkalinity import AlkalinityCourse, alkalinity_course
from .comparison import Comparison, LevelCourses
from .design import PlantCount, TankSize, how_large_a_tank, how_many_plants
from .doors import compare, ensemble, latest_look, season
from .ensemble import Ensemble
from .last_day import last_day_before_frost
from .left_over import nitrogen_left_over
from .looks import LatestLook
from .nutrients import NutrientCourse, concentration_after_uptake, nutrients
from .plantings import Planting
from .routines import (
    WAYS,
    Barrel,
    TopUp,
    by_hand,
    drip,
    float_valve,
    nothing,
    on_dates,
    rain_caught,
    to_a_mark,
    usual_routines,
)
from .salt import SaltCourse, salt_course
from .scenario import Choices, Scenario, Uncertain
from .season import Season
from .setting import Setting
from .skies import Skies

__all__ = [
    "WAYS",
    "Absence",
    "AbsenceSummary",
    "AlkalinityCourse",
    "Barrel",
    "Choices",
    "Comparison",
    "Ensemble",
    "Help",
    "LatestLook",
    "LevelCourses",
    "NutrientCourse",
    "PlantCount",
    "Planting",
    "Pour",
    "SaltCourse",
    "Scenario",
    "Season",
    "Setting",
    "Skies",
    "TankSize",
    "TopUp",
    "Uncertain",
    "alkalinity_course",
    "by_hand",
    "compare",
    "concentration_after_uptake",
    "drip",
    "ensemble",
    "float_valve",
    "how_large_a_tank",
    "how_many_plants",
    "last_day_before_frost",
    "latest_look",
    "nitrogen_left_over",
    "nothing",
    "nutrients",
    "on_dates",
    "rain_caught",
    "rules_of",
    "salt_course",
    "season",
    "to_a_mark",
    "usual_routines",
]
