"""What a warmer solution does to the supply of oxygen and to the demand for it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.oxygen import diffusivity, oxygen_in_moist_air, saturation

from ...tables import load, number
from ...units import Q, pure_number, takes, within


@dataclass(frozen=True, eq=False)
class Warmth:
    """How many times as much as at the reference temperature; all without unit.

    Attributes
    ----------
    supply : oxygen that water holds; air : that moist air holds
    demand, demand_low, demand_high : what roots use, with the range over the published Q10
    reach : depth that oxygen reaches in still water with roots
    """

    supply: Any
    air: Any
    demand: Any
    demand_low: Any
    demand_high: Any
    reach: Any

    def __str__(self) -> str:
        if np.ndim(self.demand.magnitude):
            return f"{np.size(self.demand.magnitude)} temperatures"
        supply, air, demand, low, high, reach = (
            value.m_as("")
            for value in (self.supply, self.air, self.demand, self.demand_low, self.demand_high, self.reach)
        )
        return (
            f"water holds {supply:.2f} times as much oxygen, roots ask for {demand:.2f} times as much "
            f"({low:.2f} to {high:.2f}), and it reaches {reach:.2f} times as deep; moist air holds {air:.2f} times "
            "as much"
        )


@takes(temperature="degC", reference="degC")
def warming_effect(temperature: Any, reference: Any = None, q10: Any = None) -> Warmth:
    """Compare supply, demand and reach of oxygen at two temperatures.

    Parameters
    ----------
    temperature : quantity, of the solution; one or an array
    reference : quantity; 20 degC when left out
    q10 : plain number, how many times more roots use 10 degC warmer; 2 when left out, 1.5 to 3

    Returns
    -------
    Warmth

    Raises
    ------
    UnitNeeded, Unreadable   a bare temperature, a q10 that is no plain number
    OutOfRange               water outside 0 to 40 degC, a q10 outside 1 to 5

    Example
    -------
    >>> print(warming_effect(Q(30, "degC")))
    water holds 0.83 times as much oxygen, roots ask for 2.00 times as much (1.50 to 3.00), and it reaches 0.73 ...

    Limits: demand matters more than saturation. Roots acclimatise: lettuce roots used less when cooled and no more
    when warmed (one abstract), so a constant q10 is an upper estimate. Warmth also changes which root rots thrive.
    Source: Benson & Krause (1984); Han & Bartels (1996); Q10 range of Pregitzer et al. (2000), abstract.
    """
    entry = load("oxygen")["roots", "Q10"]
    usual = number("roots", "warmth", "reference", "degC")
    factor = pure_number(float(entry.quantity) if q10 is None else q10, 2, "q10", "warming_effect")
    within(factor, 1, 5, "A Q10 of {value:g}; roots use 1 to 5 times as much 10 degC warmer.")
    here, there = Q(temperature, "degC"), Q(usual if reference is None else reference, "degC")
    steps = (here.magnitude - there.magnitude) / 10
    supply = saturation(here) / saturation(there)
    ends = [end.m_as("dimensionless") ** steps for end in entry.range] if q10 is None else [factor**steps] * 2
    demand = Q(factor**steps, "dimensionless")
    reach = (diffusivity(here) / diffusivity(there) * supply / demand) ** 0.5
    return Warmth(
        supply.to("dimensionless"),
        (oxygen_in_moist_air(here) / oxygen_in_moist_air(there)).to("dimensionless"),
        demand,
        Q(np.minimum(*ends), "dimensionless"),
        Q(np.maximum(*ends), "dimensionless"),
        reach.to("dimensionless"),
    )
