"""The shapes of tanks."""

from dataclasses import dataclass
from functools import cached_property
from typing import Any, ClassVar

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, Q, Unreadable, magnitude, one_value, takes, within, write

from .tank import Tank


@dataclass(frozen=True)
class Box(Tank):
    """A tank with upright walls.

    Parameters
    ----------
    length, width, height : quantities, inner sizes
    net_pot_depth, lid_area, empty_mass, name : see `Tank`

    Example
    -------
    >>> round(Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm")).capacity.magnitude, 6)
    60.0
    """

    called: ClassVar[str] = "box"
    length: Any
    width: Any
    height: Any

    def _area(self, level: Any) -> Any:
        return self.length.m_as("m") * self.width.m_as("m")


@dataclass(frozen=True)
class TaperedBox(Tank):
    """A rectangular tub whose walls lean; the corners may be rounded.

    Parameters
    ----------
    bottom_length, bottom_width, top_length, top_width, height : quantities, inner sizes
    corner_radius : quantity, optional; the same from floor to rim
    net_pot_depth, lid_area, empty_mass, name : see `Tank`

    Notes
    -----
    A floor wider than the opening is allowed, since such tanks exist; printing the tank says so.

    Example
    -------
    >>> tote = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(tote.capacity.magnitude, 3)
    63.573
    """

    called: ClassVar[str] = "tub"
    bottom_length: Any
    bottom_width: Any
    top_length: Any
    top_width: Any
    height: Any
    corner_radius: Any = None

    def _check_shape(self) -> None:
        smallest = min(self.bottom_length, self.bottom_width, self.top_length, self.top_width)
        if self.corner_radius is not None and 2 * self.corner_radius > smallest:
            raise OutOfRange(
                f"This {self.called}: corners of radius {write(self.corner_radius, digits=6)} do not fit a side of "
                f"{write(smallest, digits=6)}; "
                "a radius is at most half the shortest side."
            )

    @cached_property
    def _floats(self) -> tuple[float, ...]:
        radius = 0.0 if self.corner_radius is None else self.corner_radius.m_as("m")
        sides = (self.bottom_length, self.bottom_width, self.top_length, self.top_width)
        return (*(side.m_as("m") for side in sides), (4 - np.pi) * radius**2)

    def _area(self, level: Any) -> Any:
        length, width, top_length, top_width, corners = self._floats
        share = level / self._height
        return (length + (top_length - length) * share) * (width + (top_width - width) * share) - corners


@dataclass(frozen=True)
class Cylinder(Tank):
    """A round tank with upright walls.

    Parameters
    ----------
    diameter, height : quantities, inner sizes
    net_pot_depth, lid_area, empty_mass, name : see `Tank`

    Example
    -------
    >>> round(Cylinder(Q(16, "cm"), Q(20, "cm")).capacity.magnitude, 3)
    4.021
    """

    called: ClassVar[str] = "round tank"
    diameter: Any
    height: Any

    def _area(self, level: Any) -> Any:
        return np.pi / 4 * self.diameter.m_as("m") ** 2


@dataclass(frozen=True)
class TaperedCylinder(Tank):
    """A bucket.

    Parameters
    ----------
    bottom_diameter, top_diameter, height : quantities, inner sizes
    net_pot_depth, lid_area, empty_mass, name : see `Tank`

    Example
    -------
    >>> round(TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(36, "cm")).capacity.magnitude, 2)
    22.2
    """

    called: ClassVar[str] = "bucket"
    bottom_diameter: Any
    top_diameter: Any
    height: Any

    @cached_property
    def _floats(self) -> tuple[float, float]:
        return self.bottom_diameter.m_as("m"), self.top_diameter.m_as("m")

    def _area(self, level: Any) -> Any:
        bottom, top = self._floats
        return np.pi / 4 * (bottom + (top - bottom) * level / self._height) ** 2


@dataclass(frozen=True, eq=False)
class Measured(Tank):
    """A tank of any shape, known by pouring in water and reading the level.

    Parameters
    ----------
    levels : quantity array, rising; the last one is the rim
    volumes : quantity array, rising, as many; what the tank holds at each level
    net_pot_depth, lid_area, empty_mass, name : see `Tank`

    Raises
    ------
    Unreadable   fewer than two pairs, or not as many levels as volumes
    OutOfRange   values that do not rise (also: see `Tank`)

    Notes
    -----
    Between the readings runs a smooth curve that never turns back (monotone cubic, PCHIP). An empty tank is
    added as the first reading where it is not given.

    Example
    -------
    >>> jug = Measured(Q([5, 10, 20], "cm"), Q([4, 9, 20], "L"))
    >>> round(jug.volume(Q(10, "cm")).magnitude, 6)
    9.0
    """

    called: ClassVar[str] = "measured tank"
    levels: Any
    volumes: Any

    def __post_init__(self):
        levels = np.atleast_1d(magnitude(self.levels, "cm", "levels", "Measured"))
        volumes = np.atleast_1d(magnitude(self.volumes, "L", "volumes", "Measured"))
        if levels.shape != volumes.shape or levels.ndim != 1:
            raise Unreadable(
                f"This {self.called}: {levels.size} levels and {volumes.size} volumes. Each level needs its volume."
            )
        if levels[0] != 0 or volumes[0] != 0:
            levels, volumes = np.insert(levels, 0, 0.0), np.insert(volumes, 0, 0.0)
        if levels.size < 3:
            raise Unreadable(
                "This measured tank needs at least two readings above the floor, say at half and at the rim."
            )
        for what, values, unit in (("levels", levels, "cm"), ("volumes", volumes, "L")):
            step = np.flatnonzero(np.diff(values) <= 0)
            if step.size:
                first, then = (write(Q(values[step[0] + n], unit), digits=6) for n in (0, 1))
                raise OutOfRange(f"This {self.called}: the {what} must rise; after {first} comes {then}.")
        self._set("levels", Q(levels, "cm"))
        self._set("volumes", Q(volumes, "L"))
        self._set("height", self.levels[-1])
        self._check_length("height", "Measured")
        super().__post_init__()

    @cached_property
    def _curve(self) -> tuple[Any, Any]:
        from scipy.interpolate import PchipInterpolator

        curve = PchipInterpolator(self.levels.m_as("m"), self.volumes.m_as("m^3"))
        return curve, curve.derivative()

    @takes(level="m")
    def doubt(self, level: Any, reading: Any = None, jug: Any = None, jug_doubt: Any = None) -> Any:
        """Litres by which the volume may be wrong: through the reading now, the readings then, and the jugs.

        Parameters
        ----------
        level : quantity, one value or an array, 0 to the height
        reading : quantity; how far a reading may be off either way. 2 mm when left out
        jug : quantity; the volume poured at a time. 1 L when left out
        jug_doubt : quantity; how far each pouring may be off. 10 mL when left out

        Returns
        -------
        quantity in L, of the shape of ``level``

        Raises
        ------
        UnitNeeded   no length, no volume
        OutOfRange   level outside the tank, a doubt that is not above zero, a jug larger than the tank

        Example
        -------
        >>> tub = Measured(Q([10, 20], "cm"), Q([20, 40], "L"))
        >>> round(tub.doubt(Q(20, "cm")).m_as("L"), 3)  # twice 0.4 L from readings, 63 mL from 40 jugs
        0.569

        Limits: chance errors only, added as squares; a jug whose mark is wrong is wrong each time, and then the
        doubt is the jug's share of the whole. Between two readings the doubt is a little smaller than said here.
        """
        inside = self._inside(level)
        size, slip = (
            number("measuring", "jug", name, "m^3")
            if given is None
            else one_value(given, "m^3", label, "doubt")
            for name, given, label in (("size", jug, "jug"), ("pouring doubt", jug_doubt, "jug_doubt"))
        )
        held = 1000 * self._capacity
        within(
            1000 * size, 1e-6, held, f"doubt: a jug of {{value:g}} L for a tank of {write(self.capacity)}."
        )
        within(
            1000 * slip,
            1e-9,
            1000 * size,
            f"doubt: a pouring off by {{value:g}} L with a jug of {write(Q(size, 'm^3').to('L'))}.",
        )
        lengths = np.sqrt(2) * self._area(inside) * self._reading(reading)
        pourings = self._volume(inside) / size
        return Q(1000 * np.sqrt(lengths**2 + slip**2 * pourings) + 0 * level, "L")

    def _volume(self, level: Any) -> Any:
        return self._curve[0](level)[()]

    def _area(self, level: Any) -> Any:
        return self._curve[1](level)[()]
