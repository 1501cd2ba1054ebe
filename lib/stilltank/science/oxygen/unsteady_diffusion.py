"""How oxygen comes into still water that has none, or less than its surface: diffusion in time."""

from typing import Any

import numpy as np

from stilltank.units import Q, takes, within

from ._formulas import check_positive, check_water, per_day

_EARLY = 0.2  # D t/L^2 below which images are summed, and above which waves: both are good to 1e-15 there
_TERMS = 8


@takes(depth="m", time="day", surface="g/m^3", start="g/m^3", temperature="degC", water_depth="m")
def unsteady_oxygen(
    depth: Any, time: Any, surface: Any, temperature: Any, water_depth: Any = None, start: Any = None
) -> Any:
    """Oxygen in still water some time after its surface was brought to a concentration and held there.

    Parameters
    ----------
    depth : quantity, below the surface; one or an array, as all that follow
    time : quantity, since then; for a table give times as a column: ``Q([[1], [2]], "day")``
    surface : quantity, concentration held at the surface
    temperature : quantity
    water_depth : quantity, of the water above a closed floor; without end when left out
    start : quantity, concentration everywhere at the beginning; none when left out

    Returns
    -------
    quantity, mg/L

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a depth outside the water, a negative time or concentration, water outside 0 to 40 degC

    Example
    -------
    >>> from stilltank.science.oxygen import saturation
    >>> top = saturation(Q(25, "degC"))
    >>> unsteady_oxygen(Q([0, 10, 30], "mm"), Q(1, "day"), top, Q(25, "degC")).magnitude.round(2).tolist()
    [8.26, 4.88, 0.88]

    Limits: no roots, no convection. Real water is mixed whenever its top cools.
    Source: Crank, The Mathematics of Diffusion, half space and slab, from memory.
    """
    within(time, 0, np.inf, "A time since the start is not negative; {value:g} is.")
    for concentration in (surface, 0.0 if start is None else start):
        within(concentration, 0, np.inf, "A concentration is not negative; {value:g} is.")
    within(depth, 0, np.inf, "A depth below the surface is not negative; {value:g} m is.")
    check_water(temperature)
    first = 0.0 if start is None else start
    spread = np.sqrt(per_day(temperature) * time)
    if water_depth is None:
        share = _erfc(depth, 2 * spread)
    else:
        check_positive(water_depth, "The depth of the water")
        over = np.max(np.asarray(depth) - water_depth)
        within(over, -np.inf, 0, "A depth lies within the water; one lies {value:g} m below its floor.")
        share = _slab(depth / water_depth, (spread / water_depth) ** 2)
    return Q(first + (surface - first) * share, "mg/L")


@takes(time="day", water_depth="m", temperature="degC")
def share_filled(time: Any, water_depth: Any, temperature: Any) -> Any:
    """Share of the oxygen that still water will take up through its surface that has come in after a time.

    Parameters
    ----------
    time : quantity, since the surface was brought to its concentration; one or an array, as all that follow
    water_depth : quantity, above a closed floor
    temperature : quantity

    Returns
    -------
    quantity without unit, 0 to 1

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative time, a depth of zero or less, water outside 0 to 40 degC

    Example
    -------
    >>> share_filled(Q([1, 22, 96], "day"), Q(14, "cm"), Q(25, "degC")).magnitude.round(2).tolist()
    [0.11, 0.5, 0.9]

    Source: Crank, from memory; the same series as Terzaghi's for clay that settles.
    """
    within(time, 0, np.inf, "A time since the start is not negative; {value:g} is.")
    check_positive(water_depth, "The depth of the water")
    check_water(temperature)
    return Q(_filled(per_day(temperature) * time / water_depth**2), "dimensionless")


def _erfc(length: Any, scale: Any) -> Any:
    from scipy.special import erfc

    with np.errstate(divide="ignore", invalid="ignore"):
        ratio = np.divide(length, scale)
    return erfc(np.where(np.isnan(ratio), 0.0, ratio))[
        ()
    ]  # at the surface and at the start: its concentration


def _slab(depth: Any, age: Any) -> Any:
    """Share of the difference that has reached a relative depth, at D t/L^2."""
    depth, age = np.broadcast_arrays(depth, age)
    root = 2 * np.sqrt(np.minimum(age, _EARLY))
    images = sum(
        (-1) ** n * (_erfc(2 * n + depth, root) + _erfc(2 * n + 2 - depth, root)) for n in range(_TERMS)
    )
    waves = [(n + 0.5) * np.pi for n in range(_TERMS)]
    late = 1 - sum(2 / m * np.sin(m * depth) * np.exp(-(m**2) * np.maximum(age, _EARLY)) for m in waves)
    return np.where(age < _EARLY, images, late)[()]


def _filled(age: Any) -> Any:
    from scipy.special import erfc

    age = np.asarray(age, dtype=float)
    root = np.sqrt(np.clip(age, 1e-30, _EARLY))
    images = 1 / np.sqrt(np.pi) + 2 * sum(
        (-1) ** n * (np.exp(-((n / root) ** 2)) / np.sqrt(np.pi) - n / root * erfc(n / root))
        for n in range(1, _TERMS)
    )
    waves = [(n + 0.5) * np.pi for n in range(_TERMS)]
    late = 1 - sum(2 / m**2 * np.exp(-(m**2) * np.maximum(age, _EARLY)) for m in waves)
    return np.where(age < _EARLY, 2 * np.sqrt(age) * images, late)[()]
