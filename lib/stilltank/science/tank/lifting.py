"""How heavy is too heavy: the published lifting equation, for deciding not to carry a full tank."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import Problem, Q, one_value, takes, within, write

from .tank import plain_degrees

_CAUTION = (
    "A liquid moves while it is carried, and the method leaves out loads that shift, so the true limit is lower; it "
    "was made for adults. Put the tank in place first, fill it there, and siphon it out."
)
_GRIPS = ("good", "fair", "poor")


@dataclass(frozen=True, eq=False)
class Lifting:
    """What one adult may lift in this way.

    Attributes
    ----------
    limit : quantity in kg, the recommended weight limit
    load : quantity in kg; index : load over limit, a plain number; above 1 the risk to the back grows
    multipliers : dict of the share that each circumstance leaves
    caution : str
    """

    limit: Any
    load: Any
    index: Any
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


@takes(load="kg")
def lifting_index(
    load: Any,
    hold: Any = None,
    from_height: Any = None,
    to_height: Any = None,
    turn: Any = None,
    grip: str = "fair",
) -> Lifting:
    """Recommended weight limit and lifting index of one careful, rare lift with two hands.

    Parameters
    ----------
    load : quantity, mass, one value or an array; such as `Tank.weight`
    hold : quantity, from the middle between the ankles out to the hands; 40 cm when left out, for a wide tub
    from_height, to_height : quantities, of the hands above the ground; from 20 to 75 cm, floor to bench, when left out
    turn : quantity, angle by which the body turns; none when left out
    grip : "good" (handles), "fair" (a rim) or "poor" (a soft or slippery tub)

    Returns
    -------
    Lifting

    Raises
    ------
    UnitNeeded   a size without a unit
    OutOfRange   a lift the method does not know: hands too far out, too high, turned too much
    Problem      another word for ``grip``

    Example
    -------
    >>> found = lifting_index(Q(20, "kg"))
    >>> round(found.limit.m_as("kg"), 1), round(found.index, 2)
    (10.3, 1.94)

    Limits: at most one lift in five minutes, within an hour, on firm ground, by healthy adults. Loads that shift,
    such as an open tank, are outside the method: take the answer as an upper bound. School and local rules win.

    Source: NIOSH Publication 94-110, the revised lifting equation; its tables were read in a copy, the factors of
    the grip are from memory.
    """
    within(load, 0, 1e5, "lifting_index: a load of {value:g} kg is not possible; write 0 or more.")
    if not isinstance(grip, str) or grip not in _GRIPS:
        raise Problem(f'lifting_index: the grip is "good", "fair" or "poor"; {grip!r} is none of them.')
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
        f"lifting_index: hands {{value:g}} cm out cannot lift anything safely; the method ends at {farthest:g} cm.",
    )
    for height in (start, end):
        within(
            height,
            0,
            highest,
            f"lifting_index: hands at {{value:g}} cm; the method holds from the ground to {highest:g} cm.",
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
