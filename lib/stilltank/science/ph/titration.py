"""The pH of a solution, and what becomes of it with acid or base: a point, or a whole titration."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science.chemistry import solve
from stilltank.science.products import Acid, Reagent
from stilltank.science.products import acid as named_acid
from stilltank.units import Q, magnitude, takes, within

from ._state import Settled, carbon_dioxide_pressure, dosed, settle, state_of
from .doses import bottle_of
from .rule_of_thumb import rule_of_thumb


def ph_of(solution: Any, air: str = "closed") -> Any:
    """pH of a solution or a water.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    air : "closed" or "open"
        As it stands, or once at rest with the air.

    Returns
    -------
    number or array

    Raises
    ------
    OutOfRange, Unreadable, Problem   as ``acid_dose``

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> f'{ph_of(Water.pure(Q(25, "degC")), air="open"):.2f}'
    '5.60'
    """
    return solve(state_of(solution), carbon_dioxide_pressure(air)).ph


def ph_after(solution: Any, acid: Reagent | str, amount: Any, air: str = "closed") -> Any:
    """pH after an amount of acid or base; with ``air="open"`` the pH it drifts to as carbon dioxide leaves.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    acid : Acid or Base, or the name of one
    amount : quantity, mmol of it for each litre of solution, one or an array
    air : "closed" or "open"

    Returns
    -------
    number or array

    Raises
    ------
    OutOfRange   a negative amount, or one that leaves the limits of ``equilibrium`` (pH below 1)
    UnitNeeded   an amount without a unit
    Unreadable, Problem   as ``acid_dose``

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> [float(f'{ph_after(tap, "nitric acid 0.5 mol/L", Q(1.2, "mmol/L"), air):.2f}') for air in ("closed", "open")]
    [6.14, 8.07]
    """
    return _after(solution, acid, magnitude(amount, "mmol/L", "amount", "ph_after"), air)


def titrate(solution: Any, acid: Reagent | str, amounts: Any, air: str = "closed") -> Any:
    """pH along a row of amounts of acid or base, each counted from the start.

    Parameters
    ----------
    solution, acid, air : as for ``ph_after``
    amounts : quantity, array of mmol of it for each litre of solution

    Returns
    -------
    numpy array, as long as ``amounts``

    Raises
    ------
    OutOfRange, UnitNeeded, Unreadable, Problem   as ``ph_after``

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> titrate(tap, "nitric acid 0.5 mol/L", Q([0, 1.2, 2.2], "mmol/L")).round(1).tolist()
    [8.0, 6.1, 3.7]
    """
    return np.atleast_1d(_after(solution, acid, magnitude(amounts, "mmol/L", "amounts", "titrate"), air))


def _after(solution: Any, acid: Reagent | str, amount: Any, air: str) -> Any:
    within(amount, 0, np.inf, "An amount of acid or base cannot be below zero; {value:g} mmol/L is.")
    state, pressure = state_of(solution), carbon_dioxide_pressure(air)
    return solve(dosed(state, bottle_of(acid), amount), pressure).ph


@dataclass(frozen=True, eq=False)
class TitrationCurve:
    """pH along amounts of acid, before carbon dioxide has left."""

    solution: Settled
    acid: Acid
    amounts: Any
    """mmol of acid in each litre, a row from 0."""
    ph: Any
    """pH at each of them."""

    @property
    def inside(self) -> tuple[Any, Any] | None:
        """Between which amounts the pH lies in the working range; None where it never does."""
        rule = rule_of_thumb()
        low, high = rule.lowest, rule.highest
        plain = self.amounts.m_as("mmol/L")
        if self.ph[0] < low or self.ph[-1] > high:
            return None
        ends = np.interp([-high, -low], -self.ph, plain)  # the pH falls along the row
        return Q(ends[0], "mmol/L"), Q(ends[1], "mmol/L")

    @property
    def cliff(self) -> Any:
        """The amount at which the pH falls fastest, from the upper end of the working range on; None if it stays above.

        Above that range lies another steep piece, where carbonate has gone; nobody stops there.
        """
        high = rule_of_thumb().highest
        plain = self.amounts.m_as("mmol/L")
        below = np.flatnonzero(self.ph[1:] <= high)  # steps that end in the range or under it
        if not below.size:
            return None
        at = below[np.argmin(np.diff(self.ph)[below])]
        return Q((plain[at] + plain[at + 1]) / 2, "mmol/L")

    @takes(amount="mmol/L")
    def at(self, amount: Any) -> "TitrationPoint":
        """The point of the curve at one amount, and how far the next bit of acid takes it down.

        Example
        -------
        >>> from stilltank.science.chemistry import Water
        >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
        >>> point = titration_curve(tap, "nitric acid 0.5 mol/L", Q(4, "mmol/L")).at(Q(1.2, "mmol/L"))
        >>> f"pH {point.ph:.2f}, the next {point.step.m_as('mmol/L'):g} mmol/L lower it by {point.falls:.2f}"
        'pH 6.14, the next 0.1 mmol/L lower it by 0.09'
        """
        step = tables.number("dosing", "titration", "small step", "mmol/L")
        here, after = titrate(self.solution, self.acid, Q([amount, amount + step], "mmol/L"))
        return TitrationPoint(self, Q(amount, "mmol/L"), float(here), float(here - after), Q(step, "mmol/L"))


@dataclass(frozen=True, eq=False)
class TitrationPoint:
    """One amount of acid on a titration curve."""

    curve: TitrationCurve
    amount: Any
    ph: float
    falls: float
    """pH units that the next ``step`` of acid lowers it by."""
    step: Any


@takes(most="mmol/L")
def titration_curve(solution: Any, acid: Acid | str, most: Any, points: int = 120) -> TitrationCurve:
    """pH of a solution or a water along acid, from none to an amount; before carbon dioxide has left.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    acid : Acid, or the name of one
    most : quantity, mmol of acid for each litre, the end of the row
    points : int, how many steps the row has

    Returns
    -------
    TitrationCurve

    Raises
    ------
    OutOfRange, UnitNeeded, Unreadable, Problem   as ``ph_after``

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> curve = titration_curve(tap, "nitric acid 0.5 mol/L", Q(4, "mmol/L"))
    >>> [f"{amount.m_as('mmol/L'):.1f}" for amount in (*curve.inside, curve.cliff)]
    ['0.3', '1.7', '2.0']

    Limits and source: as ``ph_after``.
    """
    amounts = Q(np.linspace(0, most, points + 1), "mmol/L")
    bottle = acid if isinstance(acid, Acid) else named_acid(acid)
    settled = settle(solution)
    return TitrationCurve(settled, bottle, amounts, titrate(settled, bottle, amounts))
