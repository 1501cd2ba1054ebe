"""pH of a tank: how much acid or base, what pH comes of it, and what it becomes when carbon dioxide has left.

Two answers to every question. ``air="closed"``: no carbon dioxide is lost, as in the minutes after dosing.
``air="open"``: the tank is at rest with outdoor air, as after days. A still tank lies between the two and
moves slowly from the first to the second.

Amounts are per litre of the solution as it is; that the acid itself adds a little water is left out.
Nothing precipitates in the model: hard water in air may in truth drop lime and end lower.
"""

from .acids import Acid, acid, acid_names
from .alkalinity import alkalinity_by_titration, endpoint_ph, rain_share_for
from .bases import Base, base, base_names
from .dosing import Dose, acid_dose, base_dose, ph_after, ph_of, titrate
from .hand import (
    alkalinity_as_caco3,
    alkalinity_as_charge,
    bicarbonate_share,
    hand_dose_closed,
    hand_dose_open,
)
from .hardness import NOT_ALKALINITY, hardness, hardness_of, hardness_on, hardness_scales
from .ladder import Ladder, Step, dilution_ladder
from .reagents import Reagent

__all__ = [
    "NOT_ALKALINITY",
    "Acid",
    "Base",
    "Dose",
    "Ladder",
    "Reagent",
    "Step",
    "acid",
    "acid_dose",
    "acid_names",
    "alkalinity_as_caco3",
    "alkalinity_as_charge",
    "alkalinity_by_titration",
    "base",
    "base_dose",
    "base_names",
    "bicarbonate_share",
    "dilution_ladder",
    "endpoint_ph",
    "hand_dose_closed",
    "hand_dose_open",
    "hardness",
    "hardness_of",
    "hardness_on",
    "hardness_scales",
    "ph_after",
    "ph_of",
    "rain_share_for",
    "titrate",
]
