"""Electrical conductivity of a solution from its ions, and the hand rule beside it."""

from functools import cache
from typing import Any, cast

import numpy as np

from stilltank import tables
from stilltank.units import Quantity, Unreadable, takes, within
from stilltank.units.types import Plain

from .ion_pairs import free_molalities
from .ions import Concentrations, amounts_in, ions, molalities, water_in_a_litre

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


def _molal(key: str, celsius: Any, root: Plain) -> Plain | None:
    """Molal conductivity of one ion, mS kg/(cm mol), at the square root of the ionic strength."""
    scale = 1.0
    coefficients = _coefficients(key)
    if (
        coefficients is None and key == "H2PO4-"
    ):  # the shape of nitrate, at the size of its own limiting value
        coefficients = _coefficients("NO3-")
        own = tables.number("ions", key, "limiting equivalent conductivity", "S*cm^2/mol")
        scale = own / limiting_conductivity.plain("NO3-", 25.0)
    if coefficients is None:
        return None
    l2, l1, l0, a2, a1, a0, b = coefficients
    limit = (l2 * celsius + l1) * celsius + l0
    slope = (a2 * celsius + a1) * celsius + a0
    return scale * (limit - slope * root / (1 + b * root))


@takes(temperature="degC", returns="S*cm^2/mol")
def limiting_conductivity(ion: str, temperature: Quantity) -> Quantity:
    """Equivalent conductivity of an ion at infinite dilution.

    Parameters
    ----------
    ion : str
        A key of data/ions.csv.
    temperature : Quantity
        From 0 to 40 degC, one value or an array.

    Returns
    -------
    Quantity
        S cm^2/mol of charge, in the shape of ``temperature``; the same number as 1e-4 m^2 S/mol.

    Raises
    ------
    Unreadable
        The model has no such ion.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The temperature is outside 0 to 40 degC.

    References
    ----------
    McCleskey2012, the polynomial of λ0.

    Examples
    --------
    >>> round(limiting_conductivity("K+", Q(25, "degC")).m_as("S*cm^2/mol"), 1)
    74.1
    """
    water_in_a_litre.plain(cast("Plain", temperature))  # refuses what no water is
    value = _molal(ion, temperature, 0.0) if isinstance(ion, str) and ion in ions() else None
    if value is None:
        known = ", ".join(key for key in ions() if _coefficients(key))
        raise Unreadable(f"The conductivity model has no ion {ion!r}. It has: {known}.")
    equivalent: Any = value / abs(ions()[ion].charge)
    return equivalent


@takes(temperature="degC", returns="mS/cm")
def conductivity(concentrations: Concentrations, temperature: Quantity) -> Quantity:
    r"""Conductivity of a solution, from its ions.

    Each free ion counts with its molal conductivity at the ionic strength of the whole solution. Calcium,
    magnesium and potassium bound to sulfate are taken out first, for a pair carries little or no current.

    Parameters
    ----------
    concentrations : mapping of str to Quantity, or Solution, or Water
        mmol/L or mg/L of each ion; single values or arrays.
    temperature : Quantity
        Of the solution, one value or an array. Meters report 25 degC; do not correct twice.

    Returns
    -------
    Quantity
        mS/cm (the same number as dS/m), in the common shape of the inputs.

    Raises
    ------
    Unreadable
        An ion is unknown.
    UnitNeeded
        A concentration or the temperature has no unit.
    OutOfRange
        An amount is below zero, the temperature is outside 0 to 40 degC, or the solution is too strong.
    Problem
        The arrays do not fit each other.

    See Also
    --------
    conductivity_from_cations : The hand rule.
    stilltank.science.mixing.expected_conductivity : The same with the range that the error of the model leaves.

    Notes
    -----
    .. math:: \kappa = \sum_i m_i \left(\lambda^0_i - \frac{A_i \sqrt{I}}{1 + B_i \sqrt{I}}\right)

    with the molality :math:`m_i` of each free ion and the ionic strength :math:`I`.

    It is -0.5 to +4.1 % from PHREEQC for nine recipes at 25 degC, and up to +7 % at 10 degC; +0.6 to +1.8 % on the KCl
    standards of 0.01 and 0.1 mol/kg from 0 to 35 degC, most near 10 degC (+1.1 % at 25 degC). It ends at an ionic
    strength of 0.5 mol/kg, with the equation behind the pairs. It rises 1.9 % a degree where PHREEQC has 2.0. Trace
    elements without coefficients are left out (below 0.3 %). Dihydrogen phosphate has no coefficients: it takes the
    limiting value of the handbook (from memory) with the shape of nitrate.

    References
    ----------
    McCleskey2012, equations 2 to 4, coefficients in a secondary copy; CRC.

    Examples
    --------
    >>> potassium_chloride = {"K+": Q(10, "mmol/L"), "Cl-": Q(10, "mmol/L")}
    >>> round(conductivity(potassium_chloride, Q(25, "degC")).m_as("mS/cm"), 2)
    1.43
    """
    celsius = cast("Plain", temperature)  # as the door hands it on
    free, root = free_molalities(molalities(concentrations, celsius, "conductivity"), celsius)
    strongest = tables.number("plausible", "conductivity", "highest ionic strength", "mol/kg")
    within(
        np.square(root),
        0,
        strongest,
        f"The conductivity model holds up to an ionic strength of {strongest:g} mol/kg; this one has {{value:.3g}}. "
        "Ask for the solution in the tank, not for a concentrate.",
    )
    total: Any = 0.0
    for key, value in free.items():
        each = _molal(key, celsius, root)
        if each is not None:
            total = total + each * value
    return total


@takes(returns="mS/cm")
def conductivity_from_cations(concentrations: Concentrations) -> Quantity:
    """Conductivity at 25 degC by the hand rule: 0.095 times the sum of cation charge, plus 0.19.

    Parameters
    ----------
    concentrations : mapping of str to Quantity, or Solution, or Water
        mmol/L or mg/L of each ion; single values or arrays.

    Returns
    -------
    Quantity
        mS/cm, in the common shape of the inputs.

    Raises
    ------
    Unreadable
        An ion is unknown.
    UnitNeeded
        A concentration has no unit.
    OutOfRange
        An amount is below zero.

    See Also
    --------
    conductivity : From all ions, at any temperature.

    Notes
    -----
    For nutrient solutions of about 1 to 3 mS/cm only: it is 2 to 9 % low against PHREEQC for eight recipes, and pure
    water would come out at 0.19.

    References
    ----------
    Sonneveld1999, from memory.

    Examples
    --------
    >>> cations = {"Ca+2": Q(5, "mmol/L"), "K+": Q(6, "mmol/L"), "Mg+2": Q(2, "mmol/L")}
    >>> round(conductivity_from_cations(cations).m_as("mS/cm"), 2)
    2.09
    """
    charge: Any = 0.0
    for key, mmol in amounts_in(concentrations, "conductivity_from_cations").items():
        charge = charge + mmol * max(ions()[key].charge, 0)
    slope = tables.number("mixing", "conductivity", "hand rule slope", "mS/cm*L/mmol")
    return slope * charge + tables.number("mixing", "conductivity", "hand rule start", "mS/cm")
