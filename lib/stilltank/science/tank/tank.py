"""What all tanks share: checks, level to volume and back, area and weight."""

from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass, field, fields
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

import numpy as np

from stilltank.science.pure_water import density
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, UnitNeeded, one_value, takes, ureg, within, write


@dataclass(frozen=True)
class Tank:
    """What all tanks share; the shapes below add their sizes.

    Parameters
    ----------
    net_pot_depth : quantity, from the rim down to the bottom of a net pot
    lid_area : quantity; the area that collects rain. The opening at the rim when left out
    empty_mass : quantity; what the tank weighs empty, lid included
    name : str

    Attributes
    ----------
    height, net_pot_depth, lid_area, empty_mass, capacity (volume to the rim), name

    Raises
    ------
    UnitNeeded   a size without a unit or with a unit of another kind
    OutOfRange   a size that is negative or cannot be meant, a net pot deeper than the tank, a lid far larger
                 than its tank

    Notes
    -----
    Inner sizes are meant, straight walls and a level floor. Net pots, bricks and roots are left out until they
    are named (`with_contents`), the bulge of a full soft tub always; a tub that matters is measured with a jug
    (`Measured`).
    """

    _: KW_ONLY
    net_pot_depth: Any = None
    lid_area: Any = None
    empty_mass: Any = None
    name: str = ""
    called: ClassVar[str] = "tank"  # what a person calls this shape
    if TYPE_CHECKING:  # each shape has one: a size, or for a measured tank the last level
        height: Any = field(init=False)

    def __post_init__(self):
        shape = type(self).__name__
        if not isinstance(self.name, str):
            raise Problem(f'This {self.called}: a name is text, such as "front bench"; {self.name!r} is not.')
        for size in fields(self):
            if size.name.endswith(
                ("length", "width", "height", "diameter", "corner_radius", "net_pot_depth")
            ):
                self._check_length(size.name, shape)
        depth = self.net_pot_depth
        if depth is not None and depth.m_as("m") >= self._height:
            raise OutOfRange(
                f"This {self.called}: a net pot {_said(depth)} deep does not fit a height of {_said(self.height)}. "
                "Give the depth from the rim to the bottom of the pot."
            )
        self._check_shape()
        self._check_lid_and_mass(shape)

    def _set(self, name: str, value: Any) -> None:
        object.__setattr__(self, name, value)

    def _check_length(self, name: str, shape: str) -> None:
        value = getattr(self, name)
        if value is None and name in ("corner_radius", "net_pot_depth"):
            return
        plain = one_value(value, "cm", name, shape)
        low, high = (number("plausible", "tank", f"{size} length", "cm") for size in ("smallest", "largest"))
        low = 0.0 if name == "corner_radius" else low
        if not low <= plain <= high:
            raise OutOfRange(
                f"This {self.called}: {name.replace('_', ' ')} is {_said(Q(plain, 'cm'))}; write one between "
                f"{_said(Q(low, 'cm'))} and {_said(Q(high, 'cm'))}."
            )
        self._set(name, Q(plain, "cm"))

    def _check_shape(self) -> None:
        """Check what only this shape can get wrong."""

    def _check_lid_and_mass(self, shape: str) -> None:
        opening = float(self._area(self._height))
        if self.lid_area is None:
            self._set("lid_area", Q(opening, "m^2"))
        else:
            lid = one_value(self.lid_area, "m^2", "lid_area", shape)
            most = number("plausible", "tank", "largest lid share", "1") * opening
            if not 0 < lid <= most:
                raise OutOfRange(
                    f"This {self.called}: a lid of {_said(Q(lid, 'm^2'))} on an opening of "
                    f"{_said(Q(opening, 'm^2'))} cannot be meant. Write one above 0 and up to {write(Q(most, 'm^2'))}."
                )
            self._set("lid_area", Q(lid, "m^2"))
        if self.empty_mass is not None:
            mass = one_value(self.empty_mass, "kg", "empty_mass", shape)
            high = number("plausible", "tank", "largest mass", "kg")
            if not 0 <= mass <= high:
                raise OutOfRange(
                    f"This {self.called}: empty it weighs {_said(Q(mass, 'kg'))}; write 0 to {_said(Q(high, 'kg'))}."
                )
            self._set("empty_mass", Q(mass, "kg"))

    # In metres, for the inside. Walls are straight, so the area is a quadratic in the level.
    def _area(self, level: Any) -> Any:
        raise NotImplementedError

    def _volume(self, level: Any) -> Any:
        return level / 6 * (self._area(0.0) + 4 * self._area(level / 2) + self._area(level))

    @cached_property
    def _height(self) -> float:
        return float(self.height.m_as("m"))

    @cached_property
    def _capacity(self) -> float:
        return float(self._volume(self._height))

    @property
    def _dry_mass(self) -> float:
        """Kilograms of the tub and of what stands in it, as far as they are known."""
        return 0.0 if self.empty_mass is None else float(self.empty_mass.m_as("kg"))

    @property
    def capacity(self) -> Any:
        """The volume to the rim, in L."""
        return Q(self._capacity * 1000, "L")

    def _inside(self, level: Any) -> Any:
        top = self._height
        if (bad := _outside(level, -1e-12, top * (1 + 1e-12))) is not None:
            raise OutOfRange(
                f"This {self.called} has no level of {_said(Q(bad, 'm'))}; it is {_said(self.height)} high. "
                f"Write 0 to {_said(self.height)}."
            )
        return np.clip(level, 0, top)  # only what rounding left over

    @takes(level="m")
    def volume(self, level: Any) -> Any:
        """Volume of the solution at a level above the floor of the tank.

        Parameters
        ----------
        level : quantity, one value or an array, 0 to the height

        Returns
        -------
        quantity in L, of the shape of ``level``

        Raises
        ------
        UnitNeeded   no length
        OutOfRange   below the floor or above the rim

        Example
        -------
        >>> from stilltank.science.tank import TaperedBox
        >>> tote = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
        >>> round(tote.volume(Q(16, "cm")).magnitude, 3)  # half the depth, not half the volume
        28.587

        Source: prismatoid rule h/6 (A0 + 4 Am + A1), exact for straight walls.
        """
        return Q(self._volume(self._inside(level)) * 1000, "L")

    @takes(volume="m^3")
    def level(self, volume: Any) -> Any:
        """Level above the floor at which the tank holds a volume; the inverse of `volume`.

        Parameters
        ----------
        volume : quantity, one value or an array, 0 to the capacity

        Returns
        -------
        quantity in cm, of the shape of ``volume``

        Raises
        ------
        UnitNeeded   no volume
        OutOfRange   negative, or more than the tank holds

        Example
        -------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).level(Q(24, "L")).magnitude, 9)
        10.0
        """
        most = self._capacity
        if (bad := _outside(volume, -1e-15, most * (1 + 1e-12))) is not None:
            raise OutOfRange(
                f"This {self.called} holds no {_said(Q(bad * 1000, 'L'))}; write 0 to {_said(self.capacity)}."
            )
        found = _invert(self._volume, self._area, np.clip(volume, 0, most), self._height, most)
        return Q(found * 100, "cm")

    @takes(level="m")
    def area(self, level: Any) -> Any:
        """Area of the water surface at a level; also the litres for each rise of a millimetre.

        Parameters
        ----------
        level : quantity, one value or an array, 0 to the height

        Returns
        -------
        quantity in m^2, of the shape of ``level``

        Raises
        ------
        UnitNeeded   no length
        OutOfRange   below the floor or above the rim

        Example
        -------
        >>> from stilltank.science.tank import TaperedBox
        >>> tote = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
        >>> round(tote.area(Q(30, "cm")).to("L/cm").magnitude, 3)
        2.345
        """
        return Q(self._area(self._inside(level)) + 0 * level, "m^2")

    @takes(level="m", temperature="degC")
    def weight(self, level: Any, temperature: Any = None) -> Any:
        """Mass of the solution in the tank, and of the tank itself where ``empty_mass`` is known.

        Parameters
        ----------
        level : quantity, one value or an array, 0 to the height
        temperature : quantity, 0 to 40 degC; 20 degC when left out

        Returns
        -------
        quantity in kg, of the shape of ``level``

        Raises
        ------
        UnitNeeded   no length, or no temperature
        OutOfRange   level outside the tank, temperature outside the density formula

        Example
        -------
        >>> from stilltank.science.tank import Box
        >>> tub = Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"), empty_mass=Q(2, "kg"))
        >>> round(tub.weight(Q(20, "cm"), Q(25, "degC")).magnitude, 3)
        41.882

        Notes
        -----
        Water is taken for the solution: its salts add 1 to 2 g a litre. Two people lift a full tub, or it is
        filled where it stands.
        """
        celsius = (
            number("budget", "tank", "usual temperature", "degC") if temperature is None else temperature
        )
        return Q(self._volume(self._inside(level)) * density(celsius) + self._dry_mass, "kg")

    @takes(level="m")
    def doubt(self, level: Any, reading: Any = None) -> Any:
        """Litres by which the volume may be wrong, because the level was read a little wrong.

        Parameters
        ----------
        level : quantity, one value or an array, 0 to the height
        reading : quantity; how far a reading may be off either way. 2 mm when left out

        Returns
        -------
        quantity in L, of the shape of ``level``

        Raises
        ------
        UnitNeeded   no length
        OutOfRange   level outside the tank, a doubt that is not above zero or as large as the tank

        Example
        -------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).doubt(Q(10, "cm")).m_as("L"), 3)
        0.48

        Limits: the sizes of the tank are taken as right, and so is its level floor.
        """
        return Q(1000 * self._area(self._inside(level)) * self._reading(reading) + 0 * level, "L")

    def _reading(self, reading: Any) -> float:
        if reading is None:
            return number("measuring", "ruler", "reading doubt", "m")
        plain = one_value(reading, "m", "reading", "doubt")
        within(
            plain,
            1e-6,
            self._height,
            f"doubt: a reading that may be off by {{value:g}} m; write more than 0 and less than the height, "
            f"{_said(self.height)}.",
        )
        return plain

    def with_contents(self, pots: Any = None, bricks: Any = None, roots: Any = None) -> "Tank":
        """The same tank with things standing in its solution; see `TankWithContents`.

        Raises
        ------
        Problem   what was given is not of that kind, or does not fit

        Example
        -------
        >>> from stilltank.science.tank import Box, Bricks
        >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
        >>> round(tub.with_contents(bricks=Bricks(2, Q(2, "L"), Q(7, "cm"))).volume(Q(10, "cm")).m_as("L"), 6)
        20.0
        """
        from .contents import TankWithContents

        return TankWithContents(self, pots, bricks, roots)

    def __str__(self) -> str:
        pots = "" if self.net_pot_depth is None else f", net pots {write(self.net_pot_depth)} deep"
        narrow = (
            " The opening is narrower than the floor." if self._area(self._height) < self._area(0.0) else ""
        )
        return (
            f"{self.name or self.called.capitalize()}: holds {write(self.capacity)} to the rim, "
            f"{write(self.height)} high{pots}, lid {write(self.lid_area, digits=2)}.{narrow}"
        )


def plain_degrees(angle: Any, name: str, function: str) -> float:
    """An angle as plain degrees; a share passes for one elsewhere, and a slope in percent is no angle.

    Raises UnitNeeded, OutOfRange, Problem.
    """
    degrees = one_value(angle, "degree", name, function)
    if angle.units not in (ureg.Unit("degree"), ureg.Unit("radian")):
        raise UnitNeeded(
            f'{function} needs an angle for `{name}`, such as Q(10, "degree"). You gave {angle:~P}.'
        )
    return degrees


def _said(quantity: Any) -> str:
    return write(quantity, digits=6)


def _outside(values: Any, low: float, high: float) -> float | None:
    """The first of the values that lies outside, or is no number."""
    plain = np.ravel(values)
    bad = plain[~((plain >= low) & (plain <= high))]
    return float(bad[0]) if bad.size else None


def _invert(
    volume: Callable[[Any], Any], area: Callable[[Any], Any], wanted: Any, height: float, most: float
) -> Any:
    """Level for a volume: Newton's rule kept inside a shrinking bracket, for all values at once."""
    low, high = np.zeros_like(wanted), np.full_like(wanted, height)
    level = height * wanted / most
    for _ in range(100):
        miss = volume(level) - wanted
        if np.all(np.abs(miss) <= 1e-15 * most):
            break
        low, high = np.where(miss <= 0, level, low), np.where(miss >= 0, level, high)
        with np.errstate(divide="ignore", invalid="ignore"):
            newton = level - miss / area(level)
        # a step that leaves the bracket is replaced by halving it
        nearer = np.where((newton >= low) & (newton <= high), newton, (low + high) / 2)
        if np.all(np.abs(nearer - level) <= 1e-16 * height):
            break
        level = nearer
    return level
