"""A storm over a tank with an overflow hole, open or blocked; and how long a tank takes to run down."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.tank import LevelTable, Tank, preset
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, one_value, pure_number, takes, within, write

from .overflow_hole import check_diameter, coefficient_of, gravity, plain_flow
from .rain import collecting_area

_POINTS = 61  # of the course of a level


@dataclass(frozen=True, eq=False)
class Storm:
    """What a storm did.

    Attributes
    ----------
    rain_in, overflow, over_rim : quantities in L: into the tank, out by the hole, over the rim
    start, highest : quantities in cm, the level before and the highest level
    rise : quantity in cm, how far it stood above the start
    allowed : quantity in cm, the rise that roots in the air zone bear, as published
    times, levels : quantity arrays in hours and cm, the level from the first minute to the last
    """

    rain_in: Any
    overflow: Any
    over_rim: Any
    start: Any
    highest: Any
    allowed: Any
    times: Any
    levels: Any

    @property
    def rise(self) -> Any:
        """How far the level stood above the start, in cm."""
        return self.highest - self.start

    @property
    def drowns(self) -> bool:
        """Whether the rise is more than roots in the air zone bear, once the pots hang clear."""
        return bool(self.rise > self.allowed)

    def __str__(self) -> str:
        over = "" if not self.over_rim.magnitude else f", {write(self.over_rim)} over the rim"
        verdict = (
            f"more than the {write(self.allowed)} that may injure plants whose pots hang clear (Kratky 2004, abstract)"
            if self.drowns
            else f"within the {write(self.allowed)} that plants bear whose pots hang clear (Kratky 2004, abstract)"
        )
        return (
            f"{write(self.rain_in)} ran in, {write(self.overflow)} left by the hole{over}; the level rose "
            f"{write(self.rise)} to {write(self.highest)}: {verdict}."
        )


@takes(intensity="mm/hour", duration="hour")
def storm(
    tank: Tank | str,
    level: Any,
    intensity: Any,
    duration: Any,
    *,
    hole_height: Any = None,
    diameter: Any = None,
    open_share: Any = 1.0,
    cover: str = "open",
    lid: Any = "gaps",
    coefficient: Any = None,
) -> Storm:
    """Follow the level through a storm of even intensity.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    level : quantity, before the storm
    intensity, duration : quantities, such as 50 mm/hour and 2 hours
    hole_height : quantity, of the lower edge of the overflow hole; no hole when left out
    diameter : quantity, of that hole
    open_share : number, 0 to 1; the share of the flow that a dirty hole still lets out, 0 when blocked
    cover, lid : as for `collecting_area`
    coefficient : number; that of a sharp hole when left out

    Returns
    -------
    Storm

    Raises
    ------
    UnitNeeded, Unreadable   a bare number, text for a share
    OutOfRange   a level outside the tank, a hole that does not fit below the rim, a storm that cannot be meant
    Problem      several values; a hole without a diameter, or a diameter without a height

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> found = storm(tub, Q(27, "cm"), Q(50, "mm/hour"), Q(2, "hour"), hole_height=Q(27.5, "cm"),
    ...               diameter=Q(12, "mm"), lid="off")
    >>> round(found.highest.m_as("cm"), 1), round(found.overflow.m_as("L"), 1)
    (27.9, 21.9)

    Limits: rain falls straight down and evenly; real storms come in bursts. The hole is sharp-edged, so a hose on it
    needs a test with a jug. What is below the start of the hole clings and dribbles.
    Source: `hole_flow`, stepped through the storm with scipy.
    """
    tank = preset(tank)
    for name, value in {"intensity": intensity, "duration": duration}.items():
        if np.size(value) != 1:
            raise Problem(f"storm takes one value for `{name}`; you gave {np.size(value)}.")
    most, longest = (
        number("hydraulics", "storm", "largest intensity", "mm/hour"),
        number("hydraulics", "storm", "longest", "hour"),
    )
    within(intensity, 0, most, f"storm: a rain of {{value:g}} mm/hour; write 0 to {most:g}.")
    within(
        duration,
        1e-3,
        longest,
        f"storm: a storm of {{value:g}} hours; write one of some seconds up to {longest:g} hours.",
    )
    now = one_value(level, "m", "level", "storm")
    volume = float(tank.volume(Q(now, "m")).m_as("m^3"))
    if (hole_height is None) != (diameter is None):
        raise Problem("storm: a hole needs both a hole_height and a diameter; you gave one of them.")
    share = pure_number(open_share, 0.5, "open_share", "storm")
    if np.ndim(share):
        raise Problem(f"storm takes one open_share; you gave {np.size(share)}.")
    within(share, 0, 1, "storm: open_share lies from 0 (blocked) to 1 (clean); {value:g} does not.")
    inflow = float(intensity * collecting_area(tank, cover, lid).magnitude) / 1000 / 3600
    seconds = float(duration) * 3600
    rain = inflow * seconds
    hole = None if hole_height is None else _hole(tank, hole_height, diameter)
    times = np.linspace(0, seconds, _POINTS)
    if hole is None or share == 0:
        held = np.minimum(volume + inflow * times, tank._capacity)
        over = volume + rain - float(held[-1])
    else:
        passing = coefficient_of(coefficient, "storm") * float(share)
        held, over = _through(tank, volume, inflow, times, *hole, passing)
    end = float(held[-1])
    out = max(volume + rain - end - over, 0.0) if hole else 0.0  # without a hole, rounding alone
    start = Q(100 * now, "cm")
    return Storm(
        Q(1000 * rain, "L"),
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


def blocked_hole(
    tank: Tank | str, level: Any, intensity: Any, duration: Any, **hole: Any
) -> tuple[Storm, Storm]:
    """The same storm with the hole open and with the hole blocked.

    Parameters
    ----------
    tank, level, intensity, duration, and by name the others : as for `storm`, without ``open_share``

    Returns
    -------
    two Storms, open and blocked

    Raises
    ------
    UnitNeeded, Unreadable, OutOfRange, Problem   as `storm`; no hole given

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> clean, blocked = blocked_hole(tub, Q(27, "cm"), Q(50, "mm/hour"), Q(2, "hour"), lid="rimmed",
    ...                               hole_height=Q(27.5, "cm"), diameter=Q(12, "mm"))
    >>> round(blocked.over_rim.m_as("L"), 1), round(blocked.rise.m_as("cm"), 1)
    (12.0, 5.0)

    Limits: as `storm`.
    """
    for name in ("hole_height", "diameter"):
        if hole.get(name) is None:
            raise Problem(f"blocked_hole needs a {name}, such as {name}=Q({_SAMPLES[name]}).")
    if "open_share" in hole:
        raise Problem(
            "blocked_hole compares an open hole with a blocked one; use storm for what lies between."
        )
    known = {"hole_height", "diameter", "cover", "lid", "coefficient"}
    if other := sorted(set(hole) - known):
        raise Problem(f"blocked_hole takes {', '.join(sorted(known))}; it knows no {', '.join(other)}.")
    clean, blocked = (
        storm(tank, level, intensity, duration, open_share=share, **hole) for share in (1.0, 0.0)
    )
    return clean, blocked


_SAMPLES = {"hole_height": '27.5, "cm"', "diameter": '12, "mm"'}


def _hole(tank: Tank, hole_height: Any, diameter: Any) -> tuple[float, float]:
    invert, wide = (
        one_value(value, "m", name, "storm")
        for value, name in ((hole_height, "hole_height"), (diameter, "diameter"))
    )
    check_diameter(wide, "storm")
    if not 0 <= invert <= tank._height - wide:
        raise OutOfRange(
            f"storm: a hole of {write(Q(wide, 'm'))} with its lower edge at {write(Q(invert, 'm'))} does not fit a "
            f"tank {write(tank.height)} high."
        )
    return invert, wide


def _through(
    tank: Tank, volume: float, inflow: float, times: Any, invert: float, wide: float, share: float
) -> tuple[Any, float]:
    """Volume at each time, and what went over the rim, in m^3; what left by the hole is the rest."""
    from scipy.integrate import solve_ivp

    full, heights = tank._capacity, LevelTable(tank)

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


@takes(start="m", end="m", diameter="m", height="m")
def drain_time(
    tank: Tank | str, start: Any, end: Any, diameter: Any, height: Any = None, coefficient: Any = None
) -> Any:
    """How long a tank takes to run down through a hole.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    start, end : quantities, levels above the floor; values or arrays
    diameter : quantity, of the hole
    height : quantity, of the centre of the hole above the floor; on the floor when left out
    coefficient : number, above 0 and up to 1; that of a sharp hole when left out

    Returns
    -------
    quantity in s

    Raises
    ------
    UnitNeeded, Unreadable   a bare number
    OutOfRange   levels outside the tank or rising; an end at which the hole is no longer under water

    Example
    -------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
    >>> round(drain_time(tub, Q(30, "cm"), Q(5, "cm"), Q(6, "mm"), coefficient=0.6).magnitude)
    2071

    Limits: a bare sharp hole and open air above the water. A hose or siphon is slower, by its length and width:
    time a jug. Emptying: never into a storm drain.
    Source: Torricelli with the area of the water at each level; for upright walls t = 2A(√h1 - √h2)/(Cd a √(2g)).
    """
    tank = preset(tank)
    share = coefficient_of(coefficient, "drain_time")
    check_diameter(diameter, "drain_time")
    centre = 0.0 if height is None else height
    for level in (start, end, centre):
        tank._inside(level)
    within(
        np.asarray(start) - end,
        0,
        np.inf,
        "drain_time: the level rises from start to end, by {value:g} m less than 0.",
    )
    within(
        np.asarray(end) - centre - np.asarray(diameter) / 2,
        -1e-12,
        np.inf,
        "drain_time: at the end the level stands {value:.3g} m below the top of the hole, which then runs part full. "
        "End higher.",
    )
    points, weights = np.polynomial.legendre.leggauss(64)
    # with the square root of the head as the variable the integrand is smooth, and exact for straight walls
    deep, shallow = np.sqrt(np.asarray(start) - centre), np.sqrt(np.asarray(end) - centre)
    half = (deep - shallow) / 2
    roots = np.multiply.outer(half, points + 1) + np.asarray(shallow)[..., None]
    areas = tank._area(np.asarray(centre)[..., None] + roots**2) + 0 * roots
    hole = np.pi / 4 * diameter**2
    return Q((2 * half * (areas @ weights) / (share * hole * np.sqrt(2 * gravity())))[()], "s")
