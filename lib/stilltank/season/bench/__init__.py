"""The bench: several tanks of one person, with one weather, one shopping list, one round and one page for the wall."""

from .bench import Bench
from .watering import Load, Round, Stop

__all__ = ["Bench", "Load", "Round", "Stop"]
