"""Oxygen in still water: how much it holds, how slowly it moves, how deep it reaches, and through a season."""

from .around import RootNeed, film_by_wind, rayleigh_number, root_need
from .filling import share_filled, transient
from .following import OxygenCourse, mixed_water, still_water
from .holding import in_moist_air, pressure_at, saturation, vapour_pressure
from .measuring import FilmFit, Recovery, fit_film, recovery
from .moving import diffusivity, film_balance, film_coefficient, film_supply, still_layer_flux
from .reaching import Profile, penetration_depth, profile

__all__ = [
    "FilmFit",
    "OxygenCourse",
    "Profile",
    "Recovery",
    "RootNeed",
    "diffusivity",
    "film_balance",
    "film_by_wind",
    "film_coefficient",
    "film_supply",
    "fit_film",
    "in_moist_air",
    "mixed_water",
    "penetration_depth",
    "pressure_at",
    "profile",
    "rayleigh_number",
    "recovery",
    "root_need",
    "saturation",
    "share_filled",
    "still_layer_flux",
    "still_water",
    "transient",
    "vapour_pressure",
]
