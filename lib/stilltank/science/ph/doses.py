"""Doses of acid and base."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import State, reagent_to_ph, solve
from stilltank.science.products import Acid, Base, Reagent, figures
from stilltank.units import OutOfRange, PlainNumber, Q, check_shapes, takes
from stilltank.units.types import Air, Plain, Quantity

from ._state import (
    AIR,
    SolutionLike,
    acid_named,
    base_named,
    carbon_dioxide_pressure,
    check_ph,
    litre_of,
    litres_of,
    state_of,
)


@dataclass(frozen=True, eq=False)
class Dose:
    """How much acid, or base, brings a solution to a pH.

    Parameters
    ----------
    amount : Quantity
        In mmol of it for each litre of the solution.
    volume : Quantity or None
        In mL from the bottle for the whole solution, or for each litre of a water; None for a solid.
    mass : Quantity or None
        In g as it comes, for the whole or for each litre; None for a dilution stated in mol/L.
    adds : Mapping
        In mg/L, each element it adds.
    protons : float or array
        H+ that one molecule of the acid gives, or of the base takes, at this pH, calculated.
    acid : Acid or Base
        The bottle.
    target : float or array
        The pH wanted.
    air : {"closed", "open"}
        Before carbon dioxide has left, or once the solution is at rest with the air.
    litres : float, array or None
        Volume of the whole solution in L; None for a water, which is dosed by the litre.

    See Also
    --------
    acid_dose : Makes one of an acid.
    base_dose : Makes one of a base.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> print(str(acid_dose(tap, 5.8, "nitric acid 0.5 mol/L"))[:50])
    4 mL of nitric acid 0.5 mol/L in each litre for pH
    """

    amount: Quantity
    volume: Quantity | None
    mass: Quantity | None
    adds: Mapping[str, Quantity]
    protons: Plain
    acid: Reagent
    target: Plain
    air: Air
    litres: Plain | None

    def __str__(self) -> str:
        litres = 1.0 if self.litres is None else self.litres
        several = np.size(self.amount.magnitude * litres)
        if np.ndim(self.amount.magnitude) or np.ndim(litres):
            return f"{several} doses of {self.acid.name}. {self.acid.caution}"
        whole = "each litre" if self.litres is None else f"{self.litres:.4g} L"
        how = {"closed": "before carbon dioxide has left", "open": "once at rest with the air"}[self.air]
        measure = self.acid.measured(self.amount * Q(litres, "L"))
        adds = "".join(
            f" It adds {figures(value.m_as('mg/L'))} mg/L {key}." for key, value in self.adds.items()
        )
        doubt = f"{self.acid.doubt}\n" if self.acid.doubt else ""
        return (
            f"{measure} of {self.acid.name} in {whole} for pH {self.target:g} {how} "
            f"({figures(self.amount.m_as('mmol/L'))} mmol/L).{adds} Add most of it, stir, measure, then the rest.\n"
            f"{doubt}{self.acid.caution}"
        )


@takes(target=PlainNumber(5.8), air=AIR)
def acid_dose(solution: SolutionLike, target: Plain, acid: Acid | str, air: Air = "closed") -> Dose:
    """Find the acid that brings a solution or a water to a pH.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``; one or several at once.
    target : float or array
        The pH wanted.
    acid : Acid or str
        The acid, or its name.
    air : {"closed", "open"}
        Whether carbon dioxide stays in the water, or has come to rest with the air.

    Returns
    -------
    Dose
        With arrays where there are several solutions or targets.

    Raises
    ------
    OutOfRange
        A target outside 0 to 14, above the present pH or out of reach, or a solution outside the limits of the
        equilibrium.
    Unreadable
        No solution, a target that is not a number, an unknown acid, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known.

    See Also
    --------
    base_dose : To raise a pH.
    portions : How to pour the dose.
    dose_range : How sure the dose is.

    Notes
    -----
    The dose balances the charge, with the activities and pairs of `stilltank.science.chemistry.solve`. It is within
    1 percent of PHREEQC to pH 5.5 and 5.8, 10 to 30 °C, and within 5 percent for citric acid. To pH 6.5 and 7 beside
    phosphate it is up to 0.013 mmol/L too high, which is 0.012 of pH, because the pairs of K and Na with phosphate,
    bicarbonate and sulfate are left out.

    References
    ----------
    PHREEQC373.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> tap = Water({"Ca": Q(48, "mg/L")}, alkalinity=Q(130, "mg/L"), ph=7.6, temperature=Q(20, "degC"))
    >>> dose = acid_dose(tap, 5.8, "nitric acid 61.4 %")
    >>> f'{dose.amount.m_as("mmol/L"):.2f} mmol/L, {dose.volume.m_as("mL"):.3f} mL in a litre'
    '2.00 mmol/L, 0.149 mL in a litre'
    """
    bottle = acid_named(acid, "acid_dose")
    now, state, pressure = _asked(solution, target, air, "acid_dose")
    present, asked = np.broadcast_arrays(now, target)
    if np.any(asked > present):
        first = np.argmax((asked > present).ravel())
        raise OutOfRange(
            f"The solution is at pH {present.flat[first]:.2f} already; it needs no acid, and acid cannot raise it "
            f"to {asked.flat[first]:g}. To raise a pH, use a base such as potassium hydrogen carbonate."
        )
    found = reagent_to_ph(state, target, bottle.reagent, pressure)
    # below zero by rounding only: target < present
    return dose_from(solution, np.maximum(found.dose, 0.0), found.protons, bottle, target, air, state)


@takes(target=PlainNumber(5.8), air=AIR)
def base_dose(solution: SolutionLike, target: Plain, base: Base | str, air: Air = "closed") -> Dose:
    """Find the base that raises a solution or a water to a pH.

    Parameters
    ----------
    solution : Solution or Water
        Or anything else with a ``state()``; one or several at once.
    target : float or array
        The pH wanted.
    base : Base or str
        The base, or its name.
    air : {"closed", "open"}
        Whether carbon dioxide stays in the water, or has come to rest with the air.

    Returns
    -------
    Dose
        Its ``protons`` are the H+ that one molecule of the base takes.

    Raises
    ------
    OutOfRange
        A target outside 0 to 14, below the present pH or out of reach of this base, or a solution outside the limits
        of the equilibrium.
    Unreadable
        No solution, a target that is not a number, an unknown base, or another word for ``air``.
    Problem
        A water whose alkalinity or pH is not known.

    See Also
    --------
    acid_dose : To lower a pH.

    Notes
    -----
    Within 0.3 percent of PHREEQC for potassium hydroxide in two recipes at 25 °C, and 3 percent at 10 °C, where the
    constants of phosphate differ. A carbonate that is dosed while closed leaves carbon dioxide behind, and the pH
    climbs on as it escapes.

    References
    ----------
    PHREEQC373.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> from stilltank.science.chemistry import Water
    >>> tank = recipe_solution("Hoagland 1", Q(40, "L"), Water.pure(Q(25, "degC")))
    >>> dose = base_dose(tank, 5.8, "potassium hydroxide 0.1 mol/L")
    >>> f'{dose.volume.m_as("mL"):.0f} mL of it, {dose.adds["K"].m_as("mg/L"):.1f} mg/L K'
    '43 mL of it, 4.2 mg/L K'
    """
    bottle = base_named(base, "base_dose")
    now, state, pressure = _asked(solution, target, air, "base_dose")
    present, asked = np.broadcast_arrays(now, target)
    if np.any(asked < present):
        first = np.argmax((asked < present).ravel())
        raise OutOfRange(
            f"The solution is at pH {present.flat[first]:.2f} already; it needs no base, and base cannot lower it "
            f"to {asked.flat[first]:g}. To lower a pH, use an acid such as citric acid."
        )
    found = reagent_to_ph(state, target, bottle.reagent, pressure)
    amount = np.where(np.isclose(asked, present, rtol=0, atol=1e-6), np.maximum(found.dose, 0.0), found.dose)
    if np.any(amount < 0):
        first = np.argmax((amount < 0).ravel())
        raise OutOfRange(
            f"{bottle.name.capitalize()} cannot raise this solution to pH {asked.flat[first]:g}: "
            "much of it would not bring it that high. Choose a lower pH, or a stronger base."
        )
    return dose_from(solution, amount, -found.protons, bottle, target, air, state)


def _asked(solution: SolutionLike, target: Plain, air: Air, function: str) -> tuple[Any, State, float | None]:
    """The present pH, the state, and the pressure of the air's carbon dioxide."""
    check_ph(target)
    state, pressure = state_of(solution, function), carbon_dioxide_pressure(air)
    now = solve(state, pressure).ph
    check_shapes({"solution": np.shape(now), "target": np.shape(target)}, function)
    return now, state, pressure


def dose_from(
    solution: SolutionLike,
    molal: Plain,
    protons: Plain,
    bottle: Reagent,
    target: Plain,
    air: Air,
    state: State,
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
