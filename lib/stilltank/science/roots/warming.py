"""What a warmer solution does to the supply of oxygen and to the demand for it."""

from dataclasses import dataclass

import numpy as np

from stilltank.science.oxygen import diffusivity, oxygen_in_moist_air, saturation
from stilltank.tables import load, number
from stilltank.units import PlainNumber, Q, takes, within
from stilltank.units.types import Plain, Quantity


@dataclass(frozen=True, eq=False)
class Warmth:
    """How many times as much as at the reference temperature; all without unit.

    Parameters
    ----------
    supply, air : Quantity
        Oxygen that water holds, and that moist air holds.
    demand, demand_low, demand_high : Quantity
        What roots use, with the range over the published Q10.
    reach : Quantity
        Depth that oxygen reaches in still water with roots.

    See Also
    --------
    warming_effect : Works it out.

    Examples
    --------
    >>> round(warming_effect(Q(30, "degC")).supply.m_as(""), 2)
    0.83
    """

    supply: Quantity
    air: Quantity
    demand: Quantity
    demand_low: Quantity
    demand_high: Quantity
    reach: Quantity

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


@takes(temperature="degC", reference="degC", q10=PlainNumber(2))
def warming_effect(
    temperature: Quantity, reference: Quantity | None = None, q10: Plain | None = None
) -> Warmth:
    """Compare supply, demand and reach of oxygen at two temperatures.

    Parameters
    ----------
    temperature : Quantity
        Of the solution, 0 to 40 degC; one or an array.
    reference : Quantity, optional
        What it is compared with; 20 degC when left out.
    q10 : float or array, optional
        How many times more roots use 10 degC warmer; 2 when left out, 1.5 to 3.

    Returns
    -------
    Warmth
        How many times as much, of the shape of ``temperature``.

    Raises
    ------
    UnitNeeded
        A temperature has no unit.
    Unreadable
        The q10 is no plain number.
    OutOfRange
        The water is below 0 or above 40 degC, or the q10 lies outside 1 to 5.

    See Also
    --------
    oxygen_demand : What roots ask for.

    Notes
    -----
    Demand matters more than saturation. Roots acclimatise: lettuce roots used less when cooled and no more when warmed
    (one abstract), so a constant q10 is an upper estimate. Warmth also changes which root rots thrive. The range of
    the Q10 is that of an abstract.

    References
    ----------
    BENSONKRAUSE1984, HANBARTELS1996, PREGITZER2000

    Examples
    --------
    >>> print(warming_effect(Q(30, "degC")))
    water holds 0.83 times as much oxygen, roots ask for 2.00 times as much (1.50 to 3.00), and it reaches 0.73 ...
    """
    entry = load("oxygen")["roots", "Q10"]
    usual = number("roots", "warmth", "reference", "degC")
    factor = float(entry.quantity) if q10 is None else q10
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
