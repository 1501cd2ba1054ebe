"""The cheapest mixture that keeps every target within its tolerance, as a linear programme."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from reprlib import repr as short
from types import MappingProxyType

import numpy as np

from stilltank import tables
from stilltank.science.chemistry import Water
from stilltank.science.products import Salt, salt
from stilltank.units import Problem, Q, Quantity, Unreadable, one_value, pure_number, takes, within
from stilltank.units.types import Array

from .recipes import Recipe, WeighingTask, task_of

_MET = 1e-7  # a relaxation smaller than this is the solver's rounding


@dataclass(frozen=True, eq=False)
class LeastCost:
    """The cheapest mixture, what it costs, and what cannot be met at any price.

    Parameters
    ----------
    recipe : Recipe
        The mixture.
    cost : float
        For the whole volume, in the currency.
    costs : mapping of str to float
        Cost of each salt, for the whole volume.
    currency : str
        The word for the currency.
    tolerances : mapping of str to Quantity
        Percent of each target, either way.
    needed : mapping of str to Quantity
        The tolerance, percent, with which each target that is not met would be.

    Examples
    --------
    >>> found = least_cost({"K": Q(100, "mg/L")}, ["KCl"], Q(100, "L"), {"KCl": 1.5})
    >>> round(found.cost, 3)
    0.026
    """

    recipe: Recipe
    cost: float
    costs: Mapping[str, float]
    currency: str
    tolerances: Mapping[str, Quantity]
    needed: Mapping[str, Quantity]

    @property
    def masses(self) -> Mapping[str, Quantity]:
        """Grams of each salt to weigh.

        Examples
        --------
        >>> found = least_cost({"K": Q(100, "mg/L")}, ["KCl"], Q(100, "L"), {"KCl": 1.5})
        >>> round(found.masses["potassium chloride"].m_as("g"), 2)
        17.16
        """
        return self.recipe.masses

    @property
    def missed(self) -> Mapping[str, str]:
        """A sentence for each target that no mixture keeps within its tolerance, saying why.

        Examples
        --------
        >>> found = least_cost({"K": Q(100, "mg/L")}, ["KCl"], Q(100, "L"), {"KCl": 1.5})
        >>> dict(found.missed)
        {}
        """
        return self.recipe.missed

    def __str__(self) -> str:
        money = f" {self.currency}" if self.currency else ""
        return f"{self.recipe}\nSalts for {self.cost:.3g}{money}."


@takes(water=Water)
def least_cost(
    targets: Mapping[str, Quantity] | str,
    salts: Iterable[str | Salt] | str | Salt,
    volume: Quantity,
    prices: Mapping[str, float],
    tolerances: Quantity | Mapping[str, Quantity] | None = None,
    water: Water | None = None,
    currency: str = "",
    also: Mapping[str, Quantity] | None = None,
) -> LeastCost:
    """Find the cheapest mixture that keeps every target within its tolerance in this water.

    Where none does, the tolerances are widened by as little as possible in all, and the answer says which and why.

    Parameters
    ----------
    targets : mapping of str to Quantity, or str
        mg/L or mmol/L of each nutrient, or the name of a recipe, as for ``weigh_out``.
    salts : iterable of str or Salt
        The salts at hand.
    volume : Quantity
        Of the finished solution, one value.
    prices : mapping of str to float
        For a kilogram of each salt, in one currency. Yours; those of ``demo_prices()`` are invented.
    tolerances : Quantity or mapping of str to Quantity, optional
        Percent of the target, either way: one for all, or one for each nutrient; 10 percent when left out.
    water : Water, optional
        Pure water when left out.
    currency : str, optional
        Its word, for the text.
    also : mapping of str to Quantity, optional
        mg/L or mmol/L of each ion that something else brings, as for ``weigh_out``.

    Returns
    -------
    LeastCost
        The mixture, its cost, and what cannot be met at any price.

    Raises
    ------
    Unreadable
        A salt or nutrient is unknown, or a price is no plain number.
    UnitNeeded
        A target or tolerance has no unit.
    OutOfRange
        A price is below zero, or a tolerance outside 0 to 100 percent.
    Problem
        A salt has no price.

    See Also
    --------
    weigh_out : The closest mixture, whatever it costs.

    Notes
    -----
    A linear programme, by dual simplex (HiGHS) as scipy has it. It knows no other cost than the salts', and nothing of
    what a plant does with chloride or sulfate that is not among the targets; name them as targets to hold them.

    Examples
    --------
    >>> both = {"KCl": 1.5, "K2SO4": 2.8}
    >>> found = least_cost({"K": Q(100, "mg/L")}, both, Q(100, "L"), both, Q(0, "percent"), currency="coins")
    >>> {name: round(mass.m_as("g"), 1) for name, mass in found.masses.items()}, round(found.cost, 4)
    ({'potassium chloride': 19.1, 'potassium sulfate': 0.0}, 0.0286)
    """
    task = task_of(targets, salts, volume, water, also, "least_cost")
    price = _prices(prices, task)
    tolerance = _tolerances(tolerances, task.names)
    grams, extra = _solved(task, price, tolerance)
    recipe = task.recipe(grams)
    needed, missed = {}, {}
    for name, more, allowed in zip(task.names, extra, tolerance, strict=True):
        if more > _MET:
            needed[name] = Q(100 * (allowed + more), "percent")
            why = recipe.missed.get(name, f"{name}: just beyond its tolerance.").rstrip(".")
            missed[name] = (
                f"{why}. It would need a tolerance of {100 * (allowed + more):.3g} % instead of {100 * allowed:.3g}."
            )
    costs = {
        s.name: float(p * g * task.whole / 1000) for s, p, g in zip(task.chosen, price, grams, strict=True)
    }
    return LeastCost(
        replace(recipe, missed=MappingProxyType(missed)),
        sum(costs.values()),
        MappingProxyType(costs),
        currency,
        MappingProxyType({n: Q(100 * t, "percent") for n, t in zip(task.names, tolerance, strict=True)}),
        MappingProxyType(needed),
    )


def _prices(prices: Mapping[str, float], task: WeighingTask) -> Array:
    if not isinstance(prices, Mapping):
        raise Unreadable(
            f'least_cost needs prices for a kilogram, such as {{"KNO3": 3.2}}; you gave {short(prices)}.'
        )
    known = {salt(name).name: _one_price(value, str(name)) for name, value in prices.items()}
    if lacking := [each.name for each in task.chosen if each.name not in known]:
        raise Problem(f"least_cost needs a price for a kilogram of {', '.join(lacking)}.")
    found = np.array([known[each.name] for each in task.chosen])
    within(found, 0, 1e9, "A price for a kilogram is zero or more; {value:g} is not.")
    return found


def _one_price(value: float, name: str) -> float:
    price = pure_number(value, 3.2, name, "least_cost")
    if np.ndim(price):
        raise Problem(f"least_cost takes one price for {name}; you gave {np.size(price)}.")
    return float(price)


def _tolerances(tolerances: Quantity | Mapping[str, Quantity] | None, names: list[str]) -> Array:
    """As shares, one for each target."""
    usual = tables.number("mixing", "weigh out", "usual tolerance", "percent")
    if isinstance(tolerances, Mapping):
        if strange := [name for name in tolerances if name not in names]:
            raise Unreadable(
                f"least_cost: the tolerance of {strange[0]!r} has no target. Targets: {', '.join(names)}."
            )
        stated = [
            one_value(tolerances[name], "percent", name, "least_cost") if name in tolerances else usual
            for name in names
        ]
    else:
        one = usual if tolerances is None else one_value(tolerances, "percent", "tolerances", "least_cost")
        stated = [one] * len(names)
    within(stated, 0, 100, "least_cost: a tolerance lies between 0 and 100 percent; {value:g} does not.")
    return np.array(stated) / 100


def _solved(task: WeighingTask, price: Array, tolerance: Array) -> tuple[Array, Array]:
    """g/L of each salt, and how far each tolerance has to be widened, as a share."""
    from scipy.optimize import linprog

    matrix, have = task.each / task.want[:, None], task.have / task.want
    size = np.linalg.norm(matrix, axis=0)
    size[size == 0] = 1.0
    matrix = matrix / size
    several, many = len(task.names), len(task.chosen)
    # variables: salts (scaled), then the widening of each tolerance
    sides = np.block([[matrix, -np.eye(several)], [-matrix, -np.eye(several)]])
    bounds = np.concatenate([1 + tolerance - have, tolerance - 1 + have])
    widen = linprog(np.r_[np.zeros(many), np.ones(several)], A_ub=sides, b_ub=bounds, bounds=(0, None))
    if not widen.success:
        raise Problem(f"least_cost found no mixture: {widen.message}")
    extra = np.where(widen.x[many:] > _MET, widen.x[many:], 0.0)
    slack = np.where(extra > 0, extra * (1 + 1e-9) + 1e-9, 0.0)
    limits = bounds + np.concatenate([slack, slack]) + 1e-12
    cost = price / size
    cost = cost / max(cost.max(initial=0.0), 1e-300)
    light = 1e-9 / size / np.max(1 / size)  # of equally cheap mixtures the lightest
    found = linprog(cost + light, A_ub=sides[:, :many], b_ub=limits, bounds=(0, None))
    scaled = found.x if found.success else widen.x[:many]
    return np.maximum(scaled, 0.0) / size, extra


def demo_prices() -> tuple[Mapping[str, float], str]:
    """Invented prices of the demo.

    Returns
    -------
    tuple of mapping of str to float and str
        The price of a kilogram of each salt, and the word for the currency.

    Examples
    --------
    >>> prices, currency = demo_prices()
    >>> prices["potassium nitrate"], currency
    (3.0, 'coins')
    """
    table = tables.load("demo/prices")
    prices = {
        name: tables.number("demo/prices", name, "price", "1/kg")
        for name in table.items_named
        if (name, "price") in table
    }
    return MappingProxyType(prices), str(table["currency", "word"].value)
