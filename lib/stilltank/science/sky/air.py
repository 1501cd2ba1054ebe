"""Pressure, vapour and wind: the formulas of FAO-56 chapter 3 that need no sun."""

import numpy as np

from stilltank.units import OutOfRange, Q, Quantity, UnitNeeded, said, takes, within
from stilltank.units.types import PlainLike

from .fao56 import fao56_value
from .places import check_metres


@takes(altitude="m", returns="kPa")
def atmospheric_pressure(altitude: Quantity) -> Quantity:
    r"""Mean air pressure at an altitude.

    Parameters
    ----------
    altitude : Quantity
        Above the sea, -430 m to 6000 m; one value or an array.

    Returns
    -------
    Quantity
        In kPa, of the shape of ``altitude``.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    .. math:: p = p_0 \left(\frac{T_0 - \Gamma z}{T_0}\right)^{5.26}

    Air of 20 °C at the sea, as FAO-56 takes it. The standard atmosphere, of 15 °C, gives 0.3 kPa less at 2000 m.

    References
    ----------
    FAO56, equation 7.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(atmospheric_pressure(Q(1800, "m")).magnitude, 1)
    81.8
    """
    check_metres(altitude, "altitude", "atmospheric_pressure")
    standard = fao56_value("pressure", "standard temperature", "kelvin")
    share = (standard - fao56_value("pressure", "lapse", "kelvin/m") * altitude) / standard
    return fao56_value("pressure", "at sea level", "kPa") * share ** fao56_value("pressure", "exponent")


@takes(pressure="kPa", returns="kPa/delta_degC")
def psychrometric_constant(pressure: Quantity) -> Quantity:
    """Psychrometric constant at an air pressure.

    Parameters
    ----------
    pressure : Quantity
        Pressure of the air; one value or an array.

    Returns
    -------
    Quantity
        In kPa/delta_degC.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.

    References
    ----------
    FAO56, equation 8.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(psychrometric_constant(Q(81.8, "kPa")).magnitude, 3)
    0.054
    """
    return fao56_value("psychrometric constant", "share of the pressure", "1/delta_degC") * pressure


@takes(temperature="degC", returns="kPa")
def saturation_vapour_pressure(temperature: Quantity) -> Quantity:
    r"""Vapour pressure of air that holds all the water it can.

    Parameters
    ----------
    temperature : Quantity
        Temperature of the air, -90 °C to 100 °C; one value or an array.

    Returns
    -------
    Quantity
        In kPa.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    See Also
    --------
    actual_vapour_pressure : What the air really holds.

    Notes
    -----
    0.1 % under the international standard for water at 30 degC; over ice it is too high.
    The solubility of oxygen has a vapour pressure of its own, the one that its standard was made with.

    .. math:: e^o(T) = 0.6108 \exp\left(\frac{17.27\, T}{T + 237.3}\right)

    References
    ----------
    FAO56, equation 11.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(saturation_vapour_pressure(Q(24.5, "degC")).magnitude, 3)
    3.075
    """
    within(temperature, -90, 100, "saturation_vapour_pressure: {value}; write {low} to {high}.", "degC")
    factor, offset = (
        fao56_value("vapour pressure", "factor"),
        fao56_value("vapour pressure", "offset", "delta_degC"),
    )
    return fao56_value("vapour pressure", "at 0 degC", "kPa") * np.exp(
        factor * temperature / (temperature + offset)
    )


@takes(temperature_max="degC", temperature_min="degC", returns="kPa")
def mean_saturation_vapour_pressure(temperature_max: Quantity, temperature_min: Quantity) -> Quantity:
    """Mean of the saturation vapour pressures at the day's highest and lowest temperature.

    Parameters
    ----------
    temperature_max, temperature_min : Quantity
        Highest and lowest temperature of the day, -90 °C to 100 °C; one value each or arrays.

    Returns
    -------
    Quantity
        In kPa.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    The mean of both, since the curve is bent: the pressure at the mean temperature would be too low.

    References
    ----------
    FAO56, equation 12.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(mean_saturation_vapour_pressure(Q(24.5, "degC"), Q(15, "degC")).magnitude, 2)
    2.39
    """
    saturation = saturation_vapour_pressure.plain
    return (saturation(temperature_max) + saturation(temperature_min)) / 2


@takes(temperature="degC", returns="kPa/delta_degC")
def slope_of_saturation_vapour_pressure(temperature: Quantity) -> Quantity:
    """Slope of the saturation vapour pressure curve.

    Parameters
    ----------
    temperature : Quantity
        Temperature of the air, -90 °C to 100 °C; one value or an array.

    Returns
    -------
    Quantity
        In kPa/delta_degC.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    References
    ----------
    FAO56, equation 13.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(slope_of_saturation_vapour_pressure(Q(25, "degC")).magnitude, 3)
    0.189
    """
    factor, offset = (
        fao56_value("vapour pressure", "factor"),
        fao56_value("vapour pressure", "offset", "delta_degC"),
    )
    return factor * offset * saturation_vapour_pressure.plain(temperature) / (temperature + offset) ** 2


@takes(
    temperature_max="degC",
    temperature_min="degC",
    dew_point="degC",
    relative_humidity_max="percent",
    relative_humidity_min="percent",
    relative_humidity_mean="percent",
    returns="kPa",
)
def actual_vapour_pressure(
    temperature_max: Quantity,
    temperature_min: Quantity,
    *,
    dew_point: Quantity | None = None,
    relative_humidity_max: Quantity | None = None,
    relative_humidity_min: Quantity | None = None,
    relative_humidity_mean: Quantity | None = None,
) -> Quantity:
    """Vapour pressure of the air, by the best of what was measured.

    Parameters
    ----------
    temperature_max, temperature_min : Quantity
        Highest and lowest temperature of the day; one value each or arrays.
    dew_point : Quantity, optional
        Dew point, where it was measured.
    relative_humidity_max, relative_humidity_min, relative_humidity_mean : Quantity, optional
        Highest, lowest and mean humidity of the day, 0 to 100 percent, as far as measured.

    Returns
    -------
    Quantity
        In kPa. With no humidity at all, that of air saturated at the lowest temperature.

    Raises
    ------
    UnitNeeded
        No unit, or a lowest humidity alone.
    OutOfRange
        A humidity outside 0 to 100 percent.

    Notes
    -----
    In that order: dew point, both extremes of the humidity, the highest alone, the mean, none. In dry country
    the lowest temperature lies above the dew point, and the last way gives too much vapour.

    References
    ----------
    FAO56, equations 14, 17, 18, 19, 48.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(actual_vapour_pressure(Q(25, "degC"), Q(18, "degC"), relative_humidity_max=Q(82, "percent"),
    ...                              relative_humidity_min=Q(54, "percent")).magnitude, 2)
    1.7
    """
    saturation = saturation_vapour_pressure.plain
    return vapour_between(
        saturation(temperature_max),
        saturation(temperature_min),
        dew_point,
        relative_humidity_max,
        relative_humidity_min,
        relative_humidity_mean,
    )


def vapour_between(
    at_highest: PlainLike,
    at_lowest: PlainLike,
    dew_point: PlainLike,
    relative_humidity_max: PlainLike,
    relative_humidity_min: PlainLike,
    relative_humidity_mean: PlainLike,
) -> PlainLike:
    """Vapour pressure of the air on plain numbers, from saturation pressures that are known already.

    Parameters
    ----------
    at_highest, at_lowest : float or ndarray
        Saturation vapour pressure at the highest and the lowest temperature of the day, in kPa.
    dew_point : float, ndarray or None
        Dew point in degC, where it was measured.
    relative_humidity_max, relative_humidity_min, relative_humidity_mean : float, ndarray or None
        Highest, lowest and mean humidity in percent, as far as measured.

    Returns
    -------
    float or ndarray
        In kPa.

    Raises
    ------
    UnitNeeded
        The lowest humidity was given alone.
    OutOfRange
        A humidity lies outside 0 to 100 percent.

    See Also
    --------
    actual_vapour_pressure : The same with units at its door.

    References
    ----------
    FAO56, equations 14, 17, 18, 19 and 48.

    Examples
    --------
    >>> round(vapour_between(3.168, 2.064, None, 82.0, 54.0, None), 2)
    1.7
    """
    for humidity in (relative_humidity_max, relative_humidity_min, relative_humidity_mean):
        if humidity is not None:
            within(
                humidity, 0, 100, "A relative humidity lies between 0 and 100 percent; {value:g} does not."
            )
    if dew_point is not None:
        return saturation_vapour_pressure.plain(dew_point)
    if relative_humidity_max is not None and relative_humidity_min is not None:
        return (at_lowest * relative_humidity_max + at_highest * relative_humidity_min) / 200
    if relative_humidity_max is not None:
        return at_lowest * relative_humidity_max / 100
    if relative_humidity_mean is not None:
        return relative_humidity_mean / 100 * ((at_highest + at_lowest) / 2)
    if relative_humidity_min is not None:
        raise UnitNeeded(
            "actual_vapour_pressure: the lowest humidity alone does not say how much water the air holds. "
            "Give `relative_humidity_max` too, or the mean, or the dew point; or leave the humidity out."
        )
    return at_lowest


@takes(wind_speed="m/s", height="m", returns="m/s")
def wind_speed_at_2m(wind_speed: Quantity, height: Quantity) -> Quantity:
    """Wind two metres above short grass, from a gauge at another height.

    Parameters
    ----------
    wind_speed : Quantity
        Wind at the height of the gauge; one value or an array.
    height : Quantity
        Height of the gauge above the ground, 0.5 m to 100 m.

    Returns
    -------
    Quantity
        In m/s.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.
    OutOfRange
        A value is not finite, or lies outside what is possible here.

    Notes
    -----
    For a gauge over short grass in the open. Between walls the wind has no such profile.

    References
    ----------
    FAO56, equation 47.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(wind_speed_at_2m(Q(3.2, "m/s"), Q(10, "m")).magnitude, 1)
    2.4
    """
    within(wind_speed, 0, np.inf, "wind_speed_at_2m: a wind speed of {value}; it cannot be negative.", "m/s")
    check_metres(height, "wind gauge", "wind_speed_at_2m")
    inside = fao56_value("wind", "height factor") * height - fao56_value("wind", "height offset")
    return wind_speed * fao56_value("wind", "factor") / np.log(inside)


@takes(temperature="degC", returns="MJ/kg")
def latent_heat_of_vaporisation(temperature: Quantity) -> Quantity:
    """Energy that evaporates a kilogram of water.

    Parameters
    ----------
    temperature : Quantity
        Temperature of the water; one value or an array.

    Returns
    -------
    Quantity
        In MJ/kg.

    Raises
    ------
    UnitNeeded
        A quantity is missing, has no unit, or has a unit of another kind.

    Notes
    -----
    The evapotranspiration itself uses the fixed 0.408 mm for each MJ/m^2 of FAO-56.

    References
    ----------
    FAO56, Annex 3, equation 3-1.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(latent_heat_of_vaporisation(Q(20, "degC")).magnitude, 3)
    2.454
    """
    return (
        fao56_value("latent heat", "at 0 degC", "MJ/kg")
        - fao56_value("latent heat", "fall", "MJ/kg/delta_degC") * temperature
    )


def check_day_extremes(lowest: PlainLike, highest: PlainLike) -> None:
    """Refuse days whose lowest temperature lies above their highest.

    Parameters
    ----------
    lowest, highest : float or ndarray
        In degC, of shapes that fit each other.

    Raises
    ------
    OutOfRange
        A day's lowest temperature lies above its highest; the sentence names the first such day.

    Examples
    --------
    >>> check_day_extremes(25.0, 15.0)
    Traceback (most recent call last):
    stilltank.problems.OutOfRange: A day's lowest temperature, 25 °C, lies above its highest, 15 °C. Check whether...
    """
    low, high = np.broadcast_arrays(np.atleast_1d(lowest), np.atleast_1d(highest))
    wrong = np.argwhere(low > high)
    if wrong.size:
        place = tuple(wrong[0])
        which = f", on day {place[-1] + 1} of the list" if low.size > 1 else ""
        raise OutOfRange(
            f"A day's lowest temperature, {said(Q(low[place], 'degC'), 4)}, lies above its highest, "
            f"{said(Q(high[place], 'degC'), 4)}{which}. Check whether the two are swapped."
        )
