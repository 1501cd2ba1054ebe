"""The shapes of tanks."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, Q, Unreadable, magnitude, said, speaking_of, takes, within
from stilltank.units.types import Quantity

from .tank import Tank


@dataclass(frozen=True)
class Box(Tank):
    """A tank with upright walls.

    Parameters
    ----------
    length, width, height : Quantity
        Inner sizes; lengths.
    net_pot_depth, lid_area, empty_mass : Quantity, optional
        See `Tank`.
    name : str, optional
        See `Tank`.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size is negative or far from any tank's; see `Tank`.

    Examples
    --------
    >>> round(Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm")).capacity.magnitude, 6)
    60.0
    """

    called: ClassVar[str] = "box"
    length: Quantity
    width: Quantity
    height: Quantity

    def _area(self, level: Any) -> Any:
        return self.length.m_as("m") * self.width.m_as("m")


@dataclass(frozen=True)
class TaperedBox(Tank):
    """A rectangular tub whose walls lean; the corners may be rounded.

    Parameters
    ----------
    bottom_length, bottom_width, top_length, top_width, height : Quantity
        Inner sizes; lengths.
    corner_radius : Quantity, optional
        Of the rounded corners, the same from floor to rim; none when left out.
    net_pot_depth, lid_area, empty_mass : Quantity, optional
        See `Tank`.
    name : str, optional
        See `Tank`.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size is negative or far from any tank's; see `Tank`.

    Notes
    -----
    A floor wider than the opening is allowed, since such tanks exist; printing the tank says so.

    Examples
    --------
    >>> tote = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(tote.capacity.magnitude, 3)
    63.573
    """

    called: ClassVar[str] = "tub"
    bottom_length: Quantity
    bottom_width: Quantity
    top_length: Quantity
    top_width: Quantity
    height: Quantity
    corner_radius: Quantity | None = None

    def _check_shape(self) -> None:
        smallest = min(self.bottom_length, self.bottom_width, self.top_length, self.top_width)
        if self.corner_radius is not None and 2 * self.corner_radius > smallest:
            raise OutOfRange(
                f"This {self.called}: corners of radius {said(self.corner_radius, 6)} do not fit a side of "
                f"{said(smallest, 6)}; a radius is at most half the shortest side."
            )

    @cached_property
    def _floats(self) -> tuple[float, ...]:
        radius = 0.0 if self.corner_radius is None else self.corner_radius.m_as("m")
        sides = (self.bottom_length, self.bottom_width, self.top_length, self.top_width)
        return (*(side.m_as("m") for side in sides), (4 - np.pi) * radius**2)

    def _area(self, level: Any) -> Any:
        length, width, top_length, top_width, corners = self._floats
        share = level / self.plain.height
        return (length + (top_length - length) * share) * (width + (top_width - width) * share) - corners


@dataclass(frozen=True)
class Cylinder(Tank):
    """A round tank with upright walls.

    Parameters
    ----------
    diameter, height : Quantity
        Inner sizes; lengths.
    net_pot_depth, lid_area, empty_mass : Quantity, optional
        See `Tank`.
    name : str, optional
        See `Tank`.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size is negative or far from any tank's; see `Tank`.

    Examples
    --------
    >>> round(Cylinder(Q(16, "cm"), Q(20, "cm")).capacity.magnitude, 3)
    4.021
    """

    called: ClassVar[str] = "round tank"
    diameter: Quantity
    height: Quantity

    def _area(self, level: Any) -> Any:
        return np.pi / 4 * self.diameter.m_as("m") ** 2


@dataclass(frozen=True)
class TaperedCylinder(Tank):
    """A bucket.

    Parameters
    ----------
    bottom_diameter, top_diameter, height : Quantity
        Inner sizes; lengths.
    net_pot_depth, lid_area, empty_mass : Quantity, optional
        See `Tank`.
    name : str, optional
        See `Tank`.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size is negative or far from any tank's; see `Tank`.

    Examples
    --------
    >>> round(TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(36, "cm")).capacity.magnitude, 2)
    22.2
    """

    called: ClassVar[str] = "bucket"
    bottom_diameter: Quantity
    top_diameter: Quantity
    height: Quantity

    @cached_property
    def _floats(self) -> tuple[float, float]:
        return self.bottom_diameter.m_as("m"), self.top_diameter.m_as("m")

    def _area(self, level: Any) -> Any:
        bottom, top = self._floats
        return np.pi / 4 * (bottom + (top - bottom) * level / self.plain.height) ** 2


@dataclass(frozen=True, eq=False)
class Measured(Tank):
    """A tank of any shape, known by pouring in water and reading the level.

    Parameters
    ----------
    levels : Quantity
        Lengths above the floor, [readings], rising; the last one is the rim.
    volumes : Quantity
        What the tank holds at each level, [readings], rising.
    net_pot_depth, lid_area, empty_mass : Quantity, optional
        See `Tank`.
    name : str, optional
        See `Tank`.

    Raises
    ------
    UnitNeeded
        The levels are no lengths, or the volumes no volumes.
    Unreadable
        There are fewer than two readings, or not as many levels as volumes.
    OutOfRange
        The readings do not rise; see also `Tank`.

    Notes
    -----
    Between the readings runs a smooth curve that never turns back (monotone cubic, PCHIP). An empty tank is
    added as the first reading where it is not given. The opening at the rim is the slope of the curve there; where a
    tub narrows so much that PCHIP would close it, it is that of the last two readings.

    Examples
    --------
    >>> jug = Measured(Q([5, 10, 20], "cm"), Q([4, 9, 20], "L"))
    >>> round(jug.volume(Q(10, "cm")).magnitude, 6)
    9.0
    """

    called: ClassVar[str] = "measured tank"
    levels: Quantity
    volumes: Quantity

    def __post_init__(self) -> None:
        with speaking_of(*self._given()):
            levels, volumes = self._readings()
            self._set("levels", Q(levels, "cm"))
            self._set("volumes", Q(volumes, "L"))
            self._set("height", Q(float(levels[-1]), "cm"))
            self._check_length("height", "Measured")
            super().__post_init__()

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Measured):
            return NotImplemented
        same = [
            np.array_equal(mine.m, theirs.m)
            for mine, theirs in ((self.levels, other.levels), (self.volumes, other.volumes))
        ]
        return all(same) and super().__eq__(other)

    __hash__ = Tank.__hash__

    def _readings(self) -> tuple[Any, Any]:
        levels = np.atleast_1d(magnitude(self.levels, "cm", "levels", "Measured"))
        volumes = np.atleast_1d(magnitude(self.volumes, "L", "volumes", "Measured"))
        if levels.shape != volumes.shape or levels.ndim != 1:
            raise Unreadable(
                f"This {self.called}: {levels.size} levels and {volumes.size} volumes. Each level needs its volume."
            )
        if not levels.size or levels[0] != 0 or volumes[0] != 0:
            levels, volumes = np.insert(levels, 0, 0.0), np.insert(volumes, 0, 0.0)
        if levels.size < 3:
            raise Unreadable(
                "This measured tank needs at least two readings above the floor, say at half and at the rim."
            )
        for what, values, unit in (("levels", levels, "cm"), ("volumes", volumes, "L")):
            step = np.flatnonzero(np.diff(values) <= 0)
            if step.size:
                first, then = (said(Q(values[step[0] + n], unit), 6) for n in (0, 1))
                raise OutOfRange(f"This {self.called}: the {what} must rise; after {first} comes {then}.")
        return levels, volumes

    @cached_property
    def _curve(self) -> tuple[Any, Any]:
        from scipy.interpolate import CubicHermiteSpline, PchipInterpolator

        levels, volumes = self.levels.m_as("m"), self.volumes.m_as("m^3")
        curve = PchipInterpolator(levels, volumes)
        slopes = curve.derivative()(levels)
        if slopes[-1] <= 0:  # where a tub narrows, the rule for the end gives an opening of nothing
            slopes[-1] = (volumes[-1] - volumes[-2]) / (levels[-1] - levels[-2])
            curve = CubicHermiteSpline(levels, volumes, slopes)
        return curve, curve.derivative()

    @takes(level="m", reading="m", jug="L", jug_uncertainty="L", returns="L")
    def uncertainty(
        self,
        level: Quantity,
        reading: Quantity | None = None,
        jug: Quantity | None = None,
        jug_uncertainty: Quantity | None = None,
    ) -> Quantity:
        """Litres by which the volume may be wrong: through the reading now, the readings then, and the jugs.

        Parameters
        ----------
        level : Quantity
            Length, 0 to the height; one value or an array.
        reading : Quantity, optional
            Length by which a reading may be off either way; 2 mm when left out.
        jug : Quantity, optional
            Volume poured at a time; 1 L when left out.
        jug_uncertainty : Quantity, optional
            Volume by which each pouring may be off; 10 mL when left out.

        Returns
        -------
        Quantity
            In L, of the shape of ``level``.

        Raises
        ------
        UnitNeeded
            The level or the reading is no length, or the jug is no volume.
        OutOfRange
            The level lies outside the tank, an error is not above zero, or the jug is larger than the tank.

        Notes
        -----
        Chance errors only, added as squares. A jug whose mark is wrong is wrong each time, and then the volume is
        off by the same share. Between two readings the uncertainty is a little smaller than this.

        Examples
        --------
        >>> tub = Measured(Q([10, 20], "cm"), Q([20, 40], "L"))
        >>> round(tub.uncertainty(Q(20, "cm")).m_as("L"), 3)  # twice 0.4 L from readings, 63 mL from 40 jugs
        0.569
        """
        inside = self._inside(level)
        size = number("measuring", "jug", "size", "L") if jug is None else jug
        slip = (
            number("measuring", "jug", "pouring doubt", "L") if jug_uncertainty is None else jug_uncertainty
        )
        held = 1000 * self.plain.capacity
        within(size, 1e-6, held, "uncertainty: a jug of {value} for a tank of {high}.", "L")
        most = float(np.min(size))
        within(slip, 1e-9, most, "uncertainty: a pouring off by {value} with a jug of {high}.", "L")
        lengths = 1000 * np.sqrt(2) * self._area(inside) * self._reading(reading)
        pourings = 1000 * self._volume(inside) / size
        return np.sqrt(lengths**2 + slip**2 * pourings) + 0 * level

    def _volume(self, level: Any) -> Any:
        return self._curve[0](level)[()]

    def _area(self, level: Any) -> Any:
        return np.maximum(self._curve[1](level), 0.0)[()]  # rounding
