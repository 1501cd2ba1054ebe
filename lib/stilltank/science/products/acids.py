"""Acids by the bottle: what is in it, how strong, what it adds besides H+."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import ClassVar

from stilltank.science.chemistry import ions
from stilltank.tables import load
from stilltank.units import Quantity, Unreadable

from .reagents import Kind, Reagent, bottle
from .salts import Salt


@dataclass(frozen=True)
class Acid(Reagent):
    """One bottle or bag of acid; make one with ``acid(name)``.

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
    >>> acid("citric acid").protons
    3
    """

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
    """The acids that the workbook knows.

    Returns
    -------
    tuple of str
        The items of data/acids.csv.

    Examples
    --------
    >>> acid_names()[0]
    'nitric acid 61.4 %'
    """
    return load("acids").items_named


def acid(
    name: str,
    strength: Quantity | None = None,
    density: Quantity | None = None,
    concentration: Quantity | None = None,
) -> Acid:
    """Look up an acid; give strength and density as its label reads where they differ.

    Parameters
    ----------
    name : str
        Such as ``"phosphoric acid 75 %"``; ``acid_names()`` lists them. With a strength or a concentration given, the
        plain name is enough: ``"nitric acid"``.
    strength : Quantity, optional
        Percent of the mass.
    density : Quantity, optional
        g/mL, compared with the table of densities. With a plain name and a strength it is taken from that table when
        left out; with another strength of a bottle that is named with its own, it is needed.
    concentration : Quantity, optional
        mol/L of a dilution, in place of strength and density.

    Returns
    -------
    Acid
        The bottle or bag.

    Raises
    ------
    Unreadable
        There is no such acid, or the name or formula does not say how strong.
    UnitNeeded
        Strength or density has no unit.
    OutOfRange
        No acid has this strength or density, one is given without the other, or the two cannot belong together.

    See Also
    --------
    base : What raises a pH.
    acid_as_nutrient_source : What a gram of it brings to a recipe.

    Notes
    -----
    Densities hold near 20 degC and are from memory; the label of the bottle is better. Where it is 0.015 g/mL
    from the table, ``doubt`` says so; 0.03 g/mL is refused.

    References
    ----------
    CRCacids; CRCdensity.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> print(acid("phosphoric acid 85 %"))
    phosphoric acid 85 % (H3PO4, 14.62 mol/L, 1.685 g/mL)
    >>> print(acid("nitric acid", strength=Q(60, "percent"), density=Q(1.367, "g/mL")))
    nitric acid, 60 % (HNO3, 13.02 mol/L, 1.367 g/mL)
    >>> print(acid("nitric acid", concentration=Q(0.25, "mol/L")))
    nitric acid 0.25 mol/L (HNO3, 0.25 mol/L)
    """
    return bottle(Acid, name, strength, density, concentration)


def acid_as_nutrient_source(
    name: str, strength: Quantity | None = None, density: Quantity | None = None
) -> Salt:
    """An acid as a source of nutrients: what a gram of the bottle brings, its H+ included.

    Weigh it into ``mix`` as any salt. What it does to the pH is in ``ph``; there too is the dose.

    Parameters
    ----------
    name : str
        As for ``acid``.
    strength : Quantity, optional
        Percent of the mass, as for ``acid``.
    density : Quantity, optional
        g/mL, as for ``acid``.

    Returns
    -------
    Salt
        With H+ among what it releases.

    Raises
    ------
    Unreadable
        There is no such acid, it brings no nutrient, or it is stated in mol/L.
    UnitNeeded
        Strength or density has no unit.
    OutOfRange
        As for ``acid``.

    See Also
    --------
    acid : The bottle itself, with its strength and caution.

    Notes
    -----
    Acids are for trained adults, and go into water, never the other way round.

    Examples
    --------
    >>> round(acid_as_nutrient_source("phosphoric acid 75 %").share("P").m_as("percent"), 1)
    23.7
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
        "calcium" if anion == "NO3-" else "sulfate and phosphate",
        bottle.caution.removeprefix("Caution: ").rstrip("."),
    )
