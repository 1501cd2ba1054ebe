"""The two root zones of a still tank: solution below, moist air above, and how far a refill may rise."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from ..tables import load, number
from ..units import OutOfRange, Problem, Q, Quantity, magnitude, pure_number, single, takes, within

_ROUNDING = 1e-9  # m; far below what a ruler shows


@dataclass(frozen=True, eq=False)
class Zones:
    """Heights inside the tank, in cm, and whether the pots hang clear; of the shape of the level.

    Attributes
    ----------
    level : solution above the floor of the tank
    air_zone : from the solution up to the lid
    below_pot : air between a net pot's bottom and the solution; 0 while the pot stands in it
    immersion : how deep a net pot stands in the solution; 0 once it hangs clear
    wet_depth : depth of solution for the water roots, the same as ``level``
    pots_clear : bool
    """

    level: Any
    air_zone: Any
    below_pot: Any
    immersion: Any
    pots_clear: Any

    @property
    def wet_depth(self) -> Any:
        """Depth of solution that the water roots have."""
        return self.level

    def __str__(self) -> str:
        if not np.size(self.level.magnitude):
            return "no levels"
        if np.ndim(self.level.magnitude):
            low, high = np.min(self.air_zone.magnitude), np.max(self.air_zone.magnitude)
            return f"air zone {low:.1f} to {high:.1f} cm high, solution {self.level.magnitude.min():.1f} cm or more"
        pots = (
            f"net pots hang {self.below_pot.magnitude:.1f} cm clear of it"
            if self.pots_clear
            else f"net pots stand {self.immersion.magnitude:.1f} cm in it"
        )
        return f"{self.air_zone.magnitude:.1f} cm of air over {self.wet_depth.magnitude:.1f} cm of solution; {pots}"


@takes(immersion="m")
def fill_level(tank: Any, immersion: Any = None) -> Any:
    """Level to fill to at planting, so that the net pots stand a little in the solution.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``
    immersion : quantity, of the pots' lower end; 2 cm when left out

    Returns
    -------
    quantity, cm above the floor of the tank

    Raises
    ------
    UnitNeeded   ``immersion`` has no unit
    OutOfRange   the immersion is negative or more than the pot's depth
    Problem      the tank has no ``net_pot_depth``

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> round(fill_level(tub).magnitude, 6)
    27.0

    Source: immersion 1.3 cm (2010), at least 2 cm (2004), 3 cm (2009), all Kratky: use 1 to 3 cm.
    """
    pot = _pot_depth(tank)
    if immersion is None:
        immersion = number("roots", "pot", "immersion", "m")
    within(
        immersion,
        0,
        pot,
        f"This net pot is {pot * 100:g} cm deep, so it stands 0 to {pot * 100:g} cm deep, not {{value:g}} m.",
    )
    return Q(100 * (_height(tank) - pot + immersion), "cm")


@takes(level="m")
def zones(tank: Any, level: Any) -> Zones:
    """Air zone and wet zone at a level, or along a series of levels.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``
    level : quantity, above the floor; one value or an array, such as a season's days

    Returns
    -------
    Zones

    Raises
    ------
    UnitNeeded   ``level`` has no unit
    OutOfRange   a level below the floor or above the rim
    Problem      the tank has no ``net_pot_depth``

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> print(zones(tub, Q(20, "cm")))
    12.0 cm of air over 20.0 cm of solution; net pots hang 5.0 cm clear of it

    Limits: roots are left out; how much oxygen they take from the air is not known.
    """
    level = _inside(tank, level)
    gap = _height(tank) - _pot_depth(tank) - level
    return Zones(
        Q(100 * level, "cm"),
        Q(100 * (_height(tank) - level), "cm"),
        Q(100 * np.maximum(gap, 0), "cm"),
        Q(100 * np.maximum(-gap, 0), "cm"),
        (gap > _ROUNDING)[()],
    )


@takes(level="m")
def day_pots_clear(tank: Any, level: Any) -> Any:
    """First day on which the net pots hang clear of the solution: from then on air roots are at risk.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``
    level : quantity, array with the days along its last axis, such as members by days

    Returns
    -------
    int, counting the first day as 0, or None when they never do; for more than one series an array of
    float with nan for never

    Raises
    ------
    UnitNeeded   ``level`` has no unit
    OutOfRange   a level below the floor or above the rim
    Problem      the tank has no ``net_pot_depth``, or ``level`` is one value only

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> day_pots_clear(tub, Q([27, 26, 25, 24.8], "cm"))
    3
    """
    if not np.ndim(level) or not np.size(level):
        raise Problem(f"day_pots_clear needs a level for each day; it got {np.size(level)} of them.")
    clear = zones(tank, Q(level, "m")).pots_clear
    ever = clear.any(axis=-1)
    first = clear.argmax(axis=-1)
    if clear.ndim == 1:
        return int(first) if ever else None
    return np.where(ever, first, np.nan)


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
    plain = _inside(tank, magnitude(level, "m", "state", "refill_limit"))
    if immersion is not None:
        immersion = Q(single(immersion, "m", "immersion", "refill_limit"), "m")
    start = fill_level(tank, immersion).m_as("m")
    most = number("roots", "refill", "rise", "m")
    clear = plain < _height(tank) - _pot_depth(tank) - _ROUNDING
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
    if room <= _ROUNDING:
        return "The solution stands at the level of planting or above it: add nothing."
    if not clear:
        return "The pots still stand in the solution; fill up to the level at planting and no higher."
    sentence = _CLEAR.format(most=most * 100)
    return sentence if room >= most else sentence + " The level at planting is the nearer limit here."


@takes(level="m", rise="m")
def rain_for_rise(tank: Any, level: Any, rise: Any = None, rain_share: Any = 1.0) -> Any:
    """Depth of rain that raises the level by a given amount.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth`` and a ``lid_area``
    level : quantity, now; one or an array
    rise : quantity; the refill limit when left out
    rain_share : plain number or quantity
        Share of the rain on the lid that finds its way in, above 0 and up to 1; 1 (all of it) when left out.

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
    >>> round(rain_for_rise(tub, Q(15, "cm"), rain_share=0.25).magnitude, 6)
    80.0
    """
    if isinstance(rain_share, Quantity):
        share = single(rain_share, "dimensionless", "rain_share", "rain_for_rise")
    else:
        share = pure_number(rain_share, 0.25, "rain_share", "rain_for_rise")
    sentence = "rain_share is the part of the rain that gets in, above 0 and up to 1; {value:g} is not."
    within(share, 1e-9, 1, sentence)
    level = _inside(tank, level)
    if rise is None:
        rise = refill_limit(tank, Q(level, "m")).rise.m_as("m")
    within(rise, 0, np.inf, "A rise is not negative; {value:g} m is.")
    added = tank.volume(Q(_inside(tank, level + rise), "m")) - tank.volume(Q(level, "m"))
    return (added / (tank.lid_area * share)).to("mm")


@dataclass(frozen=True)
class OverflowHole:
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
) -> OverflowHole:
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
        return _later_hole(tank, single(level, "m", "level", "overflow_height"), immersion)
    if freeboard is None:
        freeboard = Q(number("roots", "overflow", "freeboard", "m"), "m")
    freeboard = single(freeboard, "m", "freeboard", "overflow_height")
    if immersion is not None:
        immersion = Q(single(immersion, "m", "immersion", "overflow_height"), "m")
    within(freeboard, 0, np.inf, "A freeboard is not negative; {value:g} m is.")
    if fill_level is None:
        start = _usual_fill(tank, immersion).m_as("m")
    else:
        start = float(_inside(tank, single(fill_level, "m", "fill_level", "overflow_height")))
    height, rim = start + freeboard, _height(tank)
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
    return OverflowHole(Q(100 * height, "cm"), Q(100 * (rim - height), "cm"), reason)


_usual_fill = fill_level  # under a name that an argument does not hide


def _later_hole(tank: Any, level: float, immersion: Any) -> OverflowHole:
    limit = refill_limit(tank, Q(level, "m"), immersion, hung_clear=True)
    head = number("hydraulics", "hole", "usual head", "m")
    highest = limit.highest_level.m_as("m")
    height = max(highest - head, level)
    reason = (
        f"From {level * 100:.1f} cm the solution may rise to {highest * 100:.1f} cm, and in a storm it stands up to "
        f"{head * 100:g} cm above the lower edge. Move the hole down as the level falls. {limit.reason}"
    )
    return OverflowHole(Q(100 * height, "cm"), Q(100 * (_height(tank) - height), "cm"), reason)


def _height(tank: Any) -> float:
    if not hasattr(tank, "height") or not hasattr(tank, "net_pot_depth"):
        raise Problem(
            f"A tank is needed here, such as preset('quillgate-tub') or Box(...); you gave {tank!r}."
        )
    return tank.height.m_as("m")


def _pot_depth(tank: Any) -> float:
    _height(tank)
    if tank.net_pot_depth is None:
        raise Problem(
            "This tank has no net_pot_depth. Measure from the rim down to the bottom of a net pot and make the "
            'tank with net_pot_depth=Q(7, "cm"), for example.'
        )
    return tank.net_pot_depth.m_as("m")


def _inside(tank: Any, level: Any) -> Any:
    top = _height(tank)
    within(
        level,
        -_ROUNDING,
        top + _ROUNDING,
        f"A level lies between 0 and the rim at {top:g} m; {{value:g}} m does not.",
    )
    return np.clip(level, 0, top)  # only what rounding left over
