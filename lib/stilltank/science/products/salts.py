"""Salts: what each releases, which stock solution it belongs to, and how much of it dissolves."""

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from reprlib import repr as short
from types import MappingProxyType

from stilltank import tables
from stilltank.science.chemistry import (
    find_ion,
    ions,
    litres,
    molar_mass,
    normal_formula,
    water_in_a_litre,
)
from stilltank.units import Q, Quantity, Unreadable, one_value, within

from .labels import balanced
from .labels import released as _labelled

STOCK_NAMES = ("calcium", "sulfate and phosphate")
"""What the two stock solutions are called, by what they hold."""


def ions_of_nutrient(nutrient: str) -> tuple[tuple[str, ...], float]:
    """The ions that count for a nutrient a recipe names.

    Parameters
    ----------
    nutrient : str
        An element such as ``"K"``, or ``"NO3-N"`` or ``"NH4-N"``.

    Returns
    -------
    tuple of tuple of str and float
        The keys of the ions, and plain g for a mol of the nutrient.

    Raises
    ------
    Unreadable
        There is no such nutrient.

    Examples
    --------
    >>> ions_of_nutrient("NH4-N")[0], ions_of_nutrient("N")[0]
    (('NH4+',), ('NH4+', 'NO3-', 'NO2-'))
    """
    if not isinstance(nutrient, str):
        raise Unreadable(f'A nutrient is a text such as "N" or "NO3-N"; {short(nutrient)} is not.')
    elements = tuple(key for key, ion in ions().items() if ion.element == nutrient)
    if elements:
        return elements, molar_mass(nutrient).m_as("g/mol")
    found = find_ion(nutrient)
    if found is None:
        raise Unreadable(
            f"There is no nutrient {nutrient!r}. Write elements such as N, P, K, Ca, Mg, S, Fe, or NO3-N, NH4-N."
        )
    return (found[0],), molar_mass(found[1]).m_as("g/mol")


@dataclass(frozen=True, eq=False)
class Salt:
    """A salt or fertiliser as it is weighed.

    Make your own from a label with ``Salt.from_label``; the common ones come from ``salt(name)``.

    Parameters
    ----------
    name : str
        What it is called in sentences.
    formula : str
        Crystal water included; empty for a product that is known by its label only.
    release : mapping of str to float
        Plain mmol of each ion from one gram.
    part : str
        The stock solution it belongs to: "calcium", "sulfate and phosphate" or "either".
    hazard : str, optional
        What to mind, without the word caution.
    dry_solubility : Quantity, optional
        g of dry salt, without crystal water, in a kilogram of water at 20 degC; None where not known.
    dose : Quantity, optional
        g/L that the label advises; None where it does not say.
    notes : tuple of str, optional
        What was taken to be in it beyond its label, and what a reader should know.

    Examples
    --------
    >>> salt("KNO3").part
    'either'
    """

    name: str
    formula: str
    release: Mapping[str, float]
    part: str
    hazard: str = ""
    dry_solubility: Quantity | None = None
    dose: Quantity | None = None
    notes: tuple[str, ...] = ()

    @classmethod
    def from_label(
        cls,
        name: str,
        shares: Mapping[str, Quantity],
        part: str = "sulfate and phosphate",
        hazard: str = "",
        dose: Quantity | None = None,
    ) -> "Salt":
        """A product by the shares on its label.

        Labels rarely name everything: sulfate is often left out, and figures are rounded. The ions of a real product
        balance, so what is missing is added, and ``notes`` says what and how much: sulfate for missing negative charge
        (chloride where so much sulfate has no room), H+ on phosphate or a little sodium for missing positive charge.
        Nothing of it turns into alkalinity.

        Parameters
        ----------
        name : str
            Your name for it.
        shares : mapping of str to Quantity
            Percent of the mass, by names such as ``"NO3-N"``, ``"NH4-N"``, ``"urea-N"``, ``"P2O5"``, ``"K2O"``,
            ``"CaO"``, ``"MgO"``, ``"S"``, ``"Fe as EDTA"``, or elements such as ``"K"``.
        part : str, optional
            The stock solution it belongs to: "calcium", "sulfate and phosphate" or "either".
        hazard : str, optional
            What to mind, without the word caution.
        dose : Quantity, optional
            g/L that the label advises, such as ``Q(1, "g/L")`` or ``Q(36, "g") / Q(57, "L")``.

        Returns
        -------
        Salt
            For ``mix``, ``weigh_out`` and ``stocks``.

        Raises
        ------
        Unreadable
            A name is unknown, an element is stated twice, or "N" does not say which.
        UnitNeeded
            A share or the dose has no unit.
        OutOfRange
            A share or the dose cannot be.
        Problem
            The charge is so far from balance that nobody can tell what is missing.

        Notes
        -----
        Urea is not counted as nitrogen, for a still tank hardly turns it into what plants take up. That the charges
        balance is physics; which ion closes the balance is common practice.

        Examples
        --------
        >>> percent = lambda number: Q(number, "percent")
        >>> mine = Salt.from_label("blend", {"NO3-N": percent(5), "P2O5": percent(12), "K2O": percent(26)})
        >>> round(mine.share("S").m_as("percent"), 2)
        0.42
        >>> print(mine.notes[0])
        blend: the label names too little negative charge; counted as 0.42 % S (sulfate), which labels often leave out.
        """
        for what, text in (("name", name), ("hazard", hazard)):
            if not isinstance(text, str):
                raise Unreadable(f"Salt.from_label needs a text for `{what}`; {short(text)} is none.")
        release = _labelled(name, shares)
        if not isinstance(part, str) or part not in (*STOCK_NAMES, "either"):
            raise Unreadable(
                f'part says which stock solution. Write "calcium", "sulfate and phosphate" or "either"; {part!r} is '
                "not one of these."
            )
        advised = None
        if dose is not None:
            advised = Q(one_value(dose, "g/L", "dose", "Salt.from_label"), "g/L")
            most = tables.number("mixing", "label", "highest dose", "g/L")
            within(
                advised.magnitude, 1e-6, most,
                f"A label advises more than zero and at most {most:g} g in a litre; {{value:g}} is "
                "outside. Check the unit.",
            )  # fmt: skip
        closed, notes = balanced(name, release)
        return cls(name, "", MappingProxyType(closed), part, hazard, None, advised, notes)

    def share(self, nutrient: str) -> Quantity:
        """Share of a nutrient in the mass.

        Parameters
        ----------
        nutrient : str
            An element, or ``"NO3-N"`` or ``"NH4-N"``.

        Returns
        -------
        Quantity
            Percent of the mass; 0 where there is none.

        Raises
        ------
        Unreadable
            There is no such nutrient.

        Examples
        --------
        >>> f'{salt("KNO3").share("K").m_as("percent"):.1f} %'
        '38.7 %'
        """
        keys, gram = ions_of_nutrient(nutrient)
        return Q(gram * sum(self.release.get(key, 0.0) for key in keys) / 10, "percent")

    @cached_property
    def anhydrous_share(self) -> float:
        """Mass without crystal water over mass as weighed, 0 to 1; 1 where no formula is known.

        Examples
        --------
        >>> round(salt("MgSO4.7H2O").anhydrous_share, 2)
        0.49
        """
        if not self.formula:
            return 1.0
        water = re.search(r"\.(\d*)H2O$", self.formula)
        if not water:
            return 1.0
        waters = int(water.group(1) or 1) * molar_mass("H2O").m_as("g/mol")
        return float(1 - waters / molar_mass(self.formula).m_as("g/mol"))

    def __str__(self) -> str:
        listed = ", ".join(
            f"{element} {self.share(element).m_as('percent'):.2f} %"
            for element in dict.fromkeys(ions()[key].element for key in self.release)
            if element
        )
        formula = f" ({self.formula})" if self.formula else ""
        hazard = f" Caution: {self.hazard}." if self.hazard else ""
        return "\n".join(
            [f"{self.name}{formula}: {listed or 'nothing that is counted'}.{hazard}", *self.notes]
        )


def _released(formula: str, text: str) -> dict[str, float]:
    """mmol of each ion from a gram, from words such as "1 K+, 1 NO3-"."""
    mass = molar_mass(formula).m_as("g/mol")
    pairs = (part.split(maxsplit=1) for part in text.split(", "))
    return {key: 1000 * float(count) / mass for count, key in pairs}


@cache
def salts() -> Mapping[str, Salt]:
    """All salts that the workbook knows.

    Returns
    -------
    mapping of str to Salt
        The items of data/salts.csv, by name.

    Examples
    --------
    >>> salts()["potassium nitrate"].formula
    'KNO3'
    """
    table = tables.load("salts")
    found = {}
    for name in table.items_named:
        row = table.of(name)
        formula = str(row["formula"].value) if "formula" in row else ""  # a product known by its label only
        if "ions" in row:
            release = _released(formula, str(row["ions"].value))
        else:
            release = {}
            for prop, entry in row.items():
                if prop.endswith(" share"):
                    key, counted = find_ion(prop.removesuffix(" share")) or ("", "")
                    percent = entry.quantity.m_as("percent")
                    release[key] = 10 * percent / molar_mass(counted).m_as("g/mol")
        solubility = None
        if "dry solubility" in row:
            solubility = row["dry solubility"].quantity
            if solubility.check("[substance]/[mass]"):
                solubility = solubility * molar_mass(_dry(formula))
            solubility = solubility.to("g/kg")
        found[name] = Salt(
            name,
            formula,
            MappingProxyType(release),
            str(row["part"].value),
            str(row["hazard"].value) if "hazard" in row else "",
            solubility,
        )
    return MappingProxyType(found)


def _dry(formula: str) -> str:
    """The formula without crystal water; of a double salt, its first salt."""
    return re.sub(r"^\d+", "", re.sub(r"\.\d*H2O$", "", formula).split(".")[0])


@cache
def _by_any_name() -> Mapping[str, Salt]:
    """Names, other names and formulas, in small letters; a formula that two share goes to the first."""
    table = tables.load("salts")
    found: dict[str, Salt] = {}
    for name, each in salts().items():
        row = table.of(name)
        others = str(row["names"].value).split(";") if "names" in row else []
        for written in filter(None, (name, *others, each.formula)):
            found.setdefault(written.strip().lower(), each)
    return MappingProxyType(found)


def salt(name: "str | Salt") -> Salt:
    """A salt by its name, another usual name, or its formula.

    Parameters
    ----------
    name : str or Salt
        Such as ``"potassium nitrate"``, ``"KNO3"``, ``"MgSO4·7H2O"``. Plain ``"calcium nitrate"`` is the
        fertiliser, counted by its label 15.5-0-0; ``"Ca(NO3)2.4H2O"`` is the pure tetrahydrate.

    Returns
    -------
    Salt
        As the table has it.

    Raises
    ------
    Unreadable
        There is no such salt; the sentence names near ones.

    See Also
    --------
    Salt.from_label : A product of your own.

    Examples
    --------
    >>> salt("KNO3").name
    'potassium nitrate'
    """
    if isinstance(name, Salt):
        return name
    if isinstance(name, str) and name.strip():
        known = _by_any_name()
        for written in (name.strip().lower(), normal_formula(name).lower()):
            if written in known:
                return known[written]
        near = difflib.get_close_matches(name.strip().lower(), known, n=3, cutoff=0.5) or list(salts())[:6]
        raise Unreadable(
            f"No salt is called {name!r}. Near names: {', '.join(near)}. "
            "A product of your own goes by its label: Salt.from_label(...)."
        )
    raise Unreadable(f'A salt is named by a text such as "potassium nitrate" or "KNO3"; {name!r} is not.')


def soluble_mass(name: "str | Salt", volume: Quantity | None = None) -> Quantity | None:
    """How much of a bag dissolves in a volume of concentrate at 20 degC, as it is weighed, crystal water included.

    Parameters
    ----------
    name : str or Salt
        As for ``salt``.
    volume : Quantity, optional
        Of the finished concentrate, one value or an array; 1 L when left out.

    Returns
    -------
    Quantity or None
        Grams, in the shape of ``volume``; None for a product whose solubility is not known.

    Raises
    ------
    Unreadable
        There is no such salt.
    UnitNeeded
        The volume has no unit.
    OutOfRange
        The volume is not above zero.

    Notes
    -----
    In pure water, alone; salts that share an ion dissolve less together. The water of the concentrate is counted as
    one gram less for each gram of dry salt, which errs on the safe side: by a seventh for potassium nitrate, by a
    quarter to a third for the nitrates of ammonium and calcium (densities from memory).

    References
    ----------
    HandbookSolubility; data/salts.csv says which solubility is whose.

    Examples
    --------
    >>> [round(soluble_mass(name).m_as("g")) for name in ("KNO3", "Epsom salt")]
    [240, 515]
    """
    each = salt(name)
    whole = litres(Q(1, "L") if volume is None else volume, "soluble_mass")
    if each.dry_solubility is None:
        return None
    dry = each.dry_solubility.m_as("g/kg")
    water = water_in_a_litre(_ROOM) * whole  # kg, less a gram for each gram of dry salt
    return Q(dry * water / (1 + dry / 1000) / each.anhydrous_share, "g")


_ROOM = 20.0  # °C, the temperature the solubilities are stated at


@cache
def usual_salts() -> tuple[str, ...]:
    """The salts of the shelf this workbook starts from: enough for every element a plant needs.

    Returns
    -------
    tuple of str
        Their names, for ``salt``.

    Examples
    --------
    >>> usual_salts()[:2]
    ('calcium nitrate fertiliser', 'potassium nitrate')
    """
    table = tables.load("salts")
    return tuple(name for name in table.items_named if (name, "usual") in table)
