"""The two root zones of a still tank: solution below, moist air above, and what roots breathe in each."""

from .growing import RootCourse, grow, oxygen_demand
from .levels import Zones, day_pots_clear, fill_level, zones
from .raising import Refill, refill
from .refilling import OverflowHole, RefillLimit, overflow_height, rain_for_rise, refill_limit

__all__ = [
    "OverflowHole",
    "Refill",
    "RefillLimit",
    "RootCourse",
    "Zones",
    "day_pots_clear",
    "fill_level",
    "grow",
    "overflow_height",
    "oxygen_demand",
    "rain_for_rise",
    "refill",
    "refill_limit",
    "zones",
]
