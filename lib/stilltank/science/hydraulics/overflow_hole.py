"""Water through a round hole in a wall, part full and under water, and how large to make it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, pure_number, takes, within, write

_ANGLES, _WEIGHTS = np.polynomial.legendre.leggauss(64)
_ANGLES, _WEIGHTS = np.pi / 2 * (_ANGLES + 1), np.pi / 2 * _WEIGHTS  # from 0 to pi


def discharge_coefficient() -> float:
    """Share of the ideal flow that leaves a hole with a sharp edge, a plain number.

    Example
    -------
    >>> round(discharge_coefficient(), 2)
    0.62

    Limits: a drilled hole in a thin wall. A rounded or burred edge, or a hose behind it, changes it by a tenth.
    Source: Encyclopaedia Britannica (1911), Hydraulics: velocity 0.97 times contraction 0.64.
    """
    return number("hydraulics", "sharp hole", "velocity coefficient", "1") * number(
        "hydraulics", "sharp hole", "contraction coefficient", "1"
    )


@takes(diameter="m", head="m")
def orifice_flow(diameter: Any, head: Any, coefficient: Any = None) -> Any:
    """Flow through a round hole that lies wholly under water.

    Parameters
    ----------
    diameter : quantity, one value or an array
    head : quantity, from the centre of the hole up to the level; at least half the diameter
    coefficient : number, above 0 and up to 1; that of a sharp hole when left out

    Returns
    -------
    quantity in L/min

    Raises
    ------
    UnitNeeded, Unreadable   no length, no plain number
    OutOfRange   a hole that is no hole, or that is not under water: then take `hole_flow`

    Example
    -------
    >>> round(orifice_flow(Q(12, "mm"), Q(10, "mm"), 0.6).magnitude, 3)
    1.803

    Limits: 4 % too much where the water just covers the hole, 0.5 % once it stands a diameter above it.
    Source: Torricelli; coefficient as in `discharge_coefficient`.
    """
    share = coefficient_of(coefficient, "orifice_flow")
    check_diameter(diameter, "orifice_flow")
    within(
        head - diameter / 2,
        -1e-12,
        np.inf,
        "orifice_flow: the level lies {value:.3g} m below the top of the hole, so it runs part full. Use hole_flow, "
        "with the level above the lower edge.",
    )
    within(head, 0, _deepest(), "orifice_flow: a head of {value:g} m; check the unit.")
    flow = share * np.pi / 4 * diameter**2 * np.sqrt(2 * gravity() * head)
    return Q(flow * 60000, "L/min")


@takes(diameter="m", level_above_invert="m")
def hole_flow(diameter: Any, level_above_invert: Any, coefficient: Any = None) -> Any:
    """Flow through a round hole, part full or under water.

    Parameters
    ----------
    diameter : quantity, one value or an array
    level_above_invert : quantity, of the level above the lower edge (the invert); nothing runs at 0 or below
    coefficient : number, above 0 and up to 1; that of a sharp hole when left out

    Returns
    -------
    quantity in L/min

    Raises
    ------
    UnitNeeded, Unreadable   no length, no plain number
    OutOfRange   a hole that is no hole

    Example
    -------
    >>> found = hole_flow(Q(12, "mm"), Q([0, 6, 12], "mm"), 0.6)
    >>> found.magnitude.round(3).tolist()
    [0.0, 0.426, 1.341]

    Limits: below a few millimetres water clings to the wall and less runs, or nothing.
    Source: each strip of the hole flows as its own depth asks (weir integral); tends to `orifice_flow`.
    """
    share = coefficient_of(coefficient, "hole_flow")
    check_diameter(diameter, "hole_flow")
    within(
        level_above_invert,
        -_deepest(),
        _deepest(),
        "hole_flow: a level of {value:g} m above a hole; check the unit.",
    )
    return Q(60000 * plain_flow(diameter, level_above_invert, share), "L/min")


def plain_flow(diameter: Any, level: Any, coefficient: float) -> Any:
    """Flow in m^3/s from plain metres above the lower edge; for the inside of the science floor."""
    level = np.maximum(level, 0.0)
    # strips sqrt(y (d - y)) sqrt(h - y): with y = small (1 - cos a)/2 both ends become smooth
    small, large = np.minimum(diameter, level), np.maximum(diameter, level)
    heights = np.multiply.outer(small, (1 - np.cos(_ANGLES)) / 2)
    strips = np.sqrt(np.maximum(np.asarray(large)[..., None] - heights, 0)) * np.sin(_ANGLES) ** 2
    return coefficient * np.sqrt(2 * gravity()) * small**2 / 2 * (strips @ _WEIGHTS)


@takes(diameter="m", flow="m^3/s")
def hole_level(diameter: Any, flow: Any, coefficient: Any = None) -> Any:
    """How high the level stands above the lower edge of a hole while a flow runs out; the inverse of `hole_flow`.

    Parameters
    ----------
    diameter : quantity, one value or an array
    flow : quantity, such as what a storm brings
    coefficient : number, above 0 and up to 1; that of a sharp hole when left out

    Returns
    -------
    quantity in mm

    Raises
    ------
    UnitNeeded, Unreadable   no length, no flow, no plain number
    OutOfRange   a hole that is no hole, a negative flow, or one that would need more than 100 m of water

    Example
    -------
    >>> round(hole_level(Q(12, "mm"), Q(0.4, "L/min"), 0.6).magnitude, 1)
    5.8

    Source: `hole_flow`, solved by halving.
    """
    share = coefficient_of(coefficient, "hole_level")
    check_diameter(diameter, "hole_level")
    most = plain_flow(diameter, _deepest() + 0 * flow, share)
    within(flow, 0, np.inf, "hole_level: a flow of {value:g} m³/s is not possible; write 0 or more.")
    if np.any(flow > most):
        raise OutOfRange(
            f"hole_level: {float(np.max(flow)) * 60000:.4g} L/min does not run through this hole even under "
            f"{_deepest():g} m of water. Check the units of both."
        )
    low, high = np.zeros(np.shape(most)), np.full(np.shape(most), _deepest())
    for _ in range(60):
        middle = (low + high) / 2
        more = plain_flow(diameter, middle, share) < flow
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return Q((1000 * np.where(flow > 0, high, 0.0))[()], "mm")


@dataclass(frozen=True)
class OverflowDiameter:
    """How large an overflow hole should be.

    Attributes
    ----------
    flow : quantity in L/min, what the storm brings
    smallest : quantity in mm, the diameter that would just do, clean and without a screen
    diameter : quantity in mm, the one to drill
    advice : str
    """

    flow: Any
    smallest: Any
    diameter: Any
    advice: str

    def __str__(self) -> str:
        return f"{self.diameter.magnitude:g} mm for {self.flow.magnitude:.3g} L/min. {self.advice}"


@takes(intensity="mm/hour", area="m^2", head="m")
def overflow_diameter(
    intensity: Any, area: Any, head: Any = None, coefficient: Any = None
) -> OverflowDiameter:
    """Diameter of an overflow hole that keeps up with a storm.

    Parameters
    ----------
    intensity : quantity, rain in a time, such as 100 mm/hour
    area : quantity, the area that collects it; see `collecting_area`
    head : quantity, how far the level may stand above the centre of the hole; 10 mm when left out
    coefficient : number, above 0 and up to 1; that of a sharp hole when left out

    Returns
    -------
    HoleAdvice

    Raises
    ------
    UnitNeeded, Unreadable   a bare number; text for the coefficient
    OutOfRange   no rain, no area, no head, or so much that one hole is no answer
    Problem      several values

    Example
    -------
    >>> found = overflow_diameter(Q(100, "mm/hour"), Q(0.24, "m^2"), coefficient=0.6)
    >>> round(found.smallest.magnitude, 2), found.diameter.magnitude
    (5.66, 12.0)

    Limits: the advised hole has four times the area, an assumption (data/hydraulics.csv). Where the head is less
    than half the diameter the hole runs part full, and this is taken into account.
    """
    for name, value in {"intensity": intensity, "area": area, "head": head}.items():
        if np.size(value) != 1:
            raise Problem(f"overflow_diameter takes one value for `{name}`; you gave {np.size(value)}.")
    share = coefficient_of(coefficient, "overflow_diameter")
    most = number("hydraulics", "storm", "largest intensity", "mm/hour")
    within(
        intensity,
        1e-3,
        most,
        f"overflow_diameter: a rain of {{value:g}} mm/hour; write one above 0 and up to {most:g}.",
    )
    within(area, 1e-6, 1e6, "overflow_diameter: an area of {value:g} m^2; write one above 0.")
    head = number("hydraulics", "hole", "usual head", "m") if head is None else head
    within(head, 1e-4, 10, "overflow_diameter: a head of {value:g} m; write one from 0.1 mm to 10 m.")
    flow = float(intensity * area) / 1000 / 3600
    smallest = _diameter(flow, float(head), share)
    step = number("hydraulics", "hole", "diameter step", "m")
    wide = smallest * np.sqrt(number("hydraulics", "hole", "free area factor", "1"))
    diameter = float(np.ceil(wide / step - 1e-9) * step)
    largest = number("hydraulics", "hole", "largest diameter", "m")
    if diameter > largest:
        raise OutOfRange(
            f"overflow_diameter: this storm needs a hole of {write(Q(diameter, 'm'))}; no tank has one. "
            "Keep rain off it."
        )
    advice = (
        f"{smallest * 1000:.3g} mm would carry it, clean and bare; a root or a leaf blocks such a hole. Put a "
        "fine mesh over it, against mosquitoes too, drill a second hole of the same size at the same height, and look "
        "at both after each storm."
    )
    return OverflowDiameter(
        Q(flow * 60000, "L/min"), Q(smallest * 1000, "mm"), Q(diameter * 1000, "mm"), advice
    )


def _diameter(flow: float, head: float, share: float) -> float:
    """The diameter whose hole carries a flow with the level a head above its centre, in m."""
    from scipy.optimize import brentq

    # the centre lies half a diameter above the lower edge; a hole larger than twice the head runs part full
    return float(
        brentq(lambda wide: float(plain_flow(wide, head + wide / 2, share)) - flow, 1e-7, 100, xtol=1e-12)
    )


def _deepest() -> float:
    return number("hydraulics", "hole", "deepest", "m")


def gravity() -> float:
    """Standard gravity, plain m/s^2."""
    return number("constants", "water", "standard gravity", "m/s^2")


def coefficient_of(given: Any, function: str) -> float:
    """The discharge coefficient that is given, else the usual one; a plain number."""
    if given is None:
        return discharge_coefficient()
    share = pure_number(given, 0.6, "coefficient", function)
    within(share, 1e-3, 1, f"{function}: a coefficient lies above 0 and up to 1; {{value:g}} does not.")
    if np.ndim(share):
        raise OutOfRange(f"{function} takes one coefficient; you gave {np.size(share)}.")
    return float(share)


def check_diameter(diameter: Any, function: str) -> None:
    """Refuse a hole, in plain metres, that nobody would drill into a tank."""
    low, high = (number("hydraulics", "hole", f"{size} diameter", "m") for size in ("smallest", "largest"))
    within(
        diameter,
        low,
        high,
        f"{function}: a hole of {{value:g}} m; write a diameter from {write(Q(low, 'm'))} to {write(Q(high, 'm'))}.",
    )
