"""The dipstick of a tank on paper, in its true size: a page for the browser, and a PDF to print."""

import html
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from stilltank.files import write_atomically
from stilltank.science.tank import Tank, preset
from stilltank.science.tank import dipstick as marks
from stilltank.show.figures import DipstickSheet, MarkedHeight, Picture, pdf_of
from stilltank.units import Q, Quantity, on_ruler, write

from .parts import named_file, sheet, table

_MOST_LEVELS = 40  # rows of the table of levels
_STEPS = (0.5, 1, 2, 5, 10, 20, 50, 100)


def dipstick(
    tank: Tank | str,
    path: str | Path,
    step: Quantity | None = None,
    start: Quantity | None = None,
    *,
    heights: Sequence[MarkedHeight] = (),
    gauge: Quantity | None = None,
    paper: str = "A4",
    system: str = "metric",
) -> tuple[Path, Path]:
    """Write the dipstick of a tank to cut out, as a page of HTML and as PDF, in its true size.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one.
    path : str or Path
        Where to write; the two files get the endings .html and .pdf.
    step : Quantity, optional
        A volume, for a mark at each, or a length, for the litres at each; 1 L when left out.
    start : Quantity, optional
        The first mark, of the kind of ``step``; ``step`` itself when left out.
    heights : sequence of MarkedHeight
        Heights to mark besides, such as the fill line.
    gauge : Quantity, optional
        The most that may be added at once, as a length: a piece of this height to hold at the wet line.
    paper : {"A4", "Letter"}
        The size of the sheets.
    system : {"metric", "US"}
        The units of the plain ruler on the right edge, and of the heights.

    Returns
    -------
    tuple of Path
        The HTML file and the PDF file. A stick that is too long for one sheet has several.

    Raises
    ------
    Problem
        There is no such tank, paper, system or height, or the folder cannot be written.
    Unreadable
        The path names no file.
    UnitNeeded
        The step is neither a volume nor a length, or the start is of another kind.
    OutOfRange
        The marks are too close to print.

    Notes
    -----
    Printers shrink pages unless told not to. Print at 100 %, and measure the ruler of 100 mm on the sheet before you
    cut. The page also holds the same as tables, for those who cannot see the drawing, or have a ruler only.

    Examples
    --------
    >>> import tempfile
    >>> page, pdf = dipstick("quillgate-tub", Path(tempfile.mkdtemp()) / "my-dipstick")
    >>> page.name, pdf.name
    ('my-dipstick.html', 'my-dipstick.pdf')
    """
    target = named_file(path, "dipstick", "my-dipstick")
    if target.suffix.lower() in (".html", ".htm", ".pdf"):
        target = target.with_suffix("")
    found = preset(tank)
    pictures = DipstickSheet(paper, system).show(marks(found, step, start), heights, gauge)
    title = f"Dipstick: {found.name or found.called.capitalize()}"
    page, pdf = (target.with_name(f"{target.name}{ending}") for ending in (".html", ".pdf"))
    write_atomically(page, _page(title, found, pictures, heights, paper, system))
    write_atomically(pdf, pdf_of(pictures, title))
    return page, pdf


def _page(
    title: str,
    tank: Tank,
    pictures: Sequence[Picture],
    heights: Sequence[MarkedHeight],
    paper: str,
    system: str,
) -> str:
    sheets = "".join(
        f'<div class="sheet {paper}">{replace(picture, caption="").html()}</div>' for picture in pictures
    )
    rows = [(one.words, on_ruler(one.level, system), f"{one.line} line") for one in heights]
    marked = table("Marked heights", ("mark", "height", "drawn as"), rows) if rows else ""
    body = (
        f"<header><h1>{html.escape(title)}</h1><p>Holds {write(tank.capacity, system)} to the rim, "
        f"{on_ruler(tank.height, system)} high. To cut out a stick in its true size, print this page or the PDF at "
        "100 %, and measure the ruler on the sheet: it must be 100 mm long. A screen shows it smaller.</p></header>"
        f"<main>{sheets}<section><h2>Heights and volumes</h2>{marked}{levels_table(tank, system)}</section></main>"
    )
    return sheet(title, body, "dipstick", page=paper)


def levels_table(tank: Tank, system: str = "metric") -> str:
    """Write a table of the volume at each level, for those who have a plain ruler.

    Parameters
    ----------
    tank : Tank
        The tank.
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        HTML, of at most 40 rows.

    Examples
    --------
    >>> "<td class=" in levels_table(preset("quillgate-tub"))
    True
    """
    length, volume, shown = ("cm", "L", "L") if system == "metric" else ("inch", "gallon", "US gal")
    top = tank.height.m_as(length)
    step = next((size for size in _STEPS if top / size <= _MOST_LEVELS), top / _MOST_LEVELS)
    stick = marks(tank, Q(min(step, top), length))
    rows = [
        (_level(level, system), f"{held:.1f}")
        for level, held in zip(stick.levels.m_as(length).round(6), stick.volumes.m_as(volume), strict=True)
    ]
    name = "in" if length == "inch" else length
    return table("Level and volume", (name, shown), rows, numbers=(0, 1))


def _level(level: float, system: str) -> str:
    return f"{level:g}" if system == "metric" else on_ruler(Q(level, "inch"), "US").removesuffix(" in")
