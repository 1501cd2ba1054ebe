"""Pages to print: the card and the log of a tank as HTML, its dipstick to scale; no address outside."""

from .card import tank_card
from .log import level_log
from .parts import Passage, cautions, folded, listed, table
from .stick import dipstick

__all__ = ["Passage", "cautions", "dipstick", "folded", "level_log", "listed", "table", "tank_card"]
