"""The log of a tank: read with care, asked about where it is odd, and what it teaches the plan."""

from .columns import EVENTS, LIFTS, METHODS, STATUSES, WEIGHED_WITH, log_columns
from .entries import append, correct, strike
from .evidence import observations
from .last_season import Beginning, TaughtBySeason, begin_season, keep_season, kept_seasons
from .log_file import Log, read
from .log_fit import Refit, refit
from .past_forecasts import PastForecast, held_words, past_forecasts
from .questions import Choice, Question
from .season_report import SeasonReport, season_report
from .tank_forecast import Forecast, forecast, forecasts
from .visits import Visit

__all__ = [
    "EVENTS",
    "LIFTS",
    "METHODS",
    "STATUSES",
    "WEIGHED_WITH",
    "Beginning",
    "Choice",
    "Forecast",
    "Log",
    "PastForecast",
    "Question",
    "Refit",
    "SeasonReport",
    "TaughtBySeason",
    "Visit",
    "append",
    "begin_season",
    "correct",
    "forecast",
    "forecasts",
    "held_words",
    "keep_season",
    "kept_seasons",
    "log_columns",
    "observations",
    "past_forecasts",
    "read",
    "refit",
    "season_report",
    "strike",
]
