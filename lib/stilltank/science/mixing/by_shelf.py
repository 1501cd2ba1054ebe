"""A recipe by what stands on somebody's shelf: exact salts, two bags or one, and what the shelf lacks."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import Solution, Water
from stilltank.science.products import Shelf, ions_of_nutrient, salt
from stilltank.units import Problem, Q, Quantity, takes

from .recipes import Recipe, grams_of, recipe_targets, weigh_out
from .weighing import round_to_scale

_MAIN = (
    "Ca",
    "Mg",
    "N",
    "P",
    "K",
)  # in the order in which they are mended: calcium nitrate brings nitrogen too
_WORDS = MappingProxyType(
    {
        "N": "nitrogen", "P": "phosphorus", "K": "potassium", "Ca": "calcium", "Mg": "magnesium", "S": "sulfur",
        "Fe": "iron", "Mn": "manganese", "Zn": "zinc", "B": "boron", "Cu": "copper", "Mo": "molybdenum",
        "NO3-N": "nitrate nitrogen", "NH4-N": "ammonium nitrogen", "Cl": "chlorine", "Na": "sodium",
    }
)  # fmt: skip
_REST = 0.05  # of a target; of less nothing is weighed


@dataclass(frozen=True, eq=False)
class Lack:
    """What a shelf does not bring far enough, and a product that would.

    Parameters
    ----------
    shares : mapping of str to float
        What is reached of each target, 0 to 1, by element.
    product : str
        A salt that would bring it, for ``products.salt``; empty where only a label can tell.
    dose : Quantity or None
        g/L of that salt, with all else weighed anew; None without a salt.
    then : mapping of str to float
        What would be reached with it, by element.
    sentence : str
        All this in one line.

    Examples
    --------
    >>> from stilltank.science.products import Shelf, salt
    >>> lack = for_shelf({"K": Q(200, "mg/L"), "Ca": Q(90, "mg/L")}, Shelf.make(salt("KNO3")), Q(10, "L")).lacks[0]
    >>> lack.product, lack.shares
    ('calcium nitrate fertiliser', {'Ca': 0.0})
    """

    shares: Mapping[str, float]
    product: str
    dose: Quantity | None
    then: Mapping[str, float]
    sentence: str


@dataclass(frozen=True, eq=False, repr=False)
class ShelfRecipe:
    """What to weigh of what stands on a shelf, what it reaches, lacks and costs; made by ``for_shelf``.

    Parameters
    ----------
    targets : mapping of str to Quantity
        What was wanted of each nutrient, mg/L, with what the acid brings.
    shelf : Shelf
        What was there.
    recipe : Recipe
        What was weighed for, less what the acid brings, before anything is rounded.
    brought : mapping of str to Quantity
        What the acid brings, mg/L by element.
    weighed : Recipe
        The same in the steps of the balance, and with what these masses reach; exact where there is no balance, and for
        what is too small for it.
    rounding : tuple of str
        A sentence for each nutrient that the balance moves by more than a word is worth.

    See Also
    --------
    for_shelf : Makes one.

    Examples
    --------
    >>> from stilltank.science.products import Shelf, salt
    >>> found = for_shelf({"K": Q(200, "mg/L")}, Shelf.make(salt("KNO3"), balance=Q(1, "g")), Q(10, "L"))
    >>> found.masses["potassium nitrate"].m_as("g")
    5.0
    """

    targets: Mapping[str, Quantity]
    shelf: Shelf
    recipe: Recipe
    brought: Mapping[str, Quantity]
    weighed: Recipe
    rounding: tuple[str, ...]

    def __repr__(self) -> str:
        return f"a ShelfRecipe for {self.recipe.volume.m_as('L'):g} L"

    @property
    def masses(self) -> Mapping[str, Quantity]:
        """Grams of each product, in the steps of the balance.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> shelf = Shelf.make(salt("KNO3"), balance=Q(1, "g"))
        >>> for_shelf({"K": Q(200, "mg/L")}, shelf, Q(10, "L")).masses["potassium nitrate"].m_as("g")
        5.0
        """
        return self.weighed.masses

    @property
    def solution(self) -> Solution:
        """What these masses make; without the acid.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> shelf = Shelf.make(salt("KNO3"), balance=Q(1, "g"))
        >>> round(for_shelf({"K": Q(200, "mg/L")}, shelf, Q(10, "L")).solution.elements["K"].m_as("mg/L"))
        193
        """
        return self.weighed.solution

    @property
    def too_small(self) -> tuple[str, ...]:
        """What is too little for the balance: weigh it for a stock solution, and dose that.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> shelf = Shelf.make(salt("boric acid"), balance=Q(0.1, "g"))
        >>> for_shelf({"B": Q(0.3, "mg/L")}, shelf, Q(10, "L")).too_small
        ('boric acid',)
        """
        return self.weighed.too_small

    @property
    def reached(self) -> Mapping[str, Quantity]:
        """What the tank then holds of each target, mg/L: of the water, of what is weighed, and of the acid.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> shelf = Shelf.make(salt("KNO3"), balance=Q(1, "g"))
        >>> round(for_shelf({"K": Q(200, "mg/L")}, shelf, Q(10, "L")).reached["K"].m_as("mg/L"))
        193
        """
        return MappingProxyType(
            {name: Q(_held(self.solution, name, self.brought), "mg/L") for name in self.targets}
        )

    @cached_property
    def lacks(self) -> tuple[Lack, ...]:
        """What the shelf does not bring far enough, each with what would bring it.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> for_shelf({"K": Q(200, "mg/L")}, Shelf.make(salt("KNO3")), Q(10, "L")).lacks
        ()
        """
        return tuple(_lacks(self))

    @property
    def missing(self) -> tuple[str, ...]:
        """One line for what the shelf lacks, with what would bring it; nothing where it lacks nothing.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> wanted = {"K": Q(200, "mg/L"), "Ca": Q(90, "mg/L")}
        >>> for_shelf(wanted, Shelf.make(salt("KNO3")), Q(10, "L")).missing
        ('There is no calcium in it; 0.47 g of calcium nitrate fertiliser in each litre would bring it.',)
        """
        return tuple(lack.sentence for lack in self.lacks)

    @property
    def notes(self) -> tuple[str, ...]:
        """What a reader should know of the bags, of much ammonium, and of a dose that is unusual.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> for_shelf({"K": Q(200, "mg/L")}, Shelf.make(salt("KNO3")), Q(10, "L")).notes
        ()
        """
        return (*self.recipe.notes, *_ammonium(self.recipe))

    @property
    def used(self) -> Mapping[str, Quantity]:
        """The masses of what is used at all.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> list(for_shelf({"K": Q(200, "mg/L")}, Shelf.make(salt("KNO3"), salt("boric acid")), Q(10, "L")).used)
        ['potassium nitrate']
        """
        return MappingProxyType({name: mass for name, mass in self.masses.items() if mass.m_as("g") > 0})

    @property
    def costs(self) -> Mapping[str, float | None]:
        """Price of each product that is used, in the currency of the shelf; None where bag or price are not known.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, Stocked, salt
        >>> shelf = Shelf.make(Stocked(salt("KNO3"), Q(1, "kg"), price=8), balance=Q(1, "g"))
        >>> dict(for_shelf({"K": Q(200, "mg/L")}, shelf, Q(10, "L")).costs)
        {'potassium nitrate': 0.04}
        """
        return MappingProxyType(self.shelf.costs(self.used))

    @property
    def cost(self) -> float:
        """Price of all whose price is known; ``unpriced`` names the others.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> for_shelf({"K": Q(200, "mg/L")}, Shelf.make(salt("KNO3")), Q(10, "L")).cost
        0
        """
        return sum(price for price in self.costs.values() if price is not None)

    @property
    def unpriced(self) -> tuple[str, ...]:
        """What is used and has no price, or no size of its bag.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, salt
        >>> for_shelf({"K": Q(200, "mg/L")}, Shelf.make(salt("KNO3")), Q(10, "L")).unpriced
        ('potassium nitrate',)
        """
        return tuple(name for name, price in self.costs.items() if price is None)

    @property
    def stock(self) -> tuple[str, ...]:
        """A sentence for each bag in which less is left than this takes.

        Examples
        --------
        >>> from stilltank.science.products import Shelf, Stocked, salt
        >>> shelf = Shelf.make(Stocked(salt("KNO3"), left=Q(2, "g")), balance=Q(0.1, "g"))
        >>> for_shelf({"K": Q(200, "mg/L")}, shelf, Q(10, "L")).stock
        ('potassium nitrate: 2.00 g is left, and this takes 5.20 g.',)
        """
        found = []
        for name, mass in self.used.items():
            each = self.shelf.fertilisers[name]
            lacking = each.lacking(mass)
            if lacking is not None and lacking.m_as("g") > 0 and each.left is not None:
                found.append(
                    f"{name}: {grams_of(each.left.to('g'))} is left, and this takes {grams_of(mass)}."
                )
        return tuple(found)

    def __str__(self) -> str:
        lines = [f"For {self.recipe.volume.m_as('L'):g} L, weigh:"]
        lines += [f"  {grams_of(mass)} {name}" for name, mass in self.used.items()]
        return "\n".join([*lines, *self.missing, *self.stock, *self.rounding, *self.notes])


@takes(shelf=Shelf, water=Water)
def for_shelf(
    targets: Mapping[str, Quantity] | str,
    shelf: Shelf,
    volume: Quantity,
    water: Water | None = None,
    brought: Mapping[str, Quantity] | None = None,
) -> ShelfRecipe:
    """Weigh what stands on a shelf so that it comes as near to the targets as it can.

    Salts meet the targets one by one; of two bags the mixture that is nearest is weighed; one bag is weighed for
    nitrogen and potassium, see ``weigh_out``. All is weighed in the steps of the balance.

    Parameters
    ----------
    targets : mapping of str to Quantity, or str
        As for ``weigh_out``.
    shelf : Shelf
        What there is.
    volume : Quantity
        Of the finished solution.
    water : Water, optional
        Pure water when left out.
    brought : mapping of str to Quantity, optional
        mg/L of each element that the acid brings, as ``Dose.adds`` of the pH has it. So much less is weighed.

    Returns
    -------
    ShelfRecipe
        What to weigh, what it reaches, and what would mend what the shelf lacks.

    Raises
    ------
    Unreadable
        There is no shelf, or a nutrient is unknown.
    UnitNeeded
        A target or the volume has no unit.
    OutOfRange
        A target is not above zero.
    Problem
        No fertiliser stands on the shelf.

    See Also
    --------
    weigh_out : The same from salts by name.
    round_to_scale : What the steps of a balance cost.

    Notes
    -----
    An element is called lacking below the share of its target in data/mixing.csv, which is lower for trace elements,
    because a bag is not weighed for them. What would mend it is common practice: calcium nitrate for calcium, Epsom
    salt for magnesium. Its dose is that of the recipe weighed anew with it, in which the other amounts change too.

    Examples
    --------
    >>> from stilltank.science.products import Stocked, salt
    >>> figures = {"NO3-N": 5, "P2O5": 12, "K2O": 26, "Mg": 6, "S": 8, "Fe": 0.3}
    >>> leaf = Stocked.from_label("leaf bag", {key: Q(value, "percent") for key, value in figures.items()})
    >>> found = for_shelf("leafy", Shelf.make(leaf, salt("calcium nitrate"), balance=Q(1, "g")), Q(40, "L"))
    >>> {name: mass.m_as("g") for name, mass in found.masses.items()}
    {'leaf bag': 26.0, 'calcium nitrate fertiliser': 25.0}
    """
    if not shelf.fertilisers:
        raise Problem("No fertiliser stands on this shelf yet. Add one by its label.")
    wanted = recipe_targets(targets) if isinstance(targets, str) else targets
    adds = {} if brought is None else brought
    recipe = weigh_out(less_brought(wanted, adds), shelf.salts, volume, water)
    weighed, rounding = recipe, tuple[str, ...]()
    if shelf.balance is not None:
        weighed, rounding = _on_balance(recipe, shelf.balance)
    plain = MappingProxyType(_plain(wanted))
    return ShelfRecipe(plain, shelf, recipe, MappingProxyType(dict(adds)), weighed, rounding)


def _on_balance(recipe: Recipe, step: Quantity) -> tuple[Recipe, tuple[str, ...]]:
    """A recipe in the steps of a balance, and a sentence for each nutrient that moves by more than a word is worth."""
    smallest = tables.number("mixing", "weigh out", "fewest steps", "1") * step
    fine = Q(1e-6, "g")
    steps = {each: fine if recipe.masses[each.name] < smallest else step for each in recipe.salts}
    rounded = round_to_scale(recipe, steps)  # type: ignore[arg-type]
    nothing = Q(0, "g")
    worth = tables.number("mixing", "own shelf", "rounding worth a word", "percent")
    moved = [name for name, share in rounded.shares.items() if abs(share.m_as("percent")) > worth]
    weighed = replace(
        recipe,
        masses=MappingProxyType({name: rounded.masses.get(name, nothing) for name in recipe.masses}),
        reached=MappingProxyType(
            {name: value + rounded.errors[name] for name, value in recipe.reached.items()}
        ),
        solution=rounded.solution,
        smallest=smallest,
    )
    return weighed, tuple(line for line in rounded.warnings if line.split(":")[0] in moved)


def less_brought(targets: Mapping[str, Quantity], brought: Mapping[str, Quantity]) -> Mapping[str, Quantity]:
    """What is left to weigh of some targets, when the acid brings part of them.

    A target of which hardly anything is left is left out, for weighing for it would move all else.
    """
    if not brought or not isinstance(targets, Mapping):
        return targets
    left = {}
    for name, target in targets.items():
        rest = target - brought[name] if name in brought else target
        if rest > _REST * target:
            left[name] = rest
    return left


def _plain(targets: Mapping[str, Quantity]) -> dict[str, Quantity]:
    """Targets in mg/L, also those that were stated in mmol/L."""
    found = {}
    for name, value in targets.items():
        substance = value.check("[substance]/[length]**3")
        plain = value.m_as("mmol/L") * ions_of_nutrient(name)[1] if substance else value.m_as("mg/L")
        found[name] = Q(plain, "mg/L")
    return found


def _held(solution: Solution, name: str, brought: Mapping[str, Quantity]) -> float:
    """Plain mg/L of a nutrient in a solution and its acid."""
    keys, gram = ions_of_nutrient(name)
    acid = brought["N"] if name == "NO3-N" and "N" in brought else brought.get(name, Q(0, "mg/L"))
    held = gram * sum(float(solution.amounts.get(key, 0.0)) for key in keys)
    return held + float(acid.m_as("mg/L"))


def _shares(made: ShelfRecipe, solution: Solution) -> dict[str, float]:
    """What a solution reaches of each target."""
    return {
        name: _held(solution, name, made.brought) / float(target.m_as("mg/L"))
        for name, target in made.targets.items()
    }


def _short(shares: Mapping[str, float]) -> list[str]:
    """What is not brought far enough, the main elements first."""
    traces = str(tables.load("mixing")["weight in weighing", "trace elements"].value).split(";")
    least = {
        trace: tables.number("mixing", "own shelf", f"lacking {word}", "percent") / 100
        for trace, word in ((False, "below"), (True, "of a trace element below"))
    }
    order = [*_MAIN, *traces]
    return sorted(
        (name for name, share in shares.items() if name in order and share < least[name in traces]),
        key=order.index,
    )


def _miss(shares: Mapping[str, float]) -> float:
    """How far the main targets are, weighted as they are weighed."""
    table = tables.load("mixing")
    return sum(
        float(str(table["weight in weighing", name].value)) * (share - 1) ** 2
        for name, share in shares.items()
        if name in _MAIN
    )


def _lacks(made: ShelfRecipe) -> Iterable[Lack]:
    """What a shelf lacks, each with the product that would mend it: found one by one, weighed together."""
    table, held = tables.load("mixing"), list(made.recipe.salts)
    before = _shares(made, made.recipe.solution)
    mends: dict[str, dict[str, float]] = {}
    now, shares, hopeless = made.recipe, before, set[str]()
    while True:
        short = _short(shares)
        asked = next((name for name in short if ("mends", name) in table and name not in hopeless), None)
        if asked is None:
            break
        tried = []
        for word in str(table["mends", asked].value).split(";"):
            other = salt(word)
            if any(other.release == each.release for each in held):
                continue
            found = weigh_out(made.recipe.targets, [*held, other], now.volume, now.water)
            reached = _shares(made, found.solution)
            if asked not in _short(reached):
                tried.append((_miss(reached), other, found, reached))
        if not tried:
            hopeless.add(asked)
            continue
        was = {name: before[name] if name in _short(before) else shares[name] for name in short}
        _, best, now, shares = min(tried, key=lambda each: each[0])
        held.append(best)
        mends[best.name] = {name: was[name] for name in short if name not in _short(shares)}
    litre = now.volume.m_as("L")
    for product, mine in mends.items():
        dose = Q(now.masses[product].m_as("g") / litre, "g/L")
        later = not any(name in _short(before) for name in mine)
        sentence = _sentence(mine, product, dose, later)
        yield Lack(mine, product, dose, {name: shares[name] for name in mine}, sentence)
    rest = {
        name: before[name] for name in _short(before) if not any(name in names for names in mends.values())
    }
    if rest:
        yield Lack(rest, "", None, {}, _sentence(rest, "", None))


def _sentence(shares: Mapping[str, float], product: str, dose: Quantity | None, later: bool = False) -> str:
    """One line on what is lacking, or lacking once something else was added, and what would bring it."""
    names = [_WORDS.get(name, name) for name in shares]
    it = {1: "it", 2: "both"}.get(len(names), "them")
    if not any(shares.values()):
        lacking = f"there is no {_listed(names, 'or')} in it"
    elif len(names) == 1:
        is_at = "is then at" if later else "is at"
        lacking = f"{names[0]} {is_at} {100 * next(iter(shares.values())):.0f} % of its target"
    else:
        percent = [
            f"{name} ({100 * share:.0f} %)" for name, share in zip(names, shares.values(), strict=True)
        ]
        lacking = f"{_listed(percent, 'and')} are {'then ' if later else ''}short of their targets"
    if dose is not None:
        gram = float(dose.m_as("g/L"))
        amount = f"{gram:.2g} g" if gram >= 0.1 else f"{1000 * gram:.2g} mg"
        cure = f"{amount} of {product} in each litre"
    elif all(name not in _MAIN for name in shares):
        cure = "a fertiliser with trace elements"
    else:
        cure = (
            "a bag whose label names more of it"
            if len(names) == 1
            else "a bag whose label names more of them"
        )
    return f"{lacking[0].upper()}{lacking[1:]}; {cure} would bring {it}."


def _listed(words: list[str], last: str) -> str:
    return f" {last} ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _ammonium(recipe: Recipe) -> Iterable[str]:
    """A caution where much of the nitrogen is ammonium."""
    brought = recipe.solution.amounts
    ammonium, nitrate = (float(brought.get(key, 0.0)) for key in ("NH4+", "NO3-"))
    most = tables.number("mixing", "own shelf", "most ammonium", "percent")
    whole = ammonium + nitrate
    if whole and 100 * ammonium / whole > most:
        yield (
            f"{100 * ammonium / whole:.0f} % of the nitrogen is ammonium. Above about {most:g} % the pH falls as "
            "plants take it up, and warm roots can suffer. A bag with more nitrate is safer."
        )
