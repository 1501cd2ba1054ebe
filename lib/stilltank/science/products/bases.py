"""Bases by the bottle or bag: what raises a pH, how strong, and the potassium it adds."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from stilltank.tables import load
from stilltank.units import Quantity

from .reagents import Kind, Reagent, bottle


@dataclass(frozen=True)
class Base(Reagent):
    """One bottle or bag of base; make one with ``base(name)``.

    Carbonates bring carbon too: part of what they raise at first leaves again as carbon dioxide, or stays as
    alkalinity, which holds the pH where it is.

    Parameters
    ----------
    name : str
        As the label reads.
    formula : str
        Of the pure substance.
    strength : Quantity or None
        Percent of the mass; None for a dilution stated in mol/L.
    density : Quantity or None
        g/mL of a liquid; None for a solid, and for a dilution stated in mol/L.
    concentration : Quantity or None
        mol/L; None for a solid.
    hazard : str
        Which caution belongs to it.
    doubt : str, optional
        A sentence where strength and density of its label hardly belong together.

    Examples
    --------
    >>> base("potassium carbonate").element
    'K'
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
    """The bases that the workbook knows.

    Returns
    -------
    tuple of str
        The items of data/bases.csv.

    Examples
    --------
    >>> base_names()[-1]
    'potassium hydrogen carbonate'
    """
    return load("bases").items_named


def base(
    name: str,
    strength: Quantity | None = None,
    density: Quantity | None = None,
    concentration: Quantity | None = None,
) -> Base:
    """Look up a base; give its strength as the label reads where it differs.

    Parameters
    ----------
    name : str
        Such as ``"potassium hydrogen carbonate"``; ``base_names()`` lists them.
    strength : Quantity, optional
        Percent of the mass. The assay of a solid: pellets of potassium hydroxide are a seventh water.
    density : Quantity, optional
        g/mL of a liquid sold by its share of the mass, as "potassium hydroxide" may be; compared with the table of
        densities.
    concentration : Quantity, optional
        mol/L of a dilution, in place of strength and density.

    Returns
    -------
    Base
        The bottle or bag.

    Raises
    ------
    Unreadable
        There is no such base, or the name or formula does not say how strong.
    UnitNeeded
        Strength or density has no unit.
    OutOfRange
        No base has this strength or density, or the density belongs to none.

    See Also
    --------
    acid : What lowers a pH.

    Notes
    -----
    Solids draw water from the air, and potassium hydroxide carbon dioxide too; an opened tub is weaker.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> print(base("potassium carbonate 0.5 mol/L"))
    potassium carbonate 0.5 mol/L (K2CO3, 0.5 mol/L)
    >>> f'{base("potassium hydroxide pellets 85 %").mass(Q(100, "mmol")).m_as("g"):.2f} g for a litre of 0.1 mol/L'
    '6.60 g for a litre of 0.1 mol/L'
    """
    return bottle(Base, name, strength, density, concentration)
