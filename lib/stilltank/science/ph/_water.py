"""The same solution in a water of another alkalinity, which is what one does not know for sure."""

from dataclasses import replace
from typing import Any

import numpy as np

from ...tables import number
from ...units import Problem, Q, Unreadable
from ..equilibrium import dose_to, solve
from ..ions import kilogram_per_litre
from ..solution import Solution, Water, equivalent_mass


def water_of(solution: Any, function: str) -> Water:
    """The water of a Solution, or the Water itself.

    Raises Unreadable for anything else, Problem where there are several at once.
    """
    if not isinstance(solution, (Solution, Water)):
        raise Unreadable(
            f"{function} needs a Solution or a Water, such as mix(...) gives; you gave {type(solution).__name__}."
        )
    water = solution.water if isinstance(solution, Solution) else solution
    parts = [water.alkalinity, water.temperature, getattr(solution, "volume", None), *solution.ions.values()]
    several: Any = water.ph
    if np.ndim(several) or any(part is not None and np.ndim(part.magnitude) for part in parts):
        raise Problem(f"{function} takes one solution at a time; this one holds several.")
    return water


def with_alkalinity(solution: Any, alkalinity: Any, ph: Any) -> Any:
    """The solution in a water of this alkalinity, plain mg/L as CaCO3, and this pH; arrays allowed."""
    water = solution.water if isinstance(solution, Solution) else solution
    ions = {key: value for key, value in water.ions.items() if key not in ("HCO3-", "CO3-2")}
    other = replace(water, ions=ions, alkalinity=Q(alkalinity, "mg/L"), ph=ph)
    return (
        Solution(solution.volume, solution.added, solution.masses, other) if solution is not water else other
    )


def least_alkalinity(water: Water, ph: Any) -> Any:
    """Plain mg/L as CaCO3 that a water must have to stand at a pH with no carbonate in it; 0 below pH 7."""
    bare = with_alkalinity(water, 0.0, None).state()
    litre = kilogram_per_litre(water.temperature.m_as("degC"))
    needed = dose_to(bare, ph, {"strong_charge": 1.0}).dose * litre * 1000 * equivalent_mass()
    return np.maximum(needed, 0.0) * (1 + 1e-6)


def possible_alkalinity(water: Water, ph: float) -> tuple[float, float]:
    """Least and greatest plain mg/L as CaCO3 of a water at this pH: no carbonate at all, and short of fizzing.

    Raises OutOfRange where no tap water stands at such a pH.
    """
    low = float(least_alkalinity(water, ph))
    trace = low + 0.01  # carbon dioxide grows with the alkalinity at one pH, so a trace shows how fast
    pressure = 10 ** solve(with_alkalinity(water, trace, ph).state()).log_pco2 / (trace - low)
    fizzing = number("equilibrium", "solver", "greatest CO2 pressure", "atm")
    most = number("mixing", "water report", "alkalinity highest", "mg/L")
    return low, float(min(most, low + 0.9 * fizzing / pressure))
