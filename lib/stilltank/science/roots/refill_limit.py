"""The refill rule along a season, in plain metres."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import load, number
from stilltank.units import OutOfRange, Problem, Q, Quantity, magnitude, one_value, pure_number, takes, within

from ._tank_checks import ROUNDING, height_of, level_inside, pot_depth_of
from .zones import Zones
from .zones import fill_level as usual_fill_level

_SAME = 1e-6  # m; far below what a ruler shows


def above_refill_limit(start: float, levels: Any, peaks: Any, pots: float) -> Any:
    """True for each season and day on which roots that live in moist air are drowned, [seasons, days].

    That is: the pots have hung clear, and the level stands higher than `refill_limit` allows from the lowest level
    of the last days. ``levels`` are those at the end of each day, ``peaks`` the highest of each day, ``pots`` the
    height of the pots' bottoms.
    """
    most = number("roots", "refill", "rise", "m")
    memory = int(number("budget", "top-up", "root memory", "day"))
    ends = np.concatenate([np.full((len(levels), 1), start), levels], axis=1)
    clear = np.maximum.accumulate(ends < pots - _SAME, axis=1)[:, :-1]
    lowest = ends[:, :-1].copy()
    for back in range(1, memory):
        lowest[:, back:] = np.minimum(lowest[:, back:], ends[:, : -1 - back])
    allowed = np.maximum(np.minimum(lowest + most, start), lowest)
    return clear & (peaks > allowed + _SAME)


@dataclass(frozen=True, eq=False)
class RefillLimit:
    """How far the level may be raised: ``rise`` in cm, ``volume`` in L, ``highest_level`` in cm, and why."""

    rise: Any
    volume: Any
    highest_level: Any
    reason: str

    def __str__(self) -> str:
        if not np.size(self.rise.magnitude):
            return "no levels"
        if np.ndim(self.rise.magnitude):
            return f"at most {self.rise.magnitude.max():.1f} cm. {self.reason}"
        return (
            f"at most {self.rise.magnitude:.1f} cm, {self.volume.magnitude:.1f} L, "
            f"up to {self.highest_level.magnitude:.1f} cm above the floor. {self.reason}"
        )


def refill_limit(tank: Any, state: Any, immersion: Any = None, hung_clear: bool | None = None) -> RefillLimit:
    """Most that may be added at once without drowning the roots that live in moist air.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``
    state : Zones, or a level (quantity, one value or an array)
    immersion : quantity, the one the tank was filled with; 2 cm when left out
    hung_clear : bool, optional
        Whether the pots have hung clear at any time since planting. Left out, the level now decides; give True
        when a refill has brought the solution back to the pots.

    Returns
    -------
    RefillLimit

    Raises
    ------
    UnitNeeded   a level without a unit
    OutOfRange   a level below the floor or above the rim
    Problem      the tank has no ``net_pot_depth``

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> print(refill_limit(tub, Q(15, "cm")))
    at most 2.0 cm, 4.8 L, up to 17.0 cm above the floor. The pots have hung clear, ... (Kratky 2004, abstract).

    Limits: one published sentence about lettuce stands behind the 2 cm; less is safer. Rain counts too.
    Source: Kratky (2004), abstract.
    """
    level = state.level if isinstance(state, Zones) else state
    plain = level_inside(tank, magnitude(level, "m", "state", "refill_limit"))
    if immersion is not None:
        immersion = Q(one_value(immersion, "m", "immersion", "refill_limit"), "m")
    start = usual_fill_level(tank, immersion).m_as("m")
    most = number("roots", "refill", "rise", "m")
    clear = plain < height_of(tank) - pot_depth_of(tank) - ROUNDING
    if hung_clear is not None:
        if not isinstance(hung_clear, (bool, np.bool_)):
            raise Problem(f"refill_limit: hung_clear is True or False; {hung_clear!r} is neither.")
        clear = np.full_like(clear, hung_clear)
    room = np.maximum(start - plain, 0)
    rise = np.where(clear, np.minimum(room, most), room)[()]
    highest = plain + rise
    volume = tank.volume(Q(highest, "m")) - tank.volume(Q(plain, "m"))
    reason = _reason(clear, room, most) if not np.ndim(plain) else _BOTH.format(most=most * 100)
    return RefillLimit(Q(100 * rise, "cm"), volume.to("L"), Q(100 * highest, "cm"), reason)


_CLEAR = (
    "The pots have hung clear, so roots live in the air zone; "
    "a rise of more than {most:g} cm may injure the plants (Kratky 2004, abstract)."
)
_BOTH = (
    "Until the pots hang clear up to the level at planting; after that "
    "a rise of more than {most:g} cm may injure the plants (Kratky 2004, abstract)."
)


def _reason(clear: Any, room: Any, most: float) -> str:
    if room <= ROUNDING:
        return "The solution stands at the level of planting or above it: add nothing."
    if not clear:
        return "The pots still stand in the solution; fill up to the level at planting and no higher."
    sentence = _CLEAR.format(most=most * 100)
    return sentence if room >= most else sentence + " The level at planting is the nearer limit here."


@takes(level="m", rise="m")
def rain_for_rise(tank: Any, level: Any, rise: Any = None, rain_share: Any = None) -> Any:
    """Depth of rain that raises the level by a given amount.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth`` and a ``lid_area``
    level : quantity, now; one or an array
    rise : quantity; the refill limit when left out
    rain_share : plain number or quantity
        Share of the rain on the lid that finds its way in, above 0 and up to 1. When left out, that of a lid with
        gaps around the pots, as a season of the water budget takes it: 0.2, an assumption with a range of 0.05 to
        0.6 (data/budget.csv). A lid with a rim may collect all: give 1.

    Returns
    -------
    quantity, mm

    Raises
    ------
    UnitNeeded   a bare number for a length
    OutOfRange   a negative rise, one that passes the rim, or a share that is not above 0 and up to 1
    Problem      the tank has no ``net_pot_depth`` and no rise is given

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> [round(rain_for_rise(tub, Q(15, "cm"), rain_share=share).magnitude, 6) for share in (None, 1)]
    [100.0, 20.0]
    """
    if rain_share is None:
        share = number("budget", "open", "rain share", "1")
    elif isinstance(rain_share, Quantity):
        share = one_value(rain_share, "dimensionless", "rain_share", "rain_for_rise")
    else:
        share = pure_number(rain_share, 0.25, "rain_share", "rain_for_rise")
    sentence = "rain_share is the part of the rain that gets in, above 0 and up to 1; {value:g} is not."
    within(share, 1e-9, 1, sentence)
    level = level_inside(tank, level)
    if rise is None:
        rise = refill_limit(tank, Q(level, "m")).rise.m_as("m")
    within(rise, 0, np.inf, "A rise is not negative; {value:g} m is.")
    added = tank.volume(Q(level_inside(tank, level + rise), "m")) - tank.volume(Q(level, "m"))
    return (added / (tank.lid_area * share)).to("mm")


@dataclass(frozen=True)
class HoleHeight:
    """Where to drill: lower edge ``height`` above the floor, or ``from_rim`` below the rim, in cm, and why."""

    height: Any
    from_rim: Any
    reason: str

    def __str__(self) -> str:
        return (
            f"lower edge of the hole {self.height.magnitude:.1f} cm above the floor, "
            f"{self.from_rim.magnitude:.1f} cm below the rim. {self.reason}"
        )


def overflow_height(
    tank: Any, immersion: Any = None, freeboard: Any = None, *, fill_level: Any = None, level: Any = None
) -> HoleHeight:
    """Height of an overflow hole that lets rain out before it drowns the pots, or later the air roots.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``
    immersion : quantity, of the pots at planting; 2 cm when left out
    freeboard : quantity, of the hole above the level at planting; 0.5 cm when left out, an assumption
    fill_level : quantity, the level at planting itself, in place of ``immersion``
    level : quantity, the level now, with the pots hanging clear
        Then the hole is one to open from today: a storm through it stays below the refill limit.

    Returns
    -------
    OverflowHole

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative freeboard, a level outside the tank, or a hole that would lie at the rim or above
    Problem      ``immersion`` and ``fill_level`` together, ``freeboard`` and ``level`` together

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> round(overflow_height(tub).height.magnitude, 6)
    27.5
    >>> round(overflow_height(tub, level=Q(15, "cm")).height.magnitude, 6)
    16.0

    Limits: the hole keeps the start level only. After the pots hang clear, rain can still raise the level by far
    more than the refill limit: keep rain out, or plug a second hole lower down. Mesh it against mosquitoes.
    """
    if immersion is not None and fill_level is not None:
        raise Problem("overflow_height takes the immersion of the pots or the fill_level, not both.")
    if level is not None:
        if freeboard is not None:
            raise Problem(
                "overflow_height: a freeboard is for the hole of the planting, a level for a later one."
            )
        return _later_hole(tank, one_value(level, "m", "level", "overflow_height"), immersion)
    if freeboard is None:
        freeboard = Q(number("roots", "overflow", "freeboard", "m"), "m")
    freeboard = one_value(freeboard, "m", "freeboard", "overflow_height")
    if immersion is not None:
        immersion = Q(one_value(immersion, "m", "immersion", "overflow_height"), "m")
    within(freeboard, 0, np.inf, "A freeboard is not negative; {value:g} m is.")
    if fill_level is None:
        start = usual_fill_level(tank, immersion).m_as("m")
    else:
        start = float(level_inside(tank, one_value(fill_level, "m", "fill_level", "overflow_height")))
    height, rim = start + freeboard, height_of(tank)
    if height >= rim:
        raise OutOfRange(
            f"The hole would lie {height * 100:g} cm above the floor and the rim is at {rim * 100:g} cm. "
            "Take a smaller freeboard or immersion."
        )
    rise = load("roots")["refill", "rise"].quantity
    reason = (
        f"That is the level at planting, {start * 100:.1f} cm, and {freeboard * 100:g} cm to spare. It keeps rain from "
        f"lifting the solution above the start; it does not keep the rise below {rise:.3g~P} later, so keep rain out."
    )
    return HoleHeight(Q(100 * height, "cm"), Q(100 * (rim - height), "cm"), reason)


def _later_hole(tank: Any, level: float, immersion: Any) -> HoleHeight:
    limit = refill_limit(tank, Q(level, "m"), immersion, hung_clear=True)
    head = number("hydraulics", "hole", "usual head", "m")
    highest = limit.highest_level.m_as("m")
    height = max(highest - head, level)
    reason = (
        f"From {level * 100:.1f} cm the solution may rise to {highest * 100:.1f} cm, and in a storm it stands up to "
        f"{head * 100:g} cm above the lower edge. Move the hole down as the level falls. {limit.reason}"
    )
    return HoleHeight(Q(100 * height, "cm"), Q(100 * (height_of(tank) - height), "cm"), reason)
