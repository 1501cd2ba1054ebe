"""Pages to print: the card and the log of a tank as HTML, its dipstick to scale; a season's tasks for calendars."""

from .calendar_file import calendar_file, calendar_text
from .card import tank_card
from .dipstick import dipstick
from .level_log import level_log
from .parts import Passage, cautions, folded, listed, table

__all__ = [
    "Passage",
    "calendar_file",
    "calendar_text",
    "cautions",
    "dipstick",
    "folded",
    "level_log",
    "listed",
    "table",
    "tank_card",
]
