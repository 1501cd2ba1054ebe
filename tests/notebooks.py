"""Reading the chapters as they are stored: cells, tags, text, calls."""

import ast
import json
import re

import pytest
import tidy

CHAPTERS = tidy.chapters()
EACH = pytest.mark.parametrize("path", CHAPTERS, ids=lambda path: path.stem)
LATER = pytest.mark.parametrize(
    "path", [each for each in CHAPTERS if each.name >= "01"], ids=lambda path: path.stem
)
LONGEST_CELL = 12  # lines; a cell calls the library, and the sum can be read at one glance
LARGEST_FILE = 200_000  # bytes; check tables and a few small figures


def read(path):
    return json.loads(path.read_text(encoding="utf-8"))


def cells(path, kind):
    return [cell for cell in read(path)["cells"] if cell["cell_type"] == kind]


def source(cell):
    return "".join(cell["source"])


def tags(cell):
    return set(cell["metadata"].get("tags", []))


def printed(cell):
    return "".join("".join(output.get("text", "")) for output in cell["outputs"])


def python(cell):
    """The cell's source as Python; what IPython alone understands is left out."""
    kept = [line for line in source(cell).splitlines() if not re.match(r"\s*[%!?]", line)]
    return ast.parse("\n".join(kept))


def prose(path):
    """The chapter's text without its code blocks."""
    text = "\n\n".join(source(cell) for cell in cells(path, "markdown"))
    return re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)


SHOWN = {"asking", "lessons", "own_tank", "panels"}


def calls(path, name):
    """The calls of ``name`` of a room that shows something in a chapter, as nodes."""
    found = [node for cell in cells(path, "code") for node in ast.walk(python(cell))]
    return [
        node
        for node in found
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and isinstance(node.func.value, ast.Name)
        and node.func.value.id in SHOWN
        and re.fullmatch(name, node.func.attr)
    ]
