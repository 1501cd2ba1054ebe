"""A solution along a row of strengths: what the meter shows, and when a concentrate turns cloudy."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from stilltank.science import chemistry
from stilltank.science.chemistry import Solution
from stilltank.units import PlainNumber, Problem, Q, Quantity, takes, whole_number, within
from stilltank.units.types import Array


@dataclass(frozen=True)
class MeterReading:
    """What a conductivity meter shows at one strength, and along a row of strengths.

    Parameters
    ----------
    chosen : float
        The strength that was asked for, as a share of the recipe.
    reading : Quantity
        What the meter shows at that strength, mS/cm.
    in_proportion : Quantity
        What that share of the full recipe's reading would be, mS/cm.
    strengths : array
        The row of strengths.
    readings : Quantity
        What the meter shows along the row, mS/cm.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> print(f"{readings_by_strength(recipe_solution('Hoagland 1'), 0.5).reading.m_as('mS/cm'):.2f}")
    1.15
    """

    chosen: float
    reading: Quantity
    in_proportion: Quantity
    strengths: Array
    readings: Quantity


@takes(solution=Solution, strength=PlainNumber(0.5), temperature="degC", most=PlainNumber(2))
def readings_by_strength(
    solution: Solution, strength: float, temperature: Quantity | None = None, most: float = 2.0
) -> MeterReading:
    """Conductivity of a solution made weaker or stronger with pure water.

    Parameters
    ----------
    solution : Solution
        One solution, at full strength.
    strength : float
        Share of it; 0.5 is half strength.
    temperature : Quantity, optional
        One temperature from 0 to 40 degC; 25 degC, as meters report, when left out.
    most : float, optional
        End of the row of strengths.

    Returns
    -------
    MeterReading
        What the meter shows at this strength, and along the row.

    Raises
    ------
    Unreadable
        It is no solution, or a strength is no plain number.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The strength is below 0 or above ``most``.
    Problem
        There are several solutions, strengths or temperatures.

    See Also
    --------
    stilltank.science.chemistry.conductivity : The model, with its limits.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> half = readings_by_strength(recipe_solution("Hoagland 1"), 0.5)
    >>> bool(half.reading > half.in_proportion)  # ions hinder each other less when they are few
    True
    """
    _one_of_each(
        solution, {"strength": strength, "temperature": temperature, "most": most}, "readings_by_strength"
    )
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
    """Saturation index of gypsum in a concentrate of one bottle: at one strength, and along a row of strengths.

    Parameters
    ----------
    chosen : float
        The strength that was asked for, times the tank's.
    index : float
        Saturation index of gypsum at that strength; above 0 it can fall out.
    times : array
        The row of strengths.
    indices : array
        The index along the row.
    bottles : int
        1, all salts together; or 2.
    from_times : float or None
        The strength from which gypsum can fall out, 1 at the least; None when it cannot within the row.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> print(f"{gypsum_by_strength(recipe_solution('Hoagland 1'), 100).from_times:.0f}")
    8
    """

    chosen: float
    index: float
    times: Array
    indices: Array
    bottles: int
    from_times: float | None


@takes(solution=Solution, times=PlainNumber(100), temperature="degC")
def gypsum_by_strength(
    solution: Solution, times: float, bottles: int = 1, temperature: Quantity | None = None
) -> Clouding:
    """How near a concentrate of a solution comes to dropping gypsum.

    Parameters
    ----------
    solution : Solution
        One solution, at working strength.
    times : float
        How many times stronger the concentrate is, 1 to 300.
    bottles : int, optional
        1, all salts together; or 2, calcium apart from sulfate.
    temperature : Quantity, optional
        One temperature from 0 to 40 degC; 20 degC when left out.

    Returns
    -------
    Clouding
        The saturation index at this strength, and along the row.

    Raises
    ------
    Unreadable
        It is no solution, or the strength is no plain number.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The strength or the number of bottles is outside these.
    Problem
        There are several solutions, strengths or temperatures.

    Notes
    -----
    An order of magnitude only above some 20 times the tank's strength, where the activity model ends. With two
    bottles calcium and sulfate never meet undiluted, whatever the strength.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> gypsum_by_strength(recipe_solution("Hoagland 1"), 100).index > 0
    True
    """
    _one_of_each(solution, {"times": times, "temperature": temperature}, "gypsum_by_strength")
    within(times, 1, 300, "A concentrate is 1 to 300 times as strong as the tank; {value:g} is outside.")
    bottles = whole_number(bottles, 1, 2, "The bottles are 1 or 2; you gave {value!r}.")
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


def _one_of_each(solution: Solution, plain: Mapping[str, object], function: str) -> None:
    for name, value in plain.items():
        if np.ndim(value) or np.size(value) != 1:  # type: ignore[arg-type]
            raise Problem(f"{function} takes one value for `{name}`; you gave {np.size(value)}.")  # type: ignore[arg-type]
    if any(np.ndim(value) for value in solution.amounts.values()):
        raise Problem(f"{function} takes one solution; you gave several.")
