"""pH of a tank: how much acid or base, what pH comes of it, and what it becomes when carbon dioxide has left.

Two answers to every question. ``air="closed"``: no carbon dioxide is lost, as in the minutes after dosing.
``air="open"``: the tank is at rest with outdoor air, as after days. A still tank lies between the two and
moves slowly from the first to the second: ``degas`` follows it.

Amounts are per litre of the solution as it is; that the acid itself adds a little water is left out.
Nothing precipitates in the model: hard water in air may in truth drop lime and end lower.
"""

from .acids import Acid, acid, acid_names
from .alkalinity import alkalinity_by_titration, endpoint_ph, rain_share_for
from .bases import Base, base, base_names
from .buffering import buffering
from .calibrating import calibration_buffers, calibration_ph
from .comparing import BothDoses, both_doses, dose_by_rule
from .courses import AfterDosing, Drift, after_dosing, drift_by_uptake
from .curve import TitrationCurve, TitrationPoint, titration_curve
from .deciding import NextPortion, next_portion
from .degassing import Degassing, DegassingRate, degas, degassing_rate
from .densities import bottle_density
from .dosing import Dose, acid_dose, base_dose
from .doubt import DoseWithDoubt, dose_with_doubt, instruments
from .drift import after_uptake, uptake_charge
from .hand import (
    alkalinity_as_caco3,
    alkalinity_as_charge,
    bicarbonate_share,
    hand_dose_closed,
    hand_dose_open,
    hydrogen_from_ph,
    ph_from_hydrogen,
)
from .hardness import NOT_ALKALINITY, hardness, hardness_of, hardness_on, hardness_scales
from .ladder import Ladder, Step, dilution_ladder
from .portions import Portion, Portions, in_portions
from .reagents import Reagent
from .recipe import RecipeWithAcid, recipe_with_acid
from .rule import Rule, alkalinity_for, strength_for, trade_rule
from .solids import Solids, solids
from .titration import ph_after, ph_of, titrate

__all__ = [
    "NOT_ALKALINITY",
    "Acid",
    "AfterDosing",
    "Base",
    "BothDoses",
    "Degassing",
    "DegassingRate",
    "Dose",
    "DoseWithDoubt",
    "Drift",
    "Ladder",
    "NextPortion",
    "Portion",
    "Portions",
    "Reagent",
    "RecipeWithAcid",
    "Rule",
    "Solids",
    "Step",
    "TitrationCurve",
    "TitrationPoint",
    "acid",
    "acid_dose",
    "acid_names",
    "after_dosing",
    "after_uptake",
    "alkalinity_as_caco3",
    "alkalinity_as_charge",
    "alkalinity_by_titration",
    "alkalinity_for",
    "base",
    "base_dose",
    "base_names",
    "bicarbonate_share",
    "both_doses",
    "bottle_density",
    "buffering",
    "calibration_buffers",
    "calibration_ph",
    "degas",
    "degassing_rate",
    "dilution_ladder",
    "dose_by_rule",
    "dose_with_doubt",
    "drift_by_uptake",
    "endpoint_ph",
    "hand_dose_closed",
    "hand_dose_open",
    "hardness",
    "hardness_of",
    "hardness_on",
    "hardness_scales",
    "hydrogen_from_ph",
    "in_portions",
    "instruments",
    "next_portion",
    "ph_after",
    "ph_from_hydrogen",
    "ph_of",
    "rain_share_for",
    "recipe_with_acid",
    "solids",
    "strength_for",
    "titrate",
    "titration_curve",
    "trade_rule",
    "uptake_charge",
]
