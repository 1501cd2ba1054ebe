"""Air and sun hour by hour from a daily record; plain numbers, [hours]."""

import numpy as np

from stilltank.science.sky import (
    hourly_extraterrestrial_radiation,
    solar_radiation_from_sunshine,
    solar_radiation_from_temperature,
)
from stilltank.tables import number
from stilltank.units import Problem, takes
from stilltank.units.types import Array

from .series import Weather


@takes(record=Weather)
def air_by_the_hour(record: Weather) -> Array:
    """Temperature of the air in the middle of each hour of a record.

    Parameters
    ----------
    record : Weather
        The weather record.

    Returns
    -------
    ndarray
        In degC, [hours]: half a cosine from each day's lowest to its highest and on.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> air_by_the_hour(weather.record("new-york")).size
    35064
    """
    coldest, warmest = (
        number("solution-heat", "air", f"{end} hour", "hour") for end in ("coldest", "warmest")
    )
    day = 24.0 * np.arange(record.days)
    times = np.stack([day + coldest, day + warmest], axis=1).ravel()
    ends = np.stack([record.temperature_min.magnitude, record.temperature_max.magnitude], axis=1).ravel()
    # one more low and high around the record, so that its first and last hours belong to a wave too
    times = np.concatenate([[times[1] - 24], times, [times[-2] + 24]])
    ends = np.concatenate([[ends[1]], ends, [ends[-2]]])
    hours = np.arange(24 * record.days) + 0.5
    before = np.searchsorted(times, hours, side="right") - 1
    way = (hours - times[before]) / (times[before + 1] - times[before])
    return ends[before] + (ends[before + 1] - ends[before]) * (1 - np.cos(np.pi * way)) / 2


@takes(record=Weather)
def sun_by_the_hour(record: Weather, function: str) -> Array:
    """Sunshine on level ground in each hour of a record.

    Parameters
    ----------
    record : Weather
        The weather record, with a latitude.
    function : str
        The function that asks, for the sentence of a refusal.

    Returns
    -------
    ndarray
        In W/m^2, [hours]: each day's sum, shared out as it comes in above the air.

    Raises
    ------
    Problem
        The record has no latitude.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> sun_by_the_hour(weather.record("new-york"), "example").size
    35064
    """
    if record.latitude is None:
        raise Problem(f"{function}: the sun's course depends on the place; make the Weather with a latitude.")
    latitude = float(record.latitude.m_as("degree"))
    days = record.day_of_year
    if record.solar_radiation is not None:
        daily = record.solar_radiation.magnitude
    elif record.sunshine is not None:
        daily = solar_radiation_from_sunshine.plain(latitude, days, record.sunshine.magnitude)
    else:
        ends = record.temperature_max.magnitude, record.temperature_min.magnitude
        daily = solar_radiation_from_temperature.plain(latitude, days, *ends)
    hours = np.arange(24) + 0.5
    above = hourly_extraterrestrial_radiation.plain(latitude, days[:, None], hours[None])
    whole = above.sum(axis=1, keepdims=True)
    share = np.divide(above, whole, out=np.zeros_like(above), where=whole > 0)
    return (share * daily[:, None]).ravel() * 1e6 / 3600  # MJ in an hour to W
