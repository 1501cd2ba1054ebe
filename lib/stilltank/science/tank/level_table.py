"""Level and volume of one tank by table, for calculations that ask for them thousands of times."""

import numpy as np

from stilltank.units import instance_of
from stilltank.units.types import Plain

from .tank import Tank

_STEPS = 4000  # a straight line between two is off by less than a millionth of a litre


class LevelTable:
    """Level and volume of one tank by table, many times faster than solving for each.

    Parameters
    ----------
    tank : Tank
        Of any shape, with or without contents.

    Attributes
    ----------
    heights : array
        Levels of the table, in m.
    litres : array
        Volumes at these levels, in L.

    Raises
    ------
    Unreadable
        There is no tank.

    Notes
    -----
    Plain numbers in and out, for use between rooms of science. It is off by less than a millionth of a litre.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> from stilltank.units import Q
    >>> table = LevelTable(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")))
    >>> round(float(table.level(24)), 9), round(float(table.volume(0.2)), 9)
    (0.1, 48.0)
    """

    def __init__(self, tank: Tank):
        instance_of(tank, Tank, "tank", "LevelTable")
        self.heights = np.linspace(0, tank.plain.height, _STEPS + 1)
        self.litres = 1000 * np.asarray(tank.plain.volume(self.heights))

    def level(self, volume: Plain) -> Plain:
        """Level of a volume.

        Parameters
        ----------
        volume : float or array
            In L.

        Returns
        -------
        float or array
            Above the floor, in m; that of the rim for more than the tank holds.

        Examples
        --------
        >>> from stilltank.science.tank import preset
        >>> round(float(LevelTable(preset("quillgate-tub")).level(0)), 9)
        0.0
        """
        return np.interp(volume, self.litres, self.heights)

    def volume(self, level: Plain) -> Plain:
        """Volume at a level.

        Parameters
        ----------
        level : float or array
            Above the floor, in m.

        Returns
        -------
        float or array
            In L; that of the rim above it.

        Examples
        --------
        >>> from stilltank.science.tank import preset
        >>> round(float(LevelTable(preset("quillgate-tub")).volume(9)))
        45
        """
        return np.interp(level, self.heights, self.litres)
