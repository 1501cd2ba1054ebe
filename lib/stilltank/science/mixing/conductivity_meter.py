"""What a conductivity meter shows: the model's error, compensation for temperature, and the scales called ppm."""

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import chemistry
from stilltank.science.chemistry import Dissolved, Solution, Water, ions, solve, water_in_a_litre
from stilltank.units import PlainNumber, Q, Quantity, Unreadable, magnitude, takes, within
from stilltank.units.types import Plain

_SLOPE = "percent/K"


@dataclass(frozen=True, slots=True)
class Expected:
    """What a solution should read, with the range the model's error leaves.

    Parameters
    ----------
    value : Quantity
        What the model gives, mS/cm.
    low : Quantity
        Low end of the range, mS/cm.
    high : Quantity
        High end of the range, mS/cm.
    temperature : Quantity
        Of the reading: the meter's reference temperature, or the tank's.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> print(expected_conductivity(recipe_solution("Steiner")))
    2.13 mS/cm at 25 °C (2.04 to 2.14)
    """

    value: Quantity
    low: Quantity
    high: Quantity
    temperature: Quantity

    def holds(self, reading: Quantity) -> bool:
        """Return True if a reading lies in the range.

        Parameters
        ----------
        reading : Quantity
            mS/cm, one value or an array.

        Returns
        -------
        bool
            True if all of them lie in it.

        Raises
        ------
        UnitNeeded
            The reading has no unit.

        Examples
        --------
        >>> from stilltank.science.mixing import recipe_solution
        >>> expected_conductivity(recipe_solution("Hoagland 1")).holds(Q(2.15, "mS/cm"))
        True
        """
        shown = magnitude(reading, "mS/cm", "reading", "holds")
        return bool(np.all((self.low.m_as("mS/cm") <= shown) & (shown <= self.high.m_as("mS/cm"))))

    def __str__(self) -> str:
        low, value, high = (each.m_as("mS/cm") for each in (self.low, self.value, self.high))
        return f"{value:.2f} mS/cm at {self.temperature.m_as('degC'):g} °C ({low:.2f} to {high:.2f})"


@takes(solution=Dissolved, temperature="degC")
def expected_conductivity(
    solution: Solution | Water, temperature: Quantity | None = None, after_acid: bool = False
) -> Expected:
    """Conductivity of a solution as a meter should show it, with the error of the model.

    Parameters
    ----------
    solution : Solution or Water
        At working strength.
    temperature : Quantity, optional
        From 0 to 40 degC, one value or an array. For a meter that does not compensate, the temperature of the tank;
        25 degC, the reference temperature of meters, when left out.
    after_acid : bool, optional
        True to count the ions as they are at the solution's pH: bicarbonate that acid has used up no longer
        carries current. Needed for a solution with ``acid_as_nutrient_source`` in it.

    Returns
    -------
    Expected
        The value and its range, mS/cm.

    Raises
    ------
    Unreadable
        It is no solution.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The temperature is outside 0 to 40 degC, or the solution is too strong.
    Problem
        ``after_acid`` without the water's alkalinity and pH.

    See Also
    --------
    stilltank.science.chemistry.conductivity : The model, with its limits.

    Notes
    -----
    The error is that found against PHREEQC 3.8.6 over nine recipes, itself within 2 % of the KCl standards; a reading
    further off has another cause: what was weighed, the label, the meter, or the water.

    References
    ----------
    PHREEQC386; the errors of data/mixing.csv.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> print(expected_conductivity(recipe_solution("Hoagland 1")))
    2.20 mS/cm at 25 °C (2.11 to 2.21)
    >>> print(expected_conductivity(recipe_solution("Hoagland 1"), Q(15, "degC")))
    1.78 mS/cm at 15 °C (1.66 to 1.82)
    """
    reference = _number("reference temperature", "degC")
    celsius: Any = reference if temperature is None else temperature
    found = _as_it_is(solution) if after_acid else solution.ions
    value = chemistry.conductivity(found, Q(celsius, "degC"))
    where = "" if np.all(np.asarray(celsius) == reference) else " elsewhere"
    low, high = (
        tables.number("mixing", "conductivity", f"error {end}{where}", "dimensionless")
        for end in ("low", "high")
    )
    return Expected(value, value / (1 + high), value / (1 + low), Q(celsius, "degC"))


def _as_it_is(solution: Solution | Water) -> dict[str, Quantity]:
    """mmol/L of the ions at the solution's own pH, before carbon dioxide leaves it; sulfate pairs are left whole."""
    state = solution.state()
    litre = water_in_a_litre.plain(np.asarray(state["temperature"], float))
    found = solve(state)
    plain = {key: value for key, value in solution.amounts.items() if key not in ("H+", "HCO3-", "CO3-2")}
    for key in ("H+", "HCO3-", "CO3-2"):
        if key in found.species:
            plain[key] = 1000 * litre * found.species[key]
    return {key: Q(value, "mmol/L") for key, value in plain.items() if key in ions()}


@cache
def _number(prop: str, unit: str) -> float:
    return tables.number("mixing", "meter", prop, unit)


@takes(reading="mS/cm", temperature="degC", coefficient=_SLOPE, returns="mS/cm")
def specific_conductance(
    reading: Quantity, temperature: Quantity, coefficient: Quantity | None = None
) -> Quantity:
    r"""What a meter with temperature compensation shows: the reading as it would be at 25 degC.

    Parameters
    ----------
    reading : Quantity
        mS/cm, one value or an array; at the temperature of the solution, not compensated.
    temperature : Quantity
        Of the solution, from 0 to 40 degC, one value or an array.
    coefficient : Quantity, optional
        Percent/K of the value at 25 degC, as set in the meter, from 0 to 5; 2 (see data/mixing.csv) when left out.

    Returns
    -------
    Quantity
        mS/cm, in the common shape of the inputs.

    Raises
    ------
    UnitNeeded
        A value has no unit.
    OutOfRange
        The temperature is outside 0 to 40 degC, the reading below zero, or the coefficient outside 0 to 5 percent/K.
    Problem
        The arrays do not fit each other.

    See Also
    --------
    conductance_in_place : The way back.

    Notes
    -----
    The usual straight line, common practice,

    .. math:: \kappa_{25} = \frac{\kappa}{1 + \alpha (t - 25)}

    Most meters do this already: never do it twice. Between 1.9 and 2.1 percent/K the answer differs by 1 % at 15 degC.

    Examples
    --------
    >>> round(specific_conductance(Q(1.6, "mS/cm"), Q(15, "degC")).m_as("mS/cm"), 2)
    2.0
    """
    return _checked(reading) / _line(temperature, coefficient)  # type: ignore[return-value]


@takes(reading="mS/cm", temperature="degC", coefficient=_SLOPE, returns="mS/cm")
def conductance_in_place(
    reading: Quantity, temperature: Quantity, coefficient: Quantity | None = None
) -> Quantity:
    r"""Conductivity in the tank behind a compensated reading.

    Parameters
    ----------
    reading : Quantity
        mS/cm, one value or an array; compensated to 25 degC.
    temperature : Quantity
        Of the solution, from 0 to 40 degC, one value or an array.
    coefficient : Quantity, optional
        Percent/K of the value at 25 degC, as set in the meter, from 0 to 5; 2 (see data/mixing.csv) when left out.

    Returns
    -------
    Quantity
        mS/cm, in the common shape of the inputs.

    Raises
    ------
    UnitNeeded
        A value has no unit.
    OutOfRange
        The temperature is outside 0 to 40 degC, the reading below zero, or the coefficient outside 0 to 5 percent/K.
    Problem
        The arrays do not fit each other.

    See Also
    --------
    specific_conductance : The way back.

    Notes
    -----
    The usual straight line, common practice,

    .. math:: \kappa_{25} = \frac{\kappa}{1 + \alpha (t - 25)}

    Most meters do this already: never do it twice. Between 1.9 and 2.1 percent/K the answer differs by 1 % at 15 degC.

    Examples
    --------
    >>> round(conductance_in_place(Q(2.0, "mS/cm"), Q(15, "degC")).m_as("mS/cm"), 2)
    1.6
    """
    return _checked(reading) * _line(temperature, coefficient)  # type: ignore[return-value]


def _line(celsius: Any, coefficient: Any) -> Plain:
    within(celsius, 0, 40, "A solution is between {low} and {high} here; {value} is outside.", "degC")
    slope = _number("temperature coefficient", _SLOPE) if coefficient is None else coefficient
    within(slope, 0, 5, "A meter compensates 0 to 5 percent for a degree; {value:g} is outside.")
    line: Plain = 1 + slope / 100 * (celsius - _number("reference temperature", "degC"))
    return line


def _checked(reading: Any) -> Plain:
    within(reading, 0, np.inf, "A conductivity cannot be below zero; {value:g} mS/cm is.")
    plain: Plain = reading
    return plain


def ppm_scales() -> tuple[int, ...]:
    """The scales by which meters turn conductivity into "ppm".

    Returns
    -------
    tuple of int
        ppm for each mS/cm.

    Examples
    --------
    >>> ppm_scales()
    (500, 640, 700)
    """
    names = tables.load("mixing").items_named
    return tuple(int(name.removeprefix("ppm scale ")) for name in names if name.startswith("ppm scale "))


@takes(reading="mS/cm")
def ppm_reading(reading: Quantity, scale: int) -> Plain:
    """What a meter shows in "ppm": the conductivity times its scale. It measures no mass of anything.

    Parameters
    ----------
    reading : Quantity
        mS/cm, one value or an array.
    scale : int
        500, 640 or 700, as the meter's manual says.

    Returns
    -------
    float or array
        In the shape of ``reading``.

    Raises
    ------
    UnitNeeded
        The conductivity has no unit.
    Unreadable
        There is no such scale.
    OutOfRange
        The conductivity is below zero.

    See Also
    --------
    conductivity_from_ppm : The way back.

    Examples
    --------
    >>> [round(ppm_reading(Q(1.6, "mS/cm"), scale)) for scale in (500, 700)]
    [800, 1120]
    """
    return _checked(reading) * _scale(scale)


@takes(shown=PlainNumber(800), returns="mS/cm")
def conductivity_from_ppm(shown: Plain, scale: int | None = None) -> Quantity:
    """Conductivity behind a reading in "ppm".

    Parameters
    ----------
    shown : float or array
        The plain number on the meter.
    scale : int, optional
        500, 640 or 700, as the meter's manual says. Left out, the sentence says what the reading means on each.

    Returns
    -------
    Quantity
        mS/cm, in the shape of ``shown``.

    Raises
    ------
    Unreadable
        There is no such scale, or none is given: the reading means different things on each.
    OutOfRange
        The reading is below zero.

    See Also
    --------
    ppm_reading : The way back.

    Examples
    --------
    >>> round(conductivity_from_ppm(1120, scale=700).m_as("mS/cm"), 2)
    1.6
    >>> conductivity_from_ppm(1120)
    Traceback (most recent call last):
    stilltank.problems.Unreadable: 1120 ppm is 2.24 mS/cm on the scale of 500, 1.75 mS/cm on the scale of 640, \
1.6 mS/cm on the scale of 700. Give the scale of the meter, such as scale=500, or let it show mS/cm.
    """
    within(shown, 0, np.inf, "A reading cannot be below zero; {value:g} ppm is.")
    if scale is None:
        first = float(np.ravel(shown)[0]) if np.size(shown) else 1000.0
        each = ", ".join(f"{first / one:.3g} mS/cm on the scale of {one}" for one in ppm_scales())
        raise Unreadable(
            f"{first:g} ppm is {each}. Give the scale of the meter, such as scale=500, or let it show mS/cm."
        )
    return shown / _scale(scale)  # type: ignore[return-value]


def _scale(scale: object) -> float:
    if not isinstance(scale, (int, float)) or scale not in ppm_scales():
        raise Unreadable(
            f'"ppm" has the scales {", ".join(map(str, ppm_scales()))} for each mS/cm; {scale!r} is none of them. '
            "The meter's manual says which it uses."
        )
    return tables.number("mixing", f"ppm scale {scale:g}", "per mS/cm", "cm/mS")
