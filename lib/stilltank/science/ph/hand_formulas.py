"""Alkalinity in its two units, and the formulas one can do by hand: good for teaching, not for dosing."""

import numpy as np

from stilltank.science.chemistry import ZERO_CELSIUS, caco3_equivalent_mass, log_k
from stilltank.units import PlainNumber, takes, within
from stilltank.units.types import Plain, Quantity

from ._state import check_ph


@takes(charge="mmol/L", returns="mg/L")
def alkalinity_as_caco3(charge: Quantity) -> Quantity:
    """Turn alkalinity from mmol of charge in a litre (meq/L) into mg/L as CaCO3.

    Parameters
    ----------
    charge : Quantity
        Amount of charge in each litre, such as mmol/L; one or an array.

    Returns
    -------
    Quantity
        In mg/L as CaCO3, with the shape of ``charge``.

    Raises
    ------
    UnitNeeded
        A charge that has no unit.

    See Also
    --------
    alkalinity_as_charge : The other way round.

    Examples
    --------
    >>> round(alkalinity_as_caco3(Q(2, "mmol/L")).magnitude, 1)
    100.1
    """
    return charge * caco3_equivalent_mass()


@takes(caco3="mg/L", returns="mmol/L")
def alkalinity_as_charge(caco3: Quantity) -> Quantity:
    """Turn alkalinity from mg/L as CaCO3 into mmol of charge in a litre (meq/L).

    Parameters
    ----------
    caco3 : Quantity
        Mass of CaCO3 in each litre, such as mg/L; one or an array.

    Returns
    -------
    Quantity
        In mmol/L of charge, with the shape of ``caco3``.

    Raises
    ------
    UnitNeeded
        A mass in each litre that has no unit.

    See Also
    --------
    alkalinity_as_caco3 : The other way round.

    Examples
    --------
    >>> round(alkalinity_as_charge(Q(130, "mg/L")).magnitude, 2)
    2.6
    """
    return caco3 / caco3_equivalent_mass()


@takes(ph=PlainNumber(5.8), temperature="degC")
def bicarbonate_share(ph: Plain, temperature: Quantity | None = None) -> Plain:
    """Find the share of the dissolved carbonate that is bicarbonate, by hand.

    Parameters
    ----------
    ph : float or array
        Below about 8, where carbonate ions do not count.
    temperature : Quantity, optional
        Temperature, one or an array; 25 °C when left out.

    Returns
    -------
    float or array
        From 0 to 1.

    Raises
    ------
    OutOfRange
        A pH outside 0 to 14.
    UnitNeeded
        A temperature that has no unit.
    Unreadable
        A pH that is not a number.

    See Also
    --------
    hand_dose_closed : Where it is used.

    Notes
    -----
    .. math:: \\frac{1}{1 + 10^{pK_1 - pH}}

    Examples
    --------
    >>> round(float(bicarbonate_share(5.8)), 3)
    0.219
    """
    check_ph(ph)
    return _share(ph, temperature)


@takes(ph=PlainNumber(5.8), returns="mol/L")
def hydrogen_from_ph(ph: Plain) -> Quantity:
    """Find the H+ in a litre by the definition of pH.

    Parameters
    ----------
    ph : float or array
        From 0 to 14.

    Returns
    -------
    Quantity
        In mol/L, with the shape of ``ph``.

    Raises
    ------
    OutOfRange
        A pH outside 0 to 14.
    Unreadable
        A pH that is not a number.

    See Also
    --------
    ph_from_hydrogen : The other way round.

    Notes
    -----
    .. math:: [H^+] = 10^{-pH}

    The definition speaks of the activity of H+. Taken for the amount it is 7 percent low in tap water (0.005 mol/kg)
    and 13 percent in a nutrient solution (0.02 mol/kg), by the Davies equation. As a ratio within one water it is
    exact.

    References
    ----------
    Davies1962.

    Examples
    --------
    >>> [f'{hydrogen_from_ph(ph).m_as("umol/L"):g}' for ph in (5, 7)]
    ['10', '0.1']
    """
    check_ph(ph)
    return 10.0 ** -np.asarray(ph, dtype=float)[()]  # type: ignore[return-value]


@takes(hydrogen="mol/L")
def ph_from_hydrogen(hydrogen: Quantity) -> Plain:
    """Find the pH of an amount of H+ in a litre by its definition.

    Parameters
    ----------
    hydrogen : Quantity
        Amount in each litre, such as mol/L; one or an array.

    Returns
    -------
    float or array
        From 0 to 14, with the shape of ``hydrogen``.

    Raises
    ------
    UnitNeeded
        An amount that has no unit.
    OutOfRange
        An amount whose pH is outside 0 to 14.

    See Also
    --------
    hydrogen_from_ph : The other way round; its limits hold here too.

    Notes
    -----
    Waters that hold alkalinity or phosphate do not mix this way: use `stilltank.science.mixing.blend` and `ph_of`.

    Examples
    --------
    >>> f'{ph_from_hydrogen((hydrogen_from_ph(5) + hydrogen_from_ph(7)) / 2):.2f}'
    '5.30'
    """
    within(hydrogen, 1e-14, 1, "H+ in water is between 1e-14 and 1 mol/L; {value:g} is not.")
    return -np.log10(hydrogen)


@takes(
    alkalinity="mmol/L",
    carbonate="mmol/L",
    target=PlainNumber(5.8),
    protons=PlainNumber(1),
    temperature="degC",
    returns="mmol/L",
)
def hand_dose_closed(
    alkalinity: Quantity,
    carbonate: Quantity,
    target: Plain,
    protons: Plain = 1,
    temperature: Quantity | None = None,
) -> Quantity:
    """Find the acid for a pH by hand, with no carbon dioxide lost.

    Parameters
    ----------
    alkalinity : Quantity
        Amount of charge in each litre, such as mmol/L; one or an array.
    carbonate : Quantity
        Amount of all dissolved inorganic carbon in each litre; near pH 8 about the alkalinity. One or an array.
    target : float or array
        The pH wanted.
    protons : float or array
        H+ that each molecule of acid gives, 1 to 3.
    temperature : Quantity, optional
        Temperature, one or an array; 25 °C when left out.

    Returns
    -------
    Quantity
        In mmol of acid for each litre.

    Raises
    ------
    UnitNeeded
        An amount or a temperature that has no unit.
    OutOfRange
        A pH outside 0 to 14, or protons outside 1 to 3.
    Unreadable
        A target or protons that are not a number.

    See Also
    --------
    acid_dose : The dose to pour.

    Notes
    -----
    .. math:: (A - C_T \\, f_{HCO_3}) / n

    with the alkalinity A, the carbonate C_T, its `bicarbonate_share` f and n protons. It is 1 to 4 percent high for
    strong acids in plain water down to pH 5.8, 2 to 5 percent at pH 6 (tap water of 80 to 240 mg/L as CaCO3 at pH 7.6
    to 8, against `acid_dose`), and 9 percent for phosphoric acid; it knows no activities, no pairs and no phosphate.

    Examples
    --------
    >>> round(hand_dose_closed(Q(2, "mmol/L"), Q(2, "mmol/L"), 5.8).magnitude, 2)
    1.56
    """
    _check_protons(protons)
    check_ph(target)
    return (alkalinity - carbonate * _share(target, temperature)) / protons


@takes(alkalinity="mmol/L", protons=PlainNumber(1), returns="mmol/L")
def hand_dose_open(alkalinity: Quantity, protons: Plain = 1) -> Quantity:
    """Find the acid for a pH below 6 by hand, with all carbon dioxide gone.

    Parameters
    ----------
    alkalinity : Quantity
        Amount of charge in each litre, such as mmol/L; one or an array.
    protons : float or array
        H+ that each molecule of acid gives, 1 to 3.

    Returns
    -------
    Quantity
        In mmol of acid for each litre: the alkalinity over the protons.

    Raises
    ------
    UnitNeeded
        An alkalinity that has no unit.
    OutOfRange
        Protons outside 1 to 3.
    Unreadable
        Protons that are not a number.

    See Also
    --------
    acid_dose : The dose to pour.

    Notes
    -----
    Under 1 percent high for strong acids, several percent for phosphoric acid.

    Examples
    --------
    >>> hand_dose_open(Q(2, "mmol/L"), protons=2).magnitude
    1.0
    """
    _check_protons(protons)
    return alkalinity / protons


def _check_protons(protons: Plain) -> None:
    within(protons, 1, 3, "An acid gives 1 to 3 H+ a molecule; {value:g} is outside.")


def _share(ph: Plain, celsius: Plain | Quantity | None) -> Plain:
    kelvin = np.asarray(25.0 if celsius is None else celsius) + ZERO_CELSIUS
    pk1 = log_k.plain("CO2", kelvin) - log_k.plain("HCO3-", kelvin)
    return 1 / (1 + 10 ** (pk1 - np.asarray(ph, dtype=float)))
