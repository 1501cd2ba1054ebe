"""What a scale can weigh: masses rounded to its steps, and what the rounding costs."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from stilltank import tables
from stilltank.science.chemistry import Solution
from stilltank.science.products import ions_of_nutrient, salt
from stilltank.units import Q, Quantity, Unreadable, one_value, takes, within

from .recipes import Recipe


@dataclass(frozen=True, eq=False)
class RoundedRecipe:
    """A recipe in the steps of a scale, and the error that makes.

    Parameters
    ----------
    masses : mapping of str to Quantity
        Grams of each salt, in the steps of the scale.
    solution : Solution
        What the rounded masses make.
    errors : mapping of str to Quantity
        mg/L of each nutrient, over what the exact masses would give.
    bounds : mapping of str to Quantity
        mg/L that rounding could cost at most, for this scale, volume and choice of salts.
    shares : mapping of str to Quantity
        The errors as percent of what the exact masses give.
    warnings : tuple of str
        A sentence for every nutrient that rounding moves by more than a word is worth, and what helps.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> f'{round_to_scale(recipe, Q(1, "g")).shares["K"].m_as("percent"):.0f} %'
    '16 %'
    """

    masses: Mapping[str, Quantity]
    solution: Solution
    errors: Mapping[str, Quantity]
    bounds: Mapping[str, Quantity]
    shares: Mapping[str, Quantity]
    warnings: tuple[str, ...]

    def __str__(self) -> str:
        lines = [f"  {mass.m_as('g'):g} g {name}" for name, mass in self.masses.items()]
        moved = ", ".join(f"{name} {error.m_as('mg/L'):+.2g}" for name, error in self.errors.items())
        return "\n".join(
            ["As the scale shows it:", *lines, f"Rounding moves, mg/L: {moved}.", *self.warnings]
        )


@takes(recipe=Recipe)
def round_to_scale(recipe: Recipe, resolution: Quantity | Mapping[str, Quantity]) -> RoundedRecipe:
    """Round the masses of a recipe to what a scale shows, and say what it costs.

    Parameters
    ----------
    recipe : Recipe
        What is to be weighed.
    resolution : Quantity or mapping of str to Quantity
        Mass, the step of the scale. With two scales, such as ``{"boric acid": Q(0.01, "g")}``; what is not named goes
        on the kitchen scale of data/mixing.csv.

    Returns
    -------
    RoundedRecipe
        The rounded masses, the solution they make, and what the rounding costs.

    Raises
    ------
    Unreadable
        There is no recipe, or a salt is not in it.
    UnitNeeded
        A step has no unit.
    OutOfRange
        A step is not above zero, or more than 1 kg.
    Problem
        There are several steps for one salt.

    See Also
    --------
    recipe_uncertainty : The scale's own error too.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> found = round_to_scale(recipe, Q(1, "g"))
    >>> found.masses["potassium nitrate"].m_as("g"), round(found.errors["K"].m_as("mg/L"), 1)
    (3.0, 16.0)
    """
    steps = _steps(recipe, resolution)
    known = {each.name: each for each in recipe.salts}
    exact = {name: float(mass.m_as("g")) for name, mass in recipe.masses.items() if mass.m_as("g") > 0}
    rounded = {
        name: float(np.floor(grams / steps[name] + 0.5) * steps[name]) for name, grams in exact.items()
    }
    litres = recipe.volume.m_as("L")
    errors, bounds, shares, warnings = {}, {}, {}, []
    worth = tables.number("mixing", "weigh out", "rounding worth a word", "percent")
    for nutrient, reached in recipe.reached.items():
        keys, gram = ions_of_nutrient(nutrient)
        each = {n: gram * sum(known[n].release.get(key, 0.0) for key in keys) / litres for n in exact}
        error = sum(each[n] * (rounded[n] - exact[n]) for n in exact)
        share = 100 * error / reached.m_as("mg/L") if reached.m_as("mg/L") else 0.0
        errors[nutrient], shares[nutrient] = Q(error, "mg/L"), Q(share, "percent")
        bounds[nutrient] = Q(sum(each[n] * steps[n] / 2 for n in exact), "mg/L")
        if abs(share) > worth:
            worst = max(exact, key=lambda n: abs(each[n] * (rounded[n] - exact[n])))
            warnings.append(
                f"{nutrient}: rounding {worst} to {rounded[worst]:g} g moves it by {share:+.0f} %. Use a finer scale "
                "for it, or weigh for a concentrate and dose that."
            )
    added = {key: float(value.m_as("mmol/L")) for key, value in recipe.solution.added.items()}
    for name in exact:
        for key, mmol in known[name].release.items():
            added[key] = max(added[key] + mmol * (rounded[name] - exact[name]) / litres, 0.0)
    masses = MappingProxyType({name: Q(grams, "g") for name, grams in rounded.items()})
    solution = Solution(
        recipe.volume, {key: Q(value, "mmol/L") for key, value in added.items()}, masses, recipe.water
    )
    return RoundedRecipe(
        masses,
        solution,
        MappingProxyType(errors),
        MappingProxyType(bounds),
        MappingProxyType(shares),
        tuple(warnings),
    )


def _steps(recipe: Recipe, resolution: Quantity | Mapping[str, Quantity]) -> dict[str, float]:
    """Grams a step for each salt."""
    usual = tables.number("mixing", "measuring", "scale resolution", "g")
    if isinstance(resolution, Mapping):
        named = {
            salt(name).name: one_value(v, "g", str(name), "round_to_scale") for name, v in resolution.items()
        }
        if strange := [name for name in named if name not in recipe.masses]:
            raise Unreadable(
                f"round_to_scale: the recipe holds no {strange[0]}. It holds {', '.join(recipe.masses)}."
            )
    else:
        usual, named = one_value(resolution, "g", "resolution", "round_to_scale"), {}
    steps = {name: named.get(name, usual) for name in recipe.masses}
    within(
        list(steps.values()), 1e-6, 1000,
        "round_to_scale: a scale has steps of more than zero and at most {high}; {value} is none.", "g",
    )  # fmt: skip
    return steps
