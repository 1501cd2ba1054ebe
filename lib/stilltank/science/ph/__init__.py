"""pH of a tank: how much acid, what pH comes of it, and what it becomes when carbon dioxide has left.

Two answers to every question. ``air="closed"``: no carbon dioxide is lost, as in the minutes after dosing.
``air="open"``: the tank is at rest with outdoor air, as after days. A still tank lies between the two and
moves slowly from the first to the second: ``degas`` follows it.

Amounts are per litre of the solution as it is; that the acid itself adds a little water is left out.
Nothing precipitates in the model: hard water in air may in truth drop lime and end lower.
"""

from .acids import Acid, acid, acid_names
from .buffering import buffering
from .degassing import Degassing, DegassingRate, degas, degassing_rate
from .dosing import Dose, acid_dose, ph_after, ph_of, titrate
from .drift import after_uptake, uptake_charge
from .hand import (
    alkalinity_as_caco3,
    alkalinity_as_charge,
    bicarbonate_share,
    hand_dose_closed,
    hand_dose_open,
)
from .solids import Solids, solids

__all__ = [
    "Acid",
    "Degassing",
    "DegassingRate",
    "Dose",
    "Solids",
    "acid",
    "acid_dose",
    "acid_names",
    "after_uptake",
    "alkalinity_as_caco3",
    "alkalinity_as_charge",
    "bicarbonate_share",
    "buffering",
    "degas",
    "degassing_rate",
    "hand_dose_closed",
    "hand_dose_open",
    "ph_after",
    "ph_of",
    "solids",
    "titrate",
    "uptake_charge",
]
