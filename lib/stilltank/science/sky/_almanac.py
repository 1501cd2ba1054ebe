"""The sun's rise and set as an almanac has them; plain numbers in and out, for `daylength`."""

from typing import Any

import numpy as np

from stilltank import tables

_J2000 = np.datetime64("2000-01-01T12:00")
_CENTURY = 36525.0  # days


def day_hours(latitude: Any, day: Any, below: float) -> Any:
    """Hours that the sun's centre stands above ``below`` rad under the horizon, on the meridian of Greenwich."""
    phi = np.radians(latitude)
    midnight = (day - _J2000) / np.timedelta64(1, "D")
    declination, _ = _sun(midnight + 0.5)
    cosine = -(np.sin(below) + np.sin(phi) * np.sin(declination)) / (np.cos(phi) * np.cos(declination))
    half = np.arccos(np.clip(cosine, -1, 1))
    # The sun's own motion between rise and set shifts both the same way in declination, which cancels; what is left is
    # the drift of solar noon, some seconds.
    rise, down = (_sun(midnight + 0.5 + sign * half / (2 * np.pi))[1] for sign in (-1, 1))
    hours = 24 * (half / np.pi + rise - down)
    return np.where(cosine <= -1, 24.0, np.where(cosine >= 1, 0.0, np.clip(hours, 0, 24)))[()]


def _sun(days: Any) -> tuple[Any, Any]:
    """Declination in rad, and equation of time in days, at a time in days from noon of 1 January 2000."""
    t = days / _CENTURY

    def n(name: str, unit: str = "deg") -> float:
        return tables.number("daylength", "sun", name, unit)

    longitude = n("mean longitude") + n("mean longitude rate") * t + n("mean longitude second rate") * t**2
    anomaly = np.radians(
        n("mean anomaly") + n("mean anomaly rate") * t + n("mean anomaly second rate") * t**2
    )
    centre = (
        (n("centre first") + n("centre first rate") * t) * np.sin(anomaly)
        + (n("centre second") + n("centre second rate") * t) * np.sin(2 * anomaly)
        + n("centre third") * np.sin(3 * anomaly)
    )
    node = np.radians(n("node") + n("node rate") * t)
    true = np.radians(longitude + centre - n("aberration") - n("nutation") * np.sin(node))
    tilt = np.radians(n("obliquity") + n("obliquity rate") * t + n("obliquity nutation") * np.cos(node))
    ascension = np.arctan2(np.cos(tilt) * np.sin(true), np.cos(true))
    late = longitude - n("aberration") - np.degrees(ascension)
    return np.arcsin(np.sin(tilt) * np.sin(true)), ((late + 180) % 360 - 180) / 360
