"""Sulfate pairs and gypsum: what stays free of calcium, magnesium and potassium beside sulfate.

Plain numbers, mol/kg water and °C, in any shape. The full acid-base model is in ``equilibrium``.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.units import Q

from .equilibrium.constants import ZERO_CELSIUS, log_activity_coefficient, log_k
from .ions import Plain, ions, molalities

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
    return log_activity_coefficient(np.minimum(root, np.sqrt(highest)), celsius + ZERO_CELSIUS)


def free_ions(totals: Mapping[str, Plain], celsius: Plain) -> tuple[dict[str, Plain], Plain]:
    """Free ions after pairing with sulfate, and the square root of the ionic strength.

    Parameters
    ----------
    totals : mapping of ion key to mol/kg water
    celsius : °C

    Returns
    -------
    mapping of ion to mol/kg left free, and the root of the ionic strength, (mol/kg)^0.5

    Limits: the Davies equation holds to an ionic strength of 0.5 mol/kg; above, its value there is kept.
    """
    left = dict(totals)
    strength = 0.5 * sum((m * ions()[key].charge ** 2 for key, m in totals.items()), 0.0)
    root = np.sqrt(strength)
    partners = {pair: ion for pair, ion in _PARTNERS.items() if ion in totals}
    if "SO4-2" not in totals or not partners:
        return left, root
    kelvin = celsius + ZERO_CELSIUS
    thermodynamic = {p: _at(p, celsius) if p == "KSO4-" else log_k(p, kelvin) for p in partners}
    sulfate = totals["SO4-2"]
    bound: dict[str, Plain] = {}
    for _ in range(_ROUNDS):
        shift = _shift(root, celsius)
        held, lost = 0.0, 0.0
        for pair, ion in partners.items():
            charge = ions()[ion].charge
            squares = charge**2 + 4 - (charge - 2) ** 2
            k = 10 ** (thermodynamic[pair] + squares * shift)
            grip = totals[ion] * k / (1 + k * left["SO4-2"])
            bound[ion] = grip * left["SO4-2"]
            held, lost = held + grip, lost + squares * bound[ion]
        new = 0.5 * (left["SO4-2"] + sulfate / (1 + held))
        new_root = np.sqrt(np.maximum(strength - 0.5 * lost, 0.0))
        settled = np.max(np.abs(new - left["SO4-2"])) < 1e-12 and np.max(np.abs(new_root - root)) < 1e-9
        left["SO4-2"], root = new, new_root
        if settled:
            break
    for ion, amount in bound.items():
        left[ion] = totals[ion] - amount
    return left, root


def gypsum_saturation_index(concentrations: Mapping[str, Any], temperature: Any) -> Any:
    """Saturation index of gypsum: below 0 it dissolves, above 0 it can fall out.

    Parameters
    ----------
    concentrations : mapping of ion to quantity, mmol/L or mg/L, arrays allowed
    temperature : quantity, 0 to 40 °C

    Returns
    -------
    number or array: log10 of the ion product over the solubility product; minus infinity without calcium or sulfate

    Raises
    ------
    Unreadable, UnitNeeded, OutOfRange   an unknown ion, no unit, a negative amount or a wrong temperature

    Example
    -------
    >>> index = gypsum_saturation_index({"Ca+2": Q(5, "mmol/L"), "SO4-2": Q(2, "mmol/L")}, Q(20, "degC"))
    >>> round(float(index), 1)
    -1.0

    Limits: the water's own activity is taken as 1; order of magnitude only in concentrates.
    Source: constants of phreeqc.dat, Davies activity coefficients.
    """
    return _index(*molalities(concentrations, temperature, "gypsum_saturation_index"))


def _index(totals: Mapping[str, Plain], celsius: Plain) -> Plain:
    left, root = free_ions(totals, celsius)
    with np.errstate(divide="ignore"):
        product = np.log10(left.get("Ca+2", 0.0)) + np.log10(left.get("SO4-2", 0.0))
    return product + 8 * _shift(root, celsius) - _at("gypsum", celsius)


def strength_at_gypsum(concentrations: Mapping[str, Any], temperature: Any) -> float:
    """How many times as strong a solution may be before gypsum can fall out of it.

    Parameters
    ----------
    concentrations : mapping of ion to quantity, mmol/L or mg/L, single values
    temperature : quantity, 0 to 40 °C

    Returns
    -------
    float: times the strength; infinite where a thousand times is not enough; below 1 for a solution that is beyond
    saturation already

    Raises
    ------
    Unreadable, UnitNeeded, OutOfRange   an unknown ion, no unit, a negative amount or a wrong temperature

    Example
    -------
    >>> round(strength_at_gypsum({"Ca+2": Q(5, "mmol/L"), "SO4-2": Q(2, "mmol/L")}, Q(20, "degC")), 1)
    5.3

    Limits: as ``gypsum_saturation_index``.
    """
    from scipy.optimize import brentq

    totals, celsius = molalities(concentrations, temperature, "strength_at_gypsum")

    def index(log_times: float) -> float:
        return float(_index({key: 10**log_times * value for key, value in totals.items()}, celsius))

    low, high = -3.0, 3.0
    if index(high) <= 0:
        return float("inf")
    return float(10 ** brentq(index, low, high)) if index(low) < 0 else 0.0


def gypsum_precipitated(concentrations: Mapping[str, Any], temperature: Any) -> Any:
    """How much gypsum falls out of a solution until what is left is just saturated.

    Parameters
    ----------
    concentrations : mapping of ion to quantity, mmol/L or mg/L, single values
    temperature : quantity, 0 to 40 °C

    Returns
    -------
    quantity, mol per kg of water; 0 below saturation

    Raises
    ------
    Unreadable, UnitNeeded, OutOfRange   an unknown ion, no unit, a negative amount or a wrong temperature

    Example
    -------
    >>> gypsum_precipitated({"Ca+2": Q(5, "mmol/L"), "SO4-2": Q(2, "mmol/L")}, Q(20, "degC")).m_as("mol/kg")
    0.0

    Limits: in concentrates the ionic strength is beyond the Davies equation; read the answer as a rough share.
    """
    from scipy.optimize import brentq

    totals, celsius = molalities(concentrations, temperature, "gypsum_precipitated")
    most = min(totals.get("Ca+2", 0.0), totals.get("SO4-2", 0.0))

    def index(fallen: float) -> float:
        rest = {**totals, "Ca+2": totals["Ca+2"] - fallen, "SO4-2": totals["SO4-2"] - fallen}
        return float(_index(rest, celsius))

    if most <= 0 or index(0.0) <= 0:
        return Q(0, "mol/kg")
    return Q(brentq(index, 0.0, most * (1 - 1e-12)), "mol/kg")


def gypsum_solubility(temperature: Any) -> Any:
    """How much gypsum dissolves in pure water.

    Parameters
    ----------
    temperature : quantity, 0 to 40 °C

    Returns
    -------
    quantity, mmol per kg of water

    Raises
    ------
    UnitNeeded, OutOfRange   no temperature, or outside 0 to 40 °C

    Example
    -------
    >>> round(gypsum_solubility(Q(25, "degC")).m_as("mmol/kg"), 1)
    15.5

    Source: constants of phreeqc.dat, Davies activity coefficients.
    """
    from scipy.optimize import brentq

    _, celsius = molalities({}, temperature, "gypsum_solubility")

    def index(molality: float) -> float:
        return float(_index({"Ca+2": molality, "SO4-2": molality}, celsius))

    return Q(1000 * brentq(index, 1e-4, 0.2), "mmol/kg")
