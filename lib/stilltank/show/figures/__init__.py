"""Figures: they take results, are drawn once and updated in place, and say in words what they show."""

from .courses import LeftAlone, TwoWays
from .dates import SeasonDates
from .dipstick_sheet import DipstickSheet
from .elements import ElementBars
from .flowering import BatchBars, InTime, RateAndDays, Warming
from .labels import day_text, short_day
from .level import SeasonLevel
from .mixing import CloudingCurve, ElementAmounts, MeterCurve
from .oxygen import OxygenDepth, OxygenSeason, RecoveryFit, StillAndMixed
from .ph import DoseBars, TitrationPicture, millilitres
from .ph_courses import AfterDose, DriftCurves
from .picture import ALONE, Picture
from .prediction import GuessAndResult, SketchSoFar
from .roots import RefillColumns, RootSection
from .storm import StormCourse
from .tank import TankSection
from .weather import YearWeather, month_name

__all__ = [
    "ALONE",
    "AfterDose",
    "BatchBars",
    "CloudingCurve",
    "DipstickSheet",
    "DoseBars",
    "DriftCurves",
    "ElementAmounts",
    "ElementBars",
    "GuessAndResult",
    "InTime",
    "LeftAlone",
    "MeterCurve",
    "OxygenDepth",
    "OxygenSeason",
    "Picture",
    "RateAndDays",
    "RecoveryFit",
    "RefillColumns",
    "RootSection",
    "SeasonDates",
    "SeasonLevel",
    "SketchSoFar",
    "StillAndMixed",
    "StormCourse",
    "TankSection",
    "TitrationPicture",
    "TwoWays",
    "Warming",
    "YearWeather",
    "day_text",
    "millilitres",
    "month_name",
    "short_day",
]
