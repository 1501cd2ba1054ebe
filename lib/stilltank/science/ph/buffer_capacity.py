"""How hard a solution holds on to its pH."""

from typing import Any

import numpy as np

from stilltank.science.chemistry import reagent_to_ph, solve
from stilltank.tables import number
from stilltank.units import Q, check_shapes, pure_number

from ._state import carbon_dioxide_pressure, litre_of, state_of

_STEP = 0.01  # pH to each side; the curve bends so little within it that the third figure holds


def buffer_capacity(solution: Any, ph: Any = None, air: str = "closed") -> Any:
    """Strong acid that moves a solution by one pH unit, at the rate it has at a pH.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    ph : number or array, default the pH the solution has
        Taken as reached with a strong acid or base.
    air : "closed" or "open"
        Open, carbon dioxide has all the time it needs to leave or come in.

    Returns
    -------
    quantity, mmol/L for each pH unit

    Raises
    ------
    OutOfRange, Unreadable, Problem   as ``acid_dose``

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(40, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> buffer_capacity(tap, [8.3, 6.3, 4.3]).m_as("mmol/L").round(1).tolist()
    [0.2, 1.2, 0.2]

    Limits: as ``equilibrium``.
    Source: half the difference of two doses, 0.01 pH above and below.
    """
    state, pressure = state_of(solution), carbon_dioxide_pressure(air)
    if ph is None:
        ph = solve(state, pressure).ph
    at = np.asarray(pure_number(ph, 6.0, "ph", "buffer_capacity"))
    check_shapes({"solution": np.shape(solve(state, pressure).ph), "ph": at.shape}, "buffer_capacity")
    lowest, highest = (number("equilibrium", "solver", f"{end} pH", "1") for end in ("lowest", "highest"))
    ends = [np.where(at < lowest, at, np.maximum(at - _STEP, lowest))]
    ends += [np.where(at > highest, at, np.minimum(at + _STEP, highest))]
    above, below = (
        reagent_to_ph(state, end, {"strong_charge": -1.0}, pressure).dose for end in reversed(ends)
    )
    return Q(((below - above) / (ends[1] - ends[0]) * 1000 * litre_of(state))[()], "mmol/L")
