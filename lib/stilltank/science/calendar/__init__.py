"""Sow, plant, bloom, repeat: dates forwards from a sowing and backwards from a wished-for day, and what to do when."""

from .batches import Succession, succession, tanks_needed
from .dates import Schedule, Window
from .sowing import schedule, sow_for
from .stems import Stems, stems_per_week
from .tasks import KINDS, Task, task_table, tasks

__all__ = [
    "KINDS",
    "Schedule",
    "Stems",
    "Succession",
    "Task",
    "Window",
    "schedule",
    "sow_for",
    "stems_per_week",
    "succession",
    "tanks_needed",
    "task_table",
    "tasks",
]
