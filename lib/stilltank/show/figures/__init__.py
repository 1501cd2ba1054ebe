"""Figures: they take results, are drawn once and updated in place, and say in words what they show."""

from .dates import SeasonDates
from .elements import ElementBars
from .level import SeasonLevel
from .picture import ALONE, Picture
from .stick import DipstickSheet
from .tank import TankSection
from .weather import YearWeather

__all__ = [
    "ALONE",
    "DipstickSheet",
    "ElementBars",
    "Picture",
    "SeasonDates",
    "SeasonLevel",
    "TankSection",
    "YearWeather",
]
