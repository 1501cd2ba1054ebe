"""What a meter shows while the solution falls: over many seasons, and over what is assumed of the uptake."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pint

from stilltank.science.chemistry import Solution, Water
from stilltank.science.mixing import Recipe
from stilltank.tables import load
from stilltank.units import Problem, Q

from ._checks import shown
from ._feed import follow, prepare_feed, readings, spread, stated_fillings, told
from .ensemble import Ensemble

_NOTHING = 1e-9  # L; what an empty tank is taken to hold, so that its reading is beyond the model


@dataclass(frozen=True, eq=False, kw_only=True)
class SaltCourse:
    """Conductivity at stated fillings; made by `salt_course`.

    Parameters
    ----------
    filled : quantity, mS/cm
        At 25 °C, on the day of filling.
    half, stop, dry_end : quantity, mS/cm, [3]
        Low, middle and high: when half of the filling is first left; when the share is left at which a crop is ended,
        or on the last day where more is left; and, apart from these, on the last day of the seasons that go on below
        that share. nan where fewer than half of the seasons come to it, inf where it is too strong for the model.
    shares : tuple of float
        What is left of the filling at the first two.
    share_dry : float
        Of the seasons that go on below the second of these, 0 to 1.

    See Also
    --------
    nutrients : Each element of one season.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10", members=20)
    >>> salt_course(many, "Hoagland 1").shares
    (0.5, 0.15)
    """

    filled: pint.Quantity
    half: pint.Quantity
    stop: pint.Quantity
    dry_end: pint.Quantity
    shares: tuple[float, float]
    share_dry: float


def salt_course(
    seasons: Ensemble,
    solution: Solution | Recipe | str,
    *,
    cover: str = "open",
    strength: float = 0.0,
    top_up_water: Water | None = None,
    uptake_factor: float | None = None,
) -> SaltCourse:
    """Find what a meter shows at stated fillings of a tank.

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
    top_up_water : Water
        What is topped up with, where that is another water than that of the filling.
    uptake_factor : float, optional
        Share of the published uptake that plants take with a litre; low and high are then those of the seasons alone.
        The whole range of the cover when left out.

    Returns
    -------
    SaltCourse
        Low, middle and high at each filling.

    Raises
    ------
    UnitNeeded
        No solution.
    Problem
        No seasons, another cover, or a solution with nothing in it that plants take.

    Notes
    -----
    The weak points are those of `nutrients`. The range joins the seasons with the share of the published uptake that
    plants are assumed to take with a litre: low is the reading that 10 of 100 seasons stay under with the highest
    share, high that which 90 stay under with the lowest.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("basil", 4), "quillgate", start="2027-05-10", members=20)
    >>> found = salt_course(many, "Hoagland 1")
    >>> bool(found.filled < found.half[1] < found.stop[1])
    True
    """
    if not isinstance(seasons, Ensemble):
        raise Problem(f"salt_course needs what ensemble(...) makes; you gave {shown(seasons)}.")
    if not isinstance(cover, str) or (cover, "factor") not in load("uptake"):
        raise Problem(f"A tank stands open, under a roof or indoors; {shown(cover)} is none of these words.")
    entry = load("uptake")[cover, "factor"]
    most, least = (float(end.m_as("dimensionless")) for end in reversed(entry.range))
    if uptake_factor is None:
        factors = (most, float(entry.quantity.m_as("dimensionless")), least)
        found = [_told(seasons, solution, factor, cover, strength, top_up_water) for factor in factors]
    else:
        found = 3 * [_told(seasons, solution, uptake_factor, cover, strength, top_up_water)]
    ends: dict[str, Any] = {
        name: Q(np.array([one[name][place] for place, one in enumerate(found)]), "mS/cm")
        for name in ("half", "stop", "dry_end")
    }
    return SaltCourse(
        filled=Q(float(found[1]["filled"]), "mS/cm"),
        shares=stated_fillings(),
        share_dry=float(found[1]["share_dry"]),
        **ends,
    )


def _told(
    seasons: Ensemble, solution: Any, factor: float, cover: str, strength: float, top_up_water: Water | None
) -> dict[str, Any]:
    feed = prepare_feed(solution, None, factor, cover, top_up_water)
    volume, rain, added, spilled, used = (
        each.m_as("L")
        for each in (
            seasons.volume,
            seasons.rain_in,
            seasons.top_up,
            seasons.overflow,
            seasons.transpired,
        )
    )
    filled, nothing = float(seasons.filled.m_as("L")), np.zeros_like(volume)
    early, late = (nothing, added) if seasons.added_after_use else (added, nothing)
    found = follow(feed, filled, rain, early, late, spilled, used, strength, keep=True)
    half, stop, dry = told(feed, found, volume, filled, found.left / np.maximum(volume[:, -1:], _NOTHING))
    return {
        "filled": readings(feed, found.filled[:1] / filled)[0],
        "half": spread(half),
        "stop": spread(stop),
        "dry_end": spread(dry),
        "share_dry": (~np.isnan(dry)).mean(),
    }
