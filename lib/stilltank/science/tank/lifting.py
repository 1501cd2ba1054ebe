"""How heavy is too heavy: the published lifting equation, for deciding not to carry a full tank."""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from stilltank.tables import number
from stilltank.units import Q, one_value, takes, within, write
from stilltank.units.types import Plain, Quantity

from .tank import plain_degrees

_CAUTION = (
    "A liquid moves while it is carried, and the method leaves out loads that shift, so the true limit is lower; it "
    "was made for adults. Put the tank in place first, fill it there, and siphon it out."
)
_GRIPS = ("good", "fair", "poor")


@dataclass(frozen=True, eq=False)
class Lifting:
    """What one adult may lift in this way.

    Parameters
    ----------
    limit : Quantity
        Recommended weight limit, in kg.
    load : Quantity
        What is to be lifted, in kg.
    index : float or array
        Load over limit; above 1 the risk to the back grows.
    multipliers : dict of str to float
        The share that each circumstance leaves of the greatest load.
    caution : str, optional
        What must stand beside the numbers.

    See Also
    --------
    lifting_index : Works it out.

    Examples
    --------
    >>> print(lifting_index(Q(20, "kg")))
    Recommended limit 10.3 kg; a load of 20 kg has an index of 1.94: more than the method allows. A liquid moves ...
    """

    limit: Quantity
    load: Quantity
    index: Plain
    multipliers: dict[str, float]
    caution: str = _CAUTION

    def __str__(self) -> str:
        worst = float(np.max(self.index))
        verdict = (
            "more than the method allows" if worst > 1 else "within the method, for a load that does not move"
        )
        return (
            f"Recommended limit {write(self.limit)}; a load of {write(self.load)} has an index of "
            f"{write(self.index)}: {verdict}. {self.caution}"
        )


@takes(load="kg", grip=_GRIPS)
def lifting_index(
    load: Quantity,
    hold: Quantity | None = None,
    from_height: Quantity | None = None,
    to_height: Quantity | None = None,
    turn: Quantity | None = None,
    grip: Literal["good", "fair", "poor"] = "fair",
) -> Lifting:
    """Recommended weight limit and lifting index of one careful, rare lift with two hands.

    Parameters
    ----------
    load : Quantity
        Mass, such as `Tank.weight`; one value or an array.
    hold : Quantity, optional
        Length from the middle between the ankles out to the hands; 40 cm when left out, for a wide tub.
    from_height, to_height : Quantity, optional
        Of the hands above the ground; 20 and 75 cm when left out, from the floor to a bench.
    turn : Quantity, optional
        Angle by which the body turns; none when left out.
    grip : {"good", "fair", "poor"}, optional
        Good are handles, fair is a rim, poor is a soft or slippery tub.

    Returns
    -------
    Lifting
        The limit, the index, and the share that each circumstance leaves.

    Raises
    ------
    UnitNeeded
        A size has no unit.
    OutOfRange
        The method does not know such a lift: hands too far out or too high, or a body turned too much.
    Unreadable
        The grip is another word.

    Notes
    -----
    At most one lift in five minutes, within an hour, on firm ground, by healthy adults. Loads that shift, such as an
    open tank, are outside the method: take the answer as an upper bound. School and local rules win. The revised
    lifting equation; its tables were read in a copy, the factors of the grip are from memory.

    References
    ----------
    NIOSH94110

    Examples
    --------
    >>> found = lifting_index(Q(20, "kg"))
    >>> round(found.limit.m_as("kg"), 1), round(found.index, 2)
    (10.3, 1.94)
    """
    within(load, 0, 1e5, "lifting_index: a load of {value} is not possible; write 0 or more.", "kg")
    usual = {
        "hold": (hold, "cm"),
        "from_height": (from_height, "cm"),
        "to_height": (to_height, "cm"),
    }
    out, start, end = (
        number("lifting", "usual", name.replace("_", " "), unit)
        if value is None
        else one_value(value, unit, name, "lifting_index")
        for name, (value, unit) in usual.items()
    )
    angle = 0.0 if turn is None else plain_degrees(turn, "turn", "lifting_index")
    farthest, highest = (
        number("lifting", "hold", "farthest", "cm"),
        number("lifting", "height", "highest", "cm"),
    )
    within(
        out,
        0,
        farthest,
        "lifting_index: hands {value} out cannot lift anything safely; the method ends at {high}.",
        "cm",
    )
    for height in (start, end):
        within(
            height,
            0,
            highest,
            "lifting_index: hands at {value}; the method holds from the ground to {high}.",
            "cm",
        )
    most = number("lifting", "turn", "largest", "degree")
    within(
        angle,
        0,
        most,
        f"lifting_index: a turn of {{value:g}} degrees; the method holds from 0 to {most:g} degrees.",
    )
    best = number("lifting", "height", "best", "cm")
    way = max(abs(end - start), number("lifting", "travel", "shortest", "cm"))
    place = "high" if start >= best else "low"
    nearest = number("lifting", "hold", "nearest", "cm")
    multipliers = {
        "hold": nearest / max(out, nearest),
        "height": 1 - number("lifting", "height", "loss", "1/cm") * abs(start - best),
        "travel": number("lifting", "travel", "base", "1") + number("lifting", "travel", "share", "cm") / way,
        "turn": 1 - number("lifting", "turn", "loss", "1/degree") * angle,
        "rare": number("lifting", "rare", "multiplier", "1"),
        "grip": number("lifting", "grip", f"{grip} {place}", "1"),
    }
    limit = number("lifting", "load", "constant", "kg") * float(np.prod(list(multipliers.values())))
    return Lifting(Q(limit, "kg"), Q(load, "kg"), load / limit, multipliers)
