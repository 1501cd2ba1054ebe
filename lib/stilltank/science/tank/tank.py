"""What all tanks share: checks, level to volume and back, area and weight."""

from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass, field, fields
from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

import numpy as np

from stilltank.science.pure_water import density
from stilltank.tables import number
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    UnitNeeded,
    instance_of,
    one_value,
    said,
    speaking_of,
    takes,
    ureg,
    within,
    write,
)
from stilltank.units.types import Plain, Quantity

_LENGTHS = ("length", "width", "height", "diameter", "corner_radius", "net_pot_depth")
_DIGITS = 6  # of a size or a level in a refusal: as many as a person may have typed


class PlainTank:
    """A tank in plain metres, square metres and cubic metres, for use between rooms of science.

    Parameters
    ----------
    tank : Tank
        The tank, whose sizes have been checked.

    Attributes
    ----------
    height : float
        From the floor to the rim, in m.

    Raises
    ------
    Unreadable
        There is no tank.

    Notes
    -----
    It refuses no number: a level lies between the floor and the rim, and a volume between nothing and the capacity.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> plain = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).plain
    >>> plain.height, round(plain.volume(0.1), 9), round(float(plain.level(0.024)), 9)
    (0.32, 0.024, 0.1)
    """

    def __init__(self, tank: "Tank"):
        self._tank = instance_of(tank, Tank, "tank", "PlainTank")
        self.height = float(tank.height.m_as("m"))

    @cached_property
    def capacity(self) -> float:
        """Volume to the rim, in m^3.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).plain.capacity, 9)
        0.0768
        """
        return float(self._tank._volume(self.height))

    def area(self, level: Plain) -> Plain:
        """Area of the water surface at a level.

        Parameters
        ----------
        level : float or array
            Above the floor, in m.

        Returns
        -------
        float or array
            In m^2; one value where the walls are upright.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).plain.area(0.1), 9)
        0.24
        """
        return self._tank._area(level)

    def volume(self, level: Plain) -> Plain:
        """Volume of the solution at a level.

        Parameters
        ----------
        level : float or array
            Above the floor, in m.

        Returns
        -------
        float or array
            In m^3.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).plain.volume(0.2), 9)
        0.048
        """
        return self._tank._volume(level)

    def level(self, volume: Plain) -> Plain:
        """Level at which the tank holds a volume.

        Parameters
        ----------
        volume : float or array
            In m^3.

        Returns
        -------
        float or array
            Above the floor, in m.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> round(float(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).plain.level(0.048)), 9)
        0.2
        """
        return _invert(
            self.volume, self.area, np.asarray(volume, dtype=float)[()], self.height, self.capacity
        )


@dataclass(frozen=True)
class Tank:
    """What all tanks share; the shapes add their sizes.

    Parameters
    ----------
    net_pot_depth : Quantity, optional
        Length from the rim down to the bottom of a net pot.
    lid_area : Quantity, optional
        Area that collects rain; the opening at the rim when left out.
    empty_mass : Quantity, optional
        Mass of the empty tank, lid included.
    name : str, optional
        What the tank is called.

    Attributes
    ----------
    height : Quantity
        From the floor to the rim.

    Raises
    ------
    UnitNeeded
        A size has no unit, or a unit of another kind.
    OutOfRange
        A size is negative or far from any tank's, a net pot is deeper than the tank, or a lid does not fit it.

    See Also
    --------
    with_contents : The same tank with pots, bricks or roots in its solution.
    Measured : A tank known by pouring in water and reading the level.

    Notes
    -----
    Sizes are inner sizes; walls are straight and the floor is level. Net pots, bricks and roots are left out until
    `with_contents` names them, and the bulge of a full soft tub always. Where it matters, pour water into the tub
    with a jug and make it a `Measured` one.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> isinstance(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"), net_pot_depth=Q(7, "cm")), Tank)
    True
    """

    _: KW_ONLY
    net_pot_depth: Any = None  # Quantity or None; who needs pots asks for them in words first
    lid_area: Any = None  # Quantity once the tank is made: left out, the opening fills it in
    empty_mass: Quantity | None = None
    name: str = ""
    called: ClassVar[str] = "tank"  # what a person calls this shape
    if TYPE_CHECKING:  # each shape has one: a size, or for a measured tank the last level
        height: Quantity = field(init=False)

    def __post_init__(self) -> None:
        shape = type(self).__name__
        if not isinstance(self.name, str):
            raise Problem(f'This {self.called}: a name is text, such as "front bench"; {self.name!r} is not.')
        with speaking_of(*self._given()):
            for size in fields(self):
                if size.name.endswith(_LENGTHS):
                    self._check_length(size.name, shape)
            depth = self.net_pot_depth
            if depth is not None and depth.m_as("m") >= self.plain.height:
                raise OutOfRange(
                    f"This {self.called}: a net pot {said(depth, _DIGITS)} deep does not fit a height of "
                    f"{said(self.height, _DIGITS)}. Give the depth from the rim to the bottom of the pot."
                )
            self._check_shape()
            self._check_lid_and_mass(shape)

    def _given(self) -> list[Any]:
        """The sizes as the person gave them."""
        return [getattr(self, size.name, None) for size in fields(self)]

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
                f"This {self.called}: {name.replace('_', ' ')} is {said(Q(plain, 'cm'), _DIGITS)}; write one between "
                f"{said(Q(low, 'cm'))} and {said(Q(high, 'cm'))}."
            )
        self._set(name, Q(plain, "cm"))

    def _check_shape(self) -> None:
        """Check what only this shape can get wrong."""

    def _check_lid_and_mass(self, shape: str) -> None:
        opening = float(self.plain.area(self.plain.height))
        if self.lid_area is None:
            self._set("lid_area", Q(opening, "m^2"))
        else:
            lid = one_value(self.lid_area, "m^2", "lid_area", shape)
            most = number("plausible", "tank", "largest lid share", "1") * opening
            if not 0 < lid <= most:
                raise OutOfRange(
                    f"This {self.called}: a lid of {said(Q(lid, 'm^2'), _DIGITS)} does not fit an opening of "
                    f"{said(Q(opening, 'm^2'), _DIGITS)}. Write a lid area above 0 and up to {said(Q(most, 'm^2'))}."
                )
            self._set("lid_area", Q(lid, "m^2"))
        if self.empty_mass is not None:
            mass = one_value(self.empty_mass, "kg", "empty_mass", shape)
            high = number("plausible", "tank", "largest mass", "kg")
            if not 0 <= mass <= high:
                raise OutOfRange(
                    f"This {self.called}: empty it weighs {said(Q(mass, 'kg'), _DIGITS)}; write 0 to "
                    f"{said(Q(high, 'kg'))}."
                )
            self._set("empty_mass", Q(mass, "kg"))

    # In metres. Walls are straight, so the area is a quadratic in the level.
    def _area(self, level: Any) -> Any:
        raise NotImplementedError

    def _volume(self, level: Any) -> Any:
        return level / 6 * (self._area(0.0) + 4 * self._area(level / 2) + self._area(level))

    @cached_property
    def plain(self) -> PlainTank:
        """The same tank in plain metres, for use between rooms of science.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).plain.height
        0.32
        """
        return PlainTank(self)

    @property
    def _dry_mass(self) -> float:
        """Kilograms of the tub and of what stands in it, as far as they are known."""
        return 0.0 if self.empty_mass is None else float(self.empty_mass.m_as("kg"))

    @property
    def capacity(self) -> Quantity:
        """Volume to the rim, in L.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).capacity.m_as("L"), 6)
        76.8
        """
        return Q(self.plain.capacity * 1000, "L")

    def _inside(self, level: Any) -> Any:
        top = self.plain.height
        if (bad := _outside(level, -1e-12, top * (1 + 1e-12))) is not None:
            raise OutOfRange(
                f"This {self.called} has no level of {said(Q(bad, 'm'), _DIGITS)}; it is "
                f"{said(self.height, _DIGITS)} high. Write 0 to {said(self.height, _DIGITS)}."
            )
        return np.clip(level, 0, top)  # only what rounding left over

    @takes(level="m", returns="L")
    def volume(self, level: Quantity) -> Quantity:
        """Volume of the solution at a level above the floor of the tank.

        Parameters
        ----------
        level : Quantity
            Length, 0 to the height; one value or an array.

        Returns
        -------
        Quantity
            In L, of the shape of ``level``.

        Raises
        ------
        UnitNeeded
            The level is no length.
        OutOfRange
            The level lies below the floor or above the rim.

        See Also
        --------
        Tank.level : The inverse.

        Notes
        -----
        By the prismatoid rule, exact for straight walls, with the areas at the floor, half-way and at the level:

        .. math:: V = \\frac{h}{6} (A_0 + 4 A_{h/2} + A_h)

        Examples
        --------
        >>> from stilltank.science.tank import TaperedBox
        >>> tote = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
        >>> round(tote.volume(Q(16, "cm")).magnitude, 3)  # half the depth, not half the volume
        28.587
        """
        return self._volume(self._inside(level)) * 1000

    @takes(volume="m^3", returns="cm")
    def level(self, volume: Quantity) -> Quantity:
        """Level above the floor at which the tank holds a volume.

        Parameters
        ----------
        volume : Quantity
            Volume, 0 to the capacity; one value or an array.

        Returns
        -------
        Quantity
            In cm, of the shape of ``volume``.

        Raises
        ------
        UnitNeeded
            The volume is no volume.
        OutOfRange
            The volume is negative, or more than the tank holds.

        See Also
        --------
        Tank.volume : The inverse.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).level(Q(24, "L")).magnitude, 9)
        10.0
        """
        most = self.plain.capacity
        if (bad := _outside(volume, -1e-15, most * (1 + 1e-12))) is not None:
            raise OutOfRange(
                f"This {self.called} holds no {said(Q(bad * 1000, 'L'), _DIGITS)}; write 0 to "
                f"{said(self.capacity, _DIGITS)}."
            )
        return _invert(self._volume, self._area, np.clip(volume, 0, most), self.plain.height, most) * 100

    @takes(level="m", returns="m^2")
    def area(self, level: Quantity) -> Quantity:
        """Area of the water surface at a level.

        Parameters
        ----------
        level : Quantity
            Length, 0 to the height; one value or an array.

        Returns
        -------
        Quantity
            In m^2, of the shape of ``level``; the same number is the litres for each millimetre of rise.

        Raises
        ------
        UnitNeeded
            The level is no length.
        OutOfRange
            The level lies below the floor or above the rim.

        Examples
        --------
        >>> from stilltank.science.tank import TaperedBox
        >>> tote = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
        >>> round(tote.area(Q(30, "cm")).to("L/cm").magnitude, 3)
        2.345
        """
        return self._area(self._inside(level)) + 0 * level

    @takes(level="m", temperature="degC", returns="kg")
    def weight(self, level: Quantity, temperature: Quantity | None = None) -> Quantity:
        """Mass of the solution in the tank, and of the tank itself where its empty mass is known.

        Parameters
        ----------
        level : Quantity
            Length, 0 to the height; one value or an array.
        temperature : Quantity, optional
            Of the solution, 0 to 40 degC; 20 degC when left out.

        Returns
        -------
        Quantity
            In kg, of the shape of ``level``.

        Raises
        ------
        UnitNeeded
            The level is no length, or the temperature is none.
        OutOfRange
            The level lies outside the tank, or the temperature outside the formula for density.

        See Also
        --------
        volume_from_weight : The inverse.
        lifting_index : Whether one person should lift it.

        Notes
        -----
        Water is taken for the solution: its salts add 1 to 2 g a litre. Two people lift a full tub, or it is
        filled where it stands.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> tub = Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"), empty_mass=Q(2, "kg"))
        >>> round(tub.weight(Q(20, "cm"), Q(25, "degC")).magnitude, 3)
        41.882
        """
        celsius = (
            number("budget", "tank", "usual temperature", "degC") if temperature is None else temperature
        )
        return self._volume(self._inside(level)) * density(celsius) + self._dry_mass

    @takes(level="m", reading="m", returns="L")
    def uncertainty(self, level: Quantity, reading: Quantity | None = None) -> Quantity:
        """Litres by which the volume may be wrong, because the level was read a little wrong.

        Parameters
        ----------
        level : Quantity
            Length, 0 to the height; one value or an array.
        reading : Quantity, optional
            Length by which a reading may be off either way; 2 mm when left out.

        Returns
        -------
        Quantity
            In L, of the shape of ``level``.

        Raises
        ------
        UnitNeeded
            The level or the reading is no length.
        OutOfRange
            The level lies outside the tank, or the reading is nothing or as large as the tank.

        Notes
        -----
        The sizes of the tank are taken as right, and its floor as level.

        Examples
        --------
        >>> from stilltank.science.tank import Box
        >>> round(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")).uncertainty(Q(10, "cm")).m_as("L"), 3)
        0.48
        """
        return 1000 * self._area(self._inside(level)) * self._reading(reading) + 0 * level

    def _reading(self, reading: Any) -> Any:
        if reading is None:
            return number("measuring", "ruler", "reading doubt", "m")
        within(
            reading,
            1e-6,
            self.plain.height,
            "uncertainty: a reading that may be off by {value}; write more than 0 and less than the height, {high}.",
            "m",
        )
        return reading

    def __str__(self) -> str:
        pots = "" if self.net_pot_depth is None else f", net pots {write(self.net_pot_depth)} deep"
        rim, floor = self.plain.area(self.plain.height), self.plain.area(0.0)
        narrow = " The opening is narrower than the floor." if rim < floor else ""
        return (
            f"{self.name or self.called.capitalize()}: holds {write(self.capacity)} to the rim, "
            f"{write(self.height)} high{pots}, lid {write(self.lid_area, digits=2)}.{narrow}"
        )


def plain_degrees(angle: Quantity, name: str, function: str) -> float:
    """An angle as plain degrees; a share passes for one elsewhere, and a slope in percent is no angle.

    Parameters
    ----------
    angle : Quantity
        In degrees or radians; one value.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    float
        In degrees.

    Raises
    ------
    UnitNeeded
        It is no angle.
    OutOfRange
        It is not a finite number.
    Problem
        There is more than one value.

    Examples
    --------
    >>> plain_degrees(Q(10, "degree"), "angle", "example")
    10.0
    """
    degrees = one_value(angle, "degree", name, function)
    if angle.units not in (ureg.Unit("degree"), ureg.Unit("radian")):
        raise UnitNeeded(
            f'{function} needs an angle for `{name}`, such as Q(10, "degree"). You gave {angle:~P}.'
        )
    return degrees


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
