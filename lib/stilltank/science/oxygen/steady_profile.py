"""How deep oxygen reaches in still water that uses it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import Problem, Q, one_value, takes, within

from ._formulas import check_positive, check_water, per_day
from ._michaelis import steady


@takes(surface="g/m^3", demand="g/m^3/day", temperature="degC")
def penetration_depth(surface: Any, demand: Any, temperature: Any) -> Any:
    """Depth that oxygen reaches by diffusion when roots use it at a constant rate.

    Parameters
    ----------
    surface : quantity, concentration at the surface; one or an array, as all that follow
    demand : quantity, use in each volume of water a day, above zero
    temperature : quantity

    Returns
    -------
    quantity, mm

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative concentration, a demand of zero or less, water outside 0 to 40 degC

    Example
    -------
    >>> from stilltank.science.oxygen import saturation
    >>> round(penetration_depth(saturation(Q(25, "degC")), Q(20, "g/m^3/day"), Q(25, "degC")).magnitude, 2)
    11.94

    Limits: deep still water, use that does not slow as oxygen runs short.
    Source: sqrt(2 D C / R), the classical result for sediments and biofilms, from memory.
    """
    within(surface, 0, np.inf, "A concentration is not negative; {value:g} is.")
    check_positive(demand, "The demand for oxygen")
    check_water(temperature)
    return Q(1000 * np.sqrt(2 * per_day(temperature) * surface / demand), "mm")


@dataclass(frozen=True, eq=False)
class Profile:
    """Steady oxygen over ``depth``: ``concentration``, ``flux`` through the surface, how deep it ``reaches``."""

    depth: Any
    concentration: Any
    flux: Any
    reaches: Any

    def __str__(self) -> str:
        return (
            f"{self.flux.m_as('g/m^2/day'):.3g} g of oxygen a square metre and day passes the surface; "
            f"it reaches {self.reaches.m_as('mm'):.3g} mm deep"
        )


@takes(depth="m")
def profile(
    depth: Any,
    surface: Any,
    water_depth: Any,
    temperature: Any,
    demand: Any = None,
    rate: Any = None,
    half_saturation: Any = None,
) -> Profile:
    """Steady oxygen over depth in still water above a closed floor, by diffusion alone.

    Parameters
    ----------
    depth : quantity, below the surface; an array
    surface : quantity, concentration at the surface; one value, as all that follow
    water_depth : quantity, of the whole water
    temperature : quantity
    demand : quantity, constant use in each volume of water a day (zero order), or
    rate : quantity, use a day for each unit of oxygen there (first order)
    half_saturation : quantity, the oxygen at which only half of ``demand`` is used (Michaelis-Menten); with
        ``demand`` only. Left out, the demand does not slow as oxygen runs short

    Returns
    -------
    Profile

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a depth outside the water, a negative concentration, a demand, rate, half saturation or depth of
                 zero or less
    Problem      not exactly one of ``demand`` and ``rate``, a half saturation beside a rate, or several values where
                 one is needed

    Example
    -------
    >>> from stilltank.science.oxygen import saturation
    >>> top = saturation(Q(25, "degC"))
    >>> still = profile(Q([0, 6, 12], "mm"), top, Q(14, "cm"), Q(25, "degC"), demand=Q(20, "g/m^3/day"))
    >>> still.concentration.magnitude.round(2).tolist(), round(still.flux.magnitude, 3)
    ([8.26, 2.05, 0.0], 0.239)
    >>> slowed = profile(Q([0, 6, 12], "mm"), top, Q(14, "cm"), Q(25, "degC"), demand=Q(20, "g/m^3/day"),
    ...                  half_saturation=Q(0.5, "mg/L"))
    >>> slowed.concentration.magnitude.round(2).tolist(), round((slowed.flux / still.flux).magnitude, 3)
    ([8.26, 2.63, 0.4], 0.909)

    Limits: a tank that cools from the top turns over, so it is mixed far more than this says.
    Source: classical slab (Thiele) and zero-order solutions, from memory; Michaelis-Menten by the first integral
    of its equation, the second by Simpson's rule.
    """
    if (demand is None) == (rate is None):
        raise Problem("profile takes a demand (constant use) or a rate (use in proportion), and not both.")
    surface = one_value(surface, "g/m^3", "surface", "profile")
    water_depth = one_value(water_depth, "m", "water_depth", "profile")
    temperature = one_value(temperature, "degC", "temperature", "profile")
    check_positive(water_depth, "The depth of the water")
    within(depth, 0, water_depth, f"A depth lies between 0 and {water_depth:g} m; {{value:g}} m does not.")
    within(surface, 0, np.inf, "A concentration is not negative; {value:g} is.")
    check_water(temperature)
    d = per_day(temperature)
    if half_saturation is not None:
        if demand is None:
            raise Problem(
                "profile takes a half_saturation with a demand; a rate is in proportion at any oxygen."
            )
        half = one_value(half_saturation, "g/m^3", "half_saturation", "profile")
        check_positive(half, "The half saturation")
        demand = one_value(demand, "g/m^3/day", "demand", "profile")
        check_positive(demand, "The demand for oxygen")
        c, flux = np.zeros(np.shape(depth))[()], 0.0
        if surface > 0:
            depths, concentrations, flux = steady(surface, demand, half, water_depth, d)
            c = np.interp(depth, depths, concentrations)
        reach = water_depth
    elif rate is not None:
        rate = one_value(rate, "1/day", "rate", "profile")
        check_positive(rate, "The rate of use")
        m = np.sqrt(rate / d)
        # cosh(m(h - z))/cosh(mh), written so that deep water does not overflow
        c = (
            surface
            * (np.exp(-m * depth) + np.exp(m * (depth - 2 * water_depth)))
            / (1 + np.exp(-2 * m * water_depth))
        )
        flux, reach = surface * np.sqrt(d * rate) * np.tanh(m * water_depth), water_depth
    else:
        demand = one_value(demand, "g/m^3/day", "demand", "profile")
        check_positive(demand, "The demand for oxygen")
        reach = min(np.sqrt(2 * d * surface / demand), water_depth)
        z = np.minimum(depth, reach)
        c = np.maximum(surface - demand / d * (reach * z - z**2 / 2), 0)
        if reach < water_depth:
            c = np.where(depth < reach, c, 0.0)[()]  # exactly none below, where rounding leaves a trace
        flux = demand * reach
    return Profile(Q(depth, "m").to("mm"), Q(c, "mg/L"), Q(flux, "g/m^2/day"), Q(reach, "m").to("mm"))
