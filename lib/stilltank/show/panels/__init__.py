"""Panels: they connect controls, calculation and pictures, and compute nothing themselves."""

from .cells import cell_key
from .controls import SYSTEMS, Answer, Day, Number, Pick, Row, Scale, Status, choice, row, text_box
from .explore import ExplorePanel, explore
from .offers import known_crops, ready_made_tanks
from .panel import Drawing, Panel, PartDrawn

__all__ = [
    "SYSTEMS",
    "Answer",
    "Day",
    "Drawing",
    "ExplorePanel",
    "Number",
    "Panel",
    "PartDrawn",
    "Pick",
    "Row",
    "Scale",
    "Status",
    "cell_key",
    "choice",
    "explore",
    "known_crops",
    "ready_made_tanks",
    "row",
    "text_box",
]
