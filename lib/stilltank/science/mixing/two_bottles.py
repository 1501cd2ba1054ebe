"""A whole recipe as two stock solutions that stay clear, with the mL for a tank."""

import itertools
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import Water, gypsum_saturation_index, litres
from stilltank.science.products import STOCK_NAMES, Salt
from stilltank.units import Q, Quantity, all_of, one_value, takes, within, write

from .recipes import Recipe, grams_of
from .stocks import Stock, stock_of, strength_of
from .trace_stocks import TraceStock, is_trace, least_mass, months, trace_stocks

_CALCIUM, _OTHER = STOCK_NAMES
_ROOM = Q(20.0, "degC")  # the temperature the solubilities are stated at
_NO_SALT = "None of its salts goes into a bottle, so there is nothing to make up."


@dataclass(frozen=True, eq=False)
class TwoBottles:
    """Two stock solutions of a recipe, and how much of each a tank takes.

    Parameters
    ----------
    bottles : tuple of Stock
        The calcium stock first; one that would be empty is left out. None where the recipe cannot be parted.
    strength : float
        Times the solution; 0 where the recipe cannot be parted.
    filling : Quantity
        Volume of solution that one filling of the tank takes, L.
    traces : tuple of TraceStock
        Stock solutions of what is too light to weigh even for the bottles.
    apart : mapping of str to Quantity
        Grams of each salt that belongs in no bottle, for one filling.
    checks : tuple of str
        What does not fit, a sentence each; empty when all is well.
    why_not : str
        Why the recipe cannot be parted; empty where it can.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> print([bottle.name for bottle in two_bottles(weigh_out("Hoagland 1", hoagland, Q(36, "L"))).bottles])
    ['calcium', 'sulfate and phosphate']
    """

    bottles: tuple[Stock, ...]
    strength: float
    filling: Quantity
    traces: tuple[TraceStock, ...]
    apart: Mapping[str, Quantity]
    checks: tuple[str, ...]
    why_not: str = ""

    @property
    def dose(self) -> Quantity:
        """How much of each bottle one filling takes, mL; 0 where the recipe cannot be parted.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(36, "L"))
        >>> two_bottles(recipe, strength=100).dose.m_as("mL")
        360.0
        """
        return self.filling.to("mL") / self.strength if self.bottles else Q(0.0, "mL")

    @property
    def for_a_litre(self) -> Quantity:
        """How much of each bottle a litre of solution takes, mL.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(36, "L"))
        >>> two_bottles(recipe, strength=100).for_a_litre.m_as("mL")
        10.0
        """
        return Q(1000 / self.strength if self.bottles else 0.0, "mL")

    @property
    def fillings(self) -> float:
        """How many fillings of the tank a bottle lasts.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(25, "L"))
        >>> two_bottles(recipe, strength=100).fillings
        4.0
        """
        return float((self.bottles[0].volume / self.dose).m_as("dimensionless")) if self.bottles else 0.0

    @property
    def lasts(self) -> str:
        """How many fillings a bottle lasts, in whole ones and halves.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(22, "L"))
        >>> two_bottles(recipe, Q(1, "L"), strength=100).lasts
        '4 and a half fillings'
        """
        whole = int(self.fillings + 1e-9)
        if whole < 1:
            return "less than one filling"
        half = " and a half" if self.fillings - whole >= 0.5 else ""
        return f"{whole}{half} {'filling' if whole == 1 and not half else 'fillings'}"

    @property
    def keeps(self) -> Quantity:
        """How long the bottles keep, closed and dark.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> two_bottles(weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(25, "L"))).keeps.m_as("day")
        365.0
        """
        return keeping_time()

    @property
    def notes(self) -> tuple[str, ...]:
        """What to know of the bottles, a sentence each: iron, acid, order.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> two_bottles(weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(25, "L"))).notes[-1]
        'Fill the tank nine tenths full, stir in one bottle, then the other, and make up to the mark.'
        """
        if not self.bottles:
            return ()
        first = self.bottles[0]
        iron = first.name == _CALCIUM and any(key.startswith("Fe") for key in first.solution.added)
        return (
            *(
                ["The iron chelate is in the calcium stock, away from phosphate, which takes iron out."]
                if iron
                else []
            ),
            "Keep acid out of both bottles: it breaks iron chelates, and its dose depends on the water, not on the "
            "recipe. It goes into the tank.",
            "Fill the tank nine tenths full, stir in one bottle, then the other, and make up to the mark.",
        )

    def __str__(self) -> str:
        if self.why_not:
            return self.why_not
        lines = []
        for bottle in self.bottles:
            lines += [
                f"{bottle.title}: make up to {write(bottle.volume)}, {self.strength:g} times strong:",
                *(f"  {grams_of(mass)} {name}" for name, mass in bottle.masses.items()),
            ]
        lines.append(
            f"{write(self.dose)} of each for one filling of {write(self.filling)} ({write(self.for_a_litre)} for a "
            f"litre); a bottle lasts {self.lasts} and keeps about {months(self.keeps)}."
        )
        lines += [str(stock) for stock in self.traces]
        lines += [
            f"{grams_of(mass)} {name} goes straight into the tank." for name, mass in self.apart.items()
        ]
        return "\n".join([*lines, *self.notes, *self.checks])


@takes(recipe=Recipe, water=Water)
def two_bottles(
    recipe: Recipe,
    bottle: Quantity | None = None,
    strength: float | str | None = None,
    balance: Quantity | None = None,
    water: Water | None = None,
) -> TwoBottles:
    """Part a recipe into two stock solutions that stay clear, as strong as dissolves.

    Salts with calcium go into the calcium stock, those with sulfate or phosphate into the other. Nitrates of potassium,
    magnesium and ammonium go wherever there is more room.

    Parameters
    ----------
    recipe : Recipe
        For one filling of the tank.
    bottle : Quantity, optional
        Volume of each bottle, one value; the smallest of data/mixing.csv that lasts three fillings when left out.
    strength : float or str, optional
        Number of times, or ``"1 in 100"``; the strongest of data/mixing.csv that dissolves when left out.
    balance : Quantity, optional
        Mass, the smallest step of the balance for iron and trace elements; that of a pocket scale when left out.
    water : Water, optional
        What the bottles are made up with; the water of the recipe when left out.

    Returns
    -------
    TwoBottles
        The bottles, what of each goes into the tank, and a sentence on everything that does not fit.

    Raises
    ------
    Unreadable
        There is no recipe, the water is none, or the strength has two readings.
    UnitNeeded
        A volume or step has no unit, or the strength is no number of times.
    OutOfRange
        A volume or step is not above zero, or the strength is outside 1 to 1000.
    Problem
        There are several volumes.

    See Also
    --------
    stocks : At a strength of your own, each salt in the stock of its table.
    single_concentrate : Why there are two.

    Notes
    -----
    The shares of what dissolves at 20 degC, each salt alone in pure water, add up to at most four fifths in a bottle:
    salts that share an ion hinder each other, and a cool room takes the rest. A product that does not say how much
    dissolves is kept to 120 g/L, a common practice. Gypsum is checked with the activity model of the library, which is
    an order of magnitude in such strong solutions; calcium and sulfate are therefore kept apart whatever it says.

    References
    ----------
    HandbookSolubility; CRC.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> found = two_bottles(weigh_out("Hoagland 1", hoagland, Q(36, "L")), Q(1, "L"))
    >>> found.strength, round(found.dose.m_as("mL")), found.fillings > 4
    (200.0, 180, True)
    """
    sizes = _sizes() if bottle is None else [litres(bottle, "two_bottles", single=True)]
    within(sizes[0], 0.01, 1000, "A bottle of {value} does not fit. Write a size such as 1 L.", "L")
    few = tables.number("mixing", "stocks", "least fillings", "1")
    step = (
        tables.number("mixing", "measuring", "fine scale resolution", "g")
        if balance is None
        else one_value(balance, "g", "balance", "two_bottles")
    )
    made_with = recipe.water if water is None else water
    known = {each.name: each for each in recipe.salts}
    grams = {name: float(mass.m_as("g")) for name, mass in recipe.masses.items() if mass.m_as("g") > 0}
    if both := [name for name in grams if _holds_both(known[name])]:
        return TwoBottles(
            (), 0.0, recipe.volume, (), MappingProxyType({}), (),
            f"{all_of(both)} {'holds' if len(both) == 1 else 'hold'} calcium together with sulfate or phosphate, so "
            "this recipe cannot be parted into two bottles: as a stock solution it would turn cloudy. Weigh it "
            "straight into the tank.",
        )  # fmt: skip
    carbonates = {name: mass for name, mass in grams.items() if "HCO3-" in known[name].release}
    traces = {name: mass for name, mass in grams.items() if is_trace(known[name])}
    main = {name: mass for name, mass in grams.items() if name not in traces and name not in carbonates}
    tried = (
        [float(each) for each in str(tables.load("mixing")["stocks", "strengths"].value).split(";")]
        if strength is None
        else [strength_of(strength)]
    )
    found: tuple[Stock, ...] = ()
    times, inside = tried[-1], {}
    for size, times in itertools.product(sizes, tried):
        factor = times * size / recipe.volume.m_as("L")
        least = least_mass(step)
        inside = traces if all(mass * factor >= least for mass in traces.values()) else {}
        inside = {name: mass for name, mass in inside.items() if "Fe+2" not in known[name].release}
        if factor < few and size != sizes[-1]:
            continue
        found = _parted({**main, **inside}, known, factor, Q(size, "L"), times, made_with)
        if all(_fits(each, known) for each in found):
            break
    left = {name: Q(mass, "g") for name, mass in carbonates.items()}
    rest = [name for name in traces if name not in inside]
    small = trace_stocks(recipe, Q(step, "g"), rest)
    checks = tuple(sentence for each in found for sentence in _checks(each, known))
    if not found:
        return TwoBottles((), 0.0, recipe.volume, small, MappingProxyType(left), checks, _NO_SALT)
    return TwoBottles(found, times, recipe.volume, small, MappingProxyType(left), checks)


def keeping_time() -> Quantity:
    """How long a stock solution keeps, closed and dark.

    Returns
    -------
    Quantity
        Days.

    Examples
    --------
    >>> keeping_time().m_as("day")
    365.0
    """
    return Q(tables.number("mixing", "stocks", "keeping time", "day"), "day")


def _sizes() -> list[float]:
    """Litres of the bottles that people have, the smallest first."""
    return [float(each) / 1000 for each in str(tables.load("mixing")["stocks", "bottles"].value).split(";")]


def _held(each: Salt, *elements: str) -> bool:
    """True if a salt holds more of an element than the rounding of a label."""
    least = tables.number("mixing", "stocks", "kept out", "percent")
    return any(each.share(name).m_as("percent") > least for name in elements)


def _holds_both(each: Salt) -> bool:
    return _held(each, "Ca") and _held(each, "P", "S")


def _side(each: Salt) -> str | None:
    """The bottle a salt belongs to; None where either will do."""
    if _held(each, "Ca"):
        return _CALCIUM
    if is_trace(each):  # iron chelates away from phosphate, metals and borate with the sulfates
        return _CALCIUM if _held(each, "Fe") else _OTHER
    return _OTHER if _held(each, "P", "S") or each.part == _OTHER else None


def _parted(
    grams: Mapping[str, float],
    known: Mapping[str, Salt],
    factor: float,
    volume: Quantity,
    times: float,
    water: Water,
) -> tuple[Stock, ...]:
    """The bottles that are not empty, with what goes into either placed where it leaves most room."""
    free = [name for name in grams if _side(known[name]) is None]
    best: tuple[Stock, ...] = ()
    for sides in itertools.product((_OTHER, _CALCIUM), repeat=len(free)):
        placed = dict(zip(free, sides, strict=True))
        parts: dict[str, dict[str, Quantity]] = {name: {} for name in STOCK_NAMES}
        for name, mass in grams.items():
            side = placed.get(name) or _side(known[name]) or _OTHER
            parts[side][name] = Q(mass * factor, "g")
        made = tuple(
            stock_of(name, masses, known, volume, times, water) for name, masses in parts.items() if masses
        )
        if not best or _fullest(made, known) < _fullest(best, known) - 1e-9:
            best = made
    return best


def _fullest(bottles: tuple[Stock, ...], known: Mapping[str, Salt]) -> float:
    return max((_full(each, known) for each in bottles), default=0.0)


def _full(stock: Stock, known: Mapping[str, Salt]) -> float:
    """How much of what dissolves is in a bottle, all salts together."""
    caution = tables.number("mixing", "stocks", "solubility caution", "percent") / 100
    used = sum(stock.solubility_share.values())
    for name, mass in stock.masses.items():
        if name not in stock.solubility_share:
            item = ("trace stock", "chelate") if is_trace(known[name]) else ("stocks", "label product")
            most = tables.number("mixing", *item, "g/L")
            used += caution * float((mass / stock.volume).m_as("g/L")) / most
    return used


def _gypsum(stock: Stock, known: Mapping[str, Salt], water: bool) -> float:
    """Saturation index of gypsum in a bottle; the sulfate that closes the rounding of a label left out."""
    held = (
        {} if not water else {key: value.m_as("mmol/L") for key, value in stock.solution.water.ions.items()}
    )
    litre = stock.volume.m_as("L")
    for name, mass in stock.masses.items():
        for key, mmol in known[name].release.items():
            if key == "SO4-2" and stock.name == _CALCIUM:
                continue
            held[key] = held.get(key, 0.0) + mmol * mass.m_as("g") / litre
    return float(gypsum_saturation_index({key: Q(value, "mmol/L") for key, value in held.items()}, _ROOM))


def _fits(stock: Stock, known: Mapping[str, Salt]) -> bool:
    caution = tables.number("mixing", "stocks", "solubility caution", "percent") / 100
    return _full(stock, known) <= caution and _gypsum(stock, known, water=False) <= 0


def _checks(stock: Stock, known: Mapping[str, Salt]) -> list[str]:
    """What does not fit in a bottle, a sentence each."""
    found = []
    full, caution = _full(stock, known), tables.number("mixing", "stocks", "solubility caution", "percent")
    if 100 * full > caution:
        found.append(
            f"{stock.title}: at {stock.strength:g} times its salts take up {100 * full:.0f} % of what dissolves at "
            f"20 °C, and {caution:.0f} % is safe. Make it weaker, or crystals can form."
        )
    if _gypsum(stock, known, water=False) > 0:
        found.append(f"{stock.title}: gypsum can fall out, and it turns cloudy. Make it weaker.")
    elif _gypsum(stock, known, water=True) > 0:
        other = "sulfate" if stock.name == _CALCIUM else "calcium"
        found.append(
            f"{stock.title}: the {other} of the water itself can fall out as gypsum in it. Make it up with rain water "
            "or purified water."
        )
    unknown = [
        name for name in stock.masses if name not in stock.solubility_share and not is_trace(known[name])
    ]
    if unknown:
        found.append(
            f"{stock.title}: the label of {all_of(unknown)} does not say how much dissolves. Try a spoonful of it in a "
            "glass at this strength first."
        )
    return found
