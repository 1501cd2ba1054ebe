"""Reading the numbers of what people write: signs, commas, fractions, numbers in words."""

import math
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from stilltank.problems import Unreadable

_DASHES = dict.fromkeys(map(ord, "‐‑‒–—―−﹣－⁻"), "-")
_SIGNS = _DASHES | {
    ord("⁺"): "+",
    ord("＋"): "+",
    ord("μ"): "µ",
    ord("º"): "°",
    ord("˚"): "°",
    ord("⁄"): "/",
    ord("∕"): "/",
    ord("ℓ"): "L",
}
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
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
]
_UNITS_OF_TEN = {word: number for number, word in enumerate(_WORDS)}
_TENS_OF = {
    "twenty": 20,
    "thirty": 30,
    "forty": 40,
    "fifty": 50,
    "sixty": 60,
    "seventy": 70,
    "eighty": 80,
    "ninety": 90,
}
_SAID = _UNITS_OF_TEN.keys() | _TENS_OF.keys()
_LARGE = ("hundred", "thousand")
_SMALL_PARTS = {
    "half": 2,
    "third": 3,
    "quarter": 4,
    "fourth": 4,
    "fifth": 5,
    "eighth": 8,
    "tenth": 10,
    "sixteenth": 16,
}
_PART = rf"(?:{'|'.join(_SMALL_PARTS)})"
_TOP = rf"(?:an?|{'|'.join(_WORDS[1:16])})"
# half a litre, a quarter of an inch, three eighths of an inch, two thirds
_PART_OF = re.compile(
    rf"^(?:(?:({_TOP})[ -])?(half|quarter)s?(?: of)?(?: an?)?|"
    rf"(?:({_TOP})[ -])({_PART})s?(?: of(?: an?)?)?)(?: (?!\d)|$)",
    re.I,
)
_NTH = re.compile(
    r"^an? (?:third|fourth|fifth|eighth|tenth|sixteenth) (?!of\b)", re.I
)  # a third cup: the third one?
_AND_PART = re.compile(rf"^(\d+) and (?:({_TOP})[ -])?({_PART})s?(?: of)?(?: an?)?(?: |$)", re.I)
_THEN_PART = re.compile(
    rf"^(\d+) ([^\d]*[^\W\d]) and (?:({_TOP})[ -])?({_PART})s?$", re.I
)  # an hour and a half
_MINUS = re.compile(r"^(?:minus|negative) (?=[\d.,]|[^\W\d])", re.I)
_POWER = re.compile(
    r"(?<=\d) ?[x×·⋅] ?10(?: ?\^ ?([+−-]?\d{1,3})|([⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]{1,3}))(?![\d⁰¹²³⁴⁵⁶⁷⁸⁹.,])", re.I
)
_FOLD = re.compile(rf"^({'|'.join([*_WORDS, *_LARGE])})-?(?=fold\b)", re.I)

_PLAIN = r"\d+(?:[.,]\d+)*(?:[eE][+-]?\d+)?|[.,]\d+"
_SPACED = r"\d{1,3}(?:[ ']\d{3})+(?:[.,]\d+)?(?!\d)"
_FRACTION = r"(?:\d+ )?\d+ ?/ ?\d+(?![\d./,])"
NUMBER = rf"[+-]? ?(?:{_FRACTION}|{_SPACED}|{_PLAIN})"
_GROUPS = re.compile(r"[1-9]\d{0,2}(?:[.,]\d{3})+")


@dataclass(frozen=True, slots=True)
class Figure:
    """One way to read the digits of a number.

    Parameters
    ----------
    value : float
        The number.
    style : str, optional
        How a lone comma was taken.
    note : str, optional
        What was assumed.

    Examples
    --------
    >>> Figure(1.5).value
    1.5
    """

    value: float
    style: str = ""
    note: str = ""


def even_out(text: str) -> str:
    """Plain signs for typographic ones: full-width forms, fractions, raised digits, dashes, narrow spaces.

    Parameters
    ----------
    text : str
        What was typed.

    Returns
    -------
    str
        The same with plain signs.

    Examples
    --------
    >>> even_out("1½ m² – ２"), even_out("10² L")
    ('1 1/2 m2 - 2', '10² L')
    """
    if text.isascii():
        return text
    out: list[str] = []
    for sign in text.translate(_SIGNS):
        if unicodedata.category(sign) == "Cf":  # marks of direction and joining, which nobody sees
            continue
        shape, before = unicodedata.decomposition(sign), out[-1][-1:] if out else ""
        flat = unicodedata.normalize("NFKC", sign)
        if shape.startswith("<fraction>"):
            out.append(f" {flat} ")
        elif shape.startswith(("<super>", "<sub>")):  # m² is m2, but 10² is not 102
            out.append(flat if before.isalpha() or before == "-" else sign)
        elif shape.startswith(("<wide>", "<noBreak>", "<compat>", "<square>")):
            out.append(flat)
        else:
            out.append(str(unicodedata.decimal(sign)) if sign.isdecimal() else sign)
    return " ".join("".join(out).translate(_SIGNS).split())


def scientific(text: str) -> str:
    """A power of ten as calculators show it.

    So 2.5 × 10³ becomes 2.5e3.

    Parameters
    ----------
    text : str
        What was typed.

    Returns
    -------
    str
        The same with powers of ten as 2.5e3.

    Raises
    ------
    Unreadable
        No text.

    Examples
    --------
    >>> scientific("6.3 × 10⁻⁷ mol/L"), scientific("2.5 x 10^3 mL"), scientific("10² L")
    ('6.3e-7 mol/L', '2.5e3 mL', '10² L')
    """
    if not isinstance(text, str):
        raise Unreadable(f'scientific reads text, such as "2.5 × 10³ mL"; {type(text).__name__} is none.')
    return _POWER.sub(
        lambda match: "e" + unicodedata.normalize("NFKC", match[1] or match[2]).replace("−", "-"), text
    )


def numerals(text: str) -> str:
    """Digits for a number in words at the start of a text.

    Such as "five L", "half a gallon", "two and a half litres" or "tenfold".

    Parameters
    ----------
    text : str
        What was typed.

    Returns
    -------
    str
        The same with digits.

    Examples
    --------
    >>> numerals("two and a half L"), numerals("half a litre"), numerals("a cup"), numerals("an hour and a half")
    ('2 1/2 L', '1/2 litre', '1 cup', '1 1/2 hour')
    >>> numerals("one hundred and twenty-five L"), numerals("half a dozen"), numerals("tenfold")
    ('125 L', '6', '10 fold')
    >>> numerals("minus two C")
    '-2 C'
    """
    text = text.strip()
    if match := _MINUS.match(text):
        rest = numerals(text[match.end() :])
        return f"-{rest}" if rest[:1].isdigit() or rest[:1] in ".," else text
    if text[:1].isalpha():
        text = re.sub(r"^(?:a )?half (?:a )?dozen\b", "six", text, flags=re.I)
        if (match := _PART_OF.match(text)) and not _NTH.match(text):
            part = _part(match[1] or match[3], match[2] or match[4])
            return f"{part} {text[match.end() :]}".strip()
        number, rest = _counted_out(_FOLD.sub(r"\1 ", text))
        if number is None or rest[:1].isdigit():
            return text  # "a 500 mL" is not 1500 mL
        text = f"{number} {rest}".strip()
    text = re.sub(r"(?<=\d) and (?=\d+/\d)", " ", text)
    if match := _AND_PART.match(text):
        return f"{match[1]} {_part(match[2], match[3])} {text[match.end() :]}".strip()
    if match := _THEN_PART.match(text):
        return f"{match[1]} {_part(match[3], match[4])} {match[2]}"
    return text


def _part(top: str | None, part: str) -> str:
    """A part in words as a fraction: half is 1/2, three eighths are 3/8."""
    over = _UNITS_OF_TEN.get((top or "a").lower(), 1)
    return f"{over}/{_SMALL_PARTS[part.lower()]}"


def _counted_out(text: str) -> tuple[int | None, str]:
    """A whole number in words, and what follows it; None where no number stands there, as in "a few"."""
    words = re.split(r"([ -])", text)
    lower = [word.lower() for word in words]
    place, thousands, below, last = 0, 0, 0, ""
    if lower[0] in ("a", "an") and len(words) > 1:
        place, below, last = 2, 1, "a"
    while place < len(words):
        word, fresh = lower[place], last in ("", "hundred", "thousand")
        if word == "and" and last in ("hundred", "thousand") and {*lower[place + 2 : place + 3]} & _SAID:
            place += 2
            continue
        if word in _TENS_OF and fresh:
            below += _TENS_OF[word]
        elif word in _UNITS_OF_TEN and (fresh or (last in _TENS_OF and 0 < _UNITS_OF_TEN[word] < 10)):
            below += _UNITS_OF_TEN[word]
        elif word == "hundred" and (not last or 0 < below < 10):
            below = (below or 1) * 100
        elif word == "dozen" and not thousands and last != "dozen":
            below = (below or 1) * 12
        elif word == "thousand" and not thousands:
            thousands, below = (below or 1) * 1000, 0
        else:
            break
        last, place = word, place + 2
    return (thousands + below, "".join(words[place:])) if place else (None, text)


def figures(text: str) -> Iterator[Figure]:
    """Every way to read the digits of one number.

    Such as 1.5; 1,5; 1,500; 1 500; 1 1/2.

    Parameters
    ----------
    text : str
        The number as it was typed.

    Yields
    ------
    Figure
        One way.

    Examples
    --------
    >>> [figure.value for figure in figures("1,500")], [figure.value for figure in figures("1 1/2")]
    ([1500.0, 1.5], [1.5])
    """
    sign = -1.0 if text.startswith("-") else 1.0
    digits = text.lstrip("+-").strip()
    if "/" in digits:
        top, bottom = re.split(r" ?/ ?", digits)
        whole, _, top = top.rpartition(" ")
        if int(bottom):
            yield Figure(sign * (int(whole or 0) + int(top) / int(bottom)))
        return
    if " " in digits or "'" in digits:
        value = re.sub("[ ']", "", digits).replace(",", ".")
        yield Figure(sign * float(value), "", "the gap read as marking thousands")
        return
    body, _, power = digits.lower().partition("e")
    for style, note, value in _marks(body):
        number = sign * float(f"{value}e{power or 0}")
        if math.isfinite(number):
            yield Figure(number, style, note)


def _marks(body: str) -> Iterator[tuple[str, str, str]]:
    """Ways to read commas and full stops: style, note, the number with a full stop."""
    commas, stops = body.count(","), body.count(".")
    grouped = _GROUPS.fullmatch(body)
    if not commas and stops <= 1:
        yield "", "the full stop read as a decimal point" if grouped else "", body
    elif commas == 1 and not stops:
        if grouped:
            yield "thousands", "the comma read as marking thousands", body.replace(",", "")
        yield "decimal", "the comma read as a decimal point", body.replace(",", ".")
    elif commas and stops:
        mark = max(",.", key=body.rfind)
        front, _, end = body.rpartition(mark)
        if _GROUPS.fullmatch(front) and mark not in front:
            name = "comma" if mark == "," else "full stop"
            whole = front.replace(",", "").replace(".", "")
            yield "", f"the {name} read as a decimal point", f"{whole}.{end}"
    elif grouped:
        name = "commas" if commas else "full stops"
        yield "thousands", f"the {name} read as marking thousands", body.replace(",", "").replace(".", "")
