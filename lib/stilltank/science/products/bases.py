"""Bases by the bottle or bag: what raises a pH, how strong, and the potassium it adds."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, ClassVar

from stilltank.tables import load

from .reagents import Kind, Reagent, bottle


@dataclass(frozen=True)
class Base(Reagent):
    """One bottle or bag of base; make one with ``base(name)``. For its fields see ``Reagent``.

    Carbonates bring carbon too: part of what they raise at first leaves again as carbon dioxide, or stays as
    alkalinity, which holds the pH where it is.
    """

    table: ClassVar[str] = "bases"
    called: ClassVar[str] = "base"
    example: ClassVar[str] = "potassium hydrogen carbonate"
    kinds: ClassVar[Mapping[str, Kind]] = MappingProxyType(
        {
            "KOH": Kind(1, {"K": 1, "strong_charge": 1}, "K"),
            "K2CO3": Kind(2, {"K": 2, "strong_charge": 2, "DIC": 1}, "K", 2),
            "KHCO3": Kind(1, {"K": 1, "strong_charge": 1, "DIC": 1}, "K"),
        }
    )


def base_names() -> tuple[str, ...]:
    """The bases of data/bases.csv.

    Example
    -------
    >>> base_names()[-1]
    'potassium hydrogen carbonate'
    """
    return load("bases").items_named


def base(name: str, strength: Any = None, density: Any = None) -> Base:
    """Look up a base; give its strength as the label reads where it differs.

    Parameters
    ----------
    name : str
        Such as ``"potassium hydrogen carbonate"``; ``base_names()`` lists them.
    strength : quantity, percent of the mass, optional
        The assay of a solid: pellets of potassium hydroxide are a seventh water.
    density : quantity, g/mL, optional
        Of a liquid sold by its share of the mass, as "potassium hydroxide" may be; compared with the table of
        densities.

    Returns
    -------
    Base

    Raises
    ------
    Unreadable   no such base, or a name or formula that does not say how strong
    UnitNeeded   strength or density without a unit
    OutOfRange   a strength no base has, or a density where there is none

    Example
    -------
    >>> from stilltank.units import Q
    >>> print(base("potassium carbonate 0.5 mol/L"))
    potassium carbonate 0.5 mol/L (K2CO3, 0.5 mol/L)
    >>> f'{base("potassium hydroxide pellets 85 %").mass(Q(100, "mmol")).m_as("g"):.2f} g for a litre of 0.1 mol/L'
    '6.60 g for a litre of 0.1 mol/L'

    Limits: solids draw water from the air, and potassium hydroxide carbon dioxide too; an opened tub is weaker.
    """
    return bottle(Base, name, strength, density)
