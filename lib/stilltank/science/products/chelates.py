"""Chelates: iron held so that plants can take it up at the pH of a tank."""

from types import MappingProxyType
from typing import Any

from stilltank.science.chemistry import find_ion, ions, molar_mass
from stilltank.units import Unreadable, one_value, within

from .salts import Salt

_CHELATES = MappingProxyType({"EDTA": "Fe as EDTA", "DTPA": "Fe as DTPA", "EDDHA": "Fe as EDDHA"})


def chelated_iron(chelate: str, iron: Any) -> Salt:
    """An iron chelate by the iron share of its label, sodium as its partner.

    Parameters
    ----------
    chelate : "EDTA", "DTPA" or "EDDHA"
    iron : quantity, percent of the mass

    Returns
    -------
    Salt

    Raises
    ------
    Unreadable   another chelate
    UnitNeeded, OutOfRange   no share, or more iron than the pure chelate holds

    Example
    -------
    >>> print(chelated_iron("DTPA", Q(6, "percent")))
    iron DTPA 6 %: Na 4.94 %, Fe 6.00 %.

    Limits: labels also state how much of the iron is chelated; what is not falls out with phosphate.
    """
    if not isinstance(chelate, str) or chelate not in _CHELATES:
        raise Unreadable(
            f"The chelates known here are {', '.join(_CHELATES)}; {chelate!r} is not one of them."
        )
    share = one_value(iron, "percent", "iron", "chelated_iron")
    key, _ = find_ion(_CHELATES[chelate]) or ("", "")
    charge, gram = -ions()[key].charge, molar_mass("Fe").m_as("g/mol")
    most = 100 * gram / (ions()[key].molar_mass + charge * molar_mass("Na").m_as("g/mol"))
    within(
        share, 0.1, most,
        f"Iron {chelate} holds 0.1 to {most:.1f} % iron, pure and dry at most; {{value:g}} % cannot be.",
    )  # fmt: skip
    each = 10 * share / gram
    return Salt(f"iron {chelate} {share:g} %", "", MappingProxyType({"Na+": charge * each, key: each}), "A")
