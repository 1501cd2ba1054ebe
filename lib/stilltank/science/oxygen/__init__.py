"""Oxygen in still water: how much it holds, how slowly it moves, how deep it reaches, and through a season."""

from .around import RootNeed, film_by_wind, rayleigh_number, root_need
from .diffusion import (
    diffusive_flux,
    diffusivity,
    film_coefficient,
    greatest_surface_supply,
    steady_mixed_oxygen,
)
from .reaeration import FilmFit, ReaerationReadings, fit_film_coefficient, reaeration_readings
from .solubility import oxygen_in_moist_air, pressure_at, saturation, vapour_pressure
from .steady_profile import Profile, penetration_depth, profile
from .unsteady_diffusion import share_filled, unsteady_oxygen
from .water_column import OxygenCourse, mixed_water, still_water

__all__ = [
    "FilmFit",
    "OxygenCourse",
    "Profile",
    "ReaerationReadings",
    "RootNeed",
    "diffusive_flux",
    "diffusivity",
    "film_by_wind",
    "film_coefficient",
    "fit_film_coefficient",
    "greatest_surface_supply",
    "mixed_water",
    "oxygen_in_moist_air",
    "penetration_depth",
    "pressure_at",
    "profile",
    "rayleigh_number",
    "reaeration_readings",
    "root_need",
    "saturation",
    "share_filled",
    "steady_mixed_oxygen",
    "still_water",
    "unsteady_oxygen",
    "vapour_pressure",
]
