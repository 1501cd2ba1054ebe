"""Questions: numbers of one's own from a code, answers read as people write them, feedback that explains."""

from .choice import AskedChoice, ChoiceQuestion, Option
from .draws import Numbers
from .engine import Asked, Question
from .feedback import Feedback, State

__all__ = [
    "Asked",
    "AskedChoice",
    "ChoiceQuestion",
    "Feedback",
    "Numbers",
    "Option",
    "Question",
    "State",
    "ask",
]


def ask(question: str | Question | ChoiceQuestion, code: str) -> Asked | AskedChoice:
    """Ask a question of the learner with this code.

    Parameters
    ----------
    question : str, or a question
        The id of a question in ``learning.bank``.
    code : str
        Such as ``"7B-12"``: the same code gets the same numbers on every computer. Never a name.

    Returns
    -------
    Asked, or AskedChoice where there are options
        ``.text``, ``.numbers``, ``.answer(typed, attempt=1)``; printing it shows it with its code.

    Raises
    ------
    Problem      no question has that id; the sentence names near ones
    Unreadable   no code, or what looks like a name

    Example
    -------
    >>> asked = ask("mixing-label-phosphorus", "7B-12")
    >>> asked.numbers.label.m_as("percent"), round(asked.right.m_as("percent"), 2)
    (18.0, 7.86)
    >>> asked.answer("18 %").slips
    ('oxide for element',)
    """
    from ..bank import find

    known: Question | ChoiceQuestion = find(question) if isinstance(question, str) else question
    return known.ask(code)
