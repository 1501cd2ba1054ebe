"""A figure that describes itself: shown as an image whose text alternative survives everywhere."""

import base64
import html
import io
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, cast

import matplotlib
from matplotlib.axes import Axes
from matplotlib.axis import Axis
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from ..given import of_kind

STYLE = Path(__file__).resolve().parents[4] / "shared" / "figures.mplstyle"
# Each line of a figure has its colour, its dash and its marker, so that none of the three is needed alone.
BLUE, VERMILLION, GREEN, PURPLE, BLACK = "#0072B2", "#D55E00", "#007858", "#A2478A", "#1a1a1a"
BAND, SOLUTION = "#cfe3f1", "#dcebf7"
# A line and its band, for each of two courses that are compared.
TWO_COURSES: tuple[tuple[dict[str, Any], dict[str, Any]], ...] = (
    ({"color": BLUE}, {"facecolor": BAND, "edgecolor": BLUE, "lw": 0.8}),
    (
        {"color": VERMILLION, "ls": "--"},
        {"facecolor": "none", "edgecolor": VERMILLION, "hatch": "//", "lw": 0.8},
    ),
)


# Held while something is drawn. Matplotlib's settings belong to the whole process, and JupyterLab lets a kernel answer
# controls in one thread while cells run in another: two pictures at once would have each other's sizes.
ALONE = threading.RLock()
LARGER = 1.45  # words of 1/50 of the screen, when the figure takes half its height
_TYPE = ("font.size", "axes.titlesize", "axes.labelsize", "xtick.labelsize", "ytick.labelsize")


@cache
def _look(large: bool) -> Any:
    look: Any = matplotlib.rc_params_from_file(STYLE, use_default_template=False)
    return look | {name: LARGER * look[name] for name in _TYPE} if large else look


@contextmanager
def house_style(large: bool = False) -> Iterator[None]:
    """Draw in the look of shared/figures.mplstyle, and leave everyone's settings as they were.

    Parameters
    ----------
    large : bool
        True for larger words, for a projector.

    Yields
    ------
    None
        What is drawn inside the ``with`` block has the look.

    Examples
    --------
    >>> with house_style(large=True):
    ...     large = matplotlib.rcParams["font.size"]
    >>> with house_style():
    ...     round(large / matplotlib.rcParams["font.size"], 2)
    1.45
    """
    with ALONE, matplotlib.rc_context(_look(bool(large))):
        yield


def new_figure(figsize: tuple[float, float]) -> Figure:
    """Make a figure without pyplot, so that there is no window and nothing to close.

    Parameters
    ----------
    figsize : tuple of float
        Width and height in inches.

    Returns
    -------
    Figure
        Empty.

    Examples
    --------
    >>> new_figure(figsize=(4, 3)).get_size_inches().tolist()
    [4.0, 3.0]
    """
    return Figure(figsize=figsize)


def few_ticks(axes: Axes, x: bool = True, y: bool = True) -> None:
    """Give axes few ticks, and their words fixed places.

    Parameters
    ----------
    axes : Axes
        Of a figure that already has its size.
    x, y : bool
        Whether the ticks of this axis are to be few; the words get their places in any case.

    Notes
    -----
    Half the time that a slider waits would go into measuring words and ticks.

    Examples
    --------
    >>> with house_style():
    ...     axes = new_figure(figsize=(4, 3)).add_axes((0.1, 0.1, 0.8, 0.8))
    ...     few_ticks(axes)
    >>> len(axes.get_xticks()) < 7
    True
    """
    if x:
        axes.xaxis.set_major_locator(MaxNLocator(4))
    if y:
        axes.yaxis.set_major_locator(MaxNLocator(4))
    width, height = cast(Figure, axes.figure).get_size_inches() * axes.get_position().size
    size = matplotlib.rcParams["axes.labelsize"] / 72
    axes.xaxis.set_label_coords(0.5, -1.75 * size / height)
    axes.yaxis.set_label_coords(-2.3 * size / width, 0.5)


def days_along(axis: Axis, least: int, most: int) -> None:
    """Set an axis out in days.

    Parameters
    ----------
    axis : Axis
        The horizontal or the vertical axis of some axes.
    least, most : int
        How many ticks it gets.

    Examples
    --------
    >>> axes = new_figure(figsize=(4, 3)).add_axes((0.1, 0.1, 0.8, 0.8))
    >>> days_along(axes.xaxis, 3, 6)
    >>> axes.set_xlim(np.datetime64("2027-04-26"), np.datetime64("2027-07-26"))
    (...)
    >>> 3 <= len(axes.get_xticks()) <= 6
    True
    """
    import matplotlib.dates as dates

    axis.set_major_locator(locator := dates.AutoDateLocator(minticks=least, maxticks=most))
    form = dates.ConciseDateFormatter(locator)
    form.formats[2] = "%d %b"  # a day is said with its month, and the corner says the year alone
    form.offset_formats[2] = "%Y"
    axis.set_major_formatter(form)


@dataclass(frozen=True)
class Picture:
    """A drawn figure and the sentence that says what it shows.

    Ending a notebook cell with a Picture shows it; the sentence is the text alternative and the plain text.

    Parameters
    ----------
    figure : Figure
        The drawing.
    sentence : str
        What it shows, in words.
    caption : str
        A line for below the drawing; none when empty.

    Examples
    --------
    >>> picture = Picture(new_figure(figsize=(4, 3)), "An empty figure.")
    >>> 'alt="An empty figure."' in picture.html()
    True
    """

    figure: Figure
    sentence: str
    caption: str = ""

    def svg(self) -> str:
        """Write the drawing as SVG; the same data give the same text.

        Returns
        -------
        str
            A whole SVG document.
        """
        buffer = io.BytesIO()
        with house_style():
            self.figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
        return buffer.getvalue().decode()

    def html(self) -> str:
        """Write a figure element with the drawing as a data address, its text alternative and its caption.

        Returns
        -------
        str
            HTML.
        """
        data = base64.b64encode(self.svg().encode()).decode()
        caption = f"<figcaption>{html.escape(self.caption)}</figcaption>" if self.caption else ""
        alt = html.escape(self.sentence)
        image = f'<img alt="{alt}" src="data:image/svg+xml;base64,{data}" style="max-width:100%;height:auto">'
        return f'<figure style="margin:0">{image}{caption}</figure>'

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        # Front ends drop image metadata; an img inside HTML keeps its text alternative.
        return {"text/html": self.html(), "text/plain": self.sentence}


def pdf_of(pictures: Sequence[Picture], title: str) -> bytes:
    """Write drawings as a PDF, each on a page of its size; the same data give the same bytes.

    Parameters
    ----------
    pictures : sequence of Picture
        The pages, in order.
    title : str
        The name of the document, which readers of PDF show.

    Returns
    -------
    bytes
        The document.

    Raises
    ------
    Problem
        These are no drawings, or the title is no text.

    Examples
    --------
    >>> pdf_of([Picture(new_figure(figsize=(4, 3)), "Empty.")], "Nothing")[:5]
    b'%PDF-'
    """
    from matplotlib.backends.backend_pdf import PdfPages

    of_kind(title, str, "The title of a document is a text")
    for picture in pictures if isinstance(pictures, (list, tuple)) else [pictures]:
        of_kind(picture, Picture, "A document is made of a list of Pictures")
    buffer = io.BytesIO()
    about = {"Title": title, "CreationDate": None, "Creator": None, "Producer": None}
    with house_style(), PdfPages(buffer, metadata=about) as pages:
        for picture in pictures:
            pages.savefig(picture.figure)
    return buffer.getvalue()
