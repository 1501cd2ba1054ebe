"""The bench: several tanks of one person, with one weather, one shopping list, one round and one page for the wall."""

from .bench import Bench, plan_files
from .rounds import Load, Round, Stop
from .shopping_list import Harvest, Item, Planted, ShoppingList

__all__ = ["Bench", "Harvest", "Item", "Load", "Planted", "Round", "ShoppingList", "Stop", "plan_files"]
