"""Warmth that adds up: degree-days, and the days to flower they give."""

from .degree_days import CUTOFFS, METHODS, degree_days
from .fitting import Fit, fit_base
from .flowering import Days, days_to_flower, thermal_range

__all__ = ["CUTOFFS", "METHODS", "Days", "Fit", "days_to_flower", "degree_days", "fit_base", "thermal_range"]
