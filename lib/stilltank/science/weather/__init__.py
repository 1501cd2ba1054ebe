"""Daily weather: reading, checking, cutting into seasons; sites; an invented record and its generator."""

from .frost import frost_dates, frost_free
from .generator import generate
from .hourly import air_by_the_hour, sun_by_the_hour
from .months import MonthlyMeans, monthly_means
from .reading import read, write
from .series import Weather, rows_of_day, rows_of_seasons
from .sites import Site, record, record_and_cover, site, sites
from .twelve_months import from_months

__all__ = [
    "MonthlyMeans",
    "Site",
    "Weather",
    "air_by_the_hour",
    "from_months",
    "frost_dates",
    "frost_free",
    "generate",
    "monthly_means",
    "read",
    "record",
    "record_and_cover",
    "rows_of_day",
    "rows_of_seasons",
    "site",
    "sites",
    "sun_by_the_hour",
    "write",
]
