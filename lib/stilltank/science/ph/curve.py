"""The titration curve of a water: flat, then a cliff."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from ... import tables
from ...units import Q, takes
from ._settled import Settled, settle
from .acids import Acid
from .acids import acid as named_acid
from .rule import trade_rule
from .titration import titrate


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
        rule = trade_rule()
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
        high = trade_rule().highest
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
        >>> from stilltank.science.solution import Water
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
    >>> from stilltank.science.solution import Water
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
