"""Dosing as a person does it: a part, stir, measure, and then decide."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from ...tables import load, number
from ...units import OutOfRange, Problem, Q, Quantity, Unreadable, pure_number, single, within
from ._water import possible_alkalinity, water_of, with_alkalinity
from .acids import Acid
from .dosing import Dose, _bottle, _litre, _one_of, acid_dose, base_dose, ph_after, ph_of, titrate
from .reagents import Reagent, figures

_POINTS = 65  # taken three times, each within one step of the last; straight lines between


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


def in_portions(solution: Any, target: Any, acid: Reagent | str, shares: Any = None) -> Portions:
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
    >>> from stilltank.science.solution import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, name="tap")
    >>> rows = in_portions(tap, 5.8, "nitric acid 0.1 mol/L").rows
    >>> [f'{row.added.m_as("mL"):.0f} mL: pH {row.ph:.1f}' for row in rows]
    ['10 mL: pH 6.5', '15 mL: pH 6.2', '18 mL: pH 6.0', '20 mL: pH 5.8']

    Limits: the pH just after stirring, before carbon dioxide leaves. It holds as far as the alkalinity does; when the
    meter shows another pH, go on with ``next_portion``.
    """
    water_of(solution, "in_portions")
    row = _shares(shares)
    wanted = _one_ph(target, "target", "in_portions")
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
    now, all_in = _measure(step), _measure(added)
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
        row = np.atleast_1d(pure_number(plain, 0.5, "shares", "in_portions"))
        if row.ndim == 1 and row.size and row[0] > 0 and np.all(np.diff(row) > 0) and abs(row[-1] - 1) < 1e-9:
            return row
    raise Unreadable(
        f"in_portions needs shares that grow and end at 1, such as [0.5, 0.75, 0.9, 1]; you gave {shares!r}."
    )


@dataclass(frozen=True, eq=False)
class NextPortion:
    """What to do after a portion and a reading."""

    action: str
    """"add", "stop" (close enough), "overshot", or "unexplained"."""
    amount: Any
    """mmol of acid still to add for each litre; 0 unless the action is "add"."""
    volume: Any
    """mL still to add to the whole solution, or to each litre of a water; None for a solid."""
    mass: Any
    """g still to add; None for a dilution stated in mol/L."""
    alkalinity: Any
    """mg/L as CaCO3 of the water that explains the reading; None where none does."""
    expected: float | None
    """pH that the stated alkalinity lets one expect; None where no alkalinity was stated."""
    reading: float
    base: Dose | None
    """After an overshoot: the base that brings the solution back."""
    rises_to: float | None
    """After an overshoot: the pH it drifts to by itself as carbon dioxide leaves."""
    sentence: str
    caution: str

    def __str__(self) -> str:
        return f"{self.sentence}\n{self.caution}"


def next_portion(
    solution: Any, target: Any, acid: Acid | str, added: Any, reading: Any, air: str = "closed"
) -> NextPortion:
    """Decide what to do when a part of the acid is in and the meter shows a pH.

    The alkalinity that explains the reading is found first: reports age, and test kits are coarse. The rest of the
    dose follows from it.

    Parameters
    ----------
    solution : Solution or Water
        As it was before any acid; its water with a pH. An alkalinity need not be known.
    target : number
        The pH wanted.
    acid : Acid, or the name of one
    added : quantity, volume of the acid (mass of a solid)
        All that is in so far: in the whole solution, or in each litre of a water.
    reading : number
        pH the meter shows now, stirred.
    air : "closed" or "open"
        Closed for a reading within the hour.

    Returns
    -------
    NextPortion

    Raises
    ------
    UnitNeeded   an amount added without a unit
    Unreadable   a pH that is no number, an unknown acid or air
    OutOfRange   nothing added, or less; a pH outside 0 to 14
    Problem      a water without a pH; several values at once

    Example
    -------
    >>> from stilltank.science.mixing import mix
    >>> from stilltank.science.solution import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> found = next_portion(mix({}, Q(40, "L"), tap), 5.8, "nitric acid 1 mol/L", Q(40, "mL"), 6.75)
    >>> found.action, round(found.alkalinity.m_as("mg/L")), round(found.volume.m_as("mL"))
    ('add', 191, 80)

    Limits: all of the difference is laid on the alkalinity. A meter that is off, a bottle weaker than its label or a
    volume misread gives the same picture. Early readings, near the first pH, say little about the alkalinity.
    """
    water = water_of(solution, "next_portion")
    if water.ph is None:
        raise Problem(
            "next_portion needs the pH of the water before any acid, since it says how much carbon dioxide was in it. "
            "Give Water(..., ph=7.6)."
        )
    bottle = _one_of(Acid, acid, "next_portion")
    wanted, shown = (_one_ph(v, n, "next_portion") for v, n in ((target, "target"), (reading, "reading")))
    dosed = _amount(bottle, added, solution)
    expected = None
    if water.alkalinity is not None:
        expected = float(ph_after(solution, bottle, Q(dosed, "mmol/L"), air))
    alkalinity, nearest = _explained(solution, bottle, dosed, shown, air)
    if alkalinity is None:
        return _unexplained(bottle, shown, expected, nearest, added)
    true = with_alkalinity(solution, alkalinity, water.ph)
    why = _why(water, alkalinity, shown, expected, added, bottle)
    close = number("dosing", "portions", "close enough", "1")
    if abs(shown - wanted) <= close:
        sentence = f"{why} That is close enough to {wanted:g}: stop here, and measure again tomorrow."
        return _found("stop", bottle, 0.0, true, alkalinity, expected, shown, sentence)
    if shown < wanted:
        return _overshot(bottle, true, alkalinity, dosed, wanted, shown, expected, why)
    rest = max(acid_dose(true, wanted, bottle, air).amount.m_as("mmol/L") - dosed, 0.0)
    more = bottle.measured(Q(rest * _litres_of(true), "mmol"))
    sentence = f"{why} Add {more} more, the last part in small sips; stir, and measure."
    return _found("add", bottle, rest, true, alkalinity, expected, shown, sentence)


def _explained(
    solution: Any, bottle: Acid, dosed: float, shown: float, air: str
) -> tuple[float | None, tuple[float, float]]:
    """The alkalinity that explains a reading, plain mg/L; and the pH that the least and the most would give."""
    water = water_of(solution, "next_portion")
    before: Any = water.ph
    low, high = possible_alkalinity(water, before)
    ends: tuple[float, float] = (np.nan, np.nan)
    for _ in range(3):
        row = np.linspace(low, high, _POINTS)
        ph = ph_after(with_alkalinity(solution, row, before), bottle, Q(dosed, "mmol/L"), air)
        if np.isnan(ends[0]):
            ends = float(ph[0]), float(ph[-1])
            if not ends[0] <= shown <= ends[1]:
                return None, ends
        above = int(
            np.clip(np.searchsorted(ph, shown), 1, _POINTS - 1)
        )  # rises with the alkalinity throughout
        low, high = row[above - 1], row[above]
    return float(np.interp(shown, ph[above - 1 : above + 1], row[above - 1 : above + 1])), ends


def _why(
    water: Any, alkalinity: float, shown: float, expected: float | None, added: Any, bottle: Acid
) -> str:
    seen = f"The meter shows pH {shown:g} after {_measure(added)} of {bottle.name}"
    if expected is None:
        return f"{seen}: the water then has an alkalinity of about {figures(alkalinity)} mg/L as CaCO3."
    stated = water.alkalinity.m_as("mg/L")
    same = number("dosing", "portions", "same alkalinity", "dimensionless")
    if abs(alkalinity - stated) <= same * stated:
        return f"{seen}, as expected."
    return (
        f"{seen}, and {expected:.1f} was expected: the water has about {figures(alkalinity)} mg/L as CaCO3, "
        f"not {figures(stated)}."
    )


def _overshot(bottle, true, alkalinity, dosed, wanted, shown, expected, why) -> NextPortion:
    """Too much is in: what brings it back, and what comes back by itself."""
    over = _Dosed(true, bottle, dosed)
    rises_to = float(ph_of(over, "open"))
    try:
        back = base_dose(over, wanted, "potassium hydrogen carbonate")
    except OutOfRange:
        back = base_dose(over, wanted, "potassium hydroxide 0.1 mol/L")
    by_itself = (
        f"Carbon dioxide that leaves over the next days lifts it to about {rises_to:.1f} by itself, so waiting may do."
        if rises_to >= wanted - number("dosing", "portions", "close enough", "1")
        else f"Waiting will not do: as carbon dioxide leaves it comes to about {rises_to:.1f} only."
    )
    measure = back.acid.measured(back.amount * Q(_litres_of(true), "L"))
    sentence = (
        f"{why} That is below {wanted:g}: no more acid. {by_itself} Or add some of the water without acid, a little "
        f"at a time, or up to {measure} of {back.acid.name} dissolved in water, in portions, stirring and measuring."
    )
    return _found("overshot", bottle, 0.0, true, alkalinity, expected, shown, sentence, back, rises_to)


class _Dosed:
    """A solution with acid in it, for asking on."""

    def __init__(self, solution: Any, bottle: Reagent, mmol: float):
        self._solution, self._bottle, self._mmol = solution, bottle, mmol
        self.volume = getattr(solution, "volume", None)

    def state(self) -> dict[str, Any]:
        state = dict(self._solution.state())
        added = self._mmol / 1000 / _litre(state)
        for key, share in self._bottle.reagent.items():
            state[key] = state.get(key, 0.0) + share * added
        return state


def _unexplained(bottle, shown, expected, ends, added) -> NextPortion:
    least, most = ends
    if shown < least:
        why = f"even water without any alkalinity would stand at {least:.1f}"
    else:
        why = f"no water of this pH would stand above {most:.1f} with so much acid in it"
    sentence = (
        f"The meter shows pH {shown:g} after {_measure(added)} of {bottle.name}, and no alkalinity explains it: {why}. "
        "Add nothing. Stir and wait, check the meter in its buffer, the name and strength on the bottle, the amount "
        "that went in, and the pH of the water before."
    )
    return _found("unexplained", bottle, 0.0, None, None, expected, shown, sentence)


def _found(
    action, bottle, rest, solution, alkalinity, expected, shown, sentence, base=None, rises_to=None
) -> NextPortion:
    total = Q(rest * (1.0 if solution is None else _litres_of(solution)), "mmol")
    return NextPortion(
        action,
        Q(rest, "mmol/L"),
        bottle.volume(total),
        bottle.mass(total),
        None if alkalinity is None else Q(alkalinity, "mg/L"),
        expected,
        shown,
        base,
        rises_to,
        sentence,
        bottle.caution if base is None else f"{bottle.caution} Of the base: {base.acid.caution}",
    )


def _amount(bottle: Acid, added: Any, solution: Any) -> float:
    """mmol of acid in each litre, from the volume or mass that went in."""
    name = "next_portion"
    if bottle.concentration is None or (
        bottle.strength is not None and isinstance(added, Quantity) and added.check("[mass]")
    ):
        mmol = 1000 * single(added, "g", "added", name) * bottle.strength.m_as("dimensionless")
        mmol = mmol / bottle.molar_mass.m_as("g/mol")
    else:
        mmol = single(added, "mL", "added", name) * bottle.concentration.m_as("mol/L")
    within(
        mmol, 1e-9, np.inf,
        f"{name}: the acid added so far must be more than nothing. Begin with the first line of in_portions.",
    )  # fmt: skip
    return mmol / _litres_of(solution)


def _litres_of(solution: Any) -> float:
    volume = getattr(solution, "volume", None)
    return 1.0 if volume is None else float(volume.m_as("L"))


def _dose_of(solution: Any, wanted: float, reagent: Any) -> Dose:
    bottle: Any = _bottle(reagent)
    return (
        acid_dose(solution, wanted, bottle)
        if isinstance(bottle, Acid)
        else base_dose(solution, wanted, bottle)
    )


def _one_ph(value: Any, name: str, function: str) -> float:
    plain = pure_number(value, 5.8, name, function)
    if np.ndim(plain):
        raise Problem(f"{function} takes one value for `{name}`; you gave {np.size(plain)}.")
    within(plain, 0, 14, "A pH lies between 0 and 14; {value:g} does not. Write one such as 5.8.")
    return plain


def _measure(quantity: Any) -> str:
    if quantity.check("[mass]"):
        return f"{figures(quantity.m_as('g'))} g"
    return f"{figures(quantity.m_as('mL'))} mL"
