"""Doses of acid and base."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import State, reagent_to_ph, solve
from stilltank.science.products import Acid, Base, Reagent, acid, base, figures, known
from stilltank.units import OutOfRange, Q, check_shapes

from ._state import carbon_dioxide_pressure, litre_of, litres_of, reagent_named, state_of, target_ph


@dataclass(frozen=True, eq=False)
class Dose:
    """How much acid, or base, brings a solution to a pH."""

    amount: Any
    """mmol of it for each litre of the solution."""
    volume: Any
    """mL from the bottle for the whole solution, or for each litre of a water; None for a solid."""
    mass: Any
    """g as it comes, for the whole or for each litre; None for a dilution stated in mol/L."""
    adds: Mapping[str, Any]
    """mg/L of each element it brings."""
    protons: Any
    """H+ that one molecule of the acid gives, or of the base takes, at this pH, computed."""
    acid: Reagent
    """The bottle: an Acid, or a Base."""
    target: Any
    air: str
    litres: Any
    """Volume of the whole solution, L, one or an array; None for a water, dosed by the litre."""

    def __str__(self) -> str:
        several = np.size(self.amount.magnitude * (1.0 if self.litres is None else self.litres))
        if np.ndim(self.amount.magnitude) or np.ndim(self.litres):
            return f"{several} doses of {self.acid.name}. {self.acid.caution}"
        whole = "each litre" if self.litres is None else f"{self.litres:.4g} L"
        how = {"closed": "before carbon dioxide has left", "open": "once at rest with the air"}[self.air]
        measure = self.acid.measured(self.amount * Q(1.0 if self.litres is None else self.litres, "L"))
        adds = "".join(
            f" It adds {figures(value.m_as('mg/L'))} mg/L {key}." for key, value in self.adds.items()
        )
        doubt = f"{self.acid.doubt}\n" if self.acid.doubt else ""
        return (
            f"{measure} of {self.acid.name} in {whole} for pH {self.target:g} {how} "
            f"({figures(self.amount.m_as('mmol/L'))} mmol/L).{adds} Add most of it, stir, measure, then the rest.\n"
            f"{doubt}{self.acid.caution}"
        )


def acid_dose(solution: Any, target: Any, acid: Acid | str, air: str = "closed") -> Dose:
    """Find the acid that brings a solution or a water to a pH.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    target : number, or array of them
        The pH wanted.
    acid : Acid, or the name of one
    air : "closed" or "open"
        Whether carbon dioxide stays in the water, or has come to rest with the air.

    Returns
    -------
    Dose

    Raises
    ------
    OutOfRange   a target outside 0 to 14, above the present pH or out of reach, or a solution outside the
                 limits of ``equilibrium``
    Unreadable   a target that is not a number, an unknown acid or air
    Problem      a water whose alkalinity or pH is not known

    Example
    -------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> dose = acid_dose(tap, 5.8, "nitric acid 61.4 %")
    >>> f'{dose.amount.m_as("mmol/L"):.2f} mmol/L, {dose.volume.m_as("mL"):.3f} mL in a litre'
    '2.00 mmol/L, 0.149 mL in a litre'

    Limits: within 1 percent of PHREEQC to pH 5.5 and 5.8, 10 to 30 degC, as tests/reference has it; 5 percent for
    citric acid. To 6.5 and 7 beside phosphate up to 0.013 mmol/L too much, for the pairs of K and Na with phosphate,
    bicarbonate and sulfate are left out: 0.012 of pH.
    Source: charge balance with the activities and pairs of ``equilibrium``.
    """
    bottle = reagent_named(Acid, acid, "acid_dose")
    now, wanted, state, pressure = _asked(solution, target, air, "acid_dose")
    present, asked = np.broadcast_arrays(now, wanted)
    if np.any(asked > present):
        first = np.argmax((asked > present).ravel())
        raise OutOfRange(
            f"The solution is at pH {present.flat[first]:.2f} already; it needs no acid, and acid cannot raise it "
            f"to {asked.flat[first]:g}. To raise a pH, use a base such as potassium hydrogen carbonate."
        )
    found = reagent_to_ph(state, wanted, bottle.reagent, pressure)
    # below zero by rounding only: target < present
    return dose_from(solution, np.maximum(found.dose, 0.0), found.protons, bottle, target, air, state)


def base_dose(solution: Any, target: Any, base: Base | str, air: str = "closed") -> Dose:
    """Find the base that raises a solution or a water to a pH.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
    target : number, or array of them
        The pH wanted.
    base : Base, or the name of one
    air : "closed" or "open"
        Whether carbon dioxide stays in the water, or has come to rest with the air.

    Returns
    -------
    Dose
        ``protons`` is the H+ that one molecule of the base takes.

    Raises
    ------
    OutOfRange   a target outside 0 to 14, below the present pH or out of reach of this base, or a solution
                 outside the limits of ``equilibrium``
    Unreadable   a target that is not a number, an unknown base or air
    Problem      a water whose alkalinity or pH is not known

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> from stilltank.science.chemistry import Water
    >>> tank = recipe_solution("Hoagland 1", Q(40, "L"), Water.pure(Q(25, "degC")))
    >>> dose = base_dose(tank, 5.8, "potassium hydroxide 0.1 mol/L")
    >>> f'{dose.volume.m_as("mL"):.0f} mL of it, {dose.adds["K"].m_as("mg/L"):.1f} mg/L K'
    '43 mL of it, 4.2 mg/L K'

    Limits: within 0.3 percent of PHREEQC 3.7.3 for potassium hydroxide in two recipes at 25 degC, 3 percent at 10 degC,
    where the constants of phosphate differ (tests/reference). A carbonate dosed while closed leaves carbon dioxide
    behind, and the pH climbs on as it escapes.
    Source: charge balance with the activities and pairs of ``equilibrium``.
    """
    bottle = reagent_named(Base, base, "base_dose")
    now, wanted, state, pressure = _asked(solution, target, air, "base_dose")
    present, asked = np.broadcast_arrays(now, wanted)
    if np.any(asked < present):
        first = np.argmax((asked < present).ravel())
        raise OutOfRange(
            f"The solution is at pH {present.flat[first]:.2f} already; it needs no base, and base cannot lower it "
            f"to {asked.flat[first]:g}. To lower a pH, use an acid such as citric acid."
        )
    found = reagent_to_ph(state, wanted, bottle.reagent, pressure)
    amount = np.where(np.isclose(asked, present, rtol=0, atol=1e-6), np.maximum(found.dose, 0.0), found.dose)
    if np.any(amount < 0):
        first = np.argmax((amount < 0).ravel())
        raise OutOfRange(
            f"{bottle.name.capitalize()} cannot raise this solution to pH {asked.flat[first]:g}: "
            "much of it would not bring it that high. Choose a lower pH, or a stronger base."
        )
    return dose_from(solution, amount, -found.protons, bottle, target, air, state)


def _asked(solution: Any, target: Any, air: str, function: str) -> tuple[Any, Any, State, float | None]:
    """The present pH, the one wanted, the state, and the pressure of the air's carbon dioxide."""
    state, pressure = state_of(solution), carbon_dioxide_pressure(air)
    wanted = target_ph(target, function)
    now = solve(state, pressure).ph
    check_shapes({"solution": np.shape(now), "target": np.shape(wanted)}, function)
    return now, wanted, state, pressure


def dose_from(
    solution: Any, molal: Any, protons: Any, bottle: Reagent, target: Any, air: str, state: State
) -> Dose:
    """The dose of a bottle for plain mol of reagent in each kilogram of water."""
    amount = molal * 1000 * litre_of(state)
    litres = litres_of(solution)
    total = Q(amount * (1.0 if litres is None else litres), "mmol")
    each = Q(amount, "mmol/L")
    return Dose(
        each,
        bottle.volume(total),
        bottle.mass(total),
        bottle.adds(each),
        protons,
        bottle,
        target,
        air,
        litres,
    )


def bottle_of(name: Reagent | str) -> Reagent:
    """An Acid or a Base, or whichever of them a name belongs to."""
    if isinstance(name, Reagent):
        return name
    return base(name) if known(Base, name) else acid(name)
