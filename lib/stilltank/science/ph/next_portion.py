"""After a portion and a reading: go on, stop, or bring it back."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import Solution, Water
from stilltank.science.products import Acid, figures
from stilltank.tables import number
from stilltank.units import OutOfRange, PlainNumber, Problem, Q, one_value, takes, within
from stilltank.units.types import Air, Quantity

from ._state import (
    AIR,
    Settled,
    acid_named,
    dosed,
    litres_of,
    one_ph,
    possible_alkalinity,
    water_of,
    with_alkalinity,
)
from .doses import Dose, acid_dose, base_dose
from .portions import measure
from .titration import ph_after, ph_of

_POINTS = 65  # taken three times, each within one step of the last; straight lines between


@dataclass(frozen=True, eq=False)
class NextPortion:
    """What to do after a portion and a reading.

    Parameters
    ----------
    action : {"add", "stop", "overshot", "unexplained"}
        What comes next; "stop" is close enough.
    amount : Quantity
        In mmol of acid still to add for each litre; 0 unless the action is "add".
    volume : Quantity or None
        In mL still to add to the whole solution, or to each litre of a water; None for a solid.
    mass : Quantity or None
        In g still to add; None for a dilution stated in mol/L.
    alkalinity : Quantity or None
        In mg/L as CaCO3 of the water that explains the reading; None where none does.
    expected : float or None
        The pH to expect by the stated alkalinity; None where none was stated.
    reading : float
        The pH that the meter showed.
    base : Dose or None
        After an overshoot, the base that brings the solution back.
    rises_to : float or None
        After an overshoot, the pH it drifts to on its own as carbon dioxide leaves.
    sentence : str
        All of this in words.
    caution : str
        For whoever handles the acid and the base.

    See Also
    --------
    next_portion : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> next_portion(tap, 5.8, "nitric acid 0.1 mol/L", Q(20, "mL"), 5.8).action
    'stop'
    """

    action: str
    amount: Quantity
    volume: Quantity | None
    mass: Quantity | None
    alkalinity: Quantity | None
    expected: float | None
    reading: float
    base: Dose | None
    rises_to: float | None
    sentence: str
    caution: str

    def __str__(self) -> str:
        return f"{self.sentence}\n{self.caution}"


@takes(target=PlainNumber(5.8), reading=PlainNumber(6.5), air=AIR)
def next_portion(
    solution: Solution | Water,
    target: float,
    acid: Acid | str,
    added: Quantity,
    reading: float,
    air: Air = "closed",
) -> NextPortion:
    """Decide what to do when a part of the acid is in and the meter shows a pH.

    The alkalinity that explains the reading is found first, because reports age and test kits are coarse. The rest of
    the dose follows from it.

    Parameters
    ----------
    solution : Solution or Water
        As it was before any acid, its water with a pH; one at a time. An alkalinity need not be known.
    target : float
        The pH wanted.
    acid : Acid or str
        The acid, or its name.
    added : Quantity
        Volume of the acid (mass of a solid), one value: all that is in so far, in the whole solution or in each litre
        of a water.
    reading : float
        The pH the meter shows now, stirred.
    air : {"closed", "open"}
        Closed for a reading within the hour.

    Returns
    -------
    NextPortion
        Whether to add, stop or bring it back, and how much.

    Raises
    ------
    UnitNeeded
        An amount added that has no unit.
    Unreadable
        No solution, a pH that is not a number, an unknown acid, or another word for ``air``.
    OutOfRange
        Nothing added, or less; a pH outside 0 to 14.
    Problem
        A water without a pH, or several values at once.

    See Also
    --------
    portions : The plan to begin with.

    Notes
    -----
    All of the difference is laid on the alkalinity. A meter that is off, a bottle weaker than its label or a volume
    misread gives the same picture. Early readings, near the first pH, say little about the alkalinity.

    Examples
    --------
    >>> from stilltank.science.mixing import mix
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> found = next_portion(mix({}, Q(40, "L"), tap), 5.8, "nitric acid 0.5 mol/L", Q(80, "mL"), 6.75)
    >>> found.action, round(found.alkalinity.m_as("mg/L")), round(found.volume.m_as("mL"))
    ('add', 191, 159)
    """
    water = water_of(solution, "next_portion")
    if water.ph is None:
        raise Problem(
            "next_portion needs the pH of the water before any acid, since it says how much carbon dioxide was in it. "
            "Give Water(..., ph=7.6)."
        )
    bottle = acid_named(acid, "next_portion")
    wanted, shown = (one_ph(v, n, "next_portion") for v, n in ((target, "target"), (reading, "reading")))
    given = _amount(bottle, added, solution)
    expected = None
    if water.alkalinity is not None:
        expected = float(ph_after(solution, bottle, Q(given, "mmol/L"), air))
    alkalinity, nearest = _explained(solution, bottle, given, shown, air)
    if alkalinity is None:
        return _unexplained(bottle, shown, expected, nearest, added)
    true = with_alkalinity(solution, alkalinity, water.ph)
    why = _why(water, alkalinity, shown, expected, added, bottle)
    close = number("dosing", "portions", "close enough", "1")
    if abs(shown - wanted) <= close:
        sentence = f"{why} That is close enough to {wanted:g}: stop here, and measure again tomorrow."
        return _found("stop", bottle, 0.0, true, alkalinity, expected, shown, sentence)
    if shown < wanted:
        return _overshot(bottle, true, alkalinity, given, wanted, shown, expected, why)
    rest = max(acid_dose(true, wanted, bottle, air).amount.m_as("mmol/L") - given, 0.0)
    more = bottle.measured(Q(rest * _litres_of(true), "mmol"))
    sentence = f"{why} Add {more} more, the last part in small sips; stir, and measure."
    return _found("add", bottle, rest, true, alkalinity, expected, shown, sentence)


def _explained(
    solution: Solution | Water, bottle: Acid, given: float, shown: float, air: Air
) -> tuple[float | None, tuple[float, float]]:
    """The alkalinity that explains a reading, plain mg/L; and the pH that the least and the most would give."""
    water = water_of(solution, "next_portion")
    before = float(water.ph)  # type: ignore[arg-type]
    low, high = possible_alkalinity(water, before)
    ends: tuple[float, float] = (np.nan, np.nan)
    for _ in range(3):
        row = np.linspace(low, high, _POINTS)
        ph = np.asarray(ph_after(with_alkalinity(solution, row, before), bottle, Q(given, "mmol/L"), air))
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
    water: Water, alkalinity: float, shown: float, expected: float | None, added: Quantity, bottle: Acid
) -> str:
    seen = f"The meter shows pH {shown:g} after {measure(added)} of {bottle.name}"
    if expected is None:
        return f"{seen}: the water then has an alkalinity of about {figures(alkalinity)} mg/L as CaCO3."
    stated = 0.0 if water.alkalinity is None else water.alkalinity.m_as("mg/L")
    same = number("dosing", "portions", "same alkalinity", "dimensionless")
    if abs(alkalinity - stated) <= same * stated:
        return f"{seen}, as expected."
    return (
        f"{seen}, and {expected:.1f} was expected: the water has about {figures(alkalinity)} mg/L as CaCO3, "
        f"not {figures(stated)}."
    )


def _overshot(
    bottle: Acid,
    true: Solution | Water,
    alkalinity: float,
    given: float,
    wanted: float,
    shown: float,
    expected: float | None,
    why: str,
) -> NextPortion:
    """Too much is in: what brings it back, and what comes back on its own."""
    over = Settled(dosed(true.state(), bottle, given), getattr(true, "volume", None))
    rises_to = float(ph_of(over, "open"))
    try:
        back = base_dose(over, wanted, "potassium hydrogen carbonate")
    except OutOfRange:
        back = base_dose(over, wanted, "potassium hydroxide 0.1 mol/L")
    by_itself = (
        f"Carbon dioxide that leaves over the next days lifts it to about {rises_to:.1f} on its own, so waiting may do."
        if rises_to >= wanted - number("dosing", "portions", "close enough", "1")
        else f"Waiting will not do: as carbon dioxide leaves it comes to about {rises_to:.1f} only."
    )
    measure = back.acid.measured(back.amount * Q(_litres_of(true), "L"))
    sentence = (
        f"{why} That is below {wanted:g}: no more acid. {by_itself} Or add some of the water without acid, a little "
        f"at a time, or up to {measure} of {back.acid.name} dissolved in water, in portions, stirring and measuring."
    )
    return _found("overshot", bottle, 0.0, true, alkalinity, expected, shown, sentence, back, rises_to)


def _unexplained(
    bottle: Acid, shown: float, expected: float | None, ends: tuple[float, float], added: Quantity
) -> NextPortion:
    least, most = ends
    if shown < least:
        why = f"even water without any alkalinity would be at {least:.1f}"
    else:
        why = f"no water of this pH would be above {most:.1f} with so much acid in it"
    sentence = (
        f"The meter shows pH {shown:g} after {measure(added)} of {bottle.name}, and no alkalinity explains it: {why}. "
        "Add nothing. Stir and wait, check the meter in its buffer, the name and strength on the bottle, the amount "
        "that went in, and the pH of the water before."
    )
    return _found("unexplained", bottle, 0.0, None, None, expected, shown, sentence)


def _found(
    action: str,
    bottle: Acid,
    rest: float,
    solution: Solution | Water | None,
    alkalinity: float | None,
    expected: float | None,
    shown: float,
    sentence: str,
    base: Dose | None = None,
    rises_to: float | None = None,
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
        bottle.caution if base is None else f"{bottle.caution}\nThe base: {base.acid.caution}",
    )


def _amount(bottle: Acid, added: Quantity, solution: Solution | Water) -> float:
    """mmol of acid in each litre, from the volume or mass that went in."""
    name = "next_portion"
    share: Any = bottle.strength  # None for a dilution stated in mol/L
    if bottle.concentration is None or (
        share is not None and isinstance(added, Quantity) and added.check("[mass]")
    ):
        mmol = 1000 * one_value(added, "g", "added", name) * share.m_as("dimensionless")
        mmol = mmol / bottle.molar_mass.m_as("g/mol")
    else:
        mmol = one_value(added, "mL", "added", name) * bottle.concentration.m_as("mol/L")
    within(
        mmol, 1e-9, np.inf,
        f"{name}: the acid added so far must be more than nothing. Begin with the first line of `portions`.",
    )  # fmt: skip
    return mmol / _litres_of(solution)


def _litres_of(solution: Solution | Water) -> float:
    litres = litres_of(solution)
    return 1.0 if litres is None else float(litres)
