"""The refill rule along a season, in plain metres."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stilltank.science.tank import Tank
from stilltank.tables import load, number
from stilltank.units import (
    OutOfRange,
    PlainNumber,
    Problem,
    Q,
    magnitude,
    one_value,
    pure_number,
    said,
    takes,
    within,
)
from stilltank.units.types import Plain, Quantity

from ._tank_checks import ROUNDING, level_inside, pot_depth_of
from .zones import Zones
from .zones import fill_level as usual_fill_level

_SAME = 1e-6  # m; far below what a ruler shows


@dataclass(frozen=True, eq=False)
class Rises:
    """How far the level of a tank rises along seasons, in plain metres; [seasons, days].

    Parameters
    ----------
    rise : array
        Of the highest level of each day over the lowest of the last days, once the pots have hung clear; 0 before.
    above : array of bool
        True where that is more than `refill_limit` allows.

    See Also
    --------
    rises : Finds them.

    Examples
    --------
    >>> found = rises(0.27, [[0.2, 0.19, 0.23]], [[0.27, 0.2, 0.23]], 0.25)
    >>> found.rise.round(3).tolist(), found.above.tolist()
    ([[0.0, 0.0, 0.04]], [[False, False, True]])
    """

    rise: NDArray[np.float64]
    above: NDArray[np.bool_]


@takes(start=PlainNumber(0.25), levels=PlainNumber(0.2), peaks=PlainNumber(0.2), pots=PlainNumber(0.25))
def rises(start: float, levels: Plain, peaks: Plain, pots: float) -> Rises:
    """Find how far the level rises over roots that live in moist air, day by day.

    Parameters
    ----------
    start : float
        Level at planting, in m, above which none may rise; or that of a later day, when the pots hang clear: then the
        bottoms of the pots are the limit.
    levels : array
        At the end of each day, in m, [seasons, days].
    peaks : array
        The highest of each day, in m, [seasons, days].
    pots : float
        Height of the pots' bottoms above the floor, in m.

    Returns
    -------
    Rises
        How far, and where that is more than `refill_limit` allows from the lowest level of the last days.

    Raises
    ------
    Unreadable
        Something is no plain number.
    Problem
        The levels are no seasons of days.

    See Also
    --------
    refill_limit : The same for one level, with its units and its reason.

    Notes
    -----
    Plain metres, for use between rooms of science: a season of the water budget asks for every member and day. The
    limit is a caution: one paper (an abstract) says that a rise of more than 2 cm may injure plants. Nobody has
    counted how many it does injure.

    Examples
    --------
    >>> rises(0.27, [[0.2, 0.19, 0.23]], [[0.27, 0.2, 0.23]], 0.25).above.tolist()
    [[False, False, True]]
    """
    if np.ndim(levels) != 2 or np.shape(peaks) != np.shape(levels) or np.ndim(start) or np.ndim(pots):
        raise Problem("rises needs levels and peaks as [seasons, days], and one start and pot height.")
    most = number("roots", "refill", "rise", "m")
    memory = int(number("budget", "top-up", "root memory", "day"))
    ends = np.concatenate([np.full((np.shape(levels)[0], 1), start), levels], axis=1)
    clear = np.maximum.accumulate(ends < pots - _SAME, axis=1)[:, :-1]
    lowest = ends[:, :-1].copy()
    for back in range(1, memory):
        lowest[:, back:] = np.minimum(lowest[:, back:], ends[:, : -1 - back])
    allowed = np.maximum(np.minimum(lowest + most, max(start, pots)), lowest)
    return Rises(np.where(clear, np.maximum(peaks - lowest, 0), 0.0), clear & (peaks > allowed + _SAME))


@dataclass(frozen=True, eq=False)
class RefillLimit:
    """How far the level of a tank may be raised at once; of the shape of the level.

    Parameters
    ----------
    rise : Quantity
        At most, in cm.
    volume : Quantity
        That raises the level so far, in L.
    highest_level : Quantity
        Up to which it may rise, in cm.
    reason : str
        Why.

    See Also
    --------
    refill_limit : Works it out.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> round(refill_limit(preset("quillgate-tub"), Q(15, "cm")).rise.m_as("cm"), 6)
    2.0
    """

    rise: Quantity
    volume: Quantity
    highest_level: Quantity
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


@takes(tank=Tank)
def refill_limit(
    tank: Tank, state: Zones | Quantity, immersion: Quantity | None = None, hung_clear: bool | None = None
) -> RefillLimit:
    """Most that may be added at once before the published caution for roots in moist air.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    state : Zones or Quantity
        Where the solution stands now: zones, or a level; one value or an array.
    immersion : Quantity, optional
        Length by which the pots stood in the solution at planting; 2 cm when left out.
    hung_clear : bool, optional
        Whether the pots have hung clear at any time since planting. Left out, the level now decides; give True
        when a refill has brought the solution back to the pots.

    Returns
    -------
    RefillLimit
        Of the shape of the level.

    Raises
    ------
    UnitNeeded
        The level is no length.
    OutOfRange
        The level lies below the floor or above the rim.
    Problem
        The tank has no ``net_pot_depth``, or ``hung_clear`` is neither True nor False.
    Unreadable
        There is no tank.

    See Also
    --------
    refill : What a refill of a given size does.

    Notes
    -----
    One published sentence about lettuce stands behind the 2 cm (an abstract); less is safer. Rain counts too.

    References
    ----------
    KRATKY2004

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> print(refill_limit(tub, Q(15, "cm")))
    at most 2.0 cm, 4.8 L, up to 17.0 cm above the floor. The pots have hung clear, ... (Kratky 2004, abstract).
    """
    level = state.level if isinstance(state, Zones) else state
    plain = level_inside(tank, magnitude(level, "m", "state", "refill_limit"))
    wet = None if immersion is None else one_value(immersion, "m", "immersion", "refill_limit")
    start = usual_fill_level.plain(tank, wet) / 100
    most = number("roots", "refill", "rise", "m")
    clear = plain < tank.plain.height - pot_depth_of(tank) - ROUNDING
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


@takes(tank=Tank, level="m", rise="m", returns="mm")
def rain_for_rise(
    tank: Tank,
    level: Quantity,
    rise: Quantity | None = None,
    rain_share: Plain | Quantity | None = None,
) -> Quantity:
    """Depth of rain that raises the level by a given amount.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth`` where no rise is given.
    level : Quantity
        The level now; one or an array.
    rise : Quantity, optional
        The refill limit when left out.
    rain_share : float, array or Quantity, optional
        Share of the rain on the lid that finds its way in, above 0 and up to 1. When left out, that of a lid with
        gaps around the pots, as a season of the water budget takes it: 0.2, an assumption with a range of 0.05 to
        0.6 (data/budget.csv). A lid with a rim may collect all: give 1.

    Returns
    -------
    Quantity
        In mm.

    Raises
    ------
    UnitNeeded
        A length is a bare number.
    OutOfRange
        The rise is negative or passes the rim, or the share is not above 0 and up to 1.
    Problem
        The tank has no ``net_pot_depth`` and no rise is given.
    Unreadable
        There is no tank, or the share is no plain number.

    See Also
    --------
    overflow_height : A hole that lets the rain out.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> round(rain_for_rise(tub, Q(15, "cm")).magnitude, 6)
    100.0
    >>> round(rain_for_rise(tub, Q(15, "cm"), Q(2, "cm"), rain_share=1).magnitude, 6)
    20.0
    """
    share: Any
    if rain_share is None:
        share = number("budget", "open", "rain share", "1")
    elif isinstance(rain_share, Quantity):
        share = one_value(rain_share, "dimensionless", "rain_share", "rain_for_rise")
    else:
        share = pure_number(rain_share, 0.25, "rain_share", "rain_for_rise")
    sentence = "rain_share is the part of the rain that gets in, above 0 and up to 1; {value:g} is not."
    within(share, 1e-9, 1, sentence)
    now = level_inside(tank, level)
    by = refill_limit(tank, Q(now, "m")).rise.m_as("m") if rise is None else rise
    within(by, 0, np.inf, "A rise is not negative; {value} is.", "m")
    plain = tank.plain
    added = plain.volume(level_inside(tank, now + by)) - plain.volume(now)
    return 1000 * added / (tank.lid_area.m_as("m^2") * share)


@dataclass(frozen=True)
class HoleHeight:
    """Where to drill an overflow hole, and why.

    Parameters
    ----------
    height : Quantity
        Of the lower edge above the floor, in cm.
    from_rim : Quantity
        The same below the rim, in cm.
    reason : str
        Why there.

    See Also
    --------
    overflow_height : Works it out.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> found = overflow_height(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm")))
    >>> round(found.from_rim.m_as("cm"), 6)
    4.5
    """

    height: Quantity
    from_rim: Quantity
    reason: str

    def __str__(self) -> str:
        return (
            f"lower edge of the hole {self.height.magnitude:.1f} cm above the floor, "
            f"{self.from_rim.magnitude:.1f} cm below the rim. {self.reason}"
        )


@takes(tank=Tank)
def overflow_height(
    tank: Tank,
    immersion: Quantity | None = None,
    freeboard: Quantity | None = None,
    *,
    fill_level: Quantity | None = None,
    level: Quantity | None = None,
) -> HoleHeight:
    """Height of an overflow hole that lets rain out before it rises over the pots, or later over the air roots.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    immersion : Quantity, optional
        Of the pots at planting, a length; 2 cm when left out.
    freeboard : Quantity, optional
        Of the hole above the level at planting; 0.5 cm when left out, an assumption.
    fill_level : Quantity, optional
        The level at planting itself, in place of ``immersion``.
    level : Quantity, optional
        The level now, with the pots hanging clear. Then the hole is one to open from today: a storm through it stays
        below the refill limit.

    Returns
    -------
    HoleHeight
        Above the floor, below the rim, and why.

    Raises
    ------
    UnitNeeded
        A length is a bare number.
    OutOfRange
        The freeboard is negative, a level lies outside the tank, or the hole would lie at the rim or above.
    Problem
        ``immersion`` and ``fill_level`` are given together, or ``freeboard`` and ``level``.
    Unreadable
        There is no tank.

    See Also
    --------
    refill_limit : How far the level may rise.

    Notes
    -----
    The hole keeps the start level only. After the pots hang clear, rain can still raise the level by far more than the
    refill limit: keep rain out, or plug a second hole lower down. Mesh it against mosquitoes.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> round(overflow_height(tub).height.magnitude, 6)
    27.5
    >>> round(overflow_height(tub, level=Q(15, "cm")).height.magnitude, 6)
    16.0
    """
    if immersion is not None and fill_level is not None:
        raise Problem("overflow_height takes the immersion of the pots or the fill_level, not both.")
    if level is not None:
        if freeboard is not None:
            raise Problem(
                "overflow_height: a freeboard is for the hole of the planting, a level for a later one."
            )
        return _later_hole(tank, one_value(level, "m", "level", "overflow_height"), immersion)
    spare = (
        number("roots", "overflow", "freeboard", "m")
        if freeboard is None
        else one_value(freeboard, "m", "freeboard", "overflow_height")
    )
    wet = None if immersion is None else one_value(immersion, "m", "immersion", "overflow_height")
    within(spare, 0, np.inf, "A freeboard is not negative; {value} is.", "m")
    if fill_level is not None:
        start = float(level_inside(tank, one_value(fill_level, "m", "fill_level", "overflow_height")))
    else:
        start = usual_fill_level.plain(tank, wet) / 100
    height, rim = start + spare, tank.plain.height
    if height >= rim:
        raise OutOfRange(
            f"The hole would lie {said(Q(height, 'm'))} above the floor and the rim is at {said(Q(rim, 'm'))}. "
            "Take a smaller freeboard or immersion."
        )
    rise = load("roots")["refill", "rise"].quantity
    reason = (
        f"That is the level at planting, {start * 100:.1f} cm, and {spare * 100:g} cm to spare. It keeps rain from "
        f"lifting the solution above the start; it does not keep the rise below {rise:.3g~P} later, so keep rain out."
    )
    return HoleHeight(Q(100 * height, "cm"), Q(100 * (rim - height), "cm"), reason)


def _later_hole(tank: Tank, level: float, immersion: Any) -> HoleHeight:
    limit = refill_limit(tank, Q(level, "m"), immersion, hung_clear=True)
    head = number("hydraulics", "hole", "usual head", "m")
    highest = limit.highest_level.m_as("m")
    height = max(highest - head, level)
    reason = (
        f"From {level * 100:.1f} cm the solution may rise to {highest * 100:.1f} cm, and in a storm it stands up to "
        f"{head * 100:g} cm above the lower edge. Move the hole down as the level falls. {limit.reason}"
    )
    return HoleHeight(Q(100 * height, "cm"), Q(100 * (tank.plain.height - height), "cm"), reason)
