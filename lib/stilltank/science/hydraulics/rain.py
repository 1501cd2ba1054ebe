"""Rain into a tank: how much gets in, and how far it lifts the level."""

import numpy as np

from stilltank.science.tank import Tank, preset
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, one_value, said, takes, within
from stilltank.units.types import Quantity

COVERS = ("open", "roof", "indoors")  # those of a site


@takes(cover=COVERS, returns="m^2")
def collecting_area(tank: Tank | str, cover: str = "open", lid: str | Quantity = "gaps") -> Quantity:
    """Find the area whose rain ends up in the tank, which is not the area of the water.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one.
    cover : {"open", "roof", "indoors"}
        What is above the tank, as for a site. Under a roof no rain gets in.
    lid : {"gaps", "rimmed", "off", "tight"} or Quantity
        Gaps around the pots let in a share of what falls on the lid (data/budget.csv); a lid with a rim drains all
        of it inside; without a lid the opening at the rim counts; a tight or sloped lid sheds all. A quantity is an
        area, one value: what drains in, as measured (a tray, a funnel, the gaps alone).

    Returns
    -------
    Quantity
        In m², one value.

    Raises
    ------
    Problem
        No tank, or another word for ``lid``.
    Unreadable
        Another word for ``cover``.
    UnitNeeded
        A lid that is a bare number.
    OutOfRange
        A negative area.

    See Also
    --------
    rain_into_tank : The volume of a rain on this area.

    Examples
    --------
    >>> round(collecting_area("quillgate-tub", lid="rimmed").magnitude, 3)
    0.2
    """
    tank = preset(tank)
    words = {
        "gaps": lambda: tank.lid_area.m_as("m^2") * number("budget", "open", "rain share", "1"),
        "rimmed": lambda: tank.lid_area.m_as("m^2"),
        "off": lambda: float(tank.area(tank.height).m_as("m^2")),
        "tight": lambda: 0.0,
    }
    if isinstance(lid, str):
        if lid not in words:
            raise Problem(
                f"We do not know a lid called {lid!r}. Write "
                '"gaps", "rimmed", "off" or "tight", or an area such as Q(0.05, "m^2").'
            )
        area = words[lid]()
    else:
        area = one_value(lid, "m^2", "lid", "collecting_area")
        within(area, 0, 1e6, "collecting_area: a lid of {value} does not fit. Write an area above 0.", "m^2")
    return area if cover == "open" else 0.0  # type: ignore[return-value]


@takes(rain="mm", cover=COVERS, returns="L")
def rain_into_tank(
    tank: Tank | str, rain: Quantity, cover: str = "open", lid: str | Quantity = "gaps"
) -> Quantity:
    """Find the volume of a rain that gets into the tank.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one.
    rain : Quantity
        Length, the depth of the rain; one value or an array.
    cover : {"open", "roof", "indoors"}
        As for `collecting_area`.
    lid : {"gaps", "rimmed", "off", "tight"} or Quantity
        As for `collecting_area`.

    Returns
    -------
    Quantity
        In L, with the shape of ``rain``.

    Raises
    ------
    UnitNeeded
        A rain or a lid that has no unit.
    Unreadable
        Another word for ``cover``.
    OutOfRange
        A negative rain, or more than ever fell in a day.
    Problem
        No tank, or another word for ``lid``.

    See Also
    --------
    level_rise : How far that lifts the level.

    Notes
    -----
    Rain falls straight down. The share through gaps is an assumption; watch the level in the first rain.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(rain_into_tank(tub, Q(25, "mm"), lid="off").magnitude, 6)
    6.0
    """
    within(
        rain,
        0,
        number("plausible", "weather", "largest rain", "mm"),
        "rain_into_tank: a rain of {value} does not fit. Write {low} to {high}, the most that fell in a day.",
        "mm",
    )
    return rain * collecting_area.plain(tank, cover, lid)


@takes(level="m", volume="m^3")
def level_rise(tank: Tank | str, level: Quantity, volume: Quantity) -> Quantity:
    """Find how far a volume lifts the level.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one.
    level : Quantity
        Length, the level now, above the floor; one value or an array.
    volume : Quantity
        Volume of the rain or of the top-up; one value or an array.

    Returns
    -------
    Quantity
        In cm, with the shape of the levels and volumes.

    Raises
    ------
    UnitNeeded
        A level or a volume that has no unit.
    OutOfRange
        A level outside the tank, a negative volume, or more than there is room for.
    Problem
        No tank.

    See Also
    --------
    stilltank.science.roots.refill : What a rise does to the roots.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> round(level_rise(Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm")), Q(10, "cm"), Q(2.4, "L")).m_as("mm"), 6)
    12.0
    """
    tank = preset(tank)
    within(volume, 0, np.inf, "level_rise: a volume of {value} does not fit. Write 0 or more.", "m^3")
    held = tank.volume(Q(level, "m")).m_as("m^3")
    room = tank.plain.capacity - held
    if np.any(np.ravel(volume - room) > 1e-12):
        raise OutOfRange(
            f"level_rise: {said(Q(float(np.max(volume)), 'm^3'))} is more than fits; from this level there is room "
            f"for {said(Q(float(np.min(room)), 'm^3'))} up to the rim."
        )
    full = Q(np.minimum(held + volume, tank.plain.capacity), "m^3")
    return tank.level(full) - Q(100 * level, "cm")


@takes(area="m^2", rain="mm", returns="L")
def rain_catch(area: Quantity, rain: Quantity) -> Quantity:
    """Find the volume of the rain that falls on an area.

    Parameters
    ----------
    area : Quantity
        Area of what collects the rain (lid, tray), not of the water; one value or an array.
    rain : Quantity
        Length, the depth of the rain; one value or an array.

    Returns
    -------
    Quantity
        In L, with the shape of the areas and rains.

    Raises
    ------
    UnitNeeded
        An area or a rain that has no unit.
    OutOfRange
        A negative area or depth.

    See Also
    --------
    rain_into_tank : With the tank's own lid.

    Examples
    --------
    >>> rain_catch(Q(0.24, "m^2"), Q(25, "mm")).magnitude
    6.0
    """
    within(area, 0, np.inf, "rain_catch: an area of {value} does not fit. Write 0 or more.", "m^2")
    within(rain, 0, np.inf, "rain_catch: a rain of {value} does not fit. Write 0 or more.", "mm")
    return area * rain
