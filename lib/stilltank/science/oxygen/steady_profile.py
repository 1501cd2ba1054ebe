"""How deep oxygen reaches in still water that uses it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import Problem, Q, one_value, takes, within
from stilltank.units.types import Quantity

from ._formulas import check_concentration, check_positive, check_water, per_day
from ._michaelis import steady


@takes(surface="g/m^3", demand="g/m^3/day", temperature="degC", returns="mm")
def penetration_depth(surface: Quantity, demand: Quantity, temperature: Quantity) -> Quantity:
    """Depth that oxygen reaches by diffusion when roots use it at a constant rate.

    Parameters
    ----------
    surface : Quantity
        Concentration at the surface; one or an array, as all that follow.
    demand : Quantity
        Use in each volume of water a day, above zero.
    temperature : Quantity
        Of the water, 0 to 40 degC.

    Returns
    -------
    Quantity
        In mm.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The concentration is negative, the demand zero or less, or the water below 0 or above 40 degC.

    See Also
    --------
    profile : The oxygen on the way down.

    Notes
    -----
    Deep still water, and use that does not slow as oxygen runs short; the classical result for sediments and
    biofilms, from memory:

    .. math:: L = \\sqrt{2 D C / R}

    Examples
    --------
    >>> from stilltank.science.oxygen import saturation
    >>> round(penetration_depth(saturation(Q(25, "degC")), Q(20, "g/m^3/day"), Q(25, "degC")).magnitude, 2)
    11.94
    """
    check_concentration(surface)
    check_positive(demand, "The demand for oxygen")
    check_water(temperature)
    return 1000 * np.sqrt(2 * per_day(temperature) * surface / demand)


@dataclass(frozen=True, eq=False)
class Profile:
    """Steady oxygen over depth.

    Parameters
    ----------
    depth : Quantity
        Below the surface, in mm.
    concentration : Quantity
        Of oxygen there, in mg/L, of the shape of ``depth``.
    flux : Quantity
        Through the surface, in g/m^2/day.
    reaches : Quantity
        Depth down to which there is any, in mm.

    See Also
    --------
    profile : Works it out.

    Examples
    --------
    >>> print(profile(Q([0, 6], "mm"), Q(8, "mg/L"), Q(14, "cm"), Q(25, "degC"), demand=Q(20, "g/m^3/day")))
    0.235 g of oxygen a square metre and day passes the surface; it reaches 11.8 mm deep
    """

    depth: Quantity
    concentration: Quantity
    flux: Quantity
    reaches: Quantity

    def __str__(self) -> str:
        return (
            f"{self.flux.m_as('g/m^2/day'):.3g} g of oxygen a square metre and day passes the surface; "
            f"it reaches {self.reaches.m_as('mm'):.3g} mm deep"
        )


@takes(depth="m")
def profile(
    depth: Quantity,
    surface: Quantity,
    water_depth: Quantity,
    temperature: Quantity,
    demand: Quantity | None = None,
    rate: Quantity | None = None,
    half_saturation: Quantity | None = None,
) -> Profile:
    """Steady oxygen over depth in still water above a closed floor, by diffusion alone.

    Parameters
    ----------
    depth : Quantity
        Below the surface; an array.
    surface : Quantity
        Concentration at the surface; one value, as all that follow.
    water_depth : Quantity
        Of the whole water.
    temperature : Quantity
        Of the water, 0 to 40 degC.
    demand : Quantity, optional
        Constant use in each volume of water a day (zero order).
    rate : Quantity, optional
        Use a day for each unit of oxygen there (first order), in place of ``demand``.
    half_saturation : Quantity, optional
        The oxygen at which only half of ``demand`` is used (Michaelis-Menten); with ``demand`` only. Left out, the
        demand does not slow as oxygen runs short.

    Returns
    -------
    Profile
        Concentration over depth, the flux through the surface, and how deep the oxygen reaches.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        A depth lies outside the water, the concentration is negative, or a demand, rate, half saturation or depth is
        zero or less.
    Problem
        Not exactly one of ``demand`` and ``rate`` is given, a half saturation stands beside a rate, or there are
        several values where one is needed.

    See Also
    --------
    unsteady_oxygen : How it comes in, in time.
    still_water : A whole season under a falling level.

    Notes
    -----
    A tank that cools from the top turns over, so it is mixed far more than this says. Classical slab (Thiele) and
    zero-order solutions, from memory; Michaelis-Menten by the first integral of its equation, the second by
    Simpson's rule.

    Examples
    --------
    >>> from stilltank.science.oxygen import saturation
    >>> top = saturation(Q(25, "degC"))
    >>> still = profile(Q([0, 6, 12], "mm"), top, Q(14, "cm"), Q(25, "degC"), demand=Q(20, "g/m^3/day"))
    >>> still.concentration.magnitude.round(2).tolist(), round(still.flux.magnitude, 3)
    ([8.26, 2.05, 0.0], 0.239)
    >>> slowed = profile(Q([0, 6, 12], "mm"), top, Q(14, "cm"), Q(25, "degC"), demand=Q(20, "g/m^3/day"),
    ...                  half_saturation=Q(0.5, "mg/L"))
    >>> slowed.concentration.magnitude.round(2).tolist(), round((slowed.flux / still.flux).magnitude, 3)
    ([8.26, 2.63, 0.4], 0.909)
    """
    if (demand is None) == (rate is None):
        raise Problem("profile takes a demand (constant use) or a rate (use in proportion), and not both.")
    top = one_value(surface, "g/m^3", "surface", "profile")
    floor = one_value(water_depth, "m", "water_depth", "profile")
    warm = one_value(temperature, "degC", "temperature", "profile")
    check_positive(floor, "The depth of the water")
    within(depth, 0, floor, "A depth lies between 0 and {high}; {value} does not.", "m")
    check_concentration(top)
    check_water(warm)
    d = per_day(warm)
    c: Any
    if half_saturation is not None:
        if demand is None:
            raise Problem(
                "profile takes a half_saturation with a demand; a rate is in proportion at any oxygen."
            )
        half = one_value(half_saturation, "g/m^3", "half_saturation", "profile")
        check_positive(half, "The half saturation")
        use = _use(demand)
        c, flux = np.zeros(np.shape(depth))[()], 0.0
        if top > 0:
            depths, concentrations, flux = steady(top, use, half, floor, d)
            c = np.interp(depth, depths, concentrations)
        reach = floor
    elif rate is not None:
        speed = one_value(rate, "1/day", "rate", "profile")
        check_positive(speed, "The rate of use")
        m = np.sqrt(speed / d)
        # cosh(m(h - z))/cosh(mh), written so that deep water does not overflow
        c = top * (np.exp(-m * depth) + np.exp(m * (depth - 2 * floor))) / (1 + np.exp(-2 * m * floor))
        flux, reach = top * np.sqrt(d * speed) * np.tanh(m * floor), floor
    else:
        use = _use(demand)
        reach = min(np.sqrt(2 * d * top / use), floor)
        z = np.minimum(depth, reach)
        c = np.maximum(top - use / d * (reach * z - z**2 / 2), 0)
        if reach < floor:
            c = np.where(depth < reach, c, 0.0)[()]  # exactly none below, where rounding leaves a trace
        flux = use * reach
    return Profile(Q(depth, "m").to("mm"), Q(c, "mg/L"), Q(flux, "g/m^2/day"), Q(reach, "m").to("mm"))


def _use(demand: Any) -> float:
    use = one_value(demand, "g/m^3/day", "demand", "profile")
    check_positive(use, "The demand for oxygen")
    return use
