"""The marks of a dipstick: the level of each whole litre, or the litres of each centimetre."""

from dataclasses import dataclass

import numpy as np

from stilltank.units import OutOfRange, Q, UnitNeeded, one_value, said, takes, write
from stilltank.units.types import Quantity

from .tank import Tank

_MOST = 2000  # marks; more is a slip of the step, and no stick could show them


@dataclass(frozen=True, eq=False)
class Dipstick:
    """Marks from the floor of a tank upwards.

    Parameters
    ----------
    tank : Tank
        The tank in which the stick stands.
    step : Quantity
        Volume or length between two marks, as it was given.
    levels : Quantity
        Where each mark is, in cm, [marks].
    volumes : Quantity
        What the tank holds there, [marks], in the unit of the step; in L where the step is a length.

    See Also
    --------
    dipstick : Works out the marks.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> print(dipstick(preset("jar-4"), Q(1, "L")))
    4 marks at 4.97 cm to 19.9 cm, one for each 1 L of volume
    """

    tank: Tank
    step: Quantity
    levels: Quantity
    volumes: Quantity

    @property
    def by_volume(self) -> bool:
        """Whether the marks stand at equal steps of volume rather than of height.

        Examples
        --------
        >>> from stilltank.science.tank import preset
        >>> dipstick(preset("jar-4"), Q(1, "cm")).by_volume
        False
        """
        return bool(self.step.check("[volume]"))

    def __str__(self) -> str:
        ends = f"{write(self.levels[0])} to {write(self.levels[-1])}"
        what = "volume" if self.by_volume else "height"
        return f"{len(self.levels.magnitude)} marks at {ends}, one for each {write(self.step)} of {what}"


@takes(tank=Tank)
def dipstick(tank: Tank, step: Quantity | None = None, start: Quantity | None = None) -> Dipstick:
    """Work out the marks of a stick that stands upright on the floor of a tank.

    Parameters
    ----------
    tank : Tank
        Of any shape, with or without contents.
    step : Quantity, optional
        A volume, for a mark at each, or a length, for the litres at each; 1 L when left out.
    start : Quantity, optional
        The first mark, of the kind of ``step``; ``step`` itself when left out.

    Returns
    -------
    Dipstick
        Levels and volumes of the marks.

    Raises
    ------
    UnitNeeded
        The step is neither a volume nor a length, or the start is of another kind.
    OutOfRange
        The step is nothing or larger than the tank, the start lies above the rim, or there are far too many marks.
    Unreadable
        There is no tank.

    Notes
    -----
    The stick is thin; a thick one lifts the level. On a leaning wall the marks would lie farther apart.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> stick = dipstick(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")), Q(24, "L"))
    >>> stick.levels.magnitude.round(6).tolist()
    [10.0, 20.0, 30.0]
    """
    step = Q(1, "L") if step is None else step
    if not isinstance(step, Quantity) or not (step.check("[volume]") or step.check("[length]")):
        given = said(step) if isinstance(step, Quantity) else repr(step)
        raise UnitNeeded(
            f'dipstick: a step is a volume such as Q(1, "L") or a length such as Q(1, "cm"); you gave {given}.'
        )
    by_volume = step.check("[volume]")
    unit = f"{step.units:D}"
    size = one_value(step, unit, "step", "dipstick")
    top = float((tank.capacity if by_volume else tank.height).m_as(unit))
    first = size if start is None else one_value(start, unit, "start", "dipstick")
    full = said(Q(top, unit))
    if not 0 < size <= top:
        raise OutOfRange(
            f"dipstick: a step of {said(step)}; write more than nothing and at most {full}, which is the whole tank."
        )
    if not 0 <= first <= top:
        raise OutOfRange(
            f"dipstick: a first mark at {said(Q(first, unit))}; this tank goes from 0 to {full}."
        )
    count = int(np.floor((top - first) / size * (1 + 1e-12) + 1e-9)) + 1
    if count > _MOST:
        raise OutOfRange(
            f"dipstick: steps of {said(step)} make {count} marks up to {full}; take larger steps."
        )
    marks = np.minimum(first + size * np.arange(count), top)
    if by_volume:
        return Dipstick(tank, step, tank.level(Q(marks, unit)), Q(marks, unit))
    levels = Q(marks, unit)
    return Dipstick(tank, step, levels.to("cm"), tank.volume(levels))
