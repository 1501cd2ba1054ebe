"""The log of a tank: read with care, asked about where it is odd, and what it teaches the plan."""

from .columns import EVENTS, LIFTS, METHODS, STATUSES, WEIGHED_WITH, log_columns
from .entries import append, correct, strike
from .evidence import observations
from .log_file import Log, read
from .log_fit import Refit, refit
from .questions import Choice, Question
from .season_report import SeasonReport, season_report
from .tank_forecast import Forecast, forecast
from .visits import Visit

__all__ = [
    "EVENTS",
    "LIFTS",
    "METHODS",
    "STATUSES",
    "WEIGHED_WITH",
    "Choice",
    "Forecast",
    "Log",
    "Question",
    "Refit",
    "SeasonReport",
    "Visit",
    "append",
    "correct",
    "forecast",
    "log_columns",
    "observations",
    "read",
    "refit",
    "season_report",
    "strike",
]
