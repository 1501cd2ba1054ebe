"""What becomes of the nutrients while plants and rain move the water."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
import pint

from stilltank.science.chemistry import Solution, Water, molar_mass
from stilltank.science.mixing import Recipe
from stilltank.units import Problem, Q, Quantity, UnitNeeded, check_shapes, magnitude, takes, within

from ._checks import shown
from ._feed import conductivity_of, first_strength, follow, prepare_feed, readings, told
from .season import Season

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, eq=False, kw_only=True)
class NutrientCourse:
    """Nutrients and conductivity through a season; made by `nutrients`.

    Parameters
    ----------
    table : pandas DataFrame
        One row a day: "EC (mS/cm)" at 25 °C, and for each element "N (mg/L)" at the end of the day and "N taken up
        (mg)".
    balance : dict of str to dict of str to float, mg
        By element: what was "filled (mg)", "added (mg)", "taken up (mg)", "washed out (mg)" and is "left (mg)".
    conductivity : dict of str to quantity, mS/cm
        What a meter shows at 25 °C at stated fillings: "filled", "half left", "at the stop" (see `Comparison`), and
        apart from these "dry end" on the last day where less is left; None where the season does not come to it.
    short : dict of str to date
        By element: the first day on which plants wanted more of it than there was, or None.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> water = budget.season("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2019-05-10")
    >>> found = budget.nutrients(water, "Hoagland 1")
    >>> len(found.table) == len(water), found.short["Ca"]
    (True, None)
    """

    table: "pd.DataFrame"
    balance: Mapping[str, Mapping[str, float]]
    conductivity: Mapping[str, pint.Quantity | None]
    short: Mapping[str, date | None]


def nutrients(
    season: Season,
    solution: Solution | Recipe | str,
    uptake: Mapping[str, pint.Quantity] | None = None,
    *,
    uptake_factor: float | pint.Quantity | None = None,
    top_up_water: Water | None = None,
) -> NutrientCourse:
    """Follow each nutrient and the conductivity through a season.

    Parameters
    ----------
    season : Season
        From `season`; its top-ups say how strong they were.
    solution : Solution, Recipe or str
        What the tank was filled with; as text the name of a recipe by salts.
    uptake : dict of str to quantity, mmol/L or mg/L
        By element, for each litre of water used. Those of data/uptake.csv when left out, times its factor for the
        cover of the place. An element that is not named in a dict of your own is not taken up.
    uptake_factor : float or quantity, dimensionless
        1 for the uptake as given.
    top_up_water : Water
        What is topped up with, where that is another water than that of the filling.

    Returns
    -------
    NutrientCourse
        The table, the balance of each element, and when one runs short.

    Raises
    ------
    UnitNeeded
        No solution, a value without a unit.
    OutOfRange
        A value that cannot be; a first conductivity that this solution does not reach.
    Unreadable
        A factor that is no number.
    Problem
        No season, an element that is not followed, a solution with nothing in it that plants take.

    Notes
    -----
    Balance by mass, day by day. Uptake in proportion to the water used is a rough rule: it changes with climate, age
    and strength, and lettuce alone is the model for every crop here. Plants take what they want until an element is
    used up, ammonium and nitrate in proportion. Rain counts as pure, overflow as well mixed. Trace elements are left
    out, and so are the acids and bases that roots give off: the conductivity of ions that no longer balance is off by
    some percent. Where the rest is too strong for the conductivity model the value is nan.

    A season that begins with a ``first_conductivity`` begins with as much of the recipe's salts as give that reading.
    By then plants have changed the proportions: the reading knows nothing of it.

    References
    ----------
    BATAVIA2024, abstract, for the usual uptake.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> water = budget.season("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2019-05-10")
    >>> food = nutrients(water, "Hoagland 1")
    >>> bool(food.table["EC (mS/cm)"].iloc[-1] > food.table["EC (mS/cm)"].iloc[0])  # more water is used than salt
    True
    """
    import pandas as pd

    if not isinstance(season, Season):
        raise Problem(f"nutrients needs what season(...) makes; you gave {shown(season)}.")
    needed = ("rain in (L)", "top-up (L)", "overflow (L)", "transpired (L)")
    feed = prepare_feed(solution, uptake, uptake_factor, season.cover, top_up_water)
    rain, added, spilled, used = (season.table[name].to_numpy(float)[None] for name in needed)
    nothing = np.zeros_like(added)
    before, after = (nothing, added) if season.top_up.after_use else (added, nothing)
    found = follow(
        feed,
        float(season.filled.m_as("L")),
        rain,
        before,
        after,
        spilled,
        used,
        season.top_up.strength,
        first_strength(feed, season.first_conductivity),
        keep=True,
    )
    history = found.history[:, 0]
    grams = np.array([molar_mass(element).m_as("g/mol") for element in feed.elements])
    columns: dict[str, np.ndarray] = {"EC (mS/cm)": conductivity_of(feed, history)}
    for place, element in enumerate(feed.elements):
        columns[f"{element} (mg/L)"] = (history @ feed.belongs)[:, place] * grams[place]
        columns[f"{element} taken up (mg)"] = found.daily[:, 0, place] * grams[place]
    parts = {
        "filled (mg)": found.filled @ feed.belongs,
        "added (mg)": found.added @ feed.belongs,
        "taken up (mg)": found.taken,
        "washed out (mg)": found.washed @ feed.belongs,
        "left (mg)": found.left @ feed.belongs,
    }
    volume = season.table["volume (L)"].to_numpy(float)[None]
    filled = float(season.filled.m_as("L"))
    first = readings(feed, found.filled / filled)
    meter = zip(
        ("filled", "half left", "at the stop", "dry end"),
        (first, *told(feed, found, volume, filled, history[-1:])),
        strict=True,
    )
    index = season.table.index
    return NutrientCourse(
        table=pd.DataFrame(columns, index=index),
        balance={
            element: {name: float(mmol[0, place] * grams[place]) for name, mmol in parts.items()}
            for place, element in enumerate(feed.elements)
        },
        conductivity={
            name: None if np.isnan(value[0]) else Q(float(value[0]), "mS/cm") for name, value in meter
        },
        short={
            element: None if day < 0 else index[day].date()
            for element, day in zip(feed.elements, found.short[0], strict=True)
        },
    )


@takes(volume_before="L", volume_after="L")
def concentration_after_uptake(
    concentration: pint.Quantity,
    uptake: pint.Quantity,
    volume_before: pint.Quantity,
    volume_after: pint.Quantity,
) -> pint.Quantity:
    """Find the concentration, or the conductivity, after plants have used a part of the water.

    Parameters
    ----------
    concentration : quantity, mg/L, mmol/L or mS/cm, one or an array
        Before.
    uptake : quantity of the same kind
        What each litre used takes with it.
    volume_before, volume_after : quantity, volume, one or an array
        Of the solution.

    Returns
    -------
    quantity
        In the unit of ``concentration``; 0 where all has been taken up.

    Raises
    ------
    UnitNeeded
        A bare number, or two kinds.
    OutOfRange
        A negative value, no volume, or more water afterwards than before.
    Problem
        Arrays that do not fit each other.

    Notes
    -----
    Balance by mass: C = u + (C0 - u) V0/V. Conductivity is not quite proportional to concentration, so this is within
    some percent for it; and the uptake of a real plant changes on the way.

    Examples
    --------
    >>> round(concentration_after_uptake(Q(1.8, "mS/cm"), Q(1.2, "mS/cm"), Q(30, "L"), Q(15, "L")).magnitude, 6)
    2.4
    """
    if not isinstance(concentration, Quantity):
        raise UnitNeeded(
            'concentration_after_uptake needs a concentration or a conductivity, such as Q(150, "mg/L") or '
            f'Q(1.8, "mS/cm"). You gave {shown(concentration)}.'
        )
    unit = f"{concentration.units}"
    start, takes_ = (
        magnitude(value, unit, name, "concentration_after_uptake")
        for value, name in ((concentration, "concentration"), (uptake, "uptake"))
    )
    sizes = {
        "concentration": np.shape(start),
        "uptake": np.shape(takes_),
        "volume_before": np.shape(volume_before),
        "volume_after": np.shape(volume_after),
    }
    check_shapes(sizes, "concentration_after_uptake")
    for value in (start, takes_):
        within(value, 0, np.inf, "concentration_after_uptake: a concentration is not negative; {value:g} is.")
    within(
        volume_after,
        1e-9,
        np.inf,
        "concentration_after_uptake: nothing is left of {value:g} L; write what is left.",
    )
    within(
        volume_before - volume_after,
        0,
        np.inf,
        "concentration_after_uptake: the volume afterwards is larger than before, by a use of {value:g} L. Exchange "
        "the two.",
    )
    return Q(np.maximum(takes_ + (start - takes_) * volume_before / volume_after, 0.0), unit)
