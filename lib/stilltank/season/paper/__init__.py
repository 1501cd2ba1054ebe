"""What a plan prints."""

from .bottle_labels import PAPERS, BottleLabel, acid_label, bottle_labels, labels_for, stock_label
from .card import tank_card
from .mix import MIXES, mix_section, portions_section

__all__ = [
    "MIXES",
    "PAPERS",
    "BottleLabel",
    "acid_label",
    "bottle_labels",
    "labels_for",
    "mix_section",
    "portions_section",
    "stock_label",
    "tank_card",
]
