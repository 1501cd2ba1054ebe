"""Invented weather that behaves like weather: for the demo, never for a real place."""

from typing import Any

import numpy as np

from stilltank.science.sky import ONE_DAY, altitude_metres, day_of, plain_day_of_year
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Q, Quantity, latitude_degrees, whole_number
from stilltank.units.types import Array, Day

from .series import Weather


def residual_matrices() -> tuple[Array, Array]:
    """Lag matrices of highest temperature, lowest temperature and radiation.

    Returns
    -------
    tuple of Array
        A and B, 3 by 3 each: x(t) = A x(t-1) + B e(t), with e independent and standard normal.

    References
    ----------
    RICHARDSONWRIGHT1984, read in secondary copies.

    Examples
    --------
    >>> a, b = residual_matrices()
    >>> a[0].tolist(), b[0].tolist()
    ([0.567, 0.086, -0.002], [0.781, 0.0, 0.0])
    """
    cell = load("weather-generator")
    return tuple(
        np.array(
            [[cell[letter, f"{row} {column}"].value for column in (1, 2, 3)] for row in (1, 2, 3)], float
        )
        for letter in "AB"
    )  # type: ignore[return-value]


def generate(
    climate: str = "demo/climate-quillgate",
    first: Day = "2016-01-01",
    last: Day = "2025-12-31",
    latitude: Quantity | None = None,
    altitude: Quantity | None = None,
    seed: int = 415,
) -> Weather:
    """Generate an invented daily record with temperatures, rain, humidity, wind and sun.

    Parameters
    ----------
    climate : str, default "demo/climate-quillgate"
        A value table in data/ with the invented climate.
    first, last : Day, default "2016-01-01"
        First and last day.
    latitude, altitude : Quantity, optional
        Those of Quillgate when left out.
    seed : int, default 415
        The same seed gives the same weather with the same version of numpy.

    Returns
    -------
    Weather
        Rounded as a station reports it; its ``notes`` say what had to be repaired.

    Raises
    ------
    OutOfRange
        The last day lies before the first.

    Notes
    -----
    Rain days follow a two-state chain, amounts a gamma distribution, temperatures and radiation a first-order
    process around a yearly wave that depends on wet or dry (pattern of WGEN). Such weather varies less from
    year to year than real weather does.

    References
    ----------
    RICHARDSONWRIGHT1984, for the pattern and the matrices; all other values are invented.

    Examples
    --------
    >>> generate(first="2020-01-01", last="2020-12-31").days
    366
    """
    from stilltank.science.sky import (
        clear_sky_radiation,
        extraterrestrial_radiation,
        saturation_vapour_pressure,
    )

    dates = np.arange(day_of(first), day_of(last) + ONE_DAY)
    if not dates.size:
        raise OutOfRange(f"The last day, {last}, lies before the first, {first}.")
    place = load("sites").of("quillgate")
    degrees = latitude_degrees(
        place["latitude"].quantity if latitude is None else latitude, "generate", single=True
    )
    metres = altitude_metres(place["altitude"].quantity if altitude is None else altitude, "generate")
    rng = np.random.default_rng(
        whole_number(seed, 0, 2**63, "generate: a seed is a whole number from 0 on; {value!r} is not.")
    )

    def value(item: str, prop: str, unit: str = "1") -> float:
        return number(climate, item, prop, unit)

    days = plain_day_of_year(dates)
    wet = wet_days(rng, len(dates), value("rain", "wet after dry"), value("rain", "wet after wet"))
    amounts = rng.gamma(value("rain", "shape"), value("rain", "scale", "mm"), len(dates))
    rain = np.where(wet, np.maximum(amounts, 0.1), 0.0)  # a wet day has something to measure
    residual = residuals(rng, len(dates))
    high = _wave(value, "temperature max", days, wet, residual[:, 0])
    low = _wave(value, "temperature min", days, wet, residual[:, 1])
    narrow = low > high - 1
    low = np.where(narrow, high - 1, low)
    top = extraterrestrial_radiation.plain(degrees, days)
    clear = clear_sky_radiation.plain(top, metres)
    mean = np.where(wet, value("clearness", "wet mean"), value("clearness", "dry mean"))
    sun = (mean + value("clearness", "spread") * residual[:, 2]) * top
    bright, dark = sun > clear, sun < value("clearness", "least") * top
    sun = np.clip(sun, value("clearness", "least") * top, clear)
    dew = low - np.abs(
        value("dew point", "mean below", "delta_degC")
        + value("dew point", "spread", "delta_degC") * rng.standard_normal(len(dates))
    )
    vapour = saturation_vapour_pressure.plain(dew)
    wind = value("wind", "median", "m/s") * np.exp(value("wind", "spread") * rng.standard_normal(len(dates)))
    repaired = (
        f"Repaired: {narrow.sum()} days with the minimum too near the maximum, {bright.sum()} brighter than a "
        f"clear sky, {dark.sum()} too dark."
    )
    high, low = np.round(high, 1), np.round(low, 1)
    return Weather(
        dates,
        Q(high, "degC"),
        Q(low, "degC"),
        precipitation=Q(np.round(rain, 1), "mm"),
        relative_humidity_max=Q(
            np.round(np.minimum(100, 100 * vapour / saturation_vapour_pressure.plain(low))), "percent"
        ),
        relative_humidity_min=Q(np.round(100 * vapour / saturation_vapour_pressure.plain(high)), "percent"),
        wind_speed=Q(np.round(wind, 1), "m/s"),
        wind_height=Q(2, "m"),
        solar_radiation=Q(np.round(sun, 1), "MJ/m^2/day"),
        latitude=Q(degrees, "degree"),
        altitude=Q(metres, "m"),
        name="invented weather",
        notes=("This weather is invented.", repaired),
    )


def wet_days(
    rng: np.random.Generator, days: int, after_dry: Array | float, after_wet: Array | float
) -> Array:
    """Draw a chain of wet days; the probabilities hold for every day, or are one a day."""
    draws = rng.random(days)
    dry, wet = (draws < chance for chance in (after_dry, after_wet))
    found = np.zeros(days, bool)
    state = False
    for day in range(days):
        state = wet[day] if state else dry[day]
        found[day] = state
    return found


def residuals(rng: np.random.Generator, days: int) -> Array:
    """Draw the residuals of highest, lowest temperature and radiation, [days, 3]."""
    a, b = residual_matrices()
    noise = rng.standard_normal((days, 3)) @ b.T
    found = np.zeros((days, 3))
    for day in range(1, days):
        found[day] = a @ found[day - 1] + noise[day]
    return found


def _wave(value: Any, item: str, days: Any, wet: Any, residual: Any) -> Any:
    season = np.cos(2 * np.pi * (days - value(item, "warmest day", "day")) / 365)
    mean = value(item, "mean", "degC") + value(item, "swing", "delta_degC") * season
    spread = value(item, "mean spread", "delta_degC") - value(item, "spread swing", "delta_degC") * season
    return mean + np.where(wet, value(item, "wet shift", "delta_degC"), 0) + spread * residual
