"""The glossary: every word explained once, and the code says the same words."""

import importlib
import inspect
import re

import pytest
from stilltank import glossary, tables
from stilltank.glossary import COLUMNS, meaning, read_glossary
from stilltank.tables import TableFault
from structure import modules, room_of

TERMS = glossary.glossary()
GOOD = "dose,,mL,The amount that goes in.,02,shot,,common practice,,,"


def words(name):
    """``RefillLimit`` and ``refill_limit`` as ``refill limit``."""
    return " ".join(re.findall(r"[A-Z]+(?![a-z])|[A-Z]?[a-z]+|[0-9]+", name)).lower()


def says(name, phrase):
    """Whether a name in code holds the words of a phrase, one after the other; an s for several does not matter."""
    inner = r"s? ".join(map(re.escape, words(phrase).split()))
    return bool(inner) and re.search(rf"\b{inner}s?\b", words(name)) is not None


def public_names(start=""):
    """The public names of every room whose name begins so."""
    for room in sorted({room_of(name) for name in modules()}):
        if room.startswith(f"stilltank.{start}"):
            module = importlib.import_module(room)
            yield from getattr(module, "__all__", None) or [
                name
                for name, thing in vars(module).items()
                if not name.startswith("_") and getattr(thing, "__module__", "") == room
            ]


def parameters():
    """The names of the parameters, and of the parts, of what science gives away."""
    for room in sorted({room_of(name) for name in modules()}):
        if room.startswith("stilltank.science."):
            for thing in vars(importlib.import_module(room)).values():
                if inspect.isclass(thing):
                    yield from (part for part in vars(thing) if not part.startswith("_"))
                if inspect.isroutine(thing) and not inspect.isbuiltin(thing):
                    yield from inspect.signature(thing).parameters


def test_every_chapter_has_its_words():
    assert len(TERMS) >= 90
    for chapter in ("00", "01", "02", "03", "04", "05"):
        assert sum(term.chapter == chapter for term in TERMS.values()) >= 10


def test_the_words_stand_in_the_order_of_the_alphabet():
    assert list(TERMS) == sorted(TERMS, key=str.lower)


@pytest.mark.parametrize("term", TERMS.values(), ids=lambda term: term.term)
def test_a_meaning_is_one_or_two_plain_sentences(term):
    sentences = re.split(r"(?<=[.?])\s+(?=[A-Z])", term.meaning)
    assert 1 <= len(sentences) <= 2
    for sentence in sentences:
        assert len(sentence.split()) <= 25
        assert re.fullmatch(r"[A-Z0-9p].*[.?]", sentence)
    assert term.term.lower() not in sentences[0].lower().split()[:3], "a word does not explain itself"


@pytest.mark.parametrize("term", TERMS.values(), ids=lambda term: term.term)
def test_a_word_answers_for_itself(term):
    assert set(term.source) <= set(tables.sources())
    assert all(tables.sources()[key].read != "from memory" for key in term.source) or term.kind != "published"
    for name in term.other_names:
        assert meaning(name) is term


def test_names_in_code_are_in_the_code():
    known = {*public_names(), *parameters()}
    missing = [
        f"{term.term}: {name}"
        for term in TERMS.values()
        for name in term.name_in_code
        if not any(says(one, name) for one in known)
    ]
    assert not missing


def refused(names):
    """Names in code that say a word which the glossary does not use, each with the word that it uses."""
    for name in names:
        for term in TERMS.values():
            for other in term.other_names:
                allowed = any(says(name, one) and says(one, other) for one in term.name_in_code)
                if says(name, other) and not allowed:
                    yield f"{name}: we say {term.term}, not {other}"


def test_science_uses_the_words_of_the_glossary():
    assert not list(refused(public_names("science.")))


def test_a_refused_word_is_seen_in_a_name():
    """A test of the test: names as they were, and one that the glossary allows."""
    assert list(refused(["dilution_ladder", "TradeRule"])) == [
        "dilution_ladder: we say serial dilution, not dilution ladder",
        "TradeRule: we say rule of thumb, not trade rule",
    ]
    assert not list(refused(["refill_limit", "latest_look", "alkalinity"]))


def test_a_word_is_found_by_any_of_its_names():
    assert meaning("Top-up") is meaning("refill") is TERMS["top-up"]
    assert meaning("EC") is TERMS["conductivity"]
    with pytest.raises(TableFault, match="Similar words: alkalinity"):
        meaning("alkalinty")
    with pytest.raises(TableFault, match='no word "zzz"'):
        meaning("zzz")


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        (GOOD, '"dose" already belongs to "dose"'),
        (GOOD.replace("dose", "Shot").replace("shot", ""), '"Shot" already belongs to "dose"'),
        (GOOD.replace("dose", "drop"), '"shot" already belongs to "dose"'),
        ("drop,,mL,,02,,,common practice,,,", "fill in term, meaning and chapter"),
        ("drop,,mL,A little.,02,,,guessed,,,", "kind 'guessed' is not one of"),
        ("drop,,mL,A little.,02,,,from memory,,,", "a from memory meaning needs a source"),
        ("drop,,mL,A little.,02,,,assumption,,,", "says why we chose it"),
        ("drop,,mLL,A little.,02,,,common practice,,,", "unit 'mLL' is not known"),
        ("drop,,mL,A little.", "4 cells, and 11 are needed"),
    ],
)
def test_a_bad_row_is_refused_by_file_and_line(tmp_path, row, fault):
    path = tmp_path / "made.csv"
    path.write_text("\n".join((",".join(COLUMNS), GOOD, row)), encoding="utf-8")
    with pytest.raises(TableFault, match=re.escape(fault)) as caught:
        read_glossary(path)
    assert "made.csv, line 3" in str(caught.value)


def test_the_glossary_cannot_be_changed():
    with pytest.raises(TypeError):
        TERMS["dose"] = None
