"""Net pots of different depth in one lid: which of them says how high to fill, and how far to refill."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from stilltank.science.tank import Tank
from stilltank.tables import load
from stilltank.units import Problem, Q, magnitude, takes, write
from stilltank.units.types import Quantity

from .zones import fill_level


@dataclass(frozen=True, eq=False)
class MixedPots:
    """Net pots of different depth in one tank.

    Parameters
    ----------
    tank : Tank
        With the shallowest pots as its ``net_pot_depth``: what asks for the level of planting, for the refill limit
        or for the overflow hole takes this one.
    depths : Quantity
        From the rim down to the bottom of each kind of pot, in cm, [kinds].
    fill_level : Quantity
        Level at planting at which all pots stand in the solution, in cm.
    immersion : Quantity
        How deep each kind then stands in it, in cm, [kinds].
    clear_below : Quantity
        Level below which each kind hangs clear, in cm, [kinds].

    See Also
    --------
    mixed_pots : Works it out.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> print(mixed_pots(preset("quillgate-tub"), Q([5, 7.5], "cm")))
    fill to 27 cm; pots of 5 cm stand 2 cm deep and hang clear below 25 cm; pots of 7.5 cm stand 4.5 cm deep ...
    """

    tank: Tank
    depths: Quantity
    fill_level: Quantity
    immersion: Quantity
    clear_below: Quantity

    @property
    def too_deep(self) -> str:
        """A sentence where the deepest pots stand deeper than is usual at planting; else empty.

        Examples
        --------
        >>> from stilltank.science.tank import preset
        >>> mixed_pots(preset("quillgate-tub"), Q([5, 5.5], "cm")).too_deep
        ''
        """
        usual = load("roots")["pot", "immersion"].range[1]
        deepest = Q(float(np.max(self.immersion.m_as("cm"))), "cm")
        if deepest <= usual * (1 + 1e-9):
            return ""
        depth = Q(float(np.max(self.depths.m_as("cm"))), "cm")
        return (
            f"Where all pots touch the solution, those of {write(depth)} stand {write(deepest)} in it; up to "
            f"{write(usual)} is usual. Use pots that differ less, or set the plants high in the deep ones."
        )

    def __str__(self) -> str:
        kinds = "; ".join(
            f"pots of {write(depth)} stand {write(wet)} deep and hang clear below {write(clear)}"
            for depth, wet, clear in zip(self.depths, self.immersion, self.clear_below, strict=True)
        )
        return f"fill to {write(self.fill_level)}; {kinds}"


@takes(tank=Tank)
def mixed_pots(
    tank: Tank, depths: Quantity | Sequence[Quantity], immersion: Quantity | None = None
) -> MixedPots:
    """Find what net pots of different depth ask of one tank.

    Parameters
    ----------
    tank : Tank
        With or without a ``net_pot_depth`` of its own.
    depths : Quantity
        From the rim down to the bottom of each kind of pot, [kinds], or one.
    immersion : Quantity, optional
        Of the shallowest pots at planting; 2 cm when left out.

    Returns
    -------
    MixedPots
        The level of planting, and where each kind stands and hangs clear.

    Raises
    ------
    UnitNeeded
        A depth or the immersion is no length.
    OutOfRange
        A pot is deeper than the tank, or the immersion more than the shallowest pot.
    Problem
        There is no depth.
    Unreadable
        There is no tank.

    See Also
    --------
    refill_limit : Give it the ``tank`` of the answer, so that it begins where the first pots hang clear.

    Notes
    -----
    The shallowest pots decide. All pots must reach the solution at planting, so they set the level. As it falls they
    are the first to hang clear, and from then on their roots live in moist air and the caution about a rise holds for
    the whole tank, though deeper pots may still stand in the solution. A rise meets the deepest pot bottoms first,
    but what it wets are roots below the shallow ones.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> found = mixed_pots(tub, Q([7, 5], "cm"))
    >>> round(found.fill_level.m_as("cm"), 6), found.immersion.m_as("cm").round(6).tolist()
    (29.0, [4.0, 2.0])
    """
    several = (
        Q(np.array([float(magnitude(one, "cm", "depths", "mixed_pots")) for one in depths]), "cm")
        if isinstance(depths, (list, tuple))
        else depths
    )
    plain = np.atleast_1d(magnitude(several, "cm", "depths", "mixed_pots"))
    if plain.ndim != 1 or not plain.size:
        raise Problem('mixed_pots needs the depth of each kind of pot, such as Q([5, 7.5], "cm").')
    body = tank
    for depth in (np.max(plain), np.min(plain)):
        if body.net_pot_depth is None or body.net_pot_depth.m_as("cm") != depth:
            body = replace(tank, net_pot_depth=Q(float(depth), "cm"))  # refuses what does not fit
    start = fill_level(body, immersion)
    clear = body.height.m_as("cm") - plain
    return MixedPots(
        tank=body,
        depths=Q(plain, "cm"),
        fill_level=start,
        immersion=Q(start.m_as("cm") - clear, "cm"),
        clear_below=Q(clear, "cm"),
    )
