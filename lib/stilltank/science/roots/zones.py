"""The two root zones of a still tank: solution below, moist air above."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import Problem, Q, takes, within

from ._tank_checks import ROUNDING, height_of, level_inside, pot_depth_of


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
    pot = pot_depth_of(tank)
    if immersion is None:
        immersion = number("roots", "pot", "immersion", "m")
    within(
        immersion,
        0,
        pot,
        f"This net pot is {pot * 100:g} cm deep, so it stands 0 to {pot * 100:g} cm deep, not {{value:g}} m.",
    )
    return Q(100 * (height_of(tank) - pot + immersion), "cm")


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
    level = level_inside(tank, level)
    gap = height_of(tank) - pot_depth_of(tank) - level
    return Zones(
        Q(100 * level, "cm"),
        Q(100 * (height_of(tank) - level), "cm"),
        Q(100 * np.maximum(gap, 0), "cm"),
        Q(100 * np.maximum(-gap, 0), "cm"),
        (gap > ROUNDING)[()],
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
