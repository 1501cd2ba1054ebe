"""Asking for an equilibrium: states go in as plain arrays, are checked, and come back solved."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np

from stilltank.tables import number
from stilltank.units import (
    OutOfRange,
    PlainNumber,
    Problem,
    Quantity,
    Unreadable,
    check_shapes,
    pure_number,
    takes,
    within,
)
from stilltank.units.types import Array, Plain

from .constants import LIGANDS
from .solver import INERT, METALS, Batch, Found

State: TypeAlias = Mapping[str, Plain]
"""Plain mol per kg of water by name, see ``equilibrium``."""
TOTALS = (*METALS, *INERT, *(ligand.total for ligand in LIGANDS))
KEYS = (*TOTALS, "strong_charge", "temperature")


@dataclass(frozen=True, slots=True)
class Equilibrium:
    """Solutions at equilibrium, in the shape of the state that was solved; mol per kg of water.

    A single solution has numpy's numbers in place of arrays.

    Parameters
    ----------
    ph : array
        The pH.
    ionic_strength : array
        mol/kg.
    dic : array
        All dissolved inorganic carbon.
    log_pco2 : array
        log10 of the CO2 pressure, atm, with which the water would be in balance; -inf without carbonate.
    dose : array
        The reagent taken, 0 where none was asked for.
    protons : array
        The H+ that one unit of the reagent gives at this pH.
    species : mapping of str to array
        Free ions, acids and pairs.

    Examples
    --------
    >>> round(float(solve({}).ph), 2)  # pure water at 25 degC
    7.0
    """

    ph: Array
    ionic_strength: Array
    dic: Array
    log_pco2: Array
    dose: Array
    protons: Array
    species: Mapping[str, Array]


@takes(state=Mapping, log_pco2=PlainNumber(-3.4))
def solve(state: State, log_pco2: Plain | None = None) -> Equilibrium:
    """Find the pH of solutions, and every species in them.

    Parameters
    ----------
    state : mapping of str to float or array
        Plain mol per kg of water: Ca, Mg, K, Na, NH4, NO3, SO4, Cl, P, B, DIC, citrate (missing: 0);
        ``strong_charge`` in eq/kg and ``temperature`` in degC (missing: 25). Arrays broadcast.
    log_pco2 : float or array, optional
        log10 of the CO2 pressure in atm the solution is open to. Left out, it is closed: DIC stays.

    Returns
    -------
    Equilibrium
        Every species, in the common shape of the state.

    Raises
    ------
    Unreadable
        Something is no plain number.
    OutOfRange
        The pH is outside 1 to 13, the ionic strength above 0.5 mol/kg, the temperature outside 0 to 40 degC, or an
        amount below zero.
    Problem
        A name is unknown, or the arrays do not fit.

    See Also
    --------
    reagent_to_ph : How much of a reagent brings the same solutions to a pH.

    Examples
    --------
    >>> float(solve({}, log_pco2=log_pco2_of_air()).ph.round(3))  # rain, 25 degC
    5.598
    """
    values, shape, size, log_p, _ = _ready(state, log_pco2, None)
    return _answer(Batch(values, size, log_p, {}).search(None), shape)


@takes(state=Mapping, ph=PlainNumber(5.8), reagent=Mapping, log_pco2=PlainNumber(-3.4))
def reagent_to_ph(
    state: State, ph: Plain, reagent: Mapping[str, float], log_pco2: Plain | None = None
) -> Equilibrium:
    """Find how much of a reagent brings solutions to a pH.

    Parameters
    ----------
    state : mapping of str to float or array
        Plain mol per kg of water, as for ``solve``.
    ph : float or array
        The pH to reach.
    reagent : mapping of str to float
        What one unit adds: ``{"NO3": 1, "strong_charge": -1}`` for nitric acid, ``{"P": 1}`` for phosphoric
        acid, ``{"K": 1, "strong_charge": 1}`` for potassium hydroxide.
    log_pco2 : float or array, optional
        log10 of the CO2 pressure in atm the solution is open to. Left out, it is closed.

    Returns
    -------
    Equilibrium
        ``dose`` in mol of reagent per kg of water; negative where reagent would have to be taken out.

    Raises
    ------
    Unreadable
        Something is no plain number.
    OutOfRange
        No amount of the reagent reaches the pH, or as for ``solve``.
    Problem
        A name is unknown, or the arrays do not fit.

    See Also
    --------
    solve : The same without a reagent.

    Examples
    --------
    >>> soft = {"Na": 0.002, "DIC": 0.002, "strong_charge": 0.002}
    >>> float((1000 * reagent_to_ph(soft, 5.8, {"NO3": 1, "strong_charge": -1}).dose).round(2))  # mmol/kg
    1.55
    """
    found, shape = _dosed(state, ph, reagent, log_pco2)
    greatest = number("equilibrium", "solver", "greatest amount", "mol/kg")
    beyond = np.abs(found.dose) > greatest
    if np.any(beyond):
        first = np.argmax(beyond)
        raise OutOfRange(
            f"To reach pH {np.broadcast_to(ph, shape).ravel()[first]:g} would take {abs(found.dose[first]):.3g} mol "
            f"of reagent in a kg of water, more than the {greatest:g} this method holds for. Choose a nearer pH, or "
            "a stronger acid or base."
        )
    return _answer(found, shape)


def log_pco2_of_air() -> float:
    """Carbon dioxide pressure of outdoor air (420 ppm), as its logarithm.

    Returns
    -------
    float
        log10 of the pressure in atm.

    Examples
    --------
    >>> round(log_pco2_of_air(), 2)
    -3.38
    """
    return number("equilibrium", "air", "log pCO2", "1")


@takes(alkalinity=PlainNumber(0.0026), ammonium=PlainNumber(0.001), phosphorus=PlainNumber(0.001))
def conservative_charge(alkalinity: Plain, ammonium: Plain = 0.0, phosphorus: Plain = 0.0) -> Plain:
    """Strong charge of a water by its alkalinity.

    Parameters
    ----------
    alkalinity : float or array
        Plain eq per kg of water.
    ammonium, phosphorus : float or array
        Plain mol per kg of water.

    Returns
    -------
    float or array
        Plain eq/kg, for the ``strong_charge`` of a state.

    Raises
    ------
    Unreadable
        Something is no plain number.

    See Also
    --------
    titration_alkalinity : The way back.

    Notes
    -----
    An alkalinity titration ends where ammonium is NH4+ and phosphate H2PO4-, hence their terms.

    Examples
    --------
    >>> conservative_charge(0.0026)
    0.0026
    """
    return alkalinity - ammonium + phosphorus


@takes(state=Mapping)
def titration_alkalinity(state: State) -> Plain:
    """Alkalinity of a state by titration to CO2, NH4+ and H2PO4-; citrate is not counted.

    Parameters
    ----------
    state : mapping of str to float or array
        Plain mol per kg of water, as for ``solve``.

    Returns
    -------
    float or array
        Plain eq/kg.

    Raises
    ------
    Problem
        A name is unknown.

    See Also
    --------
    conservative_charge : The way back.

    Notes
    -----
    Losing or taking up CO2 does not change it.

    Examples
    --------
    >>> titration_alkalinity({"strong_charge": 0.0026, "NH4": 0.0})
    0.0026
    """
    _known(state)
    return state.get("strong_charge", 0.0) + state.get("NH4", 0.0) - state.get("P", 0.0)


@takes(alkalinity=PlainNumber(0.002), ph=PlainNumber(7.6), celsius=PlainNumber(15), state=Mapping)
def dic_from_alkalinity(
    alkalinity: Plain, ph: Plain, celsius: Plain = 25.0, state: State | None = None
) -> Plain:
    """Dissolved inorganic carbon of a water of known alkalinity and pH; ``solve`` then returns that pH.

    Parameters
    ----------
    alkalinity : float or array
        Plain eq per kg of water.
    ph : float or array
        As it was measured.
    celsius : float or array
        Plain temperature, degC.
    state : mapping of str to float or array, optional
        The other totals of the water, mol/kg; a DIC, strong_charge or temperature in it is not used.

    Returns
    -------
    float or array
        Plain mol/kg.

    Raises
    ------
    Unreadable
        Something is no plain number.
    OutOfRange
        Alkalinity and pH do not belong together: there would be less than no carbonate, or more CO2 than soda water
        holds.
    Problem
        A name is unknown, or the arrays do not fit.

    Examples
    --------
    >>> round(1000 * float(dic_from_alkalinity(0.001998264, 8.0, state={"Na": 0.001998264})), 4)
    2.0287
    """
    water = {key: value for key, value in (state or {}).items() if key != "DIC"}
    water["temperature"] = celsius
    water["strong_charge"] = conservative_charge.plain(
        np.asarray(alkalinity, dtype=float), water.get("NH4", 0.0), water.get("P", 0.0)
    )
    found, shape = _dosed(water, ph, {"DIC": 1.0}, None)
    if np.any(found.dose < 0):
        raise OutOfRange(
            "The alkalinity is too low for the pH: even with no carbonate in it this water would stand at a "
            "lower pH. Measure both again in one sample. For pure water give no alkalinity."
        )
    if np.any(found.log_pco2 > np.log10(number("equilibrium", "solver", "greatest CO2 pressure", "atm"))):
        raise OutOfRange(
            "The pH is too low for the alkalinity: this water would hold more CO2 than soda water does. "
            "Measure both again in one sample."
        )
    return _answer(found, shape).dose


def _dosed(
    state: State, ph: Plain, reagent: Mapping[str, float], log_pco2: Plain | None
) -> tuple[Found, tuple[int, ...]]:
    _known(reagent)
    for key, value in reagent.items():
        if np.ndim(pure_number(value, 1, key, "A reagent")):
            raise Unreadable(f"A reagent adds one number of {key}; you gave several.")
    low, high = _limits("pH")
    within(ph, low, high, f"The solver works from pH {low:g} to {high:g}; pH {{value:g}} lies outside.")
    values, shape, size, log_p, wanted = _ready(state, log_pco2, ph)
    return Batch(values, size, log_p, reagent).search(wanted), shape


def _known(keys: Mapping[str, Any]) -> None:
    unknown = sorted(set(keys) - set(KEYS))
    if unknown:
        raise Problem(f"An equilibrium knows {', '.join(KEYS)}. It does not know {', '.join(unknown)}.")


def _limits(what: str) -> tuple[float, float]:
    low, high = (number("equilibrium", "solver", f"{end} {what}", "1") for end in ("lowest", "highest"))
    return low, high


def _ready(
    state: State, log_pco2: Plain | None, ph: Plain | None
) -> tuple[dict[str, Array], tuple[int, ...], int, Array | None, Array | None]:
    """Check a state and bring it to flat arrays: all of one length, or of length 1."""
    _known(state)
    given = {"temperature": 25.0, **state, "log_pco2": log_pco2, "ph": ph}
    values = {key: _numbers(key, value) for key, value in given.items() if value is not None}
    greatest = number("equilibrium", "solver", "greatest amount", "mol/kg")
    for key, value in values.items():
        if key in TOTALS:
            within(value, 0, np.inf, f"An amount of {key} cannot be below zero; {{value:g}} mol/kg is.")
            within(
                value,
                0,
                greatest,
                f"{{value:.3g}} mol/kg of {key} is more than the {greatest:g} this method holds for.",
            )
    low, high = _limits("temperature")
    within(
        values["temperature"],
        low,
        high,
        f"The constants hold from {low:g} to {high:g} degC; {{value:g}} degC lies outside.",
    )
    check_shapes({key: value.shape for key, value in values.items()}, "An equilibrium")
    shape = np.broadcast_shapes(*(value.shape for value in values.values()))
    flat = {
        key: value.reshape(1) if value.size == 1 else np.broadcast_to(value, shape).ravel()
        for key, value in values.items()
    }
    log_p, wanted = flat.pop("log_pco2", None), flat.pop("ph", None)
    return flat, shape, int(np.prod(shape, dtype=int)), log_p, wanted


def _numbers(key: str, value: Any) -> Array:
    array = np.asarray(None if isinstance(value, Quantity) else value)
    if array.dtype.kind not in "iuf" or not np.all(np.isfinite(array)):
        raise OutOfRange(f"An equilibrium needs plain numbers; {key} has a value that is not one.")
    return array.astype(float)


def _answer(found: Found, shape: tuple[int, ...]) -> Equilibrium:
    """Refuse what lies outside the limits of the method; bring the rest to the shape asked for."""
    low, high = _limits("pH")
    slack = 1e-6
    within(
        found.ph,
        low - slack,
        high + slack,
        f"The solver works from pH {low:g} to {high:g}; this solution is near pH {{value:.2g}}.",
    )
    strongest = number("equilibrium", "Davies", "highest ionic strength", "mol/kg")
    within(
        found.ionic_strength,
        0,
        strongest,
        f"The solution is too strong for this method: its ionic strength is {{value:.2g}} mol/kg, and it holds "
        f"up to {strongest:g}. A concentrate has no pH here; ask for the solution in the tank.",
    )

    def shaped(value: Array) -> Array:
        whole: Array = np.broadcast_to(value, (found.ph.size,)).reshape(shape)[()]
        return whole

    species = {name: shaped(value) for name, value in found.species.items()}
    carbonate = LIGANDS[0]
    holding = (*carbonate.forms, *(pair for pairs in carbonate.pairs.values() for pair in pairs))
    dic = sum((species[name] for name in holding if name in species), shaped(np.zeros(1)))
    return Equilibrium(
        shaped(found.ph),
        shaped(found.ionic_strength),
        dic,
        shaped(found.log_pco2),
        shaped(found.dose),
        shaped(found.protons),
        species,
    )
