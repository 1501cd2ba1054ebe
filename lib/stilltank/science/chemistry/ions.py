"""Ions: their charge, mass and names, and concentrations as people state them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science.pure_water import density
from stilltank.units import Quantity, Unreadable, check_shapes, magnitude, within

from .composition import molar_mass

Plain = Any  # a float, or a numpy array of floats


@dataclass(frozen=True, slots=True)
class Ion:
    """One row of data/ions.csv: a dissolved particle."""

    key: str
    charge: int
    formula: str
    element: str
    weak: bool
    molar_mass: float  # g/mol


@cache
def ions() -> Mapping[str, Ion]:
    """All ions of data/ions.csv, by the key used everywhere, such as ``"Ca+2"``."""
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
    """The key of an ion from what people write, and the formula its mass is counted by; None if unknown.

    Example
    -------
    >>> find_ion("calcium"), find_ion("NO3-N"), find_ion("SO4")
    (('Ca+2', 'Ca'), ('NO3-', 'N'), ('SO4-2', 'SO4'))
    """
    return _names().get(name.strip().lower()) if isinstance(name, str) else None


def stated_concentration(name: str, value: Any, function: str) -> tuple[str, Plain]:
    """Key and plain mmol/L of one stated concentration, given as mass or as amount in a litre.

    Raises
    ------
    Unreadable   no such ion, or a name with two readings beside a mass
    UnitNeeded   no concentration
    OutOfRange   below zero
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


def water_in_a_litre(celsius: Plain) -> Plain:
    """Mass of water in a litre, kg; that the salts take up a little room themselves is left out."""
    return density(celsius) / 1000


def molalities(
    concentrations: Mapping[str, Any], temperature: Any, function: str
) -> tuple[dict[str, Plain], Plain]:
    """Plain mol/kg water of each ion, and plain °C, of concentrations in a litre."""
    celsius = magnitude(temperature, "degC", "temperature", function)
    litre = water_in_a_litre(celsius)
    shapes = {"temperature": np.shape(celsius)}
    found: dict[str, Plain] = {}
    for name, value in concentrations.items():
        key, mmol = stated_concentration(name, value, function)
        shapes[name] = np.shape(mmol)
        check_shapes(shapes, function)
        found[key] = found.get(key, 0.0) + mmol / 1000 / litre
    return found, celsius
