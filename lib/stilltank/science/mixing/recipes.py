"""Recipes: what a solution should hold, and what to weigh for it in the water at hand."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from reprlib import repr as short
from types import MappingProxyType
from typing import Any, ClassVar

import numpy as np

from stilltank import tables
from stilltank.science.chemistry import Solution, Water, caco3_equivalent_mass, ions, litres, molar_mass
from stilltank.science.products import Salt, ions_of_nutrient, salt
from stilltank.science.products import salts as all_salts
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    Quantity,
    UnitNeeded,
    Unreadable,
    all_of,
    one_value,
    pure_number,
    takes,
    within,
)
from stilltank.units.types import Array

from .dissolving import mix


def recipes() -> tuple[str, ...]:
    """The published recipes that the workbook knows.

    Returns
    -------
    tuple of str
        The items of data/recipes.csv.

    Examples
    --------
    >>> "Steiner" in recipes()
    True
    """
    return tables.load("recipes").items_named


def _rows(name: str, function: str) -> dict[str, tables.Entry]:
    if not isinstance(name, str):
        raise Unreadable(f"{function} has no {short(name)}. The recipes are: {', '.join(recipes())}.")
    rows = tables.load("recipes").of(name)
    return {prop: entry for prop, entry in rows.items() if prop != "label"}


@takes(water=Water)
def recipe_solution(name: str, volume: Quantity | None = None, water: Water | None = None) -> Solution:
    """Make the solution of a published recipe.

    Parameters
    ----------
    name : str
        One of ``recipes()`` that is stated by salts or by ions.
    volume : Quantity, optional
        Of the finished solution; 1 L when left out.
    water : Water, optional
        Pure water when left out.

    Returns
    -------
    Solution
        With what the recipe states, and what the water brings.

    Raises
    ------
    TableFault
        There is no such recipe.
    UnitNeeded
        The volume has no unit.
    Unreadable
        The name is no text, or the water is none.
    Problem
        The recipe states only elements; weigh for it with ``weigh_out``.

    See Also
    --------
    recipe_targets : What the recipe holds of each nutrient.

    Examples
    --------
    >>> round(recipe_solution("Hoagland 1").elements["Ca"].m_as("mg/L"), 1)
    200.4
    """
    whole = litres(Q(1, "L") if volume is None else volume, "recipe_solution")
    masses: dict[str | Salt, Quantity] = {}
    added: dict[str, Quantity] = {}
    for prop, entry in _rows(name, "recipe_solution").items():
        if prop in all_salts():
            stated = entry.quantity
            if stated.check("[substance]/[length]**3"):
                stated = stated * molar_mass(all_salts()[prop].formula)
            masses[prop] = (stated * Q(whole, "L")).to("g")
        elif prop in ions():
            added[prop] = entry.quantity
        else:
            raise Problem(
                f"The recipe {name!r} states elements, not salts. Use weigh_out({name!r}, salts, volume)."
            )
    made = mix(masses, Q(whole, "L"), water)
    return made.plus(added) if added else made


def recipe_targets(name: str) -> dict[str, Quantity]:
    """What a recipe holds of each nutrient, as targets for ``weigh_out``.

    Parameters
    ----------
    name : str
        One of ``recipes()``.

    Returns
    -------
    dict of str to Quantity
        mg/L of each element; where a recipe holds ammonium, ``"NH4-N"`` stands beside the whole ``"N"``.

    Raises
    ------
    TableFault
        There is no such recipe.
    Unreadable
        The name is no text.

    Examples
    --------
    >>> round(recipe_targets("Steiner")["K"].m_as("mg/L"), 1)
    273.7
    """
    rows = _rows(name, "recipe_targets")
    if all(prop not in all_salts() and prop not in ions() for prop in rows):
        return {prop: entry.quantity.to("mg/L") for prop, entry in rows.items()}
    made = recipe_solution(name)
    targets = dict(made.elements)
    ammonium = made.ions.get("NH4+")
    if ammonium is not None:
        targets["NH4-N"] = Q(ammonium.m_as("mmol/L") * molar_mass("N").m_as("g/mol"), "mg/L")
    return targets


@dataclass(frozen=True, eq=False, repr=False)
class Recipe:
    """What to weigh, and what the solution then holds.

    Parameters
    ----------
    targets : mapping of str to Quantity
        What was wanted of each nutrient, mg/L.
    masses : mapping of str to Quantity
        Grams of each salt to weigh, 0 for one that is not needed.
    reached : mapping of str to Quantity
        What the solution then holds of each nutrient, mg/L.
    missed : mapping of str to str
        For each target that is not met, a sentence saying by how much and why.
    solution : Solution
        The finished solution.
    salts : tuple of Salt
        The salts that were at hand.
    smallest : Quantity, optional
        The smallest mass that the balance at hand weighs; that of a kitchen scale when left out.

    Examples
    --------
    >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
    >>> f'{recipe.masses["potassium nitrate"].m_as("g"):.2f} g'
    '5.17 g'
    """

    called: ClassVar[str] = "Recipe from weigh_out"
    targets: Mapping[str, Quantity]
    masses: Mapping[str, Quantity]
    reached: Mapping[str, Quantity]
    missed: Mapping[str, str]
    solution: Solution
    salts: tuple[Salt, ...]
    smallest: Quantity | None = None

    def __repr__(self) -> str:  # short, for it stands in sentences on wrong input
        return f"a Recipe for {self.volume.m_as('L'):g} L"

    @property
    def volume(self) -> Quantity:
        """Volume of the solution.

        Examples
        --------
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
        >>> recipe.volume.m_as("L")
        10.0
        """
        return self.solution.volume

    @property
    def water(self) -> Water:
        """The water it was calculated for.

        Examples
        --------
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
        >>> recipe.water.name
        'pure water'
        """
        return self.solution.water

    @property
    def too_small(self) -> tuple[str, ...]:
        """Salts whose mass the balance cannot weigh; make a concentrate of them and dose it.

        Examples
        --------
        >>> weigh_out({"B": Q(0.3, "mg/L")}, ["boric acid"], Q(10, "L")).too_small
        ('boric acid',)
        """
        kitchen = tables.number("mixing", "weigh out", "smallest mass", "g")
        least = kitchen if self.smallest is None else self.smallest.m_as("g")
        return tuple(name for name, mass in self.masses.items() if 0 < mass.m_as("g") < least)

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader should know: what was counted beyond a label, its own dose, an unusual one, acid products.

        Examples
        --------
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
        >>> recipe.notes
        ()
        """
        return (
            *(
                sentence
                for each in self.salts
                if self.masses[each.name].m_as("g") > 0 or "urea" in each.release
                for sentence in (*each.notes, *_doses(each, self.masses[each.name], self.volume))
            ),
            *_acidity(self),
        )

    @property
    def off_target(self) -> str:
        """One sentence on all targets that are not met; empty when all are. ``missed`` gives the reason of each.

        Examples
        --------
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
        >>> recipe.off_target
        ''
        """
        if len(self.missed) < 2:
            return "".join(self.missed.values())
        groups: dict[str, list[str]] = {"none of": [], "too little": [], "too much": []}
        for name in self.missed:
            reached = self.reached[name].m_as("mg/L")
            low = "too little" if reached > 0 else "none of"
            groups[low if reached < self.targets[name].m_as("mg/L") else "too much"].append(name)
        said = "; ".join(f"{words} {', '.join(names)}" for words, names in groups.items() if names)
        together = [
            each.name
            for each in self.salts
            if self.masses[each.name].m_as("g") > 0
            and sum(each.share(name).magnitude > 0 for name in self.missed) > len(self.missed) / 2
        ]
        verb = "brings" if len(together) == 1 else "bring"
        why = f" {all_of(together)} {verb} several of them in fixed proportions." if together else ""
        held = self.water.elements
        much = [name for name in self.missed if name in held and held[name] > 0.2 * self.targets[name]]
        why += f" {self.water.name or 'The water'} already brings much {all_of(much)}." if much else ""
        return f"Off target: {said}.{why} Another salt would give more freedom."

    def __str__(self) -> str:
        lines = [f"For {self.volume.m_as('L'):g} L made up with {self.water.name or 'this water'}, weigh:"]
        lines += [f"  {grams_of(mass)} {name}" for name, mass in self.masses.items() if mass.m_as("g") > 0]
        reached = ", ".join(
            f"{name} {value.m_as('mg/L'):.3g} ({self.targets[name].m_as('mg/L'):.3g})"
            for name, value in self.reached.items()
        )
        lines.append(f"It then holds, mg/L (wanted): {reached}.")
        if small := self.too_small:
            lines.append(f"Too little for the balance, so weigh for a concentrate: {', '.join(small)}.")
        return "\n".join([*lines, *filter(None, [self.off_target]), *self.notes])


def _acidity(recipe: Recipe) -> Iterator[str]:
    """A caution where the acid in the products is more than the alkalinity of the water takes up."""
    acid = {
        each.name: each.release["H+"] * float((recipe.masses[each.name] / recipe.volume).m_as("g/L"))
        for each in recipe.salts
        if each.release.get("H+", 0.0) > 0 and recipe.masses[each.name].m_as("g") > 0
    }
    if not acid:
        return
    verb = "is" if len(acid) == 1 else "are"
    place = recipe.water.name or "the water"
    if recipe.water.alkalinity is None:
        yield (
            f"Caution: {all_of(list(acid))} {verb} acid, and the alkalinity of {place} is not known. Measure the pH "
            "before anything is planted."
        )
    elif sum(acid.values()) > float(recipe.water.alkalinity.m_as("mg/L")) / caco3_equivalent_mass():
        yield (
            f"Caution: {all_of(list(acid))} {verb} more acid than the alkalinity of {place} takes up: the pH falls "
            "below what roots can stand. Use another product or less of it, or raise the pH with a base before "
            "planting."
        )


def _doses(each: Salt, mass: Quantity, volume: Quantity) -> Iterator[str]:
    """The dose of a product's label beside the one that was weighed, and a word where that is unusual."""
    gram = float((mass / volume).m_as("g/L"))
    if each.dose is not None:
        advised = each.dose.m_as("g/L")
        whole = Q(advised * volume.m_as("L"), "g")
        yield f"{each.name}: {gram:.2g} g in each litre; its label says {advised:.2g}, which is {grams_of(whole)} here."
    elif not each.formula:
        low, high = (
            tables.number("mixing", "label", f"{end} usual dose", "g/L") for end in ("lowest", "highest")
        )
        salts = sum(mmol * ions()[key].molar_mass for key, mmol in each.release.items()) / 1000
        if gram > high and salts < 0.5:  # of its mass: a liquid is mostly water
            yield (
                f"{each.name}: {gram:.2g} g in each litre, of which {gram * salts:.2g} g is salts, is more than the "
                f"{low:g} to {high:g} that people use of a powder; of a liquid it can be right. Check the label."
            )
        elif gram > high:
            yield (
                f"{each.name}: {gram:.2g} g in each litre is more than the {low:g} to {high:g} that people use of such "
                "a product. Check the label; another product beside it would do with less."
            )


def grams_of(mass: Quantity) -> str:
    """A mass as people weigh it: grams, or milligrams for less than one."""
    grams = mass.m_as("g")
    return f"{grams:.1f} g" if grams >= 10 else f"{grams:.2f} g" if grams >= 1 else f"{1000 * grams:.3g} mg"


@takes(water=Water)
def weigh_out(
    targets: Mapping[str, Quantity] | str,
    salts: Iterable[str | Salt] | str | Salt,
    volume: Quantity,
    water: Water | None = None,
    also: Mapping[str, Quantity] | None = None,
    weights: Mapping[str, float] | None = None,
) -> Recipe:
    r"""Find the masses of salts that come closest to the targets in this water.

    The weighted sum of the squares of the relative misses is made as small as it can be with no mass below zero. What
    the water brings is counted first. Nitrogen and potassium count most, trace elements only once the others are
    settled: they are met by the salts that hold hardly anything else. A bag that is the only source of everything is
    weighed for nitrogen and potassium. Of mixtures that do equally well the lightest is taken.

    Parameters
    ----------
    targets : mapping of str to Quantity, or str
        mg/L or mmol/L of elements, or of ``"NO3-N"`` and ``"NH4-N"``; or the name of a recipe. What is not named
        (sulfur, chloride, ...) is left free.
    salts : iterable of str or Salt
        The salts at hand, by name, formula or label; one alone needs no list.
    volume : Quantity
        Of the finished solution, one value.
    water : Water, optional
        Pure water when left out.
    also : mapping of str to Quantity, optional
        mg/L or mmol/L of each ion that something else brings, such as ``{"NO3-N": ...}`` of the nitric acid for the
        pH. It is counted first, and the solution of the recipe then holds it.
    weights : mapping of str to float, optional
        How much the square of each relative miss counts; those of data/mixing.csv for what is not named, and a trace
        element that is named is weighed with the others. It matters only where not all targets can be met.

    Returns
    -------
    Recipe
        What to weigh, what it reaches, and what it misses and why.

    Raises
    ------
    Unreadable
        A nutrient or salt is unknown, a weight belongs to no target, or the water is none.
    UnitNeeded
        A target has no unit.
    OutOfRange
        A target or weight is not above zero, or there are no salts at all.
    Problem
        There are several volumes, or several values of a target.

    See Also
    --------
    least_cost : The cheapest mixture within a tolerance.
    stocks : Concentrates of a recipe.

    Notes
    -----
    Bounded linear least squares, by Stark and Parker's method as scipy has it. With the targets :math:`w_i`, what the
    water brings :math:`h_i`, what a gram of salt brings :math:`a_{ij}` and the weights :math:`p_i`:

    .. math:: \min_{x \geq 0} \sum_i p_i \left(\frac{h_i + \sum_j a_{ij} x_j - w_i}{w_i}\right)^2

    Examples
    --------
    >>> wanted = {"N": Q(130, "mg/L"), "Ca": Q(120, "mg/L"), "K": Q(120, "mg/L")}
    >>> recipe = weigh_out(wanted, ["calcium nitrate", "potassium nitrate", "potassium sulfate"], Q(10, "L"))
    >>> round(recipe.masses["calcium nitrate fertiliser"].m_as("g"), 1), dict(recipe.missed)
    (6.3, {})
    """
    task = task_of(targets, salts, volume, water, also, "weigh_out")
    pull = _weights(weights, task.names)
    traces = _trace_salts(task, pull)
    for_traces, others = np.flatnonzero(traces), np.flatnonzero(~traces)
    main, trace = np.flatnonzero(pull > 0), np.flatnonzero(pull == 0)
    pull = _for_one_bag(task, pull, others) if weights is None else pull
    grams = np.zeros(len(task.chosen))
    for _ in range(_ROUNDS):  # trace salts bring a little sulfate and the like, so each settles the other
        before = grams.copy()
        grams[others] = _closest(task, main, others, grams, pull[main])
        grams[for_traces] = _closest(task, trace, for_traces, grams, np.ones(len(trace)))
        if not len(for_traces) or np.allclose(grams, before, rtol=1e-13, atol=0):
            break
    return task.recipe(grams)


_ROUNDS = 50  # three to six are usual
_NOTHING = 1e-8  # of a target; less is what a saved plan rounds off


def _closest(task: "WeighingTask", rows: Any, columns: Any, grams: Array, pull: Array) -> Array:
    """g/L of some salts that come closest to some targets, with the other salts as they are."""
    from scipy.optimize import linprog, lsq_linear

    if not len(rows) or not len(columns):
        return np.zeros(len(columns))
    rest = grams.copy()
    rest[columns] = 0.0
    have = task.have[rows] + task.each[rows] @ rest
    pull = np.sqrt(pull)
    matrix = task.each[np.ix_(rows, columns)] / task.want[rows, None] * pull[:, None]
    aim = (task.want[rows] - have) / task.want[rows] * pull
    size = np.linalg.norm(matrix, axis=0)  # salts of trace elements count a million times more a gram
    size[size == 0] = 1.0
    parts = lsq_linear(matrix / size, aim, bounds=(0, np.inf), method="bvls", tol=1e-14).x
    if np.linalg.matrix_rank(matrix / size) < len(columns):
        lightest = linprog(1 / size, A_eq=matrix / size, b_eq=matrix / size @ parts, bounds=(0, None))
        parts = lightest.x if lightest.success else parts
    return np.where(parts > _NOTHING, parts, 0.0) / size


def _trace_salts(task: "WeighingTask", pull: Array) -> Any:
    """Which salts are weighed for a trace element: those that hold more of them than of the main nutrients."""
    weighted = [("weight in weighing", name) in tables.load("mixing") for name in task.names]
    return task.each[pull == 0].sum(axis=0) > task.each[(pull > 0) & weighted].sum(axis=0)


def _for_one_bag(task: "WeighingTask", pull: Array, others: Any) -> Array:
    """Where one bag alone brings nitrogen and potassium, they set its dose, not what only it brings besides."""
    held = task.each[:, others] > 0
    leading = np.array([name in _LEADING for name in task.names])
    bags = np.flatnonzero(held[leading].any(axis=0))
    if len(bags) != 1 or "K" not in task.names or not held[leading, bags[0]].all() or leading.sum() < 2:
        return pull
    alone = held[:, bags[0]] & (held.sum(axis=1) == 1)
    return np.where(alone & ~leading & (pull > 0), _HARDLY, pull)


_LEADING = ("N", "NO3-N", "K")
_HARDLY = 1e-9


@dataclass(frozen=True, eq=False)
class WeighingTask:
    """Targets, salts and water as plain arrays: nutrients down, salts across."""

    names: list[str]
    want: Array
    """mg/L."""
    have: Array
    """mg/L that the water, and what is counted first, brings."""
    each: Array
    """mg/L that a gram of each salt brings to a litre."""
    chosen: tuple[Salt, ...]
    whole: float
    """Litres."""
    water: Water
    also: Mapping[str, Quantity] | None

    def recipe(self, grams: Array) -> Recipe:
        """The recipe that so many grams of each salt in a litre make."""
        masses = {s: Q(g * self.whole, "g") for s, g in zip(self.chosen, grams, strict=True)}
        solution = mix(masses, Q(self.whole, "L"), self.water)
        if self.also:
            solution = solution.plus(self.also)
        reached = self.have + self.each @ grams
        missed = _missed(self.names, self.want, self.have, reached, self.each, grams, self.chosen, self.water)
        return Recipe(self.milligrams(self.want), solution.masses, self.milligrams(reached),
                      MappingProxyType(missed), solution, self.chosen)  # fmt: skip

    def milligrams(self, plain: Array) -> Mapping[str, Quantity]:
        """Plain mg/L of each nutrient as quantities."""
        return MappingProxyType({n: Q(float(v), "mg/L") for n, v in zip(self.names, plain, strict=True)})


def task_of(
    targets: Mapping[str, Quantity] | str,
    salts: Iterable[str | Salt] | str | Salt,
    volume: Quantity,
    water: Water | None,
    also: Mapping[str, Quantity] | None,
    function: str,
) -> WeighingTask:
    """Check what ``weigh_out`` and its kin are given."""
    whole = litres(volume, function, single=True)
    water = Water.pure() if water is None else water
    if isinstance(targets, str):
        targets = recipe_targets(targets)
    if not isinstance(targets, Mapping) or not targets:
        raise UnitNeeded(f'{function} needs targets such as {{"N": Q(150, "mg/L"), "K": Q(200, "mg/L")}}.')
    if isinstance(salts, (str, Salt)):
        salts = [salts]
    if not isinstance(salts, Iterable) or isinstance(salts, Quantity):
        raise UnitNeeded(f'{function} needs salts such as ["KNO3", "KH2PO4"]; you gave {short(salts)}.')
    chosen = tuple(dict.fromkeys(salt(name) for name in salts))
    if not chosen:
        raise OutOfRange(f"{function} needs at least one salt to weigh.")
    if also is not None and not isinstance(also, Mapping):
        raise UnitNeeded(
            f'{function} needs `also` such as {{"NO3-": Q(2, "mmol/L")}}; you gave {short(also)}.'
        )
    base = Solution(Q(whole, "L"), also or {}, water=water)
    if any(np.ndim(value) for value in base.amounts.values()):
        raise Problem(f"{function} takes one water at a time; one with several values has no one answer.")
    names, wanted, brought, rows = [], [], [], []
    for name, value in targets.items():
        keys, gram = ions_of_nutrient(name)
        substance = isinstance(value, Quantity) and value.check("[substance]/[length]**3")
        plain = (
            one_value(value, "mmol/L", name, function) * gram
            if substance
            else one_value(value, "mg/L", name, function)
        )
        within(
            plain, 1e-6, 1e5, f"{function}: a target of {{value:g}} mg/L for {name} cannot be; leave it out."
        )
        names.append(name)
        wanted.append(plain)
        brought.append(gram * sum(float(base.amounts.get(key, 0.0)) for key in keys))
        rows.append([gram * sum(s.release.get(key, 0.0) for key in keys) for s in chosen])
    return WeighingTask(
        names, np.array(wanted), np.array(brought), np.array(rows), chosen, whole, water, also
    )


def _weights(weights: Mapping[str, float] | None, names: list[str]) -> Array:
    """How much each miss counts, as an array; 0 for a trace element that nobody weighted."""
    given = {} if weights is None else weights
    if not isinstance(given, Mapping):
        raise Unreadable(f'weigh_out needs weights such as {{"N": 3, "Mo": 0.1}}; you gave {short(given)}.')
    for name, value in given.items():
        if name not in names:
            raise Unreadable(f"weigh_out: the weight of {name!r} has no target. Targets: {', '.join(names)}.")
        within(
            pure_number(value, 3, name, "weigh_out"), 1e-6, 1e6,
            f"weigh_out: the weight of {name} is between 0.000001 and a million; {{value:g}} is not.",
        )  # fmt: skip
    return np.array([float(given[name]) if name in given else _usual_weight(name) for name in names])


def _usual_weight(name: str) -> float:
    table = tables.load("mixing")
    if name in str(table["weight in weighing", "trace elements"].value).split(";"):
        return 0.0
    named = name if ("weight in weighing", name) in table else "other"
    return tables.number("mixing", "weight in weighing", named, "1")


def _missed(names, want, have, reached, each, grams, chosen, water) -> dict[str, str]:
    """A sentence for every target that is off by more than a word is worth."""
    worth = tables.number("mixing", "weigh out", "miss worth a word", "percent") / 100
    place = water.name or "the water"
    sentences = {}
    for i in np.flatnonzero(np.abs(reached / want - 1) > worth):
        name, over = names[i], reached[i] > want[i]
        bringers = [j for j in range(len(chosen)) if each[i, j] > 0 and (grams[j] > 0 or not over)]
        partners = [k for k in range(len(names)) if k != i and any(each[k, j] > 0 for j in bringers)]
        if over and have[i] > want[i]:
            why = f"{place} already brings {have[i]:.3g} mg/L. Mix it with rain water, or accept it"
        elif not bringers:
            others = [s.name for s in all_salts().values() if s.share(name).magnitude > 0]
            why = f"none of these salts holds it. Add one, such as {_either(others[:2])}"
        elif not partners:
            why = f"{all_of([chosen[j].name for j in bringers])} could not bring it"
        else:
            why = (
                f"{all_of([chosen[j].name for j in bringers])} cannot be changed without changing "
                f"{all_of([names[k] for k in partners])} too, and this is the best compromise"
            )
            full = [
                f"{names[k]} ({have[k]:.3g} of {want[k]:.3g} mg/L)"
                for k in partners
                if have[k] > 0.2 * want[k]
            ]
            why += f"; {place} already brings much {all_of(full)}" if full else ""
            why += ". Another salt would give more freedom"
        sentences[name] = f"{name}: {reached[i]:.3g} mg/L instead of {want[i]:.3g}: {why}."
    return sentences


def _either(words: list[str]) -> str:
    return " or ".join(words) or "a product whose label names it"
