"""Length of the day, by latitude and date."""

from typing import Any

import numpy as np

from stilltank import tables
from stilltank.units import Q, Quantity, check_shapes, latitude_degrees, one_of, within
from stilltank.units.types import Numbers, SomeDays

from ._almanac import day_hours
from .dates import days_of, plain_day_of_year
from .radiation import daylight_hours

DAY_LENGTH_METHODS = {
    "cbm": "sunrise to sunset: upper edge of the sun, with refraction",
    "fao56": "centre of the sun on a flat horizon without air (FAO-56, equation 34)",
    "twilight": "civil twilight: the sun's centre at most 6 degrees below the horizon",
    "almanac": "sunrise to sunset of that year, to a tenth of a minute",
    "almanac twilight": "civil twilight of that year, to a tenth of a minute",
}
_HORIZONS = {
    "cbm": "sunrise to sunset",
    "twilight": "civil twilight",
    "almanac": "sunrise to sunset",
    "almanac twilight": "civil twilight",
}


def day_length(latitude: Quantity, date: SomeDays | int | Numbers, method: str = "cbm") -> Quantity:
    """Length of the day.

    Parameters
    ----------
    latitude : Quantity
        Of the place, in degrees, south negative; one value or an array.
    date : SomeDays or int
        Dates, ISO dates, or whole days of the year. Arrays of latitude and date combine by the rules of numpy.
    method : str, default "cbm"
        "cbm" (sunrise to sunset, default), "fao56" (FAO-56 equation 34) or "twilight" (civil twilight) by short
        formulas; "almanac" and "almanac twilight" by the sun's own path, to see how far the formulas are off. Say on
        every plot which one it is: they differ by more than an hour.

    Returns
    -------
    Quantity
        In hours; 24 on days without sunset, 0 on days without sunrise.

    Raises
    ------
    UnitNeeded
        ``latitude`` has no unit.
    OutOfRange
        A latitude beyond 90 degrees, or a day of the year that does not exist.
    Unreadable
        A date that cannot be understood, an unknown method, or, for an almanac, a day of the year without its year.
    Problem
        Arrays that do not fit each other.

    See Also
    --------
    effective_day_length : The day as a plant counts it, with lamps.
    daylight_hours : The longest sunshine, as FAO-56 needs it.

    Notes
    -----
    Against an almanac for 2025 "cbm" is off by 1.1 minutes on average (1.8 at most) at 20 degrees, 2.6 (3.8) at 40,
    3.7 (5.4) at 50 and 5.8 (7.8) at 60; "twilight" by 1.1 (1.8), 2.6 (3.9), 3.8 (5.6) and 6.6 (9.4); "fao56" is short
    by 8.6, 12.2, 15.7 and 23.0 minutes on average there. "almanac" agrees with an astronomical library to 0.1 minutes
    from 0 to 60 degrees; it looks from the meridian of Greenwich, and half the world away half a day's change comes
    on top: 1.3 minutes at 40 degrees, 2.7 at 60. On the first and last day of a polar day or night none can be
    trusted. Hills and walls are not known to it. Critical photoperiods are hours of lamp light.

    References
    ----------
    FORSYTHE1995, CBM model.
    FAO56, equations 24, 25 and 34.
    MEEUS1998, chapters 25 and 28, for the almanac.

    Examples
    --------
    >>> round(day_length(Q(40, "deg"), "2025-06-21").to("hour").magnitude, 2)
    15.02
    >>> round(day_length(Q(-20, "deg"), "2025-09-03", method="fao56").to("hour").magnitude, 2)
    11.67
    """
    degrees = latitude_degrees(latitude, "day_length")
    one_of(method, tuple(DAY_LENGTH_METHODS), "method", "day_length")
    day = days_of(date) if method.startswith("almanac") else day_of_year(date)
    check_shapes({"latitude": np.shape(degrees), "date": np.shape(day)}, "day_length")
    if method == "fao56":
        return Q(daylight_hours.plain(degrees, day), "hour")
    below = tables.number("daylength", "horizon", _HORIZONS[method], "rad")
    if method.startswith("almanac"):
        return Q(day_hours(degrees, day, below), "hour")
    phi, delta = np.radians(degrees), _declination(day)
    cosine = (np.sin(below) + np.sin(phi) * np.sin(delta)) / (np.cos(phi) * np.cos(delta))
    # beyond -1 or 1 the sun does not cross the horizon that day
    return Q(24 / np.pi * np.arccos(-np.clip(cosine, -1, 1)), "hour")


def day_of_year(date: SomeDays | int | Numbers) -> int | Numbers:
    """Day of the year, 1 January being 1.

    Parameters
    ----------
    date : SomeDays or int
        A date, an ISO date, or a whole number from 1 to 366; one or many.

    Returns
    -------
    int or ndarray of int
        1 to 366, of the shape of ``date``.

    Raises
    ------
    Unreadable
        A date that cannot be understood.
    OutOfRange
        A day of the year that does not exist.

    Examples
    --------
    >>> day_of_year("2024-12-31"), day_of_year("2025-12-31")
    (366, 365)
    """
    array = np.asarray(date)
    if array.dtype.kind == "f" and array.size and np.all(array == np.floor(array)):
        array = array.astype(int)
    if np.issubdtype(array.dtype, np.integer):
        within(array, 1, 366, "A day of the year lies between 1 and 366; {value:g} does not.")
        return array if array.ndim else int(array)
    number = plain_day_of_year(days_of(date))
    return number if np.ndim(number) else int(number)


def _declination(day: Any) -> Any:
    """Declination of the sun in rad, CBM model."""
    n = {
        name: tables.load("daylength")["cbm", name].value
        for name in ("angle offset", "angle factor", "day rate", "reference day", "sine of obliquity")
    }
    angle = n["angle offset"] + 2 * np.arctan(
        n["angle factor"] * np.tan(n["day rate"] * (day - n["reference day"]))
    )
    return np.arcsin(n["sine of obliquity"] * np.cos(angle))
