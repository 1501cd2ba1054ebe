"""The two root zones of a still tank: solution below, moist air above, and what roots breathe in each."""

from .algae import Algae, algal_oxygen
from .growth import RootCourse, oxygen_demand, root_course
from .level_course import LevelCourse
from .mixed_pots import MixedPots, mixed_pots
from .oxygen_risk import Finding, OxygenRisk, oxygen_caution, oxygen_findings, oxygen_risk
from .refill import Refill, refill
from .refill_limit import (
    HoleHeight,
    RefillLimit,
    Rises,
    overflow_height,
    rain_for_rise,
    refill_limit,
    rises,
)
from .root_oxygen import RootDemand, RootOxygen, root_oxygen
from .solution_temperature import (
    SolutionTemperature,
    solution_temperature,
    sun_through_canopy,
    tub_colours,
)
from .warming import Warmth, warming_effect
from .zones import Zones, day_pots_clear, fill_level, zones

__all__ = [
    "Algae",
    "Finding",
    "HoleHeight",
    "LevelCourse",
    "MixedPots",
    "OxygenRisk",
    "Refill",
    "RefillLimit",
    "Rises",
    "RootCourse",
    "RootDemand",
    "RootOxygen",
    "SolutionTemperature",
    "Warmth",
    "Zones",
    "algal_oxygen",
    "day_pots_clear",
    "fill_level",
    "mixed_pots",
    "overflow_height",
    "oxygen_caution",
    "oxygen_demand",
    "oxygen_findings",
    "oxygen_risk",
    "rain_for_rise",
    "refill",
    "refill_limit",
    "rises",
    "root_course",
    "root_oxygen",
    "solution_temperature",
    "sun_through_canopy",
    "tub_colours",
    "warming_effect",
    "zones",
]
