"""What is left in a tank that cannot be dipped: by weighing it, or by tilting it until the floor shows."""

from dataclasses import dataclass

import numpy as np

from stilltank.science.pure_water import density
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, said, takes, within, write
from stilltank.units.types import Quantity

from .shapes import Box
from .tank import Tank, plain_degrees


@takes(tank=Tank, mass="kg", empty_mass="kg", temperature="degC", returns="L")
def volume_from_weight(
    tank: Tank, mass: Quantity, empty_mass: Quantity | None = None, temperature: Quantity | None = None
) -> Quantity:
    """Volume of the solution left, from what the whole tank weighs.

    Parameters
    ----------
    tank : Tank
        Of any shape, with or without contents.
    mass : Quantity
        Of the tank with all that is in and on it; one value or an array.
    empty_mass : Quantity, optional
        Of the same without solution; the tank's own, with its contents, when left out.
    temperature : Quantity, optional
        Of the solution, 0 to 40 degC; 20 degC when left out.

    Returns
    -------
    Quantity
        In L, of the shape of ``mass``.

    Raises
    ------
    UnitNeeded
        The mass has no unit.
    OutOfRange
        The tank is lighter than when empty, or heavier than when full.
    Problem
        What the tank weighs empty is not known.
    Unreadable
        There is no tank.

    See Also
    --------
    Tank.weight : The inverse.

    Notes
    -----
    Plants on the lid weigh too, and grow: weigh lid and plants by themselves, or count them in ``empty_mass``. Water
    is taken for the solution; its salts make 40 L appear as at most 0.1 L more.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"), empty_mass=Q(2, "kg"))
    >>> round(volume_from_weight(tub, Q(41.882, "kg"), temperature=Q(25, "degC")).m_as("L"), 2)
    40.0
    """
    if empty_mass is None and tank.empty_mass is None:
        raise Problem(
            "volume_from_weight: what the tank weighs empty is not known. Weigh it once without solution and give "
            'empty_mass=Q(2.4, "kg"), for example.'
        )
    lightest = tank._dry_mass if empty_mass is None else empty_mass
    celsius = number("budget", "tank", "usual temperature", "degC") if temperature is None else temperature
    volume = (mass - lightest) / density(celsius)
    most = tank.plain.capacity
    heaviest = most * density(celsius) + lightest
    within(
        volume,
        -1e-12,
        most * (1 + 1e-9),
        f"volume_from_weight: the tank weighs {said(Q(np.min(lightest), 'kg'))} empty and "
        f"{said(Q(np.max(heaviest), 'kg'))} full; what was weighed would be {{value}} of solution.",
        "m^3",
    )
    return 1000 * np.clip(volume, 0, most)


@dataclass(frozen=True, eq=False)
class Tilted:
    """A tilted box: how far the floor is wet, and how deep the solution stands at both ends.

    Parameters
    ----------
    wet_length : Quantity
        From the low end along the floor, in cm.
    deep_end, shallow_end : Quantity
        Depth at the low and at the high end, measured along the walls, in cm.

    See Also
    --------
    tilted_level : Works it out.

    Examples
    --------
    >>> print(tilted_level(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")), Q(10, "degree"), Q(2, "L")))
    the floor is wet for 23.8 cm from the low end; along the walls the solution stands 4.2 cm at the low end and ...
    """

    wet_length: Quantity
    deep_end: Quantity
    shallow_end: Quantity

    def __str__(self) -> str:
        return (
            f"the floor is wet for {write(self.wet_length)} from the low end; along the walls the solution stands "
            f"{write(self.deep_end)} at the low end and {write(self.shallow_end)} at the high end"
        )


@takes(tank=Box, volume="m^3")
def tilted_level(tank: Box, angle: Quantity, volume: Quantity) -> Tilted:
    """Where the solution stands in a box whose length is tilted by an angle.

    Parameters
    ----------
    tank : Box
        With upright walls.
    angle : Quantity
        Between the floor and the level, above 0 and below 60 degrees.
    volume : Quantity
        Of the solution; one value or an array.

    Returns
    -------
    Tilted
        In cm, of the shape of ``volume``.

    Raises
    ------
    UnitNeeded
        The angle is no angle, or the volume no volume.
    OutOfRange
        The angle lies outside the range, the volume is negative, or the solution runs over the low end.
    Unreadable
        The tank is no box with upright walls.

    See Also
    --------
    volume_from_tilt : The inverse.

    Notes
    -----
    Upright walls and a level floor; a tapered tub shows a curved wet line. Tilt a tank only when it is nearly empty,
    by raising one end by hand and putting something under it.

    Examples
    --------
    >>> found = tilted_level(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")), Q(10, "degree"), Q(2, "L"))
    >>> round(found.wet_length.m_as("cm"), 1)
    23.8
    """
    slope = _slope(angle, "tilted_level")
    length, width = tank.length.m_as("m"), tank.width.m_as("m")
    within(volume, 0, np.inf, "tilted_level: a volume of {value} is not possible.", "m^3")
    wet = np.minimum(np.sqrt(2 * volume / (width * slope)), length)
    mean = volume / (length * width)
    partly = wet < length
    deep = np.where(partly, wet * slope, mean + length * slope / 2)[()]
    shallow = np.where(partly, 0.0, mean - length * slope / 2)[()]
    over = np.ravel(deep)[np.ravel(deep) > tank.plain.height]
    if over.size:
        raise OutOfRange(
            f"tilted_level: at this angle the solution would stand {said(Q(float(over[0]), 'm'))} deep at the low end "
            f"and run over a wall of {said(tank.height)}. Tilt it less."
        )
    return Tilted(Q(100 * wet, "cm"), Q(100 * deep, "cm"), Q(100 * np.maximum(shallow, 0), "cm"))


@takes(tank=Box, wet_length="m", returns="L")
def volume_from_tilt(tank: Box, angle: Quantity, wet_length: Quantity) -> Quantity:
    """Volume left in a box, from how far its floor is wet while it is tilted.

    Parameters
    ----------
    tank : Box
        With upright walls.
    angle : Quantity
        Between the floor and the level, above 0 and below 60 degrees.
    wet_length : Quantity
        From the low end along the floor, up to the length; one value or an array.

    Returns
    -------
    Quantity
        In L, of the shape of ``wet_length``.

    Raises
    ------
    UnitNeeded
        The angle is no angle, or the wet length no length.
    OutOfRange
        The angle lies outside the range, or the wet line beyond the floor.
    Unreadable
        The tank is no box with upright walls.

    See Also
    --------
    tilted_level : The inverse, with its limits.

    Examples
    --------
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(volume_from_tilt(tub, Q(10, "degree"), Q(23.8, "cm")).m_as("L"), 2)
    2.0
    """
    slope = _slope(angle, "volume_from_tilt")
    length = tank.length.m_as("m")
    within(
        wet_length,
        0,
        length,
        "volume_from_tilt: the floor is {high} long; it cannot be wet for {value}. When all of it is wet, dip the tank "
        "level instead.",
        "m",
    )
    within(
        wet_length * slope,
        0,
        tank.plain.height,
        "volume_from_tilt: so the solution would stand {value} deep; the wall is {high} high.",
        "m",
    )
    return 1000 * tank.width.m_as("m") * slope * wet_length**2 / 2


def _slope(angle: Quantity, function: str) -> float:
    degrees = plain_degrees(angle, "angle", function)
    within(
        degrees, 0.1, 60, f"{function}: an angle of {{value:g}} degrees; write one from 0.1 to 60 degrees."
    )
    return float(np.tan(np.radians(degrees)))
