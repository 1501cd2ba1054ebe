"""The sky over a tank: dates and places, sun and radiation, day length, moist air."""

from .air import (
    actual_vapour_pressure,
    atmospheric_pressure,
    check_day_extremes,
    latent_heat_of_vaporisation,
    mean_saturation_vapour_pressure,
    psychrometric_constant,
    saturation_vapour_pressure,
    slope_of_saturation_vapour_pressure,
    vapour_between,
    wind_speed_at_2m,
)
from .dates import ONE_DAY, consecutive, day_of, days_of, missing_sentence, month_day, plain_day_of_year, slot
from .day_length import DAY_LENGTH_METHODS, day_length, day_of_year
from .fao56 import fao56_value
from .photoperiod import (
    daily_light_integral,
    day_extension,
    effective_day_length,
    inductive_periods,
    night_break,
)
from .places import altitude_metres, check_metres
from .radiation import (
    clear_sky_radiation,
    daylight_hours,
    extraterrestrial_radiation,
    hourly_extraterrestrial_radiation,
    net_longwave_radiation,
    net_shortwave_radiation,
    solar_radiation_from_sunshine,
    solar_radiation_from_temperature,
)

__all__ = [
    "DAY_LENGTH_METHODS",
    "ONE_DAY",
    "actual_vapour_pressure",
    "altitude_metres",
    "atmospheric_pressure",
    "check_day_extremes",
    "check_metres",
    "clear_sky_radiation",
    "consecutive",
    "daily_light_integral",
    "day_extension",
    "day_length",
    "day_of",
    "day_of_year",
    "daylight_hours",
    "days_of",
    "effective_day_length",
    "extraterrestrial_radiation",
    "fao56_value",
    "hourly_extraterrestrial_radiation",
    "inductive_periods",
    "latent_heat_of_vaporisation",
    "mean_saturation_vapour_pressure",
    "missing_sentence",
    "month_day",
    "net_longwave_radiation",
    "net_shortwave_radiation",
    "night_break",
    "plain_day_of_year",
    "psychrometric_constant",
    "saturation_vapour_pressure",
    "slope_of_saturation_vapour_pressure",
    "slot",
    "solar_radiation_from_sunshine",
    "solar_radiation_from_temperature",
    "vapour_between",
    "wind_speed_at_2m",
]
