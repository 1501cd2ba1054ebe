"""Daily weather: reading, checking, cutting into seasons; sites; an invented record and its generator."""

from ._checks import day_of_year, latitude_degrees
from .generator import generate
from .reading import read, write
from .series import Weather, seasons
from .sites import Site, record, site, sites

__all__ = [
    "Site",
    "Weather",
    "day_of_year",
    "generate",
    "latitude_degrees",
    "read",
    "record",
    "seasons",
    "site",
    "sites",
    "write",
]
