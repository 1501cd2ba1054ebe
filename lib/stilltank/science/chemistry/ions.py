"""Ions: their charge, mass and names, and concentrations as people state them."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from reprlib import repr as short
from types import MappingProxyType
from typing import ClassVar, TypeAlias

import numpy as np

from stilltank import tables
from stilltank.science.pure_water import density
from stilltank.units import (
    PlainNumber,
    Problem,
    Quantity,
    UnitNeeded,
    Unreadable,
    check_shapes,
    magnitude,
    takes,
    within,
)
from stilltank.units.types import Plain

from .composition import molar_mass


@dataclass(frozen=True, slots=True)
class Ion:
    """One row of data/ions.csv: a dissolved particle.

    Parameters
    ----------
    key : str
        As it is written everywhere, such as ``"Ca+2"``.
    charge : int
        In elementary charges.
    formula : str
        By which its mass is counted, without the charge.
    element : str
        The element a recipe counts it as; empty for bicarbonate and the like.
    weak : bool
        True if it takes or gives H+ between pH 1 and 13.
    molar_mass : float
        g/mol.

    Examples
    --------
    >>> ions()["Ca+2"].element
    'Ca'
    """

    key: str
    charge: int
    formula: str
    element: str
    weak: bool
    molar_mass: float


class Dissolved:
    """What a Water and a Solution have in common: ions in each litre.

    Examples
    --------
    >>> from stilltank.science.chemistry import Water
    >>> isinstance(Water.pure(), Dissolved)
    True
    """

    called: ClassVar[str] = "Solution or a Water"
    """What a sentence calls it."""
    amounts: Mapping[str, Plain]
    """Plain mmol/L of each ion."""


Concentrations: TypeAlias = Mapping[str, Quantity] | Dissolved
"""A mass or an amount in each litre by ion, or what has ions: a Water or a Solution."""


@cache
def ions() -> Mapping[str, Ion]:
    """All ions that the workbook computes with.

    Returns
    -------
    mapping of str to Ion
        By the key that is used everywhere, such as ``"Ca+2"``.

    Examples
    --------
    >>> ions()["SO4-2"].charge
    -2
    """
    table = tables.load("ions")
    found = {}
    for key in table.items_named:
        row = {prop: entry.value for prop, entry in table.of(key).items()}
        element = str(row["element"])
        found[key] = Ion(
            key,
            int(row["charge"]),
            str(row["formula"]),
            "" if element == "none" else element,
            row["acid-base"] == "weak",
            float(molar_mass(str(row["formula"])).m_as("g/mol")),
        )
    return MappingProxyType(found)


@cache
def _names() -> Mapping[str, tuple[str, str]]:
    """What people write for an ion -> its key, and the formula the mass is counted by."""
    table = tables.load("ions")
    found = {"po4": ("H2PO4-", "PO4")}
    for key, ion in ions().items():
        names = [key, ion.formula, *str(table[key, "names"].value).split(";")]
        found |= {name.lower(): (key, ion.formula) for name in names}
        if (key, "names by element") in table:
            by_element = str(table[key, "names by element"].value).split(";")
            counted = table[key, "counted as"].value if (key, "counted as") in table else ion.element
            found |= {name.lower(): (key, str(counted)) for name in by_element}
    return MappingProxyType(found)


# Names that laboratories use for two different things when the amount is a mass.
_TWO_READINGS = MappingProxyType(
    {
        "nitrate": ("NO3- (as the whole ion)", "NO3-N (as nitrogen only)"),
        "nitrite": ("NO2- (as the whole ion)", "NO2-N (as nitrogen only)"),
        "ammonium": ("NH4+ (as the whole ion)", "NH4-N (as nitrogen only)"),
        "phosphate": ("H2PO4- (as the whole ion)", "P (as phosphorus only)"),
    }
)


def find_ion(name: str) -> tuple[str, str] | None:
    """Find an ion by what people write.

    Parameters
    ----------
    name : str
        Such as ``"calcium"``, ``"NO3-N"`` or ``"SO4"``; capitals do not matter.

    Returns
    -------
    tuple of str, or None
        The key of the ion, and the formula by which its mass is counted; None for a name that is not known.

    Examples
    --------
    >>> find_ion("calcium"), find_ion("NO3-N"), find_ion("SO4")
    (('Ca+2', 'Ca'), ('NO3-', 'N'), ('SO4-2', 'SO4'))
    """
    return _names().get(name.strip().lower()) if isinstance(name, str) else None


def stated_concentration(name: str, value: Quantity, function: str) -> tuple[str, Plain]:
    """Read one concentration, stated as a mass or as an amount in each litre.

    Parameters
    ----------
    name : str
        The ion, as people write it.
    value : Quantity
        mg/L or mmol/L, one value or an array.
    function : str
        Who asks, for the sentence.

    Returns
    -------
    tuple of str and float or array
        The key of the ion, and plain mmol/L.

    Raises
    ------
    Unreadable
        There is no such ion, or its name has two readings beside a mass.
    UnitNeeded
        The value is no concentration.
    OutOfRange
        The value is below zero.

    Examples
    --------
    >>> stated_concentration("calcium", Q(40.078, "mg/L"), "example")
    ('Ca+2', 1.0)
    """
    found = find_ion(name)
    if not isinstance(name, str):
        raise Unreadable(f'{function} names its ions by texts such as "Ca" or "NO3-N"; {name!r} is not one.')
    if found is None:
        import difflib

        near = difflib.get_close_matches(name.strip().lower(), _names(), n=3, cutoff=0.5)
        extra = f" Near names: {', '.join(near)}." if near else ""
        more = ' For nitrogen, say "NO3-N" or "NH4-N".' if name.strip().lower() in ("n", "nitrogen") else ""
        raise Unreadable(f"{function} knows no ion {name!r}.{more}{extra} The ions are: {', '.join(ions())}.")
    key, formula = found
    if isinstance(value, Quantity) and value.check("[substance]/[length]**3"):
        plain = magnitude(value, "mmol/L", name, function)
    else:
        if name.strip().lower() in _TWO_READINGS and isinstance(value, Quantity):
            one, two = _TWO_READINGS[name.strip().lower()]
            raise Unreadable(
                f"{function}: {name!r} in {value.units:~P} can be read two ways. Write {one} or {two} instead."
            )
        plain = magnitude(value, "mg/L", name, function) / molar_mass(formula).m_as("g/mol")
    within(plain, 0, np.inf, f"{function}: {name} cannot be less than zero.")
    return key, plain


def stated_concentrations(given: Mapping[str, Quantity], function: str) -> Iterator[tuple[str, str, Plain]]:
    """Read concentrations one by one: each as written, its key, and plain mmol/L; all fit each other."""
    if not isinstance(given, Mapping):
        raise UnitNeeded(
            f'{function} needs its ions as {{"Ca": Q(48, "mg/L"), ...}}. You gave {short(given)}.'
        )
    shapes: dict[str, tuple[int, ...]] = {}
    for name, value in given.items():
        key, mmol = stated_concentration(name, value, function)
        shapes[name] = np.shape(mmol)
        check_shapes(shapes, function)
        yield name, key, mmol


def amounts_in(given: Concentrations, function: str) -> dict[str, Plain]:
    """Plain mmol/L of each ion in a mapping of concentrations, or in a Water or Solution."""
    if isinstance(given, Dissolved):
        return dict(given.amounts)
    found: dict[str, Plain] = {}
    for _, key, mmol in stated_concentrations(given, function):
        found[key] = found.get(key, 0.0) + mmol
    return found


@takes(celsius=PlainNumber(20))
def water_in_a_litre(celsius: Plain) -> Plain:
    """Mass of the water in a litre of solution.

    Parameters
    ----------
    celsius : float or array
        Plain temperature, degC.

    Returns
    -------
    float or array
        Plain kilograms.

    Raises
    ------
    OutOfRange
        The temperature is outside 0 to 40 degC.

    Notes
    -----
    That the salts take up a little room themselves is left out.

    Examples
    --------
    >>> round(water_in_a_litre(25.0), 4)
    0.997
    """
    plain: Plain = density(celsius) / 1000
    return plain


def molalities(given: Concentrations, celsius: Plain, function: str) -> dict[str, Plain]:
    """Plain mol/kg water of each ion, at a plain temperature in degC."""
    amounts = amounts_in(given, function)
    check_shapes(
        {"temperature": np.shape(celsius), **{key: np.shape(value) for key, value in amounts.items()}},
        function,
    )
    litre = water_in_a_litre.plain(celsius)
    return {key: value / 1000 / litre for key, value in amounts.items()}


def single_molalities(given: Concentrations, celsius: Plain, function: str) -> dict[str, float]:
    """The same of one solution at one temperature; refuses several."""
    found = molalities(given, celsius, function)
    if np.ndim(celsius) or any(np.ndim(value) for value in found.values()):
        raise Problem(f"{function} takes one solution at one temperature; you gave several.")
    return {key: float(value) for key, value in found.items()}
