"""Sow, plant, bloom, repeat: dates forwards from a sowing and backwards from a wished-for day, and what to do when."""

from .dates import Schedule, Window
from .schedule import schedule, sow_for
from .stems import Stems, stems_per_plant, stems_per_week
from .succession import Succession, succession, tanks_needed
from .tasks import TASK_KINDS, Task, task_table, tasks

__all__ = [
    "TASK_KINDS",
    "Schedule",
    "Stems",
    "Succession",
    "Task",
    "Window",
    "schedule",
    "sow_for",
    "stems_per_plant",
    "stems_per_week",
    "succession",
    "tanks_needed",
    "task_table",
    "tasks",
]
