"""Rain into a tank: how much gets in, and how far it lifts the level."""

from typing import Any

import numpy as np

from stilltank.science.tank import Tank, preset
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, magnitude, one_value, takes, within, write

COVERS = ("open", "roof", "indoors")  # those of a site


def collecting_area(tank: Tank | str, cover: str = "open", lid: Any = "gaps") -> Any:
    """Area whose rain ends in the tank: not the area of the water.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    cover : "open", "roof" or "indoors"
        What is above the tank, as for a site; under a roof nothing gets in.
    lid : "gaps", "rimmed", "off", "tight", or a quantity
        Gaps around the pots let in a share of what falls on the lid (data/budget.csv); a lid with a rim drains all
        of it inside; without a lid the opening at the rim counts; a tight or sloped lid sheds all. A quantity is the
        area that drains in, as measured: a tray, a funnel, the gaps alone.

    Returns
    -------
    quantity in m^2

    Raises
    ------
    Problem      no tank, another word for ``cover`` or ``lid``
    UnitNeeded   a lid that is a bare number
    OutOfRange   a negative area

    Example
    -------
    >>> round(collecting_area("quillgate-tub", lid="rimmed").magnitude, 3)
    0.2
    """
    tank = preset(tank)
    if not isinstance(cover, str) or cover not in COVERS:
        raise Problem(f'A cover is "open", "roof" or "indoors"; {cover!r} is none of them.')
    words = {
        "gaps": lambda: tank.lid_area.m_as("m^2") * number("budget", "open", "rain share", "1"),
        "rimmed": lambda: tank.lid_area.m_as("m^2"),
        "off": lambda: float(tank.area(tank.height).m_as("m^2")),
        "tight": lambda: 0.0,
    }
    if isinstance(lid, str):
        if lid not in words:
            raise Problem(
                f'A lid is "gaps", "rimmed", "off" or "tight", or an area such as Q(0.05, "m^2"); {lid!r} is not.'
            )
        area = words[lid]()
    else:
        area = one_value(lid, "m^2", "lid", "collecting_area")
        within(area, 0, 1e6, "collecting_area: an area of {value:g} m^2 is not possible.")
    return Q(area if cover == "open" else 0.0, "m^2")


@takes(rain="mm")
def rain_into_tank(tank: Tank | str, rain: Any, cover: str = "open", lid: Any = "gaps") -> Any:
    """Volume of a rain that gets into the tank.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    rain : quantity, depth, one value or an array
    cover, lid : as for `collecting_area`

    Returns
    -------
    quantity in L, of the shape of ``rain``

    Raises
    ------
    UnitNeeded, OutOfRange, Problem   as for `collecting_area`; a negative rain

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(rain_into_tank(tub, Q(25, "mm"), lid="off").magnitude, 6)
    6.0

    Limits: rain falls straight down. The share through gaps is an assumption; watch the level in the first rain.
    """
    most = number("plausible", "weather", "largest rain", "mm")
    within(
        rain,
        0,
        most,
        f"rain_into_tank: a rain of {{value:g}} mm; write 0 to {most:g} mm, the most that fell in a day.",
    )
    return Q(rain * collecting_area(tank, cover, lid).magnitude, "L")


@takes(level="m", volume="m^3")
def level_rise(tank: Tank | str, level: Any, volume: Any) -> Any:
    """How far a volume lifts the level.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    level : quantity, now; one value or an array
    volume : quantity, of rain or of a top-up

    Returns
    -------
    quantity in cm

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a level outside the tank, a negative volume, more than there is room for

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> round(level_rise(Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm")), Q(10, "cm"), Q(2.4, "L")).m_as("mm"), 6)
    12.0
    """
    tank = preset(tank)
    within(volume, 0, np.inf, "level_rise: a volume of {value:g} m^3 is not possible; write 0 or more.")
    held = magnitude(tank.volume(Q(level, "m")), "m^3", "level", "level_rise")
    room = tank._capacity - held
    over = np.ravel(volume - room)
    if np.any(over > 1e-12):
        raise OutOfRange(
            f"level_rise: {write(Q(float(np.max(volume)), 'm^3').to('L'))} is more than fits; from this level there is "
            f"room for {write(Q(float(np.min(room)), 'm^3').to('L'))} up to the rim."
        )
    full = Q(np.minimum(held + volume, tank._capacity), "m^3")
    return tank.level(full) - Q(100 * level, "cm")


@takes(area="m^2", rain="mm")
def rain_catch(area: Any, rain: Any) -> Any:
    """Volume of the rain that falls on an area.

    Parameters
    ----------
    area : quantity; of what collects the rain (lid, tray), not of the water
    rain : quantity, depth, one value or an array

    Returns
    -------
    quantity in L

    Raises
    ------
    UnitNeeded
    OutOfRange   a negative area or depth

    Example
    -------
    >>> rain_catch(Q(0.24, "m^2"), Q(25, "mm")).magnitude
    6.0
    """
    within(area, 0, np.inf, "rain_catch: an area of {value:g} m^2 is not possible.")
    within(rain, 0, np.inf, "rain_catch: a rain of {value:g} mm is not possible.")
    return Q(area * rain, "L")
