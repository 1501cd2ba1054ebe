"""A prediction as it is kept, and in words."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, cast

import numpy as np
import pint

from stilltank.units import Problem, Q, Quantity, kinds, write, write_range

from ..arguments import briefly, expect
from ..progress import Progress

Value = pint.Quantity | date | str
"""What is predicted: a quantity (a pH or a count without unit), a day, or words."""
Course = tuple[Sequence[str] | np.ndarray, pint.Quantity]
"""Days, and a level for each."""
Outcome = Value | float | np.datetime64 | Course
"""What really came."""

DIRECTIONS = {
    "rises": ("rises", "rise", "up", "increases", "increase", "goes up", "gets higher", "more", "higher"),
    "falls": ("falls", "fall", "down", "decreases", "decrease", "goes down", "gets lower", "less", "lower"),
    "stays": ("stays", "stay", "same", "the same", "stays the same", "no change", "unchanged", "steady"),
}


WORDS = {  # beyond the guess, short of it; the rest are higher and lower
    "day": ("later", "earlier"),
    "time": ("longer", "shorter"),
    **dict.fromkeys(("volume", "mass", "amount", "charge", "count", "dose", "flow"), ("more", "less")),
}


@dataclass(frozen=True, eq=False)
class Prediction:
    """A stored prediction, and its outcome once there is one.

    Parameters
    ----------
    id, chapter, question : str
        Name, chapter and text, as in `PredictionQuestion`.
    kind : str
        A kind of ``units.read``, or ``"day"``, ``"direction"`` or ``"choice"``.
    typed : str
        The text as it was typed.
    value : quantity, date or str
        What was predicted; the middle of a range, an array for a sketch. A pH or a count has no unit.
    low, high : quantity or date, optional
        The ends of the range; None where none was given.
    days : tuple of date, optional
        The days of the points of a sketch.
    choices : tuple of str, optional
        What could be chosen.
    stated : date, optional
        The day on which it was made.
    outcome : quantity, date or str, optional
        What really came; None while the prediction is open.
    closed : date, optional
        The day on which the outcome was given.

    Examples
    --------
    >>> drink = Prediction("03-drink", "03", "How much do they drink?", "volume", "3 L", Q(3, "L"))
    >>> print(drink, drink.system)
    3 L metric
    """

    id: str
    chapter: str
    question: str
    kind: str
    typed: str
    value: Any
    low: Any = None
    high: Any = None
    days: tuple[date, ...] = ()
    choices: tuple[str, ...] = ()
    stated: date | None = None
    outcome: Any = None
    closed: date | None = None

    @property
    def system(self) -> str:
        """``"US"`` where the guess was typed in a US unit, else ``"metric"``."""
        if not isinstance(self.value, Quantity):
            return "metric"
        one = Quantity(1.0, self.value.units)
        whole = [write(one, system).startswith("1 ") for system in ("metric", "US")]
        return "US" if whole == [False, True] else "metric"

    def __str__(self) -> str:
        if self.days:
            return ", ".join(
                f"{written(level, self)} on {written(day, self)}"
                for day, level in zip(self.days, self.value, strict=True)
            )
        return written(self.value, self) if self.low is None else ends_text(self)


def get(progress: Progress, id: str) -> Prediction:
    """Return a stored prediction.

    Parameters
    ----------
    progress : Progress
        The learner's work.
    id : str
        Such as ``"03-week-one"``.

    Returns
    -------
    Prediction
        The prediction, with its outcome once there is one.

    Raises
    ------
    Problem
        There is none, or the file was changed by hand so that it cannot be used.

    Examples
    --------
    >>> from stilltank.learning.predictions import PredictionQuestion, record
    >>> progress = Progress()
    >>> drink = PredictionQuestion(id="03-drink", chapter="03", text="How much do they drink?", kind="volume")
    >>> _ = record(progress, drink, "2-4 L")
    >>> print(get(progress, "03-drink"))
    2 to 4 L
    """
    work_of(progress)
    if not isinstance(id, str) or id not in progress.predictions:
        raise Problem(f"There is no prediction {briefly(id)} yet.")
    entry = progress.predictions[id]
    try:
        kind, unit = entry["kind"], entry.get("unit")
        days, choices = (tuple(_listed(entry, key)) for key in ("days", "choices"))
        if not isinstance(kind, str) or kind not in (*kinds(), "day", "direction", "choice"):
            raise Problem(f"its kind {briefly(kind)} is not known")
        if not all(isinstance(day, date) for day in days):
            raise Problem("its days are not all days")
        value, low, high, outcome = (
            None if entry.get(key) is None else with_unit(entry[key], unit, kind)
            for key in ("value", "low", "high", "outcome")
        )
        points = np.shape(value.magnitude) if isinstance(value, Quantity) else ()
        if value is None or (days and points != (len(days),)):
            raise Problem("its value is missing or has too few points")
    except Problem as problem:
        raise Problem(
            f"The prediction {id} in the progress file cannot be used: {str(problem).rstrip('.')}."
        ) from problem
    return Prediction(
        id,
        entry["chapter"],
        entry["question"],
        entry["kind"],
        entry["typed"],
        value,
        low,
        high,
        days,
        choices,
        entry.get("stated"),
        outcome,
        entry.get("closed"),
    )


def work_of(progress: object) -> Progress:
    """The work of a learner; refuses everything else."""
    return expect(progress, Progress, "Predictions are kept in a learner's work, such as learner.progress")


def day_or_none(on: object) -> date | None:
    """Today, where it is given; refuses everything that is no date."""
    return None if on is None else expect(on, date, "Today is a date")


def with_unit(plain: float | str | date | list[float], unit: str | None, kind: str) -> Value:
    """A plain value of the file with its unit; days and words as they are."""
    if kind == "day":
        if not isinstance(plain, date):
            raise Problem(f"{briefly(plain)} is no date")
        return plain
    if kind in ("direction", "choice"):
        if not isinstance(plain, str):
            raise Problem(f"{briefly(plain)} is no text")
        return plain
    if not isinstance(unit, str) or isinstance(plain, str):
        raise Problem("it needs a number and its unit")
    try:
        number = np.asarray(plain, dtype=float) if isinstance(plain, list) else float(cast("float", plain))
    except (TypeError, ValueError, OverflowError):
        raise Problem(f"{briefly(plain)} is no number that can be used") from None
    if not np.all(np.isfinite(number)):
        raise Problem(f"{briefly(plain)} is no number that can be used")
    return Q(number, unit)


def _listed(entry: Mapping[str, Any], key: str) -> list[Any]:
    found = entry.get(key, [])
    if not isinstance(found, list):
        raise Problem(f"its {key} are not a list")
    return found


def as_quantity(value: pint.Quantity | float) -> pint.Quantity:
    """A plain number, such as a pH, as a quantity without unit."""
    return value if isinstance(value, Quantity) else Q(value, "dimensionless")


def written(value: Value, prediction: Prediction, system: str | None = None) -> str:
    """A value of a prediction's kind in words, in the learner's own system where none is given."""
    if isinstance(value, Quantity):
        return write(value, system or prediction.system)
    return f"{value.day} {value:%B %Y}" if isinstance(value, date) else str(value)


def ends_text(prediction: Prediction, system: str | None = None) -> str:
    """The stated range in words."""
    low, high = prediction.low, prediction.high
    if isinstance(low, date):
        return f"{written(low, prediction)} to {written(high, prediction)}"
    return write_range(low, high, system or prediction.system)


def size_text(difference: pint.Quantity | timedelta, system: str) -> str:
    """The size of a difference in words, without its sign."""
    if isinstance(difference, timedelta):
        days = abs(difference.days)
        return f"{days} day{'' if days == 1 else 's'}"
    shown = write(cast("pint.Quantity", abs(difference)), system, digits=2)
    return shown.replace(" %", " percentage points")
