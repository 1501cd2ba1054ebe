"""Ranges of several plans side by side: one strip for each thing they are compared by."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

import matplotlib
import numpy as np

from ..given import of_kind
from .picture import BAND, BLACK, BLUE, Picture, days_along, few_ticks, house_style, new_figure

_MOST = 3  # strips that fit beside each other


@dataclass(frozen=True)
class Ranges:
    """What one thing is for each of several plans.

    Parameters
    ----------
    title : str
        What it is, with its unit.
    low, middle, high : sequence of float, date or None
        For each plan the value that 10, 50 and 90 of 100 seasons stay under; None for a day that does not come.
    words : sequence of str
        The range of each plan as people say it; it stands above its bar.

    Examples
    --------
    >>> Ranges("stems", [8.0], [20.0], [30.0], ["8 to 30"]).words
    ['8 to 30']
    """

    title: str
    low: Sequence[float | date | None]
    middle: Sequence[float | date | None]
    high: Sequence[float | date | None]
    words: Sequence[str]


class RangeStrips:
    """Bars from low to high with a line at the middle: a row for each plan, a strip for each thing.

    Parameters
    ----------
    large : bool
        True for larger words, for a projector.

    Attributes
    ----------
    figure : Figure
        Drawn once; ``show`` updates it.

    Examples
    --------
    >>> stems = Ranges("stems", [8.0, 10.0], [20.0, 12.0], [30.0, 16.0], ["8 to 30", "10 to 16"])
    >>> RangeStrips().show(["as planned", "two plants"], [stems], "Ranges of two plans.").sentence
    'Ranges of two plans.'
    """

    def __init__(self, large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(8.4, 4.2))
            width = 0.25
            self._axes = [
                self.figure.add_axes((0.16 + place * (width + 0.025), 0.13, width, 0.75))
                for place in range(_MOST)
            ]

    def show(self, names: Sequence[str], strips: Sequence[Ranges], sentence: str) -> Picture:
        """Draw the plans.

        Parameters
        ----------
        names : sequence of str
            Of the plans, from the top down.
        strips : sequence of Ranges
            Three at most are drawn.
        sentence : str
            What the figure shows, in words.

        Returns
        -------
        Picture
            With its sentence.

        Raises
        ------
        Problem
            The sentence is no text.
        """
        of_kind(sentence, str, "The sentence of a figure is a text")
        with house_style(self._large):
            small = 0.8 * matplotlib.rcParams["font.size"]
            for place, axes in enumerate(self._axes):
                axes.clear()
                axes.set_visible(place < len(strips))
                if place < len(strips):
                    self._strip(axes, names if place == 0 else [""] * len(names), strips[place], small)
        return Picture(
            self.figure,
            sentence,
            "Bars: 8 of 10 simulated seasons, the same weather for all; the dark line: half are below, half above. "
            "No forecast.",
        )

    def _strip(self, axes: Any, names: Sequence[str], strip: Ranges, small: float) -> None:
        ends = [_plain(each) for each in (*strip.low, *strip.middle, *strip.high) if each is not None]
        least, most = (min(ends), max(ends)) if ends else (0.0, 1.0)
        days = any(isinstance(each, date) for each in (*strip.low, *strip.middle, *strip.high))
        if not days:
            least = min(least, 0.0)
        spare = 0.08 * (most - least) or 1.0
        left, right = (least - spare if days else least), most + spare
        for row, (low, middle, high, words) in enumerate(
            zip(strip.low, strip.middle, strip.high, strip.words, strict=True)
        ):
            if low is not None:
                start, end = _plain(low), right if high is None else _plain(high)
                wide = max(end - start, 0.01 * (right - left))
                axes.barh(row, wide, left=start, height=0.36, facecolor=BAND, edgecolor=BLUE, lw=1.0)
                if middle is not None:
                    axes.plot([_plain(middle)] * 2, [row - 0.18, row + 0.18], color=BLACK, lw=2.4)
            axes.text(left + 0.1 * spare, row - 0.24, words, fontsize=small, va="bottom")
        axes.set_title(strip.title, fontsize=1.1 * small, loc="left")
        axes.set_xlim(left, right)
        axes.set_ylim(len(names) - 0.5, -0.7)
        axes.set_yticks(range(len(names)), _wrapped(names), fontsize=small)
        axes.tick_params(axis="x", labelsize=small)
        axes.grid(visible=False, axis="y")
        if days:
            axes.xaxis_date()
            days_along(axes.xaxis, 2, 4)
        else:
            few_ticks(axes, y=False)


def _plain(value: Any) -> float:
    if isinstance(value, date):
        return float(np.datetime64(value, "D").astype(int))
    return float(value)


def _wrapped(names: Sequence[str]) -> list[str]:
    """Names that are no wider than the room beside the strips."""
    import textwrap

    return ["\n".join(textwrap.wrap(name, 17)) for name in names]
