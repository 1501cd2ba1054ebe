"""The bench: several tanks of one person, with one weather, one shopping list, one round and one page for the wall."""

from .bench import Bench, plan_files
from .shopping import Harvest, Item, Planted, ShoppingList
from .watering import Load, Round, Stop

__all__ = ["Bench", "Harvest", "Item", "Load", "Planted", "Round", "ShoppingList", "Stop", "plan_files"]
