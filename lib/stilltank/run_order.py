"""Say in one sentence that a page was not run from the top.

Every cell of a chapter builds on those above it. Run first, a cell in the middle fails with a ``NameError``, and its
traceback helps nobody. A kernel that loads this module as an extension of IPython says the sentence instead, where the
name is one that the page makes itself; any other name, such as one mistyped, keeps its own message. The kernels of the
workbook load it, as ``shared/jupyter/ipython_kernel_config.json`` tells them.
"""

import ast
import contextlib
import json
import os
from collections.abc import Iterable
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from IPython.core.interactiveshell import InteractiveShell

SENTENCE = "Run this page from the top first: press ▸▸ above it and answer Restart."
WORKBOOK = Path(__file__).resolve().parents[2] / "workbook"


def load_ipython_extension(shell: "InteractiveShell") -> None:
    """Watch the cells of a kernel for names that are not there yet; IPython calls it.

    Parameters
    ----------
    shell : IPython.core.interactiveshell.InteractiveShell
        The shell of the kernel.

    Examples
    --------
    >>> from IPython.core.interactiveshell import InteractiveShell
    >>> shell = InteractiveShell.__new__(InteractiveShell)
    >>> shell.set_custom_exc = lambda kinds, answer: print(*(kind.__name__ for kind in kinds))
    >>> load_ipython_extension(shell)
    NameError
    """
    shell.set_custom_exc((NameError,), _answer)


def _answer(
    shell: "InteractiveShell",
    kind: type[NameError],
    error: NameError,
    trace: TracebackType,
    tb_offset: int | None = None,
) -> None:
    if _in_a_cell(shell, trace) and error.name in names_made(_pages()):
        error.args = (SENTENCE,)
        error._render_traceback_ = lambda: [SENTENCE]  # type: ignore[attr-defined]
    shell.showtraceback((kind, error, trace), tb_offset=tb_offset)


def _in_a_cell(shell: "InteractiveShell", trace: TracebackType) -> bool:
    """Whether the name was missing in the cell's own code, and not in a library that it calls."""
    while trace.tb_next:
        trace = trace.tb_next
    return trace.tb_frame.f_globals is shell.user_global_ns


def _pages() -> list[Path]:
    """The notebook of this kernel, where the server says which; else all chapters."""
    page = Path(os.environ.get("JPY_SESSION_NAME", ""))
    return [page] if page.is_file() else sorted(WORKBOOK.glob("[0-9]*.ipynb"))


def names_made(pages: Iterable[Path]) -> set[str]:
    """Find the names that the cells of notebooks import or assign.

    Parameters
    ----------
    pages : iterable of Path
        The notebooks; one that cannot be read makes no names.

    Returns
    -------
    set of str
        The names.

    Examples
    --------
    >>> names_made([Path("no-such-page.ipynb")])
    set()
    """
    made: set[str] = set()
    for page in pages:
        with contextlib.suppress(OSError, ValueError, KeyError, TypeError):
            for cell in json.loads(page.read_text(encoding="utf-8"))["cells"]:
                if cell["cell_type"] == "code":
                    with contextlib.suppress(SyntaxError):
                        made |= _names(ast.parse("".join(cell["source"])))
    return made


def _names(tree: ast.AST) -> set[str]:
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name) and isinstance(node.ctx, ast.Store):
            found.add(node.id)
        elif isinstance(node, ast.alias):
            found.add(node.asname or node.name.partition(".")[0])
    return found
