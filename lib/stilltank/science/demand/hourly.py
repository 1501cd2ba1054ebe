"""Reference evapotranspiration hour by hour: when in the day the water goes."""

from typing import Any

import numpy as np

from stilltank.units import within

from . import air, radiation
from .formula import formula, value


@formula("MJ/m^2/hour", latitude="degree", longitude="degree", zone_longitude="degree")
def hourly_extraterrestrial_radiation(
    latitude: Any, day_of_year: Any, hour: Any, longitude: Any = 0.0, zone_longitude: Any = 0.0
) -> Any:
    """Radiation on a level area above the air, in one hour.

    Parameters
    ----------
    latitude : quantity, degrees, south negative
    day_of_year : number or array, 1 to 366
    hour : number or array, 0 to 24, standard clock time in the middle of the hour: 14.5 from 14 to 15 o'clock
    longitude, zone_longitude : quantities, degrees east positive; of the place, and of the middle of its time zone
        (15 degrees for each hour from Greenwich). Left out: the clock shows the time of the sun.

    Returns
    -------
    quantity in MJ/m^2/hour; 0 at night

    Raises
    ------
    UnitNeeded, OutOfRange

    Example
    -------
    >>> from stilltank.units import Q
    >>> round(hourly_extraterrestrial_radiation(Q(16.22, "degree"), 274, 14.5, Q(-16.25, "degree"),
    ...                                         Q(-15, "degree")).magnitude, 3)
    3.543

    Notes
    -----
    An hour in which the sun rises or sets counts with the part that it is up.

    Source: FAO-56 eq. 28 to 33.
    """
    within(hour, 0, 24, "An hour of the day lies between 0 and 24; {value:g} does not.")
    for degrees in (longitude, zone_longitude):
        within(degrees, -180, 180, "A longitude lies between -180 and 180 degrees; {value:g} does not.")
    distance, declination, phi, sunset = radiation._sun(latitude, day_of_year)
    year = 2 * np.pi * (np.asarray(day_of_year) - value("hour", "first day", "day")) / 364
    correction = (
        value("hour", "double swing") * np.sin(2 * year)
        - value("hour", "cosine swing") * np.cos(year)
        - value("hour", "sine swing") * np.sin(year)
    )  # hours
    noon = 12 - (longitude - zone_longitude) / 15 - correction
    # the middle of the hour as an angle from noon, within half a turn of it
    middle = np.mod(np.pi / 12 * (hour - noon) + np.pi, 2 * np.pi) - np.pi
    sunset = np.where(sunset >= np.pi, np.inf, sunset)  # a sun that does not set shines through midnight
    begin, end = (np.clip(middle + half, -sunset, sunset) for half in (-np.pi / 24, np.pi / 24))
    height = (end - begin) * np.sin(phi) * np.sin(declination) + np.cos(phi) * np.cos(declination) * (
        np.sin(end) - np.sin(begin)
    )
    hourly = value("sun", "solar constant", "MJ/m^2/minute") * 60 * 12 / np.pi
    return np.maximum(hourly * distance * height, 0)  # rounding alone can make it negative


@formula(
    "mm/hour",
    temperature="degC",
    vapour_pressure="kPa",
    wind_speed="m/s",
    solar_radiation="MJ/m^2/hour",
    extraterrestrial="MJ/m^2/hour",
    altitude="m",
)
def hourly_reference_et(
    temperature: Any,
    vapour_pressure: Any,
    wind_speed: Any,
    solar_radiation: Any,
    extraterrestrial: Any,
    altitude: Any,
    clearness: Any = None,
) -> Any:
    """Reference evapotranspiration of an hour by Penman-Monteith.

    Parameters
    ----------
    temperature : quantity, mean of the hour
    vapour_pressure : quantity, of the air: its relative humidity times `saturation_vapour_pressure`
    wind_speed : quantity, at 2 m
    solar_radiation : quantity, at the ground
    extraterrestrial : quantity, see `hourly_extraterrestrial_radiation`
    altitude : quantity
    clearness : plain number or array, 0.25 to 1
        Of the sky in hours without enough sun to tell: solar over clear-sky radiation two to three hours before
        sunset. 0.5 when left out, for humid country; 0.75 in dry country.

    Returns
    -------
    quantity in mm/hour; an hour on which water would condense counts as 0

    Raises
    ------
    UnitNeeded, OutOfRange

    Example
    -------
    >>> from stilltank.units import Q
    >>> saturation = air.saturation_vapour_pressure(Q(38, "degC"))
    >>> round(hourly_reference_et(Q(38, "degC"), 0.52 * saturation, Q(3.3, "m/s"), Q(2.45, "MJ/m^2/hour"),
    ...                           Q(3.543, "MJ/m^2/hour"), Q(8, "m")).magnitude, 2)
    0.63

    Notes
    -----
    Heat into the soil: a tenth of the net radiation by day, half of it by night. A tank under a lid has no such
    soil, and its water warms instead: the hours shift, the day hardly.

    Source: FAO-56 eq. 53, 45, 46, 37 to 39; example 19.
    """
    for given in (vapour_pressure, wind_speed, solar_radiation, extraterrestrial):
        within(
            given, 0, np.inf, "hourly_reference_et: humidity, wind and sun cannot be negative; {value:g} is."
        )
    usual = value("hour", "clearness at night") if clearness is None else clearness
    within(usual, 0.25, 1, "hourly_reference_et: a clearness of {value:g}; it lies between 0.25 and 1.")
    clear = radiation.clear_sky_radiation.plain(extraterrestrial, altitude)
    lit = np.asarray(clear) > value("hour", "least clear sky", "MJ/m^2/hour")
    ratio = np.where(lit, np.minimum(solar_radiation / np.where(lit, clear, 1), 1), usual)
    kelvin = temperature + value("net radiation", "kelvin offset")
    humid, damp = (value("net radiation", f"humidity {part}") for part in ("constant", "slope"))
    cloud = value("net radiation", "cloud slope") * ratio - value("net radiation", "cloud constant")
    emitted = value("hour", "Stefan-Boltzmann", "MJ/kelvin^4/m^2/hour") * kelvin**4
    net = (
        radiation.net_shortwave.plain(solar_radiation)
        - emitted * (humid - damp * np.sqrt(vapour_pressure)) * cloud
    )
    share = np.where(
        np.asarray(solar_radiation) > 0, value("hour", "soil by day"), value("hour", "soil by night")
    )
    slope = air.slope_of_vapour_pressure.plain(temperature)
    gamma = air.psychrometric_constant.plain(air.atmospheric_pressure.plain(altitude))
    deficit = air.saturation_vapour_pressure.plain(temperature) - vapour_pressure
    drying = value("Penman-Monteith", "hourly numerator") / (
        temperature + value("Penman-Monteith", "kelvin offset")
    )
    above = value("Penman-Monteith", "water for energy") * slope * net * (1 - share) + (
        gamma * drying * wind_speed * deficit
    )
    return np.maximum(above / (slope + gamma * (1 + value("Penman-Monteith", "wind factor") * wind_speed)), 0)
