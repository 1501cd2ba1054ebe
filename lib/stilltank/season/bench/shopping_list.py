"""One shopping list for all tanks of a bench, and what their season costs."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from stilltank import tables
from stilltank.science import calendar, mixing, ph, products
from stilltank.season.plan import Course, Plan
from stilltank.show.given import of_kind
from stilltank.units import OutOfRange, Problem, Q, Quantity, write

from .common_weather import in_turn

if TYPE_CHECKING:
    import pandas

_NOTHING = 1e-9


@dataclass(frozen=True, eq=False)
class Item:
    """A fertiliser or an acid on a shopping list.

    Parameters
    ----------
    name : str
        As the shelf, or the workbook, calls it.
    tanks : mapping of str to Quantity
        What each tank uses of it in the season: grams, or mL of a liquid.
    stocked : Stocked, optional
        What stands on the shelf of it; None where it is not there.

    Examples
    --------
    >>> Item("Epsom salt", {"A": Q(7, "g"), "B": Q(5, "g")}).needed.m_as("g")
    12.0
    """

    name: str
    tanks: Mapping[str, Quantity]
    stocked: products.Stocked | None = None

    @property
    def needed(self) -> Quantity:
        """What all tanks use together.

        Examples
        --------
        >>> Item("Epsom salt", {"A": Q(7, "g"), "B": Q(5, "g")}).needed.m_as("g")
        12.0
        """
        first = next(iter(self.tanks.values()))
        return Q(float(sum(each.m_as(first.units) for each in self.tanks.values())), f"{first.units}")

    @property
    def lacking(self) -> Quantity:
        """What of it is not there yet; all of it where nobody has said what is left.

        Examples
        --------
        >>> epsom = products.Stocked(products.salt("Epsom salt"), left=Q(10, "g"))
        >>> Item("Epsom salt", {"A": Q(7, "g"), "B": Q(5, "g")}, epsom).lacking.m_as("g")
        2.0
        """
        found = None if self.stocked is None else self.stocked.lacking(self.needed)
        return self.needed if found is None else found

    @property
    def bags(self) -> int | None:
        """Whole bags or bottles to buy; None where their size is not known.

        Examples
        --------
        >>> epsom = products.Stocked(products.salt("Epsom salt"), bag=Q(1, "kg"))
        >>> Item("Epsom salt", {"A": Q(7, "g"), "B": Q(5, "g")}, epsom).bags
        1
        """
        return None if self.stocked is None else self.stocked.bags(self.needed)

    @property
    def to_pay(self) -> float | None:
        """Price of these bags; None where size or price are not known.

        Examples
        --------
        >>> epsom = products.Stocked(products.salt("Epsom salt"), bag=Q(1, "kg"), price=5)
        >>> Item("Epsom salt", {"A": Q(7, "g")}, epsom).to_pay
        5.0
        """
        if self.bags == 0:
            return 0.0
        price = None if self.stocked is None else self.stocked.price
        return None if self.bags is None or price is None else float(self.bags * price)

    def used_by(self, tank: str) -> float | None:
        """Price of what one tank uses of it.

        Parameters
        ----------
        tank : str
            Its name on the bench.

        Returns
        -------
        float or None
            In the currency of the shelf; None where bag or price are not known.

        Examples
        --------
        >>> epsom = products.Stocked(products.salt("Epsom salt"), bag=Q(1, "kg"), price=5)
        >>> Item("Epsom salt", {"A": Q(20, "g")}, epsom).used_by("A")
        0.1
        """
        amount = self.tanks.get(tank)
        if amount is None:
            return 0.0
        return None if self.stocked is None else self.stocked.cost(amount)


@dataclass(frozen=True)
class Planted:
    """Plants of one crop to raise or to buy for a tank.

    Parameters
    ----------
    tank : str
        Its name on the bench.
    crop : str
        What the crop is called.
    plants : int
        Plants to set in, replaced ones among them.
    pots : int
        Net pots that they stand in.
    seeds : int
        Seeds to sow for them.

    Examples
    --------
    >>> Planted("A", "Basil", 3, 3, 9).seeds
    9
    """

    tank: str
    crop: str
    plants: int
    pots: int
    seeds: int


@dataclass(frozen=True)
class Harvest:
    """What one crop of a tank gives, and what a piece of it costs.

    Parameters
    ----------
    tank : str
        Its name on the bench.
    crop : str
        What the crop is called.
    piece : {"stem", "head", "plant"}
        What is counted.
    pieces : tuple of float
        Low, expected and high: 8 of 10 outcomes lie within.
    cost : tuple of float, optional
        Low, expected and high of one piece; None where a price is not known.

    Examples
    --------
    >>> Harvest("A", "Lettuce", "head", (5, 5, 5), (0.08, 0.08, 0.08)).piece
    'head'
    """

    tank: str
    crop: str
    piece: str
    pieces: tuple[float, float, float]
    cost: tuple[float, float, float] | None


@dataclass(frozen=True, eq=False)
class ShoppingList:
    """What to buy for all tanks of a bench; made by ``Bench.shopping_list``.

    Parameters
    ----------
    items : tuple of Item
        Fertilisers and acids.
    planted : tuple of Planted
        Plants, net pots and seeds.
    litres : mapping of str to tuple of Quantity
        For each tank what it is filled with, and what its top-ups take.
    courses : mapping of str to tuple of Course
        For each tank its plants.
    enough : float
        Share of the simulated seasons in which the top-ups are enough.
    currency : str
        Of the prices; empty where there is no shelf.
    notes : tuple of str
        What the list leaves out or assumes.

    Examples
    --------
    >>> from stilltank.season.bench import Bench
    >>> found = Bench.of({"A": Plan.make(count=4)}).shopping_list()
    >>> found.currency, found.planted[0].pots
    ('', 4)
    """

    items: tuple[Item, ...]
    planted: tuple[Planted, ...]
    litres: Mapping[str, tuple[Quantity, Quantity]]
    courses: Mapping[str, tuple[Course, ...]]
    enough: float
    currency: str
    notes: tuple[str, ...]

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Names of what has no price, or no size of bag.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> len(Bench.of({"A": Plan.make(count=4)}).shopping_list().unpriced) > 5
        True
        """
        return tuple(
            one.name
            for one in self.items
            if one.stocked is None or one.stocked.price is None or one.stocked.bag is None
        )

    @property
    def to_pay(self) -> float | None:
        """Price of all bags to buy; None where one of them has no price.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> Bench.of({"A": Plan.make(count=4)}).shopping_list().to_pay is None
        True
        """
        each = [one.to_pay for one in self.items]
        return None if None in each else math.fsum(price for price in each if price is not None)

    @cached_property
    def costs(self) -> dict[str, float | None]:
        """What each tank uses in the season, at the price of a part of the bag; None where a price is not known."""
        found: dict[str, float | None] = {}
        for tank in self.litres:
            each = [one.used_by(tank) for one in self.items]
            found[tank] = None if None in each else math.fsum(price for price in each if price is not None)
        return found

    @cached_property
    def harvests(self) -> tuple[Harvest, ...]:
        """What each crop gives, and what a stem, a head or a plant of it costs.

        The cost of a tank is shared out among its crops by the ground that they cover.
        """
        found = []
        for tank, courses in self.courses.items():
            whole = sum(_ground(course) for course in courses)
            cost = self.costs[tank]
            for course in courses:
                piece, pieces = _pieces(course)
                mine = None if cost is None else cost * _ground(course) / whole
                low, middle, high = pieces
                each = None if mine is None or low <= 0 else (mine / high, mine / middle, mine / low)
                found.append(
                    Harvest(tank, course.group.crop.label or course.group.crop.name, piece, pieces, each)
                )
        return tuple(found)

    def table(self, system: str = "metric") -> "pandas.DataFrame":
        """Write the fertilisers and acids as a table.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        pandas.DataFrame
            One row each: what, needed, left, to buy, price.

        Raises
        ------
        UnitNeeded
            Another system.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> list(Bench.of({"A": Plan.make(count=4)}).shopping_list().table())
        ['what', 'needed', 'left', 'to buy', 'price']
        """
        import pandas

        return pandas.DataFrame(self.rows(system), columns=["what", "needed", "left", "to buy", "price"])

    def rows(self, system: str = "metric") -> list[tuple[str, str, str, str, str]]:
        """Write the fertilisers and acids as rows of text, as `table` holds them.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        list of tuple of str
            What, needed, left, to buy, price.

        Raises
        ------
        UnitNeeded
            Another system.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> Bench.of({"A": Plan.make(count=4)}).shopping_list().rows()[0][0]
        'calcium nitrate fertiliser'
        """
        return [
            (
                one.name,
                amount(one.needed, system),
                "not known"
                if one.stocked is None or one.stocked.left is None
                else amount(one.stocked.left, system),
                _to_buy(one, system),
                "" if one.to_pay is None else money(one.to_pay, self.currency),
            )
            for one in self.items
        ]

    def sentences(self, system: str = "metric") -> tuple[str, ...]:
        """Say the list: what to buy, what to raise, what it costs.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        tuple of str
            Sentences.

        Raises
        ------
        UnitNeeded
            Another system.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> Bench.of({"A": Plan.make(count=4)}).shopping_list().sentences()[-3]
        'Raise for A: 4 snapdragon, 4 net pots, 12 seeds.'
        """
        return tuple(self._said(system))

    def _said(self, system: str) -> Iterator[str]:
        for one in self.items:
            if one.lacking.magnitude <= _NOTHING:
                yield f"{one.name}: {amount(one.needed, system)}; enough is on the shelf."
            else:
                yield f"{one.name}: {amount(one.needed, system)}; buy {_to_buy(one, system)}."
        for plants in self.planted:
            yield (
                f"Raise for {plants.tank}: {plants.plants} {plants.crop.lower()}, "
                f"{plants.pots} net {'pot' if plants.pots == 1 else 'pots'}, "
                f"{plants.seeds} seeds."
            )
        yield from self.cost_sentences()

    def cost_sentences(self) -> tuple[str, ...]:
        """Say what all costs, what a tank, a stem or a head does, and what the list leaves out.

        Returns
        -------
        tuple of str
            Sentences.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> Bench.of({"A": Plan.make(count=4)}).shopping_list().cost_sentences()[0]
        'No top-ups: the plans add nothing.'
        """
        found = [] if self.to_pay is None else [f"To pay: {money(self.to_pay, self.currency)}."]
        if self.to_pay is None and len(self.unpriced) < len(self.items):
            found.append(f"Without a price on the shelf: {', '.join(self.unpriced)}.")
        found += [
            f"{tank} uses {money(cost, self.currency)} of fertiliser and acid."
            for tank, cost in self.costs.items()
            if cost is not None
        ]
        found += [
            f"{one.tank}, {one.crop}: {cost_words(one, self.currency)}."
            for one in self.harvests
            if one.cost is not None
        ]
        return (*found, *self.notes)

    def __str__(self) -> str:
        return " ".join(self.sentences())


def shopping_list(
    plans: Mapping[str, Plan], shelf: products.Shelf | None = None, enough: float | None = None
) -> ShoppingList:
    """Add up what all tanks need for the season.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank, under a common weather.
    shelf : Shelf, optional
        What stands on the shelf, with bags, rests and prices; that of each plan when left out.
    enough : float, optional
        Share of the simulated seasons in which the top-ups must be enough.

    Returns
    -------
    ShoppingList
        Fertilisers, acids, plants, pots and seeds, with costs.

    Raises
    ------
    OutOfRange
        A share that is none.
    Problem
        This is no shelf, or a solution cannot be made.

    Examples
    --------
    >>> shopping_list({"A": Plan.make(count=4)}).litres["A"][1].m_as("L")
    0.0
    """
    if shelf is not None:
        of_kind(shelf, products.Shelf, "Prices and bags are those of a shelf, such as season.shelf.load(...)")
    share = _share(enough)
    used: dict[str, dict[str, Quantity]] = {}
    litres, notes = {}, []
    for tank, plan in in_turn(plans):
        filling, added = _litres(plan, share)
        litres[tank] = (filling, added)
        for name, mass in _amounts(plan, filling, added):
            held = used.setdefault(name, {})
            held[tank] = held[tank] + mass if tank in held else mass
    notes.append(
        f"Top-ups: as many litres as are enough in {100 * share:.0f} of 100 simulated seasons, by the routine of each "
        "plan."
        if any(added.magnitude > 0 for _, added in litres.values())
        else "No top-ups: the plans add nothing."
    )
    notes.append(
        "Seeds, pots, water and tanks are not in the costs, and acid for a pH that rises again is not."
    )
    return ShoppingList(
        tuple(Item(name, each, _stocked(name, each, plans, shelf)) for name, each in used.items()),
        tuple(one for tank, plan in plans.items() for one in _planted(tank, plan)),
        litres,
        {tank: plan.outlook.courses for tank, plan in plans.items()},
        share,
        next(
            (one.currency for one in (shelf, *(plan.shelf for plan in plans.values())) if one is not None), ""
        ),
        tuple(notes),
    )


def money(price: float, currency: str) -> str:
    """Write a price.

    Parameters
    ----------
    price : float
        In the currency.
    currency : str
        Its word or sign; may be empty.

    Returns
    -------
    str
        Two decimals; one cent's parts with two digits.

    Examples
    --------
    >>> money(12.5, "EUR"), money(0.0041, "EUR"), money(0, "")
    ('12.50 EUR', '0.0041 EUR', '0.00')
    """
    plain = f"{price:.2g}" if 0 < price < 0.1 else f"{price:.2f}"
    return f"{plain} {currency}".strip()


def amount(given: Quantity, system: str = "metric") -> str:
    """Write a mass or a volume from the scale or the measuring glass: grams and mL in both systems below a bag's size.

    Parameters
    ----------
    given : Quantity
        Mass or volume.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        With its unit.

    Raises
    ------
    UnitNeeded
        Another system.

    Examples
    --------
    >>> amount(Q(62.34, "g")), amount(Q(2, "kg"))
    ('62.3 g', '2 kg')
    """
    small = given < (Q(1, "kg") if given.check("[mass]") else Q(1, "L"))
    return write(given, "metric" if small else system)


def cost_words(harvest: Harvest, currency: str) -> str:
    """Say what a piece costs, with its range.

    Parameters
    ----------
    harvest : Harvest
        Of one crop.
    currency : str
        Of the prices.

    Returns
    -------
    str
        A part of a sentence.

    Examples
    --------
    >>> cost_words(Harvest("A", "Zinnia", "stem", (20, 30, 50), (0.01, 0.02, 0.03)), "EUR")
    'about 30 stems (20 to 50), 0.02 EUR a stem (0.01 to 0.03)'
    """
    low, middle, high = harvest.pieces
    word = harvest.piece if round(middle) == 1 else f"{harvest.piece}s"
    many = f"{middle:.0f} {word}" if low == high else f"about {middle:.0f} {word} ({low:.0f} to {high:.0f})"
    if harvest.cost is None:
        return many
    least, usual, most = harvest.cost
    span = "" if least == most else f" ({money(least, '')} to {money(most, '')})"
    return f"{many}, {money(usual, currency)} a {harvest.piece}{span}"


def _share(given: float | None) -> float:
    entry = tables.load("plan")["bench", "enough"]
    if given is None:
        return float(entry.value)
    low, high = (float(end.m_as("dimensionless")) for end in entry.range)
    if isinstance(given, bool) or not isinstance(given, (int, float)) or not low <= given <= high:
        raise OutOfRange(
            f"`enough` is a share of the seasons, {low:g} to {high:g}, such as 0.9; {given!r} does not fit."
        )
    return float(given)


def _litres(plan: Plan, share: float) -> tuple[Quantity, Quantity]:
    """What is filled in, and what is added through the season."""
    added = float(np.quantile(plan.outlook.season.top_up.magnitude.sum(axis=1), share))
    return Q(0.0, "L") if plan.reading is not None else plan.outlook.volume.to("L"), Q(added, "L")


def _amounts(plan: Plan, filling: Quantity, added: Quantity) -> Iterator[tuple[str, Quantity]]:
    """Salts and acid of the filling, then of the top-ups."""
    outlook = plan.outlook
    if filling.magnitude > 0:
        yield from _salts(outlook.recipe, 1.0)
        dose = outlook.doses.get("open") or outlook.doses.get("closed")
        if dose is not None:
            yield dose.acid.name, _measured(dose)
    if added.magnitude <= 0:
        return
    water = outlook.top_up_water
    if plan.top_up.strength:
        recipe = outlook.recipe if water is plan.water else _recipe_in(water, plan)
        yield from _salts(recipe, plan.top_up.strength * float((added / recipe.volume).m_as("dimensionless")))
    acid = ph.acid_for_top_up(water, plan.acid_at_hand, volume=added)
    if acid.amount.magnitude:
        yield acid.acid.name, acid.measure.to("mL" if acid.measure.check("[volume]") else "g")


def _recipe_in(water: mixing.Water, plan: Plan) -> mixing.Recipe:
    """The same solution in another water, such as rain."""
    outlook = plan.outlook
    if plan.shelf is not None:
        return mixing.for_shelf(outlook.targets, plan.shelf, outlook.volume, water).recipe
    return mixing.weigh_out(outlook.targets, products.usual_salts(), outlook.volume, water)


def _salts(recipe: mixing.Recipe, times: float) -> Iterator[tuple[str, Quantity]]:
    for name, mass in recipe.masses.items():
        if mass.magnitude * times > 0:
            yield name, (mass * times).to("g")


def _measured(dose: ph.Dose) -> Quantity:
    """As it is measured out: mL of a liquid, grams of a powder."""
    if dose.volume is not None:
        return dose.volume.to("mL")
    assert dose.mass is not None  # a dose has one of the two
    return dose.mass.to("g")


def _stocked(
    name: str, tanks: Mapping[str, Quantity], plans: Mapping[str, Plan], shelf: products.Shelf | None
) -> products.Stocked | None:
    """What stands on the shelf of the bench under that name, or on that of a tank that uses it."""
    for one in (shelf, *(plans[tank].shelf for tank in tanks)):
        if one is not None and (found := _on_shelf(one, name)) is not None:
            return found
    return None


def _on_shelf(shelf: products.Shelf, name: str) -> products.Stocked | None:
    """What stands on a shelf under a name, or is the same salt under another."""
    if (found := shelf.find(name)) is not None:
        return found
    try:
        formula = products.salt(name).formula
    except Problem:
        return None
    return next(
        (
            one
            for one in shelf.fertilisers.values()
            if formula and getattr(one.product, "formula", "") == formula
        ),
        None,
    )


def _planted(tank: str, plan: Plan) -> Iterator[Planted]:
    """What has to be raised, without what stands in the tank already on the day of a reading."""
    for course in plan.outlook.courses:
        group, crop = course.group, course.group.crop
        since = plan.reading.day if plan.reading is not None else None
        young = 0 if since is not None and course.transplanted <= since else group.count
        again = sum(one.count for one in group.losses if one.replaced and (since is None or one.day > since))
        if not young + again:
            continue
        each = (
            tables.number("calendar", "sowing", "seeds a pot", "1")
            if crop.seeds_a_pot is None
            else crop.seeds_a_pot
        )
        yield Planted(
            tank, crop.label or crop.name, young + again, young, math.ceil(each * (young + again) - _NOTHING)
        )


def _ground(course: Course) -> float:
    return float(course.group.plants.canopy_area.m_as("m^2"))


def _pieces(course: Course) -> tuple[str, tuple[float, float, float]]:
    """What a crop gives: stems where they are known, heads of what is cut once, else its plants."""
    crop = course.group.crop
    standing = course.group.standing(course.end)
    if crop.stems_per_plant is not None and crop.harvest_weeks is not None and standing:
        low, middle, high = calendar.stems_per_week(course.schedule, standing).total
        if low > 0:
            return "stem", (low, middle, high)
    word = "head" if crop.cut == "once" and crop.use != "flower" else "plant"
    return word, (float(standing), float(standing), float(standing))


def _to_buy(one: Item, system: str) -> str:
    """Whole bags where their size is known, else the amount."""
    if one.lacking.magnitude <= _NOTHING:
        return "nothing"
    if one.bags is None or one.stocked is None or one.stocked.bag is None:
        return amount(one.lacking, system)
    word = one.stocked.word if one.bags == 1 else f"{one.stocked.word}s"
    return f"{one.bags} {word} of {write(one.stocked.bag, system)}"
