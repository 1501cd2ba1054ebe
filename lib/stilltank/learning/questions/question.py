"""Questions with numbers of one's own: what is asked, the right answer, and the slips that can happen."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, cast

import pint

from stilltank.learning.codes import learner_code
from stilltank.units import Problem, Q, Quantity, kinds, limits, write, write_kind

from .draws import Answer, Drawn, Numbers, draw
from .slips import Slip
from .wording import fill

APART = 3
"""A slip lies at least so many tolerances from the right answer, or the draw is refused."""


@dataclass(frozen=True, eq=False, kw_only=True)
class Question:
    """A question with a number for an answer.

    Text fields are templates: a name in braces stands for a number of the draw or of ``work``, written for people
    (``wording.fill``). A chapter adds one by an entry in its ``QUESTIONS``; no other code changes.

    Parameters
    ----------
    id : str
        The name of the question.
    chapter : str
        The number of its chapter, such as ``"01"``.
    text : str
        The question, in one paragraph.
    draws : mapping of str to sequence of quantity, float or str
        The values that each number may take, such as a school balance or a jug can show.
    work : callable
        Gives everything on the way and the answer, by name, from the numbers; calculated by the science floor.
    kind : str
        What is asked for, as for ``units.read``.
    unit : str
        The unit in which an answer is expected; others are accepted. ``"dimensionless"`` for a pH or a count.
    slips : sequence of Slip
        Likely mistakes.
    check : tuple of three str
        Size, unit, direction: what to check when no slip fits.
    steps : sequence of tuple of str
        The working: label of the subgoal, and what is worked out there.
    why : str
        Why the right answer is right, in one line.
    result : str, default "answer"
        The name under which ``work`` gives the answer.
    of : str, default ""
        The element or substance that a concentration counts, such as ``"N"``.
    gallon : str, optional
        "US" or "imperial", where the question is about gallons or ounces.
    tolerance : quantity, default 2 percent
        How far an answer may be off: relative where it is in percent, otherwise in the unit of the answer.
    whole : str, default ""
        Where whole days are safe: ``"down"`` for how long something lasts, ``"up"`` for how long it takes.
    between : tuple of two quantities, optional
        What the answer may lie between, ``{least}`` and ``{most}`` in the texts; draws outside are refused.
    sources : tuple of str, optional
        Addresses of the tables that its numbers come from, for ``tables.where_from``.

    Examples
    --------
    >>> half = Question(
    ...     id="example-half", chapter="01", text="How much is half of {volume}?", kind="volume", unit="L",
    ...     draws={"volume": (Q(20, "L"), Q(36, "L"))}, work=lambda numbers: {"answer": numbers.volume / 2}, slips=(),
    ...     check=("Less than before.", "A volume.", "Down."), steps=(("half", "{volume} by 2"),), why="Two halves.",
    ... )
    >>> half.answer(Numbers(volume=Q(36, "L"))).magnitude
    18.0
    """

    id: str
    chapter: str
    text: str
    draws: Mapping[str, Sequence[Drawn]]
    work: Callable[[Numbers], Mapping[str, object]]
    kind: str
    unit: str
    slips: Sequence[Slip]
    check: tuple[str, str, str]
    steps: Sequence[tuple[str, str]]
    why: str
    result: str = "answer"
    of: str = ""
    gallon: str | None = None
    tolerance: pint.Quantity = field(default_factory=lambda: Q(2, "percent"))
    whole: str = ""
    between: tuple[pint.Quantity, pint.Quantity] | None = None
    sources: tuple[str, ...] = ()

    def answer(self, numbers: Numbers) -> Answer:
        """Return the right answer.

        Parameters
        ----------
        numbers : Numbers
            The numbers of a draw.

        Returns
        -------
        quantity or float
            The answer; a plain number for a pH, a ratio or a count.
        """
        return cast("Answer", self.work(numbers)[self.result])

    def plain(self, value: Answer) -> float:
        """Return an answer as a plain number in the unit of the question.

        Parameters
        ----------
        value : quantity or float
            The answer.

        Returns
        -------
        float
            The number alone.
        """
        return float(value.m_as(self.unit)) if isinstance(value, Quantity) else float(value)

    @property
    def _relative(self) -> bool:
        return bool(self.tolerance.units == Q(1, "percent").units)

    def span_at(self, value: float) -> float:
        """Return how far from a value an answer still counts as that value.

        Parameters
        ----------
        value : float
            In the unit of the question.

        Returns
        -------
        float
            The distance, in the unit of the question.
        """
        if self._relative:
            return abs(value) * float(self.tolerance.m_as("dimensionless"))
        unit = "delta_degC" if self.unit == "degC" else self.unit
        return float(self.tolerance.m_as(unit))

    def wrongs(self, numbers: Numbers) -> list[tuple[Slip, float]]:
        """Find the wrong numbers that likely mistakes give here.

        Numbers that cannot be at all are left out, as no reader lets them pass.

        Parameters
        ----------
        numbers : Numbers
            The numbers of a draw.

        Returns
        -------
        list of tuple of Slip and float
            Each mistake with each number it gives, in the question's unit.

        Examples
        --------
        >>> from stilltank.chapters.bank import ask
        >>> asked = ask("mixing-label-phosphorus", "A1")
        >>> found = asked.question.wrongs(asked.numbers)
        >>> asked.value in [number for _, number in found]
        False
        """
        low, high = limits(self.kind, Q(1, self.unit).units)
        right = self.answer(numbers)
        found = []
        for slip in self.slips:
            try:
                wrongs = slip.wrong(numbers, lambda other: right if other is numbers else self.answer(other))
                values = [self.plain(value) for value in wrongs]
            except (Problem, ZeroDivisionError):  # the slip leads to nothing that can be
                continue
            found += [
                (slip, value) for value in values if math.isfinite(value) and low <= value <= high and value
            ]
        return found

    def sound(self, numbers: Numbers) -> bool:
        """Return True if the answer is possible, and no slip comes near it.

        Parameters
        ----------
        numbers : Numbers
            The numbers of a draw.

        Returns
        -------
        bool
            Whether these numbers may be drawn.
        """
        right = self.plain(self.answer(numbers))
        span = self.span_at(right)
        low, high = limits(self.kind, Q(1, self.unit).units)
        if self.between:
            low, high = (self.plain(end) for end in self.between)
        if not (math.isfinite(right) and low <= right <= high and right and span):
            return False
        return all(
            abs(wrong - right) > APART * max(span, self.span_at(wrong)) for _, wrong in self.wrongs(numbers)
        )

    def numbers(self, code: str) -> Numbers:
        """Return the numbers a code gets.

        Parameters
        ----------
        code : str
            In its one form, from ``learner_code``.

        Returns
        -------
        Numbers
            The same for this code on every computer.
        """
        return draw(code, self.id, self.draws, self.sound, self._known)

    @cached_property
    def _known(self) -> dict[tuple[int, ...], bool]:
        return {}

    @cached_property
    def allowed(self) -> str:
        """The tolerance in words."""
        return f"An answer within {write(self.tolerance)} counts as right."

    def ask(self, code: str) -> "Asked":
        """Ask it with the numbers of a learner's code.

        Parameters
        ----------
        code : str
            Such as ``"7B-12"``.

        Returns
        -------
        Asked
            The question with its numbers.

        Raises
        ------
        Unreadable
            There is no code, or what looks like a name.

        Examples
        --------
        >>> from stilltank.chapters.bank import find
        >>> find("mixing-label-phosphorus").ask("A1").code
        'A1'
        """
        code = learner_code(code)
        return Asked(self, code, self.numbers(code))


@dataclass(frozen=True, eq=False)
class Asked:
    """A question with the numbers of one code; made by ``Question.ask``.

    Parameters
    ----------
    question : Question
        The question.
    code : str
        The learner's code.
    numbers : Numbers
        The numbers of this code.

    Examples
    --------
    >>> from stilltank.chapters.bank import ask
    >>> ask("mixing-label-phosphorus", "A1").route.splitlines()[0]
    'what the label gives: 8 % P2O5.'
    """

    question: Question
    code: str
    numbers: Numbers

    @cached_property
    def _values(self) -> dict[str, Any]:
        ends = dict(zip(("least", "most"), self.question.between or (), strict=False))
        return {**ends, **self.numbers, **self.question.work(self.numbers)}

    def words(self, template: str) -> str:
        """Return a template with the numbers of this problem in it.

        Parameters
        ----------
        template : str
            With names in braces, as ``fill`` reads them.

        Returns
        -------
        str
            The text.
        """
        return fill(template, self._values)

    @cached_property
    def text(self) -> str:
        """The question as it is shown, with its tolerance."""
        return f"{self.words(self.question.text)} {self.question.allowed}"

    @property
    def example(self) -> str:
        """What an answer looks like, for the box it is typed in: in the unit that is asked for."""
        kind, unit = self.question.kind, self.question.unit
        some, known = Q(3, unit), kinds()[kind].example
        if self.question.gallon == "US":
            return write(some, "US")
        size, _, usual = write_kind(some, kind).partition(" ")
        as_asked = size == "3" and usual.partition(" ")[0] in known
        return known if as_asked else fill(f"{{some:{unit}}}", {"some": some})

    @property
    def right(self) -> Answer:
        """The right answer: for keys, not for learners' pages."""
        return cast("Answer", self._values[self.question.result])

    @cached_property
    def value(self) -> float:
        """The right answer as a plain number in the question's unit."""
        return self.question.plain(self.right)

    @cached_property
    def span(self) -> float:
        """How far from the right answer an answer still counts as right, in the question's unit."""
        return self.question.span_at(self.value)

    @cached_property
    def wrongs(self) -> list[tuple[Slip, float]]:
        """Each slip with each wrong number it gives here, in the question's unit."""
        return self.question.wrongs(self.numbers)

    @cached_property
    def route(self) -> str:
        """The worked route with these numbers, a line for each subgoal."""
        return "\n".join(f"{label}: {self.words(working)}" for label, working in self.question.steps)

    def __str__(self) -> str:
        return f"{self.text} [{self.code}]"
