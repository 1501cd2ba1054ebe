"""The tank plan: what was chosen for one tank and one season, what follows from it, and its file."""

from .making import Plan
from .results import CheckDay, TraceStock
from .sections import PlanFault

__all__ = ["CheckDay", "Plan", "PlanFault", "TraceStock"]
