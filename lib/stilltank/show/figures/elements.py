"""What the water brings and what the salts add, beside the target."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from .picture import BLACK, BLUE, Picture, house_style, new_figure

_WATER = "#9a9a9a"


class ElementBars:
    """One bar an element, as a share of its target: the water's part hatched, the salts' part plain.

    A share of the target, not mg/L, so that iron and nitrogen can be read on one axis; the mg/L stand beside.
    """

    def __init__(self):
        """Make the figure; the bars are drawn by ``show``."""
        with house_style():
            self.figure = new_figure(figsize=(7.4, 3.9))
            self._axes = self.figure.add_axes((0.07, 0.15, 0.6, 0.78))

    def show(
        self, targets: Mapping[str, Any], water: Mapping[str, Any], reached: Mapping[str, Any]
    ) -> Picture:
        """Draw a recipe.

        Parameters
        ----------
        targets, water, reached : mappings of element to quantity, mg/L
            Wanted; brought by the water; in the finished solution.

        Returns
        -------
        Picture
        """
        names = [name for name, target in targets.items() if target.m_as("mg/L") > 0]
        want = np.array([targets[name].m_as("mg/L") for name in names])
        got = np.array([reached[name].m_as("mg/L") if name in reached else 0.0 for name in names])
        tap = np.array([water[name].m_as("mg/L") if name in water else 0.0 for name in names])
        tap = np.minimum(tap, got)
        row = np.arange(len(names))[::-1]
        axes = self._axes
        with house_style():
            axes.clear()
            axes.grid(visible=False, axis="y")
            axes.barh(
                row, 100 * tap / want, color="white", edgecolor=_WATER, hatch="////", label="from the water"
            )
            axes.barh(
                row, 100 * (got - tap) / want, left=100 * tap / want, color=BLUE, label="from the salts"
            )
            axes.axvline(100, color=BLACK, lw=1.6, ls="--")
            axes.set_yticks(row, names)
            axes.set_xlim(0, max(130.0, float(np.max(100 * np.maximum(got, tap) / want)) * 1.05))
            axes.set_xlabel("percent of the target (dashed line)")
            axes.legend(loc="upper left", bbox_to_anchor=(1.02, 1.16), ncols=1, fontsize=10.5)
            for place, name, w, g in zip(row, names, want, got, strict=True):
                axes.text(
                    1.04,
                    place,
                    f"{name} {g:.3g} of {w:.3g} mg/L",
                    transform=axes.get_yaxis_transform(),
                    va="center",
                )
        off = [
            f"{n} {100 * g / w:.0f} %"
            for n, g, w in zip(names, got, want, strict=True)
            if abs(g / w - 1) > 0.1
        ]
        most = int(np.argmax(tap / want))
        verdict = (
            f"Off by more than 10 percent: {', '.join(off)}." if off else "All are within 10 percent of it."
        )
        share = f"most of all of {names[most]}, {100 * tap[most] / want[most]:.0f} percent of its target"
        brought = f"The water brings {share if tap[most] > 0 else 'nothing'}."
        sentence = f"How much of its target each element reaches. {verdict} {brought}"
        return Picture(self.figure, sentence)
