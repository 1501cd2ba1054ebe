"""Grams as level teaspoons, for people without a balance: with an honest range, and what that does to the EC."""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from reprlib import repr as short
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import Solution
from stilltank.science.products import Acid, Base, Reagent, Salt, known, salt
from stilltank.units import Problem, Q, Quantity, UnitNeeded, capital, one_value, within, write_range

from .recipes import Recipe, grams_of
from .trace_stocks import is_trace

_PARTS = {0.0: "", 0.25: "1/4", 0.5: "1/2", 0.75: "3/4"}


@dataclass(frozen=True, eq=False)
class Spoonful:
    """One salt in level teaspoons.

    Parameters
    ----------
    mass : Quantity
        Grams that are wanted.
    teaspoons : float
        Level teaspoons, in quarters.
    low : float
        The fewest that may hold these grams, in quarters.
    high : float
        The most that may be needed for them, in quarters.
    least : Quantity
        Grams that ``teaspoons`` hold at least.
    most : Quantity
        Grams that they hold at most.
    kind : str
        What the grams in a teaspoon rest on: "published", "from memory", "assumption", or "your own".

    Examples
    --------
    >>> found = spoons({"potassium nitrate": Q(6, "g")})
    >>> print(found.spoonfuls["potassium nitrate"])
    about 1 1/4 level teaspoons (3/4 to 1 1/2)
    """

    mass: Quantity
    teaspoons: float
    low: float
    high: float
    least: Quantity
    most: Quantity
    kind: str

    @property
    def about(self) -> str:
        """The teaspoons in words, in quarters.

        Examples
        --------
        >>> spoons({"potassium nitrate": Q(6, "g")}).spoonfuls["potassium nitrate"].about
        '1 1/4'
        """
        return _quarters(self.teaspoons)

    @property
    def range(self) -> str:
        """From the fewest to the most teaspoons, in quarters.

        Examples
        --------
        >>> spoons({"potassium nitrate": Q(6, "g")}).spoonfuls["potassium nitrate"].range
        '3/4 to 1 1/2'
        """
        return f"{_quarters(self.low)} to {_quarters(self.high)}"

    def __str__(self) -> str:
        word = "teaspoon" if self.teaspoons <= 1 else "teaspoons"
        return f"about {self.about} level {word} ({self.range})"


@dataclass(frozen=True, eq=False)
class Spoons:
    """A recipe in level teaspoons.

    Parameters
    ----------
    spoonfuls : mapping of str to Spoonful
        The salts that a spoon can measure.
    refused : mapping of str to str
        Why a salt cannot be measured by spoon, a sentence each, with what to do.
    conductivity : Quantity or None
        mS/cm at 25 degC: as weighed, if all spoons hold the least, and if all hold the most; None without a recipe.
    notes : tuple of str
        What to know, a sentence each.

    Examples
    --------
    >>> dict(spoons({"potassium nitrate": Q(6, "g")}).refused)
    {}
    """

    spoonfuls: Mapping[str, Spoonful]
    refused: Mapping[str, str]
    conductivity: Quantity | None
    notes: tuple[str, ...]

    @property
    def weigh(self) -> str:
        """One sentence on all salts that no spoon measures; empty when there are none.

        Examples
        --------
        >>> spoons({"potassium nitrate": Q(6, "g")}).weigh
        ''
        """
        names = list(self.refused)
        if len(names) < 2:
            return "".join(self.refused.values())
        return (
            f"Not by spoon, for 0.01 g matters: {', '.join(names[:-1])} and {names[-1]}. Weigh them for a stock "
            "solution on a scale that shows 0.01 g, or buy a mix of trace elements."
        )

    def __str__(self) -> str:
        lines = [f"  {grams_of(each.mass)} {name}: {each}" for name, each in self.spoonfuls.items()]
        return "\n".join(["By level teaspoons:", *lines, *filter(None, [self.weigh]), *self.notes])


def _quarters(number: float) -> str:
    """A number of teaspoons in quarters, such as "1 1/4"."""
    whole = int(number + 1e-9)
    part = _PARTS[round(4 * (number - whole)) / 4 % 1]
    return " ".join(each for each in (str(whole) if whole or not part else "", part) if each)


def spoons(
    what: Recipe | Mapping[str, Quantity] | Mapping[Salt, Quantity],
    teaspoon: Quantity | str | None = None,
    weighed: Mapping[str, Quantity] | None = None,
) -> Spoons:
    """Write the masses of a recipe as level teaspoons, with a range, and find the EC they may lead to.

    Parameters
    ----------
    what : Recipe or mapping of str or Salt to Quantity
        What is to be measured.
    teaspoon : Quantity or str, optional
        Volume of the spoon, or ``"metric"`` or ``"US"``; the metric one of 5 mL when left out.
    weighed : mapping of str to Quantity, optional
        Grams of one level teaspoon of yours, by salt, where you have weighed some: it takes the place of the tables.

    Returns
    -------
    Spoons
        Teaspoons in quarters for each salt that a spoon can measure, and a sentence on each that it cannot.

    Raises
    ------
    Unreadable
        There is no such salt.
    UnitNeeded
        There is neither a recipe nor masses with units.
    OutOfRange
        A spoon holds less than 1 or more than 20 mL, or a mass is below zero.
    Problem
        Nothing in it can be measured by spoon, such as an acid.

    See Also
    --------
    round_to_scale : What a balance shows.

    Notes
    -----
    The range takes the spread of the tables' densities and 20 % of scooping, either way, as bounds that come together.
    The EC range is that of all spoons light and of all spoons heavy: further than most hands go. Real bags differ:
    weigh ten level teaspoons of yours once, on any kitchen scale, give it as ``weighed``, and the range is narrow.

    References
    ----------
    GARDENSPOONS; data/spoons.csv says which value rests on what.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> recipe = weigh_out({"K": Q(150, "mg/L")}, ["KNO3"], Q(36, "L"))
    >>> print(spoons(recipe).spoonfuls["potassium nitrate"])
    about 2 3/4 level teaspoons (2 to 3 1/2)
    """
    recipe, masses, of = _asked(what)
    size, own = _size(teaspoon), _weighed(weighed)
    found: dict[str, Spoonful] = {}
    refused: dict[str, str] = {}
    guessed = []
    for name, grams in masses.items():
        each, share = _spoonful(name, grams, size, own.get(name))
        if is_trace(of[name]):
            refused[name] = (
                f"{capital(name)}: {grams_of(Q(grams, 'g'))} is too little for a spoon, and twice as much can harm "
                "plants. Weigh it for a stock solution on a scale that shows 0.01 g, or buy a mix."
            )
        elif each.teaspoons <= 0 or share < 0.5:
            refused[name] = (
                f"{capital(name)}: {grams_of(Q(grams, 'g'))} is less than a quarter of a teaspoon. Weigh it, or make "
                "a stock solution for several tanks."
            )
        else:
            found[name] = each
            if each.kind == "assumption":
                guessed.append(name)
    if not found:
        raise Problem(" ".join(refused.values()) or "There is nothing to measure: all masses are zero.")
    notes = []
    if guessed:
        low, high = (
            end.m_as("g") * size / 5 for end in tables.load("spoons")["own product", "level teaspoon"].range
        )
        notes.append(
            f"No table says what a teaspoon of {' or '.join(guessed)} weighs, so {low:.2g} to {high:.2g} g is assumed. "
            "Weigh ten level teaspoons of it once."
        )
    conductivity = None if recipe is None else _conductivity(recipe, found)
    if conductivity is not None:
        exact, least, most = conductivity
        notes.append(
            f"As weighed, the EC would be {exact.m_as('mS/cm'):.2g} mS/cm. By spoons it may be "
            f"{write_range(least, most, digits=2)}: measure it, and add water or salts."
        )
    notes.append("Level the spoon with a knife; do not tap it. A heaped spoon holds nearly twice as much.")
    return Spoons(MappingProxyType(found), MappingProxyType(refused), conductivity, tuple(notes))


def _asked(
    what: Recipe | Mapping[str, Quantity] | Mapping[Salt, Quantity],
) -> tuple[Recipe | None, dict[str, float], dict[str, Salt]]:
    """The recipe if there is one, plain grams, and the salts by name."""
    if isinstance(what, Recipe):
        grams = {name: float(mass.m_as("g")) for name, mass in what.masses.items() if mass.m_as("g") > 0}
        return what, grams, {each.name: each for each in what.salts}
    if isinstance(what, Reagent):
        raise Problem(_no_acid(what.name))
    if not isinstance(what, Mapping) or not what:
        raise UnitNeeded(
            f'spoons needs a recipe, or masses such as {{"potassium nitrate": Q(6, "g")}}; you gave {short(what)}.'
        )
    grams, of = {}, {}
    for name, mass in what.items():
        if isinstance(name, Reagent) or known(Acid, name) or known(Base, name):
            raise Problem(_no_acid(getattr(name, "name", str(name))))
        each = salt(name)
        plain = one_value(mass, "g", each.name, "spoons")
        within(
            plain, 0, 1e5, f"spoons: {{value}} of {each.name} does not fit. Write a mass such as 6 g.", "g"
        )
        of[each.name] = each
        if plain > 0:
            grams[each.name] = grams.get(each.name, 0.0) + plain
    return None, grams, of


def _no_acid(name: str) -> str:
    return (
        f"{capital(name)} is not measured by spoon: a little too much takes the pH far down or up, and it can splash. "
        "Measure it in mL, or weigh it."
    )


def _size(teaspoon: Quantity | str | None) -> float:
    """mL of the spoon."""
    if teaspoon is None or isinstance(teaspoon, str):
        word = "metric" if teaspoon is None else teaspoon
        if ("teaspoon", word) not in tables.load("spoons"):
            raise Problem(
                f'You gave "{word}" for the teaspoon. Write "metric", "US" or a volume such as 5 mL.'
            )
        return tables.number("spoons", "teaspoon", word, "mL")
    size = one_value(teaspoon, "mL", "teaspoon", "spoons")
    within(
        size, 1, 20, "A teaspoon of {value} does not fit. Write a volume of 1 to 20 mL, such as 5 mL.", "mL"
    )
    return size


def _weighed(given: Mapping[str, Quantity] | None) -> dict[str, float]:
    """Grams of a teaspoon that somebody weighed, by the name of the salt."""
    if given is None:
        return {}
    if not isinstance(given, Mapping):
        raise UnitNeeded(
            f'spoons needs `weighed` such as {{"my bag": Q(4.6, "g")}}; you gave {short(given)}.'
        )
    found = {str(name): one_value(mass, "g", str(name), "spoons") for name, mass in given.items()}
    for name, mass in found.items():
        within(
            mass,
            0.5,
            50,
            f"A level teaspoon of {name} with {{value}} does not fit. Weigh ten, and divide by ten.",
            "g",
        )
    return found


def _spoonful(name: str, grams: float, size: float, own: float | None) -> tuple[Spoonful, float]:
    """A salt in teaspoons, and the exact number of quarters."""
    item = name if (name, "level teaspoon") in tables.load("spoons") else "own product"
    entry = tables.load("spoons")[item, "level teaspoon"]
    scale = size / tables.number("spoons", "teaspoon", "metric", "mL")
    usual = entry.quantity.m_as("g") * scale
    light, heavy = (end.m_as("g") * scale for end in entry.range)
    scoop = tables.number("spoons", "scooping", "error", "percent") / 100
    if own is not None:
        usual = light = heavy = own
        scoop = tables.number("spoons", "scooping", "error of your own", "percent") / 100
    step = tables.number("spoons", "scooping", "step", "1")
    exact = grams / usual / step
    count = math.floor(exact + 0.5) * step
    low = math.floor(grams / (heavy * (1 + scoop)) / step + 1e-9) * step
    high = math.ceil(grams / (light * (1 - scoop)) / step - 1e-9) * step
    least, most = count * light * (1 - scoop), count * heavy * (1 + scoop)
    kind = entry.kind if own is None else "your own"
    return Spoonful(Q(grams, "g"), count, max(low, step), high, Q(least, "g"), Q(most, "g"), kind), exact


def _conductivity(recipe: Recipe, found: Mapping[str, Spoonful]) -> Quantity:
    """EC as weighed, with all spoons light, and with all heavy; what no spoon measures is taken as weighed."""
    of = {each.name: each for each in recipe.salts}
    litre = recipe.volume.m_as("L")
    values = [recipe.solution.conductivity().m_as("mS/cm")]
    for end in ("least", "most"):
        added = {key: float(value.m_as("mmol/L")) for key, value in recipe.solution.added.items()}
        for name, each in found.items():
            more = getattr(each, end).m_as("g") - each.mass.m_as("g")
            for key, mmol in of[name].release.items():
                added[key] = max(added.get(key, 0.0) + mmol * more / litre, 0.0)
        ions = {key: Q(value, "mmol/L") for key, value in added.items()}
        values.append(Solution(recipe.volume, ions, water=recipe.water).conductivity().m_as("mS/cm"))
    return Q([float(value) for value in values], "mS/cm")
