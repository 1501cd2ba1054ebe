"""What an answer gets back: its state, one or two plain sentences, the slips that fit, and a hint."""

import math
import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from stilltank.science.chemistry import element_share, molar_mass
from stilltank.units import Problem, Q, Quantity, Reading, Unclear, figure, kinds, write

from ..arguments import briefly, count, expect
from .answers import understood, worked_out
from .choice import AskedChoice
from .question import Asked, Question

ROUNDED = 2
"""So many tolerances away, an answer is put down to rounding on the way. Slips keep off by ``question.APART``."""

_FAR = 5
"""Farther off than so many tolerances, even a number of one figure is not close."""

_BLANK = re.compile(r"[\s.…?_\-–]*")
_NUMBER_AND_REST = re.compile(r"\s*([+-]?\d+(?:[.,]\d+)?)\s*(\D*)")
_IN_A_LITRE = r" ?(?:/|per) ?(?:l|lit(?:re|er)|m3|m³)$"
_CACO3 = re.compile(rf"(?:m?g{_IN_A_LITRE}|ppm$)", re.I), r"\g<0> as CaCO3"
_DEGREE_DAYS = re.compile(r"(?:degree[- ]days?|gdd)$", re.I), "{asked}"
_SETTLED = {  # a question names CaCO3, what is counted, or its scale, or says that a meq is a mmol of H+
    "alkalinity": _CACO3,
    "hardness": _CACO3,
    "degree-days": _DEGREE_DAYS,
    "charge": (re.compile(rf"mol(?={_IN_A_LITRE})", re.I), "eq"),
    "concentration": (re.compile(r"ppm$", re.I), "ppm {of}"),  # which is then said as mg in a litre of it
}
_FIGURES = re.compile(r"\d[\d., ]*")


class State(StrEnum):
    """The states of an answer, in the words for a list of results.

    Examples
    --------
    >>> State.BLANK.value
    'not answered yet'
    """

    BLANK = "not answered yet"
    UNREADABLE = "cannot be read"
    UNCLEAR = "two readings possible"
    RIGHT = "right"
    OTHER_UNIT = "right, in another unit"
    UNIT = "right number, unit missing or not fitting"
    ROUNDED = "close, rounded too early"
    SLIP = "a known slip"
    OTHER = "not yet"


@dataclass(frozen=True, slots=True)
class Feedback:
    """What is said about one answer; made by `judge`.

    Parameters
    ----------
    state : State
        The state of the answer.
    sentence : str
        One or two sentences for the learner.
    slips : tuple of str, optional
        The names of the likely mistakes that give this answer.
    hint : str, default ""
        What helps to go on.

    Examples
    --------
    >>> Feedback(State.RIGHT, "Right.").good, Feedback(State.BLANK, "Not answered yet.").good
    (True, False)
    """

    state: State
    sentence: str
    slips: tuple[str, ...] = ()
    hint: str = ""

    @property
    def good(self) -> bool:
        """True if the answer counts as right."""
        return self.state in (State.RIGHT, State.OTHER_UNIT)

    def __str__(self) -> str:
        return f"{self.sentence}\n{self.hint}".strip()


def is_blank(typed: object) -> bool:
    """True if nothing was answered yet: nothing, dots, a line, or Python's own three dots."""
    return typed is None or typed is ... or (isinstance(typed, str) and bool(_BLANK.fullmatch(typed)))


def judge(
    asked: Asked | AskedChoice, typed: object = None, attempt: int = 1, system: str | None = None
) -> Feedback:
    """Judge an answer to a question.

    Parameters
    ----------
    asked : Asked or AskedChoice
        The question, with the numbers of the learner.
    typed : str, quantity or number
        The answer: as typed, or worked out in code. Of a choice, a letter or the whole text of an option.
    attempt : int
        From the second on, the hint is the worked route.
    system : "US" or "metric", optional
        The system the learner has chosen: whose gallons and spoons they write.

    Returns
    -------
    Feedback
        The state of the answer and what is said about it. Nothing a learner types is refused.

    Raises
    ------
    Problem
        The first argument is no question that was asked, the attempt no whole number, or the system not known.

    Examples
    --------
    >>> from stilltank.chapters.bank import ask
    >>> asked = ask("mixing-label-phosphorus", "A1")
    >>> judge(asked, "").state.value
    'not answered yet'
    >>> judge(asked, asked.right).good
    True
    >>> judge(ask("mixing-double-dose", "A1"), "x").sentence
    'Type one letter: A, B, C or D.'
    """
    attempt = count(attempt, "An attempt is a whole number")
    if isinstance(asked, AskedChoice):
        return _choice(asked, typed, attempt)
    if system is not None and (not isinstance(system, str) or system not in ("metric", "US")):
        raise Problem(f'The system is "metric", "US" or left out; you gave {briefly(system)}.')
    expect(asked, Asked, "What is judged is a question with its numbers, such as ask(...) returns")
    return _number(asked, typed, attempt, system)


def _choice(asked: AskedChoice, typed: Any, attempt: int) -> Feedback:
    letters = list(asked.options)
    if is_blank(typed):
        return Feedback(State.BLANK, f"Not answered yet. Type one letter from A to {letters[-1]}.")
    option = asked.option(str(typed))
    if option is None:
        listed = f"{', '.join(letters[:-1])} or {letters[-1]}"
        return Feedback(State.UNREADABLE, f"Type one letter: {listed}.")
    why = asked.words(option.why)
    if not option.slip:
        return Feedback(State.RIGHT, f"Right. {why}")
    hint = asked.words(asked.question.hint) if attempt < 2 else asked.route
    return Feedback(State.SLIP, why, (option.slip,), hint)


def _number(asked: Asked, typed: Any, attempt: int, system: str | None) -> Feedback:
    question = asked.question
    kind = kinds()[question.kind]
    if is_blank(typed):
        return Feedback(State.BLANK, f"Not answered yet. Type {kind.called}, such as {asked.example}.")
    text, said = worked_out(_as_text(typed, question))
    right, span = asked.value, asked.span
    try:
        reading, taken = understood(asked, text, system)
    except Unclear as unclear:
        return Feedback(State.UNCLEAR, str(unclear))
    except Problem as problem:
        return _number_fits(text, right, span, question) or Feedback(State.UNREADABLE, str(problem))
    if reading.low is not None:
        return Feedback(State.UNREADABLE, f'"{reading.text}" is a range. Type one number with its unit.')
    try:
        value, wording = _as_asked(question, reading)
    except Problem as problem:
        return Feedback(State.UNIT, str(problem))
    said = " ".join(f"{each[:1].upper()}{each[1:]}." for each in (said, taken) if each)
    noted = "" if all("decimal point" in note for note in reading.assumed) else f" {reading}."
    noted += f" {said}" if said else ""
    if abs(value - right) <= span:
        why = asked.words(question.why)
        if wording:
            return Feedback(State.OTHER_UNIT, f"Right: {reading.text} is {wording}. {why}{noted}")
        return Feedback(State.RIGHT, f"Right. {why}{noted}")
    found = [slip for slip, wrong in asked.wrongs if abs(value - wrong) <= question.span_at(wrong)]
    found = list({slip.name: slip for slip in found}.values())
    names = tuple(slip.name for slip in found)
    if wording and abs(float(reading.quantity.magnitude) - right) <= span:
        return Feedback(
            State.UNIT, _other_unit(reading, kind.called), names, "" if attempt < 2 else asked.route
        )
    if found:
        first, *more = (slip.when for slip in found)
        said = f"{reading.text} is the number you get when {first}."
        said += "".join(f" It is also the number you get when {when}." for when in more)
        checks = " ".join(slip.check for slip in found)
        return Feedback(
            State.SLIP, said + noted, names, f"{checks} Then try again." if attempt < 2 else asked.route
        )
    if (
        question.whole
        and reading.quantity.units == Q(1, "day").units
        and value == _whole(right, question.whole)
    ):
        why = asked.words(question.why)
        exact = write(Q(right, question.unit))
        return Feedback(
            State.RIGHT, f"Right, in whole days on the safe side; the sum gives {exact}. {why}{noted}"
        )
    off = abs(value - right)
    if off <= ROUNDED * span or (off <= _FAR * span and _rounds_to(reading, question, right)):
        hint = "Work it out once more without rounding in between." if attempt < 2 else asked.route
        return Feedback(State.ROUNDED, "Close: keep one more figure until the end.", (), hint)
    checks = " ".join(asked.words(check) for check in question.check)
    return Feedback(
        State.OTHER,
        f"{reading.text} does not fit yet. Check the size, the unit and the direction."
        + (f" {reading}." if reading.assumed else ""),
        (),
        f"{checks} Then try again." if attempt < 2 else asked.route,
    )


def _whole(days: float, way: str) -> int:
    """Whole days on the safe side, ``way`` "down" or "up"; a rounding error is no day."""
    return math.floor(days + 1e-9) if way == "down" else math.ceil(days - 1e-9)


def _as_text(typed: Any, question: Question) -> str:
    """What was typed, with what the question itself has settled."""
    text = f"{typed:.10g~P}" if isinstance(typed, Quantity) else str(typed)
    settled = _SETTLED.get(question.kind)
    if not settled:
        return text
    asked = write(Q(3, question.unit)).partition(" ")[2]
    return settled[0].sub(
        settled[1].replace("{asked}", asked).replace("{of}", question.of).strip(), text.strip()
    )


def _number_fits(text: str, right: float, span: float, question: Question) -> Feedback | None:
    """The right number with no unit, or with one of another kind."""
    match = _NUMBER_AND_REST.fullmatch(text)
    if not match or abs(float(match[1].replace(",", ".")) - right) > span:
        return None
    called = kinds()[question.kind].called
    if match[2].strip():
        sentence = f"The number {match[1]} fits, but {match[2].strip()} does not: {called} is asked for. "
        return Feedback(State.UNIT, f"{sentence}Type the number with its unit.")
    return Feedback(State.UNIT, f"The number {match[1]} fits, and its unit is missing. Type both.")


def _other_unit(reading: Reading, called: str) -> str:
    number = figure(float(reading.quantity.magnitude), 6)
    return (
        f'The number {number} fits, but not with the unit in "{reading.text}". '
        f"Which unit belongs to {called} of this size?"
    )


def _as_asked(question: Question, reading: Reading) -> tuple[float, str]:
    """The value in the unit of the question, and how it is said in that unit where another was typed.

    Raises Problem, with the sentence for the learner, when it is the quantity of another substance.
    """
    quantity, asked, wanted = reading.quantity, Q(1, question.unit), question.of
    substance = reading.of or wanted
    if wanted and substance.endswith(f"-{wanted}"):  # NO3-N is counted as N
        substance = wanted
    if not quantity.is_compatible_with(asked):
        if not substance:
            raise Problem(
                f'"{reading.text}" is counted another way. Give {kinds()[question.kind].called} in {asked.units:~P}.'
            )
        quantity = quantity * molar_mass(substance)
    if wanted and substance != wanted:
        share = element_share(substance, wanted)
        if not share.magnitude:
            raise Problem(
                f'"{reading.text}" names {substance}, and {wanted} is asked for. Type it for {wanted}.'
            )
        quantity = quantity * share
    value = float(quantity.m_as(question.unit))
    if reading.quantity.units == asked.units and (substance == wanted or not wanted):
        return value, ""
    of = f" of {wanted}" if reading.of and wanted else ""
    return value, f"{write(Q(value, question.unit), digits=4)}{of}"


def _rounds_to(reading: Reading, question: Question, right: float) -> bool:
    """Whether the right answer, rounded to the figures that were typed, is what was typed."""
    typed = float(reading.quantity.magnitude)
    match = _FIGURES.search(reading.text)
    asked = Q(right, question.unit)
    if not match or not typed or not asked.is_compatible_with(reading.quantity):
        return False
    digits = len(re.sub(r"\D", "", match[0]).strip("0")) or 1
    return float(f"{asked.m_as(reading.quantity.units):.{digits - 1}e}") == typed
