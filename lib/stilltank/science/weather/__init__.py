"""Daily weather: reading, checking, cutting into seasons; sites; an invented record and its generator."""

from ._checks import ONE_DAY, as_days, day_of_year, latitude_degrees, one_date
from .generator import generate
from .months import Months, monthly
from .reading import read, write
from .series import Weather, seasons
from .sites import Site, record, site, sites

__all__ = [
    "ONE_DAY",
    "Months",
    "Site",
    "Weather",
    "as_days",
    "day_of_year",
    "generate",
    "latitude_degrees",
    "monthly",
    "one_date",
    "read",
    "record",
    "seasons",
    "site",
    "sites",
    "write",
]
