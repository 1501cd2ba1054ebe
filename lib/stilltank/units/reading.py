"""Reading what people write: a quantity, a question back, or a refusal with an example; never a silent guess."""

import itertools
import math
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from .door import OutOfRange, Problem, Unreadable
from .registry import Q, Quantity
from .spellings import Meaning, kinds, meanings
from .unclear import Choice, ask, everyday
from .writing import _figure, write

_LONGEST = 200  # characters; no quantity needs more

_DASHES = dict.fromkeys(map(ord, "‐‑‒–—―−﹣－"), "-")
_SIGNS = _DASHES | {ord("μ"): "µ", ord("º"): "°", ord("˚"): "°", ord("⁄"): "/", ord("∕"): "/", ord("⁻"): "-"}
_SIGNS |= {ord("’"): "'", ord("′"): "'", ord("”"): '"', ord("“"): '"', ord("″"): '"'}
_WORDS = [
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
]
_WORD_NUMBERS = {word: str(number) for number, word in enumerate(_WORDS)} | {"a": "1", "an": "1"}

_PLAIN = r"\d+(?:[.,]\d+)*(?:[eE][+-]?\d+)?|[.,]\d+"
_SPACED = r"\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?(?![\d])"
_FRACTION = r"(?:\d+ )?\d+ ?/ ?\d+(?![\d./,])"
_NUMBER = rf"[+-]? ?(?:{_FRACTION}|{_SPACED}|{_PLAIN})"
_UNIT = r"(?:(?:/|\bper\b) ?\d+(?:\.\d+)?|[^\s\d]\d*| +(?!\d))*"
_TERM = re.compile(rf"({_NUMBER}) ?({_UNIT})")
_RANGE = re.compile(r"(?<=[\w°%'\".)])(?<!\d[eE]) ?- ?(?=[+-]?[.,]?\d)|(?<=\S) (?:to|until|up to) (?=\S)")
_GIVE_OR_TAKE = re.compile(r" ?(?:±|\+/-|\+-) ?")
_MIXED = re.compile(r"(?<![\d/.,])([1-9]\d*)-(\d+)/(\d+)(?![\d/.,])")
_ABOUT = re.compile(
    r"^(?:~|≈|∼|(?:about|approx|approximately|around|roughly|circa|ca|c|nearly|almost)\b\.?) ?", re.I
)
_OR_SO = re.compile(r" ?(?:\?|\b(?:or so|approx|approximately)\b\.?)$", re.I)
_LABEL = re.compile(r"^(pH|EC)\b ?[:=]? ?(?=[\d.,~+-])|^(pH|EC)(?=\d)|(?<=\d) ?(pH|EC)$", re.I)
_LABEL_KIND = {"ph": "pH", "ec": "conductivity"}
_DATE_OR_GRADE = re.compile(r"\d+([-/.])\d+\1\d+|\d+:\d+.*|\d{1,2} ?[ap]\.?m\.?", re.I)


@dataclass(frozen=True, slots=True)
class Reading:
    """What was understood of a text, with every assumption made on the way."""

    quantity: Any
    text: str
    kind: str
    assumed: tuple[str, ...] = ()
    approximate: bool = False
    low: Any = None
    high: Any = None
    of: str = ""

    def __str__(self) -> str:
        about = "about " if self.approximate else ""
        shown = f"{about}{write(self.quantity, digits=6)}{f' of {self.of}' if self.of else ''}"
        return f'"{self.text}" read as {shown}' + "".join(f"; {note}" for note in self.assumed)


@dataclass(frozen=True, slots=True)
class _Figure:
    """One way to read the digits of a number."""

    value: float
    style: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to read the whole text: one value a side, in the unit of the first term."""

    values: tuple[float, ...]
    styles: frozenset[str]
    notes: tuple[str, ...]
    terms: tuple[Meaning, ...]
    text: str
    words: str


def read(
    text: str, kind: str | None = None, *, gallon: str | None = None, least: Any = None, most: Any = None
) -> Any:
    """Read a quantity as people write it.

    Parameters
    ----------
    text : str
        Such as ``"1 1/2 US gal"``, ``"6,2"``, ``"3 lb 4 oz"``, ``"2-3 L"``, ``"40 mg/L N"``.
    kind : str, optional
        What is being asked for, a name of data/kinds.csv: ``"volume"``, ``"pH"``, ``"conductivity"``...
        Without it only what is unmistakable is read.
    gallon : "US" or "imperial", optional
        Whose gallons, ounces and cups the writer uses, where that is known.
    least, most : quantity, optional
        What is possible here, such as the size of the tank; it may decide between two readings.

    Returns
    -------
    quantity
        In the unit written, or mg/L as CaCO3 for an alkalinity or a hardness; the middle of a range. A charge
        (meq/L) comes as mmol/L of charge.

    Raises
    ------
    Unclear      two readings are possible; ``.choices`` holds each with words and an everyday size
    OutOfRange   no such size is possible for this kind
    Unreadable   not understood, or a quantity of another kind

    Example
    -------
    >>> read("1 1/2 US gal").m_as("L")
    5.678117676
    >>> read("5 ML", kind="volume")
    Traceback (most recent call last):
    stilltank.units.unclear.Unclear: "5 ML" can be read as 5 millilitres, about one teaspoon; or 5 megalitres...

    Limits: English words; the full stop is the decimal mark. ``explain`` tells what was assumed.
    """
    return explain(text, kind, gallon=gallon, least=least, most=most).quantity


def explain(
    text: str, kind: str | None = None, *, gallon: str | None = None, least: Any = None, most: Any = None
) -> Reading:
    """Read a quantity and say what was assumed; for parameters and errors see ``read``.

    Returns
    -------
    Reading
        ``.quantity``, ``.assumed`` (sentences), ``.approximate``, ``.low`` and ``.high`` of a range,
        ``.of`` (the substance written), ``.kind``.

    Example
    -------
    >>> explain("6,2", kind="pH").assumed
    ('the comma read as a decimal point',)
    >>> reading = explain("about 2-3 L")
    >>> write(reading.low), write(reading.quantity), write(reading.high), reading.approximate
    ('2 L', '2.5 L', '3 L', True)
    """
    if not isinstance(text, str):
        raise Unreadable(f"read takes text, such as read('45 L'). You gave {text!r}.")
    if kind is not None and kind not in kinds():
        raise Unreadable(f"read knows no kind {kind!r}. The kinds are: {', '.join(kinds())}.")
    if gallon not in (None, "US", "imperial"):
        raise Unreadable(f'gallon is "US" or "imperial"; you gave {gallon!r}.')
    typed = " ".join(text.split())
    plain, approximate, kind_read = _prepare(typed, kind)
    ways = list(_ways(plain, kind_read, gallon))
    ways, notes = _possible(ways, least, most)
    if not ways:
        raise _refuse(typed, plain, kind, kind_read)
    choices = _distinct(ways)
    if len(choices) > 1 or _must_ask(choices[0], kind_read):
        raise ask(typed, tuple(_choice(way) for way in choices))
    way = choices[0]
    reading = _reading(way, typed, notes, approximate)
    _check(reading, way, least, most)
    return reading


def _prepare(typed: str, kind: str | None) -> tuple[str, bool, str | None]:
    """Even out signs, take off labels and "about"; the text, whether it was "about", the kind it is read as."""
    if len(typed) > _LONGEST:
        raise Unreadable(f"{len(typed)} characters are too many for one quantity. {_wanted(kind)}")
    text = typed
    if not text.isascii():
        text = _even_out(text)
    if text[:1] in "<>≤≥" and text:
        raise Unreadable(f'"{typed}" gives a limit, not a value. Write the value itself. {_wanted(kind)}')
    approximate = False
    for _ in range(3):  # "EC about 1.8", "~ pH 6"
        if match := _LABEL.search(text):
            labelled = _LABEL_KIND[(match[1] or match[2] or match[3]).lower()]
            if kind not in (None, labelled):
                raise Unreadable(f'"{typed}" names {kinds()[labelled].called}. {_wanted(kind)}')
            text, kind = (text[: match.start()] + text[match.end() :]).strip(), labelled
        for pattern in (_ABOUT, _OR_SO):
            text, times = pattern.subn("", text)
            approximate = approximate or times > 0
    return text, approximate, kind


def _even_out(text: str) -> str:
    """Plain signs for typographic ones: full-width forms, fractions, raised digits, dashes, narrow spaces."""
    out: list[str] = []
    for sign in text.translate(_SIGNS):
        shape = unicodedata.decomposition(sign)
        before = out[-1][-1:] if out else ""
        if shape.startswith("<fraction>"):
            out.append(f" {unicodedata.normalize('NFKC', sign).replace('⁄', '/')} ")
        elif shape.startswith(("<super>", "<sub>")):
            # m² is m2, but 10² is not 102
            out.append(unicodedata.normalize("NFKC", sign) if before.isalpha() or before == "-" else sign)
        elif shape.startswith(("<wide>", "<noBreak>", "<compat>", "<square>")):
            out.append(unicodedata.normalize("NFKC", sign))
        elif sign.isdecimal():
            out.append(str(unicodedata.decimal(sign)))
        else:
            out.append(sign)
    return " ".join("".join(out).translate(_SIGNS).split())


def _sides(text: str, kind: str | None) -> tuple[list[str], bool, tuple[str, ...]]:
    """The two ends of a range, or the one text; whether the second is a give-or-take; notes."""
    notes: tuple[str, ...] = ()
    text = re.sub(r"(?<=[A-Za-zµ])-1(?![\d.,])", "", _inverse(text))
    if match := re.fullmatch(r"between (.+) and (.+)", text, re.I):
        return [match[1], match[2]], False, notes
    for match in reversed(list(_MIXED.finditer(text))):
        if int(match[2]) < int(match[3]):
            text = f"{text[: match.start()]}{match[1]} {match[2]}/{match[3]}{text[match.end() :]}"
            notes = ("the hyphen read as joining a whole number and a fraction",)
    if kind == "share" and (match := re.fullmatch(r"(\d+) (?:in|out of|of) (\d+)", text)):
        return [f"{match[1]}/{match[2]}"], False, notes
    if len(parts := _GIVE_OR_TAKE.split(text)) == 2:
        return parts, True, notes
    return _RANGE.split(text), False, notes


def _inverse(text: str) -> str:
    """Turn "mg L-1" into "mg /L"."""
    return re.sub(r"(?<=[A-Za-zµ]) ([A-Za-zµ]{1,4})(-1)(?![\d.,])", r" /\1", text)


def _ways(text: str, kind: str | None, gallon: str | None) -> Iterator[_Way]:
    """Every way to read the text as this kind."""
    sides, tolerance, notes = _sides(text, kind)
    if len(sides) > 2:
        return
    split = [_terms(_numerals(side)) for side in sides]
    if not all(split):
        return
    if len(split) == 2:  # "2-3 L", "2 L - 3": the end without a unit takes the other's
        first, last = split[0][-1][1], split[1][-1][1]
        for side, unit in zip(split, (last, first), strict=True):
            if len(side) == 1 and not side[0][1]:
                side[0] = (side[0][0], unit)
    sides_ways = [list(_side_ways(terms, kind, gallon)) for terms in split]
    if len(sides_ways) == 1:
        yield from (replace(way, notes=notes + way.notes) for way in sides_ways[0])
        return
    for low, high in itertools.product(*sides_ways):
        if "decimal" in low.styles | high.styles and "thousands" in low.styles | high.styles:
            continue
        if low.terms[0].kind != high.terms[0].kind or _clash(low.terms + high.terms):
            continue
        end = _convert(high.values[0], high.terms[0], low.terms[0])
        start = low.values[0]
        ends = (start - abs(end), start + abs(end)) if tolerance else (start, end)
        if ends[0] > ends[1]:
            continue
        yield _Way(
            ends,
            low.styles | high.styles,
            tuple(dict.fromkeys(notes + low.notes + high.notes)),
            low.terms,
            f"{low.text} ± {high.text}" if tolerance else f"{low.text} to {high.text}",
            f"{low.words} {'give or take' if tolerance else 'to'} {high.words}",
        )


def _numerals(text: str) -> str:
    """Numbers in words at the start: "five L", "half a gallon", "two and a half litres", "a cup"."""
    text = text.strip()
    if not text[:1].isalpha():
        return re.sub(r"(?<=\d) and (?=\d+/\d)", " ", text)
    text = re.sub(r"^(?:an? )?half(?: of)?(?: an?)? ", "1/2 ", text, flags=re.I)
    text = re.sub(r"^(?:an? )?quarter(?: of)?(?: an?)? ", "1/4 ", text, flags=re.I)
    word, _, rest = text.partition(" ")
    if (number := _WORD_NUMBERS.get(word.lower())) is None or not (rest or word.lower() in _WORDS):
        return text
    return re.sub(r"^(\d+) and a half\b", r"\1 1/2", f"{number} {rest}".strip())


def _terms(text: str) -> list[tuple[str, str]]:
    """Split "3 lb 4 oz" into numbers with their units; nothing when any part is left over."""
    terms: list[tuple[str, str]] = []
    text = re.sub(r"(?<=\d)(['\"])(?=\d)(?!\d{3})", r"\1 ", text).strip()
    place = 0
    while place < len(text):
        match = _TERM.match(text, place)
        if not match or len(terms) == 3:
            return []
        terms.append((match[1].strip(), re.sub(r"(?:,|\+|&|\band\b|\.)? *$", "", match[2]).strip()))
        place = match.end()
    return terms


def _side_ways(terms: list[tuple[str, str]], kind: str | None, gallon: str | None) -> Iterator[_Way]:
    """Ways to read one side of a range: one quantity, or a sum of ever smaller units."""
    columns = []
    for number, unit in terms:
        figures = list(_figures(number))
        columns.append(list(itertools.product(figures, _fitting(number, meanings(unit, kind, gallon)))))
    for parts in itertools.product(*columns):
        means = tuple(meaning for _, meaning in parts)
        first = means[0]
        if len(parts) > 1:
            sizes = [(1 * one.unit).to_base_units().magnitude * one.factor for one in means]
            descending = all(large > small for large, small in itertools.pairwise(sizes))
            same = len({one.kind for one in means}) == 1 and not _clash(means)
            if not same or not descending or first.kind not in ("volume", "mass", "length", "time"):
                continue
            if any(figure.value < 0 for figure, _ in parts):
                continue
        value = sum(_convert(figure.value, one, first) for figure, one in parts)
        figures_notes = tuple(figure.note for figure, _ in parts if figure.note)
        notes = tuple(dict.fromkeys(figures_notes + tuple(note for one in means for note in one.notes)))
        texts = " ".join(_shown(figure.value, one, one.written) for figure, one in parts)
        words = " ".join(_shown(figure.value, one, one.called) for figure, one in parts)
        styles = frozenset(figure.style for figure, _ in parts)
        yield _Way((value,), styles, notes, means, texts, words)


def _fitting(number: str, found: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """A fraction without a unit is a part of one: 3/4 as a share is 75 %."""
    if "/" in number and any(one.written == "of one" for one in found):
        return tuple(replace(one, sure=True) for one in found if one.written == "of one")
    return found


def _shown(value: float, meaning: Meaning, name: str) -> str:
    if meaning.written == "of one":
        return f"{_figure(value * meaning.factor, 12)} {'%' if name == 'of one' else 'per cent'}"
    return f"{_figure(value, 12)} {name}".strip()


def _clash(found: tuple[Meaning, ...]) -> bool:
    return len({one.system for one in found if one.system}) > 1


def _convert(value: float, meaning: Meaning, to: Meaning) -> float:
    """A value in one meaning's unit, as a value in the unit (not the multiple) of another's."""
    if meaning.unit == to.unit:
        return value * meaning.factor
    return float(Quantity(value * meaning.factor, meaning.unit).m_as(to.unit))


def _figures(text: str) -> Iterator[_Figure]:
    """Every way to read the digits: 1.5; 1,5; 1,500; 1 500; 1 1/2."""
    text = text.replace("+", "", 1) if text.startswith("+") else text
    sign = -1.0 if text.startswith("-") else 1.0
    digits = text.lstrip("-").strip()
    if "/" in digits:
        top, bottom = re.split(r" ?/ ?", digits)
        whole, _, top = top.rpartition(" ")
        if int(bottom):
            yield _Figure(sign * (int(whole or 0) + int(top) / int(bottom)))
        return
    if " " in digits or "'" in digits:
        value = re.sub("[ ']", "", digits).replace(",", ".")
        yield _Figure(sign * float(value), "thousands", "the gap read as marking thousands")
        return
    body, _, power = digits.lower().partition("e")
    for style, note, value in _marks(body):
        number = sign * float(f"{value}e{power or 0}")
        if math.isfinite(number):
            yield _Figure(number, style, note)


def _marks(body: str) -> Iterator[tuple[str, str, str]]:
    """Ways to read commas and full stops: style, note, the number with a full stop."""
    commas, stops = body.count(","), body.count(".")
    grouped = re.fullmatch(r"[1-9]\d{0,2}(?:[.,]\d{3})+", body)
    if not commas and stops <= 1:
        yield "", "the full stop read as a decimal point" if grouped else "", body
    elif commas == 1 and not stops:
        if grouped:
            yield "thousands", "the comma read as marking thousands", body.replace(",", "")
        yield "decimal", "the comma read as a decimal point", body.replace(",", ".")
    elif commas and stops:
        mark = max(",.", key=body.rfind)
        other = "." if mark == "," else ","
        front, _, end = body.rpartition(mark)
        if re.fullmatch(rf"[1-9]\d{{0,2}}(?:{re.escape(other)}\d{{3}})+", front):
            name = "comma" if mark == "," else "full stop"
            yield "", f"the {name} read as a decimal point", front.replace(other, "") + "." + end
    elif grouped:
        name = "commas" if commas else "full stops"
        yield "thousands", f"the {name} read as marking thousands", re.sub("[.,]", "", body)


@cache
def _limits(kind: str, dimension: str) -> tuple[Any, Any]:
    from ..tables import load

    entries = load("limits").of(kind)
    most = entries.get("most amount") if "substance" in dimension else None
    return entries["least"].quantity, (most or entries["most"]).quantity


def _kind_limits(way: _Way) -> tuple[float, float]:
    """Least and most possible for the kind, in the unit of the way."""
    first = way.terms[0]
    least, most = _limits(first.kind, str(first.unit.dimensionality))
    if least.dimensionality != most.dimensionality:
        least = Quantity(0.0, most.units)
    return float(least.m_as(first.unit)), float(most.m_as(first.unit))


def _possible(ways: list[_Way], least: Any, most: Any) -> tuple[list[_Way], tuple[str, ...]]:
    """Leave out what cannot be, as long as something stays; the notes say so."""
    notes: tuple[str, ...] = ()
    if len(ways) > 1 and (least is not None or most is not None):
        kept = [way for way in ways if _within(way, least, most)]
        if kept and len(kept) < len(ways):
            ways, notes = kept, ("the only reading of a possible size here",)
    if len({way.terms for way in ways}) == 1 and len(ways) > 1:  # only the digits are in doubt
        kept = [way for way in ways if _fits_kind(way)]
        if kept and len(kept) < len(ways):
            ways, notes = kept, notes or ("the only reading of a possible size",)
    return ways, notes


def _fits_kind(way: _Way) -> bool:
    low, high = _kind_limits(way)
    if way.terms[0].kind == "count" and way.values[0] != int(way.values[0]):
        return False
    return low * (1 - 1e-9) <= min(way.values) and max(way.values) <= high * (1 + 1e-9)


def _within(way: _Way, least: Any, most: Any) -> bool:
    unit = way.terms[0].unit
    try:
        low = (
            -math.inf
            if least is None
            else float(Q(least, f"{unit}").m if _bare_number(least) else least.m_as(unit))
        )
        high = (
            math.inf
            if most is None
            else float(Q(most, f"{unit}").m if _bare_number(most) else most.m_as(unit))
        )
    except Exception:
        return False
    return low <= min(way.values) and max(way.values) <= high


def _bare_number(value: Any) -> bool:
    return isinstance(value, (int, float))


def _distinct(ways: list[_Way]) -> list[_Way]:
    """One way for each different quantity, the surest first."""
    found: list[_Way] = []
    for way in sorted(ways, key=lambda way: not all(one.sure for one in way.terms)):
        for other in found:
            if other.terms[0].kind == way.terms[0].kind and np.allclose(
                [_convert_plain(value, way.terms[0], other.terms[0]) for value in way.values],
                other.values,
                rtol=1e-9,
            ):
                break
        else:
            found.append(way)
    return found


def _convert_plain(value: float, meaning: Meaning, to: Meaning) -> float:
    if meaning.unit == to.unit:
        return value
    if meaning.unit.dimensionality != to.unit.dimensionality:
        return math.nan
    return float(Quantity(value, meaning.unit).m_as(to.unit))


def _must_ask(way: _Way, kind: str | None) -> bool:
    """A doubtful spelling is taken only where a kind was asked for; bare ppm only with its substance."""
    if any("ppm" in note or "ppb" in note for one in way.terms for note in one.notes):
        return not way.terms[0].of
    doubtful = not all(one.sure for one in way.terms)
    return doubtful and kind is None


def _choice(way: _Way) -> Choice:
    first = way.terms[0]
    quantity = Quantity(sum(way.values) / len(way.values), first.unit)
    return Choice(quantity, way.words, everyday(quantity, first.kind), way.text)


def _reading(way: _Way, typed: str, notes: tuple[str, ...], approximate: bool) -> Reading:
    first = way.terms[0]
    low, high = (Quantity(value, first.unit) for value in (way.values[0], way.values[-1]))
    middle = Quantity(sum(way.values) / len(way.values), first.unit)
    assumed = way.notes
    assumed += tuple(f"read as {way.words}" for one in way.terms[:1] if not all(t.sure for t in way.terms))
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


def _check(reading: Reading, way: _Way, least: Any, most: Any) -> None:
    """Refuse a size that is impossible for the kind, or here."""
    called = kinds()[reading.kind].called
    if reading.kind == "count" and reading.quantity.m != int(reading.quantity.m):
        raise OutOfRange(f'"{reading.text}" is not a whole number. Write one such as 12.')
    if not _fits_kind(way):
        low, high = (Quantity(limit, way.terms[0].unit) for limit in _kind_limits(way))
        if reading.quantity.magnitude < 0 and low.magnitude == 0:
            raise OutOfRange(f'"{reading.text}" is less than nothing. Write {called} of 0 or more.')
        raise OutOfRange(
            f'"{reading.text}" is not possible: {called} lies between {write(low)} and {write(high)}.{_slip(reading)}'
        )
    if (least is not None or most is not None) and not _within(way, least, most):
        ends = " and ".join(
            f"{word} {write(limit)}"
            for word, limit in (("at least", least), ("at most", most))
            if limit is not None
        )
        raise OutOfRange(f'"{reading.text}" does not fit here. It must be {ends}.')


def _slip(reading: Reading) -> str:
    """A forgotten decimal point in a pH: 62 for 6.2."""
    if reading.kind == "pH" and re.fullmatch(r"\d{2,3}", reading.text):
        return f" If you meant {reading.text[0]}.{reading.text[1:]}, type that."
    return ""


def _wanted(kind: str | None) -> str:
    if kind is None:
        return "Write a number and its unit, such as 45 L or 20 °C."
    return f"Write {kinds()[kind].called}, such as {kinds()[kind].example}."


def _refuse(typed: str, text: str, kind: str | None, kind_read: str | None) -> Problem:
    """The sentence for what was not understood: what it looks like, or what is missing."""
    if not typed:
        return Unreadable(f"Nothing was typed. {_wanted(kind)}")
    shown = f'"{typed}"'
    if _DATE_OR_GRADE.fullmatch(text):
        return Unreadable(f"{shown} looks like a date, a time, a ratio or a label grade. {_wanted(kind)}")
    terms = _terms(_numerals(text))
    if kind_read and terms and (others := list(_ways(text, None, None))):
        called = " or ".join(dict.fromkeys(kinds()[way.terms[0].kind].called for way in others))
        return Unreadable(f"{shown} is {called}. {_wanted(kind_read)}")
    if len(terms) == 1 and not terms[0][1]:
        return Unreadable(f"{shown} has no unit we can be sure of. {_wanted(kind_read)}")
    if kind is None and (names := [name for name in kinds() if list(_ways(text, name, None))]):
        named = " or ".join(f'"{name}"' for name in names)
        return Unreadable(f"{shown} does not say what is measured. Name the kind: {named}.")
    return Unreadable(f"{shown} is not something we can read. {_wanted(kind_read)}")
