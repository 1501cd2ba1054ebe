"""Nitrogen that no plant takes: by mass, and what rain does to it."""

import numpy as np
import pytest
from stilltank.science import budget, crops
from stilltank.science.mixing import recipe_solution
from stilltank.units import Problem, Q, UnitNeeded

USUAL = {"start": "2027-05-10", "members": 40}


def seasons(count=4, place="quillgate", **changes):
    return budget.ensemble("quillgate-tub", crops.Plants("lettuce", count), place, **{**USUAL, **changes})


def filled(many):
    """Grams of nitrogen in the filling, from the recipe alone."""
    return (recipe_solution("Hoagland 1").elements["N"] * many.filled).m_as("g")


def test_what_a_season_without_rain_leaves_is_the_filling_less_the_uptake_of_the_water_drunk():
    """Three lines of hand working: uptake a litre times litres, no more than there was."""
    many = seasons(rain_share=Q(0, "percent"))
    from stilltank.tables import load, number

    litre = load("uptake")["with the water", "N"].quantity.m_as("mmol/L") * number(
        "uptake", "open", "factor", "1"
    )
    taken = many.transpired.m_as("L").sum(axis=1) * litre * 14.007 / 1000
    found = budget.nitrogen_left_over(many, "Hoagland 1").m_as("g")
    assert found == pytest.approx(np.maximum(filled(many) - taken, 0), abs=0.01)


def test_fewer_plants_leave_more_and_none_leaves_more_than_went_in():
    few, many = (budget.nitrogen_left_over(seasons(count), "Hoagland 1").m_as("g") for count in (1, 6))
    assert (few >= many).all()
    assert (few <= filled(seasons()) + 1e-9).all()


def test_a_solution_without_nitrogen_and_what_is_no_season_are_refused():
    with pytest.raises(Problem, match="ensemble"):
        budget.nitrogen_left_over("a season", "Hoagland 1")
    with pytest.raises(UnitNeeded):
        budget.nitrogen_left_over(seasons(), 5)
