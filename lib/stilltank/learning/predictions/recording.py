"""Reading what a learner predicts, and keeping it as it was said."""

import itertools
import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from stilltank.files import whole_characters
from stilltank.units import Problem, Unreadable, kinds, read_with_notes

from ..arguments import briefly, expect
from ..progress import Progress
from .stored import DIRECTIONS, Prediction, as_quantity, day_or_none, get, work_of


@dataclass(frozen=True)
class Recorded:
    """The answer to `record`: the stored prediction, if there is one, and a sentence for the learner.

    Parameters
    ----------
    prediction : Prediction or None
        What is kept; None when nothing was typed or it was not understood.
    sentence : str
        What the learner is told.

    Examples
    --------
    >>> Recorded(None, "No prediction yet. Type one, and the result opens.")
    No prediction yet. Type one, and the result opens.
    """

    prediction: Prediction | None
    sentence: str

    def __str__(self) -> str:
        return self.sentence

    __repr__ = __str__


@dataclass(frozen=True, kw_only=True)
class PredictionQuestion:
    """What a learner is asked to predict; a chapter names it in its ``PREDICTIONS``.

    Parameters
    ----------
    id : str
        Begins with the number of the chapter, such as ``"03-week-one"``.
    chapter : str
        The number of the chapter, such as ``"03"``.
    text : str
        The sentence the learner answers.
    kind : str
        A kind of ``units.read`` such as ``"volume"``; or ``"day"``, ``"direction"`` or ``"choice"``.
    choices : tuple of str
        What can be chosen, for the kind ``"choice"``.
    year : int, optional
        The year of a day that is typed without one.
    gallon : "US" or "imperial", optional
        Whose gallons and ounces the question is about, where that is known.

    Raises
    ------
    Problem
        The kind is not known, or there are fewer than two choices.

    Examples
    --------
    >>> PredictionQuestion(id="03-week-one", chapter="03", text="How much do they drink?", kind="volume").choices
    ()
    """

    id: str
    chapter: str
    text: str
    kind: str
    choices: tuple[str, ...] = ()
    year: int | None = None
    gallon: str | None = None

    def __post_init__(self) -> None:
        if not isinstance(self.choices, (tuple, list)) or not all(
            isinstance(each, str) and each.strip() for each in self.choices
        ):
            raise Problem(f"The choices of a prediction are texts; you gave {briefly(self.choices)}.")
        object.__setattr__(self, "choices", tuple(self.choices))
        if self.year is not None and not 1 <= expect(self.year, int, "A year is a whole number") <= 9999:
            raise Problem(f"A year is a whole number such as 2027; you gave {briefly(self.year)}.")
        if self.gallon is not None and (
            not isinstance(self.gallon, str) or self.gallon not in ("US", "imperial")
        ):
            raise Problem(f'A gallon is "US", "imperial" or left out; you gave {briefly(self.gallon)}.')
        if not all(isinstance(part, str) and part for part in (self.id, self.chapter, self.text)):
            raise Problem('A prediction needs an id, a chapter and a text, such as "01-half-strength".')
        if not isinstance(self.kind, str) or self.kind not in (*kinds(), "day", "direction", "choice"):
            raise Problem(
                f'A prediction knows no kind {briefly(self.kind)}. Use "day", "direction", "choice", or a kind of read.'
            )
        if self.kind == "choice" and len(set(self.choices)) < 2:
            raise Problem(f"The prediction {self.id} needs at least two choices.")


def record(
    progress: Progress,
    question: PredictionQuestion,
    typed: str | Sequence[tuple[str, str]] | None,
    *,
    system: str | None = None,
    on: date | None = None,
) -> Recorded:
    """Store a prediction and save it; one that is stored already is never rewritten.

    Parameters
    ----------
    progress : Progress
        The learner's work.
    question : PredictionQuestion
        What was asked.
    typed : str or sequence of (str, str) or None
        The prediction as typed; for a sketch its points, each a day and a level. Blank for none yet.
    system : "US" or "metric", optional
        The system the learner has chosen.
    on : date, optional
        Today, for the ledger.

    Returns
    -------
    Recorded
        Its ``prediction`` is None when nothing was typed or it was not understood. The sentence says so, and the
        notebook runs on.

    Raises
    ------
    Problem
        The file cannot be saved, or what stands in it cannot be used.

    Examples
    --------
    >>> progress = Progress()
    >>> drink = PredictionQuestion(id="03-week-one", chapter="03", text="How much is drunk?", kind="volume")
    >>> record(progress, drink, "2-4 L")
    You predicted 2 to 4 L. It is kept as it stands.
    >>> record(progress, drink, "9 L")
    You predicted 2 to 4 L, and that stands. The new text was not kept.
    """
    work_of(progress)
    day_or_none(on)
    if system is not None and (not isinstance(system, str) or system not in ("metric", "US")):
        raise Problem(f'The system is "metric", "US" or left out; you gave {briefly(system)}.')
    id = expect(question, PredictionQuestion, "What is predicted is a PredictionQuestion").id
    typed = _as_typed(typed)
    if id in progress.predictions:
        stored = get(progress, id)
        changed = not is_blank(typed) and as_text(typed) != stored.typed
        more = ", and that stands. The new text was not kept." if changed else ". It is kept as it stands."
        return Recorded(stored, f"You predicted {stored}{more}")
    if is_blank(typed):
        return Recorded(None, "No prediction yet. Type one, and the result opens.")
    try:
        guess = _read(typed, question, {"gallon": question.gallon, "system": system})
    except Problem as problem:
        return Recorded(None, str(problem))
    entry = {
        "chapter": question.chapter,
        "question": question.text,
        "kind": question.kind,
        "typed": whole_characters(as_text(typed)),
        **guess,
    }
    if question.choices:
        entry["choices"] = list(question.choices)
    if on is not None:
        entry["stated"] = on
    progress.predictions[id] = entry
    try:
        progress.save()
    except Problem:
        progress.predictions.pop(id, None)  # nothing stands that is not kept
        raise
    return Recorded(get(progress, id), f"You predicted {get(progress, id)}. It is kept as it stands.")


def _as_typed(typed: object) -> str | list[tuple[str, str]]:
    """What was typed as text, or the points of a sketch as pairs of text."""
    if typed is None or isinstance(typed, str):
        return typed or ""
    try:
        points = [(day, level) for day, level in typed]  # type: ignore[attr-defined]
    except (TypeError, ValueError):
        points = []
    if not points or not all(isinstance(part, str) for point in points for part in point):
        raise Problem(
            f'A prediction is a text, or for a sketch pairs such as ("2027-05-20", "24 cm"); you gave {briefly(typed)}.'
        )
    return points


def read_day(text: str, year: int | None = None) -> date:
    """Read a day: 2027-05-20, 20 May 2027 or May 20, 2027; with ``year``, also 20 May.

    Parameters
    ----------
    text : str
        The day as typed.
    year : int, optional
        The year of a day that is typed without one.

    Returns
    -------
    datetime.date
        The day.

    Raises
    ------
    Unreadable
        It is none of these. 5/6/2027 can mean two days, and which one is not guessed.

    Examples
    --------
    >>> read_day("20 May 2027"), read_day("May 20, 2027") == read_day("2027-05-20")
    (datetime.date(2027, 5, 20), True)
    >>> read_day("24 June", year=2027)
    datetime.date(2027, 6, 24)
    """
    if not isinstance(text, str):
        raise Unreadable(f"A day is a text such as 2027-05-20; you gave {briefly(text)}.")
    if year is not None:
        expect(year, int, "A year is a whole number")
    plain = re.sub(r"(?<=\d)(?:st|nd|rd|th)\b", "", " ".join(text.replace(",", " ").split()), flags=re.I)
    plain = re.sub(r"^the | of |\.(?= |$)", " ", plain, flags=re.I).strip()
    texts = [plain] if year is None else [plain, f"{plain} {year}"]
    for found, way in itertools.product(texts, ("%Y-%m-%d", "%d %B %Y", "%d %b %Y", "%B %d %Y", "%b %d %Y")):
        try:
            return datetime.strptime(" ".join(found.split()), way).date()
        except ValueError:
            continue
    raise Unreadable(f'"{text[:60]}" was not read as a day. Write it as 2027-05-20 or 20 May 2027.')


def is_blank(typed: str | Sequence[tuple[str, str]] | None) -> bool:
    """Whether nothing was typed, in any point of a sketch."""
    if typed is None or isinstance(typed, str):
        return not (typed or "").strip()
    return all(is_blank(part) for pair in typed for part in pair)


def as_text(typed: str | Sequence[tuple[str, str]]) -> str:
    """What was typed, in one line."""
    return typed if isinstance(typed, str) else "; ".join(f"{day}: {level}" for day, level in typed)


def _read(typed: Any, question: PredictionQuestion, writer: dict[str, Any]) -> dict[str, Any]:
    """The entries of the file for what was typed, in plain numbers, days and words."""
    kind, year = question.kind, question.year
    if not isinstance(typed, str):
        return _read_sketch(typed, kind, writer, year)
    if kind == "direction":
        word = " ".join(typed.lower().strip(" .").split())
        for direction, words in DIRECTIONS.items():
            if word in words:
                return {"value": direction}
        raise Unreadable(f'"{typed}" was not read as a direction. Type rises, falls or stays.')
    if kind == "choice":
        return {"value": _choice(typed, question.choices)}
    if kind == "day":
        ends = [read_day(part, year) for part in re.split(r"\s+(?:to|until|-)\s+|\s*–\s*", typed.strip())]
        if len(ends) > 2 or ends[-1] < ends[0]:
            raise Unreadable(
                f'"{typed}" was not read as a day or two. Write 2027-05-20, or 2027-05-18 to 2027-05-24.'
            )
        if len(ends) == 1:
            return {"value": ends[0]}
        return {"value": ends[0] + (ends[1] - ends[0]) // 2, "low": ends[0], "high": ends[1]}
    reading = read_with_notes(typed, kind, **writer)
    quantity = as_quantity(reading.quantity)
    found: dict[str, Any] = {"value": float(quantity.magnitude), "unit": str(quantity.units)}
    if reading.low is not None and reading.high is not None:
        limits = [float(as_quantity(end).m_as(quantity.units)) for end in (reading.low, reading.high)]
        found |= {"low": limits[0], "high": limits[1]}
    return found


def _read_sketch(typed: Any, kind: str, writer: dict[str, Any], year: int | None) -> dict[str, Any]:
    points = (
        sorted(
            (read_day(day, year), as_quantity(read_with_notes(level, kind, **writer).quantity))
            for day, level in typed
            if not is_blank([(day, level)])
        )
        if kind in kinds()
        else []
    )
    days = [day for day, _ in points]
    if len(points) < 2 or len(set(days)) < len(days):
        raise Unreadable(
            "A sketch needs at least two points, each on a day of its own, such as 2027-05-20: 24 cm."
        )
    unit = points[0][1].units
    return {"days": days, "value": [float(level.m_as(unit)) for _, level in points], "unit": str(unit)}


def _choice(typed: str, choices: tuple[str, ...]) -> str:
    word = " ".join(typed.split()).casefold().rstrip(".")
    for number, choice in enumerate(choices):
        if word in (choice.casefold().rstrip("."), chr(97 + number), str(number + 1)):
            return choice
    letters = "; ".join(f"{chr(97 + number)}: {choice}" for number, choice in enumerate(choices))
    raise Unreadable(f'"{typed}" is none of the choices. Type a letter: {letters}.')
