"""Oxygen through a season in water whose level falls: quite still, or mixed."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import Problem, Q, one_value, pure_number, whole_number, within

from ._formulas import n
from ._inputs import Driven, drive
from ._solver import advance


@dataclass(frozen=True, eq=False)
class OxygenCourse:
    """Oxygen in the water along a season; arrays are [steps] or [members, steps].

    Attributes
    ----------
    time : quantity in days, [steps], the end of each step
    mean, top, floor : quantities in mg/L, of the whole water, at its surface, at its floor
    inflow, used, drawn, gained, spilled : quantities in g/m^2, of each step: through the surface, by the roots, with
        the water that plants drink, with water that is added, and with water that overflows
    depth : quantity in cm, at the end of each step
    profile : quantity in mg/L, [cells] from the surface down, at the end; with ``profiles`` [days, cells]
    profile_depth : quantity in cm, as `profile`: the middle of each cell below the surface; the cells are thinnest
        at the surface, where oxygen falls fastest
    steps_per_day : int
    balance : quantity in g/m^2, what all flows leave unexplained; nothing but rounding
    """

    time: Any
    mean: Any
    top: Any
    floor: Any
    inflow: Any
    used: Any
    drawn: Any
    gained: Any
    spilled: Any
    depth: Any
    profile: Any
    profile_depth: Any
    steps_per_day: int
    balance: Any

    @property
    def lowest(self) -> Any:
        """Lowest mean concentration of each day, mg/L, [days] or [members, days]."""
        mean = self.mean.magnitude
        return Q(mean.reshape(*mean.shape[:-1], -1, self.steps_per_day).min(axis=-1), "mg/L")

    def first_below(self, concentration: Any) -> Any:
        """Time at which the mean is first below a concentration.

        Parameters
        ----------
        concentration : quantity, one

        Returns
        -------
        quantity in days, infinite where that does not come; one, or [members]

        Raises
        ------
        UnitNeeded, OutOfRange, Problem   no concentration, a negative one, several
        """
        limit = one_value(concentration, "mg/L", "concentration", "first_below")
        within(limit, 0, np.inf, "A concentration is not negative; {value:g} is.")
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
    depth: Any,
    demand: Any,
    temperature: Any,
    *,
    film_coefficient: Any = None,
    mixing: Any = 1.0,
    first_depth: Any = None,
    added: Any = None,
    added_oxygen: Any = None,
    overflow: Any = None,
    start: Any = None,
    half_saturation: Any = None,
    pressure: Any = None,
    cells: int | None = None,
    steps_per_day: int | None = None,
    profiles: bool = False,
) -> OxygenCourse:
    """Follow oxygen over depth in still water through a season, while the level falls.

    Parameters
    ----------
    depth : quantity, of the water at the end of each day; [days] or [members, days], such as an ensemble's level
    demand : quantity, oxygen that the roots in the water ask for, on each area of water a day; spread evenly over
        the depth. One, one a day, or one a step (its middle), along the last axis; members before it
    temperature : quantity, of the water; as the demand
    film_coefficient : quantity, one or [members]; 0.3 m/day when left out, an assumption with a range of 0.1 to 0.6
    mixing : plain number, how many times faster than by diffusion oxygen moves in the water; 1 for quite still
    first_depth : quantity, one or [members], at the beginning; that of the first day's end when left out
    added : quantity, depth added at the beginning of each day, [days] or [members, days]; where it is left out, a
        level that rises is taken to have been topped up
    added_oxygen : quantity, in what is added; saturated when left out
    overflow : quantity, depth that left by the overflow hole right after; none when left out
    start : quantity, concentration at the beginning, one or [members]; saturated when left out
    half_saturation : quantity, the oxygen at which roots use half of their demand; 0.2 mg/L when left out, assumed
    pressure : quantity, of the air, as the demand; 1 atm when left out
    cells, steps_per_day : int, 80 and 24 when left out
    profiles : True to keep the profile of the end of each day, and not of the last only

    Returns
    -------
    OxygenCourse

    Raises
    ------
    UnitNeeded   a bare number
    OutOfRange   a negative demand, a depth of nothing, water outside 0 to 40 degC and the like
    Problem      numbers of days that do not fit each other, a level that rises by more than was added

    Example
    -------
    >>> falling = still_water(Q(np.linspace(13, 3, 42), "cm"), Q(2, "g/m^2/day"), Q(25, "degC"))
    >>> bool(falling.floor[-1] < Q(0.1, "mg/L")), bool(falling.balance < Q(1e-9, "g/m^2"))
    (True, True)

    Limits: straight walls. Cells and steps as left out are within 0.02 mg/L of 1600 cells, and of steps of 6 minutes
    while the roots need a day or more to use up what the water holds (run/cells and run/steps in data/oxygen.csv say
    where it is more); give more of both to see. A tank turns over whenever its top cools, so it is never as still as
    this: see `mixed_water` for the other end. Nobody has measured a profile in a still tank. A crop that floated on
    its solution for the whole time lost only 19 percent (Kratky 2005, abstract) where this says that there is no
    oxygen: read it as a risk.
    Source: diffusion with use in the coordinate depth over current depth; film at the surface, none at the floor.
    """
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
    given = {
        "depth": depth,
        "demand": demand,
        "temperature": temperature,
        "film_coefficient": film_coefficient,
        "first_depth": first_depth,
        "added": added,
        "added_oxygen": added_oxygen,
        "overflow": overflow,
        "start": start,
        "pressure": pressure,
    }
    return _course(drive("still_water", given, half_saturation, many, factor, steps_per_day), profiles)


def mixed_water(
    depth: Any,
    demand: Any,
    temperature: Any,
    *,
    film_coefficient: Any = None,
    first_depth: Any = None,
    added: Any = None,
    added_oxygen: Any = None,
    overflow: Any = None,
    start: Any = None,
    half_saturation: Any = None,
    pressure: Any = None,
    steps_per_day: int | None = None,
) -> OxygenCourse:
    """Follow oxygen in mixed water under a film at its surface through a season, while the level falls.

    Parameters
    ----------
    all : see `still_water`

    Returns
    -------
    OxygenCourse

    Raises
    ------
    UnitNeeded, OutOfRange, Problem   see `still_water`

    Example
    -------
    >>> day = np.arange(1, 43)
    >>> held = mixed_water(Q(np.full(42, 13), "cm"), Q(4 * np.exp(0.12 * (day - 42)), "g/m^2/day"), Q(25, "degC"))
    >>> round(held.first_below(Q(2.1, "mg/L")).magnitude, 1)
    36.2

    Limits: the film coefficient decides more than anything a learner controls, and nobody has measured it in a
    lidded tub. Water that is less than mixed holds less oxygen at its floor. Roots in moist air are left out unless
    they are taken off the demand. Read it as a risk, never as a death: see `still_water`.
    Source: balance of mass.
    """
    given = {
        "depth": depth,
        "demand": demand,
        "temperature": temperature,
        "film_coefficient": film_coefficient,
        "first_depth": first_depth,
        "added": added,
        "added_oxygen": added_oxygen,
        "overflow": overflow,
        "start": start,
        "pressure": pressure,
    }
    return _course(drive("mixed_water", given, half_saturation, 1, np.inf, steps_per_day), profiles=False)


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
