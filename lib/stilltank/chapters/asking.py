"""What the pages of the chapters ask: questions, exercises and worked examples, with a learner's numbers."""

import ipywidgets as widgets

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
