"""Electrical conductivity of a solution from its ions, and the hand rule beside it."""

from collections.abc import Mapping
from functools import cache
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.units import Q, Unreadable, within

from .ion_pairs import free_ions
from .ions import Plain, ions, molalities, stated_concentration

_LAMBDA = "mS*kg/cm/mol"


@cache
def _coefficients(key: str) -> tuple[float, ...] | None:
    """λ0 (t², t, 1), A (t², t, 1), B of one ion; None where the paper has none."""
    table = tables.load("ions")
    if (key, "conductivity t0") not in table:
        return None
    number = lambda prop, unit: tables.number("ions", key, prop, unit)  # noqa: E731
    slope = "mS*kg^1.5/cm/mol^1.5"
    return (
        number("conductivity t2", _LAMBDA + "/K^2"),
        number("conductivity t1", _LAMBDA + "/K"),
        number("conductivity t0", _LAMBDA),
        number("slope t2", slope + "/K^2"),
        number("slope t1", slope + "/K"),
        number("slope t0", slope),
        number("size", "kg^0.5/mol^0.5"),
    )


def _molal(key: str, celsius: Plain, root: Plain) -> Plain | None:
    """Molal conductivity of one ion, mS kg/(cm mol), at the square root of the ionic strength."""
    scale = 1.0
    coefficients = _coefficients(key)
    if (
        coefficients is None and key == "H2PO4-"
    ):  # the shape of nitrate, at the size of its own limiting value
        coefficients = _coefficients("NO3-")
        own = tables.number("ions", key, "limiting equivalent conductivity", "S*cm^2/mol")
        scale = own / limiting_conductivity("NO3-", Q(25, "degC")).m_as("S*cm^2/mol")
    if coefficients is None:
        return None
    l2, l1, l0, a2, a1, a0, b = coefficients
    limit = (l2 * celsius + l1) * celsius + l0
    slope = (a2 * celsius + a1) * celsius + a0
    return scale * (limit - slope * root / (1 + b * root))


def limiting_conductivity(ion: str, temperature: Any) -> Any:
    """Equivalent conductivity of an ion at infinite dilution.

    Parameters
    ----------
    ion : str
        A key of data/ions.csv.
    temperature : quantity, array

    Returns
    -------
    quantity, S cm^2/mol of charge (the same number as 1e-4 m^2 S/mol)

    Raises
    ------
    Unreadable   the model has no such ion
    OutOfRange   outside 0 to 40 °C

    Example
    -------
    >>> round(limiting_conductivity("K+", Q(25, "degC")).m_as("S*cm^2/mol"), 1)
    74.1

    Source: McCleskey et al. (2012), λ0 polynomial.
    """
    _, celsius = molalities({}, temperature, "limiting_conductivity")
    value = _molal(ion, celsius, 0.0) if ion in ions() else None
    if value is None:
        known = ", ".join(key for key in ions() if _coefficients(key))
        raise Unreadable(f"The conductivity model has no ion {ion!r}. It has: {known}.")
    return Q(value / abs(ions()[ion].charge), "S*cm^2/mol")


def conductivity(concentrations: Mapping[str, Any], temperature: Any) -> Any:
    """Conductivity of a solution, from its ions.

    Each free ion counts with its molal conductivity at the ionic strength of the whole solution. Calcium,
    magnesium and potassium bound to sulfate are taken out first, for a pair carries little or no current.

    Parameters
    ----------
    concentrations : mapping of ion to quantity, mmol/L or mg/L, arrays allowed
        Such as ``chemistry.ions``.
    temperature : quantity, array
        Of the solution. Meters report 25 °C; do not correct twice.

    Returns
    -------
    quantity, mS/cm (the same number as dS/m), in the common shape of the inputs

    Raises
    ------
    Unreadable, UnitNeeded, OutOfRange   an unknown ion, no unit, a negative amount; outside 0 to 40 °C; too strong
    Problem   arrays that do not fit each other

    Example
    -------
    >>> potassium_chloride = {"K+": Q(10, "mmol/L"), "Cl-": Q(10, "mmol/L")}
    >>> round(conductivity(potassium_chloride, Q(25, "degC")).m_as("mS/cm"), 2)
    1.43

    Limits: -0.5 to +4.1 % against PHREEQC for nine recipes at 25 °C, to +7 % at 10 °C; +0.6 to +1.8 % on the KCl
    standards of 0.01 and 0.1 mol/kg from 0 to 35 °C, most near 10 °C (+1.1 % at 25 °C). It ends at an ionic strength
    of 0.5 mol/kg, with the equation behind the pairs. It rises 1.9 % a degree where PHREEQC has 2.0. Trace elements
    without coefficients are left out (below 0.3 %).
    Source: McCleskey et al. (2012), equations 2 to 4, coefficients in a secondary copy; dihydrogen phosphate has none
    and takes the limiting value of the CRC Handbook (from memory) with the shape of nitrate.
    """
    molal, celsius = molalities(concentrations, temperature, "conductivity.of")
    free, root = free_ions(molal, celsius)
    strongest = tables.number("plausible", "conductivity", "highest ionic strength", "mol/kg")
    within(
        np.square(root),
        0,
        strongest,
        f"The conductivity model holds up to an ionic strength of {strongest:g} mol/kg; this one has {{value:.3g}}. "
        "Ask for the solution in the tank, not for a concentrate.",
    )
    total: Plain = 0.0
    for key, value in free.items():
        each = _molal(key, celsius, root)
        if each is not None:
            total = total + each * value
    return Q(total, "mS/cm")


def conductivity_from_cations(concentrations: Mapping[str, Any]) -> Any:
    """Conductivity at 25 °C by the hand rule: 0.095 times the sum of cation charge, plus 0.19.

    Parameters
    ----------
    concentrations : mapping of ion to quantity, mmol/L or mg/L, arrays allowed

    Returns
    -------
    quantity, mS/cm

    Raises
    ------
    Unreadable, UnitNeeded, OutOfRange   an unknown ion, no unit, a negative amount

    Example
    -------
    >>> cations = {"Ca+2": Q(5, "mmol/L"), "K+": Q(6, "mmol/L"), "Mg+2": Q(2, "mmol/L")}
    >>> round(conductivity_from_cations(cations).m_as("mS/cm"), 2)
    2.09

    Limits: for nutrient solutions of about 1 to 3 mS/cm only; 2 to 9 % low against PHREEQC for eight recipes. Pure
    water would come out at 0.19.
    Source: Sonneveld et al. (1999), from memory.
    """
    charge: Plain = 0.0
    for name, value in concentrations.items():
        key, mmol = stated_concentration(name, value, "conductivity_from_cations")
        charge = charge + mmol * max(ions()[key].charge, 0)
    slope = tables.number("mixing", "conductivity", "hand rule slope", "mS/cm*L/mmol")
    return Q(slope * charge + tables.number("mixing", "conductivity", "hand rule start", "mS/cm"), "mS/cm")
