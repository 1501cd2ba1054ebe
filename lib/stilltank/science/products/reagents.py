"""What acids and bases have in common: a bottle or bag with a name, a strength, a hazard, and what it adds."""

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any, ClassVar, TypeVar

from stilltank.science.chemistry import molar_mass
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Q, Unreadable, one_value, takes, within

from .acid_density import checked_label, listed

_RULES = "The safety data sheet and local rules come first."
_CAUTIONS = MappingProxyType(
    {
        "concentrate": "Caution: corrosive. For the teacher or another trained adult only: goggles, gloves, apron; "
        f"acid into water. {_RULES}",
        "diluted": "Caution: harms eyes and skin. For the teacher or another trained adult: goggles, gloves; acid "
        f"into water. {_RULES}",
        "class": f"Caution: goggles and gloves; acid into water. {_RULES}",
        "solid": "Caution: dust irritates the eyes: goggles and gloves; dissolve it in a jug of water first. "
        f"{_RULES}",
        "caustic solid": "Caution: corrosive; a splash of it blinds. For the teacher or another trained adult only: "
        "splash goggles, gloves, apron; a little at a time into much cold water, which grows hot, never water onto "
        f"the solid. {_RULES}",
        "caustic": "Caution: corrosive; a splash blinds, and skin does not feel it at first. For the teacher or "
        f"another trained adult only: splash goggles, gloves, apron; the base into water. {_RULES}",
        "alkaline": "Caution: harms the eyes, worse than an acid of the same strength: splash goggles and gloves, "
        f"with the teacher standing by; the base into water. {_RULES}",
        "alkaline solid": "Caution: harms the eyes and irritates the skin: splash goggles and gloves; no dust; "
        f"dissolve it in a jug of water first. {_RULES}",
        "mild solid": "Caution: dust irritates the eyes: goggles and gloves; dissolve it in a jug of water first. "
        f"{_RULES}",
    }
)
_ADULT = frozenset({"concentrate", "diluted", "caustic solid", "caustic"})


@dataclass(frozen=True)
class Kind:
    """What one molecule is good for."""

    protons: int
    """The most H+ it gives, or takes."""
    brings: Mapping[str, float]
    """What it adds to a state of ``equilibrium``."""
    element: str
    """The element it adds that plants take or that stays behind; empty for citric acid."""
    atoms: int = 1
    """How many of them."""


@dataclass(frozen=True)
class Reagent:
    """One bottle or bag; make one with ``acid(name)`` or ``base(name)``.

    ``strength`` is the share of the mass and ``density`` that of the liquid (None for a solid, and for a
    dilution stated in mol/L); ``concentration`` is in mol/L, None for a solid.
    """

    name: str
    formula: str
    strength: Any
    density: Any
    concentration: Any
    hazard: str
    doubt: str = ""
    """A sentence where strength and density of its label hardly belong together."""

    table: ClassVar[str] = ""
    """Of data/, where these stand."""
    called: ClassVar[str] = ""
    """"acid" or "base"."""
    example: ClassVar[str] = ""
    kinds: ClassVar[Mapping[str, Kind]] = MappingProxyType({})
    """By anhydrous formula."""

    @property
    def kind(self) -> Kind:
        """What one molecule is good for."""
        return self.kinds[self.formula.split(".")[0]]

    @property
    def protons(self) -> int:
        """The most H+ one molecule can give or take. What it does at a pH is computed with the dose."""
        return self.kind.protons

    @property
    def reagent(self) -> Mapping[str, float]:
        """What one mole adds to a state of ``equilibrium``."""
        return MappingProxyType(dict(self.kind.brings))

    @property
    def element(self) -> str:
        """The element it adds; empty for citric acid."""
        return self.kind.element

    @property
    def molar_mass(self) -> Any:
        """g/mol."""
        return molar_mass(self.formula)

    @property
    def caution(self) -> str:
        """One line for whoever handles it."""
        return _CAUTIONS[self.hazard]

    @property
    def adult_only(self) -> bool:
        """Whether only the teacher or another trained adult handles it."""
        return self.hazard in _ADULT

    @takes(amount="mmol/L")
    def adds(self, amount: Any) -> Mapping[str, Any]:
        """What an amount of it adds to each litre, mg/L by element; empty for citric acid.

        Example
        -------
        >>> from stilltank.science.products import base
        >>> round(base("potassium carbonate").adds(Q(1, "mmol/L"))["K"].m_as("mg/L"), 1)
        78.2
        """
        if not self.element:
            return MappingProxyType({})
        each = self.kind.atoms * molar_mass(self.element).m_as("g/mol")
        return MappingProxyType({self.element: Q(amount * each, "mg/L")})

    @takes(amount="mmol")
    def volume(self, amount: Any) -> Any:
        """Volume of this reagent that holds an amount of it; None for a solid.

        Example
        -------
        >>> from stilltank.science.products import acid
        >>> f'{acid("nitric acid 61.4 %").volume(Q(1000, "mmol")).m_as("mL"):.1f} mL'
        '74.5 mL'
        """
        return None if self.concentration is None else Q(amount / self.concentration.m_as("mol/L"), "mL")

    @takes(amount="mmol")
    def mass(self, amount: Any) -> Any:
        """Mass of this reagent, water in it included, that holds an amount; None for a dilution in mol/L.

        Example
        -------
        >>> from stilltank.science.products import acid
        >>> f'{acid("citric acid").mass(Q(10, "mmol")).m_as("g"):.2f} g'
        '1.92 g'
        """
        if self.strength is None:
            return None
        return Q(amount / 1000 * self.molar_mass.m_as("g/mol") / self.strength.m_as("dimensionless"), "g")

    def measured(self, amount: Any) -> str:
        """An amount of it as a jug or a balance shows it: "61.1 mL", or "1.92 g" of a solid.

        Example
        -------
        >>> from stilltank.science.products import acid
        >>> acid("nitric acid 0.5 mol/L").measured(Q(61.13, "mmol"))
        '122 mL'
        """
        volume = self.volume(amount)
        if volume is None:
            return f"{figures(self.mass(amount).m_as('g'))} g"
        return f"{figures(volume.m_as('mL'))} mL"

    def __str__(self) -> str:
        if self.concentration is None:
            return f"{self.name} ({self.formula}, a solid)"
        label = "" if self.density is None else f", {self.density.m_as('g/mL'):.4g} g/mL"
        doubt = f" {self.doubt}" if self.doubt else ""
        return f"{self.name} ({self.formula}, {self.concentration.m_as('mol/L'):.4g} mol/L{label}){doubt}"


def dilution_hazard(of: Reagent, concentration: float, learners: float) -> str:
    """The hazard of a dilution of this reagent, mol/L, where learners may handle up to ``learners`` mol/L."""
    acidic = of.called == "acid"
    if concentration <= learners:
        return "class" if acidic else "alkaline"
    if not acidic:
        return "caustic"
    # citric acid, the one that adds no element, irritates at any strength
    corrosive = bool(of.element) and concentration > number("dosing", "ladder", "corrosive above", "mol/L")
    return "concentrate" if corrosive else "diluted"


def caution_for(hazard: str) -> tuple[str, bool]:
    """The caution of a hazard, and whether it is for adults only."""
    return _CAUTIONS[hazard], hazard in _ADULT


R = TypeVar("R", bound=Reagent)


def bottle(family: type[R], name: str, strength: Any, density: Any) -> R:
    """Look up a reagent of one family; strength and density as its label reads.

    Raises Unreadable, UnitNeeded, OutOfRange as ``acid`` and ``base``.
    """
    word = family.called
    strength = None if strength is None else one_value(strength, "percent", "strength", word)
    density = None if density is None else one_value(density, "g/mL", "density", word)
    if strength is not None and density is not None and (own := _of_plain_name(family, name)) is not None:
        return _own_bottle(family, *own, strength, density)
    row = load(family.table).of(_find(family, name))
    item = next(iter(row.values())).item
    stated = {key: entry.quantity for key, entry in row.items()}
    found = family(
        item,
        stated["formula"],
        stated.get("strength"),
        stated.get("density"),
        stated.get("concentration"),
        stated["hazard"],
    )
    if strength is not None or density is not None:
        return _labelled(found, strength, density)
    if found.concentration is None and found.density is not None:
        found = replace(found, concentration=(found.strength * found.density / found.molar_mass).to("mol/L"))
    return found


def _of_plain_name(family: type[R], name: Any) -> tuple[str, str] | None:
    """Plain name and formula of a liquid that is named without its strength, such as "nitric acid" or "HNO3"."""
    if not isinstance(name, str):
        return None
    for formula in family.kinds:
        plain = listed(formula)
        if plain is not None and (name.strip() == formula or _plain(name) == _plain(plain)):
            return plain, formula
    return None


def _own_bottle(family: type[R], plain: str, formula: str, strength: float, density: float) -> R:
    """A liquid by the strength and density of somebody's label."""
    blank = family(plain, formula, None, None, None, "")
    _believable(blank, strength, "strength", "percent")
    _believable(blank, density, "density", "g/mL")
    doubt = checked_label(plain, strength, density)
    share, heavy = Q(strength, "percent"), Q(density, "g/mL")
    moles = (share * heavy / blank.molar_mass).to("mol/L")
    hazard = dilution_hazard(blank, float(moles.m_as("mol/L")), learners_limit(blank))
    return replace(
        blank, name=f"{plain}, {strength:g} %", strength=share, density=heavy, concentration=moles, hazard=hazard,
        doubt=doubt,
    )  # fmt: skip


def learners_limit(of: Reagent) -> float:
    """mol/L that learners may handle."""
    item = "strength for learners" if of.called == "acid" else "strength of a base for learners"
    return number("dosing", "ladder", item, "mol/L")


def _labelled(found: R, strength: float | None, density: float | None) -> R:
    """The same reagent with the strength and density of somebody's label."""
    solid = found.concentration is None and found.density is None
    if found.concentration is not None or (solid and density is not None):
        what = "density" if solid else "label strength and density"
        raise OutOfRange(f"{found.name} has no {what} to change; choose a bottled {found.called}.")
    percent = float(found.strength.m_as("percent")) if strength is None else strength
    if solid:
        _believable(found, percent, "strength", "percent")
        plain = re.sub(r"\s*[\d.]+\s*%$", "", found.name)
        return replace(found, name=f"{plain}, {percent:g} %", strength=Q(percent, "percent"))
    if density is None:
        raise OutOfRange(
            f"A strength of {percent:g} percent has its own density. Give density too, as the label reads, "
            'such as density=Q(1.37, "g/mL").'
        )
    labelled = _own_bottle(type(found), listed(found.formula) or found.name, found.formula, percent, density)
    return labelled if strength is not None else replace(labelled, name=found.name)


def _believable(of: Reagent, stated: float, what: str, unit: str) -> None:
    low, high = (
        number("equilibrium", "label of an acid", f"{end} {what}", unit) for end in ("lowest", "highest")
    )
    within(
        stated,
        low,
        high,
        f"The {what} of {_a(of.called)} lies between {low:g} and {high:g} {unit}; {{value:g}} does not.",
    )


def known(family: type[Reagent], name: Any) -> bool:
    """Whether a text names, or begins to name, a reagent of this family; spaces and capitals aside."""
    if not isinstance(name, str) or not name.strip():
        return False
    items, formula = load(family.table).items_named, name.strip()
    return formula in family.kinds or any(_plain(item).startswith(_plain(name)) for item in items)


def _find(family: type[Reagent], name: Any) -> str:
    """The table's name for what a person wrote."""
    word, table = family.called, load(family.table)
    if not isinstance(name, str):
        raise Unreadable(
            f'{_a(word).capitalize()} has a name, such as "{family.example}"; {name!r} is not one.'
        )
    plain = {_plain(item): item for item in table.items_named}
    if _plain(name) in plain:
        return plain[_plain(name)]
    several = [
        item
        for key, item in plain.items()
        if name.strip() and (key.startswith(_plain(name)) or table[item, "formula"].value == name.strip())
    ]
    if several:
        raise Unreadable(f"{name!r} does not say how strong. Write one of: {', '.join(several)}.")
    near = difflib.get_close_matches(_plain(name), plain, n=3, cutoff=0.5)
    listed = ", ".join(plain[key] for key in near) or ", ".join(table.items_named)
    raise Unreadable(f"No {word} is called {name!r} here. Choose from: {listed}.")


def figures(number: float) -> str:
    """A number with three figures, as in a sentence."""
    return f"{number:.3g}" if abs(number) < 100 else f"{number:.0f}"


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _plain(name: str) -> str:
    written = name.lower().replace("sulph", "sulf")  # as the British write it
    return re.sub(r"\s+|percent", lambda gap: "%" if gap.group() == "percent" else "", written)
