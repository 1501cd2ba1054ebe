"""Two stock solutions, called by what they hold: calcium never meets phosphate or sulfate undiluted."""

import numbers
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from reprlib import repr as short
from types import MappingProxyType
from typing import ClassVar, overload

from stilltank import tables
from stilltank.science.chemistry import Solution, Water, gypsum_saturation_index, litres, water_in_a_litre
from stilltank.science.products import STOCK_NAMES, Salt, soluble_mass
from stilltank.units import Q, Quantity, UnitNeeded, Unreadable, magnitude, speaking_of, takes, within

from .dissolving import mix
from .recipes import Recipe, grams_of

_CALCIUM, _OTHER = STOCK_NAMES
_ROOM = 20.0  # °C, the temperature the solubilities are stated at


def strength_of(ratio: float | str) -> float:
    """How many times stronger a stock solution is than the solution made from it.

    Parameters
    ----------
    ratio : float or str
        A plain number of times; or ``"1 in 100"`` (one part in a hundred parts of solution: 100 times), or
        ``"1 + 100"`` (one part and a hundred parts of water: 101 times).

    Returns
    -------
    float
        Times the solution.

    Raises
    ------
    Unreadable
        ``"1:100"``, which means either by the maker of the injector; or no ratio at all.
    UnitNeeded
        It is no plain number of times.
    OutOfRange
        It is less than 1, or more than 1000 times.

    Examples
    --------
    >>> strength_of("1 in 100"), strength_of("1 + 100")
    (100.0, 101.0)
    """
    if isinstance(ratio, str):
        text = ratio.strip().lower()
        if found := re.fullmatch(r"1\s*(?:in)\s*(\d+(?:\.\d+)?)", text):
            times = float(found[1])
        elif found := re.fullmatch(r"1\s*(?:\+|plus)\s*(\d+(?:\.\d+)?)", text):
            times = 1 + float(found[1])
        elif found := re.fullmatch(r"1\s*(?::|to|/)\s*(\d+(?:\.\d+)?)", text):
            raise Unreadable(
                f'{ratio!r} can be read two ways: "1 in {found[1]}" (one part in {found[1]} of the solution) or '
                f'"1 + {found[1]}" (one part added to {found[1]} of water). Write the one your injector means.'
            )
        else:
            raise Unreadable(
                f'A strength is a number such as 100, or "1 in 100" or "1 + 100"; {ratio!r} is not.'
            )
    elif isinstance(ratio, numbers.Real) and not isinstance(ratio, bool):
        times = float(ratio) if ratio <= 1000 or ratio != ratio else float("inf")
    else:
        raise UnitNeeded(f'A strength is a plain number such as 100, or "1 in 100"; you gave {short(ratio)}.')
    within(
        times, 1, 1000, "A stock solution is 1 to 1000 times as strong as the solution; {value:g} is outside."
    )
    return times


@dataclass(frozen=True, eq=False)
class Stock:
    """One stock solution: what to weigh, and make up to its volume.

    Parameters
    ----------
    name : str
        What it holds: "calcium" or "sulfate and phosphate".
    masses : mapping of str to Quantity
        Grams of each salt.
    volume : Quantity
        Of the finished stock solution, L.
    strength : float
        Times the solution made from it.
    solution : Solution
        The stock solution itself, with what the water brings.
    solubility_share : mapping of str to float
        For each salt, its amount over what dissolves at 20 °C; salts of unknown solubility are left out.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> recipe = weigh_out("Hoagland 1", hoagland, Q(40, "L"))
    >>> round(stocks(recipe, 50, Q(1, "L")).calcium.strength)
    50
    """

    name: str
    masses: Mapping[str, Quantity]
    volume: Quantity
    strength: float
    solution: Solution
    solubility_share: Mapping[str, float]

    @property
    def title(self) -> str:
        """What stands on its bottle, such as "Calcium stock".

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
        >>> stocks(recipe, "1 in 50", Q(1, "L")).calcium.title
        'Calcium stock'
        """
        return f"{self.name[:1].upper()}{self.name[1:]} stock"

    def __str__(self) -> str:
        lines = [f"{self.title}: make up to {self.volume.m_as('L'):g} L, {self.strength:g} times strong:"]
        return "\n".join([*lines, *(f"  {grams_of(mass)} {name}" for name, mass in self.masses.items())])


@dataclass(frozen=True, eq=False, repr=False)
class Stocks:
    """The calcium stock and the sulfate and phosphate stock, and what was checked.

    Parameters
    ----------
    calcium : Stock
        The stock solution with calcium.
    sulfate_and_phosphate : Stock
        The stock solution with sulfate and phosphate.
    checks : tuple of str
        What does not fit, a sentence each; empty when all is well.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> recipe = weigh_out("Hoagland 1", hoagland, Q(40, "L"))
    >>> calcium, rest = stocks(recipe, 50, Q(1, "L"))
    >>> list(calcium.masses)
    ['calcium nitrate tetrahydrate']
    """

    called: ClassVar[str] = "pair of stock solutions from stocks"
    calcium: Stock
    sulfate_and_phosphate: Stock
    checks: tuple[str, ...]

    @property
    def strength(self) -> float:
        """How many times stronger than the solution.

        Examples
        --------
        >>> from stilltank.science.mixing import weigh_out
        >>> recipe = weigh_out({"K": Q(200, "mg/L")}, ["KNO3"], Q(10, "L"))
        >>> stocks(recipe, "1 in 50", Q(1, "L")).strength
        50.0
        """
        return self.calcium.strength

    def __repr__(self) -> str:  # short, for it stands in sentences on wrong input
        return f"Stocks, {self.strength:g} times strong"

    def __iter__(self) -> Iterator[Stock]:
        """Calcium first, then sulfate and phosphate."""
        return iter((self.calcium, self.sulfate_and_phosphate))

    def __str__(self) -> str:
        return "\n".join(
            [
                *map(str, self),
                "Never pour the two together undiluted: gypsum falls out.",
                *self.checks,
            ]
        )


@takes(recipe=Recipe)
def stocks(recipe: Recipe, strength: float | str, volume: Quantity) -> Stocks:
    """Turn a recipe into two stock solutions, and check that they keep.

    Calcium and iron go to the calcium stock; phosphates, sulfates and the rest to the other.

    Parameters
    ----------
    recipe : Recipe
        What the stock solutions make.
    strength : float or str
        Number of times; or ``"1 in 100"`` or ``"1 + 100"``, see ``strength_of``.
    volume : Quantity
        Of each stock solution, one value.

    Returns
    -------
    Stocks
        Both, and a sentence on everything that does not fit.

    Raises
    ------
    Unreadable
        There is no recipe, or the strength has two readings.
    UnitNeeded
        The volume has no unit, or the strength is no number of times.
    OutOfRange
        The volume is not above zero, or the strength is outside 1 to 1000.
    Problem
        There are several volumes.

    See Also
    --------
    dose : How much of each makes a tank.
    single_concentrate : Why there are two.
    two_bottles : At a strength that dissolves, with the mL for a tank.

    Notes
    -----
    Each salt is compared with its own solubility in pure water at 20 degC; salts that share an ion dissolve less
    together. The water of the stock is counted as one gram less for each gram of dry salt, which errs on the
    safe side.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> hoagland = ["Ca(NO3)2.4H2O", "KNO3", "KH2PO4", "MgSO4.7H2O"]
    >>> both = stocks(weigh_out("Hoagland 1", hoagland, Q(10, "L")), "1 in 50", Q(1, "L"))
    >>> round(both.calcium.masses["calcium nitrate tetrahydrate"].m_as("g"), 1), both.checks
    (59.0, ())
    """
    times = strength_of(strength)
    whole = litres(volume, "stocks", single=True)
    factor = times * whole / recipe.volume.m_as("L")
    known = {each.name: each for each in recipe.salts}
    parts: dict[str, dict[str, float]] = {name: {} for name in STOCK_NAMES}
    for name, mass in recipe.masses.items():
        if (grams := float(mass.m_as("g")) * factor) > 0:
            parts[_CALCIUM if known[name].part == _CALCIUM else _OTHER][name] = grams
    both: dict[str, Stock] = {}
    checks: list[str] = []
    for part, grams in parts.items():
        masses = {name: Q(mass, "g") for name, mass in grams.items()}
        both[part] = stock_of(part, masses, known, Q(whole, "L"), times, recipe.water)
        checks += [*_quarrels(both[part], known), *_too_much(both[part], known)]
    return Stocks(both[_CALCIUM], both[_OTHER], tuple(checks))


def stock_of(
    name: str,
    masses: Mapping[str, Quantity],
    known: Mapping[str, Salt],
    volume: Quantity,
    times: float,
    water: Water,
) -> Stock:
    """Dissolve masses of known salts in a volume: one stock solution, with the share of each that dissolves."""
    made = mix({known[salt]: mass for salt, mass in masses.items()}, volume, water)
    grams = {salt: float(mass.m_as("g")) for salt, mass in masses.items()}
    share = _solubility_shares(grams, known, float(volume.m_as("L")))
    return Stock(name, MappingProxyType(dict(masses)), volume, times, made, share)


def _solubility_shares(
    grams: Mapping[str, float], known: Mapping[str, Salt], whole: float
) -> Mapping[str, float]:
    dry = {name: mass * known[name].anhydrous_share for name, mass in grams.items()}
    kilograms = max(water_in_a_litre(_ROOM) * whole - sum(dry.values()) / 1000, 1e-9)
    return MappingProxyType(
        {
            n: m / kilograms / soluble.m_as("g/kg")
            for n, m in dry.items()
            if (soluble := known[n].dry_solubility) is not None
        }
    )


def _quarrels(stock: Stock, known: Mapping[str, Salt]) -> Iterator[str]:
    """Calcium beside phosphate or sulfate, from the salts or from the water."""
    calcium = [name for name in stock.masses if "Ca+2" in known[name].release]
    others = [n for n in stock.masses if n not in calcium and {"SO4-2", "H2PO4-"} & set(known[n].release)]
    if calcium and others:
        yield (
            f"{stock.title}: {' and '.join(calcium)} would meet {' and '.join(others)} undiluted, "
            "and calcium falls out. Keep them apart."
        )
    elif float(gypsum_saturation_index(stock.solution, Q(_ROOM, "degC"))) > 0:
        yield (
            f"{stock.title}: the calcium of the water itself can fall out as gypsum in it. "
            "Make it up with rain water or purified water."
        )


def _too_much(stock: Stock, known: Mapping[str, Salt]) -> Iterator[str]:
    caution = tables.number("mixing", "stocks", "solubility caution", "percent") / 100
    for name, share in stock.solubility_share.items():
        move = (
            " Or put part of it into the calcium stock."
            if stock.name == _OTHER and known[name].part == "either"
            else ""
        )
        if share > 1 and (alone := soluble_mass(known[name], stock.volume)) is not None:
            yield (
                f"{stock.title}: {name} needs {100 * share:.0f} % of what dissolves at 20 °C; alone, "
                f"{grams_of(alone)} of the bag would. Make it weaker.{move}"
            )
        elif share > caution:
            yield (
                f"{stock.title}: {name} reaches {100 * share:.0f} % of what dissolves at 20 °C; "
                f"in a cool room crystals can form. Make it weaker, or keep it warm.{move}"
            )
    if max(stock.solubility_share.values(), default=0.0) <= caution < sum(stock.solubility_share.values()):
        yield (
            f"{stock.title}: each salt would dissolve alone, but together they may not, "
            "for some share an ion. Try a small amount first, or make it weaker."
        )


@overload
def dose(stock: Stock, volume: Quantity) -> Quantity: ...
@overload
def dose(stock: Stocks, volume: Quantity) -> dict[str, Quantity]: ...
def dose(stock: Stock | Stocks, volume: Quantity) -> Quantity | dict[str, Quantity]:
    """How much stock solution makes a volume of solution.

    Parameters
    ----------
    stock : Stock or Stocks
        One stock solution, or both.
    volume : Quantity
        Of the finished solution, or of a top-up at full strength; one value or an array.

    Returns
    -------
    Quantity or dict of str to Quantity
        mL of a Stock; for Stocks by name, ``{"calcium": ..., "sulfate and phosphate": ...}``. Stir one in well before
        the other goes in, then make up to volume.

    Raises
    ------
    UnitNeeded
        There is no stock, or the volume has no unit.
    OutOfRange
        The volume is below zero.

    See Also
    --------
    stocks : What the stock solutions hold.

    Examples
    --------
    >>> from stilltank.science.mixing import weigh_out
    >>> both = stocks(weigh_out({"K": Q(100, "mg/L")}, ["KNO3"], Q(1, "L")), 100, Q(1, "L"))
    >>> dose(both, Q(40, "L"))["sulfate and phosphate"].m_as("mL")
    400.0
    """
    if isinstance(stock, Stocks):
        return {each.name: dose(each, volume) for each in stock}
    if not isinstance(stock, Stock):
        raise UnitNeeded(f"dose needs a Stock or Stocks from stocks(...); you gave {short(stock)}.")
    plain = magnitude(volume, "mL", "volume", "dose")
    with speaking_of(volume):
        within(plain, 0, 1e10, "dose: a volume of {value} cannot be.", "mL")
    return Q(plain / stock.strength, "mL")
