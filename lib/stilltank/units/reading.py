"""Reading what people write: a quantity, a question back, or a refusal with an example; never a silent guess."""

import itertools
import math
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from stilltank.problems import OutOfRange, Problem, UnitNeeded, Unreadable
from stilltank.registry import Q, Quantity, ureg  # noqa: F401 (Q is used in the examples)

from .fractions import fits_fraction, is_fraction
from .numerals import NUMBER, figures, numerals
from .phrases import Phrase, unwrap, wanted
from .plausible import Way, agreeing, distinct, fits_kind, limits, possible, sure, within_bounds
from .spellings import PART_OF_ONE, WITHOUT_UNIT, Meaning, kinds, meanings, shared
from .unclear import Choice, ask, everyday
from .wording import said, speaking_of
from .writing import write

_UNIT = r"(?:(?:/|\bper\b) ?\d+(?:\.\d+)?|[^\s\d]\d*| +(?!\d))*"
_TERM = re.compile(rf"({NUMBER}) ?({_UNIT})")
# What most rows of a log look like; three decimals are left to the full reading (thousands or decimals?).
_SIMPLE = re.compile(r"(-?\d+)(?:([.,])(\d{1,2}|\d{4,}))? ?([^\W\d_]{1,3}(?:/[^\W\d_]{1,3})?|%|°[CF])?")
_INVERSE = re.compile(r"(?<=[A-Za-zµ0-9]) (L|l|m|dm|cm|kg|d|day|h|min|s)-([123])(?=\s|$)")
_RANGE = re.compile(
    r"(?<=[\w°%'\".)])(?<!\d[eE])(?<![A-Z]\d) ?- ?(?=[+-]?[.,]?\d)|(?<=\S) (?:to|until|up to) (?=\S)|"
    r"(?<=[\w°%'\"]) ?\.{3} ?(?=[+-]?\d)"  # 2...3 L
)
_GIVE_OR_TAKE = re.compile(r" ?\(?(?:±|\+ ?/ ?-|\+-|\bplus or minus\b|\bgive or take\b) ?", re.I)
_SHARE_OF_IT = re.compile(r"\d+(?:[.,]\d+)? ?(?:%|percent|per cent)", re.I)  # 5 mL ± 2 %
# Units people run together with the next number: 1lb8oz, 5ft6in, 2h30min.
_JOINED = re.compile(
    r"(?<=\d)( ?(?:lbs?|kg|g|ft|m|cm|gal|qt|pt|L|l|h|hrs?|min|d))(?=\d+(?:[.,]\d+)?[^\W\d])(?![^\s]*/)|"
    r"(?<=\d)( ?(?:lbs?|h|hrs?)(?=\d+$)| ?ft(?=(?:[14-9]|1[01])$))"
)
_TWO_NUMBERS = re.compile(r"\d[.,\d]* ?[^\W\d°]{0,3}[°%]?[CF]? ?/ ?\d")
_MIXED = re.compile(r"(?<![\d/.,])([1-9]\d*)-(\d+)/(\d+)(?![\d/.,])")
_DEGREES_IN_KELVIN = {ureg.Unit("degC"): 1.0, ureg.Unit("kelvin"): 1.0, ureg.Unit("degF"): 5 / 9}
_LABEL_SHARE, _LABEL_DEGREES = 0.03, 1.5  # 2 lb (907 g), 1 gal (3.8 L), 68 °F (20 °C): rounded to two figures
_TIMES_FIRST = re.compile(r"^(?:[x×] ?|(?:by )?(?:an? )?factor (?:of )?)(?=[\d.,])", re.I)
_ONE_TO = re.compile(r"1 (?:to|in) \d+(?:[.,]\d+)?")
_TO_ONE = re.compile(r"^(\d+(?:[.,]\d+)?)(?: ?: ?| to )1$")
_POWER_OF_TEN = re.compile(r"\b10(?: ?\^ ?([+-]?\d)|([⁰¹²³⁴⁵⁶⁷⁸⁹]))(?!\d)")
_CLOCK = re.compile(r"(\d{1,3}):([0-5]\d) ?(h|hrs?|hours?|min|mins|minutes?)\.?", re.I)  # 1:30 h
# The unit of a last number that has none: 5'6, 5 ft 6, 1 lb 8, 1h30; and how many of it fill the one before.
_SMALLER = {
    **dict.fromkeys(("'", "ft", "foot", "feet"), ("in", 12)),
    **dict.fromkeys(("lb", "lbs", "pound", "pounds"), ("oz", 16)),
    **dict.fromkeys(("h", "hr", "hrs", "hour", "hours"), ("min", 60)),
}
_DATE_OR_GRADE = re.compile(r"\d+([-/.])\d+\1\d+|\d+:\d+.*|\d{1,2} ?[ap]\.?m\.?", re.I)


@dataclass(frozen=True, slots=True)
class Reading:
    """What was understood of a text, with every assumption made on the way.

    Parameters
    ----------
    quantity : Quantity
        What was understood.
    text : str
        What was typed.
    kind : str
        What is measured.
    assumed : tuple of str, optional
        Every assumption, in words.
    approximate : bool, default False
        Whether "about" was said.
    low, high : Quantity, optional
        The ends of a range.
    of : str, optional
        The substance it is counted of.

    Examples
    --------
    >>> print(read_with_notes("about 20 L"))
    "about 20 L" read as about 20 L
    """

    quantity: Quantity
    text: str
    kind: str
    assumed: tuple[str, ...] = ()
    approximate: bool = False
    low: Quantity | None = None
    high: Quantity | None = None
    of: str = ""

    def __str__(self) -> str:
        about = "about " if self.approximate else ""
        shown = f"{about}{write(self.quantity, digits=6)}{f' of {self.of}' if self.of else ''}"
        return f'"{self.text}" read as {shown}' + "".join(f"; {note}" for note in self.assumed)


def read(
    text: str,
    kind: str | None = None,
    *,
    gallon: str | None = None,
    system: str | None = None,
    least: Quantity | None = None,
    most: Quantity | None = None,
) -> Quantity:
    """Read a quantity as people write it.

    Parameters
    ----------
    text : str
        Such as ``"1 1/2 US gal"``, ``"6,2"``, ``"3 lb 4 oz"``, ``"2-3 L"``, ``"40 mg/L N"``.
    kind : str, optional
        What is being asked for, a name of data/kinds.csv: ``"volume"``, ``"pH"``, ``"conductivity"``... Without it
        only what is unmistakable is read.
    gallon : str, optional
        "US" or "imperial", optional. Whose gallons, ounces and cups the writer uses, where that is known.
    system : str, optional
        "US" or "metric", optional. The system the writer has chosen, as for ``write``: it settles gallons, spoons,
        cups and bare degrees that ``gallon`` leaves open.
    least, most : Quantity, optional
        What is possible here, such as the size of the tank; it may decide between two readings.

    Returns
    -------
    Quantity
        In the unit written, or mg/L as CaCO3 for an alkalinity or a hardness; the middle of a range. A charge (meq/L)
        comes as mmol/L of charge.

    Raises
    ------
    Unclear
        Two readings are possible; ``.choices`` holds each with words and an everyday size.
    OutOfRange
        No such size is possible for this kind.
    Unreadable
        Not understood, or a quantity of another kind.

    See Also
    --------
    read_with_notes : The same, with what was assumed.
    write : Write a quantity for people.

    Notes
    -----
    English words; the full stop is the decimal mark. ``read_with_notes`` tells what was assumed. Where all readings
    agree within 3 %, as those of a teaspoon do, one is taken and named; not so for a dose, an alkalinity, or where
    acid is named.

    Examples
    --------
    >>> write(read("1 1/2 US gal")), read("68 F", kind="temperature").units == Q(1, "degF").units
    ('5.68 L', True)
    >>> read("5 ML", kind="volume")
    Traceback (most recent call last):
    stilltank.units.unclear.Unclear: "5 ML" can be read as 5 millilitres, about one teaspoon; or 5 megalitres...
    """
    return read_with_notes(text, kind, gallon=gallon, system=system, least=least, most=most).quantity


def read_with_notes(
    text: str,
    kind: str | None = None,
    *,
    gallon: str | None = None,
    system: str | None = None,
    least: Quantity | None = None,
    most: Quantity | None = None,
) -> Reading:
    """Read a quantity and say what was assumed.

    Parameters
    ----------
    text : str
        What was typed, as for `read`.
    kind : str, optional
        What is being asked for.
    gallon : str, optional
        "US" or "imperial": whose gallons the writer uses.
    system : str, optional
        "US" or "metric": the system the writer has chosen.
    least, most : Quantity, optional
        What is possible here.

    Returns
    -------
    Reading
        ``.quantity``, ``.assumed`` (sentences), ``.approximate``, ``.low`` and ``.high`` of a range, ``.of`` (the
        substance written), ``.kind``.

    Raises
    ------
    Unclear
        Two readings are possible; ``.choices`` holds each.
    OutOfRange
        No such size is possible for this kind, or here.
    Unreadable
        Not understood, or a quantity of another kind.
    UnitNeeded
        A bound has no unit.

    Examples
    --------
    >>> read_with_notes("6,2", kind="pH").assumed
    ('the comma read as a decimal point',)
    >>> reading = read_with_notes("about 2-3 L")
    >>> write(reading.low), write(reading.quantity), write(reading.high), reading.approximate
    ('2 L', '2.5 L', '3 L', True)
    """
    if not isinstance(text, str):
        raise Unreadable(f"read takes text, such as read('45 L'). You gave {text!r}.")
    if kind is not None and not (isinstance(kind, str) and kind in kinds()):
        raise Unreadable(f"read knows no kind {kind!r}. The kinds are: {', '.join(kinds())}.")
    if gallon not in (None, "US", "imperial"):
        raise Unreadable(f'gallon is "US" or "imperial"; you gave {gallon!r}.')
    for limit in (least, most):
        if limit is not None and not isinstance(limit, Quantity):
            raise UnitNeeded(f'least and most need a unit, such as Q(45, "L"). You gave {limit!r}.')
    if system not in (None, "US", "metric"):
        raise Unreadable(f'system is "US" or "metric"; you gave {system!r}.')
    typed = " ".join(text.split())
    writer = gallon or system
    if least is most is None and (quick := _quick(typed, kind, writer)):
        return quick
    phrase = unwrap(typed, kind)
    ways = [way for plain in phrase.texts for way in _ways(plain, phrase.kind, writer)]
    if phrase.beside:
        ways = _with_the_same(ways, phrase, typed, writer)
    if phrase.times > 1:
        ways = [_so_many(way, phrase.times) for way in ways if way.terms[0].kind in ("volume", "mass")]
    ways, notes = possible(ways, least, most)
    if not ways:
        raise _refuse(typed, phrase, kind)
    choices = distinct(ways)
    if len(choices) > 1 and not phrase.acid and (taken := agreeing(choices)):
        choices = [taken]
    if not any(fits_kind(way) for way in choices):  # no question helps
        choices = choices[:1]
    elif len(choices) > 1 or phrase.doubtful or _must_ask(choices[0], phrase.kind):
        raise ask(typed, tuple(_choice(way) for way in choices))
    way = choices[0]
    reading = _reading(way, typed, phrase.notes + notes, phrase.approximate)
    _check(reading, way, least, most)
    return reading


def _quick(typed: str, kind: str | None, writer: str | None) -> Reading | None:
    """The reading of a plain number with a sure unit, the same as the full one gives; None for all else."""
    match = _SIMPLE.fullmatch(typed)
    if not match:
        return None
    whole, mark, decimals, unit = match.groups()
    found = meanings(unit or "", kind, writer)
    if len(found) != 1 or not found[0].sure or found[0].kind == "count":
        return None
    meaning = found[0]
    value = float(f"{whole}.{decimals or 0}") * meaning.factor
    low, high = limits(meaning.kind, meaning.unit)
    if not low <= value <= high:
        return None
    notes = ("the comma read as a decimal point", *meaning.notes) if mark == "," else meaning.notes
    return Reading(Quantity(value, meaning.unit), typed, meaning.kind, notes, of=meaning.of)


def _with_the_same(ways: list[Way], phrase: Phrase, typed: str, writer: str | None) -> list[Way]:
    """The readings that the same amount in another unit beside it confirms: 1 gal (3.79 L) is a US gallon."""
    kinds_read = {way.terms[0].kind for way in ways}
    others = [way for kind in kinds_read for way in _ways(phrase.beside, kind, writer)]
    if not others:  # 1000 ppm (500 scale)
        return [
            way for plain in phrase.texts for way in _ways(f"{plain} ({phrase.beside})", phrase.kind, writer)
        ]
    found = []
    for way in ways:
        gaps = [_gap(way, other) for other in others if other.terms[0].kind == way.terms[0].kind]
        if gaps and min(gaps) <= 1:
            found.append((min(gaps), way))
    if ways and not found:
        raise Unreadable(f'"{typed}" gives two amounts that do not agree. Write one of them.')
    if not found:
        return []
    nearest = min(found, key=lambda pair: pair[0])[1]
    return [replace(nearest, notes=(*nearest.notes, f"{phrase.beside} beside it is the same"))]


def _gap(way: Way, other: Way) -> float:
    """How far two readings are apart, in shares of what the rounding of a label allows."""
    first, unit = way.terms[0], other.terms[0].unit
    if first.unit.dimensionality != unit.dimensionality or len(way.values) != len(other.values):
        return math.inf
    if first.kind == "temperature":
        return max(
            abs(_in_unit(value, first.unit, "degC") - _in_unit(beside, unit, "degC")) / _LABEL_DEGREES
            for value, beside in zip(way.values, other.values, strict=True)
        )
    return max(
        abs(value - _in_unit(beside, unit, first.unit)) / (_LABEL_SHARE * abs(value)) if value else math.inf
        for value, beside in zip(way.values, other.values, strict=True)
    )


def _so_many(way: Way, times: int) -> Way:
    return replace(
        way,
        values=tuple(value * times for value in way.values),
        notes=(*way.notes, f"{times} times {way.text}"),
        text=f"{times} × {way.text}",
        words=f"{times} times {way.words}",
    )


def _sides(text: str, kind: str | None) -> tuple[list[str], bool, tuple[str, ...]]:
    """The two ends of a range, or the one text; whether the second is a give-or-take; notes."""
    notes: tuple[str, ...] = ()
    text = re.sub(r"(?<=\d)\. (?=[^\W\d])|(?<![\d.,])(\d+)\.(?=[^\W\d])", r"\1 ", text)  # 5. L
    text = re.sub(r"^from (?=.+ to )", "", _JOINED.sub(r"\1\2 ", text), flags=re.I)
    if kind == "time" and (match := _CLOCK.fullmatch(text)):
        smaller, said = ("min", "hours and minutes") if match[3][0] in "hH" else ("s", "minutes and seconds")
        return (
            [f"{match[1]} {match[3]} {match[2]} {smaller}"],
            False,
            (f"{match[1]}:{match[2]} read as {said}",),
        )
    text = _INVERSE.sub(lambda match: f" /{match[1]}{match[2].replace('1', '')}", text)  # mg L-1, m-2
    if match := re.fullmatch(r"between (.+) and (.+)", text, re.I):
        return [match[1], match[2]], False, notes
    for match in reversed(list(_MIXED.finditer(text))):
        if int(match[2]) < int(match[3]):
            text = f"{text[: match.start()]}{match[1]} {match[2]}/{match[3]}{text[match.end() :]}"
            notes = ("the hyphen read as joining a whole number and a fraction",)
    if kind == "ratio":
        text = _number_of_times(text)
        if _ONE_TO.fullmatch(text):  # 1 to 100: one part and a hundred, or a range?
            return [], False, notes
    if kind == "share" and (match := re.fullmatch(r"(\d+) (?:in|out of|of) (\d+)", text)):
        return [f"{match[1]}/{match[2]}"], False, notes
    if len(parts := _GIVE_OR_TAKE.split(text)) == 2:
        return [parts[0], parts[1].rstrip(") ")], True, notes
    return _RANGE.split(text), False, notes


def _number_of_times(text: str) -> str:
    """A number of times with its number first and plain: x10, a factor of 10, 10:1, 10²."""
    text = _POWER_OF_TEN.sub(
        lambda match: f"{10.0 ** int(match[1] or unicodedata.digit(match[2])):.10g}", text
    )
    return _TO_ONE.sub(r"\1", _TIMES_FIRST.sub("", text))


def _ways(text: str, kind: str | None, writer: str | None) -> Iterator[Way]:
    """Every way to read the text as this kind."""
    sides, tolerance, notes = _sides(text, kind)
    if not 1 <= len(sides) <= 2 or (
        kind in ("pH", "count") and re.search(r"\d[eE]\d", text)
    ):  # 1E5 is a group's code
        return
    of_it = tolerance and _SHARE_OF_IT.fullmatch(sides[1]) and not _SHARE_OF_IT.fullmatch(sides[0])
    if of_it and kind != "share":
        yield from _within_a_share(sides, kind, writer, notes)
        return
    split = [_terms(numerals(side)) for side in sides]
    if kind:
        split = [_with_the_smaller(terms) for terms in split]
    if not all(split):
        return
    if len(split) == 2:  # "2-3 L", "2 L - 3": the end without a unit takes the other's
        first, last = split[0][-1][1], split[1][-1][1]
        for side, unit in zip(split, (last, first), strict=True):
            if len(side) == 1 and not side[0][1]:
                side[0] = (side[0][0], unit)
    sides_ways = [list(_side_ways(terms, kind, writer)) for terms in split]
    if len(sides_ways) == 1:
        yield from (replace(way, notes=notes + way.notes) for way in sides_ways[0])
        return
    for low, high in itertools.product(*sides_ways):
        if "decimal" in low.styles | high.styles and "thousands" in low.styles | high.styles:
            continue
        if low.terms[0].kind != high.terms[0].kind or shared(low.terms + high.terms) is None:
            continue
        mixed = low.terms[0].unit != high.terms[0].unit and not (sure(low) and sure(high))
        if mixed and low.terms[0].kind == "temperature":  # 18° to 22 °C
            continue
        start, end = low.values[0], _other_end(low.terms[0], high, tolerance)
        ends = (start - abs(end), start + abs(end)) if tolerance else (start, end)
        if ends[0] > ends[1]:
            continue
        yield Way(
            ends,
            low.styles | high.styles,
            tuple(dict.fromkeys(notes + low.notes + high.notes)),
            high.terms if sure(high) and low.terms[0].unit == high.terms[0].unit else low.terms,
            f"{low.text} ± {high.text}" if tolerance else f"{low.text} to {high.text}",
            f"{low.words} {'give or take' if tolerance else 'to'} {high.words}",
        )


def _other_end(first: Meaning, other: Way, tolerance: bool) -> float:
    """The second number in the unit of the first; 2 K, or 4 °F, more or less is a step, no temperature."""
    value, unit = other.values[0], other.terms[0].unit
    if not tolerance or first.kind != "temperature":
        return _in_unit(value, unit, first.unit)
    return value * _DEGREES_IN_KELVIN[unit] / _DEGREES_IN_KELVIN[first.unit]


def _within_a_share(
    sides: list[str], kind: str | None, writer: str | None, notes: tuple[str, ...]
) -> Iterator[Way]:
    """A tolerance in per cent of the value: 5 mL ± 2 %."""
    share = next(_side_ways(_terms(sides[1]), "share", writer), None)
    terms = _terms(numerals(sides[0]))
    if share is None or not terms:
        return
    part = share.values[0] / 100
    for way in _side_ways(terms, kind, writer):
        if way.terms[0].kind in ("temperature", "pH", "count"):  # a per cent of a temperature means nothing
            continue
        value = way.values[0]
        yield replace(
            way,
            values=(value * (1 - part), value * (1 + part)),
            notes=notes + way.notes,
            text=f"{way.text} ± {share.text}",
            words=f"{way.words} give or take {share.words}",
        )


def _terms(text: str) -> list[tuple[str, str]]:
    """Split "3 lb 4 oz" into numbers with their units; nothing when any part is left over."""
    terms: list[tuple[str, str]] = []
    text = re.sub(r"(?<=\d)(['\"])(?=\d)(?!\d{3})", r"\1 ", text).strip()
    place = 0
    while place < len(text):
        match = _TERM.match(text, place)
        if not match or len(terms) == 3:
            return []
        place = match.end()
        ends = r"[,.]? *$" if place == len(text) else r"(?:,|\+|&|\band\b|\.)? *$"
        terms.append((match[1].strip(), re.sub(ends, "", match[2]).strip()))
    return terms


def _with_the_smaller(terms: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """A last number without a unit counts the next smaller one: 5'6, 5 ft 6, 1 lb 8, 1h30."""
    if len(terms) == 2:
        smaller, most = _SMALLER.get(terms[0][1].casefold(), ("", 0))
        size = next(figures(terms[1][0]), None)
        bare = terms[1][1] == "" or (terms[1][1] == "m" and smaller == "min")  # 1h30m
        if smaller and bare and size and 0 <= size.value < most:
            return [terms[0], (terms[1][0], smaller)]
    return terms


def _side_ways(terms: list[tuple[str, str]], kind: str | None, writer: str | None) -> Iterator[Way]:
    """Ways to read one side of a range: one quantity, or a sum of ever smaller units."""
    columns = []
    for number, unit in terms:
        columns.append(
            list(itertools.product(figures(number), _fitting(number, meanings(unit, kind, writer), unit)))
        )
    for parts in itertools.product(*columns):
        means = tuple(meaning for _, meaning in parts)
        first = means[0]
        if len(parts) > 1:
            sizes = [_base(one.unit) * one.factor for one in means]
            descending = all(large > small for large, small in itertools.pairwise(sizes))
            same = len({one.kind for one in means}) == 1 and shared(means) is not None
            if not same or not descending or first.kind not in ("volume", "mass", "length", "time"):
                continue
            if any(digits.value < 0 for digits, _ in parts):
                continue
            if not all(digits.value.is_integer() for digits, _ in parts[:-1]):  # 5.5 ft 6 in
                continue
        value = sum(_convert(digits.value, one, first) for digits, one in parts)
        figures_notes = tuple(digits.note for digits, _ in parts if digits.note)
        notes = tuple(dict.fromkeys(figures_notes + tuple(note for one in means for note in one.notes)))
        texts, words = (
            " ".join(one.say(digits.value, way) for digits, one in parts) for way in ("written", "called")
        )
        styles = frozenset(digits.style for digits, _ in parts)
        yield Way((value,), styles, notes, means, texts, words)


def _fitting(number: str, found: tuple[Meaning, ...], unit: str) -> tuple[Meaning, ...]:
    """The meanings that go with a number set as a fraction: 3/4 as a share is 75 %, 24/18 °C is none."""
    if "/" not in number:
        return found
    if any(one.written == PART_OF_ONE for one in found):
        found = tuple(replace(one, sure=True) for one in found if one.written == PART_OF_ONE)
    return tuple(one for one in found if fits_fraction(number, one, unit))


def _convert(value: float, meaning: Meaning, to: Meaning) -> float:
    """A value in one meaning's unit, as a value in the unit (not the multiple) of another's."""
    return _in_unit(value * meaning.factor, meaning.unit, to.unit)


@cache
def _base(unit: Any) -> float:
    """The size of a unit in base units."""
    return float((1 * unit).to_base_units().magnitude)


def _in_unit(value: float, unit: Any, wanted: Any) -> float:
    return value if unit == wanted else float(Quantity(value, unit).m_as(wanted))


def _must_ask(way: Way, kind: str | None) -> bool:
    """A doubtful spelling is taken only where a kind was asked for, and never for an alkalinity, by which acid is
    dosed; bare ppm only with its substance."""
    if any("ppm" in note or "ppb" in note for one in way.terms for note in one.notes):
        return not way.terms[0].of
    return kind in (None, "alkalinity") and not sure(way)


def _choice(way: Way) -> Choice:
    first = way.terms[0]
    quantity = Quantity(sum(way.values) / len(way.values), first.unit)
    metric = write(quantity)
    step = math.log10(Quantity(1.0, first.unit).to_base_units().magnitude * first.factor)
    plain = first.kind == "time" or metric == way.text or math.isclose(step, round(step), abs_tol=1e-9)
    size = ", ".join(filter(None, ["" if plain else metric, everyday(quantity, first.kind)]))
    return Choice(quantity, way.words, size, way.text)


def _reading(way: Way, typed: str, notes: tuple[str, ...], approximate: bool) -> Reading:
    first = way.terms[0]
    low, high = (Quantity(value, first.unit) for value in (way.values[0], way.values[-1]))
    middle = Quantity(sum(way.values) / len(way.values), first.unit)
    assumed = way.notes
    if not all(one.sure for one in way.terms):
        assumed += (f"read as {way.words}",)
    ranged = len(way.values) == 2
    if ranged:
        assumed += ("the middle of the range taken",)
    return Reading(
        middle,
        typed,
        first.kind,
        tuple(dict.fromkeys(assumed + notes)),
        approximate,
        low if ranged else None,
        high if ranged else None,
        first.of,
    )


def _check(reading: Reading, way: Way, least: Any, most: Any) -> None:
    """Refuse a size that is impossible for the kind, or here."""
    called = kinds()[reading.kind].called
    if reading.kind == "count" and not float(reading.quantity.m).is_integer():
        raise OutOfRange(f'"{reading.text}" is not a whole number. Write one such as 12.')
    if not fits_kind(way):
        low, high = (Quantity(limit, way.terms[0].unit) for limit in limits(reading.kind, way.terms[0].unit))
        with speaking_of(reading.quantity):
            ends = f"{said(low)} and {said(high)}"
        if reading.quantity.magnitude < 0 and low.magnitude == 0 and reading.kind != "pH":
            raise OutOfRange(f'"{reading.text}" is less than nothing. Write {called} of 0 or more.')
        raise OutOfRange(f'"{reading.text}" is not possible: {called} lies between {ends}.{_slip(reading)}')
    if (least is not None or most is not None) and not within_bounds(way, least, most):
        with speaking_of(reading.quantity):
            ends = " and ".join(
                f"{word} {said(limit)}"
                for word, limit in (("at least", least), ("at most", most))
                if limit is not None
            )
        raise OutOfRange(f'"{reading.text}" does not fit here. It must be {ends}.')


def _slip(reading: Reading) -> str:
    """A forgotten decimal point in a pH: 62 for 6.2."""
    if reading.kind == "pH" and re.fullmatch(r"\d{2,3}", reading.text):
        return f" If you meant {reading.text[0]}.{reading.text[1:]}, type that."
    return ""


def _refuse(typed: str, phrase: Phrase, kind: str | None) -> Problem:
    """The sentence for what was not understood: what it looks like, or what is missing."""
    if not typed:
        return Unreadable(f"Nothing was typed. {wanted(kind)}")
    shown, text, kind_read = f'"{typed}"', phrase.texts[0], phrase.kind
    if _DATE_OR_GRADE.fullmatch(text):
        return Unreadable(f"{shown} looks like a date, a time, a ratio or a label grade. {wanted(kind)}")
    terms = _terms(numerals(text))
    if kind_read and terms:
        others = [way.terms[0].kind for way in _ways(text, None, None)]
        others = others or [name for name in kinds() if terms[0][1] and list(_ways(text, name, None))]
        others = [name for name in others if name != kind_read]
        if others:
            called = " or ".join(dict.fromkeys(kinds()[name].called for name in others))
            return Unreadable(f"{shown} is {called}. {wanted(kind_read)}")
    no_unit = len(terms) == 1 and not terms[0][1] and kind_read not in WITHOUT_UNIT
    if _TWO_NUMBERS.search(text) and not (no_unit and is_fraction(text)):
        return Unreadable(
            f"{shown} holds two numbers with a stroke between them. Write one of them; a range is written 2 to 3."
        )
    ends = _RANGE.split(text)
    if len(ends) == 2 and list(_ways(f"{ends[1]} to {ends[0]}", kind_read, None)):
        return Unreadable(f"{shown} is a range the wrong way round. Write the smaller end first.")
    if no_unit:
        return Unreadable(f"{shown} has no unit we can be sure of. {wanted(kind_read)}")
    if kind is None and (names := [name for name in kinds() if list(_ways(text, name, None))]):
        named = " or ".join(f'"{name}"' for name in names)
        return Unreadable(f"{shown} does not say what is measured. Name the kind: {named}.")
    return Unreadable(f"{shown} is not something we can read. {wanted(kind_read)}")
