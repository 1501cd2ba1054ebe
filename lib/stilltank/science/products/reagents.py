"""What acids and bases have in common: a bottle or bag with a name, a strength, a hazard, and what it adds."""

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from reprlib import repr as short
from types import MappingProxyType
from typing import Any, ClassVar, TypeVar

import numpy as np

from stilltank.science.chemistry import molar_mass
from stilltank.tables import load, number
from stilltank.units import (
    OutOfRange,
    PlainNumber,
    Problem,
    Q,
    Quantity,
    Unreadable,
    one_value,
    takes,
    within,
)

from .acid_density import bottle_density, checked_label, listed

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
    >>> from stilltank.science.products import acid
    >>> isinstance(acid("citric acid"), Reagent)
    True
    """

    name: str
    formula: str
    strength: Quantity | None
    density: Quantity | None
    concentration: Quantity | None
    hazard: str
    doubt: str = ""

    table: ClassVar[str] = ""
    """Of data/, where these are kept."""
    called: ClassVar[str] = "acid or base"
    """What a sentence calls it."""
    example: ClassVar[str] = ""
    kinds: ClassVar[Mapping[str, Kind]] = MappingProxyType({})
    """By anhydrous formula."""

    @property
    def kind(self) -> Kind:
        """What one molecule is good for.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> acid("citric acid").kind.protons
        3
        """
        return self.kinds[self.formula.split(".")[0]]

    @property
    def protons(self) -> int:
        """The most H+ one molecule can give or take. What it does at a pH is computed with the dose.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> acid("phosphoric acid 75 %").protons
        3
        """
        return self.kind.protons

    @property
    def reagent(self) -> Mapping[str, float]:
        """What one mole adds to a state of ``equilibrium``.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> dict(acid("phosphoric acid 75 %").reagent)
        {'P': 1}
        """
        return MappingProxyType(dict(self.kind.brings))

    @property
    def element(self) -> str:
        """The element it adds; empty for citric acid.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> acid("nitric acid 38 %").element
        'N'
        """
        return self.kind.element

    @property
    def substance(self) -> str:
        """Plain name of the pure substance, without a strength.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> acid("nitric acid 0.5 mol/L").substance
        'nitric acid'
        """
        return substances(type(self))[self.formula]

    @property
    def molar_mass(self) -> Quantity:
        """Molar mass of the pure substance, g/mol.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> round(acid("citric acid").molar_mass.m_as("g/mol"), 1)
        192.1
        """
        return molar_mass(self.formula)

    @property
    def caution(self) -> str:
        """One line for whoever handles it.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> acid("nitric acid 61.4 %").caution[:18]
        'Caution: corrosive'
        """
        return _CAUTIONS[self.hazard]

    @property
    def adult_only(self) -> bool:
        """True if only the teacher or another trained adult handles it.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> acid("nitric acid 61.4 %").adult_only
        True
        """
        return self.hazard in _ADULT

    @takes(amount="mmol/L")
    def adds(self, amount: Quantity) -> Mapping[str, Quantity]:
        """What an amount of it adds to each litre.

        Parameters
        ----------
        amount : Quantity
            mmol/L, one value or an array.

        Returns
        -------
        mapping of str to Quantity
            mg/L by element; empty for citric acid.

        Raises
        ------
        UnitNeeded
            It is no amount in each litre.

        Examples
        --------
        >>> from stilltank.science.products import base
        >>> round(base("potassium carbonate").adds(Q(1, "mmol/L"))["K"].m_as("mg/L"), 1)
        78.2
        """
        if not self.element:
            return MappingProxyType({})
        each = self.kind.atoms * molar_mass(self.element).m_as("g/mol")
        return MappingProxyType({self.element: Q(amount * each, "mg/L")})

    @takes(amount="mmol")
    def volume(self, amount: Quantity) -> Quantity | None:
        """Volume of this reagent that holds an amount of it.

        Parameters
        ----------
        amount : Quantity
            mmol, one value or an array.

        Returns
        -------
        Quantity or None
            mL; None for a solid.

        Raises
        ------
        UnitNeeded
            It is no amount of substance.

        See Also
        --------
        mass : The same by weight.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> f'{acid("nitric acid 61.4 %").volume(Q(1000, "mmol")).m_as("mL"):.1f} mL'
        '74.5 mL'
        """
        return None if self.concentration is None else Q(amount / self.concentration.m_as("mol/L"), "mL")

    @takes(amount="mmol")
    def mass(self, amount: Quantity) -> Quantity | None:
        """Mass of this reagent, water in it included, that holds an amount.

        Parameters
        ----------
        amount : Quantity
            mmol, one value or an array.

        Returns
        -------
        Quantity or None
            Grams; None for a dilution in mol/L.

        Raises
        ------
        UnitNeeded
            It is no amount of substance.

        See Also
        --------
        volume : The same by volume.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> f'{acid("citric acid").mass(Q(10, "mmol")).m_as("g"):.2f} g'
        '1.92 g'
        """
        if self.strength is None:
            return None
        return Q(amount / 1000 * self.molar_mass.m_as("g/mol") / self.strength.m_as("dimensionless"), "g")

    def measured(self, amount: Quantity) -> str:
        """Write an amount of it as a jug or a balance shows it.

        Parameters
        ----------
        amount : Quantity
            mmol, one value.

        Returns
        -------
        str
            Such as "61.1 mL", or "1.92 g" of a solid.

        Raises
        ------
        UnitNeeded
            It is no amount of substance.
        Problem
            There are several values.

        Examples
        --------
        >>> from stilltank.science.products import acid
        >>> acid("nitric acid 0.5 mol/L").measured(Q(61.13, "mmol"))
        '122 mL'
        """
        mmol = Q(one_value(amount, "mmol", "amount", "measured"), "mmol")
        volume = self.volume(mmol)
        if volume is not None:
            return f"{figures(volume.m_as('mL'))} mL"
        mass = self.mass(mmol)  # a solid has a strength, so it has one
        return "" if mass is None else f"{figures(mass.m_as('g'))} g"

    def __str__(self) -> str:
        if self.concentration is None:
            return f"{self.name} ({self.formula}, a solid)"
        label = "" if self.density is None else f", {self.density.m_as('g/mL'):.4g} g/mL"
        doubt = f" {self.doubt}" if self.doubt else ""
        return f"{self.name} ({self.formula}, {self.concentration.m_as('mol/L'):.4g} mol/L{label}){doubt}"


@takes(of=Reagent, concentration=PlainNumber(0.5), learners=PlainNumber(0.1))
def dilution_hazard(of: Reagent, concentration: float, learners: float) -> str:
    """Hazard of a dilution of a reagent.

    Parameters
    ----------
    of : Reagent
        What is diluted.
    concentration : float
        Plain mol/L of the dilution.
    learners : float
        Plain mol/L that learners may handle, see ``learners_limit``.

    Returns
    -------
    str
        For ``caution_for``.

    Raises
    ------
    Unreadable
        It is no Reagent, or something is no plain number.

    Examples
    --------
    >>> from stilltank.science.products import acid
    >>> dilution_hazard(acid("nitric acid 61.4 %"), 0.05, 0.1)
    'class'
    """
    _single(concentration, "concentration", "dilution_hazard")
    _single(learners, "learners", "dilution_hazard")
    acidic = of.called == "acid"
    if concentration <= learners:
        return "class" if acidic else "alkaline"
    if not acidic:
        return "caustic"
    # citric acid, the one that adds no element, irritates at any strength
    corrosive = bool(of.element) and concentration > number("dosing", "ladder", "corrosive above", "mol/L")
    return "concentrate" if corrosive else "diluted"


@takes(hazard=tuple(_CAUTIONS))
def caution_for(hazard: str) -> tuple[str, bool]:
    """Find the caution of a hazard.

    Parameters
    ----------
    hazard : str
        As a Reagent or ``dilution_hazard`` states it.

    Returns
    -------
    tuple of str and bool
        The caution, and True if it is for adults only.

    Raises
    ------
    Unreadable
        There is no such hazard.

    Examples
    --------
    >>> caution_for("caustic")[1]
    True
    """
    return _CAUTIONS[hazard], hazard in _ADULT


R = TypeVar("R", bound=Reagent)


def bottle(
    family: type[R],
    name: str,
    strength: Quantity | None,
    density: Quantity | None,
    concentration: Quantity | None = None,
) -> R:
    """Look up a reagent of one family; strength and density, or mol/L, as its label reads."""
    word = family.called
    if concentration is not None:
        if strength is not None or density is not None:
            raise OutOfRange(
                f"{_a(word).capitalize()} is stated in mol/L, or by its strength in percent; give one of the two."
            )
        return _own_dilution(family, name, one_value(concentration, "mol/L", "concentration", word))
    percent = None if strength is None else one_value(strength, "percent", "strength", word)
    heavy = None if density is None else one_value(density, "g/mL", "density", word)
    own = _of_plain_name(family, name) if percent is not None else None
    if percent is not None and own is not None and (heavy is not None or _a_liquid(own[0], percent)):
        dense = float(bottle_density(own[0], Q(percent, "percent")).m_as("g/mL")) if heavy is None else heavy
        return _own_bottle(family, *own, percent, dense)
    if own is not None:  # a solid with its assay
        rows = load(family.table)
        name = next(
            item for item in rows.items_named
            if rows[item, "formula"].value == own[1] and (item, "strength") in rows and (item, "density") not in rows
        )  # fmt: skip
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
    if percent is not None or heavy is not None:
        return _labelled(found, percent, heavy)
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


def _a_liquid(plain: str, percent: float) -> bool:
    """Whether a strength is that of a liquid; what is stronger than any liquid is a solid with its assay."""
    solid = {"citric acid", "potassium hydroxide"}
    return plain not in solid or percent <= number("acid-density", plain, "highest strength", "percent")


def _own_dilution(family: type[R], name: object, molar: float) -> R:
    """A dilution stated in mol/L, made by somebody or bought."""
    plain, formula = _substance(family, name)
    blank = family(plain, formula, None, None, None, "")
    grams = float(blank.molar_mass.m_as("g/mol"))
    if (liquid := listed(formula)) is not None:
        percent = number("acid-density", liquid, "highest strength", "percent")
        heavy = float(bottle_density(liquid, Q(percent, "percent")).m_as("g/mL"))
    else:
        percent, heavy = (
            number("equilibrium", "label of an acid", f"highest {what}", unit)
            for what, unit in (("strength", "percent"), ("density", "g/mL"))
        )
    most = 10 * percent * heavy / grams
    within(
        molar, 1e-4, most,
        f"{plain.capitalize()} has more than nothing and at most {most:.3g} mol/L; {{value:g}} does not fit.",
    )  # fmt: skip
    hazard = dilution_hazard(blank, molar, learners_limit(blank))
    return replace(blank, name=f"{plain} {molar:g} mol/L", concentration=Q(molar, "mol/L"), hazard=hazard)


def _substance(family: type[R], name: object) -> tuple[str, str]:
    """Plain name and formula of a substance, from either of them."""
    known_ones = substances(family)
    for formula, plain in known_ones.items():
        if isinstance(name, str) and (name.strip() == formula or _plain(name) == _plain(plain)):
            return plain, formula
    raise Unreadable(
        f"No {family.called} is called {short(name)} here. Choose from: {', '.join(known_ones.values())}."
    )


def substances(family: type[Reagent]) -> Mapping[str, str]:
    """Plain names of the acids, or of the bases, that the workbook knows.

    Parameters
    ----------
    family : type
        ``Acid`` or ``Base``.

    Returns
    -------
    mapping of str to str
        By formula, without a strength.

    Raises
    ------
    Unreadable
        The family is no class of reagents.

    Examples
    --------
    >>> from stilltank.science.products import Acid
    >>> substances(Acid)["H3PO4"]
    'phosphoric acid'
    """
    if not isinstance(family, type) or not issubclass(family, Reagent):
        raise Unreadable(f"substances needs Acid or Base for `family`; {short(family)} is neither.")
    rows = load(family.table)
    formulas = dict.fromkeys(str(rows[item, "formula"].value) for item in rows.items_named)
    found = {}
    for formula in formulas:
        item = next(item for item in rows.items_named if rows[item, "formula"].value == formula)
        found[formula] = re.sub(r"\s+(pellets\s+)?[\d.]+\s*(%|mol/L)$", "", item)
    return MappingProxyType(found)


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


@takes(of=Reagent)
def learners_limit(of: Reagent) -> float:
    """Strongest dilution of a reagent that learners may handle.

    Parameters
    ----------
    of : Reagent
        An acid or a base.

    Returns
    -------
    float
        Plain mol/L.

    Raises
    ------
    Unreadable
        It is no Reagent.

    Examples
    --------
    >>> from stilltank.science.products import acid
    >>> learners_limit(acid("nitric acid 61.4 %"))
    0.5
    """
    item = "strength for learners" if of.called == "acid" else "strength of a base for learners"
    return number("dosing", "ladder", item, "mol/L")


def _labelled(found: R, strength: float | None, density: float | None) -> R:
    """The same reagent with the strength and density of somebody's label."""
    solid = found.concentration is None and found.density is None
    if found.concentration is not None or (solid and density is not None):
        what = "density" if solid else "label strength and density"
        raise OutOfRange(f"{found.name} has no {what} to change; choose a bottled {found.called}.")
    assert found.strength is not None  # only a dilution in mol/L has none, and that is refused above
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


def known(family: type[Reagent], name: object) -> bool:
    """Return True if a text names, or begins to name, a reagent of a family; spaces and capitals aside.

    Parameters
    ----------
    family : type
        ``Acid`` or ``Base``.
    name : object
        What a person wrote.

    Returns
    -------
    bool
        False for anything else, also for what is no text.

    Raises
    ------
    Unreadable
        The family is no class of reagents.

    Examples
    --------
    >>> from stilltank.science.products import Acid
    >>> known(Acid, "Nitric Acid"), known(Acid, "vinegar")
    (True, False)
    """
    if not isinstance(family, type) or not issubclass(family, Reagent):
        raise Unreadable(f"known needs Acid or Base for `family`; {short(family)} is neither.")
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


@takes(number=PlainNumber(61.1))
def figures(number: float) -> str:
    """Write a number with three figures, as in a sentence.

    Parameters
    ----------
    number : float
        A plain number.

    Returns
    -------
    str
        Such as "61.1".

    Raises
    ------
    Unreadable
        It is no plain number.

    Examples
    --------
    >>> figures(61.13), figures(1234.5)
    ('61.1', '1234')
    """
    _single(number, "number", "figures")
    return f"{number:.3g}" if abs(number) < 100 else f"{number:.0f}"


def _single(number: Any, name: str, function: str) -> None:
    if np.ndim(number):
        raise Problem(f"{function} takes one value for `{name}`; you gave {np.size(number)}.")


def _a(word: str) -> str:
    return f"an {word}" if word[0] in "aeiou" else f"a {word}"


def _plain(name: str) -> str:
    written = name.lower().replace("sulph", "sulf")  # as the British write it
    return re.sub(r"\s+|percent", lambda gap: "%" if gap.group() == "percent" else "", written)
