"""Parts of pages and of what notebooks show: cautions, lists, folds and tables, as HTML; and where a page goes."""

import html
import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Template
from typing import Any

from stilltank.units import Problem, Unreadable

from ..given import of_kind, quoted, texts

_SENTENCES = 'Sentences are a list of texts, such as ["One.", "Two."]'
PAPERS = ("A4", "Letter")
SHARED = Path(__file__).resolve().parents[4] / "shared"


@cache
def cautions() -> dict[str, dict[str, str]]:
    """Read the cautions of shared/cautions.toml.

    Returns
    -------
    dict of str to dict
        By name; each has ``title``, ``short``, ``long`` and ``source``.

    Examples
    --------
    >>> sorted(cautions()["lifting"])
    ['long', 'short', 'source', 'title']
    """
    return tomllib.loads((SHARED / "cautions.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Passage:
    """Words to show in a notebook: as HTML, and plainly where HTML is not shown.

    Parameters
    ----------
    html : str
        The words as HTML.
    text : str
        The same words without HTML.

    Examples
    --------
    >>> Passage("<p>Fill the tank.</p>", "Fill the tank.").text
    'Fill the tank.'
    """

    html: str
    text: str

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        return {"text/html": self.html, "text/plain": self.text}


def listed(sentences: Iterable[str]) -> Passage:
    """Make a list of sentences to show in a notebook.

    Parameters
    ----------
    sentences : iterable of str
        One for each point of the list.

    Returns
    -------
    Passage
        End a cell with it to show it.

    Raises
    ------
    Problem
        These are no sentences.

    Examples
    --------
    >>> listed(["One.", "Two."]).text
    'One.\\nTwo.'
    """
    kept = texts(sentences, _SENTENCES)
    items = "".join(f"<li>{html.escape(sentence)}</li>" for sentence in kept)
    return Passage(f"<ul>{items}</ul>", "\n".join(kept))


def folded(title: str, sentences: Iterable[str]) -> str:
    """Fold sentences away under a title.

    Parameters
    ----------
    title : str
        What is always shown.
    sentences : iterable of str
        What shows when the title is clicked.

    Returns
    -------
    str
        HTML; empty when there are no sentences.

    Raises
    ------
    Problem
        The title is no text, or these are no sentences.

    Examples
    --------
    >>> folded("Why?", ["It is warm."])
    '<details><summary>Why?</summary><ul><li>It is warm.</li></ul></details>'
    """
    of_kind(title, str, "A title is a text")
    items = "".join(f"<li>{html.escape(sentence)}</li>" for sentence in texts(sentences, _SENTENCES))
    return f"<details><summary>{html.escape(title)}</summary><ul>{items}</ul></details>" if items else ""


def table(
    caption: str, headings: Sequence[str], rows: Iterable[Sequence[object]], numbers: Iterable[int] = ()
) -> str:
    """Write a table with a caption and column headings.

    Parameters
    ----------
    caption : str
        What the table holds.
    headings : sequence of str
        One for each column; none for a table without a head.
    rows : iterable of sequence
        What the cells of each row hold; it is written as text.
    numbers : iterable of int
        The columns to set to the right, counted from 0.

    Returns
    -------
    str
        HTML.

    Raises
    ------
    Problem
        Something is not of the kind named here.

    Examples
    --------
    >>> table("Salts", ["salt"], [["Epsom salt"]])
    '<table><caption>Salts</caption><thead><tr><th scope="col">salt</th></tr></thead>...</table>'
    """
    of_kind(caption, str, "The caption of a table is a text")
    heads = texts(headings, "The headings of a table are a list of texts")
    try:
        right, lines = set(numbers), [tuple(row) for row in rows]
    except TypeError:
        raise Problem(
            "The rows of a table are lists of what stands in its cells, and `numbers` are columns."
        ) from None

    def cell(tag: str, column: int, value: object, scope: str = "") -> str:
        kind = ' class="number"' if column in right else ""
        return f"<{tag}{scope}{kind}>{html.escape(str(value))}</{tag}>"

    head = "".join(cell("th", i, value, ' scope="col"') for i, value in enumerate(heads))
    head = f"<thead><tr>{head}</tr></thead>" if heads else ""
    body = "".join(
        "<tr>" + "".join(cell("td", i, value) for i, value in enumerate(row)) + "</tr>" for row in lines
    )
    title = f"<caption>{html.escape(caption)}</caption>"
    return f"<table>{title}{head}<tbody>{body}</tbody></table>"


def known_paper(paper: str) -> str:
    """Check that a page can be printed on a paper.

    Parameters
    ----------
    paper : {"A4", "Letter"}
        The size of the paper.

    Returns
    -------
    str
        The paper.

    Raises
    ------
    Problem
        There is no such paper.

    Examples
    --------
    >>> known_paper("A4")
    'A4'
    """
    if not isinstance(paper, str) or paper not in PAPERS:
        raise Problem(f"Pages are printed on A4 or Letter; you gave {quoted(paper)}. Write one of these.")
    return paper


def sheet(title: str, body: str, style: str, *, page: str = "") -> str:
    """Make a whole page to print: one HTML file with its style, that asks no other computer for anything.

    Parameters
    ----------
    title : str
        The name of the page, as a browser shows it.
    body : str
        Its HTML.
    style : str
        The name of its own style in shared/, such as "card"; that of all pages comes first.
    page : str
        Size and direction of the paper, as CSS names them, such as "A4 landscape"; the printer's own when empty.

    Returns
    -------
    str
        HTML. Its policy lets a browser load nothing but pictures that are in the page itself.

    Raises
    ------
    Problem
        Title or body is no text, or there is no such style.

    Examples
    --------
    >>> "default-src 'none'" in sheet("Tank card: Tub A", "<main></main>", "card")
    True
    """
    of_kind(title, str, "The title of a page is a text")
    of_kind(body, str, "The body of a page is HTML, as a text")
    of_kind(page, str, 'A paper is named by a text, such as "A4 landscape"')
    known = sorted(path.stem for path in SHARED.glob("*.css"))
    if not isinstance(style, str) or style not in known:
        raise Problem(f"A page has one of the styles {', '.join(known)}; {quoted(style)} is none of these.")
    styles = [
        (SHARED / f"{name}.css").read_text(encoding="utf-8").strip() for name in ("sheet", style, "phone")
    ]
    if page:
        styles.append(f"@page {{ size: {page}; }}")
    parts = {"title": html.escape(title), "style": "\n".join(styles), "body": body}
    return Template((SHARED / "sheet.html").read_text(encoding="utf-8")).substitute(parts)


def named_file(path: str | Path, function: str, example: str, *endings: str) -> Path:
    """Find where a page is to be written.

    Parameters
    ----------
    path : str or Path
        What the person gave.
    function : str
        The function that writes, for the sentence of a refusal.
    example : str
        A name to give instead, for the same sentence.
    *endings : str
        Endings that the name may have; the first one is added where it has none of them.

    Returns
    -------
    Path
        The file to write.

    Raises
    ------
    Unreadable
        The path names no file.

    Examples
    --------
    >>> named_file("my-log", "log_sheet", "my-log", ".html", ".htm").name
    'my-log.html'
    """
    if not isinstance(path, (str, Path)) or not Path(path).name:
        raise Unreadable(f'{function} needs the name of a file, such as "{example}"; {quoted(path)} is none.')
    target = Path(path)
    if not endings or target.suffix.lower() in endings:
        return target
    return target.with_name(f"{target.name}{endings[0]}")
