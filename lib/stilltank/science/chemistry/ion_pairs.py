"""Sulfate pairs and gypsum: what stays free of calcium, magnesium and potassium beside sulfate.

Plain numbers, mol/kg water and °C, in any shape. The full acid-base model is in ``equilibrium``.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, cast

import numpy as np

from stilltank import tables
from stilltank.units import PlainNumber, Quantity, Unreadable, pure_number, takes
from stilltank.units.types import Plain

from .equilibrium.constants import ZERO_CELSIUS, log_activity_coefficient, log_k
from .ions import Concentrations, ions, molalities, single_molalities

_PARTNERS = MappingProxyType({"CaSO4": "Ca+2", "MgSO4": "Mg+2", "KSO4-": "K+"})
_ROUNDS = 100  # four or five are enough at working strength


def _at(item: str, celsius: Plain) -> Plain:
    """log10 of a constant of data/pairs.csv at a temperature."""
    kelvin = celsius + ZERO_CELSIUS
    a, c, d = (tables.number("pairs", item, f"log K {letter}", "1") for letter in "acd")
    return a + c / kelvin + d * np.log10(kelvin)


def _shift(root: Plain, celsius: Plain) -> Plain:
    """log10 of the activity coefficient of an ion of one charge, as far as the Davies equation holds."""
    highest = tables.number("equilibrium", "Davies", "highest ionic strength", "mol/kg")
    return log_activity_coefficient.plain(np.minimum(root, np.sqrt(highest)), celsius + ZERO_CELSIUS)


@takes(totals=Mapping, celsius=PlainNumber(25))
def free_ions(totals: Mapping[str, Plain], celsius: Plain) -> tuple[dict[str, Plain], Plain]:
    """Free ions after pairing with sulfate, and the square root of the ionic strength.

    Parameters
    ----------
    totals : mapping of str to float or array
        Plain mol per kg of water of each ion, by its key.
    celsius : float or array
        Plain temperature, degC.

    Returns
    -------
    tuple of dict and float or array
        Plain mol/kg of each ion that is left free, and the root of the ionic strength, (mol/kg)^0.5.

    Raises
    ------
    Unreadable
        An ion is unknown, or an amount or the temperature is no number.

    Notes
    -----
    The Davies equation holds to an ionic strength of 0.5 mol/kg; above, its value there is kept.

    References
    ----------
    PHREEQC373; Davies1962.

    Examples
    --------
    >>> left, root = free_ions({"Ca+2": 0.005, "SO4-2": 0.005}, 25.0)
    >>> print(f"{1000 * left['Ca+2']:.2f} mmol/kg free, ionic strength {root**2:.4f} mol/kg")
    3.97 mmol/kg free, ionic strength 0.0159 mol/kg
    """
    for key in totals:
        if key not in ions():
            raise Unreadable(f"free_ions knows no ion {key!r}. The ions are: {', '.join(ions())}.")
    known = {key: pure_number(value, 0.001, key, "free_ions") for key, value in totals.items()}
    return free_molalities(known, celsius)


def free_molalities(totals: Mapping[str, Plain], celsius: Plain) -> tuple[dict[str, Plain], Plain]:
    """What ``free_ions`` gives, of molalities that need no check."""
    left = dict(totals)
    strength = 0.5 * sum((m * ions()[key].charge ** 2 for key, m in totals.items()), 0.0)
    root = np.sqrt(strength)
    partners = {pair: ion for pair, ion in _PARTNERS.items() if ion in totals}
    if "SO4-2" not in totals or not partners:
        return left, root
    kelvin = celsius + ZERO_CELSIUS
    thermodynamic = {p: _at(p, celsius) if p == "KSO4-" else log_k.plain(p, kelvin) for p in partners}
    sulfate = totals["SO4-2"]
    bound: dict[str, Plain] = {}
    for _ in range(_ROUNDS):
        shift = _shift(root, celsius)
        held: Plain = 0.0
        lost: Plain = 0.0
        for pair, ion in partners.items():
            charge = ions()[ion].charge
            squares = charge**2 + 4 - (charge - 2) ** 2
            k = 10 ** (thermodynamic[pair] + squares * shift)
            grip = totals[ion] * k / (1 + k * left["SO4-2"])
            bound[ion] = grip * left["SO4-2"]
            held, lost = held + grip, lost + squares * bound[ion]
        new = 0.5 * (left["SO4-2"] + sulfate / (1 + held))
        new_root = np.sqrt(np.maximum(strength - 0.5 * lost, 0.0))
        settled = np.all(np.abs(new - left["SO4-2"]) < 1e-12) and np.all(np.abs(new_root - root) < 1e-9)
        left["SO4-2"], root = new, new_root
        if settled:
            break
    for ion, amount in bound.items():
        left[ion] = totals[ion] - amount
    return left, root


@takes(temperature="degC")
def gypsum_saturation_index(concentrations: Concentrations, temperature: Quantity) -> Plain:
    """Saturation index of gypsum: below 0 it dissolves, above 0 it can fall out.

    Parameters
    ----------
    concentrations : mapping of str to Quantity, or Solution, or Water
        mmol/L or mg/L of each ion; single values or arrays.
    temperature : Quantity
        From 0 to 40 degC, one value or an array.

    Returns
    -------
    float or array
        log10 of the ion product over the solubility product; minus infinity without calcium or sulfate.

    Raises
    ------
    Unreadable
        An ion is unknown.
    UnitNeeded
        A concentration or the temperature has no unit.
    OutOfRange
        An amount is below zero, or the temperature is outside 0 to 40 degC.
    Problem
        The arrays do not fit each other.

    See Also
    --------
    strength_at_gypsum : How strong the solution can be made before the index passes 0.
    gypsum_precipitated : How much falls out above 0.

    Notes
    -----
    The activity of the water itself is taken as 1. In concentrates the answer is an order of magnitude only.

    References
    ----------
    PHREEQC373; Davies1962.

    Examples
    --------
    >>> index = gypsum_saturation_index({"Ca+2": Q(5, "mmol/L"), "SO4-2": Q(2, "mmol/L")}, Q(20, "degC"))
    >>> round(float(index), 1)
    -1.0
    """
    celsius = cast("Plain", temperature)  # as the door hands it on
    return _index(molalities(concentrations, celsius, "gypsum_saturation_index"), celsius)


def _index(totals: Mapping[str, Plain], celsius: Plain) -> Plain:
    left, root = free_molalities(totals, celsius)
    with np.errstate(divide="ignore"):
        product = np.log10(left.get("Ca+2", 0.0)) + np.log10(left.get("SO4-2", 0.0))
    return product + 8 * _shift(root, celsius) - _at("gypsum", celsius)


@takes(temperature="degC")
def strength_at_gypsum(concentrations: Concentrations, temperature: Quantity) -> float:
    """How many times as strong a solution can be made before gypsum can fall out of it.

    Parameters
    ----------
    concentrations : mapping of str to Quantity, or Solution, or Water
        mmol/L or mg/L of each ion; single values.
    temperature : Quantity
        From 0 to 40 degC.

    Returns
    -------
    float
        Times the strength; infinite where a thousand times is not enough, and below 1 for a solution that is beyond
        saturation already.

    Raises
    ------
    Unreadable
        An ion is unknown.
    UnitNeeded
        A concentration or the temperature has no unit.
    OutOfRange
        An amount is below zero, or the temperature is outside 0 to 40 degC.
    Problem
        There are several solutions or temperatures.

    See Also
    --------
    gypsum_saturation_index : How near a solution is; the limits of both are the same.

    Examples
    --------
    >>> round(strength_at_gypsum({"Ca+2": Q(5, "mmol/L"), "SO4-2": Q(2, "mmol/L")}, Q(20, "degC")), 1)
    5.3
    """
    from scipy.optimize import brentq

    celsius = cast("Plain", temperature)  # as the door hands it on
    totals = single_molalities(concentrations, celsius, "strength_at_gypsum")

    def index(log_times: float) -> float:
        return float(_index({key: 10**log_times * value for key, value in totals.items()}, celsius))

    low, high = -3.0, 3.0
    if index(high) <= 0:
        return float("inf")
    return float(10 ** brentq(index, low, high)) if index(low) < 0 else 0.0


@takes(temperature="degC", returns="mol/kg")
def gypsum_precipitated(concentrations: Concentrations, temperature: Quantity) -> Quantity:
    """How much gypsum falls out of a solution until what is left is just saturated.

    Parameters
    ----------
    concentrations : mapping of str to Quantity, or Solution, or Water
        mmol/L or mg/L of each ion; single values.
    temperature : Quantity
        From 0 to 40 degC.

    Returns
    -------
    Quantity
        mol per kg of water; 0 below saturation.

    Raises
    ------
    Unreadable
        An ion is unknown.
    UnitNeeded
        A concentration or the temperature has no unit.
    OutOfRange
        An amount is below zero, or the temperature is outside 0 to 40 degC.
    Problem
        There are several solutions or temperatures.

    See Also
    --------
    gypsum_saturation_index : Whether any can fall out.

    Notes
    -----
    In concentrates the ionic strength is beyond the Davies equation; read the answer as a rough share.

    Examples
    --------
    >>> gypsum_precipitated({"Ca+2": Q(5, "mmol/L"), "SO4-2": Q(2, "mmol/L")}, Q(20, "degC")).m_as("mol/kg")
    0.0
    """
    from scipy.optimize import brentq

    celsius = cast("Plain", temperature)  # as the door hands it on
    totals = single_molalities(concentrations, celsius, "gypsum_precipitated")
    most = min(totals.get("Ca+2", 0.0), totals.get("SO4-2", 0.0))

    def index(fallen: float) -> float:
        rest = {**totals, "Ca+2": totals["Ca+2"] - fallen, "SO4-2": totals["SO4-2"] - fallen}
        return float(_index(rest, celsius))

    fallen: Any = 0.0
    if most > 0 and index(0.0) > 0:
        fallen = brentq(index, 0.0, most * (1 - 1e-12))
    return fallen


@takes(temperature="degC", returns="mmol/kg")
def gypsum_solubility(temperature: Quantity) -> Quantity:
    """How much gypsum dissolves in pure water.

    Parameters
    ----------
    temperature : Quantity
        One temperature from 0 to 40 degC.

    Returns
    -------
    Quantity
        mmol per kg of water.

    Raises
    ------
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The temperature is outside 0 to 40 degC.
    Problem
        There are several temperatures.

    Notes
    -----
    The root of the solubility product alone, 5.1 mmol/kg at 25 degC, is three times too low: ions in company are less
    active, and calcium and sulfate also dissolve as a pair.

    References
    ----------
    PHREEQC373; Davies1962.

    Examples
    --------
    >>> round(gypsum_solubility(Q(25, "degC")).m_as("mmol/kg"), 1)
    15.5
    """
    from scipy.optimize import brentq

    celsius = cast("Plain", temperature)  # as the door hands it on
    single_molalities({}, celsius, "gypsum_solubility")

    def index(molality: float) -> float:
        return float(_index({"Ca+2": molality, "SO4-2": molality}, celsius))

    dissolved: Any = 1000 * brentq(index, 1e-4, 0.2)
    return dissolved
