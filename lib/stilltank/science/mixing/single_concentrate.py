"""What falls out: calcium phosphate as the pH rises, gypsum when all goes into one bottle, and how to avoid it."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science.chemistry import (
    ZERO_CELSIUS,
    State,
    gypsum_precipitated,
    molar_mass,
    saturation_index,
    state_at_ph,
    strength_at_gypsum,
)
from stilltank.units import Problem, Q, UnitNeeded, magnitude, one_value, pure_number

from .recipes import Recipe
from .stocks import strength_of

_SEARCH = 4.0, 10.0  # pH between which saturation is looked for


def brushite_saturation(solution: Any, ph: Any = None, temperature: Any = None) -> Any:
    """Saturation index of brushite, the calcium phosphate that forms first: above 0 it can fall out.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
        At working strength.
    ph : number or array, default the pH the solution has without loss of carbon dioxide
        Taken as reached with a base or acid that brings no nutrient.
    temperature : quantity, array, default that of the water

    Returns
    -------
    number or array
        log10 of the ion product over the solubility product; minus infinity without calcium or phosphate.

    Raises
    ------
    UnitNeeded   no solution
    OutOfRange   a concentrate, or outside pH 1 to 13 or 0 to 40 °C

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> hoagland = recipe_solution("Hoagland 1")
    >>> [round(float(brushite_saturation(hoagland, ph)), 1) for ph in (5.5, 6.5, 7.5)]
    [-0.9, -0.0, 0.3]

    Limits: within 0.02 pH of PHREEQC 3.8.6 for four recipes; less soluble calcium phosphates are passed
    already 0.1 to 0.6 pH lower, but form slowly. The constant is from memory, and taken as the same at all
    temperatures.
    Source: activities of ``equilibrium``; log K of data/pairs.csv.
    """
    state = _state(solution, temperature, "brushite_saturation")
    if ph is not None:
        ph = pure_number(ph, 6.5, "ph", "brushite_saturation")
    return saturation_index(state_at_ph(state, ph), "brushite", state["temperature"])


def brushite_ph(solution: Any, temperature: Any = None) -> float | None:
    """The pH above which calcium phosphate can fall out of a solution.

    Parameters
    ----------
    solution : Solution, Water, or anything with a ``state()``
        One solution, at working strength.
    temperature : quantity, default that of the water

    Returns
    -------
    float, or None where nothing falls out below pH 10

    Raises
    ------
    UnitNeeded, OutOfRange   as ``brushite_saturation``

    Example
    -------
    >>> from stilltank.science.mixing import recipe_solution
    >>> round(brushite_ph(recipe_solution("Hoagland 1"), Q(20, "degC")), 1)
    6.5

    Limits: as ``brushite_saturation``.
    """
    celsius = (
        None
        if temperature is None
        else Q(one_value(temperature, "degC", "temperature", "brushite_ph"), "degC")
    )
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


def _state(solution: Any, temperature: Any, function: str) -> State:
    if not hasattr(solution, "state"):
        raise UnitNeeded(
            f"{function} needs a Solution or a Water, such as mix(...) gives; you gave {type(solution).__name__}."
        )
    state = dict(solution.state())
    if temperature is not None:
        state["temperature"] = magnitude(temperature, "degC", "temperature", function)
    return state


@dataclass(frozen=True, slots=True)
class OneBottle:
    """What becomes of a recipe whose salts all go into one bottle of concentrate."""

    strength: float
    gypsum: Any
    """g of gypsum that falls out of each litre."""
    sulfate_lost: Any
    """Share of all sulfate that is in it, percent."""
    calcium_lost: Any
    """Share of all calcium that is in it, percent."""
    highest: float
    """The strength up to which nothing falls out; infinite where it never does."""

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


def single_concentrate(recipe: Recipe, strength: Any) -> OneBottle:
    """Why two bottles: how much gypsum would fall out if one bottle held the whole recipe.

    Parameters
    ----------
    recipe : Recipe
    strength : number of times, or ``"1 in 100"``, ``"1 + 100"``

    Returns
    -------
    OneBottle

    Raises
    ------
    UnitNeeded, Unreadable, OutOfRange   no recipe, a strength with two readings or out of range

    Example
    -------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> one = single_concentrate(weigh_out("Hoagland 1", hoagland, Q(10, "L")), 100)
    >>> f"{one.sulfate_lost.m_as('percent'):.0f} % of the sulfate; clear up to {one.highest:.0f} times"
    '95 % of the sulfate; clear up to 8 times'

    Limits: at 20 °C, at rest, the water's own ions left out. The ionic strength of a concentrate is beyond the
    activity model, so the shares are rough; where it begins is 5 % low against PHREEQC 3.8.6 for Hoagland 1.
    """
    if not isinstance(recipe, Recipe):
        raise UnitNeeded(f"single_concentrate needs a Recipe from weigh_out; you gave {recipe!r}.")
    times = strength_of(strength)
    room = Q(20, "degC")
    whole = {key: float(value.m_as("mmol/L")) for key, value in recipe.solution.added.items()}

    def ions(factor: float) -> dict[str, Any]:
        return {key: Q(factor * value, "mmol/L") for key, value in whole.items()}

    formed = gypsum_precipitated(ions(times), room).m_as("mmol/kg")

    def lost(key: str) -> Any:
        return Q(100 * formed / (times * whole[key]) if formed else 0.0, "percent")

    return OneBottle(
        times,
        Q(formed * molar_mass("CaSO4.2H2O").m_as("g/mol") / 1000, "g/L"),
        lost("SO4-2"),
        lost("Ca+2"),
        strength_at_gypsum(ions(1), room),
    )


def gypsum_by_product_alone() -> Any:
    """The wrong answer to how much gypsum dissolves at 25 °C: the root of its solubility product.

    Three times too low, since ions in company are less active, and calcium and sulfate also dissolve as a pair.
    ``chemistry.gypsum_solubility`` has the right one.

    Returns
    -------
    quantity, mmol per kg of water

    Example
    -------
    >>> round(gypsum_by_product_alone().m_as("mmol/kg"), 1)
    5.1
    """
    kelvin = 25 + ZERO_CELSIUS
    a, c, d = (tables.number("pairs", "gypsum", f"log K {letter}", "1") for letter in "acd")
    return Q(1000 * 10 ** (0.5 * (a + c / kelvin + d * np.log10(kelvin))), "mmol/kg")


@dataclass(frozen=True, slots=True)
class Advice:
    """One sentence of what to do, with its kind: who says so."""

    text: str
    kind: str
    note: str

    def __str__(self) -> str:
        return f"{self.text} ({self.kind})"


def mixing_advice(topic: str) -> tuple[Advice, ...]:
    """What to do and in which order, each sentence with its kind.

    Parameters
    ----------
    topic : "order of mixing" or "shelf"

    Returns
    -------
    tuple of Advice

    Raises
    ------
    Problem   another topic

    Example
    -------
    >>> print(mixing_advice("order of mixing")[0])
    Fill the tank nine tenths full before any salt goes in. (common practice)
    """
    if topic not in ("order of mixing", "shelf"):
        raise Problem(f'mixing_advice knows "order of mixing" and "shelf"; {topic!r} is neither.')
    rows = tables.load("mixing").of(topic).values()
    return tuple(Advice(str(row.value), row.kind, row.note) for row in rows)
