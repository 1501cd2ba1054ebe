"""Saturation indices of the solids a tank may drop, from an equilibrium that was solved.

Plain numbers, mol/kg water and °C, in any shape. Gypsum, which needs no pH, is in ``pairs``.
"""

from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank import tables

from .equilibrium import Equilibrium, State, log_activity_coefficient, log_k, reagent_to_ph, solve
from .equilibrium.constants import ZERO_CELSIUS

_BASE = MappingProxyType(
    {"strong_charge": 1.0}
)  # a base that brings nothing but its charge; below zero an acid
_ANIONS = MappingProxyType({"calcite": "CO3-2", "brushite": "HPO4-2"})


def state_at_ph(state: State, ph: Any = None, log_pco2: Any = None) -> Equilibrium:
    """A state solved as it is, or brought to a pH by a base or acid that brings no nutrient."""
    return solve(state, log_pco2) if ph is None else reagent_to_ph(state, ph, _BASE, log_pco2)


def saturation_index(found: Equilibrium, solid: str, celsius: Any) -> Any:
    """log10 of the ion product of "calcite" or "brushite" over its solubility product; above 0 it can fall out.

    Minus infinity where one of the ions is missing.
    """
    kelvin = np.asarray(celsius, float) + ZERO_CELSIUS
    with np.errstate(divide="ignore"):
        product = np.log10(found.species["Ca+2"]) + np.log10(found.species.get(_ANIONS[solid], 0.0))
    shift = 8 * log_activity_coefficient(np.sqrt(found.ionic_strength), kelvin)  # two ions of two charges
    constant = (
        log_k("calcite", kelvin) if solid == "calcite" else tables.number("pairs", "brushite", "log K", "1")
    )
    return product + shift - constant
