"""Panels: they connect choices, calculation and pictures, and compute nothing themselves."""

from .at_rest import AtRest
from .cells import cell_key
from .choices import SYSTEMS, Day, Measure, Number, Part, Pick, Scale, Typed, Unread
from .controls import Answer, Row, Status, TypedRow, button, choice, in_a_row, lines_box, row, text_box
from .drawing import Drawing, PartDrawn, SharedPlan
from .exploration import Exploration, ExplorePanel
from .offers import known_crops, ready_made_tanks
from .panel import BEHIND, Panel

__all__ = [
    "BEHIND",
    "SYSTEMS",
    "Answer",
    "AtRest",
    "Day",
    "Drawing",
    "Exploration",
    "ExplorePanel",
    "Measure",
    "Number",
    "Panel",
    "Part",
    "PartDrawn",
    "Pick",
    "Row",
    "Scale",
    "SharedPlan",
    "Status",
    "Typed",
    "TypedRow",
    "Unread",
    "button",
    "cell_key",
    "choice",
    "in_a_row",
    "known_crops",
    "lines_box",
    "ready_made_tanks",
    "row",
    "text_box",
]
