"""What plants do to the pH: the charge of what they take up comes back as H+, or as its opposite."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from stilltank.science.chemistry import ions, solve
from stilltank.units import OutOfRange, Q, Unreadable, check_shapes, magnitude, within

from ._state import carbon_dioxide_pressure, litre_of, state_of

_TAKEN: Mapping[str, tuple[str, str]] = {  # what a plant takes: the ion, and its total in a state
    "nitrate": ("NO3-", "NO3"),
    "ammonium": ("NH4+", "NH4"),
    "phosphate": ("H2PO4-", "P"),
    "potassium": ("K+", "K"),
    "calcium": ("Ca+2", "Ca"),
    "magnesium": ("Mg+2", "Mg"),
    "sulfate": ("SO4-2", "SO4"),
    "sodium": ("Na+", "Na"),
    "chloride": ("Cl-", "Cl"),
}


def uptake_charge(**uptake: Any) -> Any:
    """H+ that roots give off for what they take up: cations less anions. Below zero they raise the pH.

    Parameters
    ----------
    nitrate, ammonium, phosphate, potassium, calcium, magnesium, sulfate, sodium, chloride : quantity, mmol/L
        Taken up net, in mmol for each litre of the tank; phosphate as H2PO4-. Those left out are not taken.

    Returns
    -------
    quantity, mmol/L of H+

    Raises
    ------
    UnitNeeded   an uptake without a unit
    OutOfRange   an uptake below zero
    Unreadable   another ion
    Problem      arrays that do not fit each other

    Example
    -------
    >>> round(uptake_charge(nitrate=Q(1.5, "mmol/L"), potassium=Q(1.0, "mmol/L")).m_as("mmol/L"), 2)
    -0.5

    Source: a root stays electrically neutral: what it takes up more of one sign it gives back as H+, or as
    bicarbonate or hydroxide, which is the same to the water.
    """
    plain = _plain(uptake, "uptake_charge")
    charge = sum((ions()[_TAKEN[name][0]].charge * value for name, value in plain.items()), 0.0)
    return Q(charge, "mmol/L")


def ph_after_uptake(solution: Any, air: str = "open", **uptake: Any) -> Any:
    """pH of a solution after plants have taken ions out of it.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    air : "open" or "closed"
        At rest with the air, or with all carbon dioxide kept.
    nitrate, ammonium, phosphate, potassium, calcium, magnesium, sulfate, sodium, chloride : quantity, mmol/L
        As for ``uptake_charge``.

    Returns
    -------
    number or array

    Raises
    ------
    UnitNeeded   an uptake without a unit
    OutOfRange   an uptake below zero, more than the solution holds, or a pH outside 1 to 13
    Unreadable, Problem   another ion; arrays that do not fit; as ``acid_dose``

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Hoagland 1")
    >>> [float(round(ph_after_uptake(tank, nitrate=Q(taken, "mmol/L")), 1)) for taken in (0, 0.5)]
    [4.9, 6.7]

    Limits: carbon dioxide of the roots themselves is left out; it lowers the pH while it stays. Nothing
    falls out. The water that plants drink is not taken off: state the uptake for the litres that are left.
    Source: charge balance of ``equilibrium`` with the ions taken out of it.
    """
    state, pressure = dict(state_of(solution)), carbon_dioxide_pressure(air)
    plain = _plain(uptake, "ph_after_uptake")
    shapes = {"solution": np.shape(solve(state, pressure).ph)}
    check_shapes(shapes | {name: np.shape(value) for name, value in plain.items()}, "ph_after_uptake")
    for name, value in plain.items():
        ion, total = _TAKEN[name]
        taken = value / 1000 / litre_of(state)
        left = np.asarray(state.get(total, 0.0)) - taken
        if np.any(left < -1e-12):
            most = np.min(np.asarray(state.get(total, 0.0)) * 1000 * litre_of(state))
            raise OutOfRange(
                f"Plants cannot take {np.max(value):g} mmol of {name} out of each litre: it holds {most:.3g}."
            )
        state[total] = np.maximum(left, 0.0)
        if not ions()[ion].weak:
            state["strong_charge"] = state["strong_charge"] - ions()[ion].charge * taken
    return solve(state, pressure).ph


def _plain(uptake: Mapping[str, Any], function: str) -> dict[str, Any]:
    """Plain mmol/L of each ion taken up."""
    plain = {}
    for name, value in uptake.items():
        if name not in _TAKEN:
            raise Unreadable(f"{function} knows no uptake of {name!r}. It knows: {', '.join(_TAKEN)}.")
        plain[name] = magnitude(value, "mmol/L", name, function)
        within(plain[name], 0, np.inf, f"An uptake cannot be below zero; {{value:g}} mmol/L of {name} is.")
    check_shapes({name: np.shape(value) for name, value in plain.items()}, function)
    return plain
