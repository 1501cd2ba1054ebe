"""How sure a mixture is: scale, jug and label carried through to mg/L, and what that means for the plants."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from stilltank import tables
from stilltank.science.products import ions_of_nutrient, salt
from stilltank.units import Q, Quantity, Unreadable, instance_of, one_value, takes, within

from .recipes import Recipe

_EVEN = 1 / np.sqrt(3)  # standard deviation of an even spread over plus or minus one
COVERAGE = 2.0  # of a normal spread, plus or minus two standard deviations hold 95 %


@dataclass(frozen=True, slots=True)
class Spread:
    """One nutrient: what is expected, how sure that is, and what makes it unsure.

    Parameters
    ----------
    expected : Quantity
        mg/L; with labels that state a least value, a little above what the recipe says.
    standard : Quantity
        Standard uncertainty, mg/L.
    low : Quantity
        Expected less two standard uncertainties, mg/L; some 95 of 100 mixtures lie between this and the
        high end.
    high : Quantity
        Expected plus two standard uncertainties, mg/L.
    parts : mapping of str to Quantity
        Standard uncertainty from each cause, mg/L: "scale", "jug", "label".

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> recipe_uncertainty(recipe).spreads["K"].largest
    'scale'
    """

    expected: Quantity
    standard: Quantity
    low: Quantity
    high: Quantity
    parts: Mapping[str, Quantity]

    @property
    def largest(self) -> str:
        """Cause that counts most.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
        >>> recipe_uncertainty(recipe).spreads["K"].largest
        'scale'
        """
        return max(self.parts, key=lambda cause: self.parts[cause].m_as("mg/L"))


@dataclass(frozen=True, eq=False)
class Uncertainty:
    """The spread of every nutrient of a recipe, and what it means.

    Parameters
    ----------
    spreads : mapping of str to Spread
        The spread of each nutrient.
    targets : mapping of str to Quantity
        What was wanted of each nutrient, mg/L.
    meaning : mapping of str to str
        A sentence for each nutrient: its range beside the target, and whether that matters to a plant.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> list(recipe_uncertainty(recipe).meaning)
    ['K']
    """

    spreads: Mapping[str, Spread]
    targets: Mapping[str, Quantity]
    meaning: Mapping[str, str]

    def __str__(self) -> str:
        return "\n".join(self.meaning.values())


@takes(recipe=Recipe)
def recipe_uncertainty(
    recipe: Recipe,
    resolution: Quantity | Mapping[str, Quantity] | None = None,
    accuracy: Quantity | Mapping[str, Quantity] | None = None,
    jug: Quantity | None = None,
    label_steps: Mapping[str, Quantity] | None = None,
    least_values: bool = True,
) -> Uncertainty:
    """Carry the errors of weighing, of the volume and of the labels through to what the solution holds.

    Parameters
    ----------
    recipe : Recipe
        What was weighed.
    resolution : Quantity or mapping of str to Quantity, optional
        Mass, the step of the scale, for all salts or for each; that of a kitchen scale in data/mixing.csv when left
        out.
    accuracy : Quantity or mapping of str to Quantity, optional
        Mass, the error of the scale either way, for all salts or for each; that of a kitchen scale when left out.
    jug : Quantity, optional
        Percent, the error of the volume either way; that of a tub filled to a mark when left out.
    label_steps : mapping of str to Quantity, optional
        Percent of the mass, the value of the last digit on the label of a salt, where it is not 0.1 %. Salts that are
        counted by their formula have no error of the label unless they are named here.
    least_values : bool, optional
        True if labels state a guaranteed least, rounded down: the true share is then between the label and one digit
        more, not half a digit either way.

    Returns
    -------
    Uncertainty
        The spread of every nutrient, and what it means.

    Raises
    ------
    Unreadable
        There is no recipe, or a salt is not in it.
    UnitNeeded
        A value has no unit.
    OutOfRange
        An error is below zero, or the jug is off by more than half.

    See Also
    --------
    round_to_scale : What the rounding of the scale does to one mixture.

    Notes
    -----
    Linear propagation of standard uncertainties, as the Guide to the Expression of Uncertainty in Measurement has it:
    each error is taken as evenly spread and independent of the others. It agrees with drawn mixtures to 2 % for errors
    up to a tenth. What the report of the water is wrong by is not in it.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> potassium = recipe_uncertainty(recipe, jug=Q(3, "percent")).spreads["K"]
    >>> f'{potassium.low.m_as("mg/L"):.0f} to {potassium.high.m_as("mg/L"):.0f} mg/L, most from the {potassium.largest}'
    '150 to 250 mg/L, most from the scale'
    """
    errors = errors_of(recipe, resolution, accuracy, jug, label_steps, least_values)
    spreads = {name: _spread(recipe, name, errors) for name in recipe.reached}
    meaning = {name: _meaning(name, spread, recipe.targets[name]) for name, spread in spreads.items()}
    return Uncertainty(MappingProxyType(spreads), recipe.targets, MappingProxyType(meaning))


@dataclass(frozen=True, slots=True)
class Errors:
    """What may be off, as plain half-widths of even spreads: grams, a share of the volume, percent of the mass."""

    grams: Mapping[str, tuple[float, float]]
    """For each salt, half a step of the scale, and the scale's error."""
    volume: float
    labels: Mapping[str, tuple[float, float]]
    """For each salt, where the middle of the true share lies above the label, and its half-width."""


def errors_of(
    recipe: Recipe,
    resolution: Quantity | Mapping[str, Quantity] | None,
    accuracy: Quantity | Mapping[str, Quantity] | None,
    jug: Quantity | None,
    label_steps: Mapping[str, Quantity] | None,
    least_values: bool,
) -> Errors:
    """The errors that ``recipe_uncertainty`` carries through, checked."""
    number = tables.number
    steps = _each(recipe, resolution, "resolution", number("mixing", "measuring", "scale resolution", "g"))
    either = _each(recipe, accuracy, "accuracy", number("mixing", "measuring", "scale accuracy", "g"))
    share = number("mixing", "measuring", "volume accuracy", "percent")
    share = share if jug is None else one_value(jug, "percent", "jug", "recipe_uncertainty")
    within(share, 0, 50, "recipe_uncertainty: a jug is off by 0 to 50 percent; {value:g} is outside.")
    usual = number("mixing", "measuring", "label step", "percent")
    table = tables.load("salts")
    last = {
        each.name: usual for each in recipe.salts if (each.name, "ions") not in table
    }  # counted by label, not by formula
    given = (
        {} if label_steps is None else instance_of(label_steps, Mapping, "label_steps", "recipe_uncertainty")
    )
    for name, value in given.items():
        last[_named(recipe, name)] = one_value(value, "percent", str(name), "recipe_uncertainty")
    within(
        list(last.values()),
        0,
        10,
        "recipe_uncertainty: the last digit of a label is 0 to 10 percent; {value:g} is not.",
    )
    middle = 0.5 if least_values else 0.0
    return Errors(
        {name: (steps[name] / 2, either[name]) for name in recipe.masses},
        share / 100,
        {name: (middle * step, step / 2) for name, step in last.items()},
    )


def _named(recipe: Recipe, name: str) -> str:
    own = {each.name for each in recipe.salts}
    found = name if name in own else salt(name).name
    if found not in own:
        raise Unreadable(
            f"recipe_uncertainty: the recipe holds no {found}. It holds {', '.join(sorted(own))}."
        )
    return str(found)


def _each(
    recipe: Recipe, value: Quantity | Mapping[str, Quantity] | None, name: str, usual: float
) -> dict[str, float]:
    """Grams for each salt."""
    if isinstance(value, Mapping):
        given = {
            _named(recipe, key): one_value(v, "g", str(key), "recipe_uncertainty") for key, v in value.items()
        }
        found = {key: given.get(key, usual) for key in recipe.masses}
    else:
        one = usual if value is None else one_value(value, "g", name, "recipe_uncertainty")
        found = dict.fromkeys(recipe.masses, one)
    within(
        list(found.values()),
        0,
        1000,
        f"recipe_uncertainty: {name} is {{low}} to {{high}}; {{value}} is outside.",
        "g",
    )
    return found


def contributions(recipe: Recipe, nutrient: str) -> Iterator[tuple[str, float, float]]:
    """For each salt that brings a nutrient: its name, its grams, and mg/L of the nutrient that a gram brings."""
    keys, gram = ions_of_nutrient(nutrient)
    litres = recipe.volume.m_as("L")
    for each in recipe.salts:
        grams = float(recipe.masses[each.name].m_as("g"))
        brought = gram * sum(each.release.get(key, 0.0) for key in keys) / litres
        if grams > 0 and brought > 0:
            yield each.name, grams, brought


def _spread(recipe: Recipe, nutrient: str, errors: Errors) -> Spread:
    litres, shift = recipe.volume.m_as("L"), 0.0
    scale, label, from_salts = 0.0, 0.0, 0.0
    for name, grams, brought in contributions(recipe, nutrient):
        scale += sum((brought * half * _EVEN) ** 2 for half in errors.grams[name])
        middle, half = errors.labels.get(name, (0.0, 0.0))
        each_percent = 10 * grams / litres  # mg/L for a percent of the mass
        label += (each_percent * half * _EVEN) ** 2
        shift += each_percent * middle
        from_salts += brought * grams
    jug = ((from_salts + shift) * errors.volume * _EVEN) ** 2
    expected, standard = recipe.reached[nutrient].m_as("mg/L") + shift, float(np.sqrt(scale + label + jug))
    parts = {"scale": scale, "jug": jug, "label": label}
    return Spread(
        Q(expected, "mg/L"),
        Q(standard, "mg/L"),
        Q(max(expected - COVERAGE * standard, 0.0), "mg/L"),
        Q(expected + COVERAGE * standard, "mg/L"),
        MappingProxyType({cause: Q(float(np.sqrt(square)), "mg/L") for cause, square in parts.items()}),
    )


def _meaning(name: str, spread: Spread, target: Quantity) -> str:
    worth = tables.number("mixing", "measuring", "range worth a word", "percent")
    low, middle, high, wanted = (
        each.m_as("mg/L") for each in (spread.low, spread.expected, spread.high, target)
    )
    ends = [100 * (end / wanted - 1) for end in (low, high)]
    text = f"{name}: {middle:.3g} mg/L, some 95 in 100 mixtures between {low:.3g} and {high:.3g} ({wanted:.3g} wanted)"
    if max(map(abs, ends)) <= worth:
        return f"{text}. Recipes for one crop differ by more; no plant will show it."
    doubt = 100 * COVERAGE * spread.standard.m_as("mg/L") / wanted
    if doubt <= worth:
        off = 100 * (middle / wanted - 1)
        return (
            f"{text}: the mixture itself is {off:+.0f} % from the target; measuring adds only {doubt:.0f} %."
        )
    if not low > 0:
        return f"{text}: it cannot be weighed like this. Weigh it for a concentrate, and dose that."
    cure = {
        "scale": "A finer scale, a larger batch or a concentrate helps",
        "jug": "Measure the volume better, by weight for instance",
        "label": "Only an analysis of the product would tell",
    }[spread.largest]
    return f"{text}, {ends[0]:+.0f} to {ends[1]:+.0f} %: it could matter. Most comes from the {spread.largest}. {cure}."
