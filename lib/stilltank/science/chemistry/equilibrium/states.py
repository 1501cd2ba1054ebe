"""Asking for an equilibrium: states go in as plain arrays, are checked, and come back solved."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, within

from .constants import LIGANDS
from .forms import Array
from .solver import INERT, METALS, Batch, Found

State = Mapping[str, Any]
TOTALS = (*METALS, *INERT, *(ligand.total for ligand in LIGANDS))
KEYS = (*TOTALS, "strong_charge", "temperature")


@dataclass(frozen=True, slots=True)
class Equilibrium:
    """Solutions at equilibrium, in the shape of the state that was solved; mol per kg of water.

    ``species`` holds free ions, acids and pairs; ``dic`` all dissolved inorganic carbon; ``log_pco2`` the
    CO2 pressure the water would be at rest with (log10 of atm, -inf without carbonate); ``dose`` the reagent
    taken, 0 where none was asked for, and ``protons`` the H+ that one unit of it gives at this pH.
    """

    ph: Any
    ionic_strength: Any
    dic: Any
    log_pco2: Any
    dose: Any
    protons: Any
    species: dict[str, Any]


def solve(state: State, log_pco2: Any = None) -> Equilibrium:
    """Find the pH of solutions, and every species in them.

    Parameters
    ----------
    state : mapping of str to number or array
        mol per kg of water: Ca, Mg, K, Na, NH4, NO3, SO4, Cl, P, B, DIC, citrate (missing: 0);
        ``strong_charge`` in eq/kg and ``temperature`` in degC (missing: 25). Arrays broadcast.
    log_pco2 : number or array, optional
        log10 of the CO2 pressure in atm the solution is open to. Left out, it is closed: DIC stays.

    Returns
    -------
    Equilibrium

    Raises
    ------
    OutOfRange   pH outside 1 to 13, ionic strength above 0.5 mol/kg, temperature outside 0 to 40 degC, a
                 negative amount
    Problem      an unknown key

    Example
    -------
    >>> float(solve({}, log_pco2=log_pco2_of_air()).ph.round(3))  # rain, 25 degC
    5.598
    """
    values, shape, size, log_p, _ = _ready(state, log_pco2, None)
    return _answer(Batch(values, size, log_p, {}).search(None), shape)


def reagent_to_ph(state: State, ph: Any, reagent: Mapping[str, float], log_pco2: Any = None) -> Equilibrium:
    """Find how much of a reagent brings solutions to a pH.

    Parameters
    ----------
    state, log_pco2 : as for ``solve``
    ph : number or array
    reagent : mapping of str to float
        What one unit adds: ``{"NO3": 1, "strong_charge": -1}`` for nitric acid, ``{"P": 1}`` for phosphoric
        acid, ``{"K": 1, "strong_charge": 1}`` for potassium hydroxide.

    Returns
    -------
    Equilibrium
        ``dose`` in mol of reagent per kg of water; negative where reagent would have to be taken out.

    Raises
    ------
    OutOfRange, Problem   as ``solve``; also a pH no amount of the reagent reaches

    Example
    -------
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
    """log10 of the CO2 pressure of outdoor air, atm (420 ppm)."""
    return number("equilibrium", "air", "log pCO2", "1")


def conservative_charge(alkalinity: Any, ammonium: Any = 0.0, phosphorus: Any = 0.0) -> Any:
    """The strong charge of a water by its alkalinity, eq/kg (ammonium and phosphorus in mol/kg).

    An alkalinity titration ends where ammonium is NH4+ and phosphate H2PO4-, hence their terms.

    Example
    -------
    >>> conservative_charge(0.0026)
    0.0026
    """
    return alkalinity - ammonium + phosphorus


def titration_alkalinity(state: State) -> Any:
    """Alkalinity of a state by titration to CO2, NH4+ and H2PO4-, eq/kg; citrate is not counted.

    Losing or taking up CO2 does not change it.

    Example
    -------
    >>> titration_alkalinity({"strong_charge": 0.0026, "NH4": 0.0})
    0.0026
    """
    return state.get("strong_charge", 0.0) + state.get("NH4", 0.0) - state.get("P", 0.0)


def dic_from_alkalinity(alkalinity: Any, ph: Any, temperature: Any = 25.0, state: State | None = None) -> Any:
    """Dissolved inorganic carbon of a water of known alkalinity and pH; ``solve`` then returns that pH.

    Parameters
    ----------
    alkalinity : number or array, eq/kg
    ph : number or array
    temperature : number or array, degC
    state : mapping, optional
        The other totals of the water, mol/kg; a DIC, strong_charge or temperature in it is not used.

    Returns
    -------
    number or array, mol/kg

    Raises
    ------
    OutOfRange   alkalinity and pH do not belong together: there would be less than no carbonate, or more CO2
                 than soda water holds

    Example
    -------
    >>> round(1000 * float(dic_from_alkalinity(0.001998264, 8.0, state={"Na": 0.001998264})), 4)
    2.0287
    """
    water = {key: value for key, value in (state or {}).items() if key != "DIC"}
    water["temperature"] = temperature
    water["strong_charge"] = conservative_charge(
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
    state: State, ph: Any, reagent: Mapping[str, float], log_pco2: Any
) -> tuple[Found, tuple[int, ...]]:
    _known(reagent)
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
    state: State, log_pco2: Any, ph: Any
) -> tuple[dict[str, Array], tuple[int, ...], int, Array | None, Array | None]:
    """Check a state and bring it to flat arrays: all of one length, or of length 1."""
    _known(state)
    given = {"temperature": 25.0, **state, "log_pco2": log_pco2, "ph": ph}
    values = {key: np.asarray(value, dtype=float) for key, value in given.items() if value is not None}
    greatest = number("equilibrium", "solver", "greatest amount", "mol/kg")
    for key, value in values.items():
        if not np.all(np.isfinite(value)):
            raise OutOfRange(f"An equilibrium needs numbers; {key} has a value that is not one.")
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
    shape = np.broadcast_shapes(*(value.shape for value in values.values()))
    flat = {
        key: value.reshape(1) if value.size == 1 else np.broadcast_to(value, shape).ravel()
        for key, value in values.items()
    }
    log_p, wanted = flat.pop("log_pco2", None), flat.pop("ph", None)
    return flat, shape, int(np.prod(shape, dtype=int)), log_p, wanted


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

    def shaped(value: Array) -> Any:
        return np.broadcast_to(value, (found.ph.size,)).reshape(shape)[()]

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
