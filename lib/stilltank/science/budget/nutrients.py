"""What becomes of the nutrients while plants and rain move the water."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from stilltank.science.chemistry import molar_mass
from stilltank.units import Problem, Q, Quantity, UnitNeeded, magnitude, takes, within

from ._feed import conductivity_of, follow, prepare_feed, strength_share


def nutrients(
    table: Any,
    solution: Any,
    uptake: Mapping[str, Any] | None = None,
    *,
    uptake_factor: Any = None,
    top_up_strength: Any = 0.0,
) -> Any:
    """Follow each nutrient and the conductivity through a season.

    Parameters
    ----------
    table : pandas DataFrame from `season`
    solution : Solution, Recipe, or the name of a recipe by salts; what the tank was filled with
    uptake : dict of element to quantity, mmol or mg for each litre of water used
        Those of data/uptake.csv when left out, times its factor for the site's cover. An element that is not named
        in a dict of your own is not taken up.
    uptake_factor : plain number or quantity; 1 for the uptake as given
    top_up_strength : plain number or quantity, 0 for plain water (the solution's own), 1 for the whole recipe

    Returns
    -------
    pandas DataFrame, one row a day: "EC (mS/cm)" at 25 °C, and for each element "N (mg/L)" at the end of the day and
    "N taken up (mg)". ``attrs["balance"]`` holds for each element what was filled, added, taken up, washed out
    and is left, in mg; ``attrs["short"]`` the first date on which plants wanted more of an element than there was,
    or None.

    Raises
    ------
    Problem                  a table that is none of `season`, an element that is not followed
    UnitNeeded, OutOfRange   no solution, a value without a unit or out of bounds

    Example
    -------
    >>> from stilltank.science import budget, crops, tank, weather
    >>> water = budget.season(tank.preset("quillgate-tub"), crops.Plants("lettuce", 4), weather.site("quillgate"),
    ...                       start="2019-05-10", fill_level=Q(24, "cm"))
    >>> food = nutrients(water, "Hoagland 1")
    >>> bool(food["EC (mS/cm)"].iloc[-1] > food["EC (mS/cm)"].iloc[0])  # plants take more water than salt
    True

    Limits
    ------
    Uptake in proportion to the water used is a rough rule: it changes with climate, age and strength, and stands for
    every crop here on lettuce alone. Plants take what they want until an element is used up, ammonium and nitrate in
    proportion. Rain counts as pure, overflow as well mixed. Trace elements are left out, and so are the acids and
    bases that roots give off: the conductivity of ions that no longer balance is off by some percent. Where the rest
    is too strong for the conductivity model the value is nan.

    Source: Batavia lettuce in Front. Plant Sci. 15:1411572 (2024), abstract; balance by mass.
    """
    import pandas as pd

    needed = ("rain in (L)", "top-up (L)", "overflow (L)", "transpired (L)")
    if not isinstance(table, pd.DataFrame) or not {*needed} <= {*table.columns}:
        raise Problem(f"nutrients needs the table that season(...) makes; you gave a {type(table).__name__}.")
    if "filled (L)" not in table.attrs or not len(table):
        raise Problem(
            "nutrients: this table has lost its filling, or its days. Take it as season(...) made it."
        )
    feed = prepare_feed(solution, uptake, uptake_factor, table.attrs.get("cover", "open"), "nutrients")
    strength = strength_share(top_up_strength, "nutrients", "top_up_strength")
    rain, added, spilled, used = (table[name].to_numpy(float)[None] for name in needed)
    found = follow(
        feed, table.attrs["filled (L)"], rain, added, np.zeros_like(added), spilled, used, strength, keep=True
    )
    history = found.history[:, 0]
    grams = np.array([molar_mass(element).m_as("g/mol") for element in feed.elements])
    columns: dict[str, Any] = {"EC (mS/cm)": conductivity_of(feed, history)}
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
    result = pd.DataFrame(columns, index=table.index)
    result.attrs = {
        "balance": {
            element: {name: float(mmol[0, place] * grams[place]) for name, mmol in parts.items()}
            for place, element in enumerate(feed.elements)
        },
        "short": {
            element: None if day < 0 else table.index[day].date()
            for element, day in zip(feed.elements, found.short[0], strict=True)
        },
    }
    return result


@takes(volume_before="L", volume_after="L")
def concentration_after_uptake(concentration: Any, uptake: Any, volume_before: Any, volume_after: Any) -> Any:
    """Concentration, or conductivity, after plants have used a part of the water.

    Parameters
    ----------
    concentration : quantity, mg/L, mmol/L or mS/cm, before
    uptake : quantity of the same kind, what each litre used takes with it
    volume_before, volume_after : quantities, of the solution

    Returns
    -------
    quantity in the unit of ``concentration``; 0 where all has been taken up

    Raises
    ------
    UnitNeeded   a bare number, or two kinds
    OutOfRange   a negative value, no volume, or more water afterwards than before

    Example
    -------
    >>> round(concentration_after_uptake(Q(1.8, "mS/cm"), Q(1.2, "mS/cm"), Q(30, "L"), Q(15, "L")).magnitude, 6)
    2.4

    Limits: conductivity is not quite proportional to concentration, so this is within some percent for it; and the
    uptake of a real plant changes on the way.
    Source: balance by mass, C = u + (C0 - u) V0/V.
    """
    if not isinstance(concentration, Quantity):
        raise UnitNeeded(
            'concentration_after_uptake needs a concentration or a conductivity, such as Q(150, "mg/L") or '
            f'Q(1.8, "mS/cm"). You gave {concentration!r}.'
        )
    unit = f"{concentration.units}"
    start, takes_ = (
        magnitude(value, unit, name, "concentration_after_uptake")
        for value, name in ((concentration, "concentration"), (uptake, "uptake"))
    )
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
