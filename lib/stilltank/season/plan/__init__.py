"""The tank plan: what was chosen for one tank and one season, what follows from it, and its file."""

from .choices import grown
from .courses import Course, seedling_time
from .days import day_from
from .file import PlanFault
from .groups import Group, Loss, Reading
from .months import Months
from .outlook import CheckDay, latitude_text
from .plan import Plan
from .top_ups import strength_words
from .warm_weeks import WarmWeeks, nearest_measurement

__all__ = [
    "CheckDay",
    "Course",
    "Group",
    "Loss",
    "Months",
    "Plan",
    "PlanFault",
    "Reading",
    "WarmWeeks",
    "day_from",
    "grown",
    "latitude_text",
    "nearest_measurement",
    "seedling_time",
    "strength_words",
]
