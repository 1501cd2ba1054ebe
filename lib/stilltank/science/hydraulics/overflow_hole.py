"""Water through a round hole in a wall, part full and under water, and how large to make it."""

from dataclasses import dataclass

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, Q, only, pure_number, said, takes, within
from stilltank.units.types import Array, Plain, Quantity

_ANGLES, _WEIGHTS = np.polynomial.legendre.leggauss(64)
_ANGLES, _WEIGHTS = np.pi / 2 * (_ANGLES + 1), np.pi / 2 * _WEIGHTS  # from 0 to pi


def discharge_coefficient() -> float:
    """Return the share of the ideal flow that leaves a hole with a sharp edge.

    Returns
    -------
    float
        The velocity coefficient, 0.97, times the contraction coefficient, 0.64.

    Notes
    -----
    For a drilled hole in a thin wall. A rounded or burred edge, or a hose behind it, changes it by a tenth.

    References
    ----------
    EB1911, vol. 14, Hydraulics, section 17.

    Examples
    --------
    >>> round(discharge_coefficient(), 2)
    0.62
    """
    return number("hydraulics", "sharp hole", "velocity coefficient", "1") * number(
        "hydraulics", "sharp hole", "contraction coefficient", "1"
    )


@takes(diameter="m", head="m", returns="L/min")
def orifice_flow(diameter: Quantity, head: Quantity, coefficient: float | None = None) -> Quantity:
    """Find the flow through a round hole that is wholly under water.

    Parameters
    ----------
    diameter : Quantity
        Length, of the hole; one value or an array.
    head : Quantity
        Length, from the centre of the hole up to the level, at least half the diameter; one value or an array.
    coefficient : float, optional
        Discharge coefficient, above 0 and up to 1; that of a sharp hole when left out.

    Returns
    -------
    Quantity
        In L/min, with the shape of the diameters and heads.

    Raises
    ------
    UnitNeeded
        A length that has no unit, or a unit of another kind.
    Unreadable
        A coefficient that is no plain number.
    OutOfRange
        A hole that nobody would drill, or one that is not under water; then use `hole_flow`.

    See Also
    --------
    hole_flow : The flow of a hole that may run part full.

    Notes
    -----
    .. math:: Q = C_d \\frac{\\pi d^2}{4} \\sqrt{2 g H}

    This is Torricelli's law. It is 4 % too high where the water just covers the hole, and 0.5 % once the level is a
    diameter above it.

    Examples
    --------
    >>> round(orifice_flow(Q(12, "mm"), Q(10, "mm"), 0.6).magnitude, 3)
    1.803
    """
    share = coefficient_of(coefficient, "orifice_flow")
    check_diameter(diameter, "orifice_flow")
    within(
        head,
        0,
        _deepest(),
        "orifice_flow: a head of {value} does not fit. Write {low} to {high}, and check the unit.",
        "m",
    )
    over = np.min(np.asarray(head) - np.asarray(diameter) / 2, initial=0.0)
    if over < -1e-12:
        raise OutOfRange(
            f"orifice_flow: the level is {said(Q(float(-over), 'm'))} below the top of the hole, so it runs part "
            "full. Use hole_flow, with the level above the lower edge."
        )
    flow = share * np.pi / 4 * diameter**2 * np.sqrt(2 * gravity() * head)
    return flow * 60000


@takes(diameter="m", level_above_invert="m", returns="L/min")
def hole_flow(diameter: Quantity, level_above_invert: Quantity, coefficient: float | None = None) -> Quantity:
    """Find the flow through a round hole, part full or under water.

    Parameters
    ----------
    diameter : Quantity
        Length, of the hole; one value or an array.
    level_above_invert : Quantity
        Length, of the level above the lower edge (the invert), one value or an array. Nothing runs at 0 or below.
    coefficient : float, optional
        Discharge coefficient, above 0 and up to 1; that of a sharp hole when left out.

    Returns
    -------
    Quantity
        In L/min, with the shape of the diameters and levels.

    Raises
    ------
    UnitNeeded
        A length that has no unit, or a unit of another kind.
    Unreadable
        A coefficient that is no plain number.
    OutOfRange
        A hole that nobody would drill, or a level more than 100 m from it.

    See Also
    --------
    hole_level : The level for a flow.
    orifice_flow : The simple formula for a hole under water.

    Notes
    -----
    Each strip of the hole flows with its own depth (the weir integral), which comes to `orifice_flow` under much
    water:

    .. math:: Q = C_d \\int_0^{\\min(h, d)} 2 \\sqrt{y (d - y)} \\sqrt{2 g (h - y)} \\, dy

    Below a few millimetres water clings to the wall and less runs, or nothing.

    Examples
    --------
    >>> found = hole_flow(Q(12, "mm"), Q([0, 6, 12], "mm"), 0.6)
    >>> found.magnitude.round(3).tolist()
    [0.0, 0.426, 1.341]
    """
    share = coefficient_of(coefficient, "hole_flow")
    check_diameter(diameter, "hole_flow")
    within(
        level_above_invert,
        -_deepest(),
        _deepest(),
        "hole_flow: a level {value} above a hole does not fit. Check the unit.",
        "m",
    )
    return 60000 * plain_flow(diameter, level_above_invert, share)  # type: ignore[arg-type, return-value]


def plain_flow(diameter: Plain, level: Plain, coefficient: float) -> Array:
    """Flow in m^3/s from plain metres above the lower edge; for the inside of the science floor."""
    level = np.maximum(level, 0.0)
    # strips sqrt(y (d - y)) sqrt(h - y): with y = small (1 - cos a)/2 both ends become smooth
    small, large = np.minimum(diameter, level), np.maximum(diameter, level)
    heights = np.multiply.outer(small, (1 - np.cos(_ANGLES)) / 2)
    strips = np.sqrt(np.maximum(np.asarray(large)[..., None] - heights, 0)) * np.sin(_ANGLES) ** 2
    return coefficient * np.sqrt(2 * gravity()) * small**2 / 2 * (strips @ _WEIGHTS)


@takes(diameter="m", flow="m^3/s", returns="mm")
def hole_level(diameter: Quantity, flow: Quantity, coefficient: float | None = None) -> Quantity:
    """Find how high the level is above the lower edge of a hole while a flow runs out.

    Parameters
    ----------
    diameter : Quantity
        Length, of the hole; one value or an array.
    flow : Quantity
        Volume in a time, such as what a storm brings; one value or an array.
    coefficient : float, optional
        Discharge coefficient, above 0 and up to 1; that of a sharp hole when left out.

    Returns
    -------
    Quantity
        In mm, with the shape of the diameters and flows.

    Raises
    ------
    UnitNeeded
        A length or a flow that has no unit, or a unit of another kind.
    Unreadable
        A coefficient that is no plain number.
    OutOfRange
        A hole that nobody would drill, a negative flow, or one that would need more than 100 m of water.

    See Also
    --------
    hole_flow : The other way round; it is solved here by halving.

    Examples
    --------
    >>> round(hole_level(Q(12, "mm"), Q(0.4, "L/min"), 0.6).magnitude, 1)
    5.8
    """
    share = coefficient_of(coefficient, "hole_level")
    check_diameter(diameter, "hole_level")
    most = plain_flow(diameter, _deepest() + 0 * flow, share)  # type: ignore[arg-type]
    within(
        60000 * flow,
        0,
        np.inf,
        "hole_level: a flow of {value} per minute does not fit. Write 0 or more.",
        "L",
    )
    if np.any(flow > most):
        raise OutOfRange(
            f"hole_level: {said(Q(float(np.max(flow)) * 60000, 'L'), 4)} per minute does not run through this hole "
            f"even under {said(Q(_deepest(), 'm'))} of water. Check the units of both."
        )
    low, high = np.zeros(np.shape(most)), np.full(np.shape(most), _deepest())
    for _ in range(60):
        middle = (low + high) / 2
        more = plain_flow(diameter, middle, share) < flow  # type: ignore[arg-type]
        low, high = np.where(more, middle, low), np.where(more, high, middle)
    return (1000 * np.where(flow > 0, high, 0.0))[()]  # type: ignore[return-value]


@dataclass(frozen=True)
class OverflowDiameter:
    """How large an overflow hole should be.

    Parameters
    ----------
    flow : Quantity
        In L/min, what the storm brings.
    smallest : Quantity
        In mm, the diameter that would just do, clean and without a screen.
    diameter : Quantity
        In mm, the diameter to drill.
    advice : str
        Why it is larger, and what to do about leaves and mosquitoes.

    See Also
    --------
    overflow_diameter : Makes one.

    Examples
    --------
    >>> found = overflow_diameter(Q(100, "mm/hour"), Q(0.24, "m^2"), coefficient=0.6)
    >>> str(found)[:24]
    '12 mm for 0.4 L/min. 5.6'
    """

    flow: Quantity
    smallest: Quantity
    diameter: Quantity
    advice: str

    def __str__(self) -> str:
        return f"{self.diameter.magnitude:g} mm for {self.flow.magnitude:.3g} L/min. {self.advice}"


@takes(intensity="mm/hour", area="m^2", head="m")
def overflow_diameter(
    intensity: Quantity, area: Quantity, head: Quantity | None = None, coefficient: float | None = None
) -> OverflowDiameter:
    """Find the diameter of an overflow hole that keeps up with a storm.

    Parameters
    ----------
    intensity : Quantity
        Depth of rain in a time, such as 100 mm/hour; one value.
    area : Quantity
        Area that collects it, one value; see `collecting_area`.
    head : Quantity, optional
        Length, how far the level may rise above the centre of the hole; one value, 10 mm when left out.
    coefficient : float, optional
        Discharge coefficient, above 0 and up to 1; that of a sharp hole when left out.

    Returns
    -------
    OverflowDiameter
        The flow, the smallest diameter, and the one to drill.

    Raises
    ------
    UnitNeeded
        An argument that has no unit, or a unit of another kind.
    Unreadable
        A coefficient that is no plain number.
    OutOfRange
        No rain, no area, no head, or so much that one hole is no answer.
    Problem
        Several values.

    See Also
    --------
    storm : What such a hole does in a storm.

    Notes
    -----
    The advised hole has four times the area, an assumption (data/hydraulics.csv). Where the head is less than half
    the diameter the hole runs part full, and this is taken into account.

    Examples
    --------
    >>> found = overflow_diameter(Q(100, "mm/hour"), Q(0.24, "m^2"), coefficient=0.6)
    >>> round(found.smallest.magnitude, 2), found.diameter.magnitude
    (5.66, 12.0)
    """
    name = "overflow_diameter"
    rain, collecting = only(intensity, "intensity", name), only(area, "area", name)
    usual = number("hydraulics", "hole", "usual head", "m")
    above = usual if head is None else only(head, "head", name)
    share = coefficient_of(coefficient, name)
    within(
        rain,
        1e-3,
        number("hydraulics", "storm", "largest intensity", "mm/hour"),
        f"{name}: a rain of {{value}} per hour does not fit. Write one above 0 and up to {{high}} per hour.",
        "mm",
    )
    within(collecting, 1e-6, 1e6, f"{name}: an area of {{value}} does not fit. Write one above 0.", "m^2")
    within(
        above, 1e-4, 10, f"{name}: a head of {{value}} does not fit. Write one from {{low}} to {{high}}.", "m"
    )
    flow = rain * collecting / 1000 / 3600
    smallest = _diameter(flow, above, share)
    step = number("hydraulics", "hole", "diameter step", "m")
    wide = smallest * np.sqrt(number("hydraulics", "hole", "free area factor", "1"))
    diameter = float(np.ceil(wide / step - 1e-9) * step)
    largest = number("hydraulics", "hole", "largest diameter", "m")
    if diameter > largest:
        raise OutOfRange(
            f"{name}: this storm needs a hole of {said(Q(diameter, 'm'))}; no tank has one. Keep rain off it."
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


def coefficient_of(given: float | None, function: str) -> float:
    """The discharge coefficient that is given, else the usual one; a plain number."""
    if given is None:
        return discharge_coefficient()
    share = pure_number(given, 0.6, "coefficient", function)
    within(share, 1e-3, 1, f"{function}: a coefficient is above 0 and up to 1; {{value:g}} is not.")
    if np.ndim(share):
        raise OutOfRange(f"{function} takes one coefficient; you gave {np.size(share)}.")
    return float(share)


def check_diameter(diameter: Plain | Quantity, function: str) -> None:
    """Refuse a hole, in plain metres, that nobody would drill into a tank."""
    low, high = (number("hydraulics", "hole", f"{size} diameter", "m") for size in ("smallest", "largest"))
    within(
        diameter,
        low,
        high,
        f"{function}: a hole of {{value}} does not fit. Write a diameter from {{low}} to {{high}}.",
        "m",
    )
