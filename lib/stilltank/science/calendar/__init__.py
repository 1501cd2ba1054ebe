"""Sow, plant, bloom, repeat: dates forwards from a sowing and backwards from a wished-for day."""

from .batches import Succession, succession, tanks_needed
from .dates import Schedule, Window
from .sowing import schedule, sow_for

__all__ = ["Schedule", "Succession", "Window", "schedule", "sow_for", "succession", "tanks_needed"]
