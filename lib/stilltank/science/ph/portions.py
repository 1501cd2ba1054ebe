"""Dosing as a person does it: a part, stir, measure, and then decide."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.products import Acid, Reagent, figures

from ...tables import load, number
from ...units import Problem, Quantity, Unreadable, pure_number, within
from ._state import water_of
from .doses import Dose, acid_dose, base_dose, bottle_of
from .titration import titrate


@dataclass(frozen=True, eq=False)
class Portion:
    """One line of ``Portions``."""

    share: float
    """Of the whole dose that is in by then."""
    step: Any
    """mL of the acid (g of a solid) to add now."""
    added: Any
    """mL (g) that are in by then."""
    ph: float
    """Expected once stirred."""
    todo: str

    def __str__(self) -> str:
        return self.todo


@dataclass(frozen=True, eq=False)
class Portions:
    """A dose in portions."""

    rows: tuple[Portion, ...]
    dose: Dose
    """The whole of it."""

    def __str__(self) -> str:
        numbered = [f"{index}. {row.todo}" for index, row in enumerate(self.rows, start=1)]
        return "\n".join([*numbered, self.dose.acid.caution])


def portions(solution: Any, target: Any, acid: Reagent | str, shares: Any = None) -> Portions:
    """Divide a dose into portions, with the pH to expect after each.

    Parameters
    ----------
    solution : Solution or Water
        A water is dosed by the litre.
    target : number
        The pH wanted.
    acid : Acid or Base, or the name of one
    shares : numbers, optional
        Of the whole dose that are in after each portion, growing, the last one 1; default in data/dosing.csv.

    Returns
    -------
    Portions

    Raises
    ------
    Unreadable   shares that are no growing row of numbers up to 1; else as ``acid_dose``
    OutOfRange, Problem   as ``acid_dose``; several solutions at once

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> rows = portions(tap, 5.8, "nitric acid 0.1 mol/L").rows
    >>> [f'{row.added.m_as("mL"):.0f} mL: pH {row.ph:.1f}' for row in rows]
    ['10 mL: pH 6.5', '15 mL: pH 6.2', '18 mL: pH 6.0', '20 mL: pH 5.8']

    Limits: the pH just after stirring, before carbon dioxide leaves. It holds as far as the alkalinity does; when the
    meter shows another pH, go on with ``next_portion``.
    """
    water_of(solution, "portions")
    row = _shares(shares)
    wanted = one_ph(target, "target", "portions")
    dose = _dose_of(solution, wanted, acid)
    expected = titrate(solution, dose.acid, dose.amount * row)
    whole = dose.mass if dose.volume is None else dose.volume
    portions = []
    before = 0.0
    for index, (share, ph) in enumerate(zip(row, expected, strict=True)):
        step, added = whole * (share - before), whole * share
        portions.append(
            Portion(float(share), step, added, float(ph), _todo(index, len(row), step, added, ph))
        )
        before = share
    return Portions(tuple(portions), dose)


def _todo(index: int, count: int, step: Any, added: Any, ph: float) -> str:
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


def _shares(shares: Any) -> Any:
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


def _dose_of(solution: Any, wanted: float, reagent: Any) -> Dose:
    bottle: Any = bottle_of(reagent)
    return (
        acid_dose(solution, wanted, bottle)
        if isinstance(bottle, Acid)
        else base_dose(solution, wanted, bottle)
    )


def one_ph(value: Any, name: str, function: str) -> float:
    """One pH, as a plain number.

    Raises Unreadable, OutOfRange, Problem.
    """
    plain = pure_number(value, 5.8, name, function)
    if np.ndim(plain):
        raise Problem(f"{function} takes one value for `{name}`; you gave {np.size(plain)}.")
    within(plain, 0, 14, "A pH lies between 0 and 14; {value:g} does not. Write one such as 5.8.")
    return plain


def measure(quantity: Any) -> str:
    """A volume in mL, or a mass in g, with three figures."""
    if quantity.check("[mass]"):
        return f"{figures(quantity.m_as('g'))} g"
    return f"{figures(quantity.m_as('mL'))} mL"
