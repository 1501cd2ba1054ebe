"""Warmth that adds up: degree-days, and the days to flower they give."""

from .degree_days import CUTOFFS, DEGREE_DAY_METHODS, degree_days
from .germination import days_to_emergence, germination_percentage, germination_rate
from .thermal_time import (
    DaysToFlower,
    daily_thermal_time,
    days_to_flower,
    thermal_time_range,
    usual_days,
    with_packet_days,
)
from .thermal_time_fit import ThermalTimeFit, fit_thermal_time
from .trials import Trial, day_length_findings, days_by_day_length, flowering_day, trial

__all__ = [
    "CUTOFFS",
    "DEGREE_DAY_METHODS",
    "DaysToFlower",
    "ThermalTimeFit",
    "Trial",
    "daily_thermal_time",
    "day_length_findings",
    "days_by_day_length",
    "days_to_emergence",
    "days_to_flower",
    "degree_days",
    "fit_thermal_time",
    "flowering_day",
    "germination_percentage",
    "germination_rate",
    "thermal_time_range",
    "trial",
    "usual_days",
    "with_packet_days",
]
