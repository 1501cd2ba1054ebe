"""Daily weather: reading, checking, cutting into seasons; sites; an invented record and its generator."""

from .generator import generate
from .reading import read, write
from .series import Weather, latitude_degrees, seasons
from .sites import Site, record, site, sites

__all__ = [
    "Site",
    "Weather",
    "generate",
    "latitude_degrees",
    "read",
    "record",
    "seasons",
    "site",
    "sites",
    "write",
]
