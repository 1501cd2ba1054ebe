"""How oxygen comes into still water that has none, or less than its surface: diffusion in time."""

from typing import Any

import numpy as np

from stilltank.units import takes, within
from stilltank.units.types import Quantity

from ._formulas import check_concentration, check_positive, check_water, per_day

_EARLY = 0.2  # D t/L^2 below which images are summed, and above which waves: both are good to 1e-15 there
_TERMS = 8


@takes(
    depth="m",
    time="day",
    surface="g/m^3",
    start="g/m^3",
    temperature="degC",
    water_depth="m",
    returns="mg/L",
)
def unsteady_oxygen(
    depth: Quantity,
    time: Quantity,
    surface: Quantity,
    temperature: Quantity,
    water_depth: Quantity | None = None,
    start: Quantity | None = None,
) -> Quantity:
    """Oxygen in still water some time after its surface was brought to a concentration and held there.

    Parameters
    ----------
    depth : Quantity
        Below the surface; one or an array, as all that follow.
    time : Quantity
        Since then; for a table give times as a column: ``Q([[1], [2]], "day")``.
    surface : Quantity
        Concentration held at the surface.
    temperature : Quantity
        Of the water, 0 to 40 degC.
    water_depth : Quantity, optional
        Of the water above a closed floor; without end when left out.
    start : Quantity, optional
        Concentration everywhere at the beginning; none when left out.

    Returns
    -------
    Quantity
        In mg/L.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        A depth lies outside the water, a time or concentration is negative, or the water is below 0 or above 40 degC.

    See Also
    --------
    profile : Where it ends when roots use it.

    Notes
    -----
    No roots, no convection. Real water is mixed whenever its top cools. Half space and slab, from memory.

    References
    ----------
    CRANK1975

    Examples
    --------
    >>> from stilltank.science.oxygen import saturation
    >>> top = saturation(Q(25, "degC"))
    >>> unsteady_oxygen(Q([0, 10, 30], "mm"), Q(1, "day"), top, Q(25, "degC")).magnitude.round(2).tolist()
    [8.26, 4.88, 0.88]
    """
    within(time, 0, np.inf, "A time since the start is not negative; {value} is.", "day")
    for concentration in (surface, 0.0 if start is None else start):
        check_concentration(concentration)
    within(depth, 0, np.inf, "A depth below the surface is not negative; {value} is.", "m")
    check_water(temperature)
    first = 0.0 if start is None else start
    spread = np.sqrt(per_day(temperature) * time)
    if water_depth is None:
        share = _erfc(depth, 2 * spread)
    else:
        check_positive(water_depth, "The depth of the water")
        over = np.max(np.asarray(depth) - water_depth, initial=-np.inf)
        within(over, -np.inf, 0, "A depth lies within the water; one lies {value} below its floor.", "m")
        share = _slab(depth / water_depth, (spread / water_depth) ** 2)
    return first + (surface - first) * share


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
