"""A cell that is run before those above it says so in one sentence, in whatever order the cells are run."""

import ast
import random
import shutil
import subprocess

import nbformat
import pytest
import tidy
from nbclient import NotebookClient
from notebooks import CHAPTERS, cells, python, source
from stilltank import installation, run_order

SEED = 20270426
ORDERS = 1  # of each chapter; tests/benchmarks/bench_keys.py takes more


@pytest.fixture
def kernels(tmp_path, monkeypatch):
    """Kernels that load the extension as those of an installed workbook do."""
    tell_kernels(tmp_path)
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))


def tell_kernels(folder):
    (folder / "profile_default").mkdir()
    shutil.copy(installation.KERNELS, folder / "profile_default")


def run(sources, folder):
    """Run pieces of code one after the other in one kernel; return the errors they end in, as (index, output)."""
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(each) for each in sources])
    client = NotebookClient(
        notebook, timeout=300, allow_errors=True, resources={"metadata": {"path": str(folder)}}
    )
    client.execute(stderr=subprocess.DEVNULL)
    return [
        (n, output)
        for n, cell in enumerate(notebook.cells)
        for output in cell.outputs
        if output.output_type == "error"
    ]


def complaints(path, folder, seed):
    """What the cells of a chapter say other than the sentence, run in a seeded order."""
    sources = [source(cell) for cell in cells(path, "code")]
    random.Random(f"{seed} {path.name}").shuffle(sources)
    found = run(sources, folder)
    assert found, "nothing was run too early, so nothing is tested"
    return [
        (sources[n], output.ename, output.evalue)
        for n, output in found
        if output.traceback != [run_order.SENTENCE] or output.evalue != run_order.SENTENCE
    ]


@pytest.mark.usefixtures("kernels")
@pytest.mark.parametrize("seed", range(SEED, SEED + ORDERS))
@pytest.mark.parametrize("path", CHAPTERS, ids=lambda path: path.stem)
def test_in_any_order_a_chapter_works_or_says_one_sentence(path, seed, tmp_path):
    assert complaints(path, tmp_path, seed) == []


@pytest.mark.usefixtures("kernels")
def test_other_mistakes_keep_their_own_words(tmp_path):
    """A name mistyped, a name missing in a library, and any other error."""
    found = run(
        [
            "panels.salt_panel()",
            "panles",
            "import types\nlibrary = types.ModuleType('library')\n"
            "exec('def call(): return panels', vars(library))\nlibrary.call()",
            "1 / 0",
        ],
        tmp_path,
    )
    said = [(n, output.ename, output.evalue) for n, output in found]
    assert said[0] == (0, "NameError", run_order.SENTENCE)
    assert said[1] == (1, "NameError", "name 'panles' is not defined")
    assert said[2] == (2, "NameError", "name 'panels' is not defined")
    assert said[3] == (3, "ZeroDivisionError", "division by zero")
    assert all(len(output.traceback) > 1 for _, output in found[1:4])


def test_the_page_of_the_kernel_is_asked_first(tmp_path, monkeypatch):
    """What another chapter makes is no reason to run this page again."""
    page = tmp_path / "own.ipynb"
    notebook = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell("import datetime as when\nmine, yours = 1, 2\nfor each in (): pass")]
    )
    page.write_text(nbformat.writes(notebook), encoding="utf-8")
    monkeypatch.setenv("JPY_SESSION_NAME", str(page))
    assert run_order.names_made(run_order._pages()) == {"when", "mine", "yours", "each"}
    monkeypatch.setenv("JPY_SESSION_NAME", str(tmp_path / "gone.ipynb"))
    assert {"panels", "learner", "draft"} <= run_order.names_made(run_order._pages())


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"cells": [{"cell_type": "code", "source": "a ="}]}'])
def test_a_page_that_cannot_be_read_makes_no_names(tmp_path, text):
    page = tmp_path / "page.ipynb"
    page.write_text(text, encoding="utf-8")
    assert run_order.names_made([page, tmp_path / "gone.ipynb"]) == set()


@pytest.mark.parametrize(
    "path",
    [tidy.WORKBOOK.parent / "shared" / "chapter-template.ipynb", *CHAPTERS],
    ids=lambda path: path.stem,
)
def test_imports_stand_in_the_first_cell(path):
    first, *others = cells(path, "code")
    for cell in others:
        assert not [n for n in ast.walk(python(cell)) if isinstance(n, (ast.Import, ast.ImportFrom))], source(
            cell
        )
    assert source(first).startswith(("import ", "from "))
