"""Courses of pH side by side: one dose from several bottles in the days after, and plants that drive it up or down."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ...units import Q, Unreadable, single, takes, within
from ._settled import Settled, settle
from .acids import Acid
from .degassing import Degassing, degas
from .dosing import Dose, acid_dose, dosed
from .drift import after_uptake


@dataclass(frozen=True, eq=False)
class AfterDosing:
    """The pH in the days after a dose, for several acids that all gave the same pH at first."""

    target: float
    days: Any
    """A row of times from the dose on."""
    doses: tuple[Dose, ...]
    course: Degassing
    """Its arrays have a row for each dose."""

    @takes(day="day")
    def on(self, day: Any) -> tuple[tuple[float, float, float], ...]:
        """For each acid the pH expected on a day, and the lowest and highest that the unknown rate leaves.

        Read between the days of the row, in a straight line.

        Example
        -------
        >>> from stilltank.science.solution import Water
        >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
        >>> after = after_dosing(tap, 5.8, ["nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L"], Q(14, "day"))
        >>> [f"{ph:.1f}" for ph, _, _ in after.on(Q(0, "day"))]
        ['5.8', '5.8']
        """
        row, course = self.days.m_as("day"), self.course
        return tuple(
            (
                float(np.interp(day, row, ph)),
                float(np.interp(day, row, low)),
                float(np.interp(day, row, high)),
            )
            for ph, low, high in zip(course.ph, course.low, course.high, strict=True)
        )


@takes(most="day")
def after_dosing(
    solution: Any, target: float, acids: Sequence[Acid | str], most: Any, depth: Any = None, points: int = 56
) -> AfterDosing:
    """Follow the pH after the dose for a pH now, with several acids.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    target : number, the pH just after the dose
    acids : Acids, or names of them
    most : quantity, how long to follow it
    depth : quantity, of the water; as for ``degas``
    points : int, how many steps the row of times has

    Returns
    -------
    AfterDosing

    Raises
    ------
    OutOfRange, UnitNeeded, Unreadable, Problem   as ``acid_dose`` and ``degas``

    Example
    -------
    >>> from stilltank.science.solution import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> after = after_dosing(tap, 5.8, ["nitric acid 0.5 mol/L", "phosphoric acid 0.5 mol/L"], Q(14, "day"))
    >>> [f"{ph:.1f}" for ph in after.course.open]
    ['7.9', '6.8']

    Limits and source: as ``degas``.
    """
    solution = settle(solution)
    days = Q(np.linspace(0, most, points + 1), "day")
    doses = tuple(acid_dose(solution, target, acid) for acid in acids)
    return AfterDosing(target, days, doses, degas(_dosed(solution, doses), days, depth=depth))


def _dosed(solution: Any, doses: Sequence[Dose]) -> Settled:
    """The solution after each of several doses, as one: followed together they take half the time."""
    state = solution.state()
    for dose, own in zip(doses, np.eye(len(doses)), strict=True):
        state = dosed(state, dose.acid, dose.amount.m_as("mmol/L") * own)
    return Settled(state)


_NETS = ("nitrate", "ammonium")


@dataclass(frozen=True, eq=False)
class Drift:
    """The pH along net uptake: of anions, as with nitrate, and of cations, as with ammonium."""

    solution: Any
    start: float
    amounts: Any
    """mmol taken net out of each litre, a row from 0."""
    nitrate: Any
    """pH where that much more nitrate is taken than cations."""
    ammonium: Any
    """pH where that much more ammonium is taken than anions."""

    def at(self, net: str, amount: Any) -> float:
        """pH where plants take one amount more of ``"nitrate"``, or of ``"ammonium"``: read off the row."""
        if net not in _NETS:
            raise Unreadable(f'A drift is by "nitrate" or by "ammonium"; {net!r} is neither.')
        row, taken = self.amounts.m_as("mmol/L"), single(amount, "mmol/L", "amount", "at")
        within(taken, 0, row[-1], f"This drift runs from 0 to {row[-1]:g} mmol/L; {{value:g}} is outside.")
        return float(np.interp(taken, row, getattr(self, net)))


@takes(most="mmol/L")
def drift_by_uptake(solution: Any, most: Any, points: int = 60) -> Drift:
    """How far plants drive the pH of a solution at rest with the air, both ways.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
        Holding at least that much nitrate and ammonium.
    most : quantity, mmol taken net out of each litre, the end of the row
    points : int, how many steps the row has

    Returns
    -------
    Drift

    Raises
    ------
    OutOfRange, UnitNeeded, Unreadable, Problem   as ``after_uptake``

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Hoagland 2")
    >>> found = drift_by_uptake(tank, Q(0.5, "mmol/L"))
    >>> bool(found.ammonium[-1] < found.start < found.nitrate[-1])
    True

    Limits and source: as ``after_uptake``.
    """
    settled = settle(solution)
    row = most * np.linspace(0, 1, points + 1) ** 2  # closest where the pH moves fastest
    none = np.zeros_like(row)
    both = after_uptake(
        settled, nitrate=Q(np.append(row, none), "mmol/L"), ammonium=Q(np.append(none, row), "mmol/L")
    )
    nitrate, ammonium = np.split(both, 2)
    return Drift(settled, float(nitrate[0]), Q(row, "mmol/L"), nitrate, ammonium)
