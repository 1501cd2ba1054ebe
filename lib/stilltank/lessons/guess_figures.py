"""A guess and its result on the same axes."""

from collections.abc import Sequence
from datetime import date
from typing import Any

import numpy as np
import pint

from stilltank.learning.predictions import Comparison
from stilltank.show.figures import (
    BLACK,
    BLUE,
    VERMILLION,
    Picture,
    days_along,
    house_style,
    new_figure,
    short_day,
)
from stilltank.units import Problem, Quantity, write

_GUESS, _RESULT = 1.0, 0.0  # the rows of the two on an axis without levels


class SketchSoFar:
    """A course as someone draws it, point by point, from a start that is known.

    Parameters
    ----------
    system : str, default "metric"
        "metric" or "US".

    Examples
    --------
    >>> start, points = ("2027-05-10", Q(25, "cm")), [("2027-05-17", Q(21, "cm"))]
    >>> SketchSoFar().show(start, points, Q(30, "cm")).sentence
    'It starts at 25 cm on 10 May. Your sketch: 21 cm on 17 May.'
    """

    def __init__(self, system: str = "metric"):
        self._system, self._unit = system, "cm" if system == "metric" else "in"
        with house_style():
            self.figure = new_figure(figsize=(7.2, 2.6))
            axes = self._axes = self.figure.add_axes((0.1, 0.2, 0.86, 0.76))
            axes.set_ylabel(f"level, {self._unit}")
            days_along(axes.xaxis, 3, 7)
            (self._guess,) = axes.plot([], [], color=VERMILLION, ls="--", marker="D", ms=8)
            (self._start,) = axes.plot([], [], color=BLUE, marker="o", ms=9, ls="none", clip_on=False)

    def show(
        self,
        start: tuple[str, pint.Quantity],
        points: Sequence[tuple[str, pint.Quantity]],
        top: pint.Quantity,
    ) -> Picture:
        """Draw the start, the points and the line through them.

        Parameters
        ----------
        start : tuple of str and quantity, length
            The first day and its level, which are known.
        points : sequence of tuple of str and quantity, length
            The days and the levels that are predicted.
        top : quantity, length
            The level up to which the axis reaches.

        Returns
        -------
        Picture
            The drawing, and a sentence that says what it shows.
        """
        days = np.array([day for day, _ in (start, *points)], dtype="datetime64[D]")
        levels = [level.m_as(self._unit) for _, level in (start, *points)]
        with house_style():
            self._guess.set_data(days, levels)
            self._start.set_data(days[:1], levels[:1])
            self._axes.set_xlim(days[0], days[-1] + np.timedelta64(2, "D"))
            self._axes.set_ylim(0, top.m_as(self._unit))
        said = ", ".join(f"{write(level, self._system)} on {short_day(day)}" for day, level in points)
        return Picture(
            self.figure,
            f"It starts at {write(start[1], self._system)} on {short_day(start[0])}. Your sketch: {said}.",
        )


class GuessAndResult:
    """What was predicted, with its range, and the result: a row each, or two lines for a sketch.

    Parameters
    ----------
    system : str, optional
        "metric" or "US"; the learner's own when left out.

    Examples
    --------
    >>> from stilltank.learning.predictions import Prediction, compare
    >>> drink = Prediction("03-drink", "03", "How much do they drink?", "volume", "3 L", Q(3, "L"))
    >>> GuessAndResult().show(compare(drink, Q(4, "L"))).sentence
    'How much do they drink? You predicted 3 L; the result is 4 L, 1 L more.'
    """

    def __init__(self, system: str | None = None):
        self._system = system
        with house_style():
            self.figure = new_figure(figsize=(7.2, 2.6))
            self._axes = self.figure.add_axes((0.15, 0.24, 0.8, 0.7))
            (self._range,) = self._axes.plot(
                [], [], color=VERMILLION, lw=5, alpha=0.45, marker="|", ms=16, mew=2.2, solid_capstyle="butt"
            )
            (self._guess,) = self._axes.plot([], [], color=VERMILLION, ls="--", marker="D", ms=8)
            (self._result,) = self._axes.plot([], [], color=BLUE, marker="o", ms=9)
            self._labels = [self._axes.text(0, 0, "", fontsize=10.5, color=BLACK) for _ in range(2)]

    def show(self, comparison: Comparison) -> Picture:
        """Draw a comparison.

        Parameters
        ----------
        comparison : Comparison
            Of a number, a day, or a sketch that was just compared.

        Returns
        -------
        Picture
            The drawing, and the sentence of the comparison.

        Raises
        ------
        Problem
            A direction or a choice, which has no axis; or a sketch read back without its course.
        """
        prediction = comparison.prediction
        if isinstance(prediction.value, str):
            raise Problem(f"A {prediction.kind} has no axis to draw on; its sentence says it all.")
        if prediction.days and comparison.course is None:
            raise Problem(
                f"Only the points of the sketch {prediction.id} were kept. Compare it again to draw it."
            )
        with house_style():
            if prediction.days:
                self._sketch(comparison)
            else:
                self._rows(comparison)
        return Picture(self.figure, f"{prediction.question} {comparison.sentence}")

    def _rows(self, comparison: Comparison) -> None:
        prediction, axes = comparison.prediction, self._axes
        guess, result = (self._plain(q, comparison) for q in (prediction.value, comparison.outcome))
        ends = (
            []
            if prediction.low is None
            else [self._plain(q, comparison) for q in (prediction.low, prediction.high)]
        )
        self._range.set_data(ends, [_GUESS] * len(ends))
        self._guess.set(linestyle="none")
        self._guess.set_data([guess], [_GUESS])
        self._result.set(linestyle="none", marker="o")
        self._result.set_data([result], [_RESULT])
        for label in self._labels:
            label.set_text("")
        self._units(comparison, axes.xaxis)
        low, high = min(guess, result, *ends), max(guess, result, *ends)
        gap = 0.15 * (high - low) or 0.1 * abs(high) or 1.0
        axes.set_xlim(low - gap, high + gap)
        axes.set_ylim(-0.6, 1.6)
        axes.set_yticks([_GUESS, _RESULT], ["your guess", "result"])
        axes.set_ylabel("")

    def _sketch(self, comparison: Comparison) -> None:
        import matplotlib.dates as dates

        assert comparison.course is not None
        prediction, axes = comparison.prediction, self._axes
        days, levels = dates.date2num(comparison.course[0]), comparison.course[1]
        asked = dates.date2num(prediction.days)
        inside = (days >= asked[0]) & (days <= asked[-1])
        course = self._plain(levels, comparison)
        points = self._plain(prediction.value, comparison)
        self._range.set_data([], [])
        self._guess.set(linestyle="--")
        self._guess.set_data(asked, points)
        self._result.set(linestyle="-", marker="None")
        self._result.set_data(days[inside], course[inside])
        days_along(axes.xaxis, 3, 7)
        self._units(comparison, axes.yaxis)
        both = np.concatenate([points, course[inside]])
        gap = 0.15 * float(np.ptp(both)) or 1.0
        axes.set_xlim(asked[0] - 1, asked[-1] + 0.25 * (asked[-1] - asked[0]))
        axes.set_ylim(float(both.min()) - gap, float(both.max()) + gap)
        ends = [(float(points[-1]), " your guess"), (float(course[inside][-1]), " result")]
        near = abs(ends[0][0] - ends[1][0]) < 0.1 * (float(np.ptp(both)) + 2 * gap)
        for number, (label, (place, words)) in enumerate(zip(self._labels, ends, strict=True)):
            above = place >= ends[1 - number][0] if place != ends[1 - number][0] else number == 0
            label.set(
                position=(asked[-1] + 0.015 * (asked[-1] - asked[0]), place),
                text=words,
                va=("bottom" if above else "top") if near else "center",
            )

    def _plain(self, value: Any, comparison: Comparison) -> Any:
        import matplotlib.dates as dates

        if isinstance(value, Quantity):
            return value.m_as(comparison.prediction.value.units)
        return float(dates.date2num(value)) if isinstance(value, date) else value

    def _units(self, comparison: Comparison, axis: Any) -> None:
        """Each tick says its unit, so that none can be mistaken."""
        import matplotlib.ticker as ticker

        prediction = comparison.prediction
        if not isinstance(prediction.value, Quantity):
            days_along(axis, 3, 7)
            return
        units, system = prediction.value.units, self._system or prediction.system
        axis.set_major_locator(ticker.MaxNLocator(5))
        axis.set_major_formatter(
            ticker.FuncFormatter(lambda tick, _: write(Quantity(float(tick), units), system))
        )
