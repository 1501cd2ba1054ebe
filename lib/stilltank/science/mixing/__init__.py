"""Mixing: salts into water, recipes by weighing, concentrates, and reading water reports."""

from ..solution import ChargeBalance, Solution, Water
from .products import Difference, chelated_iron, demo_prices, label_against_formula, liquid_acid
from .recipes import Recipe, recipe_solution, recipe_targets, recipes, weigh_out
from .report import demo_water, demo_waters, read_water
from .salts import Salt, mix, salt, salts, usual_salts
from .stocks import Stock, Stocks, dose, stocks, strength_of
from .strengths import Clouding, MeterReading, clouding, meter_reading

__all__ = [
    "ChargeBalance",
    "Clouding",
    "Difference",
    "MeterReading",
    "Recipe",
    "Salt",
    "Solution",
    "Stock",
    "Stocks",
    "Water",
    "chelated_iron",
    "clouding",
    "demo_prices",
    "demo_water",
    "demo_waters",
    "dose",
    "label_against_formula",
    "liquid_acid",
    "meter_reading",
    "mix",
    "read_water",
    "recipe_solution",
    "recipe_targets",
    "recipes",
    "salt",
    "salts",
    "stocks",
    "strength_of",
    "usual_salts",
    "weigh_out",
]
