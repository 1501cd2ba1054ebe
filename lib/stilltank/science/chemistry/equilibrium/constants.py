"""What the equilibrium is made of: acids, ion pairs, and their constants at a temperature."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from stilltank.science.pure_water import density
from stilltank.tables import load, number
from stilltank.units import OutOfRange, PlainNumber, Quantity, one_of, takes
from stilltank.units.types import Plain

ZERO_CELSIUS = 273.15  # K, by definition
_LN10 = np.log(10.0)
_GAS_CONSTANT = 8.314462618  # J/(mol K), exact since 2019
_STANDARD = 298.15  # K


@dataclass(frozen=True, slots=True)
class Ligand:
    """An acid in all its forms, from no proton to all protons, with the pairs each form makes with Ca and Mg.

    ``charge`` is that of the bare form; ``counted`` the part of it that strong_charge holds already.
    """

    total: str
    charge: int
    forms: tuple[str, ...]
    pairs: Mapping[int, tuple[str, str]] = field(default_factory=dict)
    counted: int = 0


LIGANDS = (
    Ligand("DIC", -2, ("CO3-2", "HCO3-", "CO2"), {0: ("CaCO3", "MgCO3"), 1: ("CaHCO3+", "MgHCO3+")}),
    Ligand(
        "P",
        -3,
        ("PO4-3", "HPO4-2", "H2PO4-", "H3PO4"),
        {0: ("CaPO4-", "MgPO4-"), 1: ("CaHPO4", "MgHPO4"), 2: ("CaH2PO4+", "MgH2PO4+")},
    ),
    Ligand("SO4", -2, ("SO4-2", "HSO4-"), {0: ("CaSO4", "MgSO4")}, counted=-2),
    Ligand("NH4", 0, ("NH3", "NH4+")),
    Ligand("B", -1, ("B(OH)4-", "B(OH)3")),
    Ligand(
        "citrate",
        -3,
        ("citrate-3", "Hcitrate-2", "H2citrate-", "H3citrate"),
        {
            0: ("Cacitrate-", "Mgcitrate-"),
            1: ("CaHcitrate", "MgHcitrate"),
            2: ("CaH2citrate+", "MgH2citrate+"),
        },
    ),
)


@takes(temperature="K")
def log_k(species: str, temperature: Quantity) -> Plain:
    """Formation constant of a species, infinitely dilute, as its logarithm.

    Parameters
    ----------
    species : str
        An item of data/equilibrium.csv, such as ``"HCO3-"``; ``"water"`` is the ionic product.
    temperature : Quantity
        One value or an array.

    Returns
    -------
    float or array
        log10 of the constant, in the shape of ``temperature``.

    Raises
    ------
    Unreadable
        There is no such species.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The temperature is not above absolute zero.
    Problem
        The item has no constant.

    Notes
    -----
    HCO3- and CO2 form from CO3-2, each other acid from itself less one proton, and a pair from its two ions.

    References
    ----------
    PHREEQC373; Goldberg2002; PlummerBusenberg1982; data/equilibrium.csv says which is whose.

    Examples
    --------
    >>> print(f"{log_k('HCO3-', Q(25, 'degC')):.3f}")
    10.329
    >>> log_k("HCO3-", 25)
    Traceback (most recent call last):
    stilltank.problems.UnitNeeded: log_k needs a temperature for `temperature`, such as Q(20, "degC"). ...
    """
    kelvin: Any = _above_zero(temperature)
    table = load("equilibrium").of(one_of(species, load("equilibrium").items_named, "species", "log_k"))
    if "log K a" in table or "pK a" in table:
        name = "log K" if "log K a" in table else "pK"
        terms = {
            "a": 1.0,
            "b": kelvin,
            "c": 1 / kelvin,
            "d": np.log10(kelvin),
            "e": kelvin**-2.0,
            "f": kelvin**2,
        }
        total: Any = sum(
            number("equilibrium", species, f"{name} {letter}", "1") * term
            for letter, term in terms.items()
            if f"{name} {letter}" in table
        )
        return total
    inverse = (1 / kelvin - 1 / _STANDARD) / (_GAS_CONSTANT * _LN10)
    if "pK at 25 degC" in table:
        heat = number("equilibrium", species, "enthalpy of dissociation", "J/mol")
        capacity = number("equilibrium", species, "heat capacity of dissociation", "J/(mol*K)")
        bend = (_STANDARD / kelvin - 1 + np.log(kelvin / _STANDARD)) / (_GAS_CONSTANT * _LN10)
        return number("equilibrium", species, "pK at 25 degC", "1") + heat * inverse - capacity * bend
    gain = "enthalpy of formation"
    heat = number("equilibrium", species, gain, "J/mol") if gain in table else 0.0
    return number("equilibrium", species, "log K at 25 degC", "1") - heat * inverse


def _above_zero(kelvin: Any) -> Any:
    if not np.all(kelvin > 0):
        raise OutOfRange("A temperature is above absolute zero, -273.15 °C. Check the number and the unit.")
    return kelvin


def proton_constants(ligand: Ligand, kelvin: Plain) -> list[Plain]:
    """log10 of the constants that build each form of a ligand from its bare form and protons."""
    if ligand.total == "DIC":  # published for both steps at once
        return [0.0, log_k.plain("HCO3-", kelvin), log_k.plain("CO2", kelvin)]
    built: list[Plain] = [np.asarray(0.0)]
    for form in ligand.forms[1:]:
        built.append(built[-1] + log_k.plain(form, kelvin))
    return built


@takes(temperature="K")
def log_henry_constant(temperature: Quantity) -> Plain:
    """Henry's constant of carbon dioxide in pure water, as its logarithm.

    Parameters
    ----------
    temperature : Quantity
        One value or an array.

    Returns
    -------
    float or array
        log10 of mol/(kg atm), in the shape of ``temperature``.

    Raises
    ------
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The temperature is not above absolute zero.

    References
    ----------
    Weiss1974, equation 12.

    Examples
    --------
    >>> print(f"{log_henry_constant(Q(25, 'degC')):.2f}")
    -1.47
    """
    a, b, c = (
        number("equilibrium", "CO2 gas", f"ln K0 {part}", "1")
        for part in ("constant", "per 100 K over T", "ln of T over 100 K")
    )
    hundreds: Any = _above_zero(temperature) / 100
    return (a + b / hundreds + c * np.log(hundreds)) / _LN10


@takes(root=PlainNumber(0.2), temperature="K")
def log_activity_coefficient(root: Plain, temperature: Quantity) -> Plain:
    r"""Activity coefficient of an ion of one charge by the Davies equation, as its logarithm.

    Parameters
    ----------
    root : float or array
        Square root of the ionic strength, (mol/kg)^0.5.
    temperature : Quantity
        From 0 to 40 degC, one value or an array.

    Returns
    -------
    float or array
        log10 of the coefficient; for an ion of charge z take it times z squared.

    Raises
    ------
    Unreadable
        The root is no plain number.
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The temperature is outside 0 to 40 degC.

    Notes
    -----
    .. math:: \log_{10} \gamma = -A \left(\frac{\sqrt{I}}{1 + \sqrt{I}} - 0.3 I\right)

    It holds to an ionic strength of 0.5 mol/kg.

    References
    ----------
    Davies1962.

    Examples
    --------
    >>> print(f"{log_activity_coefficient(0.1, Q(25, 'degC')):.4f}")
    -0.0448
    """
    linear = number("equilibrium", "Davies", "linear term", "1")
    slope: Any = debye_hueckel_slope.plain(temperature)
    return -slope * (root / (1 + root) - linear * root**2)


@takes(temperature="K")
def debye_hueckel_slope(temperature: Quantity) -> Plain:
    """Slope A of the Davies equation, from the density and permittivity of water.

    Parameters
    ----------
    temperature : Quantity
        From 0 to 40 degC, one value or an array.

    Returns
    -------
    float or array
        (kg/mol)^0.5, in the shape of ``temperature``.

    Raises
    ------
    UnitNeeded
        The temperature has no unit.
    OutOfRange
        The temperature is outside 0 to 40 degC.

    References
    ----------
    BradleyPitzer1979, permittivity at 1 bar.

    Examples
    --------
    >>> print(f"{debye_hueckel_slope(Q(25, 'degC')):.3f}")
    0.510
    """
    kelvin: Any = temperature
    water = density(kelvin - ZERO_CELSIUS)  # refuses what no water is
    u = [number("equilibrium", "water", f"permittivity U{i}", "1") for i in range(1, 10)]
    at_1000_bar = u[0] * np.exp(u[1] * kelvin + u[2] * kelvin**2)
    c = u[3] + u[4] / (u[5] + kelvin)
    b = u[6] + u[7] / kelvin + u[8] * kelvin
    permittivity = at_1000_bar + c * np.log((b + 1) / (b + 1000))
    prefactor = number("equilibrium", "Debye-Hueckel", "prefactor", "1")
    slope: Any = prefactor * np.sqrt(water / 1000) / (permittivity * kelvin) ** 1.5
    return slope
