"""Reference evapotranspiration: what a field of short, well-watered grass uses."""

from typing import Any

import numpy as np

from stilltank.science import sky
from stilltank.science.sky import altitude_metres, fao56_value
from stilltank.science.weather import Site, Weather
from stilltank.units import PlainNumber, Problem, Q, Quantity, latitude_degrees, takes, within
from stilltank.units.types import Plain


@takes(
    net_radiation="MJ/m^2/day",
    temperature="degC",
    wind_speed="m/s",
    saturation="kPa",
    vapour_pressure="kPa",
    pressure="kPa",
    soil_heat="MJ/m^2/day",
    returns="mm/day",
)
def penman_monteith(
    net_radiation: Quantity,
    temperature: Quantity,
    wind_speed: Quantity,
    saturation: Quantity,
    vapour_pressure: Quantity,
    pressure: Quantity,
    soil_heat: Quantity | None = None,
) -> Quantity:
    r"""Reference evapotranspiration from its parts.

    Parameters
    ----------
    net_radiation : Quantity
        Short wave less long wave.
    temperature : Quantity
        Mean of the day's highest and lowest.
    wind_speed : Quantity
        Wind at 2 m above the ground.
    saturation, vapour_pressure : Quantity
        Mean saturation and actual vapour pressure.
    pressure : Quantity
        Pressure of the air.
    soil_heat : Quantity, optional
        Into the soil; nothing when left out, as for single days.

    Returns
    -------
    Quantity
        In mm/day.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.

    See Also
    --------
    reference_et : From a weather record.

    Notes
    -----
    .. math:: ET_0 = \frac{0.408\, \Delta (R_n - G) + \gamma \frac{900}{T + 273} u_2 (e_s - e_a)}
       {\Delta + \gamma (1 + 0.34\, u_2)}

    References
    ----------
    FAO56, equation 6.

    Examples
    --------
    >>> round(penman_monteith(Q(13.28, "MJ/m^2/day"), Q(16.9, "degC"), Q(2.078, "m/s"), Q(1.997, "kPa"),
    ...                       Q(1.409, "kPa"), Q(100.1, "kPa")).magnitude, 2)
    3.88
    """
    slope = sky.slope_of_saturation_vapour_pressure.plain(temperature)
    gamma = sky.psychrometric_constant.plain(pressure)
    drying = fao56_value("Penman-Monteith", "daily numerator") / (
        temperature + fao56_value("Penman-Monteith", "kelvin offset")
    )
    stays = net_radiation - (0.0 if soil_heat is None else soil_heat)
    energy = fao56_value("Penman-Monteith", "water for energy") * slope * stays
    air_term = gamma * drying * wind_speed * (saturation - vapour_pressure)
    return (energy + air_term) / (
        slope + gamma * (1 + fao56_value("Penman-Monteith", "wind factor") * wind_speed)
    )


def reference_et(
    weather: Weather | Site,
    latitude: Quantity | None = None,
    altitude: Quantity | None = None,
    coast: bool | None = None,
) -> Quantity:
    """Daily reference evapotranspiration by Penman-Monteith, with FAO-56's procedures for what is missing.

    Parameters
    ----------
    weather : Weather or Site
        A weather record, or a site with one. Highest and lowest temperature suffice; humidity, wind and sun are used
        where they are there.
    latitude, altitude : Quantity, optional
        Those of the weather when left out.
    coast : bool, optional
        For radiation from temperatures: True where the air comes from a large water; as the weather says when left
        out.

    Returns
    -------
    Quantity
        In mm/day, one value a day. `missing_data_procedures` says how it was reached.

    Raises
    ------
    Problem
        No weather record, or neither the weather nor the call says where this is.
    UnitNeeded
        A latitude or altitude without a unit.
    OutOfRange
        A place that is nowhere on earth.

    See Also
    --------
    hargreaves : From temperatures and the height of the sun alone.
    missing_data_procedures : What was measured and what was filled in.

    Notes
    -----
    A day on which water would condense counts as 0. From temperatures alone expect about 0.5 mm/d off on a
    single day and half of that on a weekly mean. Ratio of solar to clear-sky radiation: at most 1.

    References
    ----------
    FAO56, equations 6 and chapter 3; example 20.

    Examples
    --------
    >>> from stilltank.science.weather import Weather
    >>> july = Weather(["2015-07-15"], Q([26.6], "degC"), Q([14.8], "degC"))
    >>> print(f"{reference_et(july, Q(45.72, 'degree'), Q(200, 'm')).magnitude[0]:.2f}")
    4.56
    """
    weather = _record(weather, "reference_et")
    by_water = weather.coast if coast is None else bool(coast)
    return Q(_penman_monteith_days(weather, *_place(weather, latitude, altitude), by_water), "mm/day")


_TOGETHER = (
    16_384  # days worked through at once: few enough for a processor's own memory, which halves the time
)


def _penman_monteith_days(weather: Weather, latitude: float, altitude: float, coast: bool) -> Any:
    every_day = np.arange(1, 367)
    above = sky.extraterrestrial_radiation.plain(latitude, every_day)[weather.day_of_year - 1]
    found = np.empty(weather.days)
    for begin in range(0, weather.days, _TOGETHER):
        some = slice(begin, begin + _TOGETHER)
        found[some] = _some_days(weather, some, above[some], latitude, altitude, coast)
    return found


def _some_days(
    weather: Weather, some: slice, above: Any, latitude: float, altitude: float, coast: bool
) -> Any:
    def floats(name: str) -> Any:
        series = getattr(weather, name)
        return None if series is None else series.magnitude[some]

    high, low = weather.temperature_max.magnitude[some], weather.temperature_min.magnitude[some]
    at_highest, at_lowest = (sky.saturation_vapour_pressure.plain(degrees) for degrees in (high, low))
    vapour = sky.vapour_between(at_highest, at_lowest, *(floats(name) for name in _HUMIDITIES))
    clear = sky.clear_sky_radiation.plain(above, altitude)
    solar, sunshine, wind = floats("solar_radiation"), floats("sunshine"), floats("wind_speed")
    if solar is None:
        days = weather.day_of_year[some]
        if sunshine is not None:
            solar = sky.solar_radiation_from_sunshine.plain(latitude, days, sunshine)
        else:
            solar = sky.solar_radiation_from_temperature.plain(latitude, days, high, low, coast)
    if wind is None:
        wind = fao56_value("wind", "where none was measured", "m/s")
    else:
        height: Any = weather.wind_height  # a record with a wind has one
        wind = sky.wind_speed_at_2m.plain(wind, height.magnitude)
    net = sky.net_shortwave_radiation.plain(solar) - sky.net_longwave_radiation.plain(
        high, low, vapour, solar, clear
    )
    saturation = (at_highest + at_lowest) / 2
    pressure = sky.atmospheric_pressure.plain(altitude)
    return np.maximum(penman_monteith.plain(net, (high + low) / 2, wind, saturation, vapour, pressure), 0)


# in the order of `air.vapour_between`
_HUMIDITIES = ("dew_point", "relative_humidity_max", "relative_humidity_min", "relative_humidity_mean")


def _record(weather: Any, function: str) -> Weather:
    found = weather.weather if isinstance(weather, Site) else weather
    if not isinstance(found, Weather):
        raise Problem(
            f"{function} needs a Weather, such as record('new-york') or Weather(dates, highs, lows). "
            f"You gave a {type(weather).__name__}."
        )
    return found


def _place(weather: Weather, latitude: Any, altitude: Any = 0) -> tuple[float, float]:
    latitude = weather.latitude if latitude is None else latitude
    altitude = weather.altitude if altitude is None else altitude
    if latitude is None or altitude is None:
        raise Problem(
            "The evapotranspiration depends on the place. Give `latitude` and `altitude`, here or with the "
            'weather, such as Q(41.5, "degree") and Q(210, "m").'
        )
    return latitude_degrees(latitude, "reference_et", single=True), altitude_metres(altitude, "reference_et")


def missing_data_procedures(weather: Weather | Site, coast: bool | None = None) -> tuple[str, ...]:
    """Say in sentences what `reference_et` measures and what it fills in for a record.

    Parameters
    ----------
    weather : Weather or Site
        A weather record, or a site with one.
    coast : bool, optional
        For radiation from temperatures, as in `reference_et`.

    Returns
    -------
    tuple of str
        On vapour, radiation and wind.

    Raises
    ------
    Problem
        No weather record.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> print(missing_data_procedures(weather.record("new-york"))[2])
    Wind: none measured, so 2 m/s at 2 m.
    """
    record = _record(weather, "missing_data_procedures")
    if record.dew_point is not None:
        vapour = "from the dew point (eq. 14)"
    elif record.relative_humidity_max is not None:
        both = record.relative_humidity_min is not None
        vapour = (
            "from the highest and lowest humidity (eq. 17)" if both else "from the highest humidity (eq. 18)"
        )
    elif record.relative_humidity_mean is not None:
        vapour = "from the mean humidity (eq. 19)"
    else:
        vapour = "no humidity measured, so the air is taken as saturated at the lowest temperature (eq. 48)"
    if record.solar_radiation is not None:
        sun = "as measured"
    elif record.sunshine is not None:
        sun = "from the hours of sunshine (eq. 35)"
    else:
        by_water = record.coast if coast is None else coast
        sun = f"none measured, so from the temperature range (eq. 50, {'coast' if by_water else 'inland'})"
    usual = fao56_value("wind", "where none was measured", "m/s")
    height: Any = record.wind_height
    if record.wind_speed is None:
        wind = f"none measured, so {usual:g} m/s at 2 m"
    elif height.magnitude == 2:
        wind = "as measured at 2 m"
    else:
        wind = f"brought from {height.magnitude:g} m to 2 m (eq. 47)"
    return f"Vapour: {vapour}.", f"Radiation: {sun}.", f"Wind: {wind}."


def hargreaves(weather: Weather | Site, latitude: Quantity | None = None) -> Quantity:
    """Daily reference evapotranspiration from temperatures and the sun's height alone.

    Parameters
    ----------
    weather : Weather or Site
        A weather record, or a site with one.
    latitude : Quantity, optional
        That of the weather when left out.

    Returns
    -------
    Quantity
        In mm/day, one value a day.

    Raises
    ------
    Problem
        Neither the weather nor the call says where this is.
    UnitNeeded
        A latitude without a unit.
    OutOfRange
        A latitude beyond a pole.

    See Also
    --------
    reference_et : From all that was measured.

    Notes
    -----
    Within 1 to 5 % of Penman-Monteith over a year; about 0.5 mm/d off on a single day. Below -17.8 degC it
    counts as 0.

    References
    ----------
    FAO56, equation 52.

    Examples
    --------
    >>> from stilltank.science.weather import Weather
    >>> july = Weather(["2015-07-15"], Q([26.6], "degC"), Q([14.8], "degC"))
    >>> print(f"{hargreaves(july, Q(45.72, 'degree')).magnitude[0]:.1f}")
    5.0
    """
    weather = _record(weather, "hargreaves")
    degrees, _ = _place(weather, latitude, Q(0, "m"))
    high, low = weather.temperature_max.magnitude, weather.temperature_min.magnitude
    water = fao56_value("Penman-Monteith", "water for energy")
    above = water * sky.extraterrestrial_radiation.plain(degrees, weather.day_of_year)
    warmth = np.maximum((high + low) / 2 + fao56_value("Hargreaves", "temperature offset"), 0)
    return Q(fao56_value("Hargreaves", "factor") * warmth * np.sqrt(high - low) * above, "mm/day")


@takes(
    temperature="degC",
    vapour_pressure="kPa",
    wind_speed="m/s",
    solar_radiation="MJ/m^2/hour",
    extraterrestrial="MJ/m^2/hour",
    altitude="m",
    clearness=PlainNumber(0.5),
    returns="mm/hour",
)
def hourly_reference_et(
    temperature: Quantity,
    vapour_pressure: Quantity,
    wind_speed: Quantity,
    solar_radiation: Quantity,
    extraterrestrial: Quantity,
    altitude: Quantity,
    clearness: Plain | None = None,
) -> Quantity:
    """Reference evapotranspiration of an hour by Penman-Monteith.

    Parameters
    ----------
    temperature : Quantity
        Mean air temperature of the hour.
    vapour_pressure : Quantity
        Of the air: its relative humidity times `saturation_vapour_pressure`.
    wind_speed : Quantity
        Wind at 2 m above the ground.
    solar_radiation : Quantity
        Solar radiation at the ground.
    extraterrestrial : Quantity
        From `hourly_extraterrestrial_radiation`.
    altitude : Quantity
        Height above the sea.
    clearness : float or ndarray, optional
        Of the sky in hours without enough sun to tell, 0.25 to 1: solar over clear-sky radiation two to three hours
        before sunset. 0.5 when left out, for humid country; 0.75 in dry country.

    Returns
    -------
    Quantity
        In mm/hour; an hour in which water would condense counts as 0.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    Heat into the soil: a tenth of the net radiation by day, half of it by night. A tank under a lid has no such
    soil, and its water warms instead: the hours shift, the day hardly.

    References
    ----------
    FAO56, equations 53, 45, 46, 37 to 39; example 19.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> saturation = sky.saturation_vapour_pressure(Q(38, "degC"))
    >>> round(hourly_reference_et(Q(38, "degC"), 0.52 * saturation, Q(3.3, "m/s"), Q(2.45, "MJ/m^2/hour"),
    ...                           Q(3.543, "MJ/m^2/hour"), Q(8, "m")).magnitude, 2)
    0.63
    """
    for given in (vapour_pressure, wind_speed, solar_radiation, extraterrestrial):
        within(
            given, 0, np.inf, "hourly_reference_et: humidity, wind and sun cannot be negative; {value:g} is."
        )
    usual = fao56_value("hour", "clearness at night") if clearness is None else clearness
    within(usual, 0.25, 1, "hourly_reference_et: a clearness of {value:g}; it lies between 0.25 and 1.")
    clear = sky.clear_sky_radiation.plain(extraterrestrial, altitude)
    lit = np.asarray(clear) > fao56_value("hour", "least clear sky", "MJ/m^2/hour")
    ratio = np.where(lit, np.minimum(solar_radiation / np.where(lit, clear, 1), 1), usual)
    kelvin = temperature + fao56_value("net radiation", "kelvin offset")
    humid, damp = (fao56_value("net radiation", f"humidity {part}") for part in ("constant", "slope"))
    cloud = fao56_value("net radiation", "cloud slope") * ratio - fao56_value(
        "net radiation", "cloud constant"
    )
    emitted = fao56_value("hour", "Stefan-Boltzmann", "MJ/kelvin^4/m^2/hour") * kelvin**4
    net = (
        sky.net_shortwave_radiation.plain(solar_radiation)
        - emitted * (humid - damp * np.sqrt(vapour_pressure)) * cloud
    )
    share = np.where(
        np.asarray(solar_radiation) > 0,
        fao56_value("hour", "soil by day"),
        fao56_value("hour", "soil by night"),
    )
    slope = sky.slope_of_saturation_vapour_pressure.plain(temperature)
    gamma = sky.psychrometric_constant.plain(sky.atmospheric_pressure.plain(altitude))
    deficit = sky.saturation_vapour_pressure.plain(temperature) - vapour_pressure
    drying = fao56_value("Penman-Monteith", "hourly numerator") / (
        temperature + fao56_value("Penman-Monteith", "kelvin offset")
    )
    above = fao56_value("Penman-Monteith", "water for energy") * slope * net * (1 - share) + (
        gamma * drying * wind_speed * deficit
    )
    return np.maximum(
        above / (slope + gamma * (1 + fao56_value("Penman-Monteith", "wind factor") * wind_speed)), 0
    )
