"""Mixing: salts into water, recipes by weighing, concentrates, and reading water reports."""

from ..solution import ChargeBalance, Solution, Water
from .blending import blend, diluted, replaced
from .buying import Cheapest, cheapest
from .correcting import Correction, WaterPortion, correct, strength_at
from .measuring import Spread, Uncertainty, uncertainty
from .meter import (
    Expected,
    compensated,
    expected_conductivity,
    from_ppm,
    ppm_reading,
    ppm_scales,
    uncompensated,
)
from .precipitation import (
    Advice,
    OneBottle,
    advice,
    brushite_ph,
    brushite_saturation,
    gypsum_by_product_alone,
    one_bottle,
)
from .products import Difference, chelated_iron, demo_prices, label_against_formula, liquid_acid
from .recipes import Recipe, recipe_solution, recipe_targets, recipes, weigh_out
from .report import demo_water, demo_waters, read_water
from .rounding import Weighable, weighable
from .salts import Salt, mix, salt, salts, soluble_mass, usual_salts
from .standard import meter_standard
from .stocks import Stock, Stocks, dose, stocks, strength_of
from .strengths import Clouding, MeterReading, clouding, meter_reading
from .trade import TwoWays, trade_two_ways

__all__ = [
    "Advice",
    "ChargeBalance",
    "Cheapest",
    "Clouding",
    "Correction",
    "Difference",
    "Expected",
    "MeterReading",
    "OneBottle",
    "Recipe",
    "Salt",
    "Solution",
    "Spread",
    "Stock",
    "Stocks",
    "TwoWays",
    "Uncertainty",
    "Water",
    "WaterPortion",
    "Weighable",
    "advice",
    "blend",
    "brushite_ph",
    "brushite_saturation",
    "cheapest",
    "chelated_iron",
    "clouding",
    "compensated",
    "correct",
    "demo_prices",
    "demo_water",
    "demo_waters",
    "diluted",
    "dose",
    "expected_conductivity",
    "from_ppm",
    "gypsum_by_product_alone",
    "label_against_formula",
    "liquid_acid",
    "meter_reading",
    "meter_standard",
    "mix",
    "one_bottle",
    "ppm_reading",
    "ppm_scales",
    "read_water",
    "recipe_solution",
    "recipe_targets",
    "recipes",
    "replaced",
    "salt",
    "salts",
    "soluble_mass",
    "stocks",
    "strength_at",
    "strength_of",
    "trade_two_ways",
    "uncertainty",
    "uncompensated",
    "usual_salts",
    "weigh_out",
    "weighable",
]
