"""What falls out: calcium phosphate as the pH rises, gypsum when all goes into one bottle, and how to avoid it."""

from dataclasses import dataclass
from typing import cast

import numpy as np

from stilltank import tables
from stilltank.science.chemistry import (
    Dissolved,
    Solution,
    Water,
    gypsum_precipitated,
    molar_mass,
    saturation_index,
    state_at_ph,
    strength_at_gypsum,
)
from stilltank.units import PlainNumber, Problem, Q, Quantity, takes
from stilltank.units.types import Plain

from .recipes import Recipe
from .stocks import strength_of

_SEARCH = 4.0, 10.0  # pH between which saturation is looked for


@takes(solution=Dissolved, ph=PlainNumber(6.5), temperature="degC")
def brushite_saturation(
    solution: Solution | Water, ph: Plain | None = None, temperature: Quantity | None = None
) -> Plain:
    """Saturation index of brushite, the calcium phosphate that forms first: above 0 it can fall out.

    Parameters
    ----------
    solution : Solution or Water
        At working strength.
    ph : float or array, optional
        The pH, taken as reached with a base or acid that brings no nutrient; the one the solution has without loss of
        carbon dioxide when left out.
    temperature : Quantity, optional
        From 0 to 40 degC, one value or an array; that of the water when left out.

    Returns
    -------
    float or array
        log10 of the ion product over the solubility product; minus infinity without calcium or phosphate.

    Raises
    ------
    Unreadable
        It is no solution, or the pH is no plain number.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        It is a concentrate, or outside pH 1 to 13 or 0 to 40 degC.
    Problem
        The alkalinity or pH of the water is not known, or the arrays do not fit.

    See Also
    --------
    brushite_ph : The pH at which the index passes 0.

    Notes
    -----
    Within 0.02 pH of PHREEQC 3.8.6 for four recipes; less soluble calcium phosphates are passed already 0.1 to 0.6 pH
    lower, but form slowly. The constant is from memory, and taken as the same at all temperatures.

    References
    ----------
    PHREEQC386; log K of data/pairs.csv.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> hoagland = recipe_solution("Hoagland 1")
    >>> [round(float(brushite_saturation(hoagland, ph)), 1) for ph in (5.5, 6.5, 7.5)]
    [-0.9, -0.0, 0.3]
    """
    state = dict(solution.state())
    if temperature is not None:
        state["temperature"] = cast("Plain", temperature)  # as the door hands it on
    return saturation_index(state_at_ph(state, ph), "brushite", state["temperature"])


@takes(solution=Dissolved, temperature="degC")
def brushite_ph(solution: Solution | Water, temperature: Quantity | None = None) -> float | None:
    """The pH above which calcium phosphate can fall out of a solution.

    Parameters
    ----------
    solution : Solution or Water
        One solution, at working strength.
    temperature : Quantity, optional
        One temperature from 0 to 40 degC; that of the water when left out.

    Returns
    -------
    float or None
        The pH; None where nothing falls out below pH 10.

    Raises
    ------
    Unreadable
        It is no solution.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        It is a concentrate, or outside 0 to 40 degC.
    Problem
        The alkalinity or pH of the water is not known, or there are several solutions or temperatures.

    See Also
    --------
    brushite_saturation : The index at one pH; the limits are the same.

    Examples
    --------
    >>> from stilltank.science.mixing import recipe_solution
    >>> round(brushite_ph(recipe_solution("Hoagland 1"), Q(20, "degC")), 1)
    6.5
    """
    if np.ndim(temperature) or any(np.ndim(value) for value in solution.amounts.values()):  # type: ignore[arg-type]
        raise Problem("brushite_ph takes one solution at one temperature; you gave several.")
    celsius = None if temperature is None else Q(temperature, "degC")
    low, high = _SEARCH
    for _ in range(2):  # the second time inside the step where it turns
        grid = np.linspace(low, high, 25)
        index = np.asarray(brushite_saturation(solution, grid, celsius))
        above = np.flatnonzero(index > 0)  # the first: it falls again where carbonate takes the calcium
        if not above.size:
            return None
        if not above[0]:
            return float(low)
        low, high = grid[above[0] - 1], grid[above[0]]
    turn = slice(above[0] - 1, above[0] + 1)
    return float(np.interp(0.0, index[turn], [low, high]))


@dataclass(frozen=True, slots=True)
class OneBottle:
    """What becomes of a recipe whose salts all go into one bottle of concentrate.

    Parameters
    ----------
    strength : float
        Times the recipe.
    gypsum : Quantity
        g of gypsum that falls out of each litre.
    sulfate_lost : Quantity
        Share of all sulfate that is in it, percent.
    calcium_lost : Quantity
        Share of all calcium that is in it, percent.
    highest : float
        The strength up to which nothing falls out; infinite where it never does.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> recipe = weigh_out("Hoagland 1", hoagland, Q(40, "L"))
    >>> print(f"{single_concentrate(recipe, 100).highest:.0f}")
    8
    """

    strength: float
    gypsum: Quantity
    sulfate_lost: Quantity
    calcium_lost: Quantity
    highest: float

    def __str__(self) -> str:
        if not self.gypsum.magnitude:
            return (
                f"At {self.strength:g} times all salts stay dissolved in one bottle, as far as gypsum goes."
            )
        return (
            f"All in one bottle at {self.strength:g} times: roughly {self.gypsum.m_as('g/L'):.2g} g of gypsum falls "
            f"out of each litre, with about {self.sulfate_lost.m_as('percent'):.0f} % of the sulfate and "
            f"{self.calcium_lost.m_as('percent'):.0f} % of the calcium. One bottle would hold up to about "
            f"{self.highest:.2g} times. In two bottles calcium and sulfate never meet undiluted."
        )


@takes(recipe=Recipe)
def single_concentrate(recipe: Recipe, strength: float | str) -> OneBottle:
    """Why two bottles: how much gypsum would fall out if one bottle held the whole recipe.

    Parameters
    ----------
    recipe : Recipe
        What the bottle would hold.
    strength : float or str
        Number of times; or ``"1 in 100"`` or ``"1 + 100"``, see ``strength_of``.

    Returns
    -------
    OneBottle
        What falls out at this strength, and the strength up to which nothing does.

    Raises
    ------
    Unreadable
        There is no recipe, or the strength has two readings.
    UnitNeeded
        The strength is no number of times.
    OutOfRange
        The strength is outside 1 to 1000.

    See Also
    --------
    stocks : The two bottles.

    Notes
    -----
    At 20 degC, in balance, the water's own ions left out. The ionic strength of a concentrate is beyond the activity
    model, so the shares are rough; where it begins is 5 % low against PHREEQC 3.8.6 for Hoagland 1.

    References
    ----------
    PHREEQC386.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> one = single_concentrate(weigh_out("Hoagland 1", hoagland, Q(10, "L")), 100)
    >>> f"{one.sulfate_lost.m_as('percent'):.0f} % of the sulfate; clear up to {one.highest:.0f} times"
    '95 % of the sulfate; clear up to 8 times'
    """
    times = strength_of(strength)
    room = Q(20, "degC")
    whole = {key: float(value.m_as("mmol/L")) for key, value in recipe.solution.added.items()}

    def ions(factor: float) -> dict[str, Quantity]:
        return {key: Q(factor * value, "mmol/L") for key, value in whole.items()}

    formed = gypsum_precipitated(ions(times), room).m_as("mmol/kg")

    def lost(key: str) -> Quantity:
        return Q(100 * formed / (times * whole[key]) if formed else 0.0, "percent")

    return OneBottle(
        times,
        Q(formed * molar_mass("CaSO4.2H2O").m_as("g/mol") / 1000, "g/L"),
        lost("SO4-2"),
        lost("Ca+2"),
        strength_at_gypsum(ions(1), room),
    )


@dataclass(frozen=True, slots=True)
class Advice:
    """One sentence of what to do, with its kind: who says so.

    Parameters
    ----------
    text : str
        What to do.
    kind : str
        Who says so, such as common practice.
    note : str
        Why.

    Examples
    --------
    >>> mixing_advice("shelf")[0].kind
    'common practice'
    """

    text: str
    kind: str
    note: str

    def __str__(self) -> str:
        return f"{self.text} ({self.kind})"


@takes(topic=("order of mixing", "shelf"))
def mixing_advice(topic: str) -> tuple[Advice, ...]:
    """What to do and in which order, each sentence with its kind.

    Parameters
    ----------
    topic : str
        "order of mixing" or "shelf".

    Returns
    -------
    tuple of Advice
        One for each step.

    Raises
    ------
    Unreadable
        The topic is another.

    Examples
    --------
    >>> print(mixing_advice("order of mixing")[0])
    Fill the tank nine tenths full before any salt goes in. (common practice)
    """
    rows = tables.load("mixing").of(topic).values()
    return tuple(Advice(str(row.value), row.kind, row.note) for row in rows)
