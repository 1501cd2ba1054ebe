"""Dates and places: what is read, and what is refused."""

from stilltank.tables import number
from stilltank.units import one_value, speaking_of, within
from stilltank.units.types import PlainLike


def altitude_metres(altitude: object, function: str) -> float:
    """An altitude as plain metres.

    Raises UnitNeeded without a length, OutOfRange where nobody gardens.
    """
    metres = one_value(altitude, "m", "altitude", function)
    with speaking_of(altitude):
        check_metres(metres, "altitude", function)
    return metres


def check_metres(metres: PlainLike, what: str, function: str) -> None:
    """Refuse plain metres outside the limits for an ``altitude`` or a ``wind gauge``.

    Raises OutOfRange.
    """
    low, high = (number("plausible", "weather", f"{end} {what}", "m") for end in ("lowest", "highest"))
    within(metres, low, high, f"{function}: {what} {{value}}; write {{low}} to {{high}}.", ("m", "ft"))
