"""Pages to print: the card and the log of a tank as HTML, its dipstick to scale; a season's tasks for calendars."""

from .calendar_file import calendar_file, calendar_text
from .dipstick import dipstick
from .level_log import level_log
from .parts import SHARED, Passage, cautions, folded, listed, named_file, sheet, table

__all__ = [
    "SHARED",
    "Passage",
    "calendar_file",
    "calendar_text",
    "cautions",
    "dipstick",
    "folded",
    "level_log",
    "listed",
    "named_file",
    "sheet",
    "table",
]
