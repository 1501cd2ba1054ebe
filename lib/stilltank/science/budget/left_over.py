"""Nitrogen that no plant takes: what rain washes out, and what is left in the tank at the end."""

from typing import Any

import numpy as np
import pint

from stilltank.science.chemistry import Solution, molar_mass
from stilltank.science.mixing import Recipe
from stilltank.units import Problem, Q

from ._checks import shown
from ._feed import first_strength, follow, prepare_feed
from .ensemble import Ensemble


def nitrogen_left_over(
    seasons: Ensemble,
    solution: Solution | Recipe | str,
    *,
    cover: str = "open",
    strength: float = 0.0,
    first_conductivity: pint.Quantity | None = None,
) -> pint.Quantity:
    """Find the nitrogen of filling and top-ups that no plant takes, season by season.

    Parameters
    ----------
    seasons : Ensemble
        From `ensemble`.
    solution : Solution, Recipe or str
        What the tank is filled with; as text the name of a recipe by salts.
    cover : str
        "open", "roof" or "indoors": how much plants take with a litre depends on it.
    strength : float
        Of what is added in these seasons: 0 for plain water, 1 for the whole recipe.
    first_conductivity : quantity, mS/cm at 25 °C, optional
        What the meter reads on the first day of a season that is on its way; the recipe as mixed when left out.

    Returns
    -------
    quantity, g, [members]
        Washed out through the overflow hole, and left in the tank on the last day.

    Raises
    ------
    UnitNeeded
        No solution.
    OutOfRange
        A first conductivity that this solution does not reach.
    Problem
        No seasons, or a solution without nitrogen.

    See Also
    --------
    nutrients : Each element of one season.

    Notes
    -----
    The weak points are those of `nutrients`. What a pH acid brings counts only where it is part of the solution.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10", members=20)
    >>> nitrogen_left_over(many, "Hoagland 1").shape
    (20,)
    """
    if not isinstance(seasons, Ensemble):
        raise Problem(f"nitrogen_left_over needs what ensemble(...) makes; you gave {shown(seasons)}.")
    feed = prepare_feed(solution, None, None, cover)
    if "N" not in feed.elements:
        raise Problem("There is no nitrogen in this solution.")
    rain, added, spilled, used = (
        each.m_as("L") for each in (seasons.rain_in, seasons.top_up, seasons.overflow, seasons.transpired)
    )
    none: Any = np.zeros_like(rain)
    early, late = (none, added) if seasons.added_after_use else (added, none)
    first = 1.0 if first_conductivity is None else first_strength(feed, first_conductivity)
    found = follow(feed, float(seasons.filled.m_as("L")), rain, early, late, spilled, used, strength, first)
    place = feed.elements.index("N")
    mmol = ((found.washed + found.left) @ feed.belongs)[:, place]
    return Q(mmol * molar_mass("N").m_as("g/mol") / 1000, "g")
