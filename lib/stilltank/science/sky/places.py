"""Dates and places: what is read, and what is refused."""

from stilltank.tables import number
from stilltank.units import one_value, speaking_of, within
from stilltank.units.types import PlainLike


def altitude_metres(altitude: object, function: str) -> float:
    """An altitude as plain metres.

    Parameters
    ----------
    altitude : object
        The altitude as the caller gave it.
    function : str
        The function that asks, for the sentence of a refusal.

    Returns
    -------
    float
        In m.

    Raises
    ------
    UnitNeeded
        No length.
    OutOfRange
        An altitude at which nobody gardens.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> round(altitude_metres(Q(1000, "ft"), "example"), 1)
    304.8
    """
    metres = one_value(altitude, "m", "altitude", function)
    with speaking_of(altitude):
        check_metres(metres, "altitude", function)
    return metres


def check_metres(metres: PlainLike, what: str, function: str) -> None:
    """Refuse plain metres outside the limits for an altitude or a wind gauge.

    Parameters
    ----------
    metres : float or ndarray
        Height in m.
    what : str
        "altitude" or "wind gauge".
    function : str
        The function that asks, for the sentence of a refusal.

    Raises
    ------
    OutOfRange
        The height lies outside the limits in data/plausible.csv.

    Examples
    --------
    >>> check_metres(9000.0, "altitude", "example")
    Traceback (most recent call last):
    stilltank.problems.OutOfRange: example: altitude 9000 m; write −430 m to 6000 m.
    """
    low, high = (number("plausible", "weather", f"{end} {what}", "m") for end in ("lowest", "highest"))
    within(metres, low, high, f"{function}: {what} {{value}}; write {{low}} to {{high}}.", ("m", "ft"))
