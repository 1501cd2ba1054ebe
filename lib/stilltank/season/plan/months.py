"""Twelve months of a place without a daily record, and the weather made from them."""

from dataclasses import dataclass, field
from typing import Any

from stilltank.documents import Document, Section
from stilltank.science import weather
from stilltank.units import Problem, Quantity

WORD = "months"
"""What stands in a plan's file in place of the name of a weather record."""


@dataclass(frozen=True, eq=False)
class Months:
    """Mean highs, lows and rain of the twelve months of a place, January first.

    Parameters
    ----------
    highs, lows : quantity, temperature, [12]
        Means of the days' highest and lowest temperature.
    rain : quantity, length, [12]
        Of each month.
    coast : bool, default False
        Whether the air comes from a large water nearby.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> kept = Months(Q([20] * 12, "degC"), Q([10] * 12, "degC"), Q([50] * 12, "mm"))
    >>> kept.record(weather.site("quillgate")) is kept.record(weather.site("quillgate"))
    True
    """

    highs: Quantity
    lows: Quantity
    rain: Quantity
    coast: bool = False
    _made: dict[tuple[float, float], weather.Weather] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def record(self, place: weather.Site) -> weather.Weather:
        """Make the daily weather of a place, once for each latitude and altitude.

        Parameters
        ----------
        place : Site
            The place.

        Returns
        -------
        Weather
            Made weather, which says so.

        Raises
        ------
        Problem
            The months are none; the sentence says which, and what to give instead.

        Examples
        --------
        >>> from stilltank.units import Q
        >>> kept = Months(Q([20] * 12, "degC"), Q([10] * 12, "degC"), Q([50] * 12, "mm"))
        >>> len(kept.record(weather.site("quillgate")).years)
        30
        """
        where = float(place.latitude.m_as("degree")), float(place.altitude.m_as("m"))
        if where not in self._made:
            self._made[where] = weather.from_months(
                self.highs, self.lows, self.rain, place.latitude, place.altitude, coast=self.coast
            )
        return self._made[where]


def months_from(given: Months | None) -> Months | None:
    """Take twelve months.

    Parameters
    ----------
    given : Months or None
        What the person gave.

    Returns
    -------
    Months or None
        The same.

    Raises
    ------
    Problem
        This is something else.

    Examples
    --------
    >>> months_from(None)
    """
    if given is not None and not isinstance(given, Months):
        raise Problem(
            f"Twelve months are Months(highs, lows, rain), each with twelve values; {given!r} is not."
        )
    return given


def months_as_values(given: Months) -> dict[str, Any]:
    """Say twelve months as their section holds them."""
    said: dict[str, Any] = {
        name: [f"{value:.10g} {sign}" for value in getattr(given, name).m_as(unit)]
        for name, unit, sign in (("highs", "degC", "°C"), ("lows", "degC", "°C"), ("rain", "mm", "mm"))
    }
    return said | ({"coast": True} if given.coast else {})


def read_months(document: Document, place: weather.Site) -> Months:
    """Read twelve months; a fault names its line."""
    section: Section = document.section("site", WORD)
    rows = {
        name: section.quantity(name, kind, example, many=True)
        for name, kind, example in (
            ("highs", "temperature", "6 °C"),
            ("lows", "temperature", "1 °C"),
            ("rain", "length", "60 mm"),
        )
    }
    coast = section.get("coast", bool, "true") if "coast" in section else False
    section.nothing_else()
    made = Months(**rows, coast=coast)
    section.using([*rows], lambda: made.record(place))
    return made
