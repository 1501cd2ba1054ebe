"""A course to predict by drawing it: a slider and a box for each day, and the line through them."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets
import numpy as np
import pint

from stilltank.learning import predictions
from stilltank.learning.arguments import briefly
from stilltank.learning.predictions import Course, PredictionQuestion
from stilltank.show.figures import short_day
from stilltank.show.panels import SYSTEMS, Answer, Number, Row, Scale, Status, choice
from stilltank.units import Problem, Quantity

from .asking import Asking, Learner, check, paragraph
from .guess_figures import GuessAndResult, SketchSoFar


def sketch(
    learner: Learner,
    question: PredictionQuestion,
    *,
    start: tuple[str, pint.Quantity],
    days: Sequence[str],
    outcome: Callable[[], Course],
) -> widgets.VBox:
    """Show a course to predict, and then the real one beside it; until the sketch is kept, the result stays covered.

    Parameters
    ----------
    learner : Learner
        The box for the code; the sketch is kept with the work of that code.
    question : PredictionQuestion
        What is asked, of the kind ``"length"``.
    start : tuple of str and quantity
        The first day and its level, which are known. The sketch begins there as a level line, and goes no higher.
    days : sequence of str
        The days on which a level is guessed, at least two, such as ``"2027-05-24"``.
    outcome : callable
        Works out the real course, days and levels, once a sketch is kept.

    Returns
    -------
    ipywidgets.VBox
        End a cell with it to show it.

    Raises
    ------
    Problem
        The first argument is not a learner, the second not a question to predict, or ``outcome`` not a function.

    Examples
    --------
    >>> from stilltank.lessons import Learner
    >>> from stilltank.units import Q
    >>> level = PredictionQuestion(id="03-level", chapter="03", text="How does the level fall?", kind="length")
    >>> asked = sketch(Learner(), level, start=("2027-05-10", Q(25, "cm")), days=["2027-05-17", "2027-05-24"],
    ...                outcome=lambda: (["2027-05-10", "2027-05-24"], Q([25, 18], "cm")))
    >>> len(asked.children)
    2
    """
    check(question, outcome)
    _check_days(start, days)
    asked = _Asked(question, start, days, outcome)
    return Asking(learner, lambda _: [paragraph(question.text, bold=True), _Sketch(learner, asked)])


def _check_days(start: object, days: object) -> None:
    """Refuse days that are no days, and a first level that is no level."""
    if not isinstance(start, tuple) or len(start) != 2:
        raise Problem(
            f'A sketch starts from a day and a level, ("2027-05-10", Q(25, "cm")); you gave {briefly(start)}.'
        )
    if not isinstance(days, (list, tuple)) or len(days) < 2:
        raise Problem(f"A sketch asks for at least two days; you gave {briefly(days)}.")
    for day in (start[0], *days):
        predictions.read_day(day)
    level = start[1]
    if not isinstance(level, Quantity) or not level.check("[length]") or np.ndim(level.magnitude):
        raise Problem(
            f'The first level of a sketch is one length, such as Q(25, "cm"); you gave {briefly(level)}.'
        )
    if not 0 < level.magnitude < math.inf:
        raise Problem(f"The first level of a sketch lies above the floor; you gave {briefly(level)}.")


@dataclass(frozen=True)
class _Asked:
    question: PredictionQuestion
    start: tuple[str, pint.Quantity]
    days: Sequence[str]
    outcome: Callable[[], Course]


class _Sketch(widgets.VBox):
    """The rows, the line through them and the button that keeps it; afterwards guess and result."""

    def __init__(self, learner: Learner, asked: _Asked):
        super().__init__()
        self._learner, self._asked = learner, asked
        scales = _scale(asked.start[1], "cm", 0.5), _scale(asked.start[1], "inch", 0.25)
        self._top = asked.start[1] * 1.1
        self._system = choice("Numbers in", SYSTEMS, "metric")
        first = scales[0].high
        self._rows = [
            Row(
                Number(f"point {number}", f"Level on {short_day(day)}", first, *scales),
                self._draw,
            )
            for number, day in enumerate(asked.days, 1)
        ]
        self._drawings = {system: SketchSoFar(system) for _, system in SYSTEMS}
        self._answer, self._status, self._shown = Answer(), Status(), widgets.HTML()
        self._keep = widgets.Button(
            description="This is my sketch: show the result",
            layout=widgets.Layout(width="auto", align_self="flex-start"),
        )
        self._keep.on_click(lambda _: self._record())
        self._system.observe(self._switch, "value")
        if asked.question.id in learner.progress.predictions:
            self._uncover(f"You predicted {predictions.get(learner.progress, asked.question.id)}.")
        else:
            self.children = (self._system, *self._rows, self._answer, self._keep, self._status)
            self._draw()

    def _switch(self, change: Any) -> None:
        for row in self._rows:
            row.switch(change.new)
        self._draw()

    def _points(self) -> list[tuple[Any, Any]]:
        return [(day, row.value()) for day, row in zip(self._asked.days, self._rows, strict=True)]

    def _draw(self) -> None:
        try:
            drawing = self._drawings[self._system.value]
            self._answer.show(drawing.show(self._asked.start, self._points(), self._top))
            self._status.say("Move the points; nothing is kept before you press the button.")
        except Problem as problem:
            self._answer.refuse(problem)

    def _record(self) -> None:
        try:
            self._points()  # refuses what lies beyond a slider
            typed = [
                (day, f"{row.box.value:.10g} {row.number.scale(row.system).unit}")
                for day, row in zip(self._asked.days, self._rows, strict=True)
            ]
            said = predictions.record(self._learner.progress, self._asked.question, typed)
            if said.prediction is None:
                self._status.say(said.sentence)
            else:
                self._uncover("")
        except Problem as problem:
            self._status.complain(problem)

    def _uncover(self, first: str) -> None:
        covered = predictions.cover(
            lambda comparison: GuessAndResult().show(comparison),
            self._asked.question.id,
            self._learner.progress,
            outcome=self._asked.outcome,
        )
        self._status.say(f"{first} {covered.sentence}".strip())
        self._shown.value = predictions.bundle_of(covered.result).get("text/html", "")
        self.children = (self._status, self._shown)


def _scale(most: Any, unit: str, step: float) -> Scale:
    """From an empty tank up to a level, in whole steps."""
    return Scale(unit, 0, math.floor(float(most.m_as(unit)) / step + 1e-6) * step, step)
