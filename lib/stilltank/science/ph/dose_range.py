"""How far a dose can be trusted: what the instruments leave open, carried through to the pH."""

from dataclasses import dataclass

import numpy as np

from stilltank.science.chemistry import Solution, Water, reagent_to_ph, solve
from stilltank.science.products import Acid, figures
from stilltank.tables import load, number
from stilltank.units import PlainNumber, Problem, Q, Unreadable, one_value, pure_number, takes, within
from stilltank.units.types import Air, Array, Quantity

from ._state import (
    AIR,
    acid_named,
    carbon_dioxide_pressure,
    dosed,
    least_alkalinity,
    one_ph,
    water_of,
    with_alkalinity,
)
from .alkalinity import alkalinity_in
from .doses import Dose, acid_dose, dose_from

_TRIED = np.linspace(-1, 1, 9)  # parts of the doubt, either way


@dataclass(frozen=True, eq=False)
class DoseRange:
    """A dose, and what the doubt of alkalinity and pH makes of it.

    Parameters
    ----------
    low : Dose
        Enough, if the water is as weak as it may be; that may be no acid at all.
    middle : Dose
        By the values as they were read.
    high : Dose
        Needed, if the water is as strong as it may be.
    ph_low : float
        The lowest pH that the middle dose may lead to when it is given all at once.
    ph_high : float
        The highest pH that it may lead to.
    alkalinity_doubt : Quantity
        In mg/L as CaCO3, either way.
    ph_doubt : float
        In pH, either way.
    sentence : str
        All of this in words.

    See Also
    --------
    dose_range : Makes one.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> found = dose_range(tap, 5.8, "nitric acid 0.1 mol/L")
    >>> round(found.alkalinity_doubt.m_as("mg/L"), 1), found.ph_doubt
    (10.0, 0.1)
    """

    low: Dose
    middle: Dose
    high: Dose
    ph_low: float
    ph_high: float
    alkalinity_doubt: Quantity
    ph_doubt: float
    sentence: str

    def __str__(self) -> str:
        return f"{self.sentence}\n{self.middle.acid.caution}"


def ph_tests() -> tuple[str, ...]:
    """Return the tests that `dose_range` knows the doubt of.

    Returns
    -------
    tuple of str
        Their names.

    See Also
    --------
    dose_range : Takes these names.

    Examples
    --------
    >>> ph_tests()
    ('strips', 'drops', 'meter')
    """
    return tuple(item for item in load("dosing").items_named if (item, "alkalinity share") in load("dosing"))


@takes(target=PlainNumber(5.8), air=AIR)
def dose_range(
    water: Water | Solution,
    target: float,
    acid: Acid | str,
    alkalinity_by: str | Quantity = "drops",
    ph_by: str | float = "meter",
    air: Air = "closed",
) -> DoseRange:
    """Find a dose with its range, from how surely alkalinity and pH of the water are known.

    Parameters
    ----------
    water : Water or Solution
        With alkalinity and pH as they were read; one at a time.
    target : float
        The pH wanted.
    acid : Acid or str
        The acid, or its name.
    alkalinity_by : {"strips", "drops", "meter"} or Quantity
        What the alkalinity was read with, or its doubt either way, in mg/L as CaCO3.
    ph_by : {"strips", "drops", "meter"} or float
        What the pH of the water before any acid was read with, or its doubt either way.
    air : {"closed", "open"}
        As for `acid_dose`.

    Returns
    -------
    DoseRange
        Three doses, and the pH that the middle one may lead to.

    Raises
    ------
    Unreadable
        No water, a target that is not a number, another test, an unknown acid, or another word for ``air``.
    OutOfRange
        A doubt below zero, or a target above the present pH or out of reach.
    Problem
        A water without alkalinity or pH, or several at once.

    See Also
    --------
    acid_dose : The middle dose alone.
    next_portion : How to go on after the first part.

    Notes
    -----
    The doubts of data/dosing.csv are choices and common practice, not measurements of your kit. All values within
    them are taken as possible; strength of the acid and volume of the tank are taken as exact.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6)
    >>> found = dose_range(tap, 5.8, "nitric acid 0.1 mol/L", "strips", "meter")
    >>> [round(dose.volume.m_as("mL")) for dose in (found.low, found.middle, found.high)]
    [17, 20, 24]
    >>> f'pH {found.ph_low:.1f} to {found.ph_high:.1f}'
    'pH 5.3 to 6.0'
    """
    name = "dose_range"
    own = water_of(water, name)
    bottle, wanted = acid_named(acid, name), one_ph(target, "target", name)
    middle = acid_dose(water, wanted, bottle, air)
    if own.ph is None or own.alkalinity is None or not own.alkalinity.magnitude:
        raise Problem(f"{name} needs a water with an alkalinity and a pH, such as a test kit shows.")
    stated = float(own.alkalinity.m_as("mg/L"))
    doubt, of_ph = alkalinity_doubt(alkalinity_by, stated), _ph_doubt(ph_by)
    alkalinities, phs = possible_waters(own, doubt, of_ph)
    state = with_alkalinity(water, alkalinities, phs).state()
    pressure = carbon_dioxide_pressure(air)
    found = reagent_to_ph(state, wanted, bottle.reagent, pressure)
    doses = np.maximum(found.dose, 0.0)  # a water that may stand below the target already takes none
    ends = []
    for index in (np.argmin(doses), np.argmax(doses)):
        at = np.unravel_index(index, doses.shape)
        whole = {key: float(np.broadcast_to(value, doses.shape)[at]) for key, value in state.items()}
        ends.append(dose_from(water, float(doses[at]), float(found.protons[at]), bottle, wanted, air, whole))
    landing = solve(dosed(state, bottle, middle.amount.m_as("mmol/L")), pressure).ph
    ph_low, ph_high = float(np.min(landing)), float(np.max(landing))
    sentence = _sentence(ends[0], middle, ends[1], ph_low, ph_high, doubt, of_ph, stated, float(own.ph))
    return DoseRange(ends[0], middle, ends[1], ph_low, ph_high, Q(doubt, "mg/L"), of_ph, sentence)


def possible_waters(own: Water, doubt: float, of_ph: float) -> tuple[Array, Array]:
    """Alkalinities, plain mg/L, and pH values within their doubts, in one shape; no less than the pH asks for."""
    stated = 0.0 if own.alkalinity is None else float(own.alkalinity.m_as("mg/L"))
    phs = np.asarray(own.ph, dtype=float) + of_ph * _TRIED[:, None]
    alkalinities = np.maximum(stated + doubt * _TRIED[None, :], least_alkalinity(own, phs))
    return alkalinities, phs + 0 * alkalinities


def _sentence(
    low: Dose,
    middle: Dose,
    high: Dose,
    ph_low: float,
    ph_high: float,
    doubt: float,
    of_ph: float,
    stated: float,
    ph: float,
) -> str:
    litres = Q(1.0 if middle.litres is None else middle.litres, "L")
    least, usual, most = (each.acid.measured(each.amount * litres) for each in (low, middle, high))
    where = "each litre" if middle.litres is None else f"{middle.litres:.4g} L"
    begin = (
        f"Begin with {least}"
        if low.amount.magnitude > 0
        else f"The water may need none at all, so begin with a quarter of {usual}"
    )
    return (
        f"An alkalinity of {figures(stated)}, give or take {figures(doubt)} mg/L as CaCO3, and a pH of {ph:g}, give or "
        f"take {of_ph:g}, mean {least} to {most} of {middle.acid.name} in {where} for pH {middle.target:g}; {usual} in "
        f"the middle. Poured in at once, the middle dose may land anywhere from pH {ph_low:.1f} to {ph_high:.1f}. "
        f"{begin}, stir, measure, and go on from the reading."
    )


def alkalinity_doubt(by: str | Quantity, stated: float) -> float:
    """Plain mg/L as CaCO3, either way, of an alkalinity that was read with a test, or as it is given."""
    name = "dose_range"
    if isinstance(by, Quantity):
        one_value(by, f"{by.units}", "alkalinity_by", name)
        return float(np.ravel(alkalinity_in(by, "alkalinity_by", name))[0])
    _instrument(by, "alkalinity_by", 'Q(20, "mg/L")')
    share = number("dosing", by, "alkalinity share", "dimensionless")
    return max(number("dosing", by, "alkalinity", "mg/L"), share * stated)


def _ph_doubt(by: str | float) -> float:
    if isinstance(by, str) or by is None:
        _instrument(by, "ph_by", "0.2")
        return number("dosing", by, "pH", "1")
    doubt = pure_number(by, 0.2, "ph_by", "dose_range")
    if np.ndim(doubt):
        raise Problem(f"dose_range takes one value for `ph_by`; you gave {np.size(doubt)}.")
    within(doubt, 0, 3, "dose_range: a doubt of {value:g} pH does not fit. Write it as 0.2, either way.")
    return doubt


def _instrument(by: object, name: str, example: str) -> None:
    if not isinstance(by, str) or by not in ph_tests():
        raise Unreadable(
            f"dose_range does not know {by!r} for `{name}`. Write one of {', '.join(ph_tests())}, or a doubt such as "
            f"{example}."
        )
