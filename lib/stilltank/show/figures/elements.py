"""What the water brings and what the salts add, beside the target."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from .picture import BLACK, BLUE, VERMILLION, Picture, house_style, new_figure

_LOOKS: tuple[dict[str, Any], ...] = (
    {"color": "white", "edgecolor": "#6b6b6b", "hatch": "////"},
    {"color": BLUE, "edgecolor": BLUE},
    {"color": "white", "edgecolor": VERMILLION, "hatch": "xxx"},
)


class ElementBars:
    """One bar an element, as a share of its target: what the water, the salts and the acid bring, end to end.

    A share of the target, not mg/L, so that iron and nitrogen can be read on one axis; the mg/L stand beside.
    """

    def __init__(self):
        """Make the figure; the bars are drawn by ``show``."""
        with house_style():
            self.figure = new_figure(figsize=(7.8, 4.2))
            self._axes = self.figure.add_axes((0.07, 0.15, 0.58, 0.72))

    def show(self, targets: Mapping[str, Any], parts: Mapping[str, Mapping[str, Any]]) -> Picture:
        """Draw a recipe.

        Parameters
        ----------
        targets : mapping of element to quantity, mg/L
        parts : mapping of words, such as "from the water", to what that part brings of each element

        Returns
        -------
        Picture
        """
        names = list(targets)
        want = np.array([targets[name].m_as("mg/L") for name in names])
        brought = {
            words: np.array([part[name].m_as("mg/L") for name in names]) for words, part in parts.items()
        }
        got = np.sum(list(brought.values()), axis=0)
        row = np.arange(len(names))[::-1]
        axes = self._axes
        with house_style():
            axes.clear()
            axes.grid(visible=False, axis="y")
            left = np.zeros(len(names))
            for (words, part), look in zip(brought.items(), _LOOKS, strict=False):
                some = part > 0
                axes.barh(row[some], (100 * part / want)[some], left=left[some], label=words, lw=1, **look)
                left = left + 100 * part / want
            axes.axvline(100, color=BLACK, lw=1.6, ls="--")
            axes.set_yticks(row, names)
            axes.set_xlim(0, max(115.0, float(np.max(left)) * 1.05))
            axes.set_xlabel("percent of the target (dashed line)")
            axes.legend(
                loc="lower left", bbox_to_anchor=(-0.02, 1.0), ncols=3, fontsize=10.5, columnspacing=1.2
            )
            across = axes.get_yaxis_transform()
            for place, w, g in zip(row, want, got, strict=True):
                axes.text(
                    1.03, place, f"{g:.3g} of {w:.3g} mg/L", transform=across, va="center", fontsize=10.5
                )
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
