"""The dipstick of a tank on paper, to scale."""

from pathlib import Path

from stilltank.files import write_atomically
from stilltank.science.tank import Tank, preset
from stilltank.science.tank import dipstick as marks
from stilltank.show.figures import DipstickSheet
from stilltank.units import Quantity

from .parts import named_file


def dipstick(
    tank: Tank | str,
    path: str | Path,
    step: Quantity | None = None,
    start: Quantity | None = None,
    *,
    paper: str = "A4",
    system: str = "metric",
) -> tuple[Path, Path]:
    """Write the dipstick of a tank to cut out, as SVG and as PDF, in its true size.

    Parameters
    ----------
    tank : Tank or str
        The tank, or the name of a ready-made one.
    path : str or Path
        Where to write; the two files get the endings .svg and .pdf.
    step : Quantity, optional
        A volume, for a mark at each, or a length, for the litres at each; 1 L when left out.
    start : Quantity, optional
        The first mark, of the kind of ``step``; ``step`` itself when left out.
    paper : {"A4", "Letter"}
        The size of the sheet.
    system : {"metric", "US"}
        The units of the plain ruler on the right edge.

    Returns
    -------
    tuple of Path
        The SVG file and the PDF file.

    Raises
    ------
    Problem
        There is no such tank, paper or system, or the folder cannot be written.
    Unreadable
        The path names no file.
    UnitNeeded
        The step is neither a volume nor a length, or the start is of another kind.
    OutOfRange
        The marks are too close to print, or the tank is too high for one page.

    Notes
    -----
    Printers shrink pages unless told not to. Print at 100 %, and measure the ruler of 100 mm on the sheet before you
    cut.

    Examples
    --------
    >>> import tempfile
    >>> svg, pdf = dipstick("quillgate-tub", Path(tempfile.mkdtemp()) / "my-dipstick")
    >>> svg.name, pdf.name
    ('my-dipstick.svg', 'my-dipstick.pdf')
    """
    target = named_file(path, "dipstick", "my-dipstick")
    if target.suffix.lower() in (".svg", ".pdf"):
        target = target.with_suffix("")
    picture = DipstickSheet(paper, system).show(marks(preset(tank), step, start))
    svg, pdf = (target.with_name(f"{target.name}{ending}") for ending in (".svg", ".pdf"))
    write_atomically(svg, picture.svg())
    write_atomically(pdf, picture.pdf())
    return svg, pdf
