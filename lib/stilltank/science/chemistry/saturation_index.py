"""Saturation indices of the solids a tank may drop, from an equilibrium that was solved.

Plain numbers, mol/kg water and °C, in any shape. Gypsum, which needs no pH, is in ``ion_pairs``.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.units import PlainNumber, takes
from stilltank.units.types import Plain

from .equilibrium import Equilibrium, State, log_activity_coefficient, log_k, reagent_to_ph, solve
from .equilibrium.constants import ZERO_CELSIUS

_BASE = MappingProxyType(
    {"strong_charge": 1.0}
)  # a base that brings nothing but its charge; below zero an acid
_ANIONS = MappingProxyType({"calcite": "CO3-2", "brushite": "HPO4-2"})


@takes(state=Mapping, ph=PlainNumber(6.5), log_pco2=PlainNumber(-3.4))
def state_at_ph(state: State, ph: Plain | None = None, log_pco2: Plain | None = None) -> Equilibrium:
    """Solve a state as it is, or brought to a pH by a base or acid that brings no nutrient.

    Parameters
    ----------
    state : mapping of str to float or array
        Plain mol per kg of water, as for ``solve``.
    ph : float or array, optional
        The pH to bring it to; as it is when left out.
    log_pco2 : float or array, optional
        log10 of the CO2 pressure in atm the solution is open to. Left out, it is closed.

    Returns
    -------
    Equilibrium
        Every species, in the common shape of the inputs.

    Raises
    ------
    Unreadable
        Something is no plain number.
    OutOfRange
        As for ``solve`` and ``reagent_to_ph``.
    Problem
        A name is unknown, or the arrays do not fit.

    Examples
    --------
    >>> round(float(state_at_ph({"Ca": 0.001, "strong_charge": 0.002, "DIC": 0.002}, 7.0).ph), 2)
    7.0
    """
    return solve(state, log_pco2) if ph is None else reagent_to_ph(state, ph, _BASE, log_pco2)


@takes(found=Equilibrium, solid=tuple(_ANIONS), celsius=PlainNumber(20))
def saturation_index(found: Equilibrium, solid: str, celsius: Plain) -> Plain:
    """Saturation index of calcite or brushite: below 0 it dissolves, above 0 it can fall out.

    Parameters
    ----------
    found : Equilibrium
        A solution that was solved.
    solid : str
        ``"calcite"``, which is lime, or ``"brushite"``, the calcium phosphate that forms first.
    celsius : float or array
        Plain temperature at which it was solved, degC.

    Returns
    -------
    float or array
        log10 of the ion product over the solubility product; minus infinity where one of the ions is missing.

    Raises
    ------
    Unreadable
        It is no Equilibrium, another solid, or no plain number.

    See Also
    --------
    gypsum_saturation_index : Of gypsum, which needs no pH.

    References
    ----------
    PlummerBusenberg1982; Davies1962; data/pairs.csv for brushite.

    Examples
    --------
    >>> lime = solve({"Ca": 0.001, "strong_charge": 0.002, "DIC": 0.002})
    >>> round(float(saturation_index(lime, "calcite", 25.0)), 1)
    0.4
    """
    kelvin: Any = np.asarray(celsius, float) + ZERO_CELSIUS
    with np.errstate(divide="ignore"):
        product = np.log10(found.species["Ca+2"]) + np.log10(found.species.get(_ANIONS[solid], 0.0))
    shift = 8 * log_activity_coefficient.plain(
        np.sqrt(found.ionic_strength), kelvin
    )  # two ions of two charges
    constant = (
        log_k.plain("calcite", kelvin)
        if solid == "calcite"
        else tables.number("pairs", "brushite", "log K", "1")
    )
    return product + shift - constant
