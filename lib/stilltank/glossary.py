"""Ground floor: the glossary, data/glossary.csv. One word for one thing, in text and in code.

Notebooks, lesson pages and the reference all take their explanations of words from here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from stilltank.registry import ureg
from stilltank.tables import DATA, KINDS, TableFault, read_rows

COLUMNS = (
    "term",
    "symbol",
    "unit",
    "meaning",
    "chapter",
    "other_names",
    "name_in_code",
    "kind",
    "source",
    "where",
    "note",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One word of the workbook, and what it means here.

    Parameters
    ----------
    term : str
        The word as we write it.
    symbol : str
        Its sign in formulas; empty where it has none.
    unit : str
        The unit it is usually given in; ``1`` for a plain number, empty for what has none.
    meaning : str
        One or two sentences.
    chapter : str
        The number of the chapter that first needs the word, such as ``"02"``.
    other_names : tuple of str
        Words for the same thing that we do not use.
    name_in_code : tuple of str
        How the names of functions and classes call it, where that is another word or part of a longer one.
    kind : str
        What the meaning rests on, as for a value: see ``tables.KINDS``.
    source : tuple of str
        Keys of data/sources.csv.
    where : str
        The page or table in the source.
    note : str
        A remark, for example why we chose the word.

    Examples
    --------
    >>> glossary()["fill line"].unit
    'cm'
    """

    term: str
    symbol: str
    unit: str
    meaning: str
    chapter: str
    other_names: tuple[str, ...]
    name_in_code: tuple[str, ...]
    kind: str
    source: tuple[str, ...]
    where: str
    note: str

    def __str__(self) -> str:
        return f"{self.term}: {self.meaning}"


@cache
def glossary() -> Mapping[str, Term]:
    """Return all terms, by the word as we write it.

    Returns
    -------
    Mapping of str to Term
        In the order of the alphabet. It cannot be changed.

    Raises
    ------
    TableFault
        If the table breaks its rules. The sentence names the line.

    Examples
    --------
    >>> print(glossary()["tub"])
    tub: The empty plastic box or bucket that becomes a tank.
    """
    return read_glossary(DATA / "glossary.csv")


def meaning(word: str) -> Term:
    """Find a term by its name, its symbol or a name that we do not use.

    Parameters
    ----------
    word : str
        As someone types it; capitals do not matter, except in symbols.

    Returns
    -------
    Term
        The term, under the one name that the workbook uses.

    Raises
    ------
    TableFault
        If the glossary has no such word. The sentence names similar ones.

    Examples
    --------
    >>> meaning("gas transfer velocity").term
    'film coefficient'
    >>> meaning("Kc").term
    'crop coefficient'
    """
    import difflib

    typed = word.strip()
    known: dict[str, Term] = {}
    for term in glossary().values():
        for name in (term.term, *term.other_names):
            known[name.casefold()] = term
    by_symbol = [term for term in glossary().values() if term.symbol == typed]
    if typed.casefold() in known:
        return known[typed.casefold()]
    if len(by_symbol) == 1:
        return by_symbol[0]
    near = difflib.get_close_matches(typed.casefold(), known, n=3, cutoff=0.5)
    hint = f"Similar words: {', '.join(near)}." if near else "Look through glossary()."
    raise TableFault(f'The glossary has no word "{word}". {hint}')


def read_glossary(path: Path) -> Mapping[str, Term]:
    """Read a glossary from a table with the columns of data/glossary.csv.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    Mapping of str to Term
        By the word as it is written there.

    Raises
    ------
    TableFault
        If the file is missing or a row breaks the rules: a cell that must be filled in is empty, a word is there twice,
        or a name that is refused is a term or is refused twice. The sentence names the file and the line.

    Examples
    --------
    >>> len(read_glossary(DATA / "glossary.csv")) == len(glossary())
    True
    """
    terms: dict[str, Term] = {}
    taken: dict[str, str] = {}
    for line, row in read_rows(path, COLUMNS):
        place = f"{path.name}, line {line}"
        term = Term(
            term=row["term"],
            symbol=row["symbol"],
            unit=row["unit"],
            meaning=row["meaning"],
            chapter=row["chapter"],
            other_names=_parted(row["other_names"]),
            name_in_code=_parted(row["name_in_code"]),
            kind=row["kind"],
            source=_parted(row["source"]),
            where=row["where"],
            note=row["note"],
        )
        _check(term, place)
        for name in (term.term, *term.other_names):
            if name.casefold() in taken:
                raise TableFault(f'{place}: "{name}" already belongs to "{taken[name.casefold()]}".')
            taken[name.casefold()] = term.term
        terms[term.term] = term
    return MappingProxyType(terms)


def _parted(cell: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in cell.split(";") if part.strip())


def _check(term: Term, place: str) -> None:
    if not (term.term and term.meaning and term.chapter):
        raise TableFault(f"{place}: fill in term, meaning and chapter.")
    if term.kind not in KINDS:
        raise TableFault(f"{place}: kind {term.kind!r} is not one of {', '.join(KINDS)}.")
    if not term.source and term.kind in ("published", "computed", "from memory"):
        raise TableFault(f"{place}: a {term.kind} meaning needs a source.")
    if term.kind == "assumption" and not term.note:
        raise TableFault(f"{place}: a word of our own needs a note that says why we chose it.")
    if term.unit not in ("", "1"):
        try:
            ureg.Unit(term.unit)
        except Exception:
            raise TableFault(f"{place}: unit {term.unit!r} is not known.") from None
