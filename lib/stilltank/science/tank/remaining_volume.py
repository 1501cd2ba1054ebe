"""What is left in a tank that cannot be dipped: by weighing it, or by tilting it until the floor shows."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.pure_water import density
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, takes, within, write

from .shapes import Box
from .tank import Tank, plain_degrees


@takes(mass="kg", empty_mass="kg", temperature="degC")
def volume_from_weight(tank: Tank, mass: Any, empty_mass: Any = None, temperature: Any = None) -> Any:
    """Volume of the solution left, from what the whole tank weighs; the inverse of `Tank.weight`.

    Parameters
    ----------
    tank : Tank
    mass : quantity, of the tank with all that is in and on it; one value or an array
    empty_mass : quantity, of the same without solution; the tank's own, with its contents, when left out
    temperature : quantity, 0 to 40 degC; 20 degC when left out

    Returns
    -------
    quantity in L, of the shape of ``mass``

    Raises
    ------
    UnitNeeded   no mass
    OutOfRange   lighter than when empty, or heavier than when full
    Problem      no tank, or a tank whose empty mass is not known

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"), empty_mass=Q(2, "kg"))
    >>> round(volume_from_weight(tub, Q(41.882, "kg"), temperature=Q(25, "degC")).m_as("L"), 2)
    40.0

    Limits: plants on the lid weigh too, and grow: weigh lid and plants by themselves, or count them in
    ``empty_mass``. Water is taken for the solution; its salts make 40 L appear as at most 0.1 L more.
    """
    _a_tank(tank, "volume_from_weight")
    if empty_mass is None:
        if tank.empty_mass is None:
            raise Problem(
                "volume_from_weight: what the tank weighs empty is not known. Weigh it once without solution and give "
                'empty_mass=Q(2.4, "kg"), for example.'
            )
        empty_mass = tank._dry_mass
    celsius = number("budget", "tank", "usual temperature", "degC") if temperature is None else temperature
    volume = (mass - empty_mass) / density(celsius)
    most = tank._capacity
    heaviest = most * density(celsius) + empty_mass
    within(
        volume,
        -1e-12,
        most * (1 + 1e-9),
        f"volume_from_weight: the tank weighs {write(Q(np.min(empty_mass), 'kg'))} empty and "
        f"{write(Q(np.max(heaviest), 'kg'))} full; what was weighed would be {{value:.3g}} m³ of solution.",
    )
    return Q(1000 * np.clip(volume, 0, most), "L")


@dataclass(frozen=True, eq=False)
class Tilted:
    """A tilted box: how far the floor is wet, and how deep at both ends, measured along its walls, in cm."""

    wet_length: Any
    deep_end: Any
    shallow_end: Any

    def __str__(self) -> str:
        return (
            f"the floor is wet for {write(self.wet_length)} from the low end; along the walls the solution stands "
            f"{write(self.deep_end)} at the low end and {write(self.shallow_end)} at the high end"
        )


@takes(volume="m^3")
def tilted_level(tank: Box, angle: Any, volume: Any) -> Tilted:
    """Where the solution stands in a box whose length is tilted by an angle.

    Parameters
    ----------
    tank : Box
    angle : quantity, between the floor and the level, above 0 and below 60 degrees
    volume : quantity, one value or an array

    Returns
    -------
    Tilted

    Raises
    ------
    UnitNeeded   no angle, no volume
    OutOfRange   an angle outside the range, a negative volume, or so much that it runs over the low end
    Problem      not a box with upright walls

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> found = tilted_level(Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm")), Q(10, "degree"), Q(2, "L"))
    >>> round(found.wet_length.m_as("cm"), 1)
    23.8

    Limits: upright walls and a level floor; a tapered tub shows a curved wet line. Tilt a tank only when it is
    nearly empty, by raising one end by hand and putting something under it.
    """
    slope = _slope(tank, angle, "tilted_level")
    length, width = tank.length.m_as("m"), tank.width.m_as("m")
    within(volume, 0, np.inf, "tilted_level: a volume of {value:g} m³ is not possible.")
    wet = np.minimum(np.sqrt(2 * volume / (width * slope)), length)
    mean = volume / (length * width)
    partly = wet < length
    deep = np.where(partly, wet * slope, mean + length * slope / 2)[()]
    shallow = np.where(partly, 0.0, mean - length * slope / 2)[()]
    over = np.ravel(deep)[np.ravel(deep) > tank._height]
    if over.size:
        raise OutOfRange(
            f"tilted_level: at this angle the solution would stand {write(Q(float(over[0]), 'm'))} deep at the low end "
            f"and run over a wall of {write(tank.height)}. Tilt it less."
        )
    return Tilted(Q(100 * wet, "cm"), Q(100 * deep, "cm"), Q(100 * np.maximum(shallow, 0), "cm"))


@takes(wet_length="m")
def volume_from_tilt(tank: Box, angle: Any, wet_length: Any) -> Any:
    """Volume left in a box, from how far its floor is wet while it is tilted; the inverse of `tilted_level`.

    Parameters
    ----------
    tank : Box
    angle : quantity, between the floor and the level, above 0 and below 60 degrees
    wet_length : quantity, from the low end along the floor; one value or an array, up to the length

    Returns
    -------
    quantity in L, of the shape of ``wet_length``

    Raises
    ------
    UnitNeeded   no angle, no length
    OutOfRange   an angle outside the range, a wet line beyond the floor
    Problem      not a box with upright walls

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(volume_from_tilt(tub, Q(10, "degree"), Q(23.8, "cm")).m_as("L"), 2)
    2.0

    Limits: as `tilted_level`.
    """
    slope = _slope(tank, angle, "volume_from_tilt")
    length = tank.length.m_as("m")
    within(
        wet_length,
        0,
        length,
        f"volume_from_tilt: the floor is {write(tank.length)} long; it cannot be wet for {{value:g}} m. When all of it "
        "is wet, dip the tank level instead.",
    )
    within(
        wet_length * slope,
        0,
        tank._height,
        f"volume_from_tilt: so the solution would stand {{value:g}} m deep; the wall is {write(tank.height)} high.",
    )
    return Q(1000 * tank.width.m_as("m") * slope * wet_length**2 / 2, "L")


def _a_tank(tank: Any, function: str) -> None:
    if not isinstance(tank, Tank):
        raise Problem(
            f"{function} needs a tank, such as preset('quillgate-tub') or Box(...); you gave {tank!r}."
        )


def _slope(tank: Any, angle: Any, function: str) -> float:
    if not isinstance(tank, Box):
        raise Problem(f"{function} works for a Box with upright walls only; you gave {tank!s}")
    degrees = plain_degrees(angle, "angle", function)
    within(
        degrees, 0.1, 60, f"{function}: an angle of {{value:g}} degrees; write one from 0.1 to 60 degrees."
    )
    return float(np.tan(np.radians(degrees)))
