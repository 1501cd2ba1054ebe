"""The chapters are stored as they should be, and nbval really catches what it is there to catch."""

import ast
import copy
import itertools
import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import tidy
from notebooks import (
    CHAPTERS,
    EACH,
    LARGEST_FILE,
    LATER,
    LONGEST_CELL,
    SHOWN,
    calls,
    cells,
    printed,
    prose,
    python,
    read,
    source,
    tags,
)
from stilltank import tables
from stilltank.chapters import bank
from stilltank.learning import checks
from stilltank.learning.questions import ChoiceQuestion


def test_there_are_chapters():
    """An empty list would only skip the tests below."""
    assert (tidy.WORKBOOK / "00_start_here.ipynb") in CHAPTERS


@EACH
def test_outputs_stand_exactly_where_a_tag_asks(path):
    for cell in cells(path, "code"):
        assert (".report()" in source(cell)) == ("nbval-check-output" in tags(cell)), source(cell)
        if tags(cell) & tidy.KEEP:
            assert cell["execution_count"] is not None, f"no count, so nbval compares nothing: {source(cell)}"
            assert cell["outputs"], source(cell)
        else:
            assert cell["execution_count"] is None, source(cell)
            assert not cell["outputs"], source(cell)


@EACH
def test_each_stored_check_is_ok(path):
    marked = [cell for cell in cells(path, "code") if "nbval-check-output" in tags(cell)]
    assert marked, "no stated check in this chapter"
    for cell in marked:
        _, head, table = printed(cell).partition("    quantity ")
        assert head, "the cell prints no table"
        lines = table.splitlines()[1:]
        if not all(line.endswith("  common practice") for line in lines):
            *lines, cited = lines
            assert cited.startswith("Sources: "), printed(cell)
        assert all(line.startswith("ok ") for line in lines), printed(cell)
        assert len(lines) == len(re.findall(r"^\s*check\(", source(cell), re.MULTILINE)) > 0, source(cell)


@EACH
def test_the_file_is_stored_alike_everywhere(path):
    notebook = read(path)
    assert notebook["metadata"] == tidy.METADATA
    assert (notebook["nbformat"], notebook["nbformat_minor"]) == (4, 5)
    assert path.stat().st_size < LARGEST_FILE
    names = [cell["id"] for cell in notebook["cells"]]
    assert len(names) == len(set(names))
    for cell in notebook["cells"]:
        assert set(cell["metadata"]) <= {"deletable", "editable", "tags", "jupyter"}, cell["metadata"]
        assert tags(cell) <= tidy.TAGS, tags(cell)
        if "keep-figure" in tags(cell):  # its bytes change with the version of matplotlib
            assert "nbval-ignore-output" in tags(cell), source(cell)


@EACH
def test_no_cell_is_lost_or_changed_by_accident(path):
    """Text, panels, questions, checks and the own tank are locked; a sum can be tried with other numbers."""
    ours = {*SHOWN, "learner", "draft", "check"}
    kinds = set()
    for cell in read(path)["cells"]:
        nodes = list(ast.walk(python(cell))) if cell["cell_type"] == "code" else []
        used = ours & {node.id for node in nodes if isinstance(node, ast.Name)}
        imported = any(isinstance(node, (ast.Import, ast.ImportFrom)) for node in nodes)
        locked = cell["cell_type"] == "markdown" or bool(used) or imported
        assert cell["metadata"].get("deletable") is False, source(cell)
        assert cell["metadata"].get("editable", True) is not locked, source(cell)
        kinds.add((cell["cell_type"], locked))
    assert len(kinds) == 3, f"text, locked code and sums are all expected: {kinds}"


def test_an_author_can_open_the_locks(tmp_path):
    copy = tmp_path / CHAPTERS[1].name
    copy.write_bytes(CHAPTERS[1].read_bytes())
    assert tidy.main(["--unlock", str(copy)]) == 0
    opened, stored = read(copy), read(CHAPTERS[1])
    for cell, before in zip(opened["cells"], stored["cells"], strict=True):
        assert cell == before | {
            "metadata": {key: value for key, value in before["metadata"].items() if key == "tags"}
        }


@EACH
def test_cells_are_thin(path):
    for cell in cells(path, "code"):
        lines = [line for line in source(cell).splitlines() if line.strip()]
        assert len(lines) <= LONGEST_CELL, f"{len(lines)} lines: {source(cell)}"
        defined = [
            node
            for node in ast.walk(python(cell))
            if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef))
        ]
        assert not defined, f"functions live in the library: {source(cell)}"


@EACH
def test_nothing_is_fetched_or_installed(path):
    away = {"requests", "urllib", "http", "socket", "ftplib", "subprocess", "pooch"}
    for cell in cells(path, "code"):
        assert not re.search(r"^\s*[%!]", source(cell), re.MULTILINE), source(cell)
        for node in ast.walk(python(cell)):
            modules = [name.name for name in node.names] if isinstance(node, ast.Import) else []
            modules += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not away & {module.split(".")[0] for module in modules}, source(cell)
        held = source(cell) + "".join(json.dumps(output) for output in cell["outputs"])
        assert not re.search(r"https?://(?!www\.w3\.org/)", held), source(cell)


@EACH
def test_headings_come_in_order(path):
    levels = [len(mark) for mark in re.findall(r"^(#{1,6})\s", prose(path), flags=re.MULTILINE)]
    assert levels[:1] == [1], "the first heading is the chapter's title"
    assert levels.count(1) == 1
    for before, after in itertools.pairwise(levels):
        assert after <= before + 1, f"a heading of level {after} follows one of level {before}"


@EACH
def test_each_picture_says_in_words_what_it_shows(path):
    assert not re.search(r"!\[\s*\]", prose(path)), "a picture without words"
    for cell in read(path)["cells"]:
        held = source(cell)
        for output in cell.get("outputs", []):
            data = output.get("data", {})
            assert not [kind for kind in data if kind.startswith("image/")], "a bare picture has no words"
            held += "".join(data.get("text/html", ""))
        for image in re.findall(r"<img\b[^>]*>", held):
            words = re.search(r'\balt="([^"]+)"', image)
            assert words, image[:80]
            assert len(words[1].split()) >= 5, words[1]


@EACH
def test_links_between_files_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)#\s]+)", prose(path)):
        if "://" not in target:
            assert (path.parent / target).exists(), target


# What the chapters have in common; shared/chapter-template.ipynb shows it, and
# tests/house/test_template.py holds the order.


def ids(path, name):
    """The ids of what a chapter asks: "questions" (those of its exercises too), "worked", "predict" or "sketch"."""
    if name == "questions":
        given = [argument for call in calls(path, name) for argument in call.args[1:]]
        return [ast.literal_eval(each) for each in given] + [
            each.id for chapter in exercised(path) for each in bank.exercises(chapter)
        ]
    return [ast.literal_eval(call.args[1]) for call in calls(path, name)]


def exercised(path):
    """The chapters whose exercises a page asks for: its own, once."""
    return [told(call, "chapter") for call in calls(path, "exercises")]


def told(call, name):
    """The text that a call gives under this name."""
    return next(ast.literal_eval(word.value) for word in call.keywords if word.arg == name)


def cautions(path):
    return re.findall(r"^>\s*\*\*Caution.*$", prose(path), re.MULTILINE)


@EACH
def test_a_caution_has_the_shared_wording(path):
    wording = tomllib.loads((tidy.WORKBOOK.parent / "shared" / "cautions.toml").read_text(encoding="utf-8"))
    known = {f"> **Caution: {each['title']}.** {each['short']}" for each in wording.values()}
    assert cautions(path), "no caution at all"
    for line in cautions(path):
        assert line in known, line


@EACH
def test_every_id_stands_in_the_bank(path):
    for id in ids(path, "questions"):
        assert id in bank.questions(), id
    for id in ids(path, "worked"):
        assert id in bank.examples(), id
    for id in ids(path, "predict|sketch"):
        assert bank.find_prediction(id).chapter == path.name[:2]
        assert id.startswith(f"{path.name[:2]}-"), id
    used = [id for name in ("questions", "worked", "predict|sketch") for id in ids(path, name)]
    assert len(used) == len(set(used)), "asked twice"


@LATER
def test_a_chapter_has_enough_to_do(path):
    number = path.name[:2]
    own = [bank.find(id) for id in ids(path, "questions") if bank.find(id).chapter == number]
    choices = [each for each in own if isinstance(each, ChoiceQuestion)]
    assert exercised(path) == [number], "asking.exercises shows all exercises of the chapter"
    assert len(own) - len(choices) >= 8
    assert len(choices) >= 2
    assert len([id for id in ids(path, "worked") if bank.find_example(id).chapter == number]) >= 2
    explored = {call.func.attr for call in calls(path, r"\w+_panel") if "draft" not in ast.unparse(call)}
    assert len(explored) >= 3, f"panels apart from the learner's own tank: {explored}"
    assert ids(path, "predict|sketch")
    assert calls(path, "Draft")
    assert calls(path, "Keep"), "the chapter ends with the learner's own tank"
    given = [told(call, "chapter") for call in calls(path, "Learner")]
    assert given == [number], "lessons.Learner is told which chapter can be started again"


@LATER
def test_three_questions_come_from_earlier_chapters(path):
    first = calls(path, "questions")[0]
    chapters = [bank.find(ast.literal_eval(each)).chapter for each in first.args[1:]]
    assert len(chapters) == 3
    assert all(chapter < path.name[:2] for chapter in chapters), chapters


@EACH
def test_a_chapter_states_its_minutes_as_the_readme_does(path):
    stated = re.findall(r"\*\*Minutes:\*\* (\d+)", prose(path))
    assert len(stated) == 1, stated
    assert 5 <= int(stated[0]) <= 45
    readme = (tidy.WORKBOOK.parent / "README.md").read_text(encoding="utf-8")
    row = next((line for line in readme.splitlines() if path.name in line and line.startswith("|")), "")
    assert row.rstrip("| ").rpartition("|")[2].strip() == stated[0], f"README.md says {row!r}"


@EACH
def test_a_chapter_names_its_sources(path):
    part = re.search(r"^## Sources\n+(.+)", prose(path), re.MULTILINE | re.DOTALL)
    assert part
    assert "data/sources.csv" in part[1]
    cited = re.findall(r"([A-Z]\w+)(?: et al\.)? \(([\d, ]+)\)", part[1])
    assert cited, "no publication is named as Author (year)"
    for author, years in cited:
        for year in years.split(", "):
            assert any(
                author in each.citation and year in each.citation for each in tables.sources().values()
            ), f"{author} ({year}) is not in data/sources.csv"


# The tests of the tests: nbval compares nothing without a count, so that it catches is not taken on trust.


def _first_check(path):
    """A copy of the chapter that ends with its first check cell."""
    notebook = read(path)
    marked = [n for n, cell in enumerate(notebook["cells"]) if "nbval-check-output" in tags(cell)]
    notebook["cells"] = notebook["cells"][: marked[0] + 1]
    return notebook


def _wrong_line(notebook):
    """One digit of the stored table changed."""
    spoilt = copy.deepcopy(notebook)
    output = spoilt["cells"][-1]["outputs"][0]
    heading, line, rest = ("".join(output["text"])).partition("\n")
    at = re.search(r"\d(?=\D*$)", rest.partition("\n")[0]).start()
    output["text"] = heading + line + rest[:at] + str((int(rest[at]) + 1) % 10) + rest[at + 1 :]
    return spoilt


def _wrong_value(notebook):
    """The first computed value half as large again."""
    spoilt = copy.deepcopy(notebook)
    cell = spoilt["cells"][-1]
    text = source(cell)
    call = next(
        node
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Call)
        and len(node.args) == 2
        and isinstance(node.args[0], ast.Constant)
        and node.args[0].value in checks.rows()
    )
    computed = ast.get_source_segment(text, call.args[1])
    cell["source"] = text.replace(computed, f"1.5 * ({computed})", 1)
    return spoilt


@pytest.mark.skipif(not CHAPTERS, reason="no chapter to spoil; test_there_are_chapters fails")
def test_a_wrong_line_and_a_wrong_value_are_caught(tmp_path):
    whole = _first_check(CHAPTERS[0])
    for name, notebook in {
        "whole": whole,
        "line": _wrong_line(whole),
        "value": _wrong_value(whole),
    }.items():
        (tmp_path / f"{name}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    config = Path(__file__).resolve().parents[2] / "pyproject.toml"
    run = subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-c",
            config,
            "--rootdir",
            tmp_path,
            "-q",
            "-rA",
            "--tb=short",
            tmp_path,
        ],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        timeout=300,
    )
    last = len([cell for cell in whole["cells"] if cell["cell_type"] == "code"]) - 1
    found = re.findall(r"^(PASSED|FAILED) (\S+::Cell \d+)", run.stdout, re.MULTILINE)
    results = {where: result for result, where in found}
    assert results.get(f"whole.ipynb::Cell {last}") == "PASSED", run.stdout
    assert results.get(f"line.ipynb::Cell {last}") == "FAILED", run.stdout
    assert results.get(f"value.ipynb::Cell {last}") == "FAILED", run.stdout
    assert "CheckFailed" in run.stdout
