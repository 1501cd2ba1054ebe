"""Mixing: salts into water, recipes by weighing, concentrates, and reading water reports."""

from stilltank.science.chemistry import ChargeBalance, Solution, Water

from .blending import after_rain, blend, diluted, replace_part
from .by_shelf import Lack, ShelfRecipe, for_shelf
from .by_strength import Clouding, MeterReading, gypsum_by_strength, readings_by_strength
from .conductivity_meter import (
    Expected,
    conductance_in_place,
    conductivity_from_ppm,
    expected_conductivity,
    ppm_reading,
    ppm_scales,
    specific_conductance,
)
from .conductivity_standard import calibration_standard
from .correction import Correction, WaterPortion, correct_tank, strength_from_conductivity
from .crop_strength import CropStrength, crop_strength
from .dissolving import mix
from .least_cost import LeastCost, demo_prices, least_cost
from .recipes import Recipe, recipe_solution, recipe_targets, recipes, weigh_out
from .single_concentrate import (
    Advice,
    OneBottle,
    brushite_ph,
    brushite_saturation,
    mixing_advice,
    single_concentrate,
)
from .spoons import Spoonful, Spoons, spoons
from .stocks import Stock, Stocks, dose, stocks, strength_of
from .trace_stocks import TraceStock, months, trace_stocks
from .two_bottles import TwoBottles, keeping_time, two_bottles
from .two_part_rule import TwoWays, two_part_rule
from .uncertainty import Spread, Uncertainty, recipe_uncertainty
from .water_report import demo_water, demo_waters, read_water
from .weighing import RoundedRecipe, round_to_scale

__all__ = [
    "Advice",
    "ChargeBalance",
    "Clouding",
    "Correction",
    "CropStrength",
    "Expected",
    "Lack",
    "LeastCost",
    "MeterReading",
    "OneBottle",
    "Recipe",
    "RoundedRecipe",
    "ShelfRecipe",
    "Solution",
    "Spoonful",
    "Spoons",
    "Spread",
    "Stock",
    "Stocks",
    "TraceStock",
    "TwoBottles",
    "TwoWays",
    "Uncertainty",
    "Water",
    "WaterPortion",
    "after_rain",
    "blend",
    "brushite_ph",
    "brushite_saturation",
    "calibration_standard",
    "conductance_in_place",
    "conductivity_from_ppm",
    "correct_tank",
    "crop_strength",
    "demo_prices",
    "demo_water",
    "demo_waters",
    "diluted",
    "dose",
    "expected_conductivity",
    "for_shelf",
    "gypsum_by_strength",
    "keeping_time",
    "least_cost",
    "mix",
    "mixing_advice",
    "months",
    "ppm_reading",
    "ppm_scales",
    "read_water",
    "readings_by_strength",
    "recipe_solution",
    "recipe_targets",
    "recipe_uncertainty",
    "recipes",
    "replace_part",
    "round_to_scale",
    "single_concentrate",
    "specific_conductance",
    "spoons",
    "stocks",
    "strength_from_conductivity",
    "strength_of",
    "trace_stocks",
    "two_bottles",
    "two_part_rule",
    "weigh_out",
]
