"""Routines of topping a tank up, compared over the same drawn seasons."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np
import pint

from stilltank.science.chemistry import Solution, molar_mass
from stilltank.science.mixing import Recipe
from stilltank.science.tank import LevelTable
from stilltank.units import Problem, Q, Quantity

from ._balance import Balance, added_on, reached, rises_of, rules_of, run
from ._checks import shown
from ._feed import Feed, first_strength, follow, prepare_feed, spread, told
from .routines import TopUp, usual_routines
from .setting import Setting
from .skies import Skies, draw

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, eq=False)
class LevelCourses:
    """The level day by day under each routine.

    Parameters
    ----------
    dates : numpy array of datetime64[D], [days]
        The days.
    levels : dict of str to quantity, cm, [3, days]
        By the name of a routine: at the end of each day the level that 10, 50 and 90 of 100 seasons stay under.

    Examples
    --------
    >>> import numpy as np
    >>> days = np.array(["2027-05-10", "2027-05-11"], dtype="datetime64[D]")
    >>> levels = {"no top-up": Q([[24.1, 23.5], [24.6, 24.2], [24.9, 24.8]], "cm")}
    >>> float(LevelCourses(days, levels).levels["no top-up"][1, -1].magnitude)  # the median on the last day
    24.2
    """

    dates: np.ndarray
    levels: Mapping[str, pint.Quantity]


@dataclass(frozen=True, eq=False, kw_only=True)
class Comparison:
    """Routines of topping up side by side; made by `compare` or ``Scenario.compare(...)``.

    Parameters
    ----------
    table : pandas DataFrame
        One row a routine. Medians over the seasons: "water used (L)" by the plants, "added (L)" after the first
        filling, "overflow (L)", "lowest level (cm)"; once the pots have hung clear "largest rise (cm)" over the
        lowest level of the last days, and "days above caution". Shares of the seasons: "above caution (%)", on some
        day that rise is more than `roots.refill_limit` allows, which one paper says may injure; "runs low (%)", on
        some day the solution is at the shortage depth or below, where fewer roots reach it; "runs dry (%)", on some
        day only the unusable rest is left; "neither (%)", not dry and not above the caution. With a solution also "N
        added (g)" after the first filling, "N taken up (g)", "N washed out (g)", "N runs out (%)" (on some day plants
        want more than there is), and what a meter shows: "EC half left (mS/cm)" when half of the filling is first
        left, nan where that comes in fewer than half of the seasons; "EC at the stop (mS/cm)" with its "EC at the
        stop 10 %" and "EC at the stop 90 %", when the share is left at which a crop is ended (data/budget.csv), or on
        the last day where more is left; and apart from these "EC at the dry end (mS/cm)", on the last day of the
        seasons that go on below that share; inf where it is too strong for the conductivity model.
    courses : LevelCourses
        The level day by day.
    seasons : int
        How many were drawn.
    procedures : tuple of str
        How the evapotranspiration was reached, and what the record lacks.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> found = budget.compare("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", [budget.nothing()],
    ...                        start="2027-05-10", members=20)
    >>> found.seasons, list(found.table.index)
    (20, ['no top-up'])
    """

    table: "pd.DataFrame"
    courses: LevelCourses
    seasons: int
    procedures: tuple[str, ...]

    def __str__(self) -> str:
        shares = self.table[["runs dry (%)", "above caution (%)"]]
        told = (
            f"{name}: dry in {dry:.0f} %, above the caution in {wet:.0f} %"
            for name, dry, wet in shares.itertuples()
        )
        return "; ".join(told) + f" of {self.seasons} seasons."


def compare_routines(
    setting: Setting,
    routines: Iterable[TopUp] | None,
    solution: Solution | Recipe | str | None,
    uptake: Mapping[str, pint.Quantity] | None,
    uptake_factor: float | pint.Quantity | None,
    sky: Skies | None,
) -> Comparison:
    """Follow the same seasons with each routine in turn."""
    import pandas as pd

    if setting.tank.net_pot_depth is None:
        raise Problem(
            "To tell when the level rises over the roots, the depth of the net pots is needed. Measure from the rim "
            'down to the bottom of a pot and make the tank with net_pot_depth=Q(7, "cm"), for example.'
        )
    drawn, heights = draw(setting, sky), LevelTable(setting.tank)
    if routines is None:
        routines = usual_routines(
            Q(float(heights.level(setting.filled)), "m"), Q(float(drawn.thirst.mean()), "L")
        )
    chosen = _checked(routines)
    feed = None if solution is None else prepare_feed(solution, uptake, uptake_factor, setting.cover)
    first = 1.0 if feed is None else first_strength(feed, setting.first_conductivity)
    rows, levels = {}, {}
    for routine in chosen:
        tended = replace(setting, top_up=routine, added=added_on(routine, setting.dates))
        found = run(
            tended, drawn.thirst, drawn.rain_in, rules_of(routine, tended, drawn.rain, heights), peaks=True
        )
        rows[routine.name] = _water(tended, found, heights)
        levels[routine.name] = Q(
            100 * np.quantile(heights.level(found.volume), [0.1, 0.5, 0.9], axis=0), "cm"
        )
        if feed is not None:
            rows[routine.name] |= _food(feed, routine, tended, found, drawn.rain_in, first)
    table = pd.DataFrame.from_dict(rows, orient="index")
    table.index.name = "routine"
    return Comparison(
        table=table,
        courses=LevelCourses(setting.dates, levels),
        seasons=len(drawn.thirst),
        procedures=drawn.procedures,
    )


def _checked(routines: object) -> list[TopUp]:
    found = [routines] if isinstance(routines, TopUp) else routines
    if not isinstance(found, Iterable) or isinstance(found, (str, Quantity)):
        raise Problem(f"Give routines such as [nothing(), float_valve()]; you gave {shown(routines)}.")
    found = list(found)
    for one in found:
        if not isinstance(one, TopUp):
            raise Problem(
                f"{shown(one)} is no routine. Write nothing(), by_hand(3), float_valve() or drip(...)."
            )
    if not found:
        raise Problem("There is nothing to compare. Give at least one routine, such as nothing().")
    names = [one.name for one in found]
    if twice := next((name for name in names if names.count(name) > 1), None):
        raise Problem(f"Two routines are called {twice!r}. Give one another name: by_hand(..., name='mine').")
    return found


def _water(setting: Setting, found: Balance, heights: LevelTable) -> dict[str, float]:
    def median(litres: Any) -> float:
        return float(np.median(litres))

    dry = reached(found.volume, setting.unusable).any(axis=1)
    risen = rises_of(setting, found, heights)
    above = risen.above.any(axis=1)
    return {
        "water used (L)": median(found.used.sum(axis=1)),
        "added (L)": median(found.added.sum(axis=1)),
        "overflow (L)": median(found.spilled.sum(axis=1)),
        "lowest level (cm)": median(100 * heights.level(found.volume.min(axis=1))),
        "largest rise (cm)": median(100 * risen.rise.max(axis=1)),
        "days above caution": median(risen.above.sum(axis=1)),
        "above caution (%)": 100 * float(above.mean()),
        "runs low (%)": 100 * float(reached(found.volume, setting.shortage).any(axis=1).mean()),
        "runs dry (%)": 100 * float(dry.mean()),
        "neither (%)": 100 * float((~dry & ~above).mean()),
    }


def _food(
    feed: Feed, routine: TopUp, setting: Setting, balance: Balance, rain_in: Any, first: float
) -> dict[str, float]:
    found = follow(
        feed,
        setting.filled,
        rain_in,
        balance.before,
        np.zeros_like(rain_in) if balance.after is None else balance.after,
        balance.spilled,
        balance.used,
        routine.strength,
        first,
        keep=True,
    )
    columns = {}
    if "N" in feed.elements:
        place = feed.elements.index("N")
        grams = molar_mass("N").m_as("g/mol") / 1000
        columns = {
            "N added (g)": float(np.median((found.added @ feed.belongs)[:, place])) * grams,
            "N taken up (g)": float(np.median(found.taken[:, place])) * grams,
            "N washed out (g)": float(np.median((found.washed @ feed.belongs)[:, place])) * grams,
            "N runs out (%)": 100 * float((found.short[:, place] >= 0).mean()),
        }
    end = found.left / balance.volume[:, -1:]
    half, stop, dry = told(feed, found, balance.volume, setting.filled, end)
    low, middle, high = spread(stop)
    return columns | {
        "EC half left (mS/cm)": float(spread(half)[1]),
        "EC at the stop (mS/cm)": float(middle),
        "EC at the stop 10 %": float(low),
        "EC at the stop 90 %": float(high),
        "EC at the dry end (mS/cm)": float(spread(dry)[1]),
    }
