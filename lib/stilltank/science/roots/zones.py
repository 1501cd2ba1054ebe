"""The two root zones of a still tank: solution below, moist air above."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from stilltank.science.tank import Tank
from stilltank.tables import number
from stilltank.units import Problem, Q, takes, within
from stilltank.units.types import Array, Quantity

from ._tank_checks import ROUNDING, level_inside, pot_depth_of


@dataclass(frozen=True, eq=False)
class Zones:
    """Heights inside a tank, and whether the pots hang clear; of the shape of the level.

    Parameters
    ----------
    level : Quantity
        Solution above the floor of the tank, in cm.
    air_zone : Quantity
        From the solution up to the lid, in cm.
    below_pot : Quantity
        Air between a net pot's bottom and the solution, in cm; 0 while the pot stands in it.
    immersion : Quantity
        How deep a net pot stands in the solution, in cm; 0 once it hangs clear.
    pots_clear : bool or array of bool
        Whether the pots hang clear.

    See Also
    --------
    zones : Works them out.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> found = zones(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm")), Q(20, "cm"))
    >>> round(found.below_pot.m_as("cm"), 6), bool(found.pots_clear)
    (5.0, True)
    """

    level: Quantity
    air_zone: Quantity
    below_pot: Quantity
    immersion: Quantity
    pots_clear: bool | NDArray[np.bool_]

    @property
    def wet_depth(self) -> Quantity:
        """Depth of solution that the water roots have: the level.

        Examples
        --------
        >>> from stilltank.science.tank import preset
        >>> zones(preset("quillgate-tub"), Q(20, "cm")).wet_depth.m_as("cm")
        20.0
        """
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


@takes(tank=Tank, immersion="m", returns="cm")
def fill_level(tank: Tank, immersion: Quantity | None = None) -> Quantity:
    """Level to fill to at planting, so that the net pots stand a little in the solution.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    immersion : Quantity, optional
        Of the pots' lower end, a length; 2 cm when left out.

    Returns
    -------
    Quantity
        Above the floor of the tank, in cm.

    Raises
    ------
    UnitNeeded
        The immersion is no length.
    OutOfRange
        The immersion is negative or more than the pot's depth.
    Problem
        The tank has no ``net_pot_depth``.
    Unreadable
        There is no tank.

    Notes
    -----
    Published immersions are 1.3 cm (2010), at least 2 cm (2004) and 3 cm (2009): use 1 to 3 cm.

    References
    ----------
    KRATKY2004, KRATKY2009, KRATKY2010

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> round(fill_level(tub).magnitude, 6)
    27.0
    """
    pot = pot_depth_of(tank)
    wet = number("roots", "pot", "immersion", "m") if immersion is None else immersion
    sentence = "This net pot is {high} deep, so it stands {low} to {high} deep, not {value}."
    within(wet, 0, pot, sentence, "m")
    return 100 * (tank.plain.height - pot + wet)  # type: ignore[return-value]  # the door makes it a quantity


@takes(tank=Tank, level="m")
def zones(tank: Tank, level: Quantity) -> Zones:
    """Air zone and wet zone at a level, or along a series of levels.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    level : Quantity
        Above the floor; one value or an array, such as a season's days.

    Returns
    -------
    Zones
        Of the shape of ``level``.

    Raises
    ------
    UnitNeeded
        The level is no length.
    OutOfRange
        The level lies below the floor or above the rim.
    Problem
        The tank has no ``net_pot_depth``.
    Unreadable
        There is no tank.

    Notes
    -----
    Roots are left out; how much oxygen they take from the air is not known.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> print(zones(tub, Q(20, "cm")))
    12.0 cm of air over 20.0 cm of solution; net pots hang 5.0 cm clear of it
    """
    inside = level_inside(tank, level)
    gap = tank.plain.height - pot_depth_of(tank) - inside
    return Zones(
        Q(100 * inside, "cm"),
        Q(100 * (tank.plain.height - inside), "cm"),
        Q(100 * np.maximum(gap, 0), "cm"),
        Q(100 * np.maximum(-gap, 0), "cm"),
        (gap > ROUNDING)[()],
    )


@takes(tank=Tank, level="m")
def day_pots_clear(tank: Tank, level: Quantity) -> int | Array | None:
    """First day on which the net pots hang clear of the solution: from then on air roots are at risk.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    level : Quantity
        Array with the days along its last axis, such as members by days.

    Returns
    -------
    int, array or None
        Counting the first day as 0; None when they never do. For more than one series an array with nan for never.

    Raises
    ------
    UnitNeeded
        The level is no length.
    OutOfRange
        A level lies below the floor or above the rim.
    Problem
        The tank has no ``net_pot_depth``, or there is one level only.
    Unreadable
        There is no tank.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm"))
    >>> day_pots_clear(tub, Q([27, 26, 25, 24.8], "cm"))
    3
    """
    if not np.ndim(level) or not np.size(level):
        raise Problem(f"day_pots_clear needs a level for each day; it got {np.size(level)} of them.")
    clear = np.asarray(zones.plain(tank, level).pots_clear)
    ever = clear.any(axis=-1)
    first = clear.argmax(axis=-1)
    if clear.ndim == 1:
        return int(first) if ever else None
    return np.where(ever, first, np.nan)
