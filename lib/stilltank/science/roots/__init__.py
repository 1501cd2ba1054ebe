"""The two root zones of a still tank: solution below, moist air above, and what roots breathe in each."""

from .band import Finding, Risk, caution, findings, risk
from .breathing import Breathing, breathe
from .growing import RootCourse, grow, oxygen_demand
from .levels import Zones, day_pots_clear, fill_level, zones
from .light import Algae, algae
from .raising import Refill, refill
from .refilling import OverflowHole, RefillLimit, overflow_height, rain_for_rise, refill_limit
from .temperature import SolutionTemperature, colours, solution_temperature
from .warming import Warmth, warmth

__all__ = [
    "Algae",
    "Breathing",
    "Finding",
    "OverflowHole",
    "Refill",
    "RefillLimit",
    "Risk",
    "RootCourse",
    "SolutionTemperature",
    "Warmth",
    "Zones",
    "algae",
    "breathe",
    "caution",
    "colours",
    "day_pots_clear",
    "fill_level",
    "findings",
    "grow",
    "overflow_height",
    "oxygen_demand",
    "rain_for_rise",
    "refill",
    "refill_limit",
    "risk",
    "solution_temperature",
    "warmth",
    "zones",
]
