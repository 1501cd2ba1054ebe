"""What the water brings and what the salts add, beside the target."""

from collections.abc import Mapping
from typing import Any

import matplotlib
import numpy as np
from matplotlib.ticker import MultipleLocator

from stilltank.units import Quantity

from ..given import of_kind
from .picture import BLACK, BLUE, VERMILLION, Picture, few_ticks, house_style, new_figure

_LOOKS: tuple[dict[str, Any], ...] = (
    {"color": "white", "edgecolor": "#6b6b6b", "hatch": "////"},
    {"color": BLUE, "edgecolor": BLUE},
    {"color": "white", "edgecolor": VERMILLION, "hatch": "xxx"},
)
_SMALLER = 0.875  # of the usual words


class ElementBars:
    """One bar an element, as a share of its target: what the water, the salts and the acid bring, end to end.

    A share of the target, not mg/L, so that iron and nitrogen can be read on one axis; the mg/L stand beside.

    Parameters
    ----------
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> target = {"N": Q(100, "mg/L"), "Ca": Q(80, "mg/L")}
    >>> salts = {"N": Q(98, "mg/L"), "Ca": Q(60, "mg/L")}
    >>> ElementBars().show(target, {"from the salts": salts}).sentence
    'How much of its target each element reaches. Off by more than 10 percent: Ca 75 %.'
    """

    def __init__(self, large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.8, 4.2))
            self._axes = self.figure.add_axes((0.07, 0.17, 0.56, 0.7))
            self._axes.set_xlabel("percent of the target (dashed line)")
            few_ticks(self._axes, x=False, y=False)
            self._axes.xaxis.set_major_locator(MultipleLocator(50))
            self._axes.yaxis.set_visible(
                False
            )  # names are plain words: eleven ticks would take longer to draw
            self._axes.grid(visible=False, axis="y")
            self._axes.axvline(100, color=BLACK, lw=1.6, ls="--")
        self._bars: dict[str, Any] = {}
        self._names: list[Any] = []
        self._words: list[Any] = []
        self._drawn: tuple[Any, ...] = ()

    def show(self, targets: Mapping[str, Quantity], parts: Mapping[str, Mapping[str, Quantity]]) -> Picture:
        """Draw a recipe.

        Parameters
        ----------
        targets : mapping of str to Quantity
            The concentration wanted of each element, mg of the element in a litre.
        parts : mapping of str to mapping
            What each part adds of each element, by words such as "from the water".

        Returns
        -------
        Picture
            With its sentence.

        Raises
        ------
        Problem
            These are no mappings.
        """
        of_kind(targets, Mapping, "Targets are a dictionary of elements and mg/L")  # type: ignore[type-abstract]
        of_kind(parts, Mapping, "Parts are a dictionary of names and elements")  # type: ignore[type-abstract]
        names = list(targets)
        want = np.array([targets[name].m_as("mg/L") for name in names])
        brought = {
            words: np.array([part[name].m_as("mg/L") for name in names]) for words, part in parts.items()
        }
        got = sum(brought.values(), np.zeros(len(names)))
        with house_style(self._large):
            if self._drawn != (names, list(brought)):
                self._prepare(names, list(brought))
            left = np.zeros(len(names))
            for words, part in brought.items():
                for bar, start, width in zip(self._bars[words], left, 100 * part / want, strict=True):
                    bar.set(x=start, width=width, visible=bool(width > 0))
                left = left + 100 * part / want
            self._axes.set_xlim(0, max(115.0, float(np.max(left)) * 1.05))
            for label, w, g in zip(self._words, want, got, strict=True):
                label.set_text(f"{g:.3g} of {w:.3g} mg/L")
        off = [
            f"{n} {100 * g / w:.0f} %"
            for n, g, w in zip(names, got, want, strict=True)
            if abs(g / w - 1) > 0.1
        ]
        verdict = (
            f"Off by more than 10 percent: {', '.join(off)}." if off else "All are within 10 percent of it."
        )
        shares = []
        for words, part in brought.items():
            most = int(np.argmax(part / want))
            if part[most] > 0 and words != "from the salts":
                shares.append(f"{100 * part[most] / want[most]:.0f} percent of {names[most]} comes {words}")
        sentence = f"How much of its target each element reaches. {verdict} {'; '.join(shares)}".rstrip()
        return Picture(self.figure, sentence if sentence.endswith(".") else f"{sentence}.")

    def _prepare(self, names: list[str], parts: list[str]) -> None:
        """Make a bar for each part of each element; ``show`` then only moves them."""
        axes, row = self._axes, np.arange(len(names))[::-1]
        for artist in [*self._names, *self._words, *(bar for bars in self._bars.values() for bar in bars)]:
            artist.remove()
        nothing = np.zeros(len(names))
        small = _SMALLER * matplotlib.rcParams["font.size"]
        self._bars = {
            words: axes.barh(row, nothing, label=words, lw=1, **look)
            for words, look in zip(parts, _LOOKS, strict=False)
        }
        axes.set_ylim(-0.7, len(names) - 0.3)
        axes.legend(
            handles=list(self._bars.values()),
            loc="lower left",
            bbox_to_anchor=(-0.02, 1.0),
            ncols=3,
            fontsize=small,
            columnspacing=1.2,
        )
        across = axes.get_yaxis_transform()
        self._names = [
            axes.text(-0.02, place, name, transform=across, va="center", ha="right")
            for place, name in zip(row, names, strict=True)
        ]
        self._words = [
            axes.text(1.03, place, "", transform=across, va="center", fontsize=small) for place in row
        ]
        self._drawn = (names, parts)
