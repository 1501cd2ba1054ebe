"""Dates and places: what is read, and what is refused."""

from collections.abc import Callable
from typing import Any

from stilltank.tables import number
from stilltank.units import Quantity, UnitNeeded, magnitude, one_value, ureg, within


def latitude_degrees(latitude: Any, function: str, door: Callable[..., Any] = magnitude) -> Any:
    """A latitude as plain degrees; south negative.

    Parameters
    ----------
    latitude : quantity in degrees or radians, one value or an array
    function : str
        Who asks, for the sentence.
    door : ``magnitude``, or ``one_value`` where one latitude only makes sense

    Returns
    -------
    float or array

    Raises
    ------
    UnitNeeded   not an angle (a percentage is none)
    OutOfRange   beyond a pole

    Example
    -------
    >>> latitude_degrees(Q(-22.9, "degree"), "example")
    -22.9
    """
    if not isinstance(latitude, Quantity) or latitude.units not in (ureg.degree, ureg.radian):
        raise UnitNeeded(
            f'{function} needs a latitude in degrees, such as Q(41.5, "degree"), south negative. You gave {latitude!s}.'
        )
    degrees = door(latitude, "degree", "latitude", function)
    within(degrees, -90, 90, f"{function}: a latitude lies between -90 and 90 degrees; {{value:g}} does not.")
    return degrees


def altitude_metres(altitude: Any, function: str) -> Any:
    """An altitude as plain metres.

    Raises UnitNeeded without a length, OutOfRange where nobody gardens.
    """
    metres = one_value(altitude, "m", "altitude", function)
    check_metres(metres, "altitude", function)
    return metres


def check_metres(metres: Any, what: str, function: str) -> None:
    """Refuse plain metres outside the limits for an ``altitude`` or a ``wind gauge``.

    Raises OutOfRange.
    """
    low, high = (number("plausible", "weather", f"{end} {what}", "m") for end in ("lowest", "highest"))
    within(metres, low, high, f"{function}: {what} {{value:g}} m; write {low:g} to {high:g} m.")
