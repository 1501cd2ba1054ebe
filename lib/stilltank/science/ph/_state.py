"""A solution as the engine needs it, worked out once."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from stilltank.science.chemistry import (
    Solution,
    State,
    Water,
    caco3_equivalent_mass,
    log_pco2_of_air,
    reagent_to_ph,
    solve,
    water_in_a_litre,
)
from stilltank.science.products import Acid, Base, Reagent, acid, base, known
from stilltank.science.pure_water import density
from stilltank.tables import number
from stilltank.units import Problem, Q, Unreadable, pure_number, within


@dataclass(frozen=True, eq=False)
class Settled:
    """A solution whose state is worked out once and used many times."""

    plain: State
    volume: Any = None

    def state(self) -> State:
        """What the equilibrium engine needs."""
        return self.plain


def settle(solution: Any) -> Settled:
    """Work out the state of a solution once."""
    return Settled(state_of(solution), getattr(solution, "volume", None))


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
    litre = water_in_a_litre(water.temperature.m_as("degC"))
    needed = reagent_to_ph(bare, ph, {"strong_charge": 1.0}).dose * litre * 1000 * caco3_equivalent_mass()
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
    return low, min(most, float(low + 0.9 * fizzing / pressure))


def reagent_named(family: type[Reagent], name: Any, function: str) -> Any:
    """An Acid where an acid is needed, a Base where a base is."""
    if isinstance(name, family):
        return name
    other: type[Reagent] = Base if family is Acid else Acid
    if isinstance(name, other) or known(other, name):
        called = name.name if isinstance(name, Reagent) else name
        raise Unreadable(
            f"{function} needs {'an acid' if family is Acid else 'a base'}, and {called} is "
            f"{'a base' if family is Acid else 'an acid'}. Choose one such as {family.example}, or use "
            f"{'base_dose' if family is Acid else 'acid_dose'}."
        )
    return acid(name) if family is Acid else base(name)


def state_of(solution: Any) -> State:
    if not hasattr(solution, "state"):
        raise Unreadable(
            f"This needs a Solution or a Water, such as mix(...) gives; you gave {type(solution).__name__}."
        )
    return solution.state()


def dosed(state: State, bottle: Reagent, amount: Any) -> dict[str, Any]:
    """A state with ``amount`` of a reagent in it, mmol for each litre."""
    added, found = amount / 1000 / litre_of(state), dict(state)
    for key, share in bottle.reagent.items():
        found[key] = found.get(key, 0.0) + share * added
    return found


def carbon_dioxide_pressure(air: str) -> float | None:
    if not isinstance(air, str) or air not in ("closed", "open"):
        raise Unreadable(
            f'air is "closed" (no carbon dioxide is lost) or "open" (at rest with the air); {air!r} is neither.'
        )
    return log_pco2_of_air() if air == "open" else None


def target_ph(target: Any, function: str = "acid_dose", name: str = "target") -> Any:
    wanted = pure_number(target, 5.8, name, function)
    within(wanted, 0, 14, "A pH lies between 0 and 14; {value:g} does not. Write one such as 5.8.")
    return wanted


def litre_of(state: State) -> Any:
    """Mass of water in a litre, kg."""
    return density(np.asarray(state.get("temperature", 25.0), dtype=float)) / 1000


def litres_of(solution: Any) -> Any:
    volume = getattr(solution, "volume", None)
    return None if volume is None else volume.m_as("L")
