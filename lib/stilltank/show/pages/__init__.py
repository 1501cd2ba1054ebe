"""Pages to print: the dipstick of a tank in its true size, a season's tasks for calendars, the parts of all pages."""

from .calendar_file import calendar_file, calendar_text
from .dipstick import dipstick
from .parts import PAPERS, SHARED, Passage, cautions, folded, known_paper, listed, named_file, sheet, table

__all__ = [
    "PAPERS",
    "SHARED",
    "Passage",
    "calendar_file",
    "calendar_text",
    "cautions",
    "dipstick",
    "folded",
    "known_paper",
    "listed",
    "named_file",
    "sheet",
    "table",
]
