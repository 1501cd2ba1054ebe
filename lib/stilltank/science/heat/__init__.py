"""Warmth that adds up: degree-days, and the days to flower they give."""

from .degree_days import CUTOFFS, METHODS, degree_days
from .fitting import Fit, fit_base
from .flowering import Days, days_to_flower, thermal_range
from .seed import days_to_emergence, germination_rate
from .trials import Trial, days_by_day_length, findings, flowering_day, trial

__all__ = [
    "CUTOFFS",
    "METHODS",
    "Days",
    "Fit",
    "Trial",
    "days_by_day_length",
    "days_to_emergence",
    "days_to_flower",
    "degree_days",
    "findings",
    "fit_base",
    "flowering_day",
    "germination_rate",
    "thermal_range",
    "trial",
]
