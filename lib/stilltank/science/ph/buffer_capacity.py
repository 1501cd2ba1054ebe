"""How hard a solution holds on to its pH."""

import numpy as np

from stilltank.science.chemistry import reagent_to_ph, solve
from stilltank.tables import number
from stilltank.units import PlainNumber, check_shapes, takes
from stilltank.units.types import Air, Plain, Quantity

from ._state import AIR, SolutionLike, carbon_dioxide_pressure, litre_of, state_of

_STEP = 0.01  # pH to each side; the curve bends so little within it that the third figure holds


@takes(ph=PlainNumber(6.0), air=AIR, returns="mmol/L")
def buffer_capacity(solution: SolutionLike, ph: Plain | None = None, air: Air = "closed") -> Quantity:
    """Find the strong acid that moves a solution by one pH unit, at the rate it has at a pH.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``; one or several at once.
    ph : float or array, optional
        The pH at which to ask, taken as reached with a strong acid or base; the pH the solution has when left out.
    air : {"closed", "open"}
        Open, carbon dioxide has all the time it needs to leave or come in.

    Returns
    -------
    Quantity
        In mmol/L for each pH unit, with the shape of the solutions and pH values.

    Raises
    ------
    OutOfRange
        A pH outside 1 to 13, or a solution outside the limits of the equilibrium.
    Unreadable
        No solution, a pH that is not a number, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known, or arrays that do not fit.

    See Also
    --------
    titration_curve : The pH along a whole row of acid.

    Notes
    -----
    Half the difference of two doses, 0.01 pH above and below.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(40, "mg/L")}, alkalinity=Q(100, "mg/L"), ph=8.0, temperature=Q(25, "degC"))
    >>> buffer_capacity(tap, [8.3, 6.3, 4.3]).m_as("mmol/L").round(1).tolist()
    [0.2, 1.2, 0.2]
    """
    state, pressure = state_of(solution, "buffer_capacity"), carbon_dioxide_pressure(air)
    now = solve(state, pressure).ph
    at = np.asarray(now if ph is None else ph)
    check_shapes({"solution": np.shape(now), "ph": at.shape}, "buffer_capacity")
    lowest, highest = (number("equilibrium", "solver", f"{end} pH", "1") for end in ("lowest", "highest"))
    ends = [np.where(at < lowest, at, np.maximum(at - _STEP, lowest))]
    ends += [np.where(at > highest, at, np.minimum(at + _STEP, highest))]
    above, below = (
        reagent_to_ph(state, end, {"strong_charge": -1.0}, pressure).dose for end in reversed(ends)
    )
    return ((below - above) / (ends[1] - ends[0]) * 1000 * litre_of(state))[()]
