"""Answer keys: what every question of a chapter answers for one code."""

from dataclasses import dataclass

from stilltank.learning.arguments import briefly
from stilltank.learning.codes import learner_code
from stilltank.learning.questions import Asked, AskedChoice
from stilltank.units import Problem, write_kind

from .bank import examples, questions, work_through

OPEN = (
    "This key is no secret: whoever has the workbook can print it, and a public repository means a public key. "
    "Mark the prediction, the units, the reasoning and the log rather than the final number."
)


@dataclass(frozen=True, slots=True)
class KeyLine:
    """One answer of a key.

    Parameters
    ----------
    id : str
        Which question, or which step of a worked example.
    answer : str
        The right answer.
    route : str
        The working, a line for each step.

    Examples
    --------
    >>> print(KeyLine("mixing-dose", "36 g", "mass of salt: 36 g."))
      mixing-dose: 36 g
        mass of salt: 36 g.
    """

    id: str
    answer: str
    route: str

    def __str__(self) -> str:
        way = "\n".join(f"    {line}" for line in self.route.splitlines())
        return f"  {self.id}: {self.answer}\n{way}"


def key(code: str, chapter: str | None = None) -> tuple[KeyLine, ...]:
    """Return the answers to all questions and worked examples, with the numbers of one code.

    Parameters
    ----------
    code : str
        Such as ``"7B-12"``.
    chapter : str, optional
        The number of one chapter, such as ``"01"``. All chapters when left out.

    Returns
    -------
    tuple of KeyLine
        In the order of the bank. The blanks of worked examples come after the questions.

    Raises
    ------
    Unreadable
        There is no code, or what looks like a name.
    Problem
        No question belongs to that chapter.

    Examples
    --------
    >>> print(key("7B-12", "01")[2])
      mixing-label-phosphorus: 7.86 %
        what the label gives: 18 % P2O5.
        part that is the element: 43.64 % of P2O5 is P.
        share of the element: 43.64 % of 18 % is 7.856 %.
    """
    code = learner_code(code)
    known = sorted({each.chapter for each in (*questions().values(), *examples().values())})
    if chapter is not None and (not isinstance(chapter, str) or chapter not in known):
        raise Problem(
            f"Chapter {briefly(chapter)} has no questions. Chapters with questions: {', '.join(known)}."
        )

    lines = []
    for question in questions().values():
        if chapter in (None, question.chapter):
            lines.append(_line(question.id, question.ask(code)))
    for example in examples().values():
        if chapter in (None, example.chapter):
            for stage in work_through(example, code):
                lines += [
                    _line(f"{example.id}, {stage.name}, {line.label}", line.asked)
                    for line in stage.lines
                    if line.asked
                ]
    return tuple(lines)


def _line(id: str, asked: Asked | AskedChoice) -> KeyLine:
    if isinstance(asked, AskedChoice):
        return KeyLine(id, f"{asked.right}  {asked.options[asked.right]}", asked.route)
    return KeyLine(id, write_kind(asked.right, asked.question.kind, "both"), asked.route)
