"""The tank plan: what was chosen for one tank and one season, what follows from it, and its file."""

from .document import PlanFault
from .making import CheckDay, Plan, TraceStock

__all__ = ["CheckDay", "Plan", "PlanFault", "TraceStock"]
