"""How much water the weather and the plants ask for: FAO-56 outdoors, a resistance model indoors."""

from .air import (
    actual_vapour_pressure,
    atmospheric_pressure,
    latent_heat,
    mean_saturation_vapour_pressure,
    psychrometric_constant,
    saturation_vapour_pressure,
    slope_of_vapour_pressure,
    wind_at_2m,
)
from .crop import climate_adjustment, crop_coefficient, season_length
from .hourly import hourly_extraterrestrial_radiation, hourly_reference_et
from .indoor import aerodynamic_resistance, gap_leak, indoor, stomatal_resistance
from .litres import litres_to_harvest, on_soil, published_litres
from .radiation import (
    clear_sky_radiation,
    daylight_hours,
    extraterrestrial_radiation,
    net_longwave,
    net_shortwave,
    solar_radiation_from_sunshine,
    solar_radiation_from_temperature,
)
from .reference import hargreaves, penman_monteith, procedures, reference_et

__all__ = [
    "actual_vapour_pressure",
    "aerodynamic_resistance",
    "atmospheric_pressure",
    "clear_sky_radiation",
    "climate_adjustment",
    "crop_coefficient",
    "daylight_hours",
    "extraterrestrial_radiation",
    "gap_leak",
    "hargreaves",
    "hourly_extraterrestrial_radiation",
    "hourly_reference_et",
    "indoor",
    "latent_heat",
    "litres_to_harvest",
    "mean_saturation_vapour_pressure",
    "net_longwave",
    "net_shortwave",
    "on_soil",
    "penman_monteith",
    "procedures",
    "psychrometric_constant",
    "published_litres",
    "reference_et",
    "saturation_vapour_pressure",
    "season_length",
    "slope_of_vapour_pressure",
    "solar_radiation_from_sunshine",
    "solar_radiation_from_temperature",
    "stomatal_resistance",
    "wind_at_2m",
]
