"""A ladder of dilutions: what goes into each jug, how strong it then is, and who may handle it."""

from typing import Any

from stilltank.science.ph import SerialDilution
from stilltank.units import figure, write

from .picture import BLACK, BLUE, VERMILLION, Picture, house_style, new_figure

_ADULTS, _CLASS = "adults only", "for the class"


class DilutionRows:
    """From the bottle down, a bar for each vessel: water, put in first, and the share of the stronger liquid."""

    def __init__(self, system: str = "metric", large: bool = False):
        """Strengths and volumes are metric, as jugs and syringes show them. ``large``: for a projector."""
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.8, 3.9))
            axes = self._axes = self.figure.add_axes((0.25, 0.01, 0.31, 0.98))
            axes.set_axis_off()
            axes.set_xlim(0, 1)
        self._artists: list[Any] = []

    def show(self, ladder: SerialDilution) -> Picture:
        """Draw a ladder.

        Parameters
        ----------
        ladder : Ladder

        Returns
        -------
        Picture
        """
        steps, count = ladder.steps, len(ladder.steps)
        adults = [step.adult_only for step in steps] + [not ladder.for_learners]
        with house_style(self._large):
            for artist in self._artists:
                artist.remove()
            self._artists = []
            self._axes.set_ylim(count + 0.5, -0.5)  # the bottle stands on top
            self._row(0, _strength(steps[0].before), 1.0, f"the bottle:\n{ladder.acid.name}", adults[0])
            for row, step in enumerate(steps, start=1):
                share = float((step.take / step.made).m_as("dimensionless"))
                words = f"first {write(step.water)} of water,\nthen {write(step.take)} from above"
                self._row(row, _strength(step.strength), share, words, adults[row])
        poured = "; ".join(
            f"{write(step.take)} into {write(step.water)} gives {_strength(step.strength)}" for step in steps
        )
        strengths = [_strength(steps[0].before), *(_strength(step.strength) for step in steps)]
        strong = [strength for strength, adult in zip(strengths, adults, strict=True) if adult]
        who = f"For adults only: {', '.join(strong)}." if strong else "A class may handle all of it."
        return Picture(
            self.figure,
            f"From {ladder.acid.name} to {_strength(ladder.strength)} in {count} step{'s' * (count > 1)}, water first "
            f"each time: {poured}. {who}",
            steps[0].caution,
        )

    def _row(self, row: int, strength: str, share: float, words: str, adults: bool) -> None:
        axes = self._axes
        line: dict[str, Any] = {
            "clip_on": False,
            "lw": 3.2 if adults else 1.6,
            "edgecolor": VERMILLION if adults else BLUE,
        }
        stronger = axes.barh(row, share, left=1 - share, height=0.62, facecolor="none", hatch="///", **line)
        self._artists += [
            *axes.barh(row, 1, height=0.62, facecolor="none", **line),
            *stronger,
            axes.text(-0.05, row, f"{strength}\n{_ADULTS if adults else _CLASS}", va="center", ha="right"),
            axes.text(1.05, row, words, va="center", color=BLACK),
        ]
        if share < 1:
            self._artists.append(axes.text((1 - share) / 2, row, "water", va="center", ha="center"))


def _strength(strength: Any) -> str:
    return f"{figure(strength.m_as('mol/L'), 3)} mol/L"
