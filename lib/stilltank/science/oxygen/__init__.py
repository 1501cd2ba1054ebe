"""Oxygen in still water: how much it holds, how slowly it moves, how deep it reaches, and through a season."""

from ._formulas import check_water_temperature
from .diffusion import (
    diffusive_flux,
    diffusivity,
    film_coefficient,
    greatest_surface_supply,
    steady_mixed_oxygen,
)
from .reaeration import FilmFit, ReaerationReadings, fit_film_coefficient, reaeration_readings
from .solubility import oxygen_in_moist_air, pressure_at, saturation, warmest_known
from .steady_profile import Profile, penetration_depth, profile
from .unsteady_diffusion import unsteady_oxygen
from .water_column import OxygenCourse, WaterColumn, mixed_water, still_water

__all__ = [
    "FilmFit",
    "OxygenCourse",
    "Profile",
    "ReaerationReadings",
    "WaterColumn",
    "check_water_temperature",
    "diffusive_flux",
    "diffusivity",
    "film_coefficient",
    "fit_film_coefficient",
    "greatest_surface_supply",
    "mixed_water",
    "oxygen_in_moist_air",
    "penetration_depth",
    "pressure_at",
    "profile",
    "reaeration_readings",
    "saturation",
    "steady_mixed_oxygen",
    "still_water",
    "unsteady_oxygen",
    "warmest_known",
]
