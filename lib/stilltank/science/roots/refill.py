"""What a refill of a given size does to the two zones, the roots in them and the oxygen."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.oxygen import saturation
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, Quantity, magnitude, within

from ._tank_checks import height_of, level_inside, pot_depth_of
from .refill_limit import RefillLimit, refill_limit
from .zones import Zones, zones


@dataclass(frozen=True, eq=False)
class Refill:
    """Before and after a refill; of the shape of level and amount together.

    Attributes
    ----------
    before, after : Zones
    rise : quantity in cm; volume : quantity in L
    limit : RefillLimit, before
    too_far : bool, whether the rise is more than the limit allows
    drowned : quantity in cm, length of roots used to moist air that the refill puts under water
    share_drowned : share of those roots
    oxygen : quantity in mg/L, of the mixed water right after; None where none was given
    """

    before: Zones
    after: Zones
    rise: Any
    volume: Any
    limit: RefillLimit
    too_far: Any
    drowned: Any
    share_drowned: Any
    oxygen: Any

    def __str__(self) -> str:
        if np.ndim(self.rise.magnitude):
            low, high = np.min(self.drowned.magnitude), np.max(self.drowned.magnitude)
            return (
                f"{np.size(self.rise.magnitude)} refills; {low:.1f} to {high:.1f} cm of air roots under water"
            )
        verdict = "more than the limit" if self.too_far else "within the limit"
        return (
            f"{self.volume.magnitude:.1f} L raise the level by {self.rise.magnitude:.1f} cm, {verdict} of "
            f"{self.limit.rise.magnitude:.1f} cm; {self.drowned.magnitude:.1f} cm of air roots "
            f"({self.share_drowned.m_as('percent'):.0f} %) come under water"
        )


def refill(
    tank: Any,
    state: Any,
    amount: Any,
    *,
    air_roots: Any = None,
    immersion: Any = None,
    hung_clear: bool | None = None,
    oxygen: Any = None,
    added_oxygen: Any = None,
    temperature: Any = None,
) -> Refill:
    """Work out what a refill does before anybody pours it.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``
    state : Zones, or a level (quantity, one value or an array)
    amount : quantity, a volume, or a length by which the level is to rise; one or an array
    air_roots : quantity, length of the roots below the pots that are used to moist air, such as ``in_air`` of
        `root_course`; all that hang clear when left out
    immersion, hung_clear : see `refill_limit`
    oxygen : quantity, concentration in the solution before; without it the oxygen is left out
    added_oxygen : quantity, in what is poured; saturated at ``temperature`` when left out
    temperature : quantity, of the solution and of what is poured; 20 degC when left out

    Returns
    -------
    Refill

    Raises
    ------
    UnitNeeded   a bare number, or an amount that is neither a volume nor a length
    OutOfRange   a negative amount, or one that passes the rim
    Problem      the tank has no ``net_pot_depth``

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> print(refill(tub, Q(15, "cm"), Q(12, "L")))
    12.0 L raise the level by 5.0 cm, more than the limit of 2.0 cm; 5.0 cm of air roots (50 %) come under water

    Limits: length of roots, not mass. What is poured brings oxygen with it, and that is gone within hours.
    Source: geometry; the limit is one published sentence (Kratky 2004, abstract).
    """
    level = state.level if isinstance(state, Zones) else state
    plain = level_inside(tank, magnitude(level, "m", "state", "refill"))
    top = height_of(tank)
    litres, after = _raised(tank, plain, amount, top)
    before = zones(tank, Q(plain, "m"))
    later = zones(tank, Q(after, "m"))
    limit = refill_limit(tank, Q(plain, "m"), immersion, hung_clear)
    gap = np.maximum(top - pot_depth_of(tank) - plain, 0)
    roots = gap if air_roots is None else magnitude(air_roots, "m", "air_roots", "refill")
    within(roots, 0, np.inf, "refill: air roots of {value:g} m; a length is not negative.")
    left = np.maximum(top - pot_depth_of(tank) - after, 0)
    drowned = np.maximum(roots - left, 0)
    share = np.divide(drowned, roots, out=np.zeros(np.shape(drowned + roots)), where=np.asarray(roots) > 0)
    rise = after - plain
    return Refill(
        before,
        later,
        Q(100 * rise, "cm"),
        Q(litres, "L"),
        limit,
        (rise > limit.rise.m_as("m") + 1e-9)[()]
        if np.ndim(rise)
        else bool(rise > limit.rise.m_as("m") + 1e-9),
        Q(100 * drowned, "cm"),
        Q(share[()], "dimensionless"),
        _mixed(tank, plain, litres, oxygen, added_oxygen, temperature),
    )


def _raised(tank: Any, level: Any, amount: Any, top: float) -> tuple[Any, Any]:
    """Litres poured and the level after, m."""
    is_length = isinstance(amount, Quantity) and amount.check("[length]")
    given = magnitude(amount, "m" if is_length else "L", "amount", "refill")
    within(given, 0, np.inf, "refill: an amount is not negative; {value:g} is.")
    try:
        shape = np.broadcast_shapes(np.shape(level), np.shape(given))
    except ValueError:
        raise Problem(
            f"refill: {np.size(level)} levels and {np.size(given)} amounts do not fit. Give as many of each, or one."
        ) from None
    held = np.broadcast_to(tank.volume(Q(level, "m")).m_as("L"), shape)
    room = float(tank.volume(Q(top, "m")).m_as("L"))
    if is_length:
        after = np.broadcast_to(level + given, shape)
        _check_rim(np.max(after - top), "cm", 100)
        after = np.minimum(after, top)
        return (tank.volume(Q(after, "m")).m_as("L") - held)[()], after[()]
    _check_rim(np.max(held + given - room), "L", 1)
    return np.broadcast_to(given, shape)[()], tank.level(Q(np.minimum(held + given, room)[()], "L")).m_as("m")


def _check_rim(over: float, unit: str, scale: float) -> None:
    if over > 1e-9:
        raise OutOfRange(f"refill: {over * scale:.3g} {unit} of it would run over the rim. Pour less.")


def _mixed(tank: Any, level: Any, litres: Any, oxygen: Any, added: Any, temperature: Any) -> Any:
    if oxygen is None:
        return None
    usual = Q(number("budget", "tank", "usual temperature", "degC"), "degC")
    warm = usual if temperature is None else temperature
    there = magnitude(oxygen, "mg/L", "oxygen", "refill")
    brought = (
        saturation(warm).m_as("mg/L") if added is None else magnitude(added, "mg/L", "added_oxygen", "refill")
    )
    for value in (there, brought):
        within(value, 0, np.inf, "refill: a concentration of {value:g} mg/L; it is not negative.")
    held = tank.volume(Q(level, "m")).m_as("L")
    whole = held + litres
    if np.any(whole <= 0):
        raise OutOfRange("refill: an empty tank that is given nothing has no oxygen to speak of.")
    return Q((held * there + litres * brought) / whole, "mg/L")
