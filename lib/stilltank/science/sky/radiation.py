"""Sun and sky: the radiation formulas of FAO-56 chapter 3."""

from typing import Any

import numpy as np

from stilltank.units import PlainNumber, Quantity, takes, within
from stilltank.units.types import Plain

from .air import check_day_extremes
from .fao56 import fao56_value


def _sun(latitude: Any, day_of_year: Any) -> tuple[Any, Any, Any, Any]:
    """Inverse distance, declination, latitude and sunset hour angle, in radians."""
    within(day_of_year, 1, 366, "A day of the year lies between 1 and 366; {value:g} does not.")
    year = 2 * np.pi * np.asarray(day_of_year) / 365
    distance = 1 + fao56_value("sun", "distance swing") * np.cos(year)
    declination = fao56_value("sun", "declination swing", "radian") * np.sin(
        year - fao56_value("sun", "declination phase", "radian")
    )
    phi = np.radians(latitude)
    # beyond the polar circles the sun may not set, or not rise
    sunset = np.arccos(np.clip(-np.tan(phi) * np.tan(declination), -1, 1))
    return distance, declination, phi, sunset


@takes(latitude="latitude", day_of_year=PlainNumber(172), returns="MJ/m^2/day")
def extraterrestrial_radiation(latitude: Quantity, day_of_year: Plain) -> Quantity:
    """Radiation on a level area above the air.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    day_of_year : float or ndarray
        Day of the year, 1 to 366; one value or an array.

    Returns
    -------
    Quantity
        In MJ/m^2/day; 0 in the polar night.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    References
    ----------
    FAO56, equations 21 to 25.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(extraterrestrial_radiation(Q(-20, "degree"), 246).magnitude, 1)
    32.2
    """
    distance, declination, phi, sunset = _sun(latitude, day_of_year)
    daily = fao56_value("sun", "solar constant", "MJ/m^2/minute") * 24 * 60 / np.pi
    height = sunset * np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * np.sin(sunset)
    return np.maximum(daily * distance * height, 0)  # rounding alone can make it negative


@takes(latitude="latitude", day_of_year=PlainNumber(172), returns="hour")
def daylight_hours(latitude: Quantity, day_of_year: Plain) -> Quantity:
    """Longest possible sunshine of a day, as the sunshine formula needs it.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    day_of_year : float or ndarray
        Day of the year, 1 to 366; one value or an array.

    Returns
    -------
    Quantity
        In hours.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    From the middle of the sun's disc and without refraction: 12 minutes and more short of the almanac at 40
    degrees. For the flowering of plants use the functions for day length.

    References
    ----------
    FAO56, equation 34.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(daylight_hours(Q(-20, "degree"), 246).magnitude, 1)
    11.7
    """
    return 24 / np.pi * _sun(latitude, day_of_year)[3]


@takes(latitude="latitude", sunshine="hour", day_of_year=PlainNumber(172), returns="MJ/m^2/day")
def solar_radiation_from_sunshine(latitude: Quantity, day_of_year: Plain, sunshine: Quantity) -> Quantity:
    """Solar radiation at the ground from the hours of sunshine.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    day_of_year : float or ndarray
        Day of the year, 1 to 366; one value or an array.
    sunshine : Quantity
        Hours of the day; more than can be is taken as a whole clear day.

    Returns
    -------
    Quantity
        In MJ/m^2/day.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    References
    ----------
    FAO56, equation 35, with its usual 0.25 and 0.50.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(solar_radiation_from_sunshine(Q(-22.9, "degree"), 135, Q(220 / 31, "hour")).magnitude, 2)
    14.46
    """
    within(sunshine, 0, 24, "A day has 0 to 24 hours of sunshine; {value:g} is not possible.")
    longest = daylight_hours.plain(latitude, day_of_year)
    share = np.where(longest > 0, np.minimum(sunshine / np.where(longest > 0, longest, 1), 1), 0.0)
    cloudy, sunny = (fao56_value("solar radiation", f"{kind} share") for kind in ("overcast", "sunshine"))
    return (cloudy + sunny * share) * extraterrestrial_radiation.plain(latitude, day_of_year)


@takes(
    latitude="latitude",
    temperature_max="degC",
    temperature_min="degC",
    day_of_year=PlainNumber(172),
    returns="MJ/m^2/day",
)
def solar_radiation_from_temperature(
    latitude: Quantity,
    day_of_year: Plain,
    temperature_max: Quantity,
    temperature_min: Quantity,
    coast: bool = False,
) -> Quantity:
    """Solar radiation at the ground, from how far apart the temperatures of the day lie.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    day_of_year : float or ndarray
        Day of the year, 1 to 366; one value or an array.
    temperature_max, temperature_min : Quantity
        Highest and lowest temperature of the day.
    coast : bool, default False
        True where the air comes from a large water nearby.

    Returns
    -------
    Quantity
        In MJ/m^2/day.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A lowest temperature above its highest, a latitude beyond a pole, or no day of the year.

    Notes
    -----
    A clear sky lets days warm and nights cool; this stands in where no sun was measured.

    References
    ----------
    FAO56, equation 50.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(solar_radiation_from_temperature(Q(45.72, "degree"), 196, Q(26.6, "degC"), Q(14.8, "degC")).magnitude, 1)
    22.3
    """
    coefficient = fao56_value("solar radiation", "coast coefficient" if coast else "inland coefficient")
    apart = temperature_max - temperature_min
    check_day_extremes(temperature_min, temperature_max)
    return coefficient * np.sqrt(apart) * extraterrestrial_radiation.plain(latitude, day_of_year)


@takes(extraterrestrial="MJ/m^2/day", altitude="m", returns="MJ/m^2/day")
def clear_sky_radiation(extraterrestrial: Quantity, altitude: Quantity) -> Quantity:
    """Solar radiation at the ground under a cloudless sky.

    Parameters
    ----------
    extraterrestrial : Quantity
        From `extraterrestrial_radiation`.
    altitude : Quantity
        Height above the sea.

    Returns
    -------
    Quantity
        In MJ/m^2/day.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.

    References
    ----------
    FAO56, equation 37.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(clear_sky_radiation(Q(41.09, "MJ/m^2/day"), Q(100, "m")).magnitude, 2)
    30.9
    """
    rise = fao56_value("clear sky", "rise with altitude", "1/m") * altitude
    return (fao56_value("clear sky", "share at sea level") + rise) * extraterrestrial


@takes(solar_radiation="MJ/m^2/day", returns="MJ/m^2/day")
def net_shortwave_radiation(solar_radiation: Quantity) -> Quantity:
    """Solar radiation that the reference crop keeps.

    Parameters
    ----------
    solar_radiation : Quantity
        At the ground; one value or an array.

    Returns
    -------
    Quantity
        In MJ/m^2/day.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.

    References
    ----------
    FAO56, equation 38.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(net_shortwave_radiation(Q(14.5, "MJ/m^2/day")).magnitude, 1)
    11.2
    """
    return (1 - fao56_value("net radiation", "albedo")) * solar_radiation


@takes(
    temperature_max="degC",
    temperature_min="degC",
    vapour_pressure="kPa",
    solar_radiation="MJ/m^2/day",
    clear_sky="MJ/m^2/day",
    returns="MJ/m^2/day",
)
def net_longwave_radiation(
    temperature_max: Quantity,
    temperature_min: Quantity,
    vapour_pressure: Quantity,
    solar_radiation: Quantity,
    clear_sky: Quantity,
) -> Quantity:
    """Heat radiation that the ground loses to the sky.

    Parameters
    ----------
    temperature_max, temperature_min : Quantity
        Highest and lowest temperature of the day.
    vapour_pressure : Quantity
        Actual vapour pressure of the air.
    solar_radiation, clear_sky : Quantity
        Solar radiation at the ground, and what a clear sky would give; their ratio stands for the clouds and counts
        as 1 at most.

    Returns
    -------
    Quantity
        In MJ/m^2/day.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.

    Notes
    -----
    FAO-56 limits the ratio upwards only; some programs also hold it above 0.3, which moves a year by 0.1 %.
    In the polar night the ratio is taken as one half.

    References
    ----------
    FAO56, equation 39.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(net_longwave_radiation(Q(25.1, "degC"), Q(19.1, "degC"), Q(2.1, "kPa"), Q(14.5, "MJ/m^2/day"),
    ...                    Q(18.8, "MJ/m^2/day")).magnitude, 1)
    3.5
    """
    offset = fao56_value("net radiation", "kelvin offset")
    boltzmann = fao56_value("net radiation", "Stefan-Boltzmann", "MJ/kelvin^4/m^2/day")
    # squares of squares: numpy raises to the fourth power many times slower
    high, low = np.square(np.square(temperature_max + offset)), np.square(np.square(temperature_min + offset))
    emitted = boltzmann * (high + low) / 2
    humid, damp = (fao56_value("net radiation", f"humidity {part}") for part in ("constant", "slope"))
    dark = fao56_value("net radiation", "clearness in the polar night")
    lit = np.asarray(clear_sky) > 0
    ratio = np.where(lit, np.minimum(solar_radiation / np.where(lit, clear_sky, 1), 1), dark)
    cloud = fao56_value("net radiation", "cloud slope") * ratio - fao56_value(
        "net radiation", "cloud constant"
    )
    return emitted * (humid - damp * np.sqrt(vapour_pressure)) * cloud


@takes(
    latitude="latitude",
    longitude="degree",
    zone_longitude="degree",
    day_of_year=PlainNumber(172),
    hour=PlainNumber(14.5),
    returns="MJ/m^2/hour",
)
def hourly_extraterrestrial_radiation(
    latitude: Quantity,
    day_of_year: Plain,
    hour: Plain,
    longitude: Quantity | None = None,
    zone_longitude: Quantity | None = None,
) -> Quantity:
    """Radiation on a level area above the air, in one hour.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    day_of_year : float or ndarray
        Day of the year, 1 to 366; one value or an array.
    hour : float or ndarray
        0 to 24, standard clock time in the middle of the hour: 14.5 from 14 to 15 o'clock.
    longitude, zone_longitude : Quantity, optional
        East positive; of the place, and of the middle of its time zone, 15 degrees for each hour from Greenwich. Left
        out: the clock shows the time of the sun.

    Returns
    -------
    Quantity
        In MJ/m^2/hour; 0 at night.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    An hour in which the sun rises or sets counts with the part that it is up.

    References
    ----------
    FAO56, equations 28 to 33.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(hourly_extraterrestrial_radiation(Q(16.22, "degree"), 274, 14.5, Q(-16.25, "degree"),
    ...                                         Q(-15, "degree")).magnitude, 3)
    3.543
    """
    within(hour, 0, 24, "An hour of the day lies between 0 and 24; {value:g} does not.")
    east, zone = (0.0 if degrees is None else degrees for degrees in (longitude, zone_longitude))
    for degrees in (east, zone):
        within(degrees, -180, 180, "A longitude lies between -180 and 180 degrees; {value:g} does not.")
    distance, declination, phi, sunset = _sun(latitude, day_of_year)
    year = 2 * np.pi * (np.asarray(day_of_year) - fao56_value("hour", "first day", "day")) / 364
    correction = (
        fao56_value("hour", "double swing") * np.sin(2 * year)
        - fao56_value("hour", "cosine swing") * np.cos(year)
        - fao56_value("hour", "sine swing") * np.sin(year)
    )  # hours
    noon = 12 - (east - zone) / 15 - correction
    # the middle of the hour as an angle from noon, within half a turn of it
    middle = np.mod(np.pi / 12 * (hour - noon) + np.pi, 2 * np.pi) - np.pi
    sunset = np.where(sunset >= np.pi, np.inf, sunset)  # a sun that does not set shines through midnight
    begin, end = (np.clip(middle + half, -sunset, sunset) for half in (-np.pi / 24, np.pi / 24))
    height = (end - begin) * np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * (
        np.sin(end) - np.sin(begin)
    )
    hourly = fao56_value("sun", "solar constant", "MJ/m^2/minute") * 60 * 12 / np.pi
    return np.maximum(hourly * distance * height, 0)  # rounding alone can make it negative
