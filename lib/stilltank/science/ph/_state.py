"""What a solution is to the equilibrium engine, said once for the room."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Protocol

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
from stilltank.units import Problem, Q, Quantity, Unreadable, only, whole_number, within
from stilltank.units.types import Air, Plain

AIR: tuple[Air, Air] = ("closed", "open")
"""The words for ``air``: no carbon dioxide is lost, or the solution is at rest with the air."""


class SolutionLike(Protocol):
    """A Solution, a Water, or anything else that tells the engine its state."""

    def state(self) -> Mapping[str, Any]:
        """What the engine needs, in plain mol for each kilogram of water."""
        ...


@dataclass(frozen=True, eq=False)
class Settled:
    """A solution whose state is worked out once and used many times."""

    plain: State
    volume: Quantity | None = None

    def state(self) -> State:
        """What the equilibrium engine needs."""
        return self.plain


def settle(solution: SolutionLike, function: str) -> Settled:
    """Work out the state of a solution once."""
    return Settled(state_of(solution, function), getattr(solution, "volume", None))


def state_of(solution: SolutionLike, function: str) -> State:
    """What the engine needs of a solution.

    Raises Unreadable for what is none, Problem where the alkalinity or the pH of its water is missing.
    """
    if isinstance(solution, type) or not callable(getattr(solution, "state", None)):
        raise _no_solution(solution, function)
    return solution.state()


def _no_solution(given: object, function: str) -> Unreadable:
    return Unreadable(
        f"{function} needs a Solution or a Water, such as mix(...) gives. You gave something of the kind "
        f"{type(given).__name__}."
    )


def solution_or_water(solution: Solution | Water, function: str) -> Solution | Water:
    """Hand on a Solution or a Water, whose ions can be looked at; refuse anything else."""
    if not isinstance(solution, (Solution, Water)):
        raise _no_solution(solution, function)
    return solution


def water_of(solution: Solution | Water, function: str) -> Water:
    """The water of a Solution, or the Water itself.

    Raises Unreadable for anything else, Problem where there are several at once.
    """
    solution_or_water(solution, function)
    water = solution.water if isinstance(solution, Solution) else solution
    parts = [water.alkalinity, water.temperature, getattr(solution, "volume", None), *solution.ions.values()]
    several: Any = water.ph
    if np.ndim(several) or any(part is not None and np.ndim(part.magnitude) for part in parts):
        raise Problem(f"{function} takes one solution at a time; this one holds several.")
    return water


def with_alkalinity(solution: Solution | Water, alkalinity: Plain, ph: Plain | None) -> Solution | Water:
    """The solution in a water of this alkalinity, plain mg/L as CaCO3, and this pH; arrays allowed."""
    water = solution.water if isinstance(solution, Solution) else solution
    ions = {key: value for key, value in water.ions.items() if key not in ("HCO3-", "CO3-2")}
    other: Water = replace(water, ions=ions, alkalinity=Q(alkalinity, "mg/L"), ph=ph)
    if isinstance(solution, Solution):
        return Solution(solution.volume, solution.added, solution.masses, other)
    return other


def least_alkalinity(water: Water, ph: Plain) -> Plain:
    """Plain mg/L as CaCO3 that a water must have to be at a pH with no carbonate in it; 0 below pH 7."""
    bare = with_alkalinity(water, 0.0, None).state()
    litre = water_in_a_litre(water.temperature.m_as("degC"))
    needed = reagent_to_ph(bare, ph, {"strong_charge": 1.0}).dose * litre * 1000 * caco3_equivalent_mass()
    return np.maximum(needed, 0.0) * (1 + 1e-6)


def possible_alkalinity(water: Water, ph: float) -> tuple[float, float]:
    """Least and greatest plain mg/L as CaCO3 of a water at this pH: no carbonate at all, and short of fizzing.

    Raises OutOfRange where no tap water is at such a pH.
    """
    low = float(least_alkalinity(water, ph))
    trace = low + 0.01  # carbon dioxide grows with the alkalinity at one pH, so a trace shows how fast
    pressure = 10 ** solve(with_alkalinity(water, trace, ph).state()).log_pco2 / (trace - low)
    fizzing = number("equilibrium", "solver", "greatest CO2 pressure", "atm")
    most = number("mixing", "water report", "alkalinity highest", "mg/L")
    return low, min(most, float(low + 0.9 * fizzing / pressure))


def acid_named(name: Acid | str, function: str) -> Acid:
    """The Acid itself, or the one of a name; a base is refused with a sentence of its own."""
    if isinstance(name, Acid):
        return name
    _refuse_other(name, Base, "an acid", "a base", Acid.example, "base_dose", function)
    return acid(name)


def base_named(name: Base | str, function: str) -> Base:
    """The Base itself, or the one of a name; an acid is refused with a sentence of its own."""
    if isinstance(name, Base):
        return name
    _refuse_other(name, Acid, "a base", "an acid", Base.example, "acid_dose", function)
    return base(name)


def _refuse_other(
    name: object, other: type[Reagent], needed: str, found: str, example: str, instead: str, function: str
) -> None:
    if isinstance(name, other) or known(other, name):
        called = name.name if isinstance(name, Reagent) else name
        raise Unreadable(
            f"{function} needs {needed}, and {called} is {found}. Choose one such as {example}, or use {instead}."
        )


def bottle_of(name: Reagent | str) -> Reagent:
    """An Acid or a Base, or whichever of them a name belongs to."""
    if isinstance(name, Reagent):
        return name
    return base(name) if known(Base, name) else acid(name)


def dosed(state: State, bottle: Reagent, amount: Plain) -> dict[str, Any]:
    """A state with ``amount`` of a reagent in it, mmol for each litre."""
    added, found = amount / 1000 / litre_of(state), dict(state)
    for key, share in bottle.reagent.items():
        found[key] = found.get(key, 0.0) + share * added
    return found


def carbon_dioxide_pressure(air: str) -> float | None:
    """Log10 of the pressure of carbon dioxide that a solution is open to, in atm; None while it is closed."""
    return log_pco2_of_air() if air == "open" else None


def check_ph(value: Plain) -> None:
    """Refuse what is no pH; plain numbers."""
    within(value, 0, 14, "A pH is between 0 and 14; {value:g} is not. Write one such as 5.8.")


def one_ph(value: Plain, name: str, function: str) -> float:
    """One pH of a plain argument; several, and what is no pH, are refused."""
    plain = only(value, name, function)
    check_ph(plain)
    return plain


def steps_of(points: int, function: str) -> int:
    """How many steps a row has."""
    return whole_number(
        points,
        1,
        100_000,
        f"{function}: `points` is a whole number from 1 up, such as 60; {{value!r}} is not.",
    )


def litre_of(state: State) -> Any:
    """Mass of water in a litre, kg."""
    return density(np.asarray(state.get("temperature", 25.0), dtype=float)) / 1000


def litres_of(solution: object) -> Any:
    """Plain litres of a solution, one or an array; None for a water, which has no volume."""
    volume = getattr(solution, "volume", None)
    return None if volume is None else volume.m_as("L")
