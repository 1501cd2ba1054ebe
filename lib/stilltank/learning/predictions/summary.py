"""All predictions of a learner side by side."""

import html
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import numpy as np

from stilltank.units import Q, kinds, write

from ..progress import Progress
from .comparison import Comparison, again
from .stored import WORDS, Prediction, get, size_text, work_of, written

# Zero is chosen, not nothing, on these scales: an error in percent of the value says little.
NO_SHARE = ("pH", "temperature", "altitude", "day")


_MANY = 3  # guesses of one kind before a side is worth a word


@dataclass(frozen=True, eq=False)
class Ledger:
    """All predictions of a learner; made by `ledger`.

    Parameters
    ----------
    comparisons : tuple of Comparison
        The closed ones, in the order in which they were stored.
    still_open : tuple of Prediction
        Those that wait for their result.
    middle_error : quantity, percent, or None
        Half of the predictions in numbers missed by less, relative to the result; pH, temperatures and days left out.
    ranges_held, ranges_stated : int
        How many stated ranges held the result, and how many were stated.
    too_high, too_low : dict of str to int
        By kind, how many predictions were above and below their result.

    Examples
    --------
    >>> ledger(Progress()).sentences
    ('No predictions yet.',)
    """

    comparisons: tuple[Comparison, ...]
    still_open: tuple[Prediction, ...]
    middle_error: Any
    ranges_held: int
    ranges_stated: int
    too_high: dict[str, int]
    too_low: dict[str, int]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What the ledger shows, in short sentences."""
        total, waiting = len(self.comparisons) + len(self.still_open), len(self.still_open)
        if not total:
            return ("No predictions yet.",)
        found = [f"{total} prediction{'' if total == 1 else 's'}, {waiting} still open."]
        if self.middle_error is not None:
            found.append(
                f"Half of your guesses in numbers lay within {write(self.middle_error, digits=2)} of the result."
            )
        if self.ranges_stated:
            found.append(f"Your stated range held {self.ranges_held} of {self.ranges_stated} times.")
        for kind in sorted({*self.too_high, *self.too_low}):
            high, low = self.too_high.get(kind, 0), self.too_low.get(kind, 0)
            if max(high, low) >= _MANY and not min(high, low):
                found.append(
                    f"Each of your {high or low} guesses of {_called(kind)} was {'high' if high else 'low'}."
                )
        return tuple(found)

    @property
    def sentence(self) -> str:
        """The sentences in one line."""
        return " ".join(self.sentences)

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """A table as text: heading, then one row for each prediction."""
        rows: list[tuple[str, ...]] = [
            ("stated", "chapter", "question", "your guess", "result", "difference", "inside your range")
        ]
        for one in self.comparisons:
            held = {None: "", True: "yes", False: "no"}[
                one.inside if one.prediction.low is not None else None
            ]
            rows.append((*_head(one.prediction), *_result_cells(one), held))
        rows += [(*_head(prediction), "open", "", "") for prediction in self.still_open]
        return tuple(rows)

    def __str__(self) -> str:
        return "\n".join([self.sentence, *("  ".join(filter(None, row)) for row in self.rows[1:])])

    __repr__ = __str__

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        heading, *rows = self.rows
        head = "".join(f'<th scope="col">{html.escape(cell)}</th>' for cell in heading)
        body = "".join(f"<tr>{''.join(f'<td>{html.escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
        table = f"<table><caption>Predictions</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
        return {
            "text/html": f"<p>{html.escape(self.sentence)}</p>{table if rows else ''}",
            "text/plain": str(self),
        }


def ledger(progress: Progress) -> Ledger:
    """Sum up all predictions: how many, the middle error, how often the range held, which side guesses are on.

    Parameters
    ----------
    progress : Progress
        The learner's work.

    Returns
    -------
    Ledger
        The comparisons, and sentences that sum them up.

    Raises
    ------
    Problem
        A stored prediction cannot be used.

    Examples
    --------
    >>> ledger(Progress()).sentence
    'No predictions yet.'
    """
    work_of(progress)
    found = [get(progress, id) for id in progress.predictions]
    closed = [again(one) for one in found if one.outcome is not None]
    shares: list[float] = []
    high: dict[str, int] = {}
    low: dict[str, int] = {}
    for one in closed:
        kind = one.prediction.kind
        if one.difference is None:
            continue
        apart = one.difference if isinstance(one.difference, int) else float(one.difference.magnitude)
        if apart:
            side = low if apart > 0 else high
            side[kind] = side.get(kind, 0) + 1
        if kind not in NO_SHARE:
            guess, result = (
                np.asarray(q.magnitude, dtype=float) for q in (one.prediction.value, one.outcome)
            )
            known = result != 0
            if np.any(known):
                shares.append(float(np.median(np.abs((guess - result)[known] / result[known]))))
    ranged = [one.inside for one in closed if one.prediction.low is not None]
    return Ledger(
        tuple(closed),
        tuple(one for one in found if one.outcome is None),
        Q(100 * float(np.median(shares)), "percent") if shares else None,
        sum(map(bool, ranged)),
        len(ranged),
        high,
        low,
    )


def _called(kind: str) -> str:
    return "a day" if kind == "day" else kinds()[kind].called


def _head(prediction: Prediction) -> tuple[str, ...]:
    stated = "" if prediction.stated is None else written(prediction.stated, prediction)
    return stated, prediction.chapter, prediction.question, str(prediction)


def _result_cells(one: Comparison) -> tuple[str, str]:
    if isinstance(one.outcome, str):
        return one.outcome, "none" if one.inside else "another"
    if one.prediction.days:
        shown = ", ".join(written(level, one.prediction) for level in one.outcome)
    else:
        shown = written(one.outcome, one.prediction)
    apart = one.difference if isinstance(one.difference, int) else float(one.difference.magnitude)
    if not apart:
        return shown, "none"
    difference = timedelta(one.difference) if isinstance(one.difference, int) else one.difference
    word = WORDS.get(one.prediction.kind, ("higher", "lower"))[apart < 0]
    return shown, f"{size_text(difference, one.prediction.system)} {word}"
