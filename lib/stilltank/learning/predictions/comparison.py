"""A prediction beside its outcome: one sentence that never scolds."""

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

import numpy as np

from stilltank.learning.arguments import briefly, expect
from stilltank.learning.progress import Progress
from stilltank.units import Problem, Q, Quantity

from .stored import (
    DIRECTIONS,
    WORDS,
    Outcome,
    Prediction,
    as_quantity,
    day_or_none,
    ends_text,
    get,
    size_text,
    written,
)

_SAME = 1e-9  # relative; what changing units may leave


@dataclass(frozen=True, eq=False)
class Comparison:
    """A prediction beside its outcome; made by `compare`.

    Parameters
    ----------
    prediction : Prediction
        What was predicted.
    outcome : quantity, date or str
        What really came; for a sketch the levels on its days.
    difference : quantity, int or None
        Outcome less prediction: a quantity, whole days, the median over a sketch's points, or None for words.
    inside : bool or None
        True if the stated range, the direction or the choice held; None where nothing was stated.
    sentence : str
        The comparison in words.
    course : tuple of days and levels, optional
        The whole course beside a sketch.

    Examples
    --------
    >>> size = Q(3, "L")
    >>> found = compare(Prediction("03-drink", "03", "How much do they drink?", "volume", "3 L", size), Q(5.5, "L"))
    >>> found.difference.magnitude, found.inside
    (2.5, None)
    """

    prediction: Prediction
    outcome: Any
    difference: Any
    inside: bool | None
    sentence: str
    course: tuple[Any, Any] | None = None

    def __str__(self) -> str:
        return self.sentence

    __repr__ = __str__


def compare(prediction: Prediction, outcome: Outcome, system: str | None = None) -> Comparison:
    """Put an outcome beside a prediction and say in one sentence how they differ.

    Parameters
    ----------
    prediction : Prediction
        What was predicted.
    outcome : quantity, float, date, str or tuple
        What really came, of the same kind; a plain number where there is no unit. For a sketch days and levels that
        cover its days; between two days a straight line is taken.
    system : "metric" or "US", optional
        The learner's own when left out.

    Returns
    -------
    Comparison
        Both, the difference, and a sentence.

    Raises
    ------
    Problem
        The outcome is of another kind, not one finite number, or does not cover the sketch's days.

    Examples
    --------
    >>> litres = [Q(size, "L") for size in (3, 2, 4)]
    >>> compare(Prediction("03-drink", "03", "How much do they drink?", "volume", "2-4 L", *litres), Q(5.5, "L"))
    You predicted 2 to 4 L; the result is 5.5 L, 2.5 L more than the middle of your range and outside it.
    """
    expect(prediction, Prediction, "What is compared is a stored prediction, such as get(...) returns")
    if system is not None and (not isinstance(system, str) or system not in ("metric", "US")):
        raise Problem(f'The system is "metric", "US" or left out; you gave {briefly(system)}.')
    if prediction.days:
        return _compare_sketch(prediction, outcome, system or prediction.system)
    result = _outcome(prediction, outcome)
    if isinstance(result, str):
        same = result == prediction.value
        end = "and so it is" if same else f'the result is "{result}"'
        sentence = f'You predicted "{prediction.value}"{"," if same else ";"} {end}.'
        return Comparison(prediction, result, None, same, sentence)
    difference = result - prediction.value
    apart = difference.days if isinstance(difference, timedelta) else float(difference.magnitude)
    inside = None if prediction.low is None else _between(prediction.low, result, prediction.high)
    system = system or prediction.system
    shown, guess = written(result, prediction, system), written(prediction.value, prediction, system)
    if shown == guess or not apart:
        how = "the same"
    else:
        word = WORDS.get(prediction.kind, ("higher", "lower"))[apart < 0]
        how = f"{size_text(difference, system)} {word}"
    if inside is None:
        sentence = f"You predicted {guess}; the result is {shown}, {how}."
    else:
        than = " as" if how == "the same" else " than"
        place = "inside" if inside else "outside"
        sentence = (
            f"You predicted {ends_text(prediction, system)}; the result is {shown}, {how}{than} "
            f"the middle of your range and {place} it."
        )
    return Comparison(
        prediction, result, apart if isinstance(difference, timedelta) else difference, inside, sentence
    )


def close(progress: Progress, id: str, outcome: Outcome, *, on: date | None = None) -> Comparison:
    """Give a prediction its outcome, once, and save; the ledger counts it from then on.

    An outcome that is stored already is not rewritten; the comparison is with the outcome given.

    Parameters
    ----------
    progress : Progress
        The learner's work.
    id : str
        Such as ``"03-week-one"``.
    outcome : quantity, float, date, str or tuple
        What really came, as in ``compare``.
    on : date, optional
        Today, for the ledger.

    Returns
    -------
    Comparison
        Prediction and outcome, the difference, and a sentence.

    Raises
    ------
    Problem
        There is no such prediction, the outcome does not fit it, or the file cannot be saved.

    Examples
    --------
    >>> from stilltank.learning.predictions import PredictionQuestion, record
    >>> progress = Progress()
    >>> drink = PredictionQuestion(id="03-drink", chapter="03", text="How much do they drink?", kind="volume")
    >>> _ = record(progress, drink, "2-4 L")
    >>> close(progress, "03-drink", Q(5.5, "L"))
    You predicted 2 to 4 L; the result is 5.5 L, 2.5 L more than the middle of your range and outside it.
    """
    day_or_none(on)
    comparison = compare(get(progress, id), outcome)
    entry = progress.predictions[id]
    if "outcome" not in entry:
        result = comparison.outcome
        entry["outcome"] = _plain(result.magnitude) if isinstance(result, Quantity) else result
        if on is not None:
            entry["closed"] = on
        try:
            progress.save()
        except Problem:
            entry.pop("outcome", None)  # it is given again, and saved, the next time
            entry.pop("closed", None)
            raise
    return comparison


def _plain(magnitude: Any) -> Any:
    """Numbers for the file, without the last digits that changing units leaves."""
    plain = np.asarray(magnitude).tolist()
    return [float(f"{one:.12g}") for one in plain] if isinstance(plain, list) else float(f"{plain:.12g}")


def _outcome(prediction: Prediction, outcome: Any) -> Any:
    """The outcome as the prediction's own kind, in its unit."""
    guess = prediction.value
    if isinstance(guess, str):
        allowed = prediction.choices if prediction.kind == "choice" else tuple(DIRECTIONS)
        if not isinstance(outcome, str) or outcome not in allowed:
            raise Problem(
                f"The outcome of {prediction.id} is one of {', '.join(allowed)}; not {briefly(outcome)}."
            )
        return outcome
    if isinstance(guess, date):
        if isinstance(outcome, np.datetime64):
            outcome = outcome.astype("datetime64[D]").astype(date)
        if isinstance(outcome, datetime):
            outcome = outcome.date()
        if not isinstance(outcome, date):
            raise Problem(f"The outcome of {prediction.id} is a day; not {briefly(outcome)}.")
        return outcome
    return _in_unit(prediction, outcome, 0)


def _in_unit(prediction: Prediction, outcome: Any, dimensions: int) -> Any:
    unit = prediction.value.units
    if not isinstance(outcome, Quantity) and unit != Q(1, "dimensionless").units:
        raise Problem(f"The outcome of {prediction.id} needs a unit; {briefly(outcome)} has none.")
    try:
        plain = np.asarray(as_quantity(outcome).m_as(unit), dtype=float)
    except Exception as error:
        said = f"a value in {unit}" if str(unit) != "dimensionless" else "a number"
        raise Problem(f"The outcome of {prediction.id} is not {said}; it is {briefly(outcome)}.") from error
    if plain.ndim != dimensions or not np.all(np.isfinite(plain)):
        raise Problem(
            f"The outcome of {prediction.id} must be {'numbers' if dimensions else 'one number'}, all known."
        )
    return Q(plain if dimensions else float(plain), str(unit))


def _compare_sketch(prediction: Prediction, outcome: Any, system: str) -> Comparison:
    try:
        days, levels = outcome
        days = np.asarray(days, dtype="datetime64[D]")
    except (TypeError, ValueError):
        raise Problem(
            f"The outcome of the sketch {prediction.id} is a pair: days, and levels with a unit."
        ) from None
    levels = _in_unit(prediction, levels, 1)
    asked = np.asarray(prediction.days, dtype="datetime64[D]")
    if days.ndim != 1 or days.size != levels.size or np.any(np.diff(days) <= np.timedelta64(0, "D")):
        raise Problem(
            f"The outcome of the sketch {prediction.id} needs one level a day, in the order of the days."
        )
    if not days.size or asked[0] < days[0] or asked[-1] > days[-1]:
        raise Problem(f"The result does not reach over all days of the sketch {prediction.id}.")
    at = np.interp(asked.astype(float), days.astype(float), levels.magnitude)
    return _sketch_sentence(prediction, Q(at, str(levels.units)), system, (days, levels))


def _sketch_sentence(
    prediction: Prediction, result: Any, system: str, course: tuple[Any, Any] | None
) -> Comparison:
    off = result - prediction.value
    middle = Quantity(float(np.median(off.magnitude)), off.units)
    most = int(np.argmax(np.abs(off.magnitude)))
    higher, lower = WORDS.get(prediction.kind, ("higher", "lower"))
    count = f"your {len(prediction.days)} points"
    if np.all(np.abs(off.magnitude) <= _SAME * np.abs(result.magnitude)):
        sentence = f"The result runs through {count}."
    else:
        word = higher if off.magnitude[most] > 0 else lower
        sentence = (
            f"The result stays within {size_text(off[most], system)} of {count}; it is furthest off on "
            f"{written(prediction.days[most], prediction)}, where it is {word}."
        )
    return Comparison(prediction, result, middle, None, sentence, course)


def again(prediction: Prediction) -> Comparison:
    """The comparison with the stored outcome."""
    if prediction.days:
        return _sketch_sentence(prediction, prediction.outcome, prediction.system, None)
    return compare(prediction, prediction.outcome)


def _between(low: Any, value: Any, high: Any) -> bool:
    if isinstance(value, date):
        return bool(low <= value <= high)
    least, plain, most = (float(one.m_as(value.units)) for one in (low, value, high))
    return least <= plain <= most or any(math.isclose(plain, end, rel_tol=_SAME) for end in (least, most))
