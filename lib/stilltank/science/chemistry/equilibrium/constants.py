"""What the equilibrium is made of: acids, ion pairs, and their constants at a temperature."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from stilltank.science.pure_water import density
from stilltank.tables import load, number

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


def log_k(species: str, kelvin: Any) -> Any:
    """log10 of a species' formation constant in data/equilibrium.csv, infinitely dilute, at a temperature in K.

    HCO3- and CO2 form from CO3-2, each other acid from itself less one proton, a pair from its two ions;
    ``water`` is log10 of the ionic product.
    """
    table = load("equilibrium").of(species)
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
        return sum(
            number("equilibrium", species, f"{name} {letter}", "1") * term
            for letter, term in terms.items()
            if f"{name} {letter}" in table
        )
    inverse = (1 / kelvin - 1 / _STANDARD) / (_GAS_CONSTANT * _LN10)
    if "pK at 25 degC" in table:
        heat = number("equilibrium", species, "enthalpy of dissociation", "J/mol")
        capacity = number("equilibrium", species, "heat capacity of dissociation", "J/(mol*K)")
        bend = (_STANDARD / kelvin - 1 + np.log(kelvin / _STANDARD)) / (_GAS_CONSTANT * _LN10)
        return number("equilibrium", species, "pK at 25 degC", "1") + heat * inverse - capacity * bend
    gain = "enthalpy of formation"
    heat = number("equilibrium", species, gain, "J/mol") if gain in table else 0.0
    return number("equilibrium", species, "log K at 25 degC", "1") - heat * inverse


def proton_constants(ligand: Ligand, kelvin: Any) -> list[Any]:
    """log10 of the constants that build each form of a ligand from its bare form and protons."""
    if ligand.total == "DIC":  # published for both steps at once
        return [0.0, log_k("HCO3-", kelvin), log_k("CO2", kelvin)]
    built = [np.asarray(0.0)]
    for form in ligand.forms[1:]:
        built.append(built[-1] + log_k(form, kelvin))
    return built


def log_henry_constant(kelvin: Any) -> Any:
    """log10 of Henry's constant of CO2 in pure water, mol/(kg atm). Source: Weiss (1974), eq. 12."""
    a, b, c = (
        number("equilibrium", "CO2 gas", f"ln K0 {part}", "1")
        for part in ("constant", "per 100 K over T", "ln of T over 100 K")
    )
    hundreds = kelvin / 100
    return (a + b / hundreds + c * np.log(hundreds)) / _LN10


def log_activity_coefficient(root: Any, kelvin: Any) -> Any:
    """log10 of the activity coefficient of an ion of one charge, by Davies; times z² for others.

    ``root`` is the square root of the ionic strength, (mol/kg)^0.5. Source: Davies (1962).
    """
    linear = number("equilibrium", "Davies", "linear term", "1")
    return -debye_hueckel_slope(kelvin) * (root / (1 + root) - linear * root**2)


def debye_hueckel_slope(kelvin: Any) -> Any:
    """A of the Davies equation, (kg/mol)^0.5, from density and permittivity of water. 0.511 at 25 degC.

    Source: permittivity by Bradley and Pitzer (1979) at 1 bar.
    """
    u = [number("equilibrium", "water", f"permittivity U{i}", "1") for i in range(1, 10)]
    at_1000_bar = u[0] * np.exp(u[1] * kelvin + u[2] * kelvin**2)
    c = u[3] + u[4] / (u[5] + kelvin)
    b = u[6] + u[7] / kelvin + u[8] * kelvin
    permittivity = at_1000_bar + c * np.log((b + 1) / (b + 1000))
    prefactor = number("equilibrium", "Debye-Hueckel", "prefactor", "1")
    return prefactor * np.sqrt(density(kelvin - ZERO_CELSIUS) / 1000) / (permittivity * kelvin) ** 1.5
