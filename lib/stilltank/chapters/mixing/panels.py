"""The panels of chapter 1: one salt, a recipe in your water, one bottle or two, and what the meter shows."""

from functools import lru_cache
from typing import Any

from stilltank.science import mixing, products
from stilltank.show.figures import ElementBars
from stilltank.show.panels import ExplorePanel, Number, PartDrawn, Pick, Scale, explore
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


def salt_panel() -> ExplorePanel:
    """Grams of one salt in a tank: how many milligrams of each element in a litre."""

    def calculate(salt: str, mass: Any, volume: Any) -> mixing.Solution:
        return mixing.mix({salt: mass}, volume)

    def key(solution: mixing.Solution, system: str) -> str:
        return ", ".join(
            f"{name} {amount.m_as('mg/L'):.3g} mg/L" for name, amount in solution.elements.items()
        )

    salts = [(products.salt(name).name, name) for name in _FOR_ONE]
    return explore(
        "One salt in a tank",
        [
            _VOLUME,
            Pick("salt", "Salt", _FOR_ONE[0], salts),
            Number("mass", "Weighed", 20.0, Scale("g", 0, 60, 0.5), Scale("oz", 0, 2.1, 0.05)),
        ],
        calculate,
        lambda system, large: PartDrawn(
            ElementAmounts(system, large), lambda drawing, solution: drawing.show(solution.elements)
        ),
        key,
    )


def recipe_panel() -> ExplorePanel:
    """What to weigh for the main elements of a recipe in tap water, rain water, or a blend of both."""

    hard, soft = mixing.demo_water("quillgate-tap"), mixing.demo_water("quillgate-rain")
    recipes = [("leafy salad and herbs", "leafy"), ("flowers", "flowering")]
    full = {
        name: {element: mixing.recipe_targets(name)[element] for element in _MAIN_ELEMENTS}
        for _, name in recipes
    }
    # The trace elements have salts of their own, which none of these controls would change.
    shelf = [name for name in products.usual_salts() if set(products.salt(name).release) & _MAIN_IONS]

    @lru_cache(maxsize=32)
    def blended(share: float) -> mixing.Water:
        return mixing.blend(hard, Q(share, "L"), soft, Q(1 - share, "L")).water

    def calculate(recipe: str, volume: Any, strength: Any, tap: Any) -> mixing.Recipe:
        water = blended(tap.m_as("dimensionless"))
        times = strength.m_as("dimensionless")
        wanted = {name: target * times for name, target in full[recipe].items()}
        return mixing.weigh_out(wanted, shelf, volume, water)

    def draw(bars: Any, recipe: mixing.Recipe) -> Any:
        nothing = Q(0, "mg/L")
        water = {name: recipe.water.elements.get(name, nothing) for name in recipe.targets}
        salts = {name: recipe.reached[name] - water[name] for name in recipe.targets}
        return bars.show(recipe.targets, {"from the water": water, "from the salts": salts})

    def key(recipe: mixing.Recipe, system: str) -> str:
        return ", ".join(f"{write(recipe.masses[name], system)} {name}" for name in list(recipe.masses)[:2])

    return explore(
        "A recipe in your water",
        [
            _VOLUME,
            Pick("recipe", "Recipe", "leafy", recipes),
            Number("strength", "Strength", 100, Scale("percent", 25, 150, 5)),
            Number("tap", "Tap water in rain water", 100, Scale("percent", 0, 100, 5)),
        ],
        calculate,
        lambda system, large: PartDrawn(ElementBars(large), draw),
        key,
    )


def bottle_panel() -> ExplorePanel:
    """One bottle of concentrate or two: when gypsum falls out."""
    solution = mixing.recipe_solution("Hoagland 1")

    def calculate(times: float, bottles: int) -> mixing.Clouding:
        return mixing.gypsum_by_strength(solution, times, bottles)

    def key(result: mixing.Clouding, system: str) -> str:
        if result.bottles == 2:
            return "Two bottles: clear"
        return f"One bottle at {result.chosen:g} times: {'cloudy' if result.index > 0 else 'clear'}"

    return explore(
        "One bottle or two",
        [
            Number("times", "Times as strong as the tank", 100, Scale("1", 1, 300, 1)),
            Pick("bottles", "Salts in", 1, [("one bottle", 1), ("two bottles, A and B", 2)]),
        ],
        calculate,
        CloudingCurve,
        key,
    )


def meter_panel() -> ExplorePanel:
    """What the conductivity meter shows for a weaker or stronger solution, warm or cold."""
    solution = mixing.recipe_solution("Hoagland 1")

    def calculate(strength: Any, temperature: Any) -> mixing.MeterReading:
        return mixing.readings_by_strength(solution, strength.m_as("dimensionless"), temperature)

    return explore(
        "What the meter shows",
        [
            Number("strength", "Strength", 50, Scale("percent", 0, 200, 5)),
            Number(
                "temperature",
                "Solution temperature",
                25,
                Scale("degC", 5, 35, 1),
                Scale("degF", 41, 95, 1),
            ),
        ],
        calculate,
        MeterCurve,
        lambda result, system: f"{result.reading.m_as('mS/cm'):.2f} mS/cm",
    )
