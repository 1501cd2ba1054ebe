"""Acids by the bottle: what is in it, how strong, what it adds besides H+."""

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from ...tables import load, number
from ...units import OutOfRange, Q, Unreadable, single, takes, within
from ..composition import molar_mass

# By anhydrous formula: the most H+ a molecule gives, what it adds to a state, and to the plants.
_KINDS: Mapping[str, tuple[int, Mapping[str, float], str]] = MappingProxyType(
    {
        "HNO3": (1, {"NO3": 1, "strong_charge": -1}, "N"),
        "H3PO4": (3, {"P": 1}, "P"),
        "H2SO4": (2, {"SO4": 1, "strong_charge": -2}, "S"),
        "HCl": (1, {"Cl": 1, "strong_charge": -1}, "Cl"),
        "C6H8O7": (3, {"citrate": 1}, ""),
    }
)

_CAUTIONS = MappingProxyType(
    {
        "concentrate": "Caution: corrosive. For the teacher or another trained adult only: goggles, gloves, apron; "
        "acid into water. The safety data sheet and local rules come first.",
        "diluted": "Caution: harms eyes and skin. For the teacher or another trained adult: goggles, gloves; acid "
        "into water. The safety data sheet and local rules come first.",
        "class": "Caution: goggles and gloves; acid into water. The safety data sheet and local rules come first.",
        "solid": "Caution: dust irritates the eyes: goggles and gloves; dissolve it in a jug of water first. The "
        "safety data sheet and local rules come first.",
    }
)


@dataclass(frozen=True)
class Acid:
    """One bottle or bag of acid; make one with ``acid(name)``.

    ``strength`` is the share of the mass and ``density`` that of the liquid (None for a solid, and for a
    dilution stated in mol/L); ``concentration`` is in mol/L, None for a solid.
    """

    name: str
    formula: str
    strength: Any
    density: Any
    concentration: Any
    hazard: str

    @property
    def protons(self) -> int:
        """The most H+ one molecule can give. What it gives at a pH is computed with the dose."""
        return _KINDS[_anhydrous(self.formula)][0]

    @property
    def reagent(self) -> Mapping[str, float]:
        """What one mole adds to a state of ``equilibrium``."""
        return MappingProxyType(_KINDS[_anhydrous(self.formula)][1])

    @property
    def element(self) -> str:
        """The element it adds; empty for citric acid."""
        return _KINDS[_anhydrous(self.formula)][2]

    @property
    def molar_mass(self) -> Any:
        """g/mol."""
        return molar_mass(self.formula)

    @property
    def caution(self) -> str:
        """One line for whoever handles it."""
        return _CAUTIONS[self.hazard]

    @takes(amount="mmol")
    def volume(self, amount: Any) -> Any:
        """Volume of this acid that holds an amount of it; None for a solid.

        Example
        -------
        >>> f'{acid("nitric acid 61.4 %").volume(Q(1000, "mmol")).m_as("mL"):.1f} mL'
        '74.5 mL'
        """
        return None if self.concentration is None else Q(amount / self.concentration.m_as("mol/L"), "mL")

    @takes(amount="mmol")
    def mass(self, amount: Any) -> Any:
        """Mass of this acid, water in it included, that holds an amount; None for a dilution in mol/L.

        Example
        -------
        >>> f'{acid("citric acid").mass(Q(10, "mmol")).m_as("g"):.2f} g'
        '1.92 g'
        """
        if self.strength is None:
            return None
        return Q(amount / 1000 * self.molar_mass.m_as("g/mol") / self.strength.m_as("dimensionless"), "g")

    def __str__(self) -> str:
        if self.concentration is None:
            return f"{self.name} ({self.formula}, a solid)"
        label = "" if self.density is None else f", {self.density.m_as('g/mL'):.4g} g/mL"
        return f"{self.name} ({self.formula}, {self.concentration.m_as('mol/L'):.4g} mol/L{label})"


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
        Such as ``"phosphoric acid 75 %"``; ``acid_names()`` lists them.
    strength : quantity, percent of the mass, optional
    density : quantity, g/mL, optional
        Needed with another strength, since it belongs to it.

    Returns
    -------
    Acid

    Raises
    ------
    Unreadable   no such acid, or a name or formula that does not say how strong
    UnitNeeded   strength or density without a unit
    OutOfRange   a strength or density no acid has, or one without the other

    Example
    -------
    >>> print(acid("phosphoric acid 85 %"))
    phosphoric acid 85 % (H3PO4, 14.62 mol/L, 1.685 g/mL)
    >>> print(acid("nitric acid 61.4 %", strength=Q(60, "percent"), density=Q(1.367, "g/mL")))
    nitric acid, 60 % (HNO3, 13.02 mol/L, 1.367 g/mL)

    Limits: densities hold near 20 degC and are from memory; the label of the bottle is better.
    """
    strength = None if strength is None else single(strength, "percent", "strength", "acid")
    density = None if density is None else single(density, "g/mL", "density", "acid")
    row = load("acids").of(_find(name))
    item = next(iter(row.values())).item
    stated = {key: entry.quantity for key, entry in row.items()}
    found = Acid(
        item,
        stated["formula"],
        stated.get("strength"),
        stated.get("density"),
        stated.get("concentration"),
        stated["hazard"],
    )
    if strength is not None or density is not None:
        if found.density is None:
            raise OutOfRange(f"{item} has no label strength and density to change; choose a bottled acid.")
        if density is None:
            raise OutOfRange(
                f"A strength of {strength:g} percent has its own density. Give density too, as the label reads, "
                'such as density=Q(1.37, "g/mL").'
            )
        if strength is not None:
            _believable(strength, "strength", "percent")
            found = replace(
                found, name=f"{item.rsplit(' ', 2)[0]}, {strength:g} %", strength=Q(strength, "percent")
            )
        _believable(density, "density", "g/mL")
        found = replace(found, density=Q(density, "g/mL"))
    if found.concentration is None and found.density is not None:
        found = replace(found, concentration=(found.strength * found.density / found.molar_mass).to("mol/L"))
    return found


def _believable(stated: float, what: str, unit: str) -> None:
    low, high = (
        number("equilibrium", "label of an acid", f"{end} {what}", unit) for end in ("lowest", "highest")
    )
    within(
        stated,
        low,
        high,
        f"The {what} of an acid lies between {low:g} and {high:g} {unit}; {{value:g}} does not.",
    )


def _find(name: str) -> str:
    """The table's name for what a person wrote."""
    if not isinstance(name, str):
        raise Unreadable(f'An acid has a name, such as "phosphoric acid 75 %"; {name!r} is not one.')
    known = {_plain(item): item for item in acid_names()}
    if _plain(name) in known:
        return known[_plain(name)]
    several = [
        item
        for plain, item in known.items()
        if name.strip()
        and (plain.startswith(_plain(name)) or load("acids")[item, "formula"].value == name.strip())
    ]
    if several:
        raise Unreadable(f"{name!r} does not say how strong. Write one of: {', '.join(several)}.")
    near = difflib.get_close_matches(_plain(name), known, n=3, cutoff=0.5)
    listed = ", ".join(known[plain] for plain in near) or ", ".join(acid_names())
    raise Unreadable(f"No acid is called {name!r} here. Choose from: {listed}.")


def _plain(name: str) -> str:
    return re.sub(r"\s+|percent", lambda gap: "%" if gap.group() == "percent" else "", name.lower())


def _anhydrous(formula: str) -> str:
    return formula.split(".")[0]
