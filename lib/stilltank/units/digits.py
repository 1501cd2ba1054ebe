"""Reading the numbers of what people write: signs, commas, fractions, numbers in words."""

import math
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

_DASHES = dict.fromkeys(map(ord, "‐‑‒–—―−﹣－⁻"), "-")
_SIGNS = _DASHES | {
    ord("⁺"): "+",
    ord("＋"): "+",
    ord("μ"): "µ",
    ord("º"): "°",
    ord("˚"): "°",
    ord("⁄"): "/",
    ord("∕"): "/",
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
    "twenty",
]
_TENS = {
    "thirty": "30",
    "forty": "40",
    "fifty": "50",
    "sixty": "60",
    "seventy": "70",
    "eighty": "80",
    "ninety": "90",
}
_WORD_NUMBERS = {word: str(number) for number, word in enumerate(_WORDS)} | _TENS | {"a": "1", "an": "1"}
_LARGE = {"hundred": 100, "thousand": 1000}
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
    """One way to read the digits of a number; ``style`` says how a lone comma was taken."""

    value: float
    style: str = ""
    note: str = ""


def even_out(text: str) -> str:
    """Plain signs for typographic ones: full-width forms, fractions, raised digits, dashes, narrow spaces.

    Example
    -------
    >>> even_out("1½ m² – ２"), even_out("10² L")
    ('1 1/2 m2 - 2', '10² L')
    """
    if text.isascii():
        return text
    out: list[str] = []
    for sign in text.translate(_SIGNS):
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
    """A power of ten as calculators show it: 2.5 × 10³ is 2.5e3.

    Example
    -------
    >>> scientific("6.3 × 10⁻⁷ mol/L"), scientific("2.5 x 10^3 mL"), scientific("10² L")
    ('6.3e-7 mol/L', '2.5e3 mL', '10² L')
    """
    return _POWER.sub(
        lambda match: "e" + unicodedata.normalize("NFKC", match[1] or match[2]).replace("−", "-"), text
    )


def numerals(text: str) -> str:
    """Digits for a number in words at the start: "five L", "half a gallon", "two and a half litres", "tenfold".

    Example
    -------
    >>> numerals("two and a half L"), numerals("half a litre"), numerals("a cup")
    ('2 1/2 L', '1/2 litre', '1 cup')
    >>> numerals("two hundred L"), numerals("tenfold")
    ('200 L', '10 fold')
    """
    text = text.strip()
    if not text[:1].isalpha():
        return re.sub(r"(?<=\d) and (?=\d+/\d)", " ", text)
    text = re.sub(r"^(?:an? )?half(?: of)?(?: an?)? ", "1/2 ", text, flags=re.I)
    text = re.sub(r"^(?:an? )?quarter(?: of)?(?: an?)? ", "1/4 ", text, flags=re.I)
    text = re.sub(r"^three[ -]quarters(?: of)?(?: an?)? ", "3/4 ", text, flags=re.I)
    text = _FOLD.sub(r"\1 ", text)
    word, _, rest = text.partition(" ")
    if word.lower() in _LARGE:
        word, rest = "one", text
    number = _WORD_NUMBERS.get(word.lower())
    if number is None or rest[:1].isdigit() or (not rest and word.lower() in ("a", "an")):
        return text  # "a 500 mL" is not 1500 mL
    large, _, after = rest.partition(" ")
    if large.lower() in _LARGE and int(number):
        number, rest = str(int(number) * _LARGE[large.lower()]), after
    return re.sub(r"^(\d+) and a half\b", r"\1 1/2", f"{number} {rest}".strip())


def figures(text: str) -> Iterator[Figure]:
    """Every way to read the digits of one number: 1.5; 1,5; 1,500; 1 500; 1 1/2.

    Example
    -------
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
