"""Two numbers with a stroke: a fraction (3/4 gal), or two values side by side (24/18 °C, 16/8 h)?"""

import math
import re

from .spellings import PART_OF_ONE, Meaning

_FRACTION = re.compile(r"[+-]? ?(?:(\d+) )?(\d+) ?/ ?(\d+)")
_ONLY = re.compile(r"[+-]? ?(?:\d+ )?\d+ ?/ ?\d+ ?[^\d/]*")
_USUAL = (2, 3, 4, 5, 6, 8, 10, 12, 16, 32, 64, 100, 1000)  # parts that spoons, rulers and recipes know
_SIDE_BY_SIDE = ("temperature", "pH", "conductivity", "count", "degree-days", "altitude")
_KITCHEN = ("volume", "mass", "length", "area", "dose", "flow", "time", "share")
_DAYS = re.compile(r"(?:day|week|wk|month|mo|year|yr)s$", re.I)


def is_fraction(text: str) -> bool:
    """Whether the text is one fraction with its unit, whatever it may mean.

    Parameters
    ----------
    text : str
        What was typed.

    Returns
    -------
    bool
        True for such as 3/4 gal.

    Examples
    --------
    >>> is_fraction("3/4 gal"), is_fraction("18 °C/24 °C")
    (True, False)
    """
    match = _FRACTION.match(text)
    return bool(match and _ONLY.fullmatch(text) and 0 < int(match[2]) < int(match[3]))


def fits_fraction(number: str, meaning: Meaning, unit: str) -> bool:
    """Whether a number set as a fraction can be one with this unit, or is two values side by side.

    Parameters
    ----------
    number : str
        Such as ``"3/4"`` or ``"1 1/2"``.
    meaning : Meaning
        What the unit may mean.
    unit : str
        As it was typed.

    Returns
    -------
    bool
        True for a fraction.

    Notes
    -----
    5/6 L is taken for a fraction, 5/6 mg/L for two values; 2/3 days for two or three.

    Examples
    --------
    >>> from stilltank.units.spellings import meanings
    >>> hours, degrees = meanings("h", "time", None)[0], meanings("°C", "temperature", None)[0]
    >>> fits_fraction("3/4", hours, "h"), fits_fraction("16/8", hours, "h"), fits_fraction("1/2", degrees, "°C")
    (True, False, False)
    >>> fits_fraction("98 1/2", degrees, "°C")
    True
    """
    match = _FRACTION.fullmatch(number)
    if not match:
        return False
    over, under = int(match[2]), int(match[3])
    if match[1]:
        return over < under
    if meaning.kind == "ratio":
        return under > 0
    if meaning.kind in _SIDE_BY_SIDE or not 0 < over < under:
        return False
    if meaning.written == PART_OF_ONE:
        return over + under != 100  # 40/60 is a blend
    if math.gcd(over, under) > 1 or under not in _USUAL:
        return False
    if meaning.kind == "time" and over > 1 and under == over + 1 and _DAYS.search(unit):
        return False
    return meaning.kind in _KITCHEN or over == 1 or (over, under) == (3, 4)
