"""Tanks and net pots from the side, as points to draw."""

from typing import Any

import numpy as np

from stilltank.units import Q

LINE = 17 / 72  # inches, one line of words beside a drawing
_HEIGHTS = 41


class Outline:
    """A tank from the side: at each height as wide as a square of the same area, so that all shapes can be drawn."""

    def __init__(self, tank: Any, unit: str):
        """``unit`` of all lengths, such as "cm"."""
        self.heights = np.linspace(0, tank.height.m_as(unit), _HEIGHTS)
        self.half = np.sqrt(tank.area(Q(self.heights, unit)).m_as(f"{unit}^2")) / 2

    def half_width(self, height: float) -> float:
        """From the middle to the wall at a height."""
        return float(np.interp(height, self.heights, self.half))

    def wall(self) -> tuple[Any, Any]:
        """Points down one wall, along the floor and up the other."""
        return np.r_[-self.half[::-1], self.half], np.r_[self.heights[::-1], self.heights]

    def below(self, level: float) -> Any:
        """Corners of what lies below a level."""
        wet = self.heights[self.heights < level]
        rows, wide = np.r_[wet, level], np.r_[self.half[: wet.size], self.half_width(level)]
        return np.c_[np.r_[-wide[::-1], wide], np.r_[rows[::-1], rows]]


def net_pot(middle: float, rim: float, top: float, depth: float) -> list[tuple[float, float]]:
    """Corners of a net pot that hangs from a lid; ``rim`` is half its width there."""
    low = top - depth
    return [(middle - rim, top), (middle + rim, top), (middle + rim * 0.7, low), (middle - rim * 0.7, low)]
