"""The pH of a solution, and what becomes of it with acid or base: a point, or a whole titration."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science.chemistry import solve
from stilltank.science.products import Acid, Reagent
from stilltank.units import Q, only, takes, within
from stilltank.units.types import Air, Array, Plain, Quantity

from ._state import (
    AIR,
    Settled,
    SolutionLike,
    acid_named,
    bottle_of,
    carbon_dioxide_pressure,
    dosed,
    settle,
    state_of,
    steps_of,
)
from .rule_of_thumb import rule_of_thumb


@takes(air=AIR)
def ph_of(solution: SolutionLike, air: Air = "closed") -> Plain:
    """Find the pH of a solution or a water.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``; one or several at once.
    air : {"closed", "open"}
        As it is, or once at rest with the air.

    Returns
    -------
    float or array
        The pH, one for each solution.

    Raises
    ------
    OutOfRange
        A solution outside the limits of the equilibrium.
    Unreadable
        No solution, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known.

    See Also
    --------
    degas : The days between the two answers.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> f'{ph_of(Water.pure(Q(25, "degC")), air="open"):.2f}'
    '5.60'
    """
    return solve(state_of(solution, "ph_of"), carbon_dioxide_pressure(air)).ph


@takes(amount="mmol/L", air=AIR)
def ph_after(solution: SolutionLike, acid: Reagent | str, amount: Quantity, air: Air = "closed") -> Plain:
    """Find the pH after an amount of acid or base.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``; one or several at once.
    acid : Acid, Base or str
        What is added, or its name.
    amount : Quantity
        Amount of it for each litre of the solution, such as mmol/L; one or an array.
    air : {"closed", "open"}
        Before carbon dioxide has left, or the pH it drifts to as it leaves.

    Returns
    -------
    float or array
        The pH, with the shape of the solutions and amounts.

    Raises
    ------
    OutOfRange
        A negative amount, or one that leaves the limits of the equilibrium (pH below 1).
    UnitNeeded
        An amount that has no unit.
    Unreadable
        No solution, an unknown acid or base, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known.

    See Also
    --------
    acid_dose : The amount for a pH.
    titrate : A row of amounts.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> f'{ph_after(tap, "nitric acid 0.5 mol/L", Q(1.2, "mmol/L")):.2f}'
    '6.14'
    >>> f'{ph_after(tap, "nitric acid 0.5 mol/L", Q(1.2, "mmol/L"), air="open"):.2f}'
    '8.07'
    """
    return _after(solution, acid, amount, air, "ph_after")


@takes(amounts="mmol/L", air=AIR)
def titrate(solution: SolutionLike, acid: Reagent | str, amounts: Quantity, air: Air = "closed") -> Array:
    """Find the pH along a row of amounts of acid or base, each counted from the start.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``.
    acid : Acid, Base or str
        What is added, or its name.
    amounts : Quantity
        Amounts of it for each litre of the solution, such as mmol/L; an array.
    air : {"closed", "open"}
        As for `ph_after`.

    Returns
    -------
    array
        The pH, as long as ``amounts``.

    Raises
    ------
    OutOfRange
        A negative amount, or one that leaves the limits of the equilibrium (pH below 1).
    UnitNeeded
        Amounts that have no unit.
    Unreadable
        No solution, an unknown acid or base, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known.

    See Also
    --------
    titration_curve : The same with the working range and the cliff.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> titrate(tap, "nitric acid 0.5 mol/L", Q([0, 1.2, 2.2], "mmol/L")).round(1).tolist()
    [8.0, 6.1, 3.7]
    """
    return np.atleast_1d(_after(solution, acid, amounts, air, "titrate"))


def _after(solution: SolutionLike, acid: Reagent | str, amount: Any, air: Air, function: str) -> Any:
    within(amount, 0, np.inf, "An amount of acid or base cannot be below zero; {value:g} mmol/L is.")
    state, pressure = state_of(solution, function), carbon_dioxide_pressure(air)
    return solve(dosed(state, bottle_of(acid), amount), pressure).ph


@dataclass(frozen=True, eq=False)
class TitrationCurve:
    """The pH along amounts of acid, before carbon dioxide has left.

    Parameters
    ----------
    solution : Settled
        What is titrated.
    acid : Acid
        What is added.
    amounts : Quantity
        In mmol of acid in each litre, a row from 0.
    ph : array
        The pH at each of them.

    See Also
    --------
    titration_curve : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> titration_curve(tap, "nitric acid 0.5 mol/L", Q(4, "mmol/L"), points=4).ph.round(1).tolist()
    [8.0, 6.3, 4.5, 3.0, 2.7]
    """

    solution: Settled
    acid: Acid
    amounts: Quantity
    ph: Array

    @property
    def inside(self) -> tuple[Quantity, Quantity] | None:
        """Between which amounts the pH is in the working range; None where it never is."""
        rule = rule_of_thumb()
        low, high = rule.lowest, rule.highest
        plain = self.amounts.m_as("mmol/L")
        if self.ph[0] < low or self.ph[-1] > high:
            return None
        ends = np.interp([-high, -low], -self.ph, plain)  # the pH falls along the row
        return Q(ends[0], "mmol/L"), Q(ends[1], "mmol/L")

    @property
    def cliff(self) -> Quantity | None:
        """The amount at which the pH falls fastest, from the upper end of the working range on.

        None if the pH stays above the range. Above it is another steep piece, where carbonate has gone; nobody stops
        there.
        """
        high = rule_of_thumb().highest
        plain = self.amounts.m_as("mmol/L")
        below = np.flatnonzero(self.ph[1:] <= high)  # steps that end in the range or under it
        if not below.size:
            return None
        at = below[np.argmin(np.diff(self.ph)[below])]
        return Q((plain[at] + plain[at + 1]) / 2, "mmol/L")

    @takes(amount="mmol/L")
    def at(self, amount: Quantity) -> "TitrationPoint":
        """Find the point of the curve at one amount, and how far the next bit of acid takes it down.

        Parameters
        ----------
        amount : Quantity
            Amount of acid for each litre, such as mmol/L; one value.

        Returns
        -------
        TitrationPoint
            The pH there, and the fall that comes next.

        Raises
        ------
        UnitNeeded
            An amount that has no unit.
        OutOfRange
            A negative amount.
        Problem
            Several amounts.

        Examples
        --------
        >>> from stilltank.science.chemistry import Water
        >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
        >>> point = titration_curve(tap, "nitric acid 0.5 mol/L", Q(4, "mmol/L")).at(Q(1.2, "mmol/L"))
        >>> f"pH {point.ph:.2f}, the next {point.step.m_as('mmol/L'):g} mmol/L lower it by {point.falls:.2f}"
        'pH 6.14, the next 0.1 mmol/L lower it by 0.09'
        """
        plain = only(amount, "amount", "at")
        step = tables.number("dosing", "titration", "small step", "mmol/L")
        here, after = titrate(self.solution, self.acid, Q([plain, plain + step], "mmol/L"))
        return TitrationPoint(self, Q(plain, "mmol/L"), float(here), float(here - after), Q(step, "mmol/L"))


@dataclass(frozen=True, eq=False)
class TitrationPoint:
    """One amount of acid on a titration curve.

    Parameters
    ----------
    curve : TitrationCurve
        The curve it belongs to.
    amount : Quantity
        In mmol of acid in each litre.
    ph : float
        The pH there.
    falls : float
        By how much the next ``step`` of acid lowers the pH.
    step : Quantity
        In mmol/L, a small step.

    See Also
    --------
    TitrationCurve.at : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> point = titration_curve(tap, "nitric acid 0.5 mol/L", Q(4, "mmol/L")).at(Q(2, "mmol/L"))
    >>> round(point.ph, 1), round(point.falls, 1)
    (4.5, 0.5)
    """

    curve: TitrationCurve
    amount: Quantity
    ph: float
    falls: float
    step: Quantity


@takes(most="mmol/L")
def titration_curve(
    solution: SolutionLike, acid: Acid | str, most: Quantity, points: int = 120
) -> TitrationCurve:
    """Find the pH of a solution along acid, from none to an amount, before carbon dioxide has left.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``.
    acid : Acid or str
        The acid, or its name.
    most : Quantity
        Amount of acid for each litre, such as mmol/L, at the end of the row; one value.
    points : int
        How many steps the row has.

    Returns
    -------
    TitrationCurve
        The row and its pH.

    Raises
    ------
    OutOfRange
        A negative amount, one that leaves the limits of the equilibrium (pH below 1), or no number of steps.
    UnitNeeded
        An amount that has no unit.
    Unreadable
        No solution, or an unknown acid.
    Problem
        Several amounts, or a water whose alkalinity or pH is not known.

    See Also
    --------
    ph_after : One amount; its limits hold here too.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> curve = titration_curve(tap, "nitric acid 0.5 mol/L", Q(4, "mmol/L"))
    >>> [f"{amount.m_as('mmol/L'):.1f}" for amount in (*curve.inside, curve.cliff)]
    ['0.3', '1.7', '2.0']
    """
    name = "titration_curve"
    amounts = Q(np.linspace(0, only(most, "most", name), steps_of(points, name) + 1), "mmol/L")
    bottle = acid_named(acid, name)
    settled = settle(solution, name)
    return TitrationCurve(settled, bottle, amounts, titrate(settled, bottle, amounts))
