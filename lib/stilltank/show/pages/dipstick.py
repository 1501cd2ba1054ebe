"""The dipstick of a tank on paper, to scale."""

from pathlib import Path
from typing import Any

from stilltank.files import write_atomically
from stilltank.science.tank import Tank, preset
from stilltank.science.tank import dipstick as marks
from stilltank.show.figures import DipstickSheet

from .parts import named_file


def dipstick(
    tank: Tank | str,
    path: Any,
    step: Any = None,
    start: Any = None,
    *,
    paper: str = "A4",
    system: str = "metric",
) -> tuple[Path, Path]:
    """Write the dipstick of a tank to cut out, as SVG and as PDF, in its true size.

    Parameters
    ----------
    tank : Tank, or the name of a ready-made one
    path : where to write; the two files get the endings .svg and .pdf
    step, start : as for `stilltank.science.tank.dipstick`; a mark for each litre when left out
    paper : "A4" or "Letter"
    system : "metric" or "US", for the plain ruler along the right edge

    Returns
    -------
    two Paths, SVG and PDF

    Raises
    ------
    Problem
        Another paper or system, marks too close to print, a tank too high for one page, a folder that cannot
        be written.
    UnitNeeded
        As for the marks.
    OutOfRange
        As for the marks.

    Examples
    --------
    >>> import tempfile
    >>> svg, pdf = dipstick("quillgate-tub", Path(tempfile.mkdtemp()) / "my-dipstick")
    >>> svg.name, pdf.name
    ('my-dipstick.svg', 'my-dipstick.pdf')

    Notes
    -----
    Printers shrink pages unless told not to. Print at 100 %, and measure the ruler of 100 mm on the sheet
    before you cut.
    """
    target = named_file(path, "dipstick", "my-dipstick")
    if target.suffix.lower() in (".svg", ".pdf"):
        target = target.with_suffix("")
    picture = DipstickSheet(paper, system).show(marks(preset(tank), step, start))
    svg, pdf = (target.with_name(f"{target.name}{ending}") for ending in (".svg", ".pdf"))
    write_atomically(svg, picture.svg())
    write_atomically(pdf, picture.pdf())
    return svg, pdf
