"""What a refill of a given size does to the two zones, the roots in them and the oxygen."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stilltank.science.oxygen import saturation
from stilltank.science.tank import Tank
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, magnitude, said, takes, within
from stilltank.units.types import Quantity

from ._tank_checks import level_inside, pot_depth_of
from .refill_limit import RefillLimit, refill_limit
from .zones import Zones, zones


@dataclass(frozen=True, eq=False)
class Refill:
    """Before and after a refill; of the shape of level and amount together.

    Parameters
    ----------
    before, after : Zones
        The zones of the tank.
    rise : Quantity
        Of the level, in cm.
    volume : Quantity
        Poured, in L.
    limit : RefillLimit
        Before the refill.
    too_far : bool or array of bool
        Whether the rise is more than the limit allows.
    submerged : Quantity
        Length of roots used to moist air that the refill puts under water, in cm.
    share_submerged : Quantity
        Share of those roots.
    oxygen : Quantity, or None
        Of the mixed water right after, in mg/L; None where none was given.

    See Also
    --------
    refill : Works it out.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> bool(refill(preset("quillgate-tub"), Q(15, "cm"), Q(1, "L")).too_far)
    False
    """

    before: Zones
    after: Zones
    rise: Quantity
    volume: Quantity
    limit: RefillLimit
    too_far: bool | NDArray[np.bool_]
    submerged: Quantity
    share_submerged: Quantity
    oxygen: Quantity | None

    def __str__(self) -> str:
        if np.ndim(self.rise.magnitude):
            low, high = np.min(self.submerged.magnitude), np.max(self.submerged.magnitude)
            return (
                f"{np.size(self.rise.magnitude)} refills; {low:.1f} to {high:.1f} cm of air roots under water"
            )
        verdict = "more than the limit" if self.too_far else "within the limit"
        return (
            f"{self.volume.magnitude:.1f} L raise the level by {self.rise.magnitude:.1f} cm, {verdict} of "
            f"{self.limit.rise.magnitude:.1f} cm; {self.submerged.magnitude:.1f} cm of air roots "
            f"({self.share_submerged.m_as('percent'):.0f} %) come under water"
        )


@takes(tank=Tank, air_roots="m", oxygen="mg/L", added_oxygen="mg/L", temperature="degC")
def refill(
    tank: Tank,
    state: Zones | Quantity,
    amount: Quantity,
    *,
    air_roots: Quantity | None = None,
    immersion: Quantity | None = None,
    hung_clear: bool | None = None,
    oxygen: Quantity | None = None,
    added_oxygen: Quantity | None = None,
    temperature: Quantity | None = None,
) -> Refill:
    """Work out what a refill does before anybody pours it.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    state : Zones or Quantity
        Where the solution stands now: zones, or a level; one value or an array.
    amount : Quantity
        A volume, or a length by which the level is to rise; one or an array.
    air_roots : Quantity, optional
        Length of the roots below the pots that are used to moist air, such as ``in_air`` of `root_course`; all that
        hang clear when left out.
    immersion : Quantity, optional
        See `refill_limit`.
    hung_clear : bool, optional
        See `refill_limit`.
    oxygen : Quantity, optional
        Concentration in the solution before; without it the oxygen is left out.
    added_oxygen : Quantity, optional
        Concentration in what is poured; saturated at ``temperature`` when left out.
    temperature : Quantity, optional
        Of the solution and of what is poured, 0 to 40 degC; 20 degC when left out.

    Returns
    -------
    Refill
        The zones before and after, the limit, the roots under water and the oxygen.

    Raises
    ------
    UnitNeeded
        A bare number, or an amount that is neither a volume nor a length.
    OutOfRange
        The amount is negative, or passes the rim.
    Problem
        The tank has no ``net_pot_depth``, or levels and amounts do not fit each other.
    Unreadable
        There is no tank.

    See Also
    --------
    refill_limit : The most that may be added.

    Notes
    -----
    Geometry; the limit is one published sentence (an abstract). Length of roots, not mass. What is poured brings
    oxygen with it, and that is gone within hours.

    References
    ----------
    KRATKY2004

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> print(refill(tub, Q(15, "cm"), Q(12, "L")))
    12.0 L raise the level by 5.0 cm, more than the limit of 2.0 cm; 5.0 cm of air roots (50 %) come under water
    """
    level = state.level if isinstance(state, Zones) else state
    plain = level_inside(tank, magnitude(level, "m", "state", "refill"))
    top = tank.plain.height
    litres, after = _raised(tank, plain, amount, top)
    before, later = (zones.plain(tank, height) for height in (plain, after))
    limit = refill_limit(tank, Q(plain, "m"), immersion, hung_clear)
    gap = np.maximum(top - pot_depth_of(tank) - plain, 0)
    roots = gap if air_roots is None else air_roots
    within(roots, 0, np.inf, "refill: air roots of {value}; a length is not negative.", "m")
    _fit(plain, litres, roots)
    left = np.maximum(top - pot_depth_of(tank) - after, 0)
    submerged = np.maximum(roots - left, 0)
    share = np.divide(
        submerged, roots, out=np.zeros(np.shape(submerged + roots)), where=np.asarray(roots) > 0
    )
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
        Q(100 * submerged, "cm"),
        Q(share[()], "dimensionless"),
        _mixed(tank, plain, litres, oxygen, added_oxygen, temperature),
    )


def _raised(tank: Tank, level: Any, amount: Any, top: float) -> tuple[Any, Any]:
    """Litres poured and the level after, m."""
    is_length = isinstance(amount, Quantity) and amount.check("[length]")
    unit = "m" if is_length else "L"
    given = magnitude(amount, unit, "amount", "refill")
    within(given, 0, np.inf, "refill: an amount is not negative; {value} is.", unit)
    shape = _fit(level, given)
    held = np.broadcast_to(tank.volume(Q(level, "m")).m_as("L"), shape)
    room = float(tank.volume(Q(top, "m")).m_as("L"))
    if is_length:
        after = np.broadcast_to(level + given, shape)
        _check_rim(after - top, "m")
        after = np.minimum(after, top)
        return (tank.volume(Q(after, "m")).m_as("L") - held)[()], after[()]
    _check_rim(held + given - room, "L")
    return np.broadcast_to(given, shape)[()], tank.level(Q(np.minimum(held + given, room)[()], "L")).m_as("m")


def _fit(*values: Any) -> tuple[int, ...]:
    """The shape of levels, amounts and roots together."""
    try:
        return np.broadcast_shapes(*map(np.shape, values))
    except ValueError:
        counts = zip(
            (np.size(one) for one in values), ("levels", "amounts", "lengths of roots"), strict=False
        )
        said_counts = " and ".join(f"{count} {what}" for count, what in counts)
        raise Problem(f"refill: {said_counts} do not fit. Give as many of each, or one.") from None


def _check_rim(over: Any, unit: str) -> None:
    most = float(np.max(over, initial=0))
    if most > 1e-9:
        raise OutOfRange(f"refill: {said(Q(most, unit))} of it would run over the rim. Pour less.")


def _mixed(tank: Tank, level: Any, litres: Any, oxygen: Any, added: Any, temperature: Any) -> Any:
    if oxygen is None:
        return None
    warm = number("budget", "tank", "usual temperature", "degC") if temperature is None else temperature
    brought = saturation.plain(warm) if added is None else added
    for value in (oxygen, brought):
        within(value, 0, np.inf, "refill: a concentration of {value}; it is not negative.", "mg/L")
    held = tank.volume(Q(level, "m")).m_as("L")
    whole = held + litres
    if np.any(whole <= 0):
        raise OutOfRange("refill: an empty tank that is given nothing has no oxygen to speak of.")
    return Q((held * oxygen + litres * brought) / whole, "mg/L")
