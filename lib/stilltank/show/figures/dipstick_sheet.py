"""The dipstick of a tank on a sheet of paper, in its true size."""

from typing import Any

import numpy as np

from stilltank.science.tank import Dipstick
from stilltank.units import OutOfRange, Problem, Q, write

from ..given import of_kind, quoted
from .picture import BLACK, BLUE, Picture, house_style, new_figure

_PAPER = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}  # mm, as the paper standards define them
# Millimetres on the sheet. A stick longer than one piece is cut into pieces that are glued end to end.
_PIECE, _WIDE, _GAP, _FLAP = 200.0, 24.0, 5.0, 8.0
_LEFT, _BOTTOM, _RULER = 34.0, 22.0, 100.0
_CLOSEST = 0.8  # marks nearer than this run into each other
_LABEL = 3.2  # room that the number of a mark needs
_WORDS = {
    "liter": "litres",
    "milliliter": "mL",
    "gallon": "US gallons",
    "imperial_gallon": "imperial gallons",
}


class DipstickSheet:
    """A sheet with the stick in pieces side by side, and a ruler of 100 mm to check the printer with.

    Parameters
    ----------
    paper : {"A4", "Letter"}
        The size of the sheet.
    system : {"metric", "US"}
        The units of the plain ruler on the right edge.

    Raises
    ------
    Problem
        There is no such paper or system.

    Examples
    --------
    >>> from stilltank.science.tank import dipstick, preset
    >>> DipstickSheet().show(dipstick(preset("quillgate-tub"), Q(5, "L"))).caption
    'Print at 100 %; the ruler must measure 100 mm.'
    """

    def __init__(self, paper: str = "A4", system: str = "metric"):
        if not isinstance(paper, str) or paper not in _PAPER:
            raise Problem(f'A dipstick is printed on "A4" or "Letter"; {quoted(paper)} is neither.')
        if not isinstance(system, str) or system not in ("metric", "US"):
            raise Problem(f'A dipstick knows the systems "metric" and "US"; {quoted(system)} is neither.')
        self._page, self._system = _PAPER[paper], system

    def show(self, stick: Dipstick) -> Picture:
        """Draw the marks of a dipstick.

        Parameters
        ----------
        stick : Dipstick
            The marks of a tank.

        Returns
        -------
        Picture
            With its sentence.

        Raises
        ------
        Problem
            This is no dipstick.
        OutOfRange
            The marks are too close to print, or the tank is too high for one page.
        """
        of_kind(stick, Dipstick, "A sheet is drawn of a dipstick, such as tank.dipstick gives")
        width, height = self._page
        top = stick.tank.height.m_as("mm")
        levels = np.atleast_1d(stick.levels.m_as("mm"))
        closest = float(np.diff(levels).min()) if levels.size > 1 else top
        if closest < _CLOSEST:
            raise OutOfRange(
                f"dipstick: marks for each {write(stick.step)} lie {closest:.2g} mm apart and would run together. Take "
                "larger steps."
            )
        pieces = int(np.ceil(top / _PIECE - 1e-9))
        room = int((width - _LEFT - 8.0) // (_WIDE + _GAP))
        if pieces > room:
            raise OutOfRange(
                f"dipstick: this tank is {write(stick.tank.height)} high, and a sheet has room for a stick of "
                f"{write(Q(room * _PIECE, 'mm'))}. Take a rule, and the litres of each centimetre from level_log."
            )
        with house_style():
            figure = new_figure(figsize=(width / 25.4, height / 25.4))
            axes = figure.add_axes((0.0, 0.0, 1.0, 1.0))
            axes.set_axis_off()
            axes.set_xlim(0, width)
            axes.set_ylim(0, height)
            self._words(axes, stick, pieces)
            self._ruler(axes)
            for piece in range(pieces):
                self._piece(axes, stick, piece, min(top - piece * _PIECE, _PIECE))
            self._marks(axes, stick, levels, closest, pieces)
        what = "volume" if stick.by_volume else "height"
        sentence = (
            f"Dipstick to cut out for {stick.tank.name or 'the tank'}, {write(stick.tank.height)} high, in its true "
            f"size: {len(levels)} marks, one for each {write(stick.step)} of {what}, in {pieces} "
            f"{'piece' if pieces == 1 else 'pieces'}, and a ruler of 100 mm to check the print."
        )
        return Picture(figure, sentence, "Print at 100 %; the ruler must measure 100 mm.")

    def _words(self, axes: Any, stick: Any, pieces: int) -> None:
        height = self._page[1]
        name = stick.tank.name or stick.tank.called.capitalize()
        unit = _WORDS.get(f"{stick.volumes.units:D}", f"{stick.volumes.units:~P}")
        glue = "" if pieces == 1 else " Glue each piece over the flap of the one above it, edge on line."
        rule = "centimetres" if self._system == "metric" else "inches"
        lines = (
            f"Print at 100 % (actual size) and measure the ruler: it must be 100 mm long. Marks: {unit}; right "
            f"edge: {rule}.",
            f"Cut the lowest piece exactly on its bottom line.{glue}",
            "Seal it with clear tape on a flat stick. Stand it upright on the floor of the level tank; "
            "a full soft tub bulges.",
        )
        axes.text(15, height - 14, f"Dipstick: {name[:60]}", size=13, weight="bold", va="center")
        for row, line in enumerate(lines):
            axes.text(15, height - 22 - 5 * row, line, size=7.5, va="center")

    def _ruler(self, axes: Any) -> None:
        x = 15.0
        axes.plot([x, x], [_BOTTOM, _BOTTOM + _RULER], color=BLACK, lw=0.8)
        for tick in range(0, 101, 10):
            y = _BOTTOM + tick
            (line,) = axes.plot([x, x + (5 if tick % 50 == 0 else 3)], [y, y], color=BLACK, lw=0.5)
            line.set_gid(f"ruler-{tick}")
            if tick % 50 == 0:
                axes.text(x + 6, y, f"{tick} mm", size=6.5, va="center")

    def _x(self, piece: int) -> float:
        return _LEFT + piece * (_WIDE + _GAP)

    def _piece(self, axes: Any, stick: Any, piece: int, tall: float) -> None:
        x = self._x(piece)
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
        low = piece * _PIECE
        for number in range(int(np.ceil(low / size - 1e-9)), int((low + tall) / size + 1e-9) + 1):
            y = _BOTTOM + number * size - low
            (line,) = axes.plot([x + _WIDE - 3, x + _WIDE], [y, y], color=BLACK, lw=0.4)
            line.set_gid(f"rule-{piece}-{number}")
            axes.text(x + _WIDE - 3.6, y, f"{number}", size=5, ha="right", va="center", color="#444444")

    def _marks(self, axes: Any, stick: Any, levels: Any, closest: float, pieces: int) -> None:
        unit = stick.volumes.units
        volumes = np.atleast_1d(stick.volumes.magnitude)
        step = stick.step.m_as(unit) if stick.by_volume else stick.step.m_as("mm")
        counts = np.round((volumes if stick.by_volume else levels) / step).astype(int)
        every = next((many for many in (1, 2, 5, 10, 20, 50, 100) if closest * many >= _LABEL), 100)
        for level, volume, count in zip(levels, volumes, counts, strict=True):
            piece = min(int((level + 1e-9) // _PIECE), pieces - 1)
            x, y = self._x(piece), _BOTTOM + level - piece * _PIECE
            named = count % every == 0
            (line,) = axes.plot([x, x + (7 if named else 4)], [y, y], color=BLUE, lw=0.6 if named else 0.4)
            line.set_gid(f"mark-{piece}-{volume:.6g}")
            if named:
                said = f"{volume:.4g}" if stick.by_volume else f"{volume:.1f}"
                axes.text(x + 7.6, y, said, size=7, va="center", color=BLUE)
