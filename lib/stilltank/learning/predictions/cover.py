"""A result that stays covered until its prediction stands."""

import html
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from stilltank.learning.progress import Progress
from stilltank.units import Problem, Q, Quantity, write  # noqa: F401 (Q is used in the examples)

from .comparison import Comparison, close
from .stored import Outcome, work_of


@dataclass(frozen=True, eq=False)
class Covered:
    """A result that shows itself once its prediction is recorded; end a notebook cell with it.

    Parameters
    ----------
    sentence : str
        The comparison in words, or what is still missing.
    comparison : Comparison, optional
        Prediction and outcome; None while the result stays covered.
    result : object, optional
        What is shown with the sentence.

    Examples
    --------
    >>> Covered("No prediction yet. The result opens once one is recorded.").open
    False
    """

    sentence: str
    comparison: Comparison | None = None
    result: Any = None

    @property
    def open(self) -> bool:
        """Whether the result may be seen."""
        return self.comparison is not None

    def __str__(self) -> str:
        shown = "" if self.result is None else f"\n{bundle_of(self.result).get('text/plain', '')}"
        return self.sentence + shown

    __repr__ = __str__

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        shown = ""
        if self.result is not None:
            bundle = bundle_of(self.result)
            shown = bundle.get("text/html") or f"<pre>{html.escape(bundle.get('text/plain', ''))}</pre>"
        return {"text/html": f"<p>{html.escape(self.sentence)}</p>{shown}", "text/plain": str(self)}


def cover(
    result: object, prediction_id: str, progress: Progress, *, outcome: object = None, on: date | None = None
) -> Covered:
    """Keep a result covered until its prediction is recorded; then show both, with a sentence.

    Parameters
    ----------
    result : object
        Anything a notebook shows; or a function that makes it from the Comparison. It is called only once there is a
        prediction, so nothing of the result is worked out before.
    prediction_id : str
        Such as ``"03-week-one"``.
    progress : Progress
        The learner's work.
    outcome : object
        What really came, as in ``compare``, or a function that works it out. The result itself when left out.
    on : date, optional
        Today, for the ledger.

    Returns
    -------
    Covered
        End a notebook cell with it.

    Raises
    ------
    Problem
        The outcome does not fit the prediction, or the file cannot be saved.

    Examples
    --------
    >>> cover(Q(5, "L"), "03-drink", Progress())
    No prediction yet. The result opens once one is recorded.
    """
    work_of(progress)
    if not isinstance(prediction_id, str) or prediction_id not in progress.predictions:
        return Covered("No prediction yet. The result opens once one is recorded.")
    if outcome is None:
        if callable(result):
            raise Problem(f"cover needs the outcome for {prediction_id}: cover(..., outcome=...).")
        outcome = result
    comparison = close(
        progress, prediction_id, cast("Outcome", outcome() if callable(outcome) else outcome), on=on
    )
    made = result(comparison) if callable(result) else result
    shown = None if result is outcome else made  # a bare outcome is in the sentence already
    return Covered(comparison.sentence, comparison, shown)


def bundle_of(result: object) -> Mapping[str, str]:
    """Return what a notebook would show of a result.

    Parameters
    ----------
    result : object
        Anything.

    Returns
    -------
    mapping of str to str
        As text under ``"text/plain"``, and as HTML under ``"text/html"`` where there is some.

    Examples
    --------
    >>> bundle_of(Q(5, "L"))
    {'text/plain': '5 L'}
    """
    if isinstance(result, Quantity):
        return {"text/plain": write(result)}
    if make := getattr(result, "_repr_mimebundle_", None):
        bundle = make()
        return dict(bundle[0] if isinstance(bundle, tuple) else bundle)
    make_html: Callable[[], str | None] | None = getattr(result, "_repr_html_", None)
    shown = {"text/plain": str(result)}
    if make_html and (markup := make_html()):
        shown["text/html"] = markup
    return shown
