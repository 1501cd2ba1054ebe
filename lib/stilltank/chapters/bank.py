"""The bank of questions: what each chapter asks, by id, with a learner's own numbers."""

import difflib
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import TypeVar

from stilltank.learning.arguments import briefly
from stilltank.learning.predictions import PredictionQuestion
from stilltank.learning.questions import Asked, AskedChoice, ChoiceQuestion, Question
from stilltank.learning.worked import STAGES, Stage, WorkedExample
from stilltank.units import Problem

from . import flowering_schedules, mixing, ph, root_zones, season_plan, start_here, water_budget

CHAPTERS = (start_here, mixing, ph, water_budget, root_zones, flowering_schedules, season_plan)


T = TypeVar("T", bound=Question | ChoiceQuestion | WorkedExample | PredictionQuestion)


def _by_id(entries: Iterable[T]) -> Mapping[str, T]:
    found: dict[str, T] = {}
    for each in entries:
        if each.id in found:
            raise Problem(f"Two entries have the id {each.id!r}.")
        found[each.id] = each
    return MappingProxyType(found)


def questions() -> Mapping[str, Question | ChoiceQuestion]:
    """Return all questions of the bank.

    Returns
    -------
    mapping of str to Question or ChoiceQuestion
        By id, chapter by chapter.

    Examples
    --------
    >>> "mixing-dose" in questions()
    True
    """
    return _by_id(each for chapter in CHAPTERS for each in chapter.QUESTIONS)


def examples() -> Mapping[str, WorkedExample]:
    """Return all worked examples of the bank.

    Returns
    -------
    mapping of str to WorkedExample
        By id, chapter by chapter.

    Examples
    --------
    >>> "mixing-worked-magnesium" in examples()
    True
    """
    return _by_id(each for chapter in CHAPTERS for each in chapter.EXAMPLES)


def predictions() -> Mapping[str, PredictionQuestion]:
    """Return all questions to predict of the bank.

    Returns
    -------
    mapping of str to PredictionQuestion
        By id, chapter by chapter.

    Examples
    --------
    >>> "01-half-strength" in predictions()
    True
    """
    return _by_id(each for chapter in CHAPTERS for each in chapter.PREDICTIONS)


def exercises(chapter: str) -> tuple[Question | ChoiceQuestion, ...]:
    """Return the exercises of a chapter, in the order in which its page asks them.

    Parameters
    ----------
    chapter : str
        The number of the chapter, such as ``"01"``.

    Returns
    -------
    tuple of Question or ChoiceQuestion
        The entries of ``EXERCISES`` in the chapter's folder.

    Raises
    ------
    Problem
        No chapter with exercises has that number. The sentence lists those that have some.

    Examples
    --------
    >>> exercises("01")[0].id
    'mixing-element-from-salt'
    """
    found: dict[str, tuple[Question | ChoiceQuestion, ...]] = {
        each.EXERCISES[0].chapter: each.EXERCISES for each in CHAPTERS if each.EXERCISES
    }
    if not isinstance(chapter, str) or chapter not in found:
        raise Problem(
            f"Chapter {briefly(chapter)} has no exercises. Chapters with exercises: {', '.join(found)}."
        )
    return found[chapter]


def find(id: str) -> Question | ChoiceQuestion:
    """Find a question by its id.

    Parameters
    ----------
    id : str
        Such as ``"mixing-label-phosphorus"``.

    Returns
    -------
    Question or ChoiceQuestion
        The entry of the chapter.

    Raises
    ------
    Problem
        No question has that id. The sentence names near ones.

    Examples
    --------
    >>> find("mixing-label-phosphorus").chapter
    '01'
    """
    return _of(id, questions(), "question")


def find_example(id: str) -> WorkedExample:
    """Find a worked example by its id.

    Parameters
    ----------
    id : str
        Such as ``"mixing-worked-magnesium"``.

    Returns
    -------
    WorkedExample
        The entry of the chapter.

    Raises
    ------
    Problem
        No worked example has that id. The sentence names near ones.

    Examples
    --------
    >>> len(find_example("mixing-worked-magnesium").steps)
    4
    """
    return _of(id, examples(), "worked example")


def find_prediction(id: str) -> PredictionQuestion:
    """Find a question to predict by its id.

    Parameters
    ----------
    id : str
        Such as ``"01-half-strength"``.

    Returns
    -------
    PredictionQuestion
        The entry of the chapter.

    Raises
    ------
    Problem
        No question to predict has that id. The sentence names near ones.

    Examples
    --------
    >>> find_prediction("01-half-strength").kind
    'conductivity'
    """
    return _of(id, predictions(), "question to predict")


def _of(id: str, known: Mapping[str, T], called: str) -> T:
    if isinstance(id, str) and id in known:
        return known[id]
    near = difflib.get_close_matches(str(id)[:100], known, n=3, cutoff=0.3) or list(known)[:3]
    raise Problem(f"There is no {called} {briefly(id)}. Near ones: {', '.join(near)}.")


def ask(question: str | Question | ChoiceQuestion, code: str) -> Asked | AskedChoice:
    """Ask a question with the numbers of a learner's code.

    Parameters
    ----------
    question : str or Question or ChoiceQuestion
        The id of a question in the bank, or a question itself.
    code : str
        Such as ``"7B-12"``: the same code gets the same numbers on every computer. Never a name.

    Returns
    -------
    Asked or AskedChoice
        The question with its numbers. Print it to see it; ``learning.questions.judge`` judges an answer to it.

    Raises
    ------
    Problem
        No question has that id. The sentence names near ones.
    Unreadable
        There is no code, or what looks like a name.

    Examples
    --------
    >>> from stilltank.learning.questions import judge
    >>> asked = ask("mixing-label-phosphorus", "7B-12")
    >>> asked.numbers.label.m_as("percent"), round(asked.right.m_as("percent"), 2)
    (18.0, 7.86)
    >>> judge(asked, "18 %").slips
    ('oxide for element',)
    """
    known = question if isinstance(question, (Question, ChoiceQuestion)) else find(question)
    return known.ask(code)


def work_through(example: str | WorkedExample, code: str) -> tuple[Stage, ...]:
    """Return all stages of a worked example, with the numbers of a learner's code.

    Parameters
    ----------
    example : str or WorkedExample
        The id of a worked example in the bank, or an example itself.
    code : str
        Such as ``"7B-12"``.

    Returns
    -------
    tuple of Stage
        The whole example, the last step blank, the last two blank, all blank. The blanks are in ``.blanks``.

    Raises
    ------
    Problem
        No worked example has that id. The sentence names near ones.
    Unreadable
        There is no code, or what looks like a name.

    Examples
    --------
    >>> stages = work_through("mixing-worked-magnesium", "7B-12")
    >>> [len(stage.blanks) for stage in stages]
    [0, 1, 2, 4]
    """
    known = example if isinstance(example, WorkedExample) else find_example(example)
    return tuple(known.stage(stage, code) for stage in range(len(STAGES)))
