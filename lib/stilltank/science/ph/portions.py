"""Dosing as a person does it: a part, stir, measure, and then decide."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np

from stilltank.science.chemistry import Solution, Water
from stilltank.science.products import Acid, Base, Reagent, figures
from stilltank.tables import load, number
from stilltank.units import PlainNumber, Quantity, Unreadable, pure_number, takes
from stilltank.units.types import Array

from ._state import bottle_of, one_ph, water_of
from .doses import Dose, acid_dose, base_dose
from .titration import titrate


@dataclass(frozen=True, eq=False)
class Portion:
    """One line of `Portions`.

    Parameters
    ----------
    share : float
        Share of the whole dose that is in by then.
    step : Quantity
        In mL of the acid (g of a solid), to add now.
    added : Quantity
        In mL (g), what is in by then.
    ph : float
        The pH expected once stirred.
    todo : str
        What to do, in words.

    See Also
    --------
    portions : Makes them.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> print(portions(tap, 5.8, "nitric acid 0.1 mol/L").rows[-1])
    Add the last 2.04 mL in small sips, 20.4 mL in all, and stop as soon as the meter shows pH 5.8.
    """

    share: float
    step: Quantity
    added: Quantity
    ph: float
    todo: str

    def __str__(self) -> str:
        return self.todo


@dataclass(frozen=True, eq=False)
class Portions:
    """A dose in portions.

    Parameters
    ----------
    rows : tuple of Portion
        One after the other.
    dose : Dose
        The whole of it.

    See Also
    --------
    portions : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> len(portions(tap, 5.8, "nitric acid 0.1 mol/L").rows)
    4
    """

    rows: tuple[Portion, ...]
    dose: Dose

    def __str__(self) -> str:
        numbered = [f"{index}. {row.todo}" for index, row in enumerate(self.rows, start=1)]
        return "\n".join([*numbered, self.dose.acid.caution])


@takes(target=PlainNumber(5.8))
def portions(
    solution: Solution | Water,
    target: float,
    acid: Reagent | str,
    shares: Sequence[float] | Array | Quantity | None = None,
) -> Portions:
    """Divide a dose into portions, with the pH to expect after each.

    Parameters
    ----------
    solution : Solution or Water
        One at a time. A water is dosed by the litre.
    target : float
        The pH wanted.
    acid : Acid, Base or str
        What is added, or its name.
    shares : list of float, optional
        Shares of the whole dose that are in after each portion, growing, the last one 1; those of data/dosing.csv
        when left out.

    Returns
    -------
    Portions
        One line for each portion.

    Raises
    ------
    Unreadable
        No solution, a target that is not a number, an unknown acid or base, or shares that are no growing row of
        numbers up to 1.
    OutOfRange
        A target that this acid or base does not reach.
    Problem
        Several solutions or targets, or a water whose alkalinity or pH is not known.

    See Also
    --------
    next_portion : How to go on when the meter shows another pH.

    Notes
    -----
    The pH is that just after stirring, before carbon dioxide leaves. It holds as far as the alkalinity does.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> rows = portions(tap, 5.8, "nitric acid 0.1 mol/L").rows
    >>> [f'{row.added.m_as("mL"):.0f} mL: pH {row.ph:.1f}' for row in rows]
    ['10 mL: pH 6.5', '15 mL: pH 6.2', '18 mL: pH 6.0', '20 mL: pH 5.8']
    """
    water_of(solution, "portions")
    row = _shares(shares)
    wanted = one_ph(target, "target", "portions")
    dose = _dose_of(solution, wanted, acid)
    expected = titrate(solution, dose.acid, dose.amount * row)
    whole = dose.mass if dose.volume is None else dose.volume
    rows = []
    before = 0.0
    for index, (share, ph) in enumerate(zip(row, expected, strict=True)):
        step, added = whole * (share - before), whole * share
        rows.append(Portion(float(share), step, added, float(ph), _todo(index, len(row), step, added, ph)))
        before = share
    return Portions(tuple(rows), dose)


def _todo(index: int, count: int, step: Quantity, added: Quantity, ph: float) -> str:
    now, all_in = measure(step), measure(added)
    worth = number("dosing", "portions", "worth a word", "1")
    if count == 1:
        return f"Add {now}, stir, wait, measure: about pH {ph:.1f}."
    if index == 0:
        return (
            f"Add {now} slowly while stirring, wait, measure: about pH {ph:.1f}. "
            f"If it is more than {worth:g} off, stop and work out the next portion from the reading."
        )
    if index < count - 1:
        return f"Add {now} more, {all_in} in all, stir, measure: about pH {ph:.1f}."
    return (
        f"Add the last {now} in small sips, {all_in} in all, and stop as soon as the meter shows pH {ph:.1f}."
    )


def _shares(shares: Sequence[float] | Array | Quantity | None) -> Array:
    if shares is None:
        rows = load("dosing").of("portions")
        return np.array(
            [
                entry.quantity.m_as("dimensionless")
                for prop, entry in rows.items()
                if prop.startswith("share ")
            ]
        )
    plain = shares.m_as("dimensionless") if isinstance(shares, Quantity) and shares.check("[]") else shares
    if isinstance(plain, (Sequence, np.ndarray, float, int)) and not isinstance(plain, str):
        row = np.atleast_1d(pure_number(plain, 0.5, "shares", "portions"))
        if row.ndim == 1 and row.size and row[0] > 0 and np.all(np.diff(row) > 0) and abs(row[-1] - 1) < 1e-9:
            return row
    raise Unreadable(
        f"portions needs shares that grow and end at 1, such as [0.5, 0.75, 0.9, 1]; you gave {shares!r}."
    )


def _dose_of(solution: Solution | Water, wanted: float, reagent: Reagent | str) -> Dose:
    bottle = bottle_of(reagent)
    if isinstance(bottle, Base):
        return base_dose(solution, wanted, bottle)
    return acid_dose(solution, wanted, cast(Acid, bottle))


def measure(quantity: Quantity) -> str:
    """A volume in mL, or a mass in g, with three figures."""
    if quantity.check("[mass]"):
        return f"{figures(quantity.m_as('g'))} g"
    return f"{figures(quantity.m_as('mL'))} mL"
