"""Tanks and net pots from the side, as points to draw."""

import numpy as np

from stilltank.science.tank import Tank
from stilltank.units import Q
from stilltank.units.types import Array

LINE = 17 / 72  # inches, one line of words beside a drawing
_HEIGHTS = 41


class Outline:
    """A tank from the side: at each height as wide as a square of the same area, so that all shapes can be drawn.

    Parameters
    ----------
    tank : Tank
        Of any shape.
    unit : str
        The unit of all lengths, such as "cm".

    Attributes
    ----------
    heights : ndarray
        Heights above the floor, from the floor to the rim.
    half : ndarray
        Half the width at each of them.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> outline = Outline(Box(Q(90, "cm"), Q(40, "cm"), Q(30, "cm")), "cm")
    >>> round(outline.half_width(15), 6)
    30.0
    """

    def __init__(self, tank: Tank, unit: str):
        self.heights = np.linspace(0, tank.height.m_as(unit), _HEIGHTS)
        self.half = np.sqrt(tank.area(Q(self.heights, unit)).m_as(f"{unit}^2")) / 2

    def half_width(self, height: float) -> float:
        """Find the distance from the middle to the wall at a height.

        Parameters
        ----------
        height : float
            Above the floor.

        Returns
        -------
        float
            Half the width there.
        """
        return float(np.interp(height, self.heights, self.half))

    def wall(self) -> tuple[Array, Array]:
        """Trace the tank down one wall, along the floor and up the other.

        Returns
        -------
        tuple of ndarray
            Places from the middle, and heights above the floor.
        """
        return np.r_[-self.half[::-1], self.half], np.r_[self.heights[::-1], self.heights]

    def below(self, level: float) -> Array:
        """Find the corners of the part below a level.

        Parameters
        ----------
        level : float
            Above the floor.

        Returns
        -------
        ndarray
            One row for each corner: place from the middle, height above the floor.
        """
        wet = self.heights[self.heights < level]
        rows, wide = np.r_[wet, level], np.r_[self.half[: wet.size], self.half_width(level)]
        return np.c_[np.r_[-wide[::-1], wide], np.r_[rows[::-1], rows]]


def net_pot(middle: float, rim: float, top: float, depth: float) -> list[tuple[float, float]]:
    """Find the corners of a net pot that hangs from a lid.

    Parameters
    ----------
    middle : float
        Where the middle of the pot is, along the lid.
    rim : float
        Half its width at the lid.
    top : float
        The height of the lid.
    depth : float
        How far the pot hangs down.

    Returns
    -------
    list of tuple of float
        Four corners, each a place along the lid and a height.

    Examples
    --------
    >>> net_pot(0.0, 10.0, 30.0, 7.0)
    [(-10.0, 30.0), (10.0, 30.0), (7.0, 23.0), (-7.0, 23.0)]
    """
    low = top - depth
    return [(middle - rim, top), (middle + rim, top), (middle + rim * 0.7, low), (middle - rim * 0.7, low)]
