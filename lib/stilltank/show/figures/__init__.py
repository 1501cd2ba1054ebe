"""Figures: they take results, are drawn once and updated in place, and say in words what they show."""

from .dates import SeasonDates
from .dipstick_sheet import DipstickSheet, MarkedHeight
from .elements import ElementBars
from .labels import apart, day_number, day_text, rise_rule, rise_text, short_day
from .level import SeasonLevel
from .outline import LINE, Outline, net_pot
from .picture import (
    ALONE,
    BAND,
    BLACK,
    BLUE,
    GREEN,
    LARGER,
    PURPLE,
    SOLUTION,
    TWO_COURSES,
    VERMILLION,
    Picture,
    days_along,
    few_ticks,
    house_style,
    new_figure,
    pdf_of,
)
from .range_strips import Ranges, RangeStrips
from .tank import TankSection
from .weather import YearWeather, month_name

__all__ = [
    "ALONE",
    "BAND",
    "BLACK",
    "BLUE",
    "GREEN",
    "LARGER",
    "LINE",
    "PURPLE",
    "SOLUTION",
    "TWO_COURSES",
    "VERMILLION",
    "DipstickSheet",
    "ElementBars",
    "MarkedHeight",
    "Outline",
    "Picture",
    "RangeStrips",
    "Ranges",
    "SeasonDates",
    "SeasonLevel",
    "TankSection",
    "YearWeather",
    "apart",
    "day_number",
    "day_text",
    "days_along",
    "few_ticks",
    "house_style",
    "month_name",
    "net_pot",
    "new_figure",
    "pdf_of",
    "rise_rule",
    "rise_text",
    "short_day",
]
