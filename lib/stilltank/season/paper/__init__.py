"""What a plan prints."""

from .bottle_labels import BottleLabel, acid_label, bottle_labels, labels_for, stock_label
from .card import tank_card
from .log import log_sheet, log_template
from .mix import MIXES, mix_section, portions_section, usual_mix, usual_ph_test
from .neighbour import neighbour_sheet
from .stick import marked_heights, tank_dipstick

__all__ = [
    "MIXES",
    "BottleLabel",
    "acid_label",
    "bottle_labels",
    "labels_for",
    "log_sheet",
    "log_template",
    "marked_heights",
    "mix_section",
    "neighbour_sheet",
    "portions_section",
    "stock_label",
    "tank_card",
    "tank_dipstick",
    "usual_mix",
    "usual_ph_test",
]
