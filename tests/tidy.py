"""Run each chapter afresh and keep outputs only where a tag asks for them.

``python tests/tidy.py`` rewrites the chapters and the list of their digests; with ``--check`` it changes nothing and
fails on a difference. With ``--unlock`` it only opens the cells to editing, for whoever writes a chapter in
JupyterLab; the next tidying locks them again. Names of notebooks may follow. Chapters run in a copy of workbook/, with
no personal settings of IPython. They may make files named example-..., and touch nothing else.
"""

import argparse
import difflib
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient
from stilltank.shipped import LIST, digest

WORKBOOK = Path(__file__).resolve().parents[1] / "workbook"
KEEP = {"nbval-check-output", "keep-figure"}
TAGS = KEEP | {
    "nbval-ignore-output",
    "nbval-skip",
    "raises-exception",
    "answer",
    "hide-input",
    "answer-output",
}
WIDGET = "application/vnd.jupyter.widget-view+json"
METADATA = {
    "kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def chapters(workbook=WORKBOOK):
    """The chapters of the workbook: numbered notebooks that are nobody's copy."""
    return sorted(
        path
        for path in workbook.rglob("[0-9]*.ipynb")
        if "-Copy" not in path.name and ".ipynb_checkpoints" not in path.parts
    )


def tidy(notebook, folder):
    """Run a notebook in a folder and return the text it is to be stored as."""
    notebook = nbformat.from_dict(notebook)
    client = NotebookClient(
        notebook,
        timeout=300,
        record_timing=False,
        skip_cells_with_tag="nbval-skip",
        resources={"metadata": {"path": str(folder)}},
    )
    client.execute(stderr=subprocess.DEVNULL)  # what the kernel says about itself
    notebook.metadata = nbformat.from_dict(METADATA)  # drops widget state and the version of Python
    count = 0
    for cell in notebook.cells:  # ids stay: new ones would make every difference long
        hidden = cell.metadata.get("jupyter", {}).get("source_hidden")
        cell.metadata = nbformat.from_dict(
            locks(cell)
            | ({"jupyter": {"source_hidden": True}} if hidden else {})
            | ({"tags": cell.metadata["tags"]} if cell.metadata.get("tags") else {})
        )
        if cell.cell_type != "code":
            continue
        if not KEEP & set(cell.metadata.get("tags", [])):
            cell.execution_count, cell.outputs = None, []
            continue
        count += 1
        cell.execution_count = count  # without a count nbval compares nothing
        cell.outputs = _joined([one for one in cell.outputs if WIDGET not in one.get("data", {})])
        for output in cell.outputs:
            if "execution_count" in output:
                output.execution_count = count
    return nbformat.writes(notebook) + "\n"


def locks(cell):
    """What keeps a cell from being deleted by accident, and from being changed unless it is a sum to try."""
    lines = cell.source.splitlines()
    sum_to_try = cell.cell_type == "code" and not any(
        re.match(r"(from|import) |check\.", line)
        or re.search(r"\b(asking|lessons|own_tank|panels|learner|draft)\b", line)
        for line in lines
    )
    return {"deletable": False} | ({} if sum_to_try else {"editable": False})


def unlocked(notebook):
    """The text of a notebook whose cells can all be changed."""
    notebook = nbformat.from_dict(notebook)
    for cell in notebook.cells:
        for lock in ("deletable", "editable"):
            cell.metadata.pop(lock, None)
    return nbformat.writes(notebook) + "\n"


def _joined(outputs):
    """One printed text as one output: the kernel hands it over in as many pieces as its timing makes."""
    joined = []
    for output in outputs:
        last = joined[-1] if joined else {}
        if output.output_type == last.get("output_type") == "stream" and output.name == last.name:
            last.text += output.text
        else:
            joined.append(output)
    return joined


def _files(folder):
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def listed():
    """The list of chapters by which the library knows one as shipped; ``sha256sum --check`` reads it too."""
    root = WORKBOOK.parent
    return "".join(
        f"{digest(path.read_bytes())}  {path.relative_to(root).as_posix()}\n" for path in chapters()
    )


def _list_of_chapters(check):
    path = WORKBOOK.parent / LIST
    if path.read_text(encoding="ascii") == listed():
        return 0
    if check:
        print(f"{LIST} is not that of these chapters; run python tests/tidy.py")
        return 1
    path.write_text(listed(), encoding="ascii", newline="\n")
    print(f"{LIST}: rewritten")
    return 0


def main(argv=None):
    """Tidy or check; returns 1 when a check finds a difference or a chapter changes files."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--check", action="store_true", help="change nothing; fail on a difference")
    parser.add_argument("--unlock", action="store_true", help="only open all cells to editing")
    parser.add_argument("notebooks", nargs="*", type=Path, help="default: all chapters")
    args = parser.parse_args(argv)
    paths = [one.resolve() for one in args.notebooks] or chapters()
    if args.unlock:
        for path in paths:
            text = unlocked(nbformat.read(path, 4))
            path.write_text(text, encoding="utf-8", newline="\n")
        return 0
    wrong = 0
    with tempfile.TemporaryDirectory() as base:
        os.environ["IPYTHONDIR"] = str(Path(base) / "ipython")
        copy = Path(base) / "workbook"
        shutil.copytree(
            WORKBOOK, copy, ignore=shutil.ignore_patterns("my-*", "example-*", ".*", "__pycache__")
        )
        before = _files(copy)
        for path in paths:
            shown = path.relative_to(WORKBOOK)
            old = path.read_text(encoding="utf-8")
            new = tidy(nbformat.reads(old, 4), (copy / shown).parent)
            if old == new:
                print(f"{shown}: clean")
            elif args.check:
                wrong += 1
                lines = list(
                    difflib.unified_diff(old.splitlines(), new.splitlines(), "stored", "afresh", n=2)
                )
                print(
                    f"{shown}: differs; run python tests/tidy.py",
                    *(line[:160] for line in lines[:40]),
                    sep="\n",
                )
            else:
                path.write_text(new, encoding="utf-8", newline="\n")
                print(f"{shown}: rewritten")
        touched = {path.name for path, _ in before.items() ^ _files(copy).items()}
        wrong += _list_of_chapters(args.check)
        if others := sorted(name for name in touched if not name.startswith("example-")):
            wrong += 1
            print("Running the chapters made or changed files:", *others)
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
