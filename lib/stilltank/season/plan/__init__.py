"""The tank plan: what was chosen for one tank and one season, what follows from it, and its file."""

from .choices import grown
from .file import PlanFault
from .outlook import CheckDay, TraceStock, latitude_text
from .plan import Plan
from .warm_weeks import WarmWeeks, nearest_measurement

__all__ = [
    "CheckDay",
    "Plan",
    "PlanFault",
    "TraceStock",
    "WarmWeeks",
    "grown",
    "latitude_text",
    "nearest_measurement",
]
