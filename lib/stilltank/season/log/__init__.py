"""The log of a tank: read with care, asked about where it is odd, and what it teaches the plan."""

from .columns import EVENTS, LIFTS, METHODS, STATUSES, WEIGHED_WITH, log_columns
from .entries import append, correct, strike
from .log_file import Log, read
from .questions import Choice, Question
from .visits import Visit

__all__ = [
    "EVENTS",
    "LIFTS",
    "METHODS",
    "STATUSES",
    "WEIGHED_WITH",
    "Choice",
    "Log",
    "Question",
    "Visit",
    "append",
    "correct",
    "log_columns",
    "read",
    "strike",
]
