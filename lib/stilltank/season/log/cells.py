"""One cell of a log: what it says, how far that is to be trusted, or what has to be asked."""

import re
from dataclasses import dataclass
from datetime import time

from stilltank.units import Problem, Q, Quantity, Unclear, read_with_notes

_BLANK = {"", "-", "--", "n/a", "na", "none", "null", "?", "forgot", "not read", "x"}
_PLAIN = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_KINDS = {
    "level": ("length", "cm"),
    "volume": ("volume", "L"),
    "weight": ("mass", "kg"),
    "tilt": ("angle", "degree"),
    "wet length": ("length", "cm"),
    "EC": ("conductivity", "mS/cm"),
    "EC lights": ("conductivity", "mS/cm"),
    "water temperature": ("temperature", "degC"),
    "rain": ("length", "mm"),
    "added water": ("volume", "L"),
    "added mix": ("volume", "L"),
}
_SPELT = {
    "in": "in", "inch": "in", "inches": "in", '"': "in", "l": "L", "litres": "L", "liters": "L", "litre": "L",
    "c": "°C", "f": "°F", "°c": "°C", "°f": "°F", "ms/cm": "mS/cm", "µs/cm": "µS/cm", "us/cm": "µS/cm",
}  # fmt: skip
_ROUGH = {
    "half": (0.4, 0.6),
    "half full": (0.4, 0.6),
    "nearly full": (0.8, 1.0),
    "almost full": (0.8, 1.0),
    "full": (0.92, 1.0),
    "light": (0.0, 0.35),
    "heavy": (0.65, 1.0),
    "nearly empty": (0.0, 0.2),
    "empty": (0.0, 0.1),
}


@dataclass(frozen=True, kw_only=True)
class Cell:
    """What a cell says.

    Parameters
    ----------
    low, high : quantity, optional
        Ends; the same where it says one value, None where it says nothing.
    rough : bool
        Whether "about" or a range was written.
    notes : tuple of str
        What was assumed.
    fault : str
        What does not fit, in words; empty where it was understood.
    offers : tuple of str
        What could be meant, as one would type it.

    Examples
    --------
    >>> cell_of("22,4", "level", "cm").low.m_as("cm")
    22.4
    >>> cell_of("9 in", "level", "cm").low.m_as("in")
    9.0
    >>> cell_of("forgot", "level", "cm").low is None
    True
    """

    low: Quantity | None = None
    high: Quantity | None = None
    rough: bool = False
    notes: tuple[str, ...] = ()
    fault: str = ""
    offers: tuple[str, ...] = ()

    @property
    def middle(self) -> Quantity | None:
        """Half-way between the ends."""
        if self.low is None or self.high is None:
            return None
        unit = str(self.low.units)
        return Q(
            (self.low.magnitude + self.high.m_as(unit)) / 2, unit
        )  # a sum of temperatures has no meaning


def blank(text: str) -> bool:
    """Tell whether a cell says that nothing was measured.

    Parameters
    ----------
    text : str
        As written.

    Returns
    -------
    bool
        True for an empty cell, a dash, "n/a" or "forgot"; not for a zero.

    Examples
    --------
    >>> blank(" - "), blank("0")
    (True, False)
    """
    return text.strip().lower() in _BLANK


def cell_of(text: str, name: str, unit: str, gallon: str | None = None) -> Cell:
    """Read a cell of a column that holds a quantity.

    Parameters
    ----------
    text : str
        As written.
    name : str
        The column, such as "level".
    unit : str
        Of its heading; a cell with a unit of its own wins.
    gallon : str, optional
        "US" or "imperial", where that is known.

    Returns
    -------
    Cell
        A value, a range, nothing, or a fault with what could be meant.

    Examples
    --------
    >>> cell_of("about 2-3 L", "added water", "L").rough
    True
    >>> cell_of("a bit", "added water", "L").fault
    '"a bit" is no volume.'
    """
    if blank(text):
        return Cell()
    kind, usual = _KINDS[name]
    shown = _SPELT.get(unit.lower(), unit) or ""
    if text.strip().startswith("="):
        return Cell(fault=f'"{text.strip()[:20]}" is a formula, and its answer is not in the file.')
    written = text.strip()
    bare = re.sub(r"^(about|around|approx\.?|roughly|ca\.?|some|~|≈)\s*", "", written, flags=re.I)
    if bare != written and shown and _PLAIN.fullmatch(bare):
        written = f"{written} {shown}"
    if kind == "angle":
        found_angle = re.fullmatch(r"(\d+(?:[.,]\d+)?) ?(?:°|deg|degrees?)?", written.lower())
        if not found_angle:
            return Cell(fault=f'"{written[:30]}" is no angle in degrees.')
        angle = Q(float(found_angle[1].replace(",", ".")), "degree")
        return Cell(low=angle, high=angle)
    if _PLAIN.fullmatch(written):
        if not shown:
            return Cell(
                fault=f'"{written}" has no unit, and neither has its heading.', offers=_offers(written, kind)
            )
        number = float(written.replace(",", "."))
        if simple := {"cm": "cm", "mm": "mm", "in": "in", "L": "L", "kg": "kg", "mS/cm": "mS/cm"}.get(shown):
            value = Q(number, simple)
            return Cell(low=value, high=value) if number >= 0 else Cell(fault=f'"{written}" is below zero.')
        written = f"{written} {shown}"
    elif not re.search(r"[^\W\d_]|[\"°%]", written):  # fractions and ranges without a unit
        if not shown:
            return Cell(
                fault=f'"{written}" has no unit, and neither has its heading.', offers=_offers(written, kind)
            )
        written = f"{written} {shown}"
    try:
        found = read_with_notes(written, kind, gallon=gallon)
    except Unclear as question:
        offers = tuple(choice.text for choice in question.choices[:3])
        return Cell(fault=f'"{text.strip()[:30]}" can be read in more than one way.', offers=offers)
    except Problem:
        return Cell(fault=f'"{text.strip()[:30]}" is no {_said(kind)}.')
    low = found.quantity if found.low is None else found.low
    high = found.quantity if found.high is None else found.high
    if kind != "temperature" and (low < Q(0, usual)):
        return Cell(fault=f'"{text.strip()[:30]}" is below zero.')
    return Cell(low=low, high=high, rough=found.approximate or found.low is not None, notes=found.assumed)


def rough_share(text: str) -> tuple[float, float] | None:
    """Read words for how full a tank is.

    Parameters
    ----------
    text : str
        Such as "half" or "about 2/3".

    Returns
    -------
    tuple of two floats, or None
        Ends of the share of the filling; None where these are no such words.

    Examples
    --------
    >>> rough_share("half"), rough_share("about 2/3 full"), rough_share("22")
    ((0.4, 0.6), (0.5666666666666667, 0.7666666666666666), None)
    """
    plain = re.sub(r"\b(about|some|around|a|still)\b|[~≈]", "", text.lower()).strip()
    if plain in _ROUGH:
        return _ROUGH[plain]
    found = re.fullmatch(r"(\d)/(\d)(?: full)?", plain) or re.fullmatch(r"(\d) ?/ ?(\d) of .*", plain)
    if found and 0 < int(found[1]) < int(found[2]):
        share = int(found[1]) / int(found[2])
        return max(share - 0.1, 0.0), min(share + 0.1, 1.0)
    return None


def ph_of(text: str) -> tuple[float, float] | str:
    """Read a pH, or the range of an indicator.

    Parameters
    ----------
    text : str
        As written.

    Returns
    -------
    tuple of two floats, or str
        Ends, the same for a meter; or what does not fit.

    Examples
    --------
    >>> ph_of("6,2"), ph_of("6.0-6.5"), ph_of("62")
    ((6.2, 6.2), (6.0, 6.5), 'pH says "62"; pH runs from 0 to 14.')
    """
    numbers = [float(each.replace(",", ".")) for each in re.findall(r"\d+(?:[.,]\d+)?", text)]
    if not 1 <= len(numbers) <= 2 or re.search(r"[a-z]{3,}", text.lower().replace("about", "")):
        return f'"{text[:30]}" is no pH.'
    if numbers == [0]:
        return 'pH says "0". Was it not measured?'
    if max(numbers) > 14:
        return f'pH says "{text[:20]}"; pH runs from 0 to 14.'
    return min(numbers), max(numbers)


def time_of(text: str) -> time | None:
    """Read a time of day.

    Parameters
    ----------
    text : str
        Such as "08:30", "8.30" or "5 pm".

    Returns
    -------
    time or None
        None where it is none.

    Examples
    --------
    >>> time_of("5:30 pm").isoformat()
    '17:30:00'
    """
    found = re.fullmatch(r"(\d{1,2})(?:[:.h](\d{2}))?(?::\d{2})? ?(am|pm)?", text.strip().lower())
    if not found or not (found[2] or found[3]):
        return None
    hour = int(found[1]) + (12 if found[3] == "pm" and int(found[1]) < 12 else 0)
    minute = int(found[2] or 0)
    return time(hour, minute) if hour < 24 and minute < 60 else None


def _offers(text: str, kind: str) -> tuple[str, ...]:
    units = {
        "length": ("cm", "in"),
        "volume": ("L", "US gal"),
        "mass": ("kg", "lb"),
        "temperature": ("°C", "°F"),
    }
    return tuple(
        f"{text} {unit}" for unit in units.get(kind, ("mS/cm", "µS/cm") if kind == "conductivity" else ())
    )


def _said(kind: str) -> str:
    return {"length": "level or length", "mass": "weight"}.get(kind, kind)
