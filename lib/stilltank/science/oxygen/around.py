"""Oxygen at the scale of one root, in water that turns over, and under wind."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from ...tables import number
from ...units import Q, takes, within
from ._formulas import check_positive, check_water, n, water_diffusivity


@dataclass(frozen=True, eq=False)
class RootNeed:
    """Oxygen water must hold for a root's centre to have some: across its ``core``, the ``film``, and the ``whole``."""

    core: Any
    film: Any
    whole: Any

    def __str__(self) -> str:
        if np.ndim(self.whole.magnitude):
            return f"{np.size(self.whole.magnitude)} roots"
        core, film, whole = (value.m_as("mg/L") for value in (self.core, self.film, self.whole))
        return f"{whole:.2g} mg/L: {core:.2g} inside the root and {film:.2g} in the still film around it"


@takes(radius="m", film="m", demand="g/m^3/s", temperature="degC")
def root_need(radius: Any = None, film: Any = None, demand: Any = None, temperature: Any = None) -> RootNeed:
    """Oxygen that the water around a single root must hold, so that its centre is not without.

    Parameters
    ----------
    radius : quantity, of the root; 0.25 mm when left out; one or an array, as all that follow
    film : quantity, thickness of the still water around it; 0.5 mm when left out
    demand : quantity, oxygen that each volume of fresh root uses; 0.0448 g/m^3/s when left out
    temperature : quantity, of the water; 25 degC when left out

    Returns
    -------
    RootNeed, in mg/L

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a radius of zero or less, a negative film or demand, water outside 0 to 40 degC

    Example
    -------
    >>> print(root_need())
    1.5 mg/L: 0.7 inside the root and 0.77 in the still film around it

    Limits: a bare cylinder without air channels, which real roots have and lettuce roots little of; all inputs are
    assumed or from memory. The answer is of the size of the thresholds that were measured, and no more than that.
    Source: cylinder with constant use, R a^2/(4 D) and R a^2/(2 D) ln((a + d)/a), from memory.
    """
    a = n("root", "radius", "m") if radius is None else radius
    d = n("root", "film", "m") if film is None else film
    use = n("root", "demand", "g/m^3/s") if demand is None else demand
    warm = n("root", "temperature", "degC") if temperature is None else temperature
    check_positive(a, "The radius of a root")
    check_water(warm)
    for value, what in ((d, "film"), (use, "demand")):
        within(value, 0, np.inf, f"root_need: a {what} is not negative; {{value:g}} is.")
    core = use * a**2 / (4 * n("root", "diffusivity inside", "m^2/s"))
    around = use * a**2 / (2 * water_diffusivity(warm)) * np.log1p(d / a)
    return RootNeed(Q(core, "mg/L"), Q(around, "mg/L"), Q(core + around, "mg/L"))


@takes(depth="m", difference="delta_degC")
def rayleigh_number(depth: Any, difference: Any) -> Any:
    """How strongly water that is cooler at its top wants to turn over.

    Parameters
    ----------
    depth : quantity, of the water; one or an array, as what follows
    difference : quantity, by how much the top is cooler than the floor: ``Q(0.1, "delta_degC")``

    Returns
    -------
    quantity without unit; above some 1100 (open top) or 1700 (under a lid it touches) water turns over by itself

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a depth of zero or less, a top that is warmer

    Example
    -------
    >>> round(rayleigh_number(Q(14, "cm"), Q(0.1, "delta_degC")).magnitude, -4)
    5300000.0

    Limits: water at 25 degC; critical values for a wide layer. A tank whose lid the sun warms lies calm.
    Source: definition; properties and critical values from memory.
    """
    check_positive(depth, "The depth of the water")
    within(
        difference,
        0,
        np.inf,
        "The top is cooler by a difference of 0 or more; at {value:g} degC it lies calm.",
    )
    gravity = number("constants", "water", "standard gravity", "m/s^2")
    lift = gravity * n("convection", "thermal expansion", "1/kelvin") * difference * depth**3
    drag = n("convection", "kinematic viscosity", "m^2/s") * n("convection", "thermal diffusivity", "m^2/s")
    return Q(lift / drag, "dimensionless")


@takes(wind="m/s")
def film_by_wind(wind: Any) -> Any:
    """Film coefficient of open water under wind, to set the range for a closed tub beside it.

    Parameters
    ----------
    wind : quantity, speed at 10 m; one or an array

    Returns
    -------
    quantity, m/day

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative wind

    Example
    -------
    >>> film_by_wind(Q([0, 2, 5], "m/s")).magnitude.round(3).tolist()
    [0.0, 0.4, 1.425]

    Limits: lakes. It says nothing about a lidded tub but that without wind such a law gives none, which is wrong
    there: cooling water turns over. The two branches do not quite meet at 3.5 m/s.
    Source: Gelda et al. (1996), abstract.
    """
    within(wind, 0, np.inf, "A wind is not negative; {value:g} m/s is.")
    calm = n("wind", "calm up to", "m/s")
    slow = n("wind", "slope", "m/day/(m/s)") * wind
    fast = n("wind", "curve", "m/day/(m/s)^2") * wind**2
    return Q(np.where(wind <= calm, slow, fast)[()], "m/day")
