"""What stands or hangs in the solution and takes its place: net pots, bricks, roots."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Any, ClassVar

import numpy as np

from stilltank.tables import number
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    one_value,
    pure_number,
    said,
    speaking_of,
    whole_number,
    within,
    write,
)
from stilltank.units.types import Quantity

from .tank import Tank


@dataclass(frozen=True)
class Pots:
    """Net pots that hang from the rim into the solution.

    Parameters
    ----------
    count : int
        How many there are, 1 to 1000.
    top_diameter, bottom_diameter, depth : Quantity
        Outer sizes of one; the depth is measured from the rim down.
    solid_share : float, optional
        Share of the pot's room that keeps solution out, above 0 and up to 1: pebbles much, wool little. From
        data/measuring.csv when left out.
    mass : Quantity, optional
        Of one filled pot; left out of the weight when not given.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size does not fit a tank, the share lies outside 0 to 1, or the count is not whole.
    Unreadable
        The share is no plain number.

    See Also
    --------
    with_contents : A tank with such pots in it.

    Examples
    --------
    >>> pots = Pots(6, Q(5, "cm"), Q(4, "cm"), Q(7, "cm"), solid_share=0.5)
    >>> print(pots)
    6 net pots, 7 cm deep, 335 mL in all
    """

    count: int
    top_diameter: Quantity
    bottom_diameter: Quantity
    depth: Quantity
    solid_share: float = None  # type: ignore[assignment]  # the table fills it in
    mass: Quantity | None = None

    def __post_init__(self) -> None:
        with _keeping(self):
            _whole(self, "net pots")
            for name in ("top_diameter", "bottom_diameter", "depth"):
                _size(self, name, "cm", "m", "net pot")
            share = (
                number("measuring", "net pot", "solid share", "1")
                if self.solid_share is None
                else self.solid_share
            )
            share = pure_number(share, 0.5, "solid_share", "Pots")
            if np.ndim(share):
                raise Problem(f"Pots takes one solid_share; you gave {np.size(share)}.")
            within(share, 1e-3, 1, "Pots: solid_share lies above 0 and up to 1; {value:g} does not.")
            object.__setattr__(self, "solid_share", share)
            _mass(self, "net pot")

    def _below(self, level: Any, rim: float) -> Any:
        bottom, top, depth = (q.m_as("m") for q in (self.bottom_diameter, self.top_diameter, self.depth))
        wet = np.clip(level - (rim - depth), 0, depth)
        wide = bottom + (top - bottom) * wet / depth
        return self.count * self.solid_share * np.pi / 12 * wet * (bottom**2 + bottom * wide + wide**2)

    def _section(self, level: Any, rim: float) -> Any:
        bottom, top, depth = (q.m_as("m") for q in (self.bottom_diameter, self.top_diameter, self.depth))
        wet = level - (rim - depth)
        wide = bottom + (top - bottom) * wet / depth
        return np.where(wet >= 0, self.count * self.solid_share * np.pi / 4 * wide**2, 0.0)

    def _edges(self, rim: float) -> tuple[float, ...]:
        return (rim - self.depth.m_as("m"),)

    def _check_fit(self, rim: float, called: str) -> None:
        if self.depth.m_as("m") >= rim:
            raise OutOfRange(
                f"This {called}: net pots {said(self.depth)} deep do not fit a height of {said(Q(rim, 'm'))}."
            )

    @property
    def _kilograms(self) -> float:
        return 0.0 if self.mass is None else self.count * self.mass.m_as("kg")

    def __str__(self) -> str:
        rim = self.depth.m_as("m")
        volume = write(Q(float(self._below(rim, rim)), "m^3").to("L"))
        return f"{self.count} net pots, {write(self.depth)} deep, {volume} in all"


@dataclass(frozen=True)
class Bricks:
    """Solid things with upright sides that stand on the floor.

    Parameters
    ----------
    count : int
        How many there are, 1 to 1000.
    volume, height : Quantity
        Of one.
    mass : Quantity, optional
        Of one; from a usual density in data/measuring.csv when left out.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size does not fit a tank, or the count is not whole.

    See Also
    --------
    with_contents : A tank with such bricks in it.

    Examples
    --------
    >>> print(Bricks(2, Q(2, "L"), Q(7, "cm")))
    2 bricks, 7 cm high, 4 L in all
    """

    count: int
    volume: Quantity
    height: Quantity
    mass: Quantity | None = None

    def __post_init__(self) -> None:
        with _keeping(self):
            _whole(self, "bricks")
            _size(self, "volume", "L", "m^3", "brick")
            _size(self, "height", "cm", "m", "brick")
            _mass(self, "brick")

    def _below(self, level: Any, rim: float) -> Any:
        return self.count * self.volume.m_as("m^3") * np.clip(level / self.height.m_as("m"), 0, 1)

    def _section(self, level: Any, rim: float) -> Any:
        tall = self.height.m_as("m")
        return np.where(level <= tall, self.count * self.volume.m_as("m^3") / tall, 0.0)

    def _edges(self, rim: float) -> tuple[float, ...]:
        return (self.height.m_as("m"),)

    def _check_fit(self, rim: float, called: str) -> None:
        if self.height.m_as("m") > rim:
            raise OutOfRange(
                f"This {called}: a brick {said(self.height)} high does not fit a height of {said(Q(rim, 'm'))}."
            )

    @property
    def _kilograms(self) -> float:
        if self.mass is None:
            return self.count * self.volume.m_as("m^3") * number("measuring", "brick", "density", "kg/m^3")
        return self.count * self.mass.m_as("kg")

    def __str__(self) -> str:
        word = "brick" if self.count == 1 else "bricks"
        return f"{self.count} {word}, {write(self.height)} high, {write(self.count * self.volume)} in all"


@dataclass(frozen=True)
class Roots:
    """Roots, spread evenly from the floor up to a height.

    Parameters
    ----------
    volume : Quantity
        Fresh volume of all roots together; a gram of fresh root is taken as a millilitre.
    top : Quantity, optional
        Height above the floor up to which they reach; the rim when left out.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size does not fit a tank.

    See Also
    --------
    with_contents : A tank with such roots in it.

    Examples
    --------
    >>> print(Roots(Q(600, "mL"), Q(20, "cm")))
    600 mL of roots
    """

    volume: Quantity
    top: Quantity | None = None

    def __post_init__(self) -> None:
        with _keeping(self):
            _size(self, "volume", "L", "m^3", "root mass")
            if self.top is not None:
                _size(self, "top", "cm", "m", "root mass")

    def _reach(self, rim: float) -> float:
        return rim if self.top is None else float(self.top.m_as("m"))

    def _below(self, level: Any, rim: float) -> Any:
        return self.volume.m_as("m^3") * np.clip(level / self._reach(rim), 0, 1)

    def _section(self, level: Any, rim: float) -> Any:
        reach = self._reach(rim)
        return np.where(level <= reach, self.volume.m_as("m^3") / reach, 0.0)

    def _edges(self, rim: float) -> tuple[float, ...]:
        return (self._reach(rim),)

    def _check_fit(self, rim: float, called: str) -> None:
        if self._reach(rim) > rim:
            top = said(Q(self._reach(rim), "m"))
            raise OutOfRange(f"This {called}: roots up to {top} do not fit a height of {said(Q(rim, 'm'))}.")

    @property
    def _kilograms(self) -> float:
        return 1000 * float(self.volume.m_as("m^3"))

    def __str__(self) -> str:
        return f"{write(self.volume)} of roots"


@dataclass(frozen=True)
class TankWithContents(Tank):
    """A tank with things in its solution: at the same level it holds less.

    Parameters
    ----------
    tank : Tank
        The tank itself.
    pots : Pots or sequence of Pots, optional
        What hangs from the rim.
    bricks : Bricks or sequence of Bricks, optional
        What stands on the floor.
    roots : Roots or sequence of Roots, optional
        Roots as they are on one day; they grow.
    net_pot_depth, lid_area, empty_mass : Quantity, optional
        See `Tank`; those of ``tank`` when left out. Without a ``net_pot_depth`` the deepest of the pots gives it.
    name : str, optional
        See `Tank`; that of ``tank`` when left out.

    Raises
    ------
    Problem
        There is no tank, or the contents are of another kind.
    OutOfRange
        The contents do not fit the height, or leave no room for solution somewhere.

    See Also
    --------
    with_contents : The usual way to make one.

    Notes
    -----
    ``volume`` is the solution alone; ``weight`` counts the contents too. Lifting a brick out lowers the level,
    and the solution stays. Roots grow: they are given for one day, not for a season.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = TankWithContents(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")), bricks=Bricks(2, Q(2, "L"), Q(7, "cm")))
    >>> round(tub.level(Q(20, "L")).m_as("cm"), 6)
    10.0
    """

    called: ClassVar[str] = "tank with contents"
    tank: Tank
    pots: Pots | Sequence[Pots] | None = None
    bricks: Bricks | Sequence[Bricks] | None = None
    roots: Roots | Sequence[Roots] | None = None

    def __post_init__(self) -> None:
        if not isinstance(self.tank, Tank):
            raise Problem(
                f"TankWithContents needs a tank, such as preset('quillgate-tub') or Box(...); you gave {self.tank!r}."
            )
        pots = _several(self.pots, Pots, "pots")
        self._set("pots", pots)
        self._set("bricks", _several(self.bricks, Bricks, "bricks"))
        self._set("roots", _several(self.roots, Roots, "roots"))
        self._set("height", self.tank.height)
        for name in ("net_pot_depth", "lid_area", "empty_mass"):
            if getattr(self, name) is None:
                self._set(name, getattr(self.tank, name))
        if isinstance(self.name, str) and not self.name:
            self._set("name", self.tank.name)
        if self.net_pot_depth is None and pots:
            self._set("net_pot_depth", max(pot.depth for pot in pots))
        with speaking_of(*(size for thing in self._things for size in thing._given), *self._given()):
            for thing in self._things:
                thing._check_fit(self.plain.height, self.tank.called)
            self._check_room()
            super().__post_init__()

    @cached_property
    def _things(self) -> tuple[Any, ...]:
        return (
            *_several(self.pots, Pots, "pots"),
            *_several(self.bricks, Bricks, "bricks"),
            *_several(self.roots, Roots, "roots"),
        )

    def _check_room(self) -> None:
        rim = self.plain.height
        edges = [edge for thing in self._things for edge in thing._edges(rim)]
        levels = np.unique(np.concatenate([np.linspace(0, rim, 101), edges]))
        levels = levels[(levels >= 0) & (levels <= rim)]
        full = levels[self._area(levels) <= 0]
        if full.size:
            raise OutOfRange(
                f"This {self.tank.called}: at a height of {said(Q(float(full[0]), 'm'))} the contents fill it from "
                "wall to wall. Check how many there are, and their volume."
            )

    def _area(self, level: Any) -> Any:
        rim = self.plain.height
        return self.tank._area(level) - sum((thing._section(level, rim) for thing in self._things), 0.0)

    def _volume(self, level: Any) -> Any:
        rim = self.plain.height
        return self.tank._volume(level) - sum((thing._below(level, rim) for thing in self._things), 0.0)

    @property
    def _dry_mass(self) -> float:
        return super()._dry_mass + sum(thing._kilograms for thing in self._things)

    def uncertainty(self, level: Quantity, *known: Quantity | None, **more: Quantity | None) -> Quantity:
        """Litres by which the volume may be wrong; what stands in the tank is taken as exact.

        Parameters
        ----------
        level : Quantity
            Length, 0 to the height; one value or an array.
        *known, **more : Quantity, optional
            What `Tank.uncertainty` or `Measured.uncertainty` of the tank itself takes.

        Returns
        -------
        Quantity
            In L, of the shape of ``level``.

        Raises
        ------
        UnitNeeded
            The level is no length.
        OutOfRange
            The level lies outside the tank, or the reading is nothing or as large as the tank.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> tub = with_contents(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")), bricks=Bricks(2, Q(2, "L"), Q(7, "cm")))
        >>> round(tub.uncertainty(Q(10, "cm")).m_as("L"), 3)
        0.48
        """
        return self.tank.uncertainty(level, *known, **more)

    def __str__(self) -> str:
        held = "; ".join(str(thing) for thing in self._things)
        return f"{super().__str__()} In it: {held}." if held else super().__str__()


def with_contents(
    tank: Tank,
    pots: Pots | Sequence[Pots] | None = None,
    bricks: Bricks | Sequence[Bricks] | None = None,
    roots: Roots | Sequence[Roots] | None = None,
) -> TankWithContents:
    """Make the same tank with things standing or hanging in its solution.

    Parameters
    ----------
    tank : Tank
        The tank itself.
    pots : Pots or sequence of Pots, optional
        What hangs from the rim.
    bricks : Bricks or sequence of Bricks, optional
        What stands on the floor.
    roots : Roots or sequence of Roots, optional
        Roots as they are on one day; they grow.

    Returns
    -------
    TankWithContents
        A tank that holds less at the same level.

    Raises
    ------
    Problem
        There is no tank, or the contents are of another kind.
    OutOfRange
        The contents do not fit the height, or leave no room for solution somewhere.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(with_contents(tub, bricks=Bricks(2, Q(2, "L"), Q(7, "cm"))).volume(Q(10, "cm")).m_as("L"), 6)
    20.0
    """
    return TankWithContents(tank, pots, bricks, roots)


def _several(given: Any, kind: Any, name: str) -> tuple[Any, ...]:
    if given is None:
        return ()
    things = tuple(given) if isinstance(given, (list, tuple)) else (given,)
    for thing in things:
        if not isinstance(thing, kind):
            raise Problem(f"`{name}` takes {kind.__name__}(...), or a list of them; {thing!r} is not one.")
    return things


def _keeping(thing: Any) -> Any:
    """Speak in the units of the sizes given, and keep these for the tank that will be asked to hold the thing."""
    given = tuple(getattr(thing, size.name) for size in fields(thing))
    object.__setattr__(thing, "_given", given)
    return speaking_of(*given)


def _whole(thing: Any, called: str) -> None:
    sentence = f"A number of {called} is whole, from 1 to 1000; {{value!r}} is not."
    object.__setattr__(thing, "count", whole_number(thing.count, 1, 1000, sentence))


def _size(thing: Any, name: str, unit: str, plain_unit: str, called: str) -> None:
    plain = one_value(getattr(thing, name), plain_unit, name, type(thing).__name__)
    within(
        plain,
        1e-9,
        1e3,
        f"This {called}: its {name.replace('_', ' ')} must be more than zero and fit a tank; {{value}} does not.",
        plain_unit,
    )
    object.__setattr__(thing, name, Q(plain, plain_unit).to(unit))


def _mass(thing: Any, called: str) -> None:
    if thing.mass is not None:
        plain = one_value(thing.mass, "kg", "mass", type(thing).__name__)
        within(plain, 0, 2000, f"This {called}: a mass of {{value}} is not possible.", "kg")
        object.__setattr__(thing, "mass", Q(plain, "kg"))
