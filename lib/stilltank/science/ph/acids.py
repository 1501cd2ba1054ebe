"""Acids by the bottle: what is in it, how strong, what it adds besides H+."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any, ClassVar

from ...tables import load
from .reagents import Kind, Reagent, bottle


@dataclass(frozen=True)
class Acid(Reagent):
    """One bottle or bag of acid; make one with ``acid(name)``. For its fields see ``Reagent``."""

    table: ClassVar[str] = "acids"
    called: ClassVar[str] = "acid"
    example: ClassVar[str] = "phosphoric acid 75 %"
    kinds: ClassVar[Mapping[str, Kind]] = MappingProxyType(
        {
            "HNO3": Kind(1, {"NO3": 1, "strong_charge": -1}, "N"),
            "H3PO4": Kind(3, {"P": 1}, "P"),
            "H2SO4": Kind(2, {"SO4": 1, "strong_charge": -2}, "S"),
            "HCl": Kind(1, {"Cl": 1, "strong_charge": -1}, "Cl"),
            "C6H8O7": Kind(3, {"citrate": 1}, ""),
        }
    )


def acid_names() -> tuple[str, ...]:
    """The acids of data/acids.csv.

    Example
    -------
    >>> acid_names()[0]
    'nitric acid 61.4 %'
    """
    return load("acids").items_named


def acid(name: str, strength: Any = None, density: Any = None) -> Acid:
    """Look up an acid; give strength and density as its label reads where they differ.

    Parameters
    ----------
    name : str
        Such as ``"phosphoric acid 75 %"``; ``acid_names()`` lists them. With strength and density given, the plain
        name is enough: ``"nitric acid"``.
    strength : quantity, percent of the mass, optional
    density : quantity, g/mL, optional
        Needed with another strength of a liquid, since it belongs to it; compared with the table of densities.

    Returns
    -------
    Acid

    Raises
    ------
    Unreadable   no such acid, or a name or formula that does not say how strong
    UnitNeeded   strength or density without a unit
    OutOfRange   a strength or density no acid has, one without the other, or two that cannot belong together

    Example
    -------
    >>> from stilltank.units import Q
    >>> print(acid("phosphoric acid 85 %"))
    phosphoric acid 85 % (H3PO4, 14.62 mol/L, 1.685 g/mL)
    >>> print(acid("nitric acid", strength=Q(60, "percent"), density=Q(1.367, "g/mL")))
    nitric acid, 60 % (HNO3, 13.02 mol/L, 1.367 g/mL)

    Limits: densities hold near 20 degC and are from memory; the label of the bottle is better. Where it is 0.015 g/mL
    from the table, ``doubt`` says so; 0.03 g/mL is refused.
    """
    return bottle(Acid, name, strength, density)
