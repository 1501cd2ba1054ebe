"""The dipstick of a tank on sheets of paper, in its true size."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.tank import Dipstick
from stilltank.units import OutOfRange, Problem, Quantity, on_ruler, write

from ..given import of_kind, quoted
from .labels import apart
from .picture import BLACK, BLUE, Picture, house_style, new_figure

_PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm, as the paper standards define them
# Millimetres on the sheet. A stick longer than one piece is cut into pieces that are glued end to end.
_PIECE, _WIDE, _GAP, _FLAP = 200.0, 40.0, 4.0, 8.0
_LEFT, _BOTTOM, _RULER, _EDGE = 31.0, 22.0, 100.0, 7.0
_CLOSEST = 0.8  # marks nearer than this run into each other
_LABEL = 3.2  # room that the number of a mark needs
_WORD, _WORDS_AT = 2.5, 14.0  # room that the words of a marked height need, and where on the stick they begin
_GAUGE_AT, _GAUGE_WIDE = 150.0, 20.0
_UNITS = {
    "liter": "litres",
    "milliliter": "mL",
    "gallon": "US gallons",
    "quart": "US quarts",
    "imperial_gallon": "imperial gallons",
}
_LINES: dict[str, Any] = {"solid": "-", "dashed": "--", "dash-dot": "-.", "dotted": ":"}


@dataclass(frozen=True)
class MarkedHeight:
    """A height that a stick shows besides its scale, told apart by its words and its line.

    Parameters
    ----------
    words : str
        What is there, in few words.
    level : Quantity
        Above the floor.
    line : {"solid", "dashed", "dash-dot", "dotted"}
        How it is drawn.

    Raises
    ------
    Problem
        There is no such line, or the level is no length.

    Examples
    --------
    >>> MarkedHeight("fill line", Q(25, "cm")).said("US")
    'fill line 9 7/8 in'
    """

    words: str
    level: Quantity
    line: str = "solid"

    def __post_init__(self) -> None:
        if self.line not in _LINES:
            raise Problem(f"A line is {', '.join(_LINES)}; {quoted(self.line)} is none of these.")
        if not isinstance(self.level, Quantity) or not self.level.check("[length]"):
            raise Problem(f"A marked height is a length with its unit; {quoted(self.level)} is not.")

    def said(self, system: str = "metric") -> str:
        """Say the words and the height.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        str
            As it stands on the stick.
        """
        return f"{self.words} {on_ruler(self.level, system)}"


class DipstickSheet:
    """Sheets with the stick in pieces side by side, and a ruler of 100 mm to check the printer with.

    Parameters
    ----------
    paper : {"A4", "Letter"}
        The size of the sheets.
    system : {"metric", "US"}
        The units of the plain ruler on the right edge, and of the marked heights.

    Raises
    ------
    Problem
        There is no such paper or system.

    Examples
    --------
    >>> from stilltank.science.tank import dipstick, preset
    >>> (sheet,) = DipstickSheet().show(dipstick(preset("quillgate-tub"), Q(5, "L")))
    >>> sheet.caption
    'Print at 100 %; the ruler must measure 100 mm.'
    """

    def __init__(self, paper: str = "A4", system: str = "metric"):
        if not isinstance(paper, str) or paper not in _PAPER:
            raise Problem(f'A dipstick is printed on "A4" or "Letter"; {quoted(paper)} is neither.')
        if not isinstance(system, str) or system not in ("metric", "US"):
            raise Problem(f'A dipstick knows the systems "metric" and "US"; {quoted(system)} is neither.')
        self._page, self._system = _PAPER[paper], system
        self._room = int((self._page[0] - _LEFT - _EDGE + _GAP) // (_WIDE + _GAP))

    def show(
        self, stick: Dipstick, heights: Sequence[MarkedHeight] = (), gauge: Quantity | None = None
    ) -> tuple[Picture, ...]:
        """Draw the marks of a dipstick.

        Parameters
        ----------
        stick : Dipstick
            The marks of a tank.
        heights : sequence of MarkedHeight
            Heights to mark besides, such as the fill line.
        gauge : Quantity, optional
            The most that may be added at once, as a length: a piece of this height to hold at the wet line.

        Returns
        -------
        tuple of Picture
            One a sheet, each with its sentence.

        Raises
        ------
        Problem
            This is no dipstick, or no marked heights.
        OutOfRange
            The marks are too close to print.
        """
        of_kind(stick, Dipstick, "A sheet is drawn of a dipstick, such as tank.dipstick gives")
        given = heights if isinstance(heights, (list, tuple)) else [heights]
        marked = [of_kind(one, MarkedHeight, "Heights to mark are a list of MarkedHeight") for one in given]
        if gauge is not None and not (isinstance(gauge, Quantity) and gauge.check("[length]")):
            raise Problem(f'A gauge is a length, such as Q(2, "cm"); {quoted(gauge)} is not.')
        top = stick.tank.height.m_as("mm")
        levels = np.atleast_1d(stick.levels.m_as("mm"))
        closest = float(np.diff(levels).min()) if levels.size > 1 else top
        if closest < _CLOSEST:
            raise OutOfRange(
                f"dipstick: marks for each {write(stick.step)} lie {closest:.2g} mm apart and would run together. Take "
                "larger steps."
            )
        pieces = int(np.ceil(top / _PIECE - 1e-9))
        pages = int(np.ceil(pieces / self._room))
        what = "volume" if stick.by_volume else "height"
        lines = "".join(f" A {one.line} line: {one.said(self._system)}." for one in marked)
        found = []
        for page in range(pages):
            own = range(page * self._room, min((page + 1) * self._room, pieces))
            sheet = (
                "" if pages == 1 else f" Sheet {page + 1} of {pages}, pieces {own[0] + 1} to {own[-1] + 1}."
            )
            sentence = (
                f"Dipstick to cut out for {stick.tank.name or 'the tank'}, {write(stick.tank.height)} high, in its "
                f"true size: {len(levels)} marks, one for each {write(stick.step)} of {what}, in {pieces} "
                f"{'piece' if pieces == 1 else 'pieces'}, and a ruler of 100 mm to check the print.{sheet}{lines}"
            )
            figure = self._sheet(stick, levels, closest, own, pieces, marked, gauge if page == 0 else None)
            found.append(Picture(figure, sentence, "Print at 100 %; the ruler must measure 100 mm."))
        return tuple(found)

    def _sheet(
        self,
        stick: Dipstick,
        levels: Any,
        closest: float,
        own: range,
        pieces: int,
        marked: Sequence[MarkedHeight],
        gauge: Quantity | None,
    ) -> Any:
        width, height = self._page
        top = stick.tank.height.m_as("mm")
        with house_style():
            figure = new_figure(figsize=(width / 25.4, height / 25.4))
            axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
            axes.set_axis_off()
            axes.set_xlim(0, width)
            axes.set_ylim(0, height)
            self._words(axes, stick, pieces, own)
            self._ruler(axes)
            if gauge is not None:
                self._gauge(axes, gauge)
            for piece in own:
                self._piece(axes, piece, own, min(top - piece * _PIECE, _PIECE))
            self._marks(axes, stick, levels, closest, own, pieces)
            for piece in own:
                self._heights(axes, piece, own, min(top - piece * _PIECE, _PIECE), marked)
        return figure

    def _words(self, axes: Any, stick: Any, pieces: int, own: range) -> None:
        height = self._page[1]
        name = stick.tank.name or stick.tank.called.capitalize()
        unit = _UNITS.get(f"{stick.volumes.units:D}", f"{stick.volumes.units:~P}")
        glue = "" if pieces == 1 else " Glue each piece over the flap of the one above it, edge on line."
        rule = "centimetres" if self._system == "metric" else "inches"
        sheet = (
            "" if own[-1] - own[0] + 1 == pieces else f", pieces {own[0] + 1} to {own[-1] + 1} of {pieces}"
        )
        lines = (
            f"Print at 100 % (actual size) and measure the ruler: it must be 100 mm long. Marks: {unit}; right "
            f"edge: {rule}.",
            f"Cut the lowest piece exactly on its bottom line.{glue}",
            "Seal it with clear tape on a flat stick. Stand it upright on the floor of the level tank; "
            "a full soft tub bulges.",
        )
        axes.text(15, height - 14, f"Dipstick: {name[:60]}{sheet}", size=13, weight="bold", va="center")
        for row, line in enumerate(lines):
            axes.text(15, height - 22 - 5 * row, line, size=7.5, va="center")

    def _ruler(self, axes: Any) -> None:
        x = 12.0
        axes.plot([x, x], [_BOTTOM, _BOTTOM + _RULER], color=BLACK, lw=0.8)
        for tick in range(0, 101, 10):
            y = _BOTTOM + tick
            (line,) = axes.plot([x, x + (5 if tick % 50 == 0 else 3)], [y, y], color=BLACK, lw=0.5)
            line.set_gid(f"ruler-{tick}")
            if tick % 50 == 0:
                axes.text(x + 6, y, f"{tick} mm", size=6.5, va="center")

    def _gauge(self, axes: Any, gauge: Quantity) -> None:
        """A piece as high as the most that may be added at once, to hold against the wet line of the stick."""
        x, y, tall = 6.0, _GAUGE_AT, float(gauge.m_as("mm"))
        for edge, name in ((y, "gauge-base"), (y + tall, "gauge-top")):
            (line,) = axes.plot([x, x + _GAUGE_WIDE], [edge, edge], color=BLACK, lw=0.6)
            line.set_gid(name)
        for side in (x, x + _GAUGE_WIDE):
            axes.plot([side, side], [y, y + tall], color=BLACK, lw=0.4)
        middle = x + _GAUGE_WIDE / 2
        words = f"top-up gauge\n{on_ruler(gauge, self._system, down=True)}"
        axes.text(middle, y + tall / 2, words, size=5.5, ha="center", va="center")
        axes.text(middle, y + tall + 1.5, "fill to here at most", size=5, ha="center", va="bottom")
        axes.text(middle, y - 1.5, "hold this edge\nat the wet line", size=5, ha="center", va="top")

    def _x(self, piece: int, own: range) -> float:
        return _LEFT + (piece - own[0]) * (_WIDE + _GAP)

    def _piece(self, axes: Any, piece: int, own: range, tall: float) -> None:
        x = self._x(piece, own)
        for edge in (x, x + _WIDE):
            axes.plot([edge, edge], [_BOTTOM - (_FLAP if piece else 0), _BOTTOM + tall], color=BLACK, lw=0.4)
        for y, name in ((_BOTTOM, "base"), (_BOTTOM + tall, "top")):
            (line,) = axes.plot([x, x + _WIDE], [y, y], color=BLACK, lw=0.4)
            line.set_gid(f"{name}-{piece}")
        if piece:
            axes.plot([x, x + _WIDE], [_BOTTOM - _FLAP] * 2, color=BLACK, lw=0.4, ls=":")
            axes.text(x + _WIDE / 2, _BOTTOM - _FLAP / 2, "flap", size=6, ha="center", va="center")
        else:
            axes.text(x + _WIDE / 2, _BOTTOM - 3, "floor: cut here", size=6, ha="center", va="center")
        words = f"piece {piece + 1}"
        axes.text(x + _WIDE / 2, _BOTTOM + tall + 4, words, size=6, ha="center", va="center")
        size = 10.0 if self._system == "metric" else 25.4
        parts = 2 if self._system == "metric" else 8  # half centimetres, eighths of an inch
        low = piece * _PIECE
        for number in range(
            int(np.ceil(low / size * parts - 1e-9)), int((low + tall) / size * parts + 1e-9) + 1
        ):
            y = _BOTTOM + number * size / parts - low
            whole = number % parts == 0
            (line,) = axes.plot([x + _WIDE - (3 if whole else 1.5), x + _WIDE], [y, y], color=BLACK, lw=0.4)
            if whole:
                line.set_gid(f"rule-{piece}-{number // parts}")
                axes.text(
                    x + _WIDE - 3.6, y, f"{number // parts}", size=5, ha="right", va="center", color="#444444"
                )

    def _marks(self, axes: Any, stick: Any, levels: Any, closest: float, own: range, pieces: int) -> None:
        unit = stick.volumes.units
        volumes = np.atleast_1d(stick.volumes.magnitude)
        step = stick.step.m_as(unit) if stick.by_volume else stick.step.m_as("mm")
        counts = np.round((volumes if stick.by_volume else levels) / step).astype(int)
        every = next((many for many in (1, 2, 5, 10, 20, 50, 100) if closest * many >= _LABEL), 100)
        for level, volume, count in zip(levels, volumes, counts, strict=True):
            piece = min(int((level + 1e-9) // _PIECE), pieces - 1)
            if piece not in own:
                continue
            x, y = self._x(piece, own), _BOTTOM + level - piece * _PIECE
            named = count % every == 0
            (line,) = axes.plot([x, x + (7 if named else 4)], [y, y], color=BLUE, lw=0.6 if named else 0.4)
            line.set_gid(f"mark-{piece}-{volume:.6g}")
            if named:
                said = f"{volume:.4g}" if stick.by_volume else f"{volume:.1f}"
                axes.text(x + 7.6, y, said, size=7, va="center", color=BLUE)

    def _heights(
        self, axes: Any, piece: int, own: range, tall: float, marked: Sequence[MarkedHeight]
    ) -> None:
        """Lines across the stick, their words just above them where there is room."""
        low, x = piece * _PIECE, self._x(piece, own)
        there = {
            one.said(self._system): one
            for one in marked
            if low - 1e-9 <= one.level.m_as("mm") < low + tall - 1e-9
            or (tall < _PIECE and abs(one.level.m_as("mm") - low - tall) < 1e-6)
        }
        at = {said: _BOTTOM + float(one.level.m_as("mm")) - low for said, one in there.items()}
        words = apart({said: y + 0.4 for said, y in at.items()}, _WORD)
        lift = max(_BOTTOM - min(words.values(), default=_BOTTOM), 0)  # none below the edge of the piece
        for said, one in there.items():
            (line,) = axes.plot(
                [x + _WORDS_AT - 0.6, x + _WIDE], [at[said]] * 2, color=BLACK, lw=1.0, ls=_LINES[one.line]
            )
            line.set_gid(f"height-{piece}-{one.words.replace(' ', '-')}")
            box = {"facecolor": "white", "edgecolor": "none", "pad": 0.4, "alpha": 0.9}
            axes.text(x + _WORDS_AT, words[said] + lift, said, size=5.2, va="bottom", bbox=box)
