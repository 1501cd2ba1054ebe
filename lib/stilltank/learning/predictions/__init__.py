"""Predictions: said before the result is seen, kept as they were said, compared without scolding."""

from .comparison import Comparison, close, compare
from .cover import Covered, bundle_of, cover
from .recording import PredictionQuestion, Recorded, read_day, record
from .stored import Course, Outcome, Prediction, Value, get
from .summary import Ledger, ledger

__all__ = [
    "Comparison",
    "Course",
    "Covered",
    "Ledger",
    "Outcome",
    "Prediction",
    "PredictionQuestion",
    "Recorded",
    "Value",
    "bundle_of",
    "close",
    "compare",
    "cover",
    "get",
    "ledger",
    "read_day",
    "record",
]
