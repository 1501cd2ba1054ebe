"""Oxygen through a season in water whose level falls: quite still, or mixed."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from stilltank.units import (
    Problem,
    Q,
    instance_of,
    one_value,
    pure_number,
    speaking_of,
    whole_number,
    within,
)
from stilltank.units.types import Quantities, Quantity

from ._formulas import check_concentration, n
from ._inputs import Driven, checked, drive
from ._solver import advance


@dataclass(frozen=True, kw_only=True, eq=False)
class WaterColumn:
    """The water of a tank through a season: how deep and warm it is, what roots ask of it, what comes and goes.

    Parameters
    ----------
    depth : Quantity
        Of the water at the end of each day, [days] or [members, days], such as an ensemble's level.
    temperature : Quantity
        Of the water, 0 to 40 degC: one, one a day, or one a step (its middle), along the last axis; members before it.
    demand : Quantity
        Oxygen that the roots in the water ask for, on each area of water a day, spread evenly over the depth; of the
        shape of ``temperature``.
    first_depth : Quantity, optional
        At the beginning, one or [members]; that of the first day's end when left out.
    added : Quantity, optional
        Depth added at the beginning of each day, [days] or [members, days]. Where it is left out, a level that rises
        is taken to have been topped up.
    added_oxygen : Quantity, optional
        Concentration in what is added; saturated when left out.
    overflow : Quantity, optional
        Depth that left by the overflow hole right after, [days] or [members, days]; none when left out.
    start : Quantity, optional
        Concentration at the beginning, one or [members]; saturated when left out.
    film_coefficient : Quantity, optional
        Speed at which the surface passes oxygen, one or [members]; 0.3 m/day when left out, an assumption with a range
        of 0.1 to 0.6.
    half_saturation : Quantity, optional
        The oxygen at which roots use half of their demand; 0.2 mg/L when left out, assumed.
    pressure : Quantity, optional
        Of the air, of the shape of ``temperature``; 1 atm when left out.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        A demand or a concentration is negative, the water is below 0 or above 40 degC, and the like.
    Problem
        The depth is no series of days.

    See Also
    --------
    still_water : The oxygen in it when it is quite still.
    mixed_water : The oxygen in it when it is mixed.

    Notes
    -----
    Straight walls. Whether the numbers of days and members fit each other is seen when it is run.

    Examples
    --------
    >>> column = WaterColumn(depth=Q([13, 12.8], "cm"), temperature=Q(22, "degC"), demand=Q(1, "g/m^2/day"))
    >>> print(mixed_water(column))
    2 days: 8.4 mg/L of oxygen at most, 5.6 at least, 5.6 to 5.6 at the end
    """

    depth: Quantities
    temperature: Quantities
    demand: Quantities
    first_depth: Quantities | None = None
    added: Quantities | None = None
    added_oxygen: Quantities | None = None
    overflow: Quantities | None = None
    start: Quantities | None = None
    film_coefficient: Quantities | None = None
    half_saturation: Quantity | None = None
    pressure: Quantities | None = None
    _plain: dict[str, Any] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        given = {name: value for name, value in vars(self).items() if not name.startswith("_")}
        with speaking_of(*given.values()):
            object.__setattr__(self, "_plain", checked(given))


@dataclass(frozen=True, eq=False)
class OxygenCourse:
    """Oxygen in the water along a season; arrays are [steps] or [members, steps].

    Parameters
    ----------
    time : Quantity
        The end of each step, in days, [steps].
    mean, top, floor : Quantity
        Concentration of the whole water, at its surface and at its floor, in mg/L.
    inflow, used, drawn, gained, spilled : Quantity
        Of each step, in g/m^2: through the surface, by the roots, with the water that plants drink, with water that is
        added, and with water that overflows.
    depth : Quantity
        At the end of each step, in cm.
    profile : Quantity
        Concentration from the surface down at the end, in mg/L, [cells]; with ``profiles`` [days, cells].
    profile_depth : Quantity
        The middle of each cell below the surface, in cm, of the shape of ``profile``; the cells are thinnest at the
        surface, where oxygen falls fastest.
    steps_per_day : int
        How many steps a day has.
    balance : Quantity
        What all flows leave unexplained, in g/m^2; nothing but rounding.

    See Also
    --------
    mixed_water, still_water : Where it comes from.

    Examples
    --------
    >>> column = WaterColumn(depth=Q([13, 12.8], "cm"), temperature=Q(22, "degC"), demand=Q(1, "g/m^2/day"))
    >>> course = mixed_water(column, steps_per_day=4)
    >>> course.time.magnitude.tolist(), bool(course.balance < Q(1e-9, "g/m^2"))
    ([0.25, 0.5, 0.75, 1.0, 1.25, 1.5, 1.75, 2.0], True)
    """

    time: Quantity
    mean: Quantity
    top: Quantity
    floor: Quantity
    inflow: Quantity
    used: Quantity
    drawn: Quantity
    gained: Quantity
    spilled: Quantity
    depth: Quantity
    profile: Quantity
    profile_depth: Quantity
    steps_per_day: int
    balance: Quantity

    @property
    def lowest(self) -> Quantity:
        """Lowest mean concentration of each day, in mg/L, [days] or [members, days].

        Examples
        --------
        >>> column = WaterColumn(depth=Q([13, 12.8], "cm"), temperature=Q(22, "degC"), demand=Q(1, "g/m^2/day"))
        >>> mixed_water(column).lowest.magnitude.round(1).tolist()
        [5.8, 5.6]
        """
        mean = self.mean.magnitude
        return Q(mean.reshape(*mean.shape[:-1], -1, self.steps_per_day).min(axis=-1), "mg/L")

    def first_below(self, concentration: Quantity) -> Quantity:
        """Time at which the mean is first below a concentration.

        Parameters
        ----------
        concentration : Quantity
            One.

        Returns
        -------
        Quantity
            In days, infinite where that does not come; one, or [members].

        Raises
        ------
        UnitNeeded
            It is no concentration.
        OutOfRange
            It is negative.
        Problem
            There are several.

        Examples
        --------
        >>> column = WaterColumn(depth=Q([13, 12.8], "cm"), temperature=Q(22, "degC"), demand=Q(1, "g/m^2/day"))
        >>> round(mixed_water(column).first_below(Q(8, "mg/L")).m_as("hour"))
        3
        """
        limit = one_value(concentration, "mg/L", "concentration", "first_below")
        check_concentration(limit)
        low = self.mean.magnitude < limit
        first = self.time.magnitude[low.argmax(axis=-1)]
        return Q(np.where(low.any(axis=-1), first, np.inf)[()], "day")

    def __str__(self) -> str:
        mean = self.mean.m_as("mg/L")
        days = self.time.magnitude[-1]
        many = f" over {mean.size // mean.shape[-1]} members" if mean.ndim > 1 else ""
        return (
            f"{days:.3g} days{many}: {mean.max():.1f} mg/L of oxygen at most, {mean.min():.1f} at least, "
            f"{mean[..., -1].min():.1f} to {mean[..., -1].max():.1f} at the end"
        )


def still_water(
    column: WaterColumn,
    *,
    mixing: float = 1.0,
    cells: int | None = None,
    steps_per_day: int | None = None,
    profiles: bool = False,
) -> OxygenCourse:
    """Follow oxygen over depth in still water through a season, while the level falls.

    Parameters
    ----------
    column : WaterColumn
        The water, its warmth and its roots.
    mixing : float, optional
        How many times faster than by diffusion oxygen moves in the water; 1 for quite still.
    cells : int, optional
        Over the depth; 80 when left out.
    steps_per_day : int, optional
        Into which a day is cut; 24 when left out.
    profiles : bool, optional
        True to keep the profile of the end of each day, and not of the last only.

    Returns
    -------
    OxygenCourse
        Step by step, [steps] or [members, steps].

    Raises
    ------
    OutOfRange
        The water is too shallow, or the cells, steps or mixing cannot be.
    Problem
        Numbers of days or members do not fit each other, or a level rises by more than was added.
    Unreadable
        There is no water column, or the mixing is no plain number.

    See Also
    --------
    mixed_water : The other end.
    profile : Where it ends under a level that holds.

    Notes
    -----
    Diffusion with use in the coordinate depth over current depth; a film at the surface, none at the floor. Cells and
    steps as left out are within 0.02 mg/L of 1600 cells, and of steps of 6 minutes while the roots need a day or more
    to use up what the water holds (run/cells and run/steps in data/oxygen.csv say where it is more); give more of both
    to see. A tank turns over whenever its top cools, so it is never as still as this. Nobody has measured a profile in
    a still tank. A crop that floated on its solution for the whole time lost only 19 percent (abstract) where this
    says that there is no oxygen: read it as a risk.

    References
    ----------
    KRATKY2005

    Examples
    --------
    >>> falling = WaterColumn(
    ...     depth=Q(np.linspace(13, 3, 42), "cm"), temperature=Q(25, "degC"), demand=Q(2, "g/m^2/day")
    ... )
    >>> course = still_water(falling)
    >>> bool(course.floor[-1] < Q(0.1, "mg/L")), bool(course.balance < Q(1e-9, "g/m^2"))
    (True, True)
    """
    instance_of(column, WaterColumn, "column", "still_water")
    factor = pure_number(mixing, 1, "mixing", "still_water")
    if np.ndim(factor):
        raise Problem(f"still_water takes one value for `mixing`; you gave {np.size(factor)}.")
    within(
        factor,
        1,
        1e9,
        "Mixing makes oxygen move 1 to 1e9 times as fast as diffusion; {value:g} is not possible.",
    )
    usual = int(n("run", "cells"))
    many = whole_number(
        usual if cells is None else cells,
        2,
        10_000,
        "still_water: 2 to 10000 whole cells; {value!r} is not possible.",
    )
    if not isinstance(profiles, (bool, np.bool_)):
        raise Problem(f"still_water: profiles is True or False; {profiles!r} is neither.")
    with speaking_of(column.depth):
        driven = drive("still_water", column._plain, many, factor, steps_per_day)
    return _course(driven, bool(profiles))


def mixed_water(column: WaterColumn, *, steps_per_day: int | None = None) -> OxygenCourse:
    """Follow oxygen in mixed water under a film at its surface through a season, while the level falls.

    Parameters
    ----------
    column : WaterColumn
        The water, its warmth and its roots.
    steps_per_day : int, optional
        Into which a day is cut; 24 when left out.

    Returns
    -------
    OxygenCourse
        Step by step, [steps] or [members, steps].

    Raises
    ------
    OutOfRange
        The water is too shallow, or there are too many steps.
    Problem
        Numbers of days or members do not fit each other, or a level rises by more than was added.
    Unreadable
        There is no water column.

    See Also
    --------
    still_water : The other end, and what both leave out.
    fit_film_coefficient : Measures what decides most.

    Notes
    -----
    A balance of mass. The film coefficient decides more than anything a learner controls, and nobody has measured it
    in a lidded tub. Water that is less than mixed holds less oxygen at its floor. Roots in moist air are left out
    unless they are taken off the demand. Read it as a risk, never as a death.

    Examples
    --------
    >>> day = np.arange(1, 43)
    >>> growing = Q(4 * np.exp(0.12 * (day - 42)), "g/m^2/day")
    >>> held = WaterColumn(depth=Q(np.full(42, 13), "cm"), temperature=Q(25, "degC"), demand=growing)
    >>> round(mixed_water(held).first_below(Q(2.1, "mg/L")).magnitude, 1)
    36.2
    """
    instance_of(column, WaterColumn, "column", "mixed_water")
    with speaking_of(column.depth):
        driven = drive("mixed_water", column._plain, 1, np.inf, steps_per_day)
    return _course(driven, profiles=False)


def _course(driven: Driven, profiles: bool) -> OxygenCourse:
    steps, shape, per = driven.steps, driven.shape, driven.per
    count = len(steps.demand)
    kept = np.zeros(count, dtype=bool)
    kept[per - 1 :: per] = profiles
    kept[-1] = True
    run = advance(steps, driven.grid, driven.start, kept)

    def turned(values: Any, unit: str) -> Any:
        return Q(np.ascontiguousarray(values.T).reshape(*shape, len(values)), unit)

    cells = np.moveaxis(run.cells, -1, 0).reshape(*shape, *run.cells.shape[:2])
    below = (
        (100 * steps.depth[1:][kept, None] * driven.grid.middle[:, None])
        .transpose(2, 0, 1)
        .reshape(cells.shape)
    )
    flows = run.inflow + run.gained - run.used - run.drawn - run.spilled
    left = driven.start * steps.depth[0] + flows.sum(axis=0) - run.mean[-1] * steps.depth[-1]
    return OxygenCourse(
        time=Q(np.arange(1, count + 1) / per, "day"),
        mean=turned(run.mean, "mg/L"),
        top=turned(run.top, "mg/L"),
        floor=turned(run.floor, "mg/L"),
        inflow=turned(run.inflow, "g/m^2"),
        used=turned(run.used, "g/m^2"),
        drawn=turned(run.drawn, "g/m^2"),
        gained=turned(run.gained, "g/m^2"),
        spilled=turned(run.spilled, "g/m^2"),
        depth=turned(100 * steps.depth[1:], "cm"),
        profile=Q(cells if profiles else cells[..., -1, :], "mg/L"),
        profile_depth=Q(below if profiles else below[..., -1, :], "cm"),
        steps_per_day=per,
        balance=Q(np.abs(left).reshape(shape)[()], "g/m^2"),
    )
