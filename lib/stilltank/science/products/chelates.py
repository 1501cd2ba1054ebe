"""Chelates: iron held so that plants can take it up at the pH of a tank."""

from types import MappingProxyType

from stilltank.science.chemistry import find_ion, ions, molar_mass
from stilltank.units import Quantity, one_value, takes, within

from .salts import Salt

_CHELATES = MappingProxyType({"EDTA": "Fe as EDTA", "DTPA": "Fe as DTPA", "EDDHA": "Fe as EDDHA"})


@takes(chelate=tuple(_CHELATES))
def chelated_iron(chelate: str, iron: Quantity) -> Salt:
    """An iron chelate by the iron share of its label, sodium as its partner.

    Parameters
    ----------
    chelate : str
        "EDTA", "DTPA" or "EDDHA".
    iron : Quantity
        Percent of the mass.

    Returns
    -------
    Salt
        With sodium and the chelate among what it releases.

    Raises
    ------
    Unreadable
        The chelate is another.
    UnitNeeded
        The share has no unit.
    OutOfRange
        It is more iron than the pure chelate holds, or hardly any.

    Notes
    -----
    Labels also state how much of the iron is chelated; what is not falls out with phosphate.

    Examples
    --------
    >>> print(chelated_iron("DTPA", Q(6, "percent")))
    iron DTPA 6 %: Na 4.94 %, Fe 6.00 %.
    """
    share = one_value(iron, "percent", "iron", "chelated_iron")
    key, _ = find_ion(_CHELATES[chelate]) or ("", "")
    charge, gram = -ions()[key].charge, molar_mass("Fe").m_as("g/mol")
    most = 100 * gram / (ions()[key].molar_mass + charge * molar_mass("Na").m_as("g/mol"))
    within(
        share, 0.1, most,
        f"Iron {chelate} holds 0.1 to {most:.1f} % iron, pure and dry at most; {{value:g}} % cannot be.",
    )  # fmt: skip
    each = 10 * share / gram
    return Salt(
        f"iron {chelate} {share:g} %", "", MappingProxyType({"Na+": charge * each, key: each}), "calcium"
    )
