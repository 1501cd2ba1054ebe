"""What a conductivity meter shows: the model's error, compensation for temperature, and the scales called ppm."""

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import chemistry
from stilltank.science.chemistry import Solution, ions, solve, water_in_a_litre
from stilltank.units import Q, Unreadable, pure_number, takes, within

_SLOPE = "percent/K"


@dataclass(frozen=True, slots=True)
class Expected:
    """What a solution should read, with the range the model's error leaves."""

    value: Any
    low: Any
    high: Any
    temperature: Any
    """Of the reading: the meter's reference temperature, or the tank's."""

    def holds(self, reading: Any) -> bool:
        """Whether a reading lies in the range."""
        return bool(np.all((self.low <= reading) & (reading <= self.high)))

    def __str__(self) -> str:
        low, value, high = (each.m_as("mS/cm") for each in (self.low, self.value, self.high))
        return f"{value:.2f} mS/cm at {self.temperature.m_as('degC'):g} °C ({low:.2f} to {high:.2f})"


@takes(temperature="degC")
def expected_conductivity(solution: Solution, temperature: Any = None, after_acid: bool = False) -> Expected:
    """Conductivity of a solution as a meter should show it, with the error of the model.

    Parameters
    ----------
    solution : Solution or Water
    temperature : quantity, array; default the reference temperature of meters, 25 °C
        For a meter that does not compensate, the temperature of the tank.
    after_acid : bool
        Whether to count the ions as they are at the solution's pH: bicarbonate that acid has used up no longer
        carries current. Needed for a solution with ``acid_as_nutrient_source`` in it.

    Returns
    -------
    Expected

    Raises
    ------
    UnitNeeded, OutOfRange   a plain temperature, or one outside 0 to 40 °C
    Problem                  ``after_acid`` without the water's alkalinity and pH

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> print(expected_conductivity(recipe_solution("Hoagland 1")))
    2.20 mS/cm at 25 °C (2.11 to 2.21)
    >>> print(expected_conductivity(recipe_solution("Hoagland 1"), Q(15, "degC")))
    1.78 mS/cm at 15 °C (1.66 to 1.82)

    Limits: the error is that found against PHREEQC 3.8.6 over nine recipes, itself within 2 % of the KCl standards;
    a reading further off has another cause: what was weighed, the label, the meter, or the water.
    Source: ``chemistry.conductivity``; the errors of data/mixing.csv.
    """
    reference = _number("reference temperature", "degC")
    celsius = reference if temperature is None else temperature
    found = _as_it_is(solution) if after_acid else solution.ions
    value = chemistry.conductivity(found, Q(celsius, "degC"))
    where = "" if np.all(np.asarray(celsius) == reference) else " elsewhere"
    low, high = (
        tables.number("mixing", "conductivity", f"error {end}{where}", "dimensionless")
        for end in ("low", "high")
    )
    return Expected(value, value / (1 + high), value / (1 + low), Q(celsius, "degC"))


def _as_it_is(solution: Any) -> dict[str, Any]:
    """mmol/L of the ions at the solution's own pH, before carbon dioxide leaves it; sulfate pairs are left whole."""
    state = solution.state()
    litre = water_in_a_litre(np.asarray(state["temperature"], float))
    found = solve(state)
    plain = {key: value for key, value in solution.amounts.items() if key not in ("H+", "HCO3-", "CO3-2")}
    for key in ("H+", "HCO3-", "CO3-2"):
        if key in found.species:
            plain[key] = 1000 * litre * found.species[key]
    return {key: Q(value, "mmol/L") for key, value in plain.items() if key in ions()}


@cache
def _number(prop: str, unit: str) -> float:
    return tables.number("mixing", "meter", prop, unit)


@takes(reading="mS/cm", temperature="degC", coefficient=_SLOPE)
def specific_conductance(reading: Any, temperature: Any, coefficient: Any = None) -> Any:
    """What a meter with temperature compensation shows: the reading as it would be at 25 °C.

    Parameters
    ----------
    reading : quantity, mS/cm, array
        At the temperature of the solution, not compensated.
    temperature : quantity, array
    coefficient : quantity, percent/K, default 2 (see data/mixing.csv)
        Of the value at 25 °C, as set in the meter.

    Returns
    -------
    quantity, mS/cm

    Raises
    ------
    UnitNeeded   a value without a unit
    OutOfRange   outside 0 to 40 °C, below zero, or a coefficient outside 0 to 5 percent/K

    Example
    -------
    >>> round(specific_conductance(Q(1.6, "mS/cm"), Q(15, "degC")).m_as("mS/cm"), 2)
    2.0

    Limits: most meters do this already: never do it twice. Between 1.9 and 2.1 percent/K the answer differs by 1 %
    at 15 °C. Source: the usual straight line, common practice.
    """
    return Q(_checked(reading) / _line(temperature, coefficient), "mS/cm")


@takes(reading="mS/cm", temperature="degC", coefficient=_SLOPE)
def conductance_in_place(reading: Any, temperature: Any, coefficient: Any = None) -> Any:
    """The conductivity in the tank behind a compensated reading; the way back from ``specific_conductance``.

    Example
    -------
    >>> round(conductance_in_place(Q(2.0, "mS/cm"), Q(15, "degC")).m_as("mS/cm"), 2)
    1.6

    Parameters, Raises, Limits: as ``specific_conductance``.
    """
    return Q(_checked(reading) * _line(temperature, coefficient), "mS/cm")


def _line(celsius: Any, coefficient: Any) -> Any:
    within(celsius, 0, 40, "A solution is between 0 and 40 °C here; {value:g} °C is outside.")
    slope = _number("temperature coefficient", _SLOPE) if coefficient is None else coefficient
    within(slope, 0, 5, "A meter compensates 0 to 5 percent for a degree; {value:g} is outside.")
    return 1 + slope / 100 * (celsius - _number("reference temperature", "degC"))


def _checked(reading: Any) -> Any:
    within(reading, 0, np.inf, "A conductivity cannot be below zero; {value:g} mS/cm is.")
    return reading


def ppm_scales() -> tuple[int, ...]:
    """The scales by which meters turn conductivity into "ppm", in ppm for each mS/cm.

    Example
    -------
    >>> ppm_scales()
    (500, 640, 700)
    """
    names = tables.load("mixing").items_named
    return tuple(int(name.removeprefix("ppm scale ")) for name in names if name.startswith("ppm scale "))


@takes(reading="mS/cm")
def ppm_reading(reading: Any, scale: int) -> Any:
    """What a meter shows in "ppm": the conductivity times its scale. It measures no mass of anything.

    Parameters
    ----------
    reading : quantity, mS/cm, array
    scale : 500, 640 or 700

    Returns
    -------
    number or array

    Raises
    ------
    UnitNeeded   a conductivity without a unit
    Unreadable   no scale, or another one
    OutOfRange   below zero

    Example
    -------
    >>> [round(ppm_reading(Q(1.6, "mS/cm"), scale)) for scale in (500, 700)]
    [800, 1120]
    """
    return _checked(reading) * _scale(scale)


def conductivity_from_ppm(shown: Any, scale: int | None = None) -> Any:
    """The conductivity behind a reading in "ppm".

    Parameters
    ----------
    shown : number or array
    scale : 500, 640 or 700
        As the meter's manual says.

    Returns
    -------
    quantity, mS/cm

    Raises
    ------
    Unreadable   no scale: the reading means different things on each
    OutOfRange   below zero

    Example
    -------
    >>> round(conductivity_from_ppm(1120, scale=700).m_as("mS/cm"), 2)
    1.6
    >>> conductivity_from_ppm(1120)
    Traceback (most recent call last):
    stilltank.problems.Unreadable: 1120 ppm is 2.24 mS/cm on the scale of 500, 1.75 mS/cm on the scale of 640, \
1.6 mS/cm on the scale of 700. Give the scale of the meter, such as scale=500, or let it show mS/cm.
    """
    plain = pure_number(shown, 800, "shown", "conductivity_from_ppm")
    within(plain, 0, np.inf, "A reading cannot be below zero; {value:g} ppm is.")
    if scale is None:
        first = np.ravel(plain)[0]
        each = ", ".join(f"{first / one:.3g} mS/cm on the scale of {one}" for one in ppm_scales())
        raise Unreadable(
            f"{first:g} ppm is {each}. Give the scale of the meter, such as scale=500, or let it show mS/cm."
        )
    return Q(plain / _scale(scale), "mS/cm")


def _scale(scale: Any) -> float:
    if scale not in ppm_scales():
        raise Unreadable(
            f'"ppm" has the scales {", ".join(map(str, ppm_scales()))} for each mS/cm; {scale!r} is none of them. '
            "The meter's manual says which it uses."
        )
    return tables.number("mixing", f"ppm scale {scale}", "per mS/cm", "cm/mS")
