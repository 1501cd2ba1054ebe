"""The pH of a solution, and what becomes of it with acid or base: a point, or a whole titration."""

from typing import Any

import numpy as np

from ...units import magnitude, within
from ..equilibrium import solve
from .dosing import _bottle, _pressure, _state, dosed
from .reagents import Reagent


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
    >>> from stilltank.science.solution import Water
    >>> f'{ph_of(Water.pure(Q(25, "degC")), air="open"):.2f}'
    '5.60'
    """
    return solve(_state(solution), _pressure(air)).ph


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
    >>> from stilltank.science.solution import Water
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
    >>> from stilltank.science.solution import Water
    >>> tap = Water({"Na": Q(46, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> titrate(tap, "nitric acid 0.5 mol/L", Q([0, 1.2, 2.2], "mmol/L")).round(1).tolist()
    [8.0, 6.1, 3.7]
    """
    return np.atleast_1d(_after(solution, acid, magnitude(amounts, "mmol/L", "amounts", "titrate"), air))


def _after(solution: Any, acid: Reagent | str, amount: Any, air: str) -> Any:
    within(amount, 0, np.inf, "An amount of acid or base cannot be below zero; {value:g} mmol/L is.")
    state, pressure = _state(solution), _pressure(air)
    return solve(dosed(state, _bottle(acid), amount), pressure).ph
