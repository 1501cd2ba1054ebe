"""pH of a tank: how much acid or base, what pH comes of it, and what it becomes when carbon dioxide has left.

Two answers to every question. ``air="closed"``: no carbon dioxide is lost, as in the minutes after dosing.
``air="open"``: the tank is at rest with outdoor air, as after days. A still tank is between the two and
moves slowly from the first to the second: ``degas`` follows it.

Amounts are per litre of the solution as it is; that the acid itself adds a little water is left out.
Nothing precipitates in the model: hard water in air may in truth drop lime and end lower.
"""

from .alkalinity import alkalinity_by_titration, endpoint_ph, rain_share_for_alkalinity
from .buffer_capacity import buffer_capacity
from .calibration import calibration_buffers, calibration_ph
from .degassing import (
    AfterDosing,
    Degassing,
    DegassingRate,
    degas,
    degassing_rate,
    ph_after_dosing,
)
from .dose_range import DoseRange, dose_range, ph_tests
from .doses import Dose, acid_dose, base_dose
from .hand_formulas import (
    alkalinity_as_caco3,
    alkalinity_as_charge,
    bicarbonate_share,
    hand_dose_closed,
    hand_dose_open,
    hydrogen_from_ph,
    ph_from_hydrogen,
)
from .next_portion import NextPortion, next_portion
from .now_and_to_hold import BothDoses, dose_by_rule_of_thumb, doses_now_and_to_hold
from .portions import Portion, Portions, portions
from .portions_for_test import PortionForTest, PortionsForTest, portions_for_test
from .recipe_with_acid import RecipeWithAcid, recipe_with_acid
from .rule_of_thumb import RuleOfThumb, alkalinity_for_rule, rule_of_thumb, strength_for_rule
from .saturation import SaturationIndices, saturation_indices
from .serial_dilution import DilutionStep, SerialDilution, serial_dilution
from .titration import TitrationCurve, TitrationPoint, ph_after, ph_of, titrate, titration_curve
from .top_up_acid import TopUpAcid, acid_for_top_up
from .uptake_drift import Drift, drift_by_uptake, ph_after_uptake

__all__ = [
    "AfterDosing",
    "BothDoses",
    "Degassing",
    "DegassingRate",
    "DilutionStep",
    "Dose",
    "DoseRange",
    "Drift",
    "NextPortion",
    "Portion",
    "PortionForTest",
    "Portions",
    "PortionsForTest",
    "RecipeWithAcid",
    "RuleOfThumb",
    "SaturationIndices",
    "SerialDilution",
    "TitrationCurve",
    "TitrationPoint",
    "TopUpAcid",
    "acid_dose",
    "acid_for_top_up",
    "alkalinity_as_caco3",
    "alkalinity_as_charge",
    "alkalinity_by_titration",
    "alkalinity_for_rule",
    "base_dose",
    "bicarbonate_share",
    "buffer_capacity",
    "calibration_buffers",
    "calibration_ph",
    "degas",
    "degassing_rate",
    "dose_by_rule_of_thumb",
    "dose_range",
    "doses_now_and_to_hold",
    "drift_by_uptake",
    "endpoint_ph",
    "hand_dose_closed",
    "hand_dose_open",
    "hydrogen_from_ph",
    "next_portion",
    "ph_after",
    "ph_after_dosing",
    "ph_after_uptake",
    "ph_from_hydrogen",
    "ph_of",
    "ph_tests",
    "portions",
    "portions_for_test",
    "rain_share_for_alkalinity",
    "recipe_with_acid",
    "rule_of_thumb",
    "saturation_indices",
    "serial_dilution",
    "strength_for_rule",
    "titrate",
    "titration_curve",
]
