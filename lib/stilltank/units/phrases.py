"""The words around a quantity: labels, limits, "about", articles, bottles, amounts written twice."""

import re
from dataclasses import dataclass

from stilltank.problems import Unreadable

from .numerals import even_out, scientific
from .spellings import SUBSTANCE, kinds

_LONGEST = 200  # characters; no quantity needs more
_DROPPED = 4  # labels and words taken off one after the other: "EC: about 1.8", "carbonate hardness KH: 5"

_ABOUT = re.compile(
    r"^(?:~|≈|∼|(?:about|approx|approximately|around|roughly|circa|ca|c|nearly|almost)\b\.?) ?", re.I
)
_OR_SO = re.compile(r" ?(?:\?|\b(?:or so|approx|approximately)\b\.?)$", re.I)

# What is measured, said before or behind the number.
_LABELS = {
    "pH": r"pH(?: value)?",
    "conductivity": r"EC|E\.C\.|conductivity",
    "alkalinity": r"(?:total )?alkalinity|alk\.?|(?:carbonate hardness|KH)(?: \(KH\))?",
    "hardness": r"(?:(?:total|general) )?hardness|(?:GH|TH)",
    "temperature": r"temp\.?|temperature",
    "volume": r"vol\.?|volume",
    "mass": r"mass|weight",
    "length": r"length|height|depth|width|diameter",
    "area": r"area",
    "pressure": r"pressure",
}
_LABEL_FIRST = {
    kind: re.compile(rf"^(?:{words})(?=[\s\d:=~.,+-]) ?[:=]? ?(?=[\d.,~≈+-]|about\b|approx)", re.I)
    for kind, words in _LABELS.items()
}
_LABEL_LAST = {
    "pH": re.compile(r"(?<=\d) ?pH(?: units?)?$", re.I),
    "conductivity": re.compile(r"(?<=\d) ?EC$", re.I),
    "alkalinity": re.compile(r" (?:carbonate hardness|(?:total )?alkalinity|KH)$", re.I),
    "hardness": re.compile(r" (?:(?:total|general) hardness|(?<!carbonate )hardness|GH)$", re.I),
}
_ANY_LAST = re.compile(r"(?:pH|units?|EC|KH|GH|ness|alkalinity)$", re.I)
_AGAIN = re.compile(r"(?<=\d)( ?- ?| to )(?:pH|EC) ?(?=\d)", re.I)  # pH 5.5 - pH 6.5
_DEGREES = {"KH": "°dKH", "GH": "°dGH"}
_DEGREES_ONLY = re.compile(r"\b([KG]H)\b", re.I)
_AT_25 = re.compile(r" ?(?:@|\bat\b|\() ?25(?:\.0)? ?°? ?C\)?$", re.I)
_AT_ANY = re.compile(r" ?(?:@|\bat\b|\() ?\d+(?:\.\d+)? ?°? ?C\)?$", re.I)

_LIMIT_WORDS = (
    r"at (?:least|most)|up to|no (?:more|less|fewer) than|not (?:over|above|below|under|more than|less than)|"
    r"(?:less|more|fewer|greater|lower|higher) than|over|under|above|below|max(?:imum)?|min(?:imum)?"
)
_LIMIT = re.compile(
    rf"^(?:=?[<>≤≥]|(?:{_LIMIT_WORDS})\b)|[<>≤≥]=?$|"
    r"\d ?\+(?: ?[^\W\d]|$)|"  # 45+ L, 6+
    r" (?:or|and) (?:more|less|up|over|above|below|under|higher|lower)$|"
    r"\b(?:max|maximum|minimum|plus)\.?$|"
    r"(?<=[^\W\d]|[°%'\"])(?<!\bper)(?<!/)(?<! an)(?<! a)(?<!\beach)(?<!\bevery) min\.?$",
    re.I,
)
_PLUS = re.compile(r"[^\W\d]\.? ?\+$|[°%'\"] ?\+$")  # 45 L+
_CHARGED = re.compile(rf"(?:[^\W\d]|[%\d)]) ?(?:as |of )?{SUBSTANCE}$")
_OF_PROGRAMS = re.compile(r"\*+|_|\bdelta|\^", re.I)
_RAISED = re.compile(r"(?<=[^\W\d])\^(?=-?[1-4](?!\d))")  # m^2, L^-1

_NOUNS = (
    "tub|tank|bottle|jug|bag|bucket|can|box|sack|ruler|pack|packet|jar|carton|drum|barrel|canister|tin|sachet|"
    "stick|container|pail|flask|beaker|syringe|mug"
)
_VESSEL = re.compile(rf"(?<=[^\W\d])\.? (?:{_NOUNS})(?:e?s)?$", re.I)
_STUFF = re.compile(
    r"(?<=[^\W\d])\.? of (?:the )?(?:(?:tap|rain|pure|distilled|clean|warm|cold) ?)?"
    r"(?:water|rain|solution|salts?|nutrients?|fertili[sz]er|mix|liquid|concentrate|acid)$",
    re.I,
)
_ARTICLE = re.compile(r"^(?:an?|the) (?=(?:[\d.,/]+|\d+ \d+/\d+) ?[^\W\d])|^one (?=[\d.,]+ ?[^\W\d])", re.I)
_IN_EACH = re.compile(r"(?<=[^\W\d]) (?:in (?=\d|(?:an?|one|each|every) )|every (?=\d))")  # 5 g in 10 L
_HYPHEN = re.compile(r"^((?:\d+[ -])?\d[\d.,/]*)-(?=[^\W\d])")  # a 12-inch ruler, a 5-gallon bucket
_EXTENT = re.compile(r"(?<=[^\W\d]|['\"]) (?:deep|wide|long|high|tall|thick|across|in diameter)$", re.I)
_ABOVE_SEA = re.compile(r" ?(?:a\.? ?m?\.? ?s\.? ?l\.?|above (?:mean )?sea[ -]level)$", re.I)
_IN_A_DAY = re.compile(
    r"(?<![^\W\d])((?:h|hrs?|hours?|min|mins|minutes?)\.?) ?(?:(?:an?|per|each|every) day|daily|/ ?(?:day|d))$",
    re.I,
)
_FEET_AND_INCHES = re.compile(r"(?<=\d)' ?- ?(?=\d[\d ./]*\")")  # 4'-6"
_SCALE = re.compile(r"\bppm[ -](?=(?:500|640|700)\b)", re.I)
_LEVEL = re.compile(r"\blevel (?=t(?:able)?sp|t(?:able|ea)spoon|tbs|cup)", re.I)
_COUNT_WORDS = ["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
_SO_MANY = re.compile(
    rf"^({'|'.join(_COUNT_WORDS)}) (?=[\d.,]+ ?[^\W\d])(.+?[^\W\d]\.?) (?:{_NOUNS}|cup|glasse|pot)(?:e?s)?$",
    re.I,
)
_TIMES = re.compile(r"^([1-9]\d{0,3}) ?[x×] ?(?=[\d.,])([^x×]+)$", re.I)
_TWICE = re.compile(
    r"^(.*?[^\s=(]) ?(?:= ?|\((?:= ?|~ ?|≈ ?|about |approx\.? |ca\.? )?)(?=[\d.,]+ ?(?:[^\W\d]|[°'\"]))([^()=]+?)\)?$",
    re.I,
)

# Names of what is dissolved. A name with two formulas says not which is counted, so it is asked about.
_NAMES = {
    "ammonia": ("NH3", "NH3-N"),
    "ammonium": ("NH4", "NH4-N"),
    "nitrate": ("NO3", "NO3-N"),
    "nitrite": ("NO2", "NO2-N"),
    "phosphate": ("PO4", "PO4-P"),
    "sulfate": ("SO4", "SO4-S"),
    "sulphate": ("SO4", "SO4-S"),
    "bicarbonate": ("HCO3",),
    "hydrogencarbonate": ("HCO3",),
    "hydrogen carbonate": ("HCO3",),
    "hydrogen-carbonate": ("HCO3",),
    "calcium carbonate": ("CaCO3",),
    "chloride": ("Cl",),
    "nitrogen": ("N",),
    "phosphorus": ("P",),
    "potassium": ("K",),
    "calcium": ("Ca",),
    "magnesium": ("Mg",),
    "sulfur": ("S",),
    "sulphur": ("S",),
    "sodium": ("Na",),
    "iron": ("Fe",),
    "manganese": ("Mn",),
    "zinc": ("Zn",),
    "copper": ("Cu",),
    "boron": ("B",),
    "molybdenum": ("Mo",),
}
_ELEMENT = {
    "n": "-N",
    "nitrogen": "-N",
    "p": "-P",
    "phosphorus": "-P",
    "s": "-S",
    "sulfur": "-S",
    "sulphur": "-S",
}
_NAMED = "|".join(sorted(_NAMES, key=len, reverse=True))
_HAS_NAME = re.compile(_NAMED, re.I)
_BASIS = rf"(?:[ -](?:as )?({'|'.join(_ELEMENT)})\b)?"
_NAME_FIRST = re.compile(rf"^({_NAMED}){_BASIS} ?[:=]? ?(?=[\d.,~<])(.+)$", re.I)
_NAME_LAST = re.compile(rf"^(.+?[^\W\d]|.+?%) ?\(?(?:as |of )?({_NAMED}){_BASIS}\)?$", re.I)
_NAME_INSIDE = re.compile(rf"^(.+?[^\W\d]) (?:of )?({_NAMED}){_BASIS} ?((?:/|\bper\b).+)$", re.I)
_AS_FORMULA = re.compile(rf"(?<=\w) (?:{_NAMED}) (?=as {SUBSTANCE}$)", re.I)
_FORMULA_FIRST = re.compile(rf"^({SUBSTANCE})\)? ?[:=]? ?(?=\d)(.*(?:/|pp[mb]|\bper\b|-1|M\b).*)$")


@dataclass(frozen=True, slots=True)
class Phrase:
    """What was typed without the words around it.

    Parameters
    ----------
    texts : tuple of str
        The quantities it may stand for, nearly always one.
    kind : str or None
        What is measured, where that is known.
    approximate : bool
        Whether "about" was said.
    notes : tuple of str
        What was assumed.
    times : int
        How many of them.
    beside : str
        The same amount in another unit.
    doubtful : bool
        Whether only a label gives the unit.
    acid : bool
        Whether acid is named.

    Examples
    --------
    >>> unwrap("a 500 mL bottle", "volume").times
    1
    """

    texts: tuple[str, ...]
    kind: str | None
    approximate: bool
    notes: tuple[str, ...]
    times: int
    beside: str
    doubtful: bool
    acid: bool


def wanted(kind: str | None) -> str:
    """What to write instead, for the end of a sentence.

    Parameters
    ----------
    kind : str or None
        What is being asked for; None for anything.

    Returns
    -------
    str
        The sentence.

    Examples
    --------
    >>> wanted("volume")
    'Write a volume, such as 45 L or 12 US gal.'
    """
    if kind is None:
        return "Write a number and its unit, such as 45 L or 20 °C."
    return f"Write {kinds()[kind].called}, such as {kinds()[kind].example}."


def unwrap(typed: str, kind: str | None) -> Phrase:
    """Take off what stands around a quantity, and even out its signs.

    Parameters
    ----------
    typed : str
        What was typed.
    kind : str or None
        What is being asked for.

    Returns
    -------
    Phrase
        The quantity, and what was said around it.

    Raises
    ------
    Unreadable
        Too long, a limit, a sign of programs, or a label of another kind.

    Examples
    --------
    >>> unwrap("a 500 mL bottle", "volume").texts, unwrap("pH: about 6.2", None).kind
    (('500 mL',), 'pH')
    >>> unwrap("2 ppm ammonia", "concentration").texts
    ('2 ppm NH3', '2 ppm NH3-N')
    """
    if len(typed) > _LONGEST:
        raise Unreadable(f"{len(typed)} characters are too many for one quantity. {wanted(kind)}")
    text = even_out(scientific(typed))
    text, kind_read, approximate, doubtful, notes = _labelled(text, typed, kind)
    text = _RAISED.sub("", re.sub(r"(?<=\w)[·⋅.](?=[^\W\d]+-[1-4])", " ", text))
    sign = _OF_PROGRAMS.search(re.sub(r"\b10 ?\^", "", text) if kind_read == "ratio" else text)
    if sign:
        raise Unreadable(f'"{typed}" holds "{sign[0]}", which only programs understand. {wanted(kind)}')
    if _limited(text, kind_read):
        raise Unreadable(f'"{typed}" gives a limit, not a value. {wanted(kind)}')
    text = _SCALE.sub("ppm", text)
    text = _FEET_AND_INCHES.sub("' ", _IN_EACH.sub("/", text.replace("''", '"')))
    if kind_read == "share":
        text = text.removesuffix(" strength")
    elif kind_read == "length":
        text = _EXTENT.sub("", text)
    elif kind_read == "altitude":
        text = _ABOVE_SEA.sub("", text)
    elif kind_read == "time" and (daily := _IN_A_DAY.search(text)):
        text, notes = text[: daily.end(1)], (*notes, "the time in each day")
    text, times = _counted(text, kind_read)
    text = _HYPHEN.sub(r"\1 ", text)
    beside = ""
    if match := _TWICE.match(text):
        text, beside = match[1], match[2].strip()
    stripped = _STUFF.sub("", _VESSEL.sub("", _LEVEL.sub("", text)))
    texts = _formulas(stripped)
    return Phrase(texts, kind_read, approximate, notes, times, beside, doubtful, "acid" in text.casefold())


def _labelled(text: str, typed: str, kind: str | None) -> tuple[str, str | None, bool, bool, tuple[str, ...]]:
    """Take off labels and "about": the text, its kind, whether "about", whether only a label gives its unit, notes."""
    approximate = doubtful = False
    notes: tuple[str, ...] = ()
    before = ""
    for _ in range(_DROPPED):
        if text == before:
            break
        before = text
        if found := _label(text):
            named, match = found
            known = kinds()
            if (
                kind
                and known[kind].spelled != known[named].spelled
                and (named, kind) != ("alkalinity", "charge")
            ):
                raise Unreadable(f'"{typed}" names {known[named].called}. {wanted(kind)}')
            kind = kind or named
            text = (text[: match.start()] + text[match.end() :]).strip()
            degrees = _DEGREES_ONLY.search(match[0])
            if degrees and re.fullmatch(r"[\d.,]+", text):
                text, doubtful = f"{text} {_DEGREES[degrees[1].upper()]}", True
            if named == "alkalinity":  # KH 5 °dH
                text = re.sub(r"°?dH$", "°dKH", text)
        for pattern in (_ABOUT, _OR_SO):
            text, times = pattern.subn("", text)
            approximate = approximate or times > 0
    if kind in ("pH", "conductivity"):
        text = _AGAIN.sub(r"\1", text)
        text, times = (_AT_25 if kind == "conductivity" else _AT_ANY).subn("", text)
        notes = ("the temperature beside it taken as that of the measurement",) if times else ()
    return text, kind, approximate, doubtful, notes


def _label(text: str) -> tuple[str, re.Match[str]] | None:
    """A label at one end of the text, with its kind; most texts begin with a number and have none."""
    patterns = [] if text[:1].isdigit() else [*_LABEL_FIRST.items()]
    if _ANY_LAST.search(text):
        patterns += _LABEL_LAST.items()
    found = ((named, pattern.search(text)) for named, pattern in patterns)
    return next(((named, match) for named, match in found if match), None)


def _limited(text: str, kind: str | None) -> bool:
    """Whether the text gives a limit: < 5, up to 20 L, 45 L+; the plus of an ion is none."""
    if _LIMIT.search(text):
        return not (
            text.endswith("+") and _CHARGED.search(text) and kind not in ("temperature", "pH", "count")
        )
    return bool(_PLUS.search(text)) and (kind == "temperature" or not _CHARGED.search(text))


def _counted(text: str, kind: str | None) -> tuple[str, int]:
    """Take off an article, or how many of them there are: a 500 mL bottle, two 5 L jugs, 2 × 5 L."""
    if match := _SO_MANY.match(text):
        return match[2], _COUNT_WORDS.index(match[1].lower()) + 2
    if kind in (None, "volume", "mass") and (match := _TIMES.match(text)):
        return match[2], int(match[1])
    return _ARTICLE.sub("", text), 1


def _formulas(text: str) -> tuple[str, ...]:
    """The text with the name of a substance as its formula, or as each that may be meant."""
    if text[:1].isdigit() and not _HAS_NAME.search(text):
        return (text,)
    text = _AS_FORMULA.sub(" ", text)
    if match := _FORMULA_FIRST.match(text):
        return (f"{match[2]} {match[1]}",)
    if match := _NAME_FIRST.match(text):
        rest, name, element = match[3], match[1], match[2]
    elif match := _NAME_LAST.match(text):
        rest, name, element = match[1], match[2], match[3]
    elif match := _NAME_INSIDE.match(text):
        rest, name, element = f"{match[1]} {match[4]}", match[2], match[3]
    else:
        return (text,)
    if _NAME_LAST.match(rest):
        return (text,)
    counted = re.search(rf" as {SUBSTANCE}$", rest)
    if counted:
        return (rest,)
    formulas = _NAMES[name.lower()]
    if element:
        formulas = tuple(one for one in formulas if one.endswith(_ELEMENT[element.lower()]))
    return tuple(f"{rest} {one}" for one in formulas)
