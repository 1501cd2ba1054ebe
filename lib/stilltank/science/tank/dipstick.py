"""The marks of a dipstick: the level of each whole litre, or the litres of each centimetre."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import OutOfRange, Problem, Q, Quantity, UnitNeeded, one_value, write

from .tank import Tank

_MOST = 2000  # marks; more is a slip of the step, and no stick could show them


@dataclass(frozen=True, eq=False)
class Dipstick:
    """Marks from the floor of the tank upwards.

    Attributes
    ----------
    tank : Tank
    step : quantity, a volume or a length, as it was given
    levels : quantity array in cm, where each mark is
    volumes : quantity array in the unit of the step (L where the step is a length), what the tank holds there
    """

    tank: Tank
    step: Any
    levels: Any
    volumes: Any

    @property
    def by_volume(self) -> bool:
        """Whether the marks stand at equal steps of volume rather than of height."""
        return bool(self.step.check("[volume]"))

    def __str__(self) -> str:
        ends = f"{write(self.levels[0])} to {write(self.levels[-1])}"
        what = "volume" if self.by_volume else "height"
        return f"{len(self.levels.magnitude)} marks at {ends}, one for each {write(self.step)} of {what}"


def dipstick(tank: Tank, step: Any = None, start: Any = None) -> Dipstick:
    """Marks for a stick that stands upright on the floor of the tank.

    Parameters
    ----------
    tank : Tank of any shape, with or without contents
    step : quantity, a volume (a mark for each) or a length (the litres at each); 1 L when left out
    start : quantity of the kind of ``step``, the first mark; ``step`` itself when left out

    Returns
    -------
    Dipstick

    Raises
    ------
    UnitNeeded   a step that is neither a volume nor a length, a start of another kind
    OutOfRange   a step of nothing, or larger than the tank, a start above the rim, far too many marks
    Problem      no tank

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> stick = dipstick(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")), Q(24, "L"))
    >>> stick.levels.magnitude.round(6).tolist()
    [10.0, 20.0, 30.0]

    Limits: the stick is thin; a thick one lifts the level. On a leaning wall marks would lie farther apart.
    """
    if not isinstance(tank, Tank):
        raise Problem(
            f"dipstick needs a tank, such as preset('quillgate-tub') or Box(...); you gave {tank!r}."
        )
    step = Q(1, "L") if step is None else step
    if not isinstance(step, Quantity) or not (step.check("[volume]") or step.check("[length]")):
        given = write(step) if isinstance(step, Quantity) else repr(step)
        raise UnitNeeded(
            f'dipstick: a step is a volume such as Q(1, "L") or a length such as Q(1, "cm"); you gave {given}.'
        )
    by_volume = step.check("[volume]")
    unit = f"{step.units:D}"
    size = one_value(step, unit, "step", "dipstick")
    top = float((tank.capacity if by_volume else tank.height).m_as(unit))
    first = size if start is None else one_value(start, unit, "start", "dipstick")
    full = write(Q(top, unit))
    if not 0 < size <= top:
        raise OutOfRange(
            f"dipstick: a step of {write(step)}; write more than nothing and at most {full}, which is the whole tank."
        )
    if not 0 <= first <= top:
        raise OutOfRange(
            f"dipstick: a first mark at {write(Q(first, unit))}; this tank goes from 0 to {full}."
        )
    count = int(np.floor((top - first) / size * (1 + 1e-12) + 1e-9)) + 1
    if count > _MOST:
        raise OutOfRange(
            f"dipstick: steps of {write(step)} make {count} marks up to {full}; take larger steps."
        )
    marks = np.minimum(first + size * np.arange(count), top)
    if by_volume:
        return Dipstick(tank, step, tank.level(Q(marks, unit)), Q(marks, unit))
    levels = Q(marks, unit)
    return Dipstick(tank, step, levels.to("cm"), tank.volume(levels))
