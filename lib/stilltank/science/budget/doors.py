"""The budget in one call, for notebooks; what may be chosen is explained once, in `Scenario.make`."""

from collections.abc import Iterable, Mapping
from typing import Unpack

import pint

from stilltank.science.chemistry import Solution
from stilltank.science.mixing import Recipe
from stilltank.science.tank import Tank

from .comparison import Comparison
from .ensemble import Ensemble
from .looks import LatestLook
from .routines import TopUp
from .scenario import Choices, PlaceLike, PlantsLike, Scenario
from .season import Season


def season(
    tank: Tank | str, plants: PlantsLike, weather: PlaceLike = None, **choices: Unpack[Choices]
) -> Season:
    """Follow the water of a tank through one season: ``Scenario.make(...).season()``.

    Parameters
    ----------
    tank : Tank or str
        As in `Scenario.make`.
    plants : Plants, Planting, or a list of them
        As in `Scenario.make`.
    weather : Site, Weather or str, optional
        As in `Scenario.make`.
    **choices
        The other choices of `Scenario.make`, by name.

    Returns
    -------
    Season
        One row a day.

    Raises
    ------
    Problem
        As `Scenario.make`; or the record does not hold these days.

    Examples
    --------
    >>> from stilltank.science import crops
    >>> found = season("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2019-05-10", days=30)
    >>> len(found), found.run_dry is None
    (30, True)
    """
    return Scenario.make(tank, plants, weather, **choices).season()


def ensemble(
    tank: Tank | str, plants: PlantsLike, weather: PlaceLike = None, **choices: Unpack[Choices]
) -> Ensemble:
    """Follow the water of a tank through many seasons that could come: ``Scenario.make(...).ensemble()``.

    Parameters
    ----------
    tank : Tank or str
        As in `Scenario.make`.
    plants : Plants, Planting, or a list of them
        As in `Scenario.make`.
    weather : Site, Weather or str, optional
        As in `Scenario.make`.
    **choices
        The other choices of `Scenario.make`, by name.

    Returns
    -------
    Ensemble
        Arrays of [members, days].

    Raises
    ------
    Problem
        As `Scenario.make`; or the record has no days near the season.

    Examples
    --------
    >>> from stilltank.science import crops
    >>> plants = crops.Plants("lettuce", 4)
    >>> ensemble("quillgate-tub", plants, "quillgate", start="2027-05-10", days=30, seed=7).volume.shape
    (200, 30)
    """
    return Scenario.make(tank, plants, weather, **choices).ensemble()


def compare(
    tank: Tank | str,
    plants: PlantsLike,
    weather: PlaceLike = None,
    routines: Iterable[TopUp] | None = None,
    solution: Solution | Recipe | str | None = None,
    *,
    uptake: Mapping[str, pint.Quantity] | None = None,
    uptake_factor: float | pint.Quantity | None = None,
    **choices: Unpack[Choices],
) -> Comparison:
    """Compare routines of topping up one tank: ``Scenario.make(...).compare(routines, solution)``.

    Parameters
    ----------
    tank : Tank or str
        As in `Scenario.make`.
    plants : Plants, Planting, or a list of them
        As in `Scenario.make`.
    weather : Site, Weather or str, optional
        As in `Scenario.make`.
    routines : list of TopUp, optional
        As in `Scenario.compare`.
    solution : Solution, Recipe or str, optional
        As in `Scenario.compare`.
    uptake : dict of str to quantity, mmol/L or mg/L, optional
        As in `nutrients`.
    uptake_factor : float or quantity, dimensionless, optional
        As in `nutrients`.
    **choices
        The other choices of `Scenario.make`, by name.

    Returns
    -------
    Comparison
        A table with one row a routine, and the courses of the level.

    Raises
    ------
    Problem
        As `Scenario.make` and `Scenario.compare`.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> found = compare("quillgate-tub", crops.Plants("basil", 6), "quillgate",
    ...                 [budget.nothing(), budget.float_valve()], start="2027-05-10", members=50, seed=7)
    >>> dry = found.table["runs dry (%)"]
    >>> bool(dry["no top-up"] > dry["float valve, plain water"])
    True
    """
    return Scenario.make(tank, plants, weather, **choices).compare(
        routines, solution, uptake=uptake, uptake_factor=uptake_factor
    )


def latest_look(
    tank: Tank | str,
    plants: PlantsLike,
    weather: PlaceLike = None,
    certainty: float | None = None,
    **choices: Unpack[Choices],
) -> LatestLook:
    """Find the day by which someone must look at a tank again: ``Scenario.make(...).latest_look(certainty)``.

    Parameters
    ----------
    tank : Tank or str
        As in `Scenario.make`.
    plants : Plants, Planting, or a list of them
        As in `Scenario.make`.
    weather : Site, Weather or str, optional
        As in `Scenario.make`.
    certainty : float, optional
        Share of the seasons in which the answer holds, 0.5 to 0.99; 0.95 when left out.
    **choices
        The other choices of `Scenario.make`, by name; ``start``, ``first_level`` and ``age`` are those of today.

    Returns
    -------
    LatestLook
        The day, and the levels up to it.

    Raises
    ------
    Problem
        As `Scenario.make` and `Scenario.latest_look`.

    Examples
    --------
    >>> from stilltank.science import crops
    >>> from stilltank.units import Q
    >>> found = latest_look("quillgate-tub", crops.Plants("basil", 6), "quillgate", start="2027-06-20", age=40,
    ...                     first_level=Q(15, "cm"))
    >>> 5 < found.days < found.median_days
    True
    """
    return Scenario.make(tank, plants, weather, **choices).latest_look(certainty)
