"""What a salt is made of: molar masses, shares of the elements, and what a fertiliser label means."""

import re
from functools import cache
from types import MappingProxyType

import numpy as np
from molmass import Formula, FormulaError

from stilltank.units import OutOfRange, Q, Quantity, Unreadable, takes, within

# A label gives these oxides; the element behind each.
_OXIDES = MappingProxyType({"p2o5": "P", "k2o": "K", "mgo": "Mg", "so3": "S", "cao": "Ca"})
_FORMULA_OF = MappingProxyType({"p2o5": "P2O5", "k2o": "K2O", "mgo": "MgO", "so3": "SO3", "cao": "CaO"})
_SUBSCRIPTS = str.maketrans("₀₁₂₃₄₅₆₇₈₉", "0123456789")


def normal_formula(formula: str) -> str:
    """Write a formula as this workbook does: digits on the line, full stops between the parts.

    Parameters
    ----------
    formula : str
        Such as ``"Ca(NO₃)₂·4H₂O"``, ``"Ca(NO3)2*4 H2O"`` or ``"Ca(NO3)2.4H2O"``.

    Returns
    -------
    str
        The same formula, such as ``"Ca(NO3)2.4H2O"``.

    Raises
    ------
    Unreadable
        It is no text, or an empty one.

    Examples
    --------
    >>> normal_formula("Ca(NO₃)₂·4 H₂O")
    'Ca(NO3)2.4H2O'
    """
    if not isinstance(formula, str) or not formula.strip():
        raise Unreadable(f'A formula is a text such as "KNO3" or "MgSO4.7H2O"; {formula!r} is not.')
    return re.sub(r"[·•∙⋅*]", ".", re.sub(r"\s+", "", formula.translate(_SUBSCRIPTS)))


def _parsed(formula: str) -> tuple[float, MappingProxyType[str, float]]:
    """Molar mass in g/mol, and the mass share of each element."""
    return _once(formula, normal_formula(formula))


@cache
def _once(formula: str, written: str) -> tuple[float, MappingProxyType[str, float]]:
    if re.search(r"[+\-^]", written):
        raise Unreadable(f"{formula!r} carries a charge. Leave it out: a molar mass is that of the atoms.")
    if re.search(r"(^|\.)0|\.\.|\.$|^\.", written) or re.search(r"\d\.\d+\b(?![A-Z(])", written):
        raise Unreadable(f"{formula!r} could not be read as a formula. Write it like MgSO4.7H2O.")
    try:
        parsed = Formula(written)
        shares = {symbol: float(part.fraction) for symbol, part in parsed.composition().items()}
        return float(parsed.mass), MappingProxyType(shares)
    except FormulaError as error:
        reason = str(error).splitlines()[0]
        raise Unreadable(
            f"{formula!r} could not be read as a formula: {reason}. "
            "Write it like KNO3 or MgSO4.7H2O, each element with its capital letter."
        ) from error


def molar_mass(formula: str) -> Quantity:
    """Molar mass of a formula; hydrates and double salts may be written with dots.

    Parameters
    ----------
    formula : str
        Such as ``"KNO3"``, ``"Ca(NO3)2.4H2O"``, ``"5Ca(NO3)2·NH4NO3·10H2O"``. A number before a part
        counts for that part only.

    Returns
    -------
    Quantity
        g/mol.

    Raises
    ------
    Unreadable
        It is no formula.

    Notes
    -----
    Standard atomic weights as the molmass library keeps them. They differ from the abridged table by at most
    0.005 g/mol an atom (sulfur).

    References
    ----------
    CIAAW.

    Examples
    --------
    >>> round(molar_mass("Ca(NO3)2.4H2O").m_as("g/mol"), 2)
    236.15
    """
    return Q(_parsed(formula)[0], "g/mol")


def element_share(formula: str, element: str) -> Quantity:
    """Share of an element in the mass of a pure substance.

    Parameters
    ----------
    formula : str
        As for ``molar_mass``.
    element : str
        Its symbol, such as ``"N"``.

    Returns
    -------
    Quantity
        Percent of the mass; 0 % when the substance does not hold that element.

    Raises
    ------
    Unreadable
        It is no formula, or no element.

    See Also
    --------
    from_label : The shares that a label states as oxides.

    Examples
    --------
    >>> f'{element_share("KNO3", "N").m_as("percent"):.2f} %'
    '13.85 %'
    """
    symbol = normal_formula(element)
    if not symbol.isalpha() or len(_parsed(symbol)[1]) != 1:
        raise Unreadable(f'{element!r} is not the symbol of an element. Write one such as "N", "P" or "Ca".')
    return Q(100 * _parsed(formula)[1].get(symbol, 0.0), "percent")


@takes(n="percent", p2o5="percent", k2o="percent", mgo="percent", so3="percent", cao="percent")
def from_label(
    n: Quantity | None = None,
    p2o5: Quantity | None = None,
    k2o: Quantity | None = None,
    mgo: Quantity | None = None,
    so3: Quantity | None = None,
    cao: Quantity | None = None,
) -> dict[str, Quantity]:
    """Shares of the elements from a fertiliser label, which states oxides.

    A grade such as 0-52-34 names N, P2O5 and K2O in percent of the mass. Other labels give the elements
    themselves; read which it is.

    Parameters
    ----------
    n, p2o5, k2o, mgo, so3, cao : Quantity, optional
        What the label states, percent of the mass, one value or an array; leave out what it does not.

    Returns
    -------
    dict of str to Quantity
        Percent of the mass by the symbol of the element.

    Raises
    ------
    UnitNeeded
        A share has no unit.
    OutOfRange
        A share is below 0 or above 100 percent, or they are more than 100 percent in all.

    Notes
    -----
    A label states a guaranteed minimum, rounded down; the true share is a little higher. That labels state oxides is
    common practice.

    References
    ----------
    Mattson2018, who uses P = 0.4364 P2O5.

    Examples
    --------
    >>> share = from_label(p2o5=Q(52, "percent"), k2o=Q(34, "percent"))
    >>> f'{share["P"].m_as("percent"):.2f} % P, {share["K"].m_as("percent"):.2f} % K'
    '22.69 % P, 28.23 % K'
    """
    stated = {"n": n, "p2o5": p2o5, "k2o": k2o, "mgo": mgo, "so3": so3, "cao": cao}
    given = {name: value for name, value in stated.items() if value is not None}
    for name, value in given.items():
        within(value, 0, 100, f"A label share lies between 0 and 100 percent; {name} = {{value:g}} does not.")
    most = np.max(sum(given.values()), initial=0.0)
    if most > 100:
        raise OutOfRange(f"The shares on this label add up to {most:g} percent, more than all of it.")
    shares = {}
    for name, value in given.items():
        element = _OXIDES.get(name, "N")
        part = _parsed(_FORMULA_OF[name])[1][element] if name in _FORMULA_OF else 1.0
        shares[element] = Q(part * value, "percent")
    return shares
