"""The panels of chapter 1: one salt, a recipe in your water, one bottle or two, and what the meter shows."""

from collections.abc import Mapping
from functools import cache, lru_cache

from pint import Quantity

from stilltank.science import mixing, products
from stilltank.season.plan import Plan
from stilltank.show.figures import ElementBars, Picture
from stilltank.show.panels import Exploration, Number, Pick, Scale
from stilltank.units import Q, write

from .figures import CloudingCurve, ElementAmounts, MeterCurve

_VOLUME = Number(
    "volume", "Solution", 36.0, Scale("L", 5, 100, 1), Scale("gallon", 1, 26.5, 0.5), place="tank"
)
_MAIN_ELEMENTS = ("N", "P", "K", "Ca", "Mg")
_MAIN_IONS = {"NO3-", "NH4+", "H2PO4-", "K+", "Ca+2", "Mg+2"}
_FOR_ONE = (
    "calcium nitrate",
    "potassium nitrate",
    "monopotassium phosphate",
    "magnesium sulfate heptahydrate",
)
_RECIPES = (("leafy salad and herbs", "leafy"), ("flowers", "flowering"))
_BOTTLES = (("one bottle", 1), ("two bottles, calcium apart", 2))


def _volume(plan: Plan | None) -> Number:
    """The solution of the demo tank, or of somebody's own."""
    return _VOLUME if plan is None else _VOLUME.starting(plan.outlook.volume, rounded=True)


@cache
def _hoagland() -> mixing.Solution:
    return mixing.recipe_solution("Hoagland 1")


def _solution(plan: Plan | None) -> Mapping[str, object]:
    return {"solution": _hoagland() if plan is None else plan.outlook.recipe.solution}


def _salt_controls(plan: Plan | None) -> list[Number | Pick]:
    return [
        _volume(plan),
        Pick("salt", "Salt", _FOR_ONE[0], [(products.salt(name).name, name) for name in _FOR_ONE]),
        Number("mass", "Weighed", 20.0, Scale("g", 0, 60, 0.5), Scale("oz", 0, 2.1, 0.05)),
    ]


def _salt(volume: Quantity, salt: str, mass: Quantity) -> mixing.Solution:
    return mixing.mix({salt: mass}, volume)


def _salt_key(solution: mixing.Solution, system: str) -> str:
    return ", ".join(f"{name} {amount.m_as('mg/L'):.3g} mg/L" for name, amount in solution.elements.items())


def _show_elements(bars: ElementAmounts, solution: mixing.Solution) -> Picture:
    return bars.show(solution.elements)


salt_panel = Exploration(
    "One salt in a tank",
    _salt_controls,
    _salt,
    ElementAmounts,
    _salt_key,
    _show_elements,
)
"""Grams of one salt in a tank: how many milligrams of each element in a litre."""


def _recipe_controls(plan: Plan | None) -> list[Number | Pick]:
    recipe = Pick("recipe", "Recipe", "leafy", _RECIPES)
    own = plan and plan.plants.crop.recipe
    return [
        _volume(plan),
        recipe.starting(own, own) if own else recipe,
        Number("strength", "Strength", 100, Scale("percent", 25, 150, 5)),
        Number(
            "tap",
            "Your water in rain water" if plan else "Tap water in rain water",
            100,
            Scale("percent", 0, 100, 5),
        ),
    ]


def _waters(plan: Plan | None) -> Mapping[str, object]:
    """The tap water, and the rain water to mix it with; the rain is the demo's for everybody."""
    return {
        "water": plan.water if plan else _demo_water("quillgate-tap"),
        "rain": _demo_water("quillgate-rain"),
    }


@cache
def _demo_water(name: str) -> mixing.Water:
    return mixing.demo_water(name)


@lru_cache(maxsize=32)
def _demo_blend(share: float) -> mixing.Water:
    return _blend(_demo_water("quillgate-tap"), _demo_water("quillgate-rain"), share)


def _blend(water: mixing.Water, rain: mixing.Water, share: float) -> mixing.Water:
    return mixing.blend(water, Q(share, "L"), rain, Q(1 - share, "L")).water


@cache
def _main_targets(recipe: str) -> Mapping[str, Quantity]:
    return {element: mixing.recipe_targets(recipe)[element] for element in _MAIN_ELEMENTS}


@cache
def _shelf() -> list[str]:
    """The salts of the main elements: the trace elements have their own, which none of these controls would change."""
    return [name for name in products.usual_salts() if set(products.salt(name).release) & _MAIN_IONS]


def _recipe(
    volume: Quantity, recipe: str, strength: Quantity, tap: Quantity, water: mixing.Water, rain: mixing.Water
) -> mixing.Recipe:
    share, times = tap.m_as("dimensionless"), strength.m_as("dimensionless")
    is_demo = water is _demo_water("quillgate-tap")
    mixed = _demo_blend(share) if is_demo else _blend(water, rain, share)
    wanted = {name: target * times for name, target in _main_targets(recipe).items()}
    return mixing.weigh_out(wanted, _shelf(), volume, mixed)


def _recipe_key(recipe: mixing.Recipe, system: str) -> str:
    return ", ".join(f"{write(recipe.masses[name], system)} {name}" for name in list(recipe.masses)[:2])


def _element_bars(system: str, large: bool) -> ElementBars:
    return ElementBars(large)


def _show_recipe(bars: ElementBars, recipe: mixing.Recipe) -> Picture:
    nothing = Q(0, "mg/L")
    water = {name: recipe.water.elements.get(name, nothing) for name in recipe.targets}
    salts = {name: recipe.reached[name] - water[name] for name in recipe.targets}
    return bars.show(recipe.targets, {"from the water": water, "from the salts": salts})


recipe_panel = Exploration(
    "A recipe in your water",
    _recipe_controls,
    _recipe,
    _element_bars,
    _recipe_key,
    _show_recipe,
    given=_waters,
)
"""What to weigh for the main elements of a recipe in tap water, rain water, or a blend of both."""


def _bottle(times: float, bottles: int) -> mixing.Clouding:
    return mixing.gypsum_by_strength(_hoagland(), times, bottles)


def _bottle_key(result: mixing.Clouding, system: str) -> str:
    if result.bottles == 2:
        return "Two bottles: clear"
    return f"One bottle at {result.chosen:g} times: {'cloudy' if result.index > 0 else 'clear'}"


bottle_panel: Exploration[Plan, mixing.Clouding, CloudingCurve] = Exploration(
    "One bottle or two",
    (
        Number("times", "Times as strong as the tank", 100, Scale("1", 1, 300, 1)),
        Pick("bottles", "Salts in", 1, _BOTTLES),
    ),
    _bottle,
    CloudingCurve,
    _bottle_key,
    alone="Bottles are mixed the same way for every tank, so this panel takes nothing from your plan.",
)
"""One bottle of concentrate or two: when gypsum falls out."""


def _meter(strength: Quantity, temperature: Quantity, solution: mixing.Solution) -> mixing.MeterReading:
    return mixing.readings_by_strength(solution, strength.m_as("dimensionless"), temperature)


def _meter_key(result: mixing.MeterReading, system: str) -> str:
    return f"{result.reading.m_as('mS/cm'):.2f} mS/cm"


meter_panel = Exploration(
    "What the meter shows",
    (
        Number("strength", "Strength", 50, Scale("percent", 0, 200, 5)),
        Number("temperature", "Solution temperature", 25, Scale("degC", 5, 35, 1), Scale("degF", 41, 95, 1)),
    ),
    _meter,
    MeterCurve,
    _meter_key,
    given=_solution,
)
"""What the conductivity meter shows for a weaker or stronger solution, warm or cold."""
