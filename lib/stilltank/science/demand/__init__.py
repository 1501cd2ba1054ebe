"""How much water the weather and the plants ask for: FAO-56 outdoors, a resistance model indoors."""

from .crop_coefficient import adjusted_crop_coefficient, crop_coefficient
from .indoor import aerodynamic_resistance, indoor_transpiration, stomatal_resistance, vapour_through_gap
from .leaf_area import leaf_area_index
from .reference import hargreaves, hourly_reference_et, missing_data_procedures, penman_monteith, reference_et
from .salinity import salt_limited_yield
from .stages import fit_stages, full_cover_day, season_length
from .stands import (
    field_crop,
    full_cover_coefficient,
    isolated_stand_coefficient,
    leaf_area_coefficient,
    partial_cover_coefficient,
)
from .water_use import on_soil, published_water_use, water_to_harvest

__all__ = [
    "adjusted_crop_coefficient",
    "aerodynamic_resistance",
    "crop_coefficient",
    "field_crop",
    "fit_stages",
    "full_cover_coefficient",
    "full_cover_day",
    "hargreaves",
    "hourly_reference_et",
    "indoor_transpiration",
    "isolated_stand_coefficient",
    "leaf_area_coefficient",
    "leaf_area_index",
    "missing_data_procedures",
    "on_soil",
    "partial_cover_coefficient",
    "penman_monteith",
    "published_water_use",
    "reference_et",
    "salt_limited_yield",
    "season_length",
    "stomatal_resistance",
    "vapour_through_gap",
    "water_to_harvest",
]
