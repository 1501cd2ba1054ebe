"""How much water the weather and the plants ask for: FAO-56 outdoors, a resistance model indoors."""

from .crop_coefficient import adjusted_crop_coefficient, crop_coefficient, season_length
from .indoor import aerodynamic_resistance, indoor_transpiration, stomatal_resistance, vapour_through_gap
from .leaf_area import leaf_area_index
from .reference import hargreaves, hourly_reference_et, missing_data_procedures, penman_monteith, reference_et
from .water_use import on_soil, published_water_use, water_to_harvest

__all__ = [
    "adjusted_crop_coefficient",
    "aerodynamic_resistance",
    "crop_coefficient",
    "hargreaves",
    "hourly_reference_et",
    "indoor_transpiration",
    "leaf_area_index",
    "missing_data_procedures",
    "on_soil",
    "penman_monteith",
    "published_water_use",
    "reference_et",
    "season_length",
    "stomatal_resistance",
    "vapour_through_gap",
    "water_to_harvest",
]
