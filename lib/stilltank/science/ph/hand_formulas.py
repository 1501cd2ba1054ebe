"""Alkalinity in its two units, and the formulas one can do by hand: good for teaching, not for dosing."""

from typing import Any

import numpy as np

from stilltank.science.chemistry import ZERO_CELSIUS, caco3_equivalent_mass, log_k
from stilltank.units import Q, pure_number, takes, within


@takes(charge="mmol/L")
def alkalinity_as_caco3(charge: Any) -> Any:
    """Turn alkalinity from mmol of charge in a litre (meq/L) into mg/L as CaCO3.

    Parameters
    ----------
    charge : quantity, mmol/L

    Returns
    -------
    quantity, mg/L

    Raises
    ------
    UnitNeeded   no unit

    Example
    -------
    >>> round(alkalinity_as_caco3(Q(2, "mmol/L")).magnitude, 1)
    100.1
    """
    return Q(charge * caco3_equivalent_mass(), "mg/L")


@takes(caco3="mg/L")
def alkalinity_as_charge(caco3: Any) -> Any:
    """Turn alkalinity from mg/L as CaCO3 into mmol of charge in a litre (meq/L).

    Parameters
    ----------
    caco3 : quantity, mg/L

    Returns
    -------
    quantity, mmol/L

    Raises
    ------
    UnitNeeded   no unit

    Example
    -------
    >>> round(alkalinity_as_charge(Q(130, "mg/L")).magnitude, 2)
    2.6
    """
    return Q(caco3 / caco3_equivalent_mass(), "mmol/L")


@takes(temperature="degC")
def bicarbonate_share(ph: Any, temperature: Any = None) -> Any:
    """Share of the dissolved carbonate that is bicarbonate, by hand: 1/(1 + 10^(pK1 - pH)).

    Parameters
    ----------
    ph : number or array
        Below about 8, where carbonate ions do not count.
    temperature : quantity, default 25 degC

    Returns
    -------
    number or array, 0 to 1

    Raises
    ------
    OutOfRange   a pH outside 0 to 14

    Example
    -------
    >>> round(float(bicarbonate_share(5.8)), 3)
    0.219
    """
    ph = pure_number(ph, 5.8, "ph", "bicarbonate_share")
    within(ph, 0, 14, "A pH lies between 0 and 14; {value:g} does not.")
    return _share(ph, temperature)


def hydrogen_from_ph(ph: Any) -> Any:
    """H+ in a litre, by the definition of pH: 10^-pH mol/L.

    Parameters
    ----------
    ph : number or array

    Returns
    -------
    quantity, mol/L

    Raises
    ------
    OutOfRange   a pH outside 0 to 14

    Example
    -------
    >>> [f'{hydrogen_from_ph(ph).m_as("umol/L"):g}' for ph in (5, 7)]
    ['10', '0.1']

    Limits: the definition speaks of the activity of H+; taken for the amount it is 7 percent low in tap water
    (0.005 mol/kg) and 13 percent in a nutrient solution (0.02 mol/kg), by the Davies equation. As a ratio within
    one water it is exact.
    """
    ph = pure_number(ph, 5.8, "ph", "hydrogen_from_ph")
    within(ph, 0, 14, "A pH lies between 0 and 14; {value:g} does not.")
    return Q(10.0 ** -np.asarray(ph, dtype=float)[()], "mol/L")


@takes(hydrogen="mol/L")
def ph_from_hydrogen(hydrogen: Any) -> Any:
    """pH of an amount of H+ in a litre, by its definition: the reverse of ``hydrogen_from_ph``.

    Parameters
    ----------
    hydrogen : quantity, mol/L

    Returns
    -------
    number or array

    Raises
    ------
    UnitNeeded   no unit
    OutOfRange   an amount whose pH lies outside 0 to 14

    Example
    -------
    >>> f'{ph_from_hydrogen((hydrogen_from_ph(5) + hydrogen_from_ph(7)) / 2):.2f}'
    '5.30'

    Limits: as ``hydrogen_from_ph``. Waters that hold alkalinity or phosphate do not mix this way: use
    ``mixing.blend`` and ``ph_of``.
    """
    within(hydrogen, 1e-14, 1, "H+ in water lies between 1e-14 and 1 mol/L; {value:g} does not.")
    return -np.log10(hydrogen)


@takes(alkalinity="mmol/L", carbonate="mmol/L", temperature="degC")
def hand_dose_closed(
    alkalinity: Any, carbonate: Any, target: Any, protons: float = 1, temperature: Any = None
) -> Any:
    """Acid for a pH by hand, no carbon dioxide lost: (alkalinity - carbonate x bicarbonate share)/protons.

    Parameters
    ----------
    alkalinity : quantity, mmol of charge in a litre
    carbonate : quantity, mmol/L
        All dissolved inorganic carbon; near pH 8 about the alkalinity.
    target : number, the pH wanted
    protons : number
        H+ each molecule of acid gives.
    temperature : quantity, default 25 degC

    Returns
    -------
    quantity, mmol/L

    Raises
    ------
    UnitNeeded   no unit
    OutOfRange   a pH outside 0 to 14, or protons outside 1 to 3

    Example
    -------
    >>> round(hand_dose_closed(Q(2, "mmol/L"), Q(2, "mmol/L"), 5.8).magnitude, 2)
    1.56

    Limits: 1 to 4 percent high for strong acids in plain water down to pH 5.8, 2 to 5 percent at pH 6 (tap water
    of 80 to 240 mg/L as CaCO3 at pH 7.6 to 8, against ``acid_dose``), 9 percent for phosphoric acid; it knows no
    activities, no pairs and no phosphate. Dose with ``acid_dose``.
    """
    target = pure_number(target, 5.8, "target", "hand_dose_closed")
    protons = pure_number(protons, 1, "protons", "hand_dose_closed")
    within(protons, 1, 3, "An acid gives 1 to 3 H+ a molecule; {value:g} is outside.")
    within(target, 0, 14, "A pH lies between 0 and 14; {value:g} does not.")
    return Q((alkalinity - carbonate * _share(target, temperature)) / protons, "mmol/L")


@takes(alkalinity="mmol/L")
def hand_dose_open(alkalinity: Any, protons: float = 1) -> Any:
    """Acid for a pH below 6 by hand, all carbon dioxide gone: alkalinity/protons.

    Parameters
    ----------
    alkalinity : quantity, mmol of charge in a litre
    protons : number
        H+ each molecule of acid gives.

    Returns
    -------
    quantity, mmol/L

    Raises
    ------
    UnitNeeded   no unit
    OutOfRange   protons outside 1 to 3

    Example
    -------
    >>> hand_dose_open(Q(2, "mmol/L"), protons=2).magnitude
    1.0

    Limits: under 1 percent high for strong acids, several percent for phosphoric acid. Dose with ``acid_dose``.
    """
    protons = pure_number(protons, 1, "protons", "hand_dose_open")
    within(protons, 1, 3, "An acid gives 1 to 3 H+ a molecule; {value:g} is outside.")
    return Q(alkalinity / protons, "mmol/L")


def _share(ph: Any, celsius: Any) -> Any:
    kelvin = np.asarray(25.0 if celsius is None else celsius) + ZERO_CELSIUS
    pk1 = log_k.plain("CO2", kelvin) - log_k.plain("HCO3-", kelvin)
    return 1 / (1 + 10 ** (pk1 - np.asarray(ph, dtype=float)))
