"""A storm over a tank with an overflow hole, open or blocked; and how long a tank takes to run down."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from stilltank.science.tank import LevelTable, Tank, preset
from stilltank.tables import number
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    one_value,
    only,
    pure_number,
    said,
    speaking_of,
    takes,
    within,
    write,
)
from stilltank.units.types import Array, Quantity

from .overflow_hole import check_diameter, coefficient_of, gravity, plain_flow
from .rain import collecting_area

_POINTS = 61  # of the course of a level
_RULER = 0.005  # cm: a rise that is no further over the limit is the limit


@dataclass(frozen=True, kw_only=True)
class Rain:
    """The rain of a storm, falling evenly from beginning to end.

    Parameters
    ----------
    intensity : Quantity
        Depth in a time, such as 50 mm/hour; one value, up to 1000 mm/hour.
    duration : Quantity
        Time, one value, from some seconds up to 10 days.

    Raises
    ------
    UnitNeeded
        An intensity or a duration that has no unit, or a unit of another kind.
    OutOfRange
        More rain than ever fell, or a storm that is too short or too long.
    Problem
        Several values.

    See Also
    --------
    storm : What it does to a tank.

    Examples
    --------
    >>> rain = Rain(intensity=Q(50, "mm/hour"), duration=Q(2, "hour"))
    >>> (rain.intensity * rain.duration).m_as("mm")
    100.0
    """

    intensity: Quantity
    duration: Quantity

    def __post_init__(self) -> None:
        with speaking_of(self.intensity, self.duration):
            within(
                one_value(self.intensity, "mm/hour", "intensity", "Rain"),
                0,
                number("hydraulics", "storm", "largest intensity", "mm/hour"),
                "A rain of {value} per hour does not fit. Write {low} to {high} per hour.",
                "mm",
            )
            within(
                one_value(self.duration, "hour", "duration", "Rain"),
                1e-3,
                number("hydraulics", "storm", "longest", "hour"),
                "A storm of {value} does not fit. Write one of some seconds up to {high}.",
                "hour",
            )


@dataclass(frozen=True, kw_only=True)
class Hole:
    """A round overflow hole in the wall of a tank.

    Parameters
    ----------
    height : Quantity
        Length, one value: from the floor up to the lower edge of the hole.
    diameter : Quantity
        Length, one value, 0.5 to 200 mm.
    open_share : float
        Share of the flow that a dirty hole still lets out: 1 when clean, 0 when blocked.
    coefficient : float, optional
        Discharge coefficient, above 0 and up to 1; that of a sharp hole when left out.

    Raises
    ------
    UnitNeeded
        A height or a diameter that has no unit, or a unit of another kind.
    Unreadable
        A share or a coefficient that is no plain number.
    OutOfRange
        A hole below the floor, a diameter that nobody would drill, or a share outside 0 to 1.
    Problem
        Several values.

    See Also
    --------
    overflow_diameter : How large to make it.
    storm : What it does in a storm.

    Notes
    -----
    The hole has a sharp edge. A hose on it needs a test with a jug.

    Examples
    --------
    >>> hole = Hole(height=Q(27.5, "cm"), diameter=Q(12, "mm"))
    >>> hole.open_share
    1.0
    """

    height: Quantity
    diameter: Quantity
    open_share: float = 1.0
    coefficient: float | None = None

    def __post_init__(self) -> None:
        with speaking_of(self.height, self.diameter):
            within(
                one_value(self.height, "m", "height", "Hole"),
                0,
                np.inf,
                "Hole: a height of {value} is below the floor. Write 0 or more.",
                "m",
            )
            check_diameter(one_value(self.diameter, "m", "diameter", "Hole"), "Hole")
        share = only(pure_number(self.open_share, 0.5, "open_share", "Hole"), "open_share", "Hole")
        within(share, 0, 1, "Hole: open_share is 0 (blocked) to 1 (clean); {value:g} is not.")
        coefficient_of(self.coefficient, "Hole")


@dataclass(frozen=True, eq=False)
class Storm:
    """What a storm did to a tank.

    Parameters
    ----------
    rain_in : Quantity
        In L, what ran into the tank.
    overflow : Quantity
        In L, what left by the hole.
    over_rim : Quantity
        In L, what ran over the rim.
    start : Quantity
        In cm, the level before.
    highest : Quantity
        In cm, the highest level.
    allowed : Quantity
        In cm, the rise above which plants whose pots hang clear may be injured, as published.
    times : Quantity
        In hours, an array from the first minute to the last.
    levels : Quantity
        In cm, the level at each of these times.

    See Also
    --------
    storm : Makes one.

    References
    ----------
    KRATKY2004, for the rise that is allowed.

    Examples
    --------
    >>> found = storm("quillgate-tub", Q(15, "cm"), Rain(intensity=Q(20, "mm/hour"), duration=Q(1, "hour")))
    >>> found.too_far
    False
    """

    rain_in: Quantity
    overflow: Quantity
    over_rim: Quantity
    start: Quantity
    highest: Quantity
    allowed: Quantity
    times: Quantity
    levels: Quantity

    @property
    def rise(self) -> Quantity:
        """How far the level rose above the start, in cm."""
        return self.highest - self.start

    @property
    def too_far(self) -> bool:
        """True if the rise is more than the published caution for plants whose pots hang clear, as a ruler shows it."""
        return bool(self.rise - self.allowed > Q(_RULER, "cm"))

    def __str__(self) -> str:
        over = "" if not self.over_rim.magnitude else f", {write(self.over_rim)} over the rim"
        verdict = (
            f"more than the {write(self.allowed)} that may injure plants"
            if self.too_far
            else f"within the {write(self.allowed)} above which plants may be injured"
        )
        return (
            f"{write(self.rain_in)} ran in, {write(self.overflow)} left by the hole{over}; the level rose "
            f"{write(self.rise)} to {write(self.highest)}: {verdict} once their pots hang clear (Kratky 2004, "
            "abstract)."
        )


@takes(level="m", rain=Rain, hole=Hole)
def storm(
    tank: Tank | str, level: Quantity, rain: Rain, hole: Hole | None = None, lid: str | Quantity = "gaps"
) -> Storm:
    """Follow the level through a storm of even intensity.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one. It is in the open.
    level : Quantity
        Length, one value: the level before the storm, above the floor.
    rain : Rain
        How much falls, and for how long.
    hole : Hole, optional
        The overflow hole; none when left out.
    lid : {"gaps", "rimmed", "off", "tight"} or Quantity
        As for `collecting_area`.

    Returns
    -------
    Storm
        What ran in and out, and the level through the storm.

    Raises
    ------
    UnitNeeded
        A level or a lid that has no unit.
    Unreadable
        Something else than a Rain or a Hole.
    OutOfRange
        A level outside the tank, or a hole that does not fit below the rim.
    Problem
        Several levels, no tank, or another word for ``lid``.

    See Also
    --------
    blocked_hole : The same storm with the hole blocked beside it.

    Notes
    -----
    Rain falls straight down and evenly; real storms come in bursts. What is below the start of the hole clings and
    dribbles. The flow is that of `hole_flow`, stepped through the storm with scipy.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> rain = Rain(intensity=Q(50, "mm/hour"), duration=Q(2, "hour"))
    >>> found = storm(tub, Q(27, "cm"), rain, Hole(height=Q(27.5, "cm"), diameter=Q(12, "mm")), lid="off")
    >>> round(found.highest.m_as("cm"), 1), round(found.overflow.m_as("L"), 1)
    (27.9, 21.9)
    """
    tank = preset(tank)
    now = only(level, "level", "storm")
    volume = float(tank.volume(Q(now, "m")).m_as("m^3"))
    intensity = one_value(rain.intensity, "mm/hour", "intensity", "storm")
    inflow = intensity * float(collecting_area.plain(tank, "open", lid)) / 1000 / 3600
    seconds = one_value(rain.duration, "hour", "duration", "storm") * 3600
    fallen = inflow * seconds
    times = np.linspace(0, seconds, _POINTS)
    opening = None if hole is None else _opening(tank, hole)
    if hole is None or opening is None or hole.open_share == 0:
        held = np.minimum(volume + inflow * times, tank.plain.capacity)
        over = volume + fallen - float(held[-1])
    else:
        passing = coefficient_of(hole.coefficient, "storm") * float(hole.open_share)
        held, over = _through(tank, volume, inflow, times, *opening, passing)
    end = float(held[-1])
    out = max(volume + fallen - end - over, 0.0) if hole else 0.0  # without a hole, rounding alone
    start = Q(100 * now, "cm")
    return Storm(
        Q(1000 * fallen, "L"),
        Q(1000 * out, "L"),
        Q(1000 * over, "L"),
        start,
        tank.level(Q(end, "m^3"))
        if end > volume
        else start,  # even rain: the level only rises, or only falls
        Q(number("roots", "refill", "rise", "cm"), "cm"),
        Q(times / 3600, "hour"),
        tank.level(Q(held, "m^3")),
    )


@takes(level="m", rain=Rain, hole=Hole)
def blocked_hole(
    tank: Tank | str, level: Quantity, rain: Rain, hole: Hole, lid: str | Quantity = "gaps"
) -> tuple[Storm, Storm]:
    """Follow the same storm twice, with the hole open and with the hole blocked.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one. It is in the open.
    level : Quantity
        Length, one value: the level before the storm, above the floor.
    rain : Rain
        How much falls, and for how long.
    hole : Hole
        The overflow hole, clean.
    lid : {"gaps", "rimmed", "off", "tight"} or Quantity
        As for `collecting_area`.

    Returns
    -------
    open, blocked : Storm
        The storm with the hole open, and with the hole blocked.

    Raises
    ------
    UnitNeeded
        A level or a lid that has no unit.
    Unreadable
        Something else than a Rain or a Hole.
    OutOfRange
        A level outside the tank, or a hole that does not fit below the rim.
    Problem
        A hole that is partly blocked already, several levels, no tank, or another word for ``lid``.

    See Also
    --------
    storm : One storm, also with a hole that is half blocked.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> rain = Rain(intensity=Q(50, "mm/hour"), duration=Q(2, "hour"))
    >>> hole = Hole(height=Q(27.5, "cm"), diameter=Q(12, "mm"))
    >>> clean, blocked = blocked_hole(tub, Q(27, "cm"), rain, hole, lid="rimmed")
    >>> round(blocked.over_rim.m_as("L"), 1), round(blocked.rise.m_as("cm"), 1)
    (12.0, 5.0)
    """
    if hole.open_share != 1:
        raise Problem(
            "blocked_hole compares an open hole with a blocked one. Leave out open_share, or use storm for what is "
            "between."
        )
    before = Q(level, "m")
    return storm(tank, before, rain, hole, lid), storm(tank, before, rain, replace(hole, open_share=0.0), lid)


def _opening(tank: Tank, hole: Hole) -> tuple[float, float]:
    """Lower edge and diameter of a hole that fits the tank, in m."""
    invert = one_value(hole.height, "m", "height", "storm")
    wide = one_value(hole.diameter, "m", "diameter", "storm")
    if invert > tank.plain.height - wide:
        raise OutOfRange(
            f"storm: a hole of {said(Q(wide, 'm'))} with its lower edge at {said(Q(invert, 'm'))} does not fit a "
            f"tank {said(tank.height)} high. Write a lower one."
        )
    return invert, wide


def _through(
    tank: Tank, volume: float, inflow: float, times: Array, invert: float, wide: float, share: float
) -> tuple[Array, float]:
    """Volume at each time, and what went over the rim, in m^3; what left by the hole is the rest."""
    from scipy.integrate import solve_ivp

    full, heights = tank.plain.capacity, LevelTable(tank)

    def flow(held: float) -> float:
        return float(plain_flow(wide, heights.level(1000 * held) - invert, share))

    seconds = float(times[-1])
    spare = max(inflow - flow(full), 0.0)  # what runs over once the tank is full
    if spare and volume >= full * (1 - 1e-9):
        return np.full(len(times), full), spare * seconds

    def at_the_rim(_: float, state: Any) -> float:
        return float(state[0]) - full

    at_the_rim.terminal = True  # type: ignore[attr-defined]
    at_the_rim.direction = 1  # type: ignore[attr-defined]
    found = solve_ivp(
        lambda _, state: [inflow - flow(state[0])],
        (0.0, seconds),
        [volume],
        method="LSODA",
        rtol=1e-8,
        atol=1e-10,
        max_step=seconds / 20,
        t_eval=times,
        events=at_the_rim,
    )
    if not found.success:
        raise Problem(f"storm: the level could not be followed ({found.message}). Try a shorter storm.")
    # rain is even, so a level that has reached the rim stays there
    held = np.full(len(times), full)
    held[: found.y.shape[1]] = np.minimum(found.y[0], full)
    reached = found.t_events[0]
    return held, spare * (seconds - float(reached[0])) if reached.size else 0.0


@takes(start="m", end="m", diameter="m", height="m", returns="s")
def drain_time(
    tank: Tank | str,
    start: Quantity,
    end: Quantity,
    diameter: Quantity,
    height: Quantity | None = None,
    coefficient: float | None = None,
) -> Quantity:
    """Find how long a tank takes to run down through a hole.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one.
    start : Quantity
        Length, the level at first, above the floor; one value or an array.
    end : Quantity
        Length, the level at the end; one value or an array.
    diameter : Quantity
        Length, of the hole; one value or an array.
    height : Quantity, optional
        Length, of the centre of the hole above the floor; on the floor when left out.
    coefficient : float, optional
        Discharge coefficient, above 0 and up to 1; that of a sharp hole when left out.

    Returns
    -------
    Quantity
        In s, with the shape of the levels and diameters.

    Raises
    ------
    UnitNeeded
        A length that has no unit, or a unit of another kind.
    Unreadable
        A coefficient that is no plain number.
    OutOfRange
        Levels outside the tank or rising, or an end at which the hole is no longer under water.
    Problem
        No tank.

    Notes
    -----
    Torricelli's law with the area of the water at each level; for upright walls, with the levels counted from the
    centre of the hole,

    .. math:: t = \\frac{2 A (\\sqrt{h_1} - \\sqrt{h_2})}{C_d \\, a \\sqrt{2 g}}

    For a bare sharp hole and open air above the water. A hose or a siphon is slower, by its length and width: time a
    jug. Emptying: never into a storm drain.

    References
    ----------
    EB1911, vol. 14, Hydraulics.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(drain_time(tub, Q(30, "cm"), Q(5, "cm"), Q(6, "mm"), coefficient=0.6).magnitude)
    2071
    """
    tank = preset(tank)
    share = coefficient_of(coefficient, "drain_time")
    check_diameter(diameter, "drain_time")
    centre = np.asarray(0.0 if height is None else height)
    for level in (start, end, centre):
        tank.volume(Q(level, "m"))  # refuses a level outside the tank
    rising = np.max(np.asarray(end) - np.asarray(start), initial=0.0)
    if rising > 0:
        raise OutOfRange(
            f"drain_time: the level rises from start to end, by {said(Q(float(rising), 'm'))}. Start higher, or end "
            "lower."
        )
    bare = np.max(centre + np.asarray(diameter) / 2 - np.asarray(end), initial=0.0)
    if bare > 1e-12:
        raise OutOfRange(
            f"drain_time: at the end the level is {said(Q(float(bare), 'm'))} below the top of the hole, which then "
            "runs part full. End higher."
        )
    points, weights = np.polynomial.legendre.leggauss(64)
    # with the square root of the head as the variable the integrand is smooth, and exact for straight walls
    deep, shallow = np.sqrt(np.asarray(start) - centre), np.sqrt(np.asarray(end) - centre)
    half = (deep - shallow) / 2
    roots = np.multiply.outer(half, points + 1) + np.asarray(shallow)[..., None]
    areas = tank.plain.area(np.asarray(centre)[..., None] + roots**2) + 0 * roots
    hole = np.pi / 4 * diameter**2
    return (2 * half * (areas @ weights) / (share * hole * np.sqrt(2 * gravity())))[()]
