"""Steady oxygen where use slows as oxygen runs short (Michaelis-Menten), above a closed floor; plain numbers."""

from typing import Any

import numpy as np

_POINTS = 4001  # of Simpson's rule; halving them moves no flux by more than 1e-9 of itself
_DEEPEST = 28.0  # cosh(28) is 7e11: less than a trillionth of the surface's oxygen counts as none


def steady(
    surface: float, demand: float, half: float, water: float, diffusivity: float
) -> tuple[Any, Any, float]:
    """Depths, the concentration at them, and the flux through the surface; m, g/m^3, g/m^2/day.

    With C = F cosh(y), F the oxygen at the floor, the first integral dC/dz = -sqrt(2 R G / D) of
    D C'' = R C / (K + C) becomes a depth z(y) whose integrand is smooth from first order to zero order.
    """
    from scipy.optimize import brentq

    def depth_of(top: float) -> float:
        return float(_down(top, surface, demand, half, diffusivity)[2][-1])

    shallow = 1e-6
    if depth_of(shallow) >= water:  # the oxygen is the same everywhere, to a trillionth
        top = shallow
    elif depth_of(_DEEPEST) <= water:
        top = _DEEPEST
    else:
        top = brentq(lambda top: depth_of(top) - water, shallow, _DEEPEST, xtol=1e-12, rtol=1e-13)
    concentration, slope, up = _down(top, surface, demand, half, diffusivity)
    return up[-1] - up[::-1], concentration[::-1], diffusivity * float(slope[-1])


def _down(top: float, surface: float, demand: float, half: float, diffusivity: float) -> tuple[Any, Any, Any]:
    """Concentration, its slope and the height above where it is least, from there up to the surface."""
    floor = surface / np.cosh(top)
    y = np.linspace(0, top, _POINTS)
    above = 2 * floor * np.sinh(y / 2) ** 2  # C - F without loss of digits
    x = above / (floor + half)
    # x - log(1 + x) loses its digits where x is small
    lag = np.where(x < 1e-3, x**2 * (1 / 2 - x * (1 / 3 - x * (1 / 4 - x / 5))), x - np.log1p(x))
    slope = np.sqrt(2 * demand / diffusivity * (x * floor + half * lag))
    with np.errstate(divide="ignore", invalid="ignore"):
        thickness = floor * np.sinh(y) / slope
    thickness[0] = np.sqrt(diffusivity * (floor + half) / demand)
    return floor + above, slope, _running(thickness, y[1])


def _running(values: Any, step: float) -> Any:
    """Running integral by Simpson's rule on every second point, the others by the parabola through three."""
    whole = np.zeros_like(values)
    pair = step / 3 * (values[:-2:2] + 4 * values[1:-1:2] + values[2::2])
    whole[2::2] = np.cumsum(pair)
    whole[1::2] = whole[:-2:2] + step / 12 * (5 * values[:-2:2] + 8 * values[1:-1:2] - values[2::2])
    return whole
