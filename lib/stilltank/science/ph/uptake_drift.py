"""What plants do to the pH: the charge of what they take up comes back as H+, or as its opposite."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from stilltank.science.chemistry import ions, solve
from stilltank.units import OutOfRange, Q, Unreadable, check_shapes, magnitude, only, takes, within
from stilltank.units.types import Air, Array, Plain, Quantity

from ._state import (
    AIR,
    Settled,
    SolutionLike,
    carbon_dioxide_pressure,
    litre_of,
    settle,
    state_of,
    steps_of,
)

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


@takes(air=AIR)
def ph_after_uptake(solution: SolutionLike, air: Air = "open", **uptake: Quantity) -> Plain:
    """Find the pH of a solution after plants have taken ions out of it.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``; one or several at once.
    air : {"open", "closed"}
        At rest with the air, or with all carbon dioxide kept.
    **uptake : Quantity
        By name nitrate, ammonium, phosphate (as H2PO4-), potassium, calcium, magnesium, sulfate, sodium or chloride:
        the amount taken up net for each litre of the solution, such as mmol/L; one or an array. Those left out are
        not taken.

    Returns
    -------
    float or array
        The pH, with the shape of the solutions and amounts.

    Raises
    ------
    UnitNeeded
        An uptake that has no unit.
    OutOfRange
        An uptake below zero or more than the solution holds, or a pH outside 1 to 13.
    Unreadable
        No solution, another ion, or another word for ``air``.
    Problem
        Arrays that do not fit, or a water whose alkalinity or pH is not known.

    See Also
    --------
    drift_by_uptake : Both directions at once.

    Notes
    -----
    A root stays electrically neutral: what it takes up more of one sign it gives back as H+, or as bicarbonate or
    hydroxide, which is the same to the water. So the ions are taken out of the charge balance. The carbon dioxide of
    the roots themselves is left out; it lowers the pH while it stays. Nothing falls out. The water that plants drink
    is not taken off: state the uptake for the litres that are left.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Hoagland 1")
    >>> ph_after_uptake(tank, nitrate=Q([0, 0.5], "mmol/L")).round(1).tolist()
    [4.9, 6.7]
    """
    state, pressure = dict(state_of(solution, "ph_after_uptake")), carbon_dioxide_pressure(air)
    plain = _plain(uptake)
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


def _plain(uptake: Mapping[str, Quantity]) -> dict[str, Plain]:
    """Plain mmol/L of each ion taken up."""
    plain = {}
    for name, value in uptake.items():
        if name not in _TAKEN:
            raise Unreadable(f'We do not know an uptake called "{name}". Write one of {", ".join(_TAKEN)}.')
        plain[name] = magnitude(value, "mmol/L", name, "ph_after_uptake")
        within(plain[name], 0, np.inf, f"An uptake cannot be below zero; {{value:g}} mmol/L of {name} is.")
    check_shapes({name: np.shape(value) for name, value in plain.items()}, "ph_after_uptake")
    return plain


_NETS = ("nitrate", "ammonium")


@dataclass(frozen=True, eq=False)
class Drift:
    """The pH along net uptake: of anions, as with nitrate, and of cations, as with ammonium.

    Parameters
    ----------
    solution : Settled
        The solution that the plants take from.
    start : float
        The pH at rest with the air, before any uptake.
    amounts : Quantity
        In mmol taken net out of each litre, a row from 0.
    nitrate : array
        The pH where that much more nitrate is taken than cations.
    ammonium : array
        The pH where that much more ammonium is taken than anions.

    See Also
    --------
    drift_by_uptake : Makes one.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> found = drift_by_uptake(recipe_solution("Hoagland 2"), Q(0.5, "mmol/L"), points=10)
    >>> found.amounts.magnitude[:3].round(3).tolist()
    [0.0, 0.005, 0.02]
    """

    solution: Settled
    start: float
    amounts: Quantity
    nitrate: Array
    ammonium: Array

    @takes(net=_NETS, amount="mmol/L")
    def at(self, net: str, amount: Quantity) -> float:
        """Find the pH where plants take one amount more of nitrate, or of ammonium.

        Parameters
        ----------
        net : {"nitrate", "ammonium"}
            What is taken more.
        amount : Quantity
            Amount for each litre, such as mmol/L; one value within the row.

        Returns
        -------
        float
            The pH, read off the row.

        Raises
        ------
        UnitNeeded
            An amount that has no unit.
        Unreadable
            Another word for ``net``.
        OutOfRange
            An amount outside the row.
        Problem
            Several amounts.

        Examples
        --------
        >>> from stilltank.science.mixing import recipe_solution
        >>> found = drift_by_uptake(recipe_solution("Hoagland 2"), Q(0.5, "mmol/L"))
        >>> found.at("nitrate", Q(0, "mmol/L")) == found.start
        True
        """
        row, taken = self.amounts.m_as("mmol/L"), only(amount, "amount", "at")
        within(taken, 0, row[-1], f"This drift runs from 0 to {row[-1]:g} mmol/L; {{value:g}} is outside.")
        return float(np.interp(taken, row, getattr(self, net)))


@takes(most="mmol/L")
def drift_by_uptake(solution: SolutionLike, most: Quantity, points: int = 60) -> Drift:
    """Find how far plants drive the pH of a solution at rest with the air, both ways.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``. It holds at least that much nitrate and ammonium.
    most : Quantity
        Amount taken net out of each litre, such as mmol/L, at the end of the row; one value.
    points : int
        How many steps the row has.

    Returns
    -------
    Drift
        The pH along the row, both ways.

    Raises
    ------
    OutOfRange
        An amount below zero or more than the solution holds, a pH outside 1 to 13, or no number of steps.
    UnitNeeded
        An amount that has no unit.
    Unreadable
        No solution.
    Problem
        Several amounts, or a water whose alkalinity or pH is not known.

    See Also
    --------
    ph_after_uptake : One uptake; its limits hold here too.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> tank = recipe_solution("Hoagland 2")
    >>> found = drift_by_uptake(tank, Q(0.5, "mmol/L"))
    >>> bool(found.ammonium[-1] < found.start < found.nitrate[-1])
    True
    """
    name = "drift_by_uptake"
    settled = settle(solution, name)
    # closest where the pH moves fastest
    row = only(most, "most", name) * np.linspace(0, 1, steps_of(points, name) + 1) ** 2
    none = np.zeros_like(row)
    both = ph_after_uptake(
        settled, nitrate=Q(np.append(row, none), "mmol/L"), ammonium=Q(np.append(none, row), "mmol/L")
    )
    nitrate, ammonium = np.split(np.asarray(both), 2)
    return Drift(settled, float(nitrate[0]), Q(row, "mmol/L"), nitrate, ammonium)
