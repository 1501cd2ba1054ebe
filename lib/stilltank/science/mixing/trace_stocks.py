"""Stock solutions of what is too light to weigh for one tank: iron and trace elements together, in a small bottle."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from reprlib import repr as short
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import water_in_a_litre
from stilltank.science.products import Salt
from stilltank.units import Q, Quantity, Unreadable, one_value, takes, within, write

from .recipes import Recipe

_ROOM = 20.0  # °C, the temperature the solubilities are stated at
_MAIN = ("N", "P", "K", "Ca", "Mg")


@dataclass(frozen=True, eq=False)
class TraceStock:
    """A small stock solution of salts that are too light to weigh for one tank.

    Parameters
    ----------
    name : str
        What it holds, such as "iron and trace elements".
    masses : mapping of str to Quantity
        Grams to weigh of each salt.
    volume : Quantity
        What the stock is made up to, mL.
    dose : Quantity
        How much of it goes into the tank for one filling, mL.
    keeps : Quantity
        How long it keeps, closed and dark, days.
    balance : Quantity
        Smallest step of the balance it was made for.
    advice : str, optional
        A sentence where it cannot be weighed or is far more than anyone needs, with what to do instead.

    Examples
    --------
    >>> gram = {"iron DTPA": Q(1, "g")}
    >>> stock = TraceStock("iron", gram, Q(500, "mL"), Q(20, "mL"), Q(180, "day"), Q(0.01, "g"))
    >>> stock.fillings, (stock.masses["iron DTPA"] * stock.dose / stock.volume).m_as("mg")
    (25.0, 40.0)
    """

    name: str
    masses: Mapping[str, Quantity]
    volume: Quantity
    dose: Quantity
    keeps: Quantity
    balance: Quantity
    advice: str = ""

    @property
    def fillings(self) -> float:
        """How many fillings of the tank the bottle lasts.

        Examples
        --------
        >>> TraceStock("iron", {}, Q(250, "mL"), Q(10, "mL"), Q(180, "day"), Q(0.01, "g")).fillings
        25.0
        """
        return float((self.volume / self.dose).m_as("dimensionless"))

    @property
    def title(self) -> str:
        """What stands on its bottle, such as "Iron and trace elements stock".

        Examples
        --------
        >>> TraceStock("iron", {}, Q(250, "mL"), Q(10, "mL"), Q(180, "day"), Q(0.01, "g")).title
        'Iron stock'
        """
        return f"{self.name[:1].upper()}{self.name[1:]} stock"

    @property
    def weighable(self) -> bool:
        """True if the balance shows every mass nearly enough.

        Examples
        --------
        >>> masses = {"copper sulfate pentahydrate": Q(88, "mg")}
        >>> [
        ...     TraceStock("trace elements", masses, Q(250, "mL"), Q(20, "mL"), Q(180, "day"), step).weighable
        ...     for step in (Q(0.01, "g"), Q(1, "g"))
        ... ]
        [True, False]
        """
        least = least_mass(float(self.balance.m_as("g")))
        return all(mass.m_as("g") >= least * (1 - 1e-9) for mass in self.masses.values())

    def weighed(self, name: str) -> str:
        """Write the mass of a salt in grams, as the balance shows it.

        Parameters
        ----------
        name : str
            One of ``masses``.

        Returns
        -------
        str
            Such as "0.09 g".

        Raises
        ------
        Unreadable
            The stock does not hold it.

        Examples
        --------
        >>> masses = {"boric acid": Q(824, "mg")}
        >>> stock = TraceStock("trace elements", masses, Q(250, "mL"), Q(20, "mL"), Q(180, "day"), Q(0.01, "g"))
        >>> stock.weighed("boric acid")
        '0.82 g'
        """
        if name not in self.masses:
            raise Unreadable(f"{self.title} holds no {short(name)}. It holds {', '.join(self.masses)}.")
        return as_shown(self.masses[name], self.balance)

    def __str__(self) -> str:
        lines = [
            f"{self.title}: make up to {write(self.volume)}, {write(self.dose)} for one filling, enough for "
            f"{int(self.fillings)}; keeps about {months(self.keeps)} in the dark:"
        ]
        if not self.weighable:
            lines = [f"{self.title}: {', '.join(self.masses)}."]
        else:
            lines += [f"  {self.weighed(name)} {name}" for name in self.masses]
        return "\n".join([*lines, *filter(None, [self.advice])])


@takes(recipe=Recipe)
def trace_stocks(
    recipe: Recipe, balance: Quantity | None = None, names: Iterable[str] | None = None
) -> tuple[TraceStock, ...]:
    """Find small stock solutions for the salts of a recipe that are too light to weigh for one tank.

    Iron chelate, boric acid, molybdate and the sulfates of manganese, zinc and copper share one bottle. Any other salt
    has a bottle of its own: phosphate takes the metals out, and iron sulfate rusts within days.

    Parameters
    ----------
    recipe : Recipe
        For one filling of the tank.
    balance : Quantity, optional
        Mass, the smallest step of the balance at hand; that of a pocket scale of data/mixing.csv when left out.
    names : iterable of str, optional
        The salts of the recipe to make stocks of; those too light for a kitchen scale when left out.

    Returns
    -------
    tuple of TraceStock
        The smallest bottle in which every mass can be weighed and dissolves; none where nothing is too light.

    Raises
    ------
    Unreadable
        There is no recipe, or a salt is not in it.
    UnitNeeded
        The step has no unit.
    OutOfRange
        The step is not above zero, or more than 1 kg.

    See Also
    --------
    two_bottles : Stock solutions of the whole recipe.

    Notes
    -----
    One bottle for iron and trace elements is common practice. The metals can trade places with the iron of a chelate;
    slightly acid water, darkness and a few months keep that small, which nobody here has measured. Made up with hard
    tap water, copper and zinc can fall out as carbonates: use rain water or purified water.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> from stilltank.science.products import usual_salts
    >>> (stock,) = trace_stocks(weigh_out("flowering", usual_salts(), Q(36, "L")))
    >>> stock.name, stock.volume.m_as("mL"), stock.dose.m_as("mL")
    ('iron and trace elements', 250.0, 20.0)
    """
    step = _step(balance)
    known = {each.name: each for each in recipe.salts}
    chosen = recipe.too_small if names is None else tuple(names)
    if strange := [name for name in chosen if name not in recipe.masses]:
        raise Unreadable(
            f"trace_stocks: the recipe holds no {strange[0]}. Choose from {', '.join(recipe.masses)}."
        )
    grams = {name: float(recipe.masses[name].m_as("g")) for name in chosen}
    together = {
        name: mass for name, mass in grams.items() if is_trace(known[name]) and not _rusts(known[name])
    }
    alone = [{name: mass} for name, mass in grams.items() if name not in together]
    return tuple(_stock(group, known, step) for group in ([together] if together else []) + alone)


def as_shown(mass: Quantity, balance: Quantity) -> str:
    """A mass in grams with the decimals of a balance."""
    decimals = max(0, -math.floor(math.log10(balance.m_as("g")) + 1e-9))
    return f"{mass.m_as('g'):.{decimals}f} g"


def months(time: Quantity) -> str:
    """Write how long a bottle keeps, in months.

    Parameters
    ----------
    time : Quantity
        How long.

    Returns
    -------
    str
        Such as "6 months".

    Raises
    ------
    UnitNeeded
        It is no time.

    Examples
    --------
    >>> months(Q(180, "day"))
    '6 months'
    """
    count = round(one_value(time, "day", "time", "months") / 30.4)
    return f"{count} {'month' if count == 1 else 'months'}"


def is_trace(each: Salt) -> bool:
    """True if a salt is weighed for iron or a trace element."""
    traces = str(tables.load("mixing")["weight in weighing", "trace elements"].value).split(";")
    return sum(each.share(name).magnitude for name in traces) > sum(
        each.share(name).magnitude for name in _MAIN
    )


def _rusts(each: Salt) -> bool:
    return "Fe+2" in each.release or "Fe+3" in each.release


def least_mass(step: float) -> float:
    """Grams from which a balance with a step is near enough for a trace element."""
    return step / 2 / (tables.number("mixing", "trace stock", "weighing error", "percent") / 100)


def _step(balance: Quantity | None) -> float:
    if balance is None:
        return tables.number("mixing", "measuring", "fine scale resolution", "g")
    step = one_value(balance, "g", "balance", "trace_stocks")
    within(
        step,
        1e-6,
        1000,
        "A balance of {value} steps does not fit. Write its smallest step, such as 0.01 g.",
        "g",
    )
    return step


def _list(item: str) -> list[float]:
    return [float(each) for each in str(tables.load("mixing")["trace stock", item].value).split(";")]


def _name(group: Mapping[str, float], known: Mapping[str, Salt]) -> str:
    if any(_rusts(known[name]) or not is_trace(known[name]) for name in group):
        return next(iter(group))
    iron = [name for name in group if known[name].share("Fe").magnitude > 0]
    return "iron" if len(iron) == len(group) else "iron and trace elements" if iron else "trace elements"


def _stock(group: Mapping[str, float], known: Mapping[str, Salt], step: float) -> TraceStock:
    """The smallest bottle that will do; the largest of all, with advice, where none does."""
    few = tables.number("mixing", "trace stock", "least fillings", "1")
    many = tables.number("mixing", "trace stock", "most fillings", "1")
    least = least_mass(step)
    sizes = sorted(
        ((volume, volume / dose, dose) for volume in _list("volumes") for dose in _list("doses")),
    )
    fits = [size for size in sizes if size[1] >= few and _dissolves(group, known, size[2])]
    weighed = [size for size in fits if min(group.values()) * size[1] >= least]
    volume, times, dose = (weighed or fits[-1:] or sizes[-1:])[0]
    lightest = min(group, key=lambda name: group[name])
    advice = ""
    if not fits:
        advice = f"{lightest.capitalize()} may not dissolve in so little. Weigh it for each tank instead."
    elif not weighed or times > many:
        needed = max(least / group[lightest], times if weighed else 0.0)
        advice = (
            f"On a balance that shows {step:g} g, {lightest} can only be weighed for about "
            f"{float(f'{needed:.2g}'):.0f} fillings at once. Buy a mix of trace elements with iron"
            + (
                ", or weigh on a pocket scale that shows 0.01 g."
                if step > tables.number("mixing", "measuring", "fine scale resolution", "g")
                else ", and use it by its label."
            )
        )
    keeps = tables.number("mixing", "trace stock", "keeping time", "day")
    masses = {name: Q(mass * times, "g") for name, mass in group.items()}
    return TraceStock(
        _name(group, known), MappingProxyType(masses), Q(volume, "mL"), Q(dose, "mL"), Q(keeps, "day"),
        Q(step, "g"), advice,
    )  # fmt: skip


def _dissolves(group: Mapping[str, float], known: Mapping[str, Salt], dose: float) -> bool:
    """True if what one filling needs dissolves in one dose, with the usual room to spare."""
    used = 0.0
    for name, mass in group.items():
        each, litre = known[name], 1000 * mass / dose
        if each.dry_solubility is not None:
            most = each.dry_solubility.m_as("g/kg") * water_in_a_litre(_ROOM) / each.anhydrous_share
        else:
            item = ("trace stock", "chelate") if is_trace(each) else ("stocks", "label product")
            most = tables.number("mixing", *item, "g/L")
        used += litre / most
    return used <= tables.number("mixing", "stocks", "solubility caution", "percent") / 100
