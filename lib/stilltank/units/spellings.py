"""What the words after a number can mean: the spellings of data/spellings.csv, alone and put together."""

import itertools
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import Any

from pint import Unit

from stilltank.registry import ureg
from stilltank.tables import DATA, load, number, read_rows

from .writing import figure

# What a part divided by another part is.
_COMPOUNDS = {
    ("mass", "volume"): "concentration",
    ("amount", "volume"): "concentration",
    ("charge amount", "volume"): "charge",
    ("conductance", "length"): "conductivity",
    ("length", "time"): "speed",
    ("volume", "time"): "flow",
    ("volume", "volume"): "dose",
    ("mass", "mass"): "share",
    ("amount", "area", "time"): "light",
    ("amount", "time", "area"): "light",
    ("energy", "area", "time"): "radiation",
    ("power", "area"): "radiation",
}
_AS_CACO3 = {
    "mass": "by mass",
    "amount": "by amount",
    "charge amount": "by charge",
}  # properties in data/units
_ALONE = {  # a hardness is made of both
    ("hardness", "Ca"): ("the calcium alone counted, and magnesium adds to it",),
    ("hardness", "Mg"): ("the magnesium alone counted, and calcium adds to it",),
}
_SYSTEMS = {
    **dict.fromkeys(("us", "usa", "american"), "US"),
    **dict.fromkeys(("imp", "imperial", "uk", "british"), "imperial"),
    "metric": "metric",
}
_SYSTEM = re.compile(rf"^({'|'.join(_SYSTEMS)}) (?=\w)|(?<=\w) ({'|'.join(_SYSTEMS)})$", re.I)
_ATOM = r"(?:Na|Mg|Cl|Ca|Fe|Mn|Zn|Cu|Mo|Si|Al|H|C|N|O|P|S|K|B|F)\d*"
SUBSTANCE = rf"(?:{_ATOM})+(?:-[NPS](?![A-Za-z])|[+-]\d|\d?[+-]+)?"
"""A formula, with the element it is counted as or its charge: NO3-N, Ca2+, HCO3-."""
_SUBSTANCE = re.compile(rf"^(.+?)(?: as| of)? ({SUBSTANCE})$")
_CHARGE = re.compile(r"(?<=[A-GI-Z])\d[+]+$|(?<=[a-z])\d[+]+$|(?<=\d)\d-+$|[+-]\d$|[+-]+$")
_OF_SUBSTANCES = ("concentration", "charge", "alkalinity", "hardness", "mass", "amount", "share", "ratio")
_COUNTED = re.compile(r"^(\d+(?:\.\d+)?|\.\d+) ?([^\d.].*)$")


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity that can be asked for.

    Parameters
    ----------
    name : str
        In data/kinds.csv.
    spelled : str
        The kind whose spellings it uses.
    called : str
        What a sentence calls it, such as "a volume".
    example : str
        What a sentence gives as an example.
    bare : tuple of str
        What a number without a unit may mean.
    alone : bool
        Whether its units need no telling.

    Examples
    --------
    >>> kinds()["volume"].called
    'a volume'
    """

    name: str
    spelled: str
    called: str
    example: str
    bare: tuple[str, ...]
    alone: bool


@dataclass(frozen=True, slots=True)
class Meaning:
    """One thing a unit text can mean: a number times ``factor`` in ``unit`` is the quantity.

    Parameters
    ----------
    kind : str
        The kind of quantity.
    unit : Unit
        The unit of the registry.
    factor : float
        How many of that unit.
    written : str
        The unit as it is typed.
    called : str
        The unit read aloud, for many.
    one : str
        The unit read aloud, for one.
    systems : frozenset[str], default frozenset()
        The systems of measures it belongs to; empty for any.
    notes : tuple of str, optional
        What was assumed.
    sure : bool, default True
        Whether the spelling leaves no doubt.
    of : str, optional
        The substance it is counted of.
    spread : tuple of float, default (1.0, 1.0)
        Least and most that people mean by it, as shares of the size taken.

    Examples
    --------
    >>> meanings("L", "volume", None)[0].called
    'litres'
    """

    kind: str
    unit: Unit
    factor: float
    written: str
    called: str
    one: str
    systems: frozenset[str] = frozenset()
    notes: tuple[str, ...] = ()
    sure: bool = True
    of: str = ""
    spread: tuple[float, float] = (1.0, 1.0)
    """Least and most that people mean by it, as shares of the size taken."""

    def say(self, value: float, way: str) -> str:
        """The value with this unit.

        Parameters
        ----------
        value : float
            How many.
        way : str
            "written", to type, or "called", to read aloud.

        Returns
        -------
        str
            The text.

        Examples
        --------
        >>> meanings("L", "volume", None)[0].say(2, "called")
        '2 litres'
        """
        if self.written == PART_OF_ONE:
            return f"{figure(value * self.factor, 12)} {'%' if way == 'written' else 'per cent'}"
        name = self.called if way == "called" else self.written
        return f"{figure(value, 12)} {self.one if value == 1 and name == self.called else name}".strip()

    @property
    def divisor(self) -> str:
        """The unit as it stands after a stroke: L/day, not L/days.

        Examples
        --------
        >>> meanings("days", "time", None)[0].divisor
        'day'
        """
        return self.one if self.written == self.called else self.written


PART_OF_ONE = "of one"
WITHOUT_UNIT = ("pH", "count", "ratio")
"""The kinds whose numbers stand alone."""


@cache
def kinds() -> dict[str, Kind]:
    """The kinds of quantity that ``read`` knows, from data/kinds.csv.

    Returns
    -------
    dict of str to Kind
        By name.

    Examples
    --------
    >>> "volume" in kinds()
    True
    """
    columns = ("kind", "spelled", "called", "example", "bare", "alone")
    found = {}
    for _, row in read_rows(DATA / "kinds.csv", columns):
        bare = tuple(filter(None, row["bare"].split(";")))
        found[row["kind"]] = Kind(
            row["kind"], row["spelled"], row["called"], row["example"], bare, row["alone"] == "yes"
        )
    return found


def _size(name: str) -> tuple[Any, float, tuple[float, float]]:
    """A unit by name: pint's, or one of data/units.csv as a multiple of pint's; and what else people mean by it."""
    own = load("units")
    if (name, "size") in own:
        entry = own[name, "size"]
        low, high = (float(end.m / entry.value) for end in entry.range)
        return ureg.Unit(entry.unit), float(entry.value), (low, high)
    return ureg.Unit(name), 1.0, (1.0, 1.0)


_Index = dict[str, list[Meaning]]


@cache
def _spellings() -> tuple[_Index, _Index, _Index]:
    """Meanings by exact spelling, by doubtful spelling, and by spelling in any case."""
    exact: _Index = {}
    doubtful: _Index = {}
    any_case: _Index = {}
    columns = ("kind", "unit", "written", "called", "system", "symbols", "doubtful", "words", "note")
    for _, row in read_rows(DATA / "spellings.csv", columns):
        unit, factor, spread = _size(row["unit"])
        notes = (row["note"],) if row["note"] else ()
        one, _, many = row["called"].partition(";")
        systems = frozenset(filter(None, row["system"].split(";")))
        meaning = Meaning(
            row["kind"], unit, factor, row["written"], many or one, one, systems, notes, spread=spread
        )
        symbols, words = (list(filter(None, row[name].split(";"))) for name in ("symbols", "words"))
        for word in symbols:
            exact.setdefault(word, []).append(meaning)
        for word in filter(None, row["doubtful"].split(";")):
            doubtful.setdefault(word, []).append(replace(meaning, sure=False))
        for word in {word.casefold() for word in symbols + words}:
            any_case.setdefault(word, []).append(meaning)
    return exact, doubtful, any_case


def _tidy(text: str) -> str:
    text = re.sub(r"\bU\. ?S\b\.?(?: ?A\b\.?)?", "US", text, flags=re.I)
    text = re.sub(r"(?<=[^\W\d])\.", " ", text)  # the stop after an abbreviation
    text = re.sub(r"[()\[\]·⋅]", " ", text)
    text = re.sub(r"\bper (cent|mille)\b", r"per\1", text, flags=re.I)
    text = re.sub(r"\bper\b", "/", text, flags=re.I)
    text = re.sub(r"(?<=\w) (?:an?|each|every) (?=\w)", "/", text, flags=re.I)
    text = re.sub(r"(?<=\w) (dai|week|hour)ly$", lambda match: f"/{match[1].replace('dai', 'day')}", text)
    text = re.sub(r"\s+", " ", text).strip()
    text = re.sub(r"(?<=/m2) ?(?=(?:s|d|day|h)$)|(?<=/ m2) ?(?=(?:s|d|day|h)$)", "/", text)  # µmol/(m²·s)
    return re.sub(r" ?/ ?", "/", re.sub(r"° ", "°", text))


def _lookup(word: str, wanted: set[str], broad: bool) -> list[Meaning]:
    """Meanings of one word among the wanted kinds; ``broad``: no kind was asked for, so doubt counts."""
    named = ""
    if match := _SYSTEM.search(word):
        named = _SYSTEMS[(match[1] or match[2]).lower()]
        word = word[: match.start()] + word[match.end() :]
    exact, doubtful, any_case = (
        [
            meaning
            for meaning in index.get(key, ())
            if meaning.kind in wanted and (not named or named in meaning.systems)
        ]
        for index, key in zip(_spellings(), (word, word, word.casefold()), strict=True)
    )
    if exact or doubtful:
        return exact + doubtful if broad or not exact else exact
    if len(word) == 1 and word != word.casefold():  # D, H, G: more likely a symbol of something else
        return [replace(meaning, sure=False) for meaning in any_case]
    return any_case


def shared(found: Iterable[Meaning]) -> frozenset[str] | None:
    """The systems of measures that all of these belong to.

    Parameters
    ----------
    found : Iterable[Meaning]
        What the units of one text mean.

    Returns
    -------
    frozenset of str or None
        Empty for any; None where they clash.

    Examples
    --------
    >>> gallon, spoon = (meanings(text, None, None)[0] for text in ("US gal", "metric tsp"))
    >>> shared([gallon]) == {"US"}, shared([gallon, spoon])
    (True, None)
    """
    named = [one.systems for one in found if one.systems]
    if not named:
        return frozenset()
    return frozenset.intersection(*named) or None


def _parts(text: str, broad: bool) -> Iterator[Meaning]:
    """Units put together by division, such as mg/L, g/100 L or L/day/plant."""
    top, *below = text.split("/")
    notes: tuple[str, ...] = ()
    divisor = 1.0
    counted = []
    for part in below:
        if _lookup(part, {"count"}, broad):
            notes += (f"a value for each {part}",)
            continue
        if match := _COUNTED.match(part):
            divisor, part = divisor * float(match[1]), match[2]
        counted.append(part)
    inside = {kind for parts in _COMPOUNDS for kind in parts}
    columns = [
        _lookup(part, inside | ({"flow"} if not counted else set()), broad) for part in (top, *counted)
    ]
    if not 0 < divisor < math.inf or (not counted and not notes):
        return
    each = "" if divisor == 1 else f"{divisor:g} "
    for over, *unders in itertools.product(*columns):
        kind = _COMPOUNDS.get((over.kind, *(under.kind for under in unders))) if counted else over.kind
        systems = shared((over, *unders))
        if kind is None or systems is None:
            continue
        unit, factor = over.unit, over.factor / divisor
        for under in unders:
            unit, factor = unit / under.unit, factor / under.factor
        yield Meaning(
            kind,
            unit,
            factor,
            "/".join([over.written, *(each + under.divisor for under in unders)]),
            " per ".join([over.called, *(each + (under.called if each else under.one) for under in unders)]),
            " per ".join([over.one, *(each + (under.called if each else under.one) for under in unders)]),
            systems,
            notes + tuple(note for one in (over, *unders) for note in one.notes),
            all(one.sure for one in (over, *unders)),
            spread=over.spread,
        )


def _as_caco3(meaning: Meaning, kind: str) -> Iterator[Meaning]:
    """An alkalinity or a hardness as mg/L of CaCO3, by the substance named, or by each that may be meant."""
    by = {"[mass] / [length] ** 3": "by mass", "[substance] / [length] ** 3": "by amount"}
    way = "by charge" if meaning.kind == "charge" else by.get(str(meaning.unit.dimensionality))
    unit = ureg.Unit("mg/L")
    if way == "by charge":
        factor = (1 * meaning.unit).m_as("mmol/L") * number("units", kind, way, "g/mol")
        yield replace(meaning, kind=kind, unit=unit, factor=meaning.factor * factor, notes=(), of="")
    elif way:
        for item in load("units").items_named:
            named, _, substance = item.partition(" of ")
            if named != kind or not substance or meaning.of not in ("", substance):
                continue
            said = "" if meaning.of else f" {substance}"
            plain, per = ("mg/L", "1") if way == "by mass" else ("mmol/L", "g/mol")
            factor = (1 * meaning.unit).m_as(plain) * number("units", item, way, per)
            yield replace(
                meaning,
                kind=kind,
                unit=unit,
                factor=meaning.factor * factor,
                notes=(*meaning.notes, *_ALONE.get((kind, meaning.of), ())),
                written=meaning.written + said,
                called=meaning.called + said.replace(" ", " of "),
                one=meaning.one + said.replace(" ", " of "),
                of=substance,
            )


def _of(meaning: Meaning, formula: str) -> Meaning:
    """A meaning counted of a substance, without the charge of an ion: Ca2+ is Ca, HCO3- is HCO3."""
    plain = _CHARGE.sub("", formula)
    return replace(
        meaning,
        of=plain,
        written=f"{meaning.written} {plain}",
        called=f"{meaning.called} of {plain}",
        one=f"{meaning.one} of {plain}",
    )


@lru_cache(maxsize=4096)
def meanings(text: str, kind: str | None, writer: str | None) -> tuple[Meaning, ...]:
    """All that a unit text can mean as the kind asked for; empty when nothing is known.

    Parameters
    ----------
    text : str
        What stands after the number, such as ``"fl. oz"`` or ``"mg/L as CaCO3"``.
    kind : str or None
        A name of data/kinds.csv; None for whatever needs no telling.
    writer : str or None
        "US", "imperial", "metric" or None: which measures the writer uses, where known.

    Returns
    -------
    tuple of Meaning
        The likeliest first.

    Examples
    --------
    >>> [meaning.written for meaning in meanings("ML", "volume", None)]
    ['mL', 'megalitres']
    """
    text = _tidy(text)
    if not text:
        return _bare(kind, writer)
    return tuple(_settled(_meant(text, kind), writer))


def _meant(text: str, kind: str | None) -> list[Meaning]:
    """Meanings of a tidy text, whoever wrote it."""
    known = kinds()
    wanted = {known[kind].spelled} if kind else {name for name, one in known.items() if one.alone}
    found = list(_whole(text, kind, wanted))
    if not found and (match := _SUBSTANCE.match(text.replace("/", " /"))):
        found = [_of(one, match[2]) for one in _whole(match[1].replace(" /", "/"), kind, wanted)]
    if not found and "/" in text and (match := _SUBSTANCE.match(text.partition("/")[0])):
        rest = match[1] + "/" + text.partition("/")[2]
        found = [_of(one, match[2]) for one in _whole(rest, kind, wanted)]
    if kind in ("alkalinity", "hardness"):
        found = [better for one in found for better in (_as_caco3(one, kind) if one.kind != kind else [one])]
    if kind is None and not found:  # 8 dKH is an alkalinity whoever asks; 2 meq/L may be anything
        found = [one for one in _lookup(text, {"alkalinity"}, True) if one.sure]
        wanted = {"alkalinity"}
    found = [one for one in found if one.kind in wanted and (not one.of or one.kind in _OF_SUBSTANCES)]
    return [replace(one, kind=kind) for one in found] if kind else found


def _settled(found: list[Meaning], writer: str | None) -> Iterator[Meaning]:
    """Leave out what this writer does not use, where a meaning is left that they do use."""
    known = writer and any(writer in one.systems for one in found)
    for one in found:
        if not known or not one.systems:
            yield one
        elif writer in one.systems:
            yield replace(one, notes=(*one.notes, f"{writer} measure taken"))


def _whole(text: str, kind: str | None, wanted: set[str]) -> Iterator[Meaning]:
    """Meanings of a unit text without its substance: a word of the list, or units put together."""
    broad = kind is None
    if kind in ("alkalinity", "hardness"):
        wanted = wanted | {"concentration", "charge"}
    listed = _lookup(text, wanted, broad)
    yield from listed
    if "/" in text and not listed:  # grains/gal is a hardness in its own right
        yield from (one for one in _parts(text, broad) if one.kind in wanted)


def _bare(kind: str | None, writer: str | None) -> tuple[Meaning, ...]:
    """What a number without a unit can mean."""
    if kind in WITHOUT_UNIT:
        return (Meaning(kind, ureg.Unit("dimensionless"), 1.0, "", "", ""),)
    if kind == "share":
        percent = ureg.Unit("percent")
        return (
            Meaning(kind, percent, 1.0, "%", "per cent", "per cent", sure=False),
            Meaning(kind, percent, _size("part of one")[1], PART_OF_ONE, "", "", sure=False),
        )
    bare = kinds()[kind].bare if kind else ()
    return tuple(replace(one, sure=False) for text in bare for one in meanings(text, kind, writer))
