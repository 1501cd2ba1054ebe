"""Figures of chapter 1: what a salt brings, what the meter shows, and when a concentrate turns cloudy."""

from collections.abc import Mapping
from typing import Any

import numpy as np
from matplotlib.ticker import FixedLocator, NullLocator, StrMethodFormatter

from stilltank.science.mixing import Clouding, MeterReading
from stilltank.show.figures import BLACK, BLUE, GREEN, VERMILLION, Picture, few_ticks, house_style, new_figure
from stilltank.units import Quantity


class ElementAmounts:
    """Concentrations of elements in a solution, as bars with their numbers.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: mg/L is the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> ElementAmounts().show({"N": Q(86, "mg/L"), "Ca": Q(106, "mg/L")}).sentence
    'In each litre, milligrams of the element: N 86, Ca 106.'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.4, 3.2))
            self._axes = self.figure.add_axes((0.13, 0.14, 0.84, 0.82))
            self._axes.grid(visible=False, axis="x")
            self._axes.set_ylabel("mg in each litre")
        self._names: list[str] = []
        self._bars: Any = ()
        self._words: list[Any] = []

    def show(self, elements: Mapping[str, Quantity]) -> Picture:
        """Draw the elements of a solution.

        Parameters
        ----------
        elements : mapping of str to Quantity
            The concentration of each element, mg of the element in a litre.

        Returns
        -------
        Picture
            With its sentence.
        """
        names = list(elements)
        amounts = np.array([elements[name].m_as("mg/L") for name in names])
        top = max(float(amounts.max(initial=0)), 1e-9) * 1.18
        with house_style(self._large):
            if self._names != names:
                self._prepare(names)
            self._axes.set_ylim(0, top)
            for bar, words, amount in zip(self._bars, self._words, amounts, strict=True):
                bar.set_height(amount)
                words.set(y=amount + top * 0.015, text=f"{amount:.3g}")
        listed = ", ".join(f"{name} {amount:.3g}" for name, amount in zip(names, amounts, strict=True))
        return Picture(self.figure, f"In each litre, milligrams of the element: {listed or 'nothing'}.")

    def _prepare(self, names: list[str]) -> None:
        """Make a bar for each element; ``show`` then only moves them."""
        for artist in (*self._bars, *self._words):
            artist.remove()
        row = np.arange(len(names))
        self._bars = self._axes.bar(row, np.zeros(len(names)), color=BLUE, width=0.6)
        self._words = [self._axes.text(place, 0, "", ha="center", va="bottom") for place in range(len(names))]
        self._axes.set_xticks(row, names)
        self._axes.set_xlim(-0.5, max(len(names), 1) - 0.5)
        self._names = names


class MeterCurve:
    """Conductivity against the share of the recipe, beside the straight line that people expect.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: mS/cm is the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.mixing import panels
    >>> MeterCurve().show(panels.meter_panel.result()).sentence
    'At 50 percent of the recipe the meter shows 1.15 mS/cm; ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.4, 3.6))
            axes = self._axes = self.figure.add_axes((0.12, 0.2, 0.58, 0.76))
            (self._line,) = axes.plot([], [], color=BLUE)
            (self._straight,) = axes.plot([], [], color=BLACK, ls="--", lw=1.6)
            (self._point,) = axes.plot(
                [], [], color=VERMILLION, marker="o", ms=11, mfc="white", mew=2.6, ls="none"
            )
            axes.set_xlabel("strength, percent of the recipe")
            axes.set_ylabel("conductivity, mS/cm")
            few_ticks(axes)
            self._labels = [axes.text(0, 0, "", va="center") for _ in range(2)]

    def show(self, result: MeterReading) -> Picture:
        """Draw a row of strengths with the one that is chosen.

        Parameters
        ----------
        result : MeterReading
            A row of shares of the recipe, with the one that is chosen.

        Returns
        -------
        Picture
            With its sentence.
        """
        share = 100 * np.asarray(result.strengths)
        reading, straight = result.readings.m_as("mS/cm"), result.in_proportion.m_as("mS/cm")
        chosen, at = 100 * result.chosen, result.reading.m_as("mS/cm")
        line = straight * share / chosen if chosen else np.zeros_like(share)
        with house_style(self._large):
            self._line.set_data(share, reading)
            self._straight.set_data(share, line)
            self._point.set_data([chosen], [at])
            top = max(float(reading.max()), float(line.max())) * 1.08
            self._axes.set_xlim(share[0], share[-1])
            self._axes.set_ylim(0, top)
            ends = sorted([(float(reading[-1]), "the meter"), (float(line[-1]), "in proportion")])
            apart = max(ends[1][0] - ends[0][0], top * 0.09)
            for label, (place, words) in zip(
                self._labels, (ends[0], (ends[0][0] + apart, ends[1][1])), strict=True
            ):
                label.set(position=(share[-1] * 1.02, place), text=words)
        gap = 100 * (at / straight - 1) if straight else 0.0
        side = "above" if gap > 0 else "below"
        sentence = (
            f"At {chosen:.0f} percent of the recipe the meter shows {at:.2f} mS/cm; in proportion it would be "
            f"{straight:.2f}. The reading lies {abs(gap):.0f} percent {side} that."
        )
        return Picture(self.figure, sentence, "Model error on recipes: about 5 percent at most.")


class CloudingCurve:
    """The saturation index of gypsum in a stock solution against its concentration.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: there is no unit on the axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.mixing import panels
    >>> CloudingCurve().show(panels.bottle_panel.result()).sentence
    'In one bottle, 100 times as strong as the tank, the saturation index is 1.4: ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.4, 3.6))
            axes = self._axes = self.figure.add_axes((0.13, 0.2, 0.55, 0.76))
            axes.set_xscale("log")
            axes.xaxis.set_major_locator(FixedLocator([1, 3, 10, 30, 100, 300]))
            axes.xaxis.set_minor_locator(NullLocator())
            axes.xaxis.set_major_formatter(StrMethodFormatter("{x:g}"))
            (self._line,) = axes.plot([], [], color=BLUE)
            self._limit = axes.axhline(0, color=BLACK, ls="--", lw=1.6)
            (self._point,) = axes.plot(
                [], [], color=VERMILLION, marker="o", ms=11, mfc="white", mew=2.6, ls="none"
            )
            axes.set_xlabel("times stronger than the tank")
            axes.set_ylabel("saturation index")
            few_ticks(axes, x=False)
            axes.text(
                1.02,
                0.0,
                "above: gypsum\nfalls out",
                transform=axes.get_yaxis_transform(),
                va="center",
            )
            self._words = axes.text(1.02, 0.9, "", transform=axes.transAxes, va="top", color=GREEN)

    def show(self, result: Clouding) -> Picture:
        """Draw a row of strengths with the one that is chosen.

        Parameters
        ----------
        result : Clouding
            A row of concentrations, with the one that is chosen.

        Returns
        -------
        Picture
            With its sentence.
        """
        two = result.bottles == 2
        with house_style(self._large):
            self._line.set_data(result.times, result.indices)
            self._line.set_linestyle(":" if two else "-")
            self._point.set_data([] if two else [result.chosen], [] if two else [result.index])
            self._words.set_text("two bottles:\nnothing can meet" if two else "")
            self._axes.set_xlim(float(result.times[0]), float(result.times[-1]))
            self._axes.set_ylim(float(np.min(result.indices)) - 0.3, float(np.max(result.indices)) + 0.3)
        if two:
            sentence = (
                "In two bottles calcium never meets sulfate undiluted, so no gypsum can form at any strength."
            )
        else:
            never, start = "at none of these strengths", result.from_times
            from_here = never if start is None else f"from about {start:.0f} times on"
            state = "gypsum falls out" if result.index > 0 else "it stays clear of gypsum"
            sentence = (
                f"In one bottle, {result.chosen:.0f} times as strong as the tank, the saturation index is "
                f"{result.index:.1f}: {state}. It turns cloudy {from_here}."
            )
        return Picture(
            self.figure,
            sentence,
            "Order of magnitude only above about 20 times: the activity model ends there.",
        )
