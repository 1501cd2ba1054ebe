"""Products beside the table of salts: two analyses of one salt, acids as nutrient sources, chelates by iron share."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

from ... import tables
from ...units import Q, Unreadable, single, within
from ..composition import molar_mass
from ..ions import find_ion, ions
from ..ph import acid
from .salts import Salt, salt

_CHELATES = MappingProxyType({"EDTA": "Fe as EDTA", "DTPA": "Fe as DTPA", "EDDHA": "Fe as EDDHA"})


@dataclass(frozen=True, slots=True)
class Difference:
    """Two shares of one nutrient, percent of the mass, and how far the first is above the second, percent."""

    first: Any
    second: Any
    relative: Any


def label_against_formula(
    label: "Salt | str" = "calcium nitrate fertiliser", formula: "Salt | str" = "calcium nitrate double salt"
) -> Mapping[str, Difference]:
    """Compare two analyses of a salt, such as the label of calcium nitrate with its formula.

    Parameters
    ----------
    label, formula : salt
        By default calcium nitrate 15.5-0-0 as labelled, and as 5Ca(NO3)2·NH4NO3·10H2O makes it.

    Returns
    -------
    mapping of nutrient to Difference
        Each element that either holds, and both forms of nitrogen.

    Raises
    ------
    Unreadable   no such salt

    Example
    -------
    >>> calcium = label_against_formula()["Ca"]
    >>> [f"{value.m_as('percent'):.2f}" for value in (calcium.first, calcium.second, calcium.relative)]
    ['19.00', '18.54', '2.46']

    Limits: neither is the analysis of the bag in hand; reckon with its own label.
    """
    one, other = salt(label), salt(formula)
    keys = (*one.release, *other.release)
    names = [ions()[key].element for key in keys] + [
        "NO3-N" if key == "NO3-" else "NH4-N" for key in keys if key in ("NO3-", "NH4+")
    ]
    found = {}
    for name in filter(None, dict.fromkeys(names)):
        first, second = one.share(name), other.share(name)
        apart = float((first / second).m_as("dimensionless")) - 1 if second.magnitude else float("inf")
        found[name] = Difference(first, second, Q(100 * apart, "percent"))
    return MappingProxyType(found)


def liquid_acid(name: str, strength: Any = None, density: Any = None) -> Salt:
    """An acid as a source of nutrients: what a gram of the bottle brings, its H+ included.

    Weigh it into ``mix`` as any salt. What it does to the pH is in ``ph``; there too is the dose.

    Parameters
    ----------
    name, strength, density : as for ``ph.acid``

    Returns
    -------
    Salt

    Raises
    ------
    Unreadable   no such acid, or one that brings no nutrient, or one stated in mol/L
    UnitNeeded, OutOfRange   as ``ph.acid``

    Example
    -------
    >>> round(liquid_acid("phosphoric acid 75 %").share("P").m_as("percent"), 1)
    23.7

    Limits: acids are for trained adults, and go into water, never the other way round.
    """
    bottle = acid(name, strength, density)
    if not bottle.element or bottle.strength is None:
        why = "brings no nutrient" if not bottle.element else "is stated in mol/L, not by mass"
        raise Unreadable(f'{bottle.name} {why}. Choose a bottled mineral acid, such as "nitric acid 38 %".')
    anion = {"N": "NO3-", "P": "H2PO4-", "S": "SO4-2", "Cl": "Cl-"}[bottle.element]
    each = 10 * bottle.strength.m_as("percent") / bottle.molar_mass.m_as("g/mol")  # mmol from a gram
    return Salt(
        bottle.name,
        "",
        MappingProxyType({anion: each, "H+": -ions()[anion].charge * each}),
        "A" if anion == "NO3-" else "B",
        bottle.caution.removeprefix("Caution: ").rstrip("."),
    )


def chelated_iron(chelate: str, iron: Any) -> Salt:
    """An iron chelate by the iron share of its label, sodium as its partner.

    Parameters
    ----------
    chelate : "EDTA", "DTPA" or "EDDHA"
    iron : quantity, percent of the mass

    Returns
    -------
    Salt

    Raises
    ------
    Unreadable   another chelate
    UnitNeeded, OutOfRange   no share, or more iron than the pure chelate holds

    Example
    -------
    >>> print(chelated_iron("DTPA", Q(6, "percent")))
    iron DTPA 6 %: Na 4.94 %, Fe 6.00 %.

    Limits: labels also state how much of the iron is chelated; what is not falls out with phosphate.
    """
    if not isinstance(chelate, str) or chelate not in _CHELATES:
        raise Unreadable(
            f"The chelates known here are {', '.join(_CHELATES)}; {chelate!r} is not one of them."
        )
    share = single(iron, "percent", "iron", "chelated_iron")
    key, _ = find_ion(_CHELATES[chelate]) or ("", "")
    charge, gram = -ions()[key].charge, molar_mass("Fe").m_as("g/mol")
    most = 100 * gram / (ions()[key].molar_mass + charge * molar_mass("Na").m_as("g/mol"))
    within(
        share, 0.1, most,
        f"Iron {chelate} holds 0.1 to {most:.1f} % iron, pure and dry at most; {{value:g}} % cannot be.",
    )  # fmt: skip
    each = 10 * share / gram
    return Salt(f"iron {chelate} {share:g} %", "", MappingProxyType({"Na+": charge * each, key: each}), "A")


def demo_prices() -> tuple[Mapping[str, float], str]:
    """Invented prices of the demo for a kilogram of each salt, and the word for their currency.

    Example
    -------
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
