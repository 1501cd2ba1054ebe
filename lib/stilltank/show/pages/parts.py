"""Parts of pages and of what notebooks show: cautions, lists, folds and tables, as HTML; and where a page goes."""

import html
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from stilltank.units import Problem, Unreadable

from ..given import of_kind, quoted, texts

_SENTENCES = 'Sentences are a list of texts, such as ["One.", "Two."]'
SHARED = Path(__file__).resolve().parents[4] / "shared"


@cache
def cautions() -> dict[str, dict[str, str]]:
    """The cautions of shared/cautions.toml by name: ``title``, ``short``, ``long``, ``source``."""
    return tomllib.loads((SHARED / "cautions.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Passage:
    """Words to show in a notebook: as HTML, and plainly where HTML is not shown."""

    html: str
    text: str

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        return {"text/html": self.html, "text/plain": self.text}


def listed(sentences: Iterable[str]) -> Passage:
    """Sentences as a list to show in a notebook.

    Examples
    --------
    >>> listed(["One.", "Two."]).text
    'One.\\nTwo.'
    """
    kept = texts(sentences, _SENTENCES)
    items = "".join(f"<li>{html.escape(sentence)}</li>" for sentence in kept)
    return Passage(f"<ul>{items}</ul>", "\n".join(kept))


def folded(title: str, sentences: Iterable[str]) -> str:
    """Sentences folded away under a title, as HTML; empty when there are none."""
    of_kind(title, str, "A title is a text")
    items = "".join(f"<li>{html.escape(sentence)}</li>" for sentence in texts(sentences, _SENTENCES))
    return f"<details><summary>{html.escape(title)}</summary><ul>{items}</ul></details>" if items else ""


def table(
    caption: str, headings: Sequence[str], rows: Iterable[Sequence[Any]], numbers: Iterable[int] = ()
) -> str:
    """An HTML table with a caption and column headings; ``numbers`` are the columns set to the right."""
    of_kind(caption, str, "The caption of a table is a text")
    heads = texts(headings, "The headings of a table are a list of texts")
    try:
        right, lines = set(numbers), [tuple(row) for row in rows]
    except TypeError:
        raise Problem(
            "The rows of a table are lists of what stands in its cells, and `numbers` are columns."
        ) from None

    def cell(tag: str, column: int, value: Any, scope: str = "") -> str:
        kind = ' class="number"' if column in right else ""
        return f"<{tag}{scope}{kind}>{html.escape(str(value))}</{tag}>"

    head = "".join(cell("th", i, value, ' scope="col"') for i, value in enumerate(heads))
    head = f"<thead><tr>{head}</tr></thead>" if heads else ""
    body = "".join(
        "<tr>" + "".join(cell("td", i, value) for i, value in enumerate(row)) + "</tr>" for row in lines
    )
    title = f"<caption>{html.escape(caption)}</caption>"
    return f"<table>{title}{head}<tbody>{body}</tbody></table>"


def named_file(path: Any, function: str, example: str, *endings: str) -> Path:
    """Where a page is to be written; the first ending is added where it has none of them.

    Raises Unreadable where it names no file; the sentence gives the example.
    """
    if not isinstance(path, (str, Path)) or not Path(path).name:
        raise Unreadable(f'{function} needs the name of a file, such as "{example}"; {quoted(path)} is none.')
    target = Path(path)
    if not endings or target.suffix.lower() in endings:
        return target
    return target.with_name(f"{target.name}{endings[0]}")
