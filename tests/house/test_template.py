"""The chapter template runs, the chapters keep its order, and a new chapter copies no code."""

import itertools
import json
import re
import shutil
import subprocess

import nbformat
import pytest
import tidy
from nbclient import NotebookClient
from notebooks import LONGEST_CELL, cells, python, read, source

TEMPLATE = tidy.WORKBOOK.parent / "shared" / "chapter-template.ipynb"
CHAPTERS = [path for path in tidy.chapters() if path.name >= "01"]
ALIKE = 6  # identical lines in a row of two chapters, imports apart, belong into the library
START = "**Start:** press ▸▸ above this page and answer *Restart*. Do the same each time you open it again."
OPENING = ("\n\n*", "**You will be able to** ", "**You need** ", "**Minutes:** ")
OWN = "…"  # a heading or its end that each chapter words itself


def headings(path):
    """The headings of level two, without their numbers."""
    return re.findall(
        r"^## (.*)$", "\n\n".join(source(cell) for cell in cells(path, "markdown")), re.MULTILINE
    )


def fixed():
    """The headings of the template that every chapter has, as far as their words are given."""
    plain = [re.sub(r"^\d+\. ", "", heading) for heading in headings(TEMPLATE)]
    return [heading.partition(OWN)[0].strip() for heading in plain if heading != OWN]


def out_of_order(found, wanted):
    """What is wrong with the headings of a chapter; empty when nothing is."""
    plain = [re.sub(r"^\d+\. ", "", heading) for heading in found]
    known = [next((each for each in wanted if heading.startswith(each)), None) for heading in plain]
    faults = [f"{each!r} stands {known.count(each)} times" for each in wanted if known.count(each) != 1]
    if not faults and [each for each in known if each] != wanted:
        faults.append(f"the order is {[each for each in known if each]}")
    numbered = [heading for heading in found if re.match(r"\d+\. ", heading)]
    if [int(heading.split(".")[0]) for heading in numbered] != list(range(1, len(numbered) + 1)):
        faults.append(f"the numbers are {numbered}")
    own = [heading for heading, each in zip(found, known, strict=True) if each is None]
    faults += [f"{heading!r} has no number" for heading in own if heading not in numbered]
    if not own:
        faults.append("there is no section of its own")
    return faults


def shared_run(first, second):
    """The longest run of lines that two cells have alike, imports and empty lines left out."""

    def lines(cell):
        kept = [line.strip() for line in source(cell).splitlines()]
        return [line for line in kept if line and not re.match(r"(from|import)\s", line)]

    one, other = lines(first), lines(second)
    best = 0
    for at, to in itertools.product(range(len(one)), range(len(other))):
        run = 0
        while at + run < len(one) and to + run < len(other) and one[at + run] == other[to + run]:
            run += 1
        best = max(best, run)
    return best


def test_the_template_has_the_order_of_the_house():
    assert fixed() == [
        "Your code",
        "Three questions from",
        "Predict:",
        "Exercises",
        "Your own tank",
        "What we found",
        "Sources",
    ]
    assert out_of_order(headings(TEMPLATE), fixed()) == []


def test_the_template_is_stored_without_outputs():
    notebook = read(TEMPLATE)
    assert notebook["metadata"] == tidy.METADATA
    assert (notebook["nbformat"], notebook["nbformat_minor"]) == (4, 5)
    for cell in cells(TEMPLATE, "code"):
        assert cell["execution_count"] is None
        assert cell["outputs"] == []
        assert set(cell["metadata"].get("tags", [])) <= tidy.TAGS


def test_the_template_runs_from_top_to_bottom(tmp_path, monkeypatch):
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path / "ipython"))
    folder = tmp_path / "workbook"
    folder.mkdir()
    notebook = nbformat.read(shutil.copy(TEMPLATE, folder), 4)
    client = NotebookClient(notebook, timeout=120, resources={"metadata": {"path": str(folder)}})
    client.execute(stderr=subprocess.DEVNULL)
    assert [path.name for path in folder.iterdir()] == [TEMPLATE.name], "running it writes files"
    for cell in notebook.cells:
        for output in cell.get("outputs", []):
            assert output.output_type != "error"
            assert output.get("name") != "stderr", output.text


@pytest.mark.parametrize("path", CHAPTERS, ids=lambda path: path.stem)
def test_a_chapter_has_the_sections_of_the_template_in_its_order(path):
    assert out_of_order(headings(path), fixed()) == []
    first = source(cells(path, "markdown")[0])
    places = [first.find(words) for words in OPENING]
    assert -1 < places[0] < places[1] < places[2] < places[3], f"{OPENING} in this order: {places}"
    last = source(cells(path, "markdown")[-1])
    assert re.search(r"^## What we found$.*^\*\*Next\.\*\* .*^## Sources$", last, re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("path", [TEMPLATE, *tidy.chapters()], ids=lambda path: path.stem)
def test_under_its_title_a_page_says_how_it_starts(path):
    """In these words; the browser does as they say."""
    title, line, question, *_ = source(cells(path, "markdown")[0]).split("\n\n")
    assert title.startswith("# ")
    assert line == START
    assert question.startswith("*")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda all: [all[1], all[0], *all[2:]], "the order is"),
        (lambda all: all[:-1], "'Sources' stands 0 times"),
        (lambda all: [*all, "Your code"], "'Your code' stands 2 times"),
        (lambda all: [*all, "Appendix"], "'Appendix' has no number"),
        (lambda all: [*all, "9. Late"], "the numbers are"),
        (lambda all: [one for one in all if not one.startswith("1.")], "the numbers are"),
    ],
)
def test_a_wrong_order_is_seen(change, said):
    """A test of the test."""
    assert said in " ".join(out_of_order(change(headings(TEMPLATE)), fixed()))


@pytest.mark.parametrize("path", [TEMPLATE, *tidy.chapters()], ids=lambda path: path.stem)
def test_no_code_lives_in_a_chapter(path):
    for cell in cells(path, "code"):
        lines = [line for line in source(cell).splitlines() if line.strip()]
        assert len(lines) <= LONGEST_CELL, source(cell)
        assert not re.search(r"\b(FunctionDef|AsyncFunctionDef|ClassDef)\b", _nodes(cell)), source(cell)


def _nodes(cell):
    import ast

    return " ".join(type(node).__name__ for node in ast.walk(python(cell)))


def test_no_two_chapters_share_code():
    for one, other in itertools.combinations(tidy.chapters(), 2):
        for first, second in itertools.product(cells(one, "code"), cells(other, "code")):
            run = shared_run(first, second)
            assert run < ALIKE, f"{one.name} and {other.name} share {run} lines: {source(first)}"


def test_shared_code_is_seen():
    """A test of the test: imports do not count, six other lines in a row do, five do not."""
    copied = [f"value_{n} = {n}" for n in range(ALIKE)]
    first = {"source": ["from stilltank.units import Q\n", *(f"{line}\n" for line in copied)]}
    assert shared_run(first, {"source": ["x = 1\n", "\n".join(copied)]}) == ALIKE
    assert (
        shared_run(first, {"source": ["from stilltank.units import Q\n", "\n".join(copied[1:])]}) == ALIKE - 1
    )


def test_the_template_is_json_as_nbformat_writes_it():
    text = TEMPLATE.read_text(encoding="utf-8")
    assert nbformat.writes(nbformat.from_dict(json.loads(text))) + "\n" == text
