"""What the questions on flowering share.

Bases, thermal times and night breaks come from data/. The days, rooms, dates and plans of the draws are invented for
the exercises. Sums by hand take the plain average of highest and lowest: the method that the thermal times of these
crops go with.
"""

import datetime
from typing import Any

import pint

from stilltank.learning.questions import Slip
from stilltank.science import heat
from stilltank.science.crops import crop
from stilltank.units import Q

from ..draws import quantities

CHAPTER = "05"
TWO_CROPS = ("bedding-zinnia", "snapdragon")
CROPS = (*TWO_CROPS, "sunflower")
ROOMS = quantities((16, 17, 18, 19, 21, 22, 23, 24), "degC")
BASES = quantities((4, 5, 6, 8), "degC")


def warmth_of(name: str) -> dict[str, Any]:
    """Name, base, thermal time and the day it counts from, of a crop."""
    found = crop(name)
    return {
        "plant": found.spoken,
        "base": found.base_temperature,
        "need": found.thermal_time,
        "phase": found.thermal_phase,
    }


def gained(temperature: pint.Quantity, base: pint.Quantity) -> pint.Quantity:
    """Degree-days of a day whose mean is this temperature."""
    return heat.degree_days(temperature, temperature, base, method="average")


def days_for(need: pint.Quantity, daily: pint.Quantity) -> pint.Quantity:
    """Days until so many degree-days are gathered, so many on each."""
    return (need / daily * Q(1, "day")).to("day")


def above_freezing(temperature: pint.Quantity, day: pint.Quantity | None = None) -> pint.Quantity:
    """The degrees above 0 °C of one day, or of several: what a sum without its base counts."""
    return Q(temperature.m_as("degC"), "delta_degC") * (Q(1, "day") if day is None else day)


def fahrenheit_days() -> Slip:
    """A sum in degrees Fahrenheit given in degrees Celsius, or the reverse."""
    step = Q(1, "delta_degC").m_as("delta_degF")
    return Slip(
        "degree-days of the other scale",
        "degree-days in °F are given as °C, or the other way round",
        f"A difference of 1 °C is one of {step:g} °F. Look which scale is asked for.",
        lambda n, solve: [solve(n) * step, solve(n) / step],
    )


def spoken(date: str) -> str:
    """A date without its year: "15 January"."""
    day = datetime.date.fromisoformat(date)
    return f"{day.day} {day:%B}"


def sources_of(names: tuple[str, ...] = CROPS) -> tuple[str, ...]:
    """Where the base and the thermal time of these crops stand."""
    return tuple(f"crops/{name}/{prop}" for name in names for prop in ("base temperature", "thermal time"))
