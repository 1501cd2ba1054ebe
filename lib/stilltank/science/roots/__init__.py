"""The two root zones of a still tank: solution below, moist air above, and how far a refill may rise."""

from .levels import Zones, day_pots_clear, fill_level, zones
from .refilling import OverflowHole, RefillLimit, overflow_height, rain_for_rise, refill_limit

__all__ = [
    "OverflowHole",
    "RefillLimit",
    "Zones",
    "day_pots_clear",
    "fill_level",
    "overflow_height",
    "rain_for_rise",
    "refill_limit",
    "zones",
]
