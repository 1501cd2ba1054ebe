"""Predictions: said before the result is seen, kept as they were said, compared without scolding."""

from .comparison import Comparison, close, compare
from .cover import Covered, bundle_of, cover
from .recording import Recorded, read_day, record
from .stored import Prediction, get
from .summary import Ledger, ledger

__all__ = [
    "Comparison",
    "Covered",
    "Ledger",
    "Prediction",
    "Recorded",
    "bundle_of",
    "close",
    "compare",
    "cover",
    "get",
    "ledger",
    "read_day",
    "record",
]
