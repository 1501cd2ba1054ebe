"""Worked example, then fading: the same labelled steps, first all shown, then the last ones left blank."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import cast

import pint

from stilltank.learning.questions import (
    Answer,
    Asked,
    Drawn,
    Numbers,
    Question,
    Slip,
    draw,
    example_repeated,
    fill,
)

from ..units import Problem, Q
from .arguments import briefly
from .codes import learner_code

STAGES = (
    "the whole example",
    "the last step is yours",
    "the last two steps are yours",
    "all steps are yours",
)


@dataclass(frozen=True, eq=False, kw_only=True)
class Step:
    """One labelled step of a worked example, and how it is asked where it is left blank.

    Parameters
    ----------
    label : str
        The subgoal; the same in the example, the blanks and the hints.
    working : str
        The step done, as a template.
    prompt : str
        The step asked for, as a template.
    result : str
        The name of its answer in ``work``.
    kind : str
        The kind of answer, as in `Question`.
    unit : str
        The unit of the answer, as in `Question`.
    check : tuple of three str
        What to check when no slip fits, as in `Question`.
    slips : sequence of Slip, optional
        Likely mistakes.
    of : str, optional
        The element or substance that a concentration counts.
    whole : str, optional
        Which way whole days are safe, as in `Question`.
    varies : bool, default True
        True if its answer changes with the draw; False for a share read off the same label every time.

    Examples
    --------
    >>> from stilltank.chapters import bank
    >>> bank.examples()["mixing-worked-calcium-nitrate"].steps[0].label
    'amount wanted'
    """

    label: str
    working: str
    prompt: str
    result: str
    kind: str
    unit: str
    check: tuple[str, str, str]
    slips: Sequence[Slip] = ()
    of: str = ""
    whole: str = ""
    varies: bool = True


@dataclass(frozen=True, eq=False, kw_only=True)
class WorkedExample:
    """A problem done in labelled steps; the texts are templates, as in `Question`.

    Parameters
    ----------
    id : str
        The name of the example.
    chapter : str
        The number of its chapter, such as ``"01"``.
    title : str
        What the example is about.
    text : str
        The problem.
    shown : Numbers
        The numbers of the example shown whole, the same for everyone.
    draws : mapping of str to sequence of quantity, float or str
        The values that each number may take in the other stages.
    work : callable
        Gives all steps by name, from the numbers.
    steps : sequence of Step
        The steps, in order.
    tolerance : quantity, dimensionless, default 2 percent
        How far an answer may be off, as in `Question`.
    sources : tuple of str, optional
        Addresses of the table entries that its numbers come from.

    Examples
    --------
    >>> from stilltank.chapters import bank
    >>> example = bank.examples()["mixing-worked-calcium-nitrate"]
    >>> len(example.questions) == len(example.steps)
    True
    """

    id: str
    chapter: str
    title: str
    text: str
    shown: Numbers
    draws: Mapping[str, Sequence[Drawn]]
    work: Callable[[Numbers], Mapping[str, object]]
    steps: Sequence[Step]
    tolerance: pint.Quantity = field(default_factory=lambda: Q(2, "percent"))
    sources: tuple[str, ...] = ()

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """A question for each step, for where it is left blank."""
        return tuple(self._question(place, step) for place, step in enumerate(self.steps, 1))

    def _question(self, place: int, step: Step) -> Question:
        slips = list(step.slips)
        if step.varies:
            slips.append(example_repeated(lambda: cast("Answer", self.work(self.shown)[step.result])))
        return Question(
            id=f"{self.id}-step-{place}",
            chapter=self.chapter,
            text=step.prompt,
            draws=self.draws,
            work=self.work,
            kind=step.kind,
            unit=step.unit,
            slips=slips,
            check=step.check,
            steps=((step.label, step.working),),
            why=step.working,
            result=step.result,
            of=step.of,
            whole=step.whole,
            tolerance=self.tolerance,
            sources=self.sources,
        )

    @cached_property
    def _known(self) -> dict[tuple[int, ...], bool]:
        return {}

    def sound(self, numbers: Numbers) -> bool:
        """Return True if every step can be told from its slips with these numbers.

        Parameters
        ----------
        numbers : Numbers
            The numbers of a draw.

        Returns
        -------
        bool
            Whether these numbers may be drawn.
        """
        return all(question.sound(numbers) for question in self.questions)

    def stage(self, stage: int, code: str) -> "Stage":
        """Return one stage, with the numbers of a code.

        Parameters
        ----------
        stage : int
            0: all steps shown; 1 and 2: so many left blank; 3: all blank.
        code : str
            Such as ``"7B-12"``.

        Returns
        -------
        Stage
            The problem and its steps.

        Raises
        ------
        Unreadable
            There is no code, or what looks like a name.
        Problem
            There is no such stage.

        Examples
        --------
        >>> from stilltank.chapters import bank
        >>> example = bank.examples()["mixing-worked-calcium-nitrate"]
        >>> len(example.stage(0, "7B-12").blanks), len(example.stage(2, "7B-12").blanks)
        (0, 2)
        """
        code = learner_code(code)
        if not isinstance(stage, int) or stage not in range(len(STAGES)):
            raise Problem(
                f"A worked example has the stages 0 to {len(STAGES) - 1}; you gave {briefly(stage)}."
            )
        blanks = len(self.steps) if stage == len(STAGES) - 1 else stage
        numbers = (
            draw(code, f"{self.id}-{stage}", self.draws, self.sound, self._known) if stage else self.shown
        )
        return Stage(self, code, stage, numbers, blanks)


@dataclass(frozen=True, slots=True)
class Line:
    """One step as a stage shows it: done, or asked.

    Parameters
    ----------
    label : str
        The subgoal.
    text : str
        The step done, or the question.
    asked : Asked, optional
        The question; None where the step is shown done.

    Examples
    --------
    >>> Line("amount wanted", "75 mg/L times 60 L is 4.5 g of nitrogen.").asked is None
    True
    """

    label: str
    text: str
    asked: Asked | None = None


@dataclass(frozen=True, eq=False)
class Stage:
    """One stage of a worked example with the numbers of one code; made by ``WorkedExample.stage``.

    Parameters
    ----------
    example : WorkedExample
        The example.
    code : str
        The learner's code.
    number : int
        The stage, 0 to 3.
    numbers : Numbers
        The numbers of this code.
    blank : int
        How many of the last steps are left blank.

    Examples
    --------
    >>> from stilltank.chapters import bank
    >>> stage = bank.examples()["mixing-worked-calcium-nitrate"].stage(1, "7B-12")
    >>> stage.name, len(stage.blanks)
    ('the last step is yours', 1)
    """

    example: WorkedExample
    code: str
    number: int
    numbers: Numbers
    blank: int

    @property
    def name(self) -> str:
        """What the learner does in this stage."""
        return STAGES[self.number]

    @cached_property
    def text(self) -> str:
        """The problem."""
        return fill(self.example.text, {**self.numbers, **self.example.work(self.numbers)})

    @cached_property
    def lines(self) -> tuple[Line, ...]:
        """The steps in order; the last ``blank`` of them ask."""
        shown = len(self.example.steps) - self.blank
        found = []
        for place, (step, question) in enumerate(
            zip(self.example.steps, self.example.questions, strict=True)
        ):
            asked = Asked(question, self.code, self.numbers)
            if place < shown:
                found.append(Line(step.label, asked.words(step.working)))
            else:
                found.append(Line(step.label, asked.words(step.prompt), asked))
        return tuple(found)

    @property
    def blanks(self) -> tuple[Asked, ...]:
        """The steps left blank, each judged like any question: ``judge(stage.blanks[0], "2.9 g")``."""
        return tuple(line.asked for line in self.lines if line.asked)

    def __str__(self) -> str:
        width = max(len(line.label) for line in self.lines)
        rows = [f"  {line.label:{width}}  {'____ ' if line.asked else ''}{line.text}" for line in self.lines]
        code = f" [{self.code}]" if self.blank else ""
        return "\n".join([f"{self.text}{code}", *rows])
