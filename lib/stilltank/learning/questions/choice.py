"""Questions with a few options to choose from: each wrong option is a named slip, with its own explanation."""

import hashlib
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from ..codes import learner_code
from .draws import Drawn, Numbers, draw
from .wording import fill

_LETTERS = "ABCDEFGH"


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a choice question.

    Parameters
    ----------
    text : str
        What it says.
    why : str
        What is said to someone who chose it.
    slip : str, default ""
        The name of the likely mistake behind it; empty for the right option.

    Examples
    --------
    >>> Option("It doubles", "Twice the water holds twice the salt.").slip
    ''
    """

    text: str
    why: str
    slip: str = ""


@dataclass(frozen=True, eq=False, kw_only=True)
class ChoiceQuestion:
    """A question with options; the texts are templates, as in `Question`.

    Parameters
    ----------
    id : str
        The name of the question.
    chapter : str
        The number of its chapter, such as ``"01"``.
    text : str
        The question.
    options : sequence of Option
        One right option, and wrong ones that are likely mistakes.
    hint : str
        How to find out, without naming the right option.
    route : str
        The whole explanation: the second hint.
    draws : mapping of str to sequence of quantity, float or str
        The values that each number may take.
    work : callable
        Gives the numbers of the options by name, from those of the draw.
    sources : tuple of str, optional
        Addresses of the table entries that its numbers come from.

    Examples
    --------
    >>> from stilltank.chapters.bank import find
    >>> len(find("mixing-double-dose").options)
    4
    """

    id: str
    chapter: str
    text: str
    options: Sequence[Option]
    hint: str
    route: str
    draws: Mapping[str, Sequence[Drawn]]
    work: Callable[[Numbers], Mapping[str, object]]
    sources: tuple[str, ...] = ()

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

    def sound(self, numbers: Numbers) -> bool:
        """Return True if all options look different with these numbers.

        Parameters
        ----------
        numbers : Numbers
            The numbers of a draw.

        Returns
        -------
        bool
            Whether these numbers may be drawn.
        """
        values = {**numbers, **self.work(numbers)}
        return len({fill(option.text, values) for option in self.options}) == len(self.options)

    def ask(self, code: str) -> "AskedChoice":
        """Ask it with the numbers of a learner's code.

        Parameters
        ----------
        code : str
            Such as ``"7B-12"``.

        Returns
        -------
        AskedChoice
            The question with its numbers, and its options in the order of this code.

        Raises
        ------
        Unreadable
            There is no code, or what looks like a name.

        Examples
        --------
        >>> from stilltank.chapters.bank import find
        >>> list(find("mixing-double-dose").ask("A1").options)
        ['A', 'B', 'C', 'D']
        """
        code = learner_code(code)
        return AskedChoice(self, code, self.numbers(code))


@dataclass(frozen=True, eq=False)
class AskedChoice:
    """A choice question with the numbers and the order of one code; made by ``ChoiceQuestion.ask``.

    Parameters
    ----------
    question : ChoiceQuestion
        The question.
    code : str
        The learner's code.
    numbers : Numbers
        The numbers of this code.

    Examples
    --------
    >>> from stilltank.chapters.bank import ask
    >>> asked = ask("mixing-double-dose", "A1")
    >>> asked.right, asked.options["A"]
    ('C', 'Twice as much: 2.31 mS/cm')
    """

    question: ChoiceQuestion
    code: str
    numbers: Numbers

    @cached_property
    def _values(self) -> dict[str, Any]:
        return {**self.numbers, **self.question.work(self.numbers)}

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
        """The question as it is shown, without its options."""
        return self.words(self.question.text)

    @cached_property
    def _ordered(self) -> dict[str, Option]:
        def key(option: Option) -> bytes:
            return hashlib.sha256(f"{self.code}\n{self.question.id}\n{option.text}".encode()).digest()

        return dict(zip(_LETTERS, sorted(self.question.options, key=key), strict=False))

    @cached_property
    def options(self) -> dict[str, str]:
        """The text of each option, by its letter."""
        return {letter: self.words(each.text) for letter, each in self._ordered.items()}

    @property
    def right(self) -> str:
        """The letter of the right option: for keys, not for learners' pages."""
        return next(letter for letter, option in self._ordered.items() if not option.slip)

    @property
    def route(self) -> str:
        """The whole explanation."""
        return self.words(self.question.route)

    def option(self, typed: str) -> Option | None:
        """Return the option that is meant.

        Parameters
        ----------
        typed : str
            The letter of an option, or its whole text.

        Returns
        -------
        Option or None
            None where it is neither.

        Examples
        --------
        >>> from stilltank.chapters.bank import ask
        >>> asked = ask("mixing-double-dose", "A1")
        >>> asked.option("a").slip, asked.option("x") is None
        ('EC taken as proportional', True)
        """
        by_text = {words.casefold(): letter for letter, words in self.options.items()}
        letter = re.sub(r"[().:\s]", "", typed).upper()
        return self._ordered.get(by_text.get(typed.strip().casefold(), letter))

    def __str__(self) -> str:
        listed = "\n".join(f"  {letter}  {text}" for letter, text in self.options.items())
        return f"{self.text} [{self.code}]\n{listed}"
