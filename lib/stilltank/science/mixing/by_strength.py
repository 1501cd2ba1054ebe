"""A solution along a row of strengths: what the meter shows, and when a concentrate turns cloudy."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science import chemistry
from stilltank.science.chemistry import Solution
from stilltank.units import Q, takes, within


@dataclass(frozen=True)
class MeterReading:
    """What a conductivity meter shows at one strength, and along a row of strengths (shares of the recipe)."""

    chosen: float
    reading: Any
    in_proportion: Any
    """What a share of the full recipe's reading would be."""
    strengths: Any
    readings: Any


@takes(temperature="degC")
def readings_by_strength(
    solution: Solution, strength: float, temperature: Any = None, most: float = 2.0
) -> MeterReading:
    """Conductivity of a solution made weaker or stronger with pure water.

    Parameters
    ----------
    solution : Solution at full strength
    strength : number, share of it; 0.5 is half strength
    temperature : quantity; 25 degC, the one meters report, when left out
    most : number, end of the row of strengths

    Returns
    -------
    MeterReading

    Raises
    ------
    OutOfRange   a strength below 0 or above ``most``

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> half = readings_by_strength(recipe_solution("Hoagland 1"), 0.5)
    >>> bool(half.reading > half.in_proportion)  # ions hinder each other less when they are few
    True

    Limits: as ``chemistry.conductivity``.
    """
    within(
        strength, 0, most, f"A strength lies between 0 and {most:g} times the recipe; {{value:g}} does not."
    )
    celsius = Q(25.0 if temperature is None else temperature, "degC")
    row = np.linspace(0, most, 81)

    shares = np.concatenate([row, [strength, 1.0]])  # all in one call, for a slider waits for it
    found = chemistry.conductivity({key: value * shares for key, value in solution.ions.items()}, celsius)
    return MeterReading(strength, found[-2], found[-1] * strength, row, found[:-2])


@dataclass(frozen=True)
class Clouding:
    """Saturation index of gypsum in a concentrate of one bottle: at one strength, and along a row of strengths."""

    chosen: float
    index: float
    times: Any
    indices: Any
    bottles: int
    from_times: float | None
    """The strength from which gypsum can fall out, 1 at the least; None when it cannot within the row."""


@takes(temperature="degC")
def gypsum_by_strength(
    solution: Solution, times: float, bottles: int = 1, temperature: Any = None
) -> Clouding:
    """How near a concentrate of a solution comes to dropping gypsum.

    Parameters
    ----------
    solution : Solution at working strength
    times : number, how many times stronger the concentrate is; 1 to 300
    bottles : 1, all salts together; or 2, calcium apart from sulfate
    temperature : quantity; 20 degC when left out

    Returns
    -------
    Clouding

    Raises
    ------
    OutOfRange   strengths or bottles outside these

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> gypsum_by_strength(recipe_solution("Hoagland 1"), 100).index > 0
    True

    Limits: order of magnitude only above some 20 times the tank's strength, where the activity model ends. With two
    bottles calcium and sulfate never meet undiluted, whatever the strength.
    """
    within(times, 1, 300, "A concentrate is 1 to 300 times as strong as the tank; {value:g} is outside.")
    within(bottles, 1, 2, "One bottle or two; {value:g} is neither.")
    celsius = Q(20.0 if temperature is None else temperature, "degC")
    row = np.geomspace(1, 300, 61)

    shares = np.append(row, times)
    found = np.asarray(
        chemistry.gypsum_saturation_index(
            {key: value * shares for key, value in solution.ions.items()}, celsius
        )
    )
    indices, index = found[:-1], float(found[-1])
    start = chemistry.strength_at_gypsum(solution.ions, celsius) if bottles == 1 else np.inf
    within_row = max(start, float(row[0])) if start <= row[-1] else None
    return Clouding(times, index, row, indices, bottles, within_row)
