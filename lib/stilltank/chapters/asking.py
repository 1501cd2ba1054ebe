"""What the pages of the chapters ask: questions, exercises, worked examples and predictions, by id."""

from collections.abc import Callable, Sequence

import ipywidgets as widgets
import pint

from stilltank import lessons
from stilltank.learning.predictions import Course, Outcome
from stilltank.lessons import AnswerBox, Asking, Learner, paragraph

from . import bank


def questions(learner: Learner, *ids: str) -> widgets.VBox:
    """Show questions of the bank, each with a box to answer in, feedback, and the working on request.

    Parameters
    ----------
    learner : Learner
        The box for the code; the numbers follow it.
    *ids : str
        The ids of the questions, such as ``"mixing-dose"``; they are numbered when there are several.

    Returns
    -------
    ipywidgets.VBox
        End a cell with it to show it.

    Raises
    ------
    Problem
        No question has one of these ids, or the first argument is not a learner.

    Examples
    --------
    >>> from stilltank.lessons import Learner
    >>> len(questions(Learner(), "mixing-dose", "mixing-one-bottle").children)
    4
    """
    asked = [bank.find(id) for id in ids]

    def make(code: str) -> list[widgets.Widget]:
        parts: list[widgets.Widget] = []
        for number, question in enumerate(asked, 1):
            one = bank.ask(question, code)
            lead = f"{number}. " if len(asked) > 1 else ""
            parts += [
                paragraph(f"{lead}{one.text}"),
                AnswerBox(learner, one, question.chapter, f"Answer {number}", question.id),
            ]
        return parts

    return Asking(learner, make)


def exercises(learner: Learner, chapter: str) -> widgets.VBox:
    """Show all exercises of a chapter, each with a box to answer in, feedback, and the working on request.

    Parameters
    ----------
    learner : Learner
        The box for the code; the numbers follow it.
    chapter : str
        The number of the chapter, such as ``"01"``.

    Returns
    -------
    ipywidgets.VBox
        End a cell with it to show it.

    Raises
    ------
    Problem
        The chapter has no exercises, or the first argument is not a learner.

    Examples
    --------
    >>> from stilltank.chapters import bank
    >>> from stilltank.lessons import Learner
    >>> shown = exercises(Learner(), "01").children
    >>> len(shown) == 2 * len(bank.exercises("01"))
    True
    """
    return questions(learner, *(each.id for each in bank.exercises(chapter)))


def worked(learner: Learner, id: str) -> widgets.VBox:
    """Show a worked example, then the same steps with more and more of them left blank.

    Parameters
    ----------
    learner : Learner
        The box for the code; the numbers follow it.
    id : str
        The id of the worked example, such as ``"mixing-worked-magnesium"``.

    Returns
    -------
    ipywidgets.VBox
        The whole example, then the stages with a box for each blank. End a cell with it to show it.

    Raises
    ------
    Problem
        No worked example has that id, or the first argument is not a learner.

    Examples
    --------
    >>> from stilltank.lessons import Learner
    >>> worked(Learner(), "mixing-worked-magnesium").children[0].value.count("The whole example")
    1
    """
    example = bank.find_example(id)

    def make(code: str) -> list[widgets.Widget]:
        parts: list[widgets.Widget] = []
        for stage in bank.work_through(example, code):
            parts.append(paragraph(f"{stage.name[0].upper()}{stage.name[1:]}. {stage.text}", bold=True))
            for number, line in enumerate(stage.lines, 1):
                parts.append(paragraph(f"Step {number}, {line.label}: {line.text}"))
                if line.asked:
                    key = f"{example.id}-{stage.number}-step-{number}"
                    parts.append(AnswerBox(learner, line.asked, example.chapter, f"Step {number}", key))
        return parts

    return Asking(learner, make)


def predict(
    learner: Learner, id: str, *, outcome: Callable[[], Outcome], result: Callable[[], object] | None = None
) -> widgets.VBox:
    """Show a prediction to make, and then the result beside it; until then the result stays covered.

    Parameters
    ----------
    learner : Learner
        The box for the code; the prediction is kept with the work of that code.
    id : str
        The id of the question to predict, such as ``"01-half-strength"``.
    outcome : callable
        Works out what really comes, once a prediction is made: a quantity, a date or a text, of the question's kind.
    result : callable, optional
        Makes a picture or a passage to show with it. When left out, guess and result are drawn side by side.

    Returns
    -------
    ipywidgets.VBox
        End a cell with it to show it.

    Raises
    ------
    Problem
        No question to predict has that id, the first argument is not a learner, or ``outcome`` is not a function.

    Examples
    --------
    >>> from stilltank.lessons import Learner
    >>> from stilltank.units import Q
    >>> shown = predict(Learner(), "01-half-strength", outcome=lambda: Q(1.15, "mS/cm"))
    >>> "No prediction yet" in shown.children[2].value
    True
    """
    return lessons.predict(learner, bank.find_prediction(id), outcome=outcome, result=result)


def sketch(
    learner: Learner,
    id: str,
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
    id : str
        The id of the question to predict, such as ``"03-level"``.
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
        No question to predict has that id, the first argument is not a learner, a day or the first level cannot be
        used, or ``outcome`` is not a function.

    Examples
    --------
    >>> from stilltank.lessons import Learner
    >>> from stilltank.units import Q
    >>> first, days = ("2027-05-10", Q(25, "cm")), ["2027-05-24", "2027-06-07"]
    >>> shown = sketch(Learner(), "03-level", start=first, days=days, outcome=lambda: (days, Q([23, 20], "cm")))
    >>> len(shown.children)
    2
    """
    return lessons.sketch(learner, bank.find_prediction(id), start=start, days=days, outcome=outcome)
