"""Acid for the top-up bottle, so that hard water brings no more alkalinity into the tank than is wanted."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import Water, caco3_equivalent_mass, reagent_to_ph
from stilltank.science.products import Acid, figures
from stilltank.tables import number
from stilltank.units import Problem, Q, only, takes, within
from stilltank.units.types import Quantity

from ._state import Settled, acid_named, dosed, state_of
from .alkalinity import alkalinity_in
from .titration import ph_of


@dataclass(frozen=True, eq=False)
class TopUpAcid:
    """Acid for a bottle of top-up water.

    Parameters
    ----------
    acid : Acid
        The acid at hand.
    volume : Quantity
        Of the top-up water, in L.
    amount : Quantity
        In mmol of the acid for each litre; 0 where the water has no more alkalinity than is left anyway.
    measure : Quantity
        In mL of a liquid, or in g of a solid, for the whole volume.
    alkalinity : Quantity
        Of the water, in mg/L as CaCO3.
    left : Quantity
        What the acid leaves of it, in mg/L as CaCO3.
    ph : float
        In the bottle once it is stirred, before carbon dioxide has left.
    adds : Mapping
        In mg/L, each element that the acid adds to the top-up water.
    lasting : bool
        False for citric acid: microbes use it up within days, and the alkalinity comes back in the tank.

    See Also
    --------
    acid_for_top_up : Makes one.

    Examples
    --------
    >>> hard = Water({"Ca": Q(65, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.6)
    >>> acid_for_top_up(hard, "citric acid 5 %").lasting
    False
    """

    acid: Acid
    volume: Quantity
    amount: Quantity
    measure: Quantity
    alkalinity: Quantity
    left: Quantity
    ph: float
    adds: Mapping[str, Quantity]
    lasting: bool

    def __str__(self) -> str:
        litres = f"{self.volume.m_as('L'):.3g} L of top-up water"
        if not self.amount.magnitude:
            return (
                f"{litres} needs no acid: its alkalinity is {self.alkalinity.m_as('mg/L'):.0f} mg/L as CaCO3."
            )
        adds = "".join(
            f" It adds {figures(value.m_as('mg/L'))} mg/L {key}." for key, value in self.adds.items()
        )
        fades = "" if self.lasting else " Microbes use it up within days, and the pH climbs back."
        dose = self.acid.measured(self.amount * self.volume)
        return f"{dose} of {self.acid.name} in {litres}, then stir.{adds}{fades} {self.acid.caution}"


@takes(water=Water, volume="L")
def acid_for_top_up(
    water: Water, acid: Acid | str, left: Quantity | None = None, volume: Quantity | None = None
) -> TopUpAcid:
    """Find the acid that takes the alkalinity out of top-up water before it is poured in.

    Parameters
    ----------
    water : Water
        What is topped up with; one at a time.
    acid : Acid or str
        The acid at hand, or its name.
    left : Quantity, optional
        Alkalinity to leave, in mg/L as CaCO3 or mmol/L of charge; 20 mg/L when left out.
    volume : Quantity, optional
        Of the top-up water; 10 L when left out.

    Returns
    -------
    TopUpAcid
        The dose, and the pH in the bottle.

    Raises
    ------
    UnitNeeded
        An alkalinity or a volume that has no unit.
    OutOfRange
        A negative alkalinity, no volume.
    Unreadable
        No water, an unknown acid.
    Problem
        A water whose alkalinity or pH is not known, or several at once.

    See Also
    --------
    acid_dose : To a pH, for the tank itself.

    Notes
    -----
    Alkalinity less what is left, over the H+ that a molecule gives at pH 6, as in a tank: 1 for nitric acid, 1.1 for
    phosphoric, 2 for sulfuric. So the dose depends little on the pH of the tank. What roots add or take is not in it:
    `stilltank.science.budget.alkalinity_course` carries that. Nitric acid is a nutrient: count its nitrogen.

    Examples
    --------
    >>> hard = Water({"Ca": Q(65, "mg/L")}, alkalinity=Q(180, "mg/L"), ph=7.6)
    >>> found = acid_for_top_up(hard, "nitric acid 0.5 mol/L", Q(30, "mg/L"))
    >>> print(str(found)[:56])
    59.9 mL of nitric acid 0.5 mol/L in 10 L of top-up water
    """
    name = "acid_for_top_up"
    bottle = acid_named(acid, name)
    state = state_of(water, name)
    known: Any = water.alkalinity  # `state_of` refuses a water without one
    if np.ndim(known.m_as("mg/L")) or np.size(np.asarray(state["DIC"])) > 1:
        raise Problem(f"{name} takes one water at a time; this one holds several.")
    there = float(known.m_as("mg/L"))
    wanted = (
        number("uptake", "top-up", "alkalinity left", "mg/L")
        if left is None
        else only(alkalinity_in(left, "left", name), "left", name)
    )
    litres = 10.0 if volume is None else only(volume, "volume", name)
    within(litres, 1e-9, np.inf, f"{name}: a volume of {{value}} does not fit. Write one above 0.", "L")
    charge = max(there - wanted, 0.0) / caco3_equivalent_mass()
    protons = (
        float(reagent_to_ph(state, number("uptake", "top-up", "pH", "1"), bottle.reagent).protons)
        if charge
        else 1.0
    )
    amount = charge / protons
    total = Q(amount * litres, "mmol")
    measure = bottle.volume(total)
    treated = dosed(state, bottle, amount)
    return TopUpAcid(
        bottle,
        Q(litres, "L"),
        Q(amount, "mmol/L"),
        bottle.mass(total) if measure is None else measure,  # type: ignore[arg-type]
        Q(there, "mg/L"),
        Q(min(wanted, there), "mg/L"),
        float(np.asarray(ph_of(Settled(treated)))),
        bottle.adds(Q(amount, "mmol/L")),
        bottle.kind.element != "",
    )
