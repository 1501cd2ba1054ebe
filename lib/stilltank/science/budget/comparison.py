"""Ways of topping a tank up, compared over the same drawn seasons."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.chemistry import molar_mass
from stilltank.science.tank import LevelTable, Tank, preset
from stilltank.science.weather import record_and_cover
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, takes

from ._balance import Rule, Setting, Tended, drowned_days, reached, tend
from ._feed import Feed, conductivity_of, follow, prepare_feed
from ._skies import draw
from .routines import TopUp, by_hand, drip, float_valve, nothing

__all__ = [
    "LevelCourses",
    "TopUp",
    "by_hand",
    "compare",
    "drip",
    "float_valve",
    "nothing",
    "usual_routines",
]


@dataclass(frozen=True, eq=False)
class LevelCourses:
    """The level day by day under each strategy.

    Attributes
    ----------
    dates : numpy array of days
    levels : dict of a strategy's name to a quantity array in cm, [3, days]: at the end of each day the level that 10,
        50 and 90 of 100 seasons stay under
    """

    dates: Any
    levels: Mapping[str, Any]


def compare(
    tank: Tank | str,
    plants: Any,
    weather: Any,
    strategies: Iterable[TopUp] | None = None,
    *,
    solution: Any = None,
    uptake: Mapping[str, Any] | None = None,
    uptake_factor: Any = None,
    start: Any = None,
    days: int | None = None,
    members: int | None = None,
    seed: int = 1,
    fill_level: Any = None,
    overflow_height: Any = None,
    rain_share: Any = None,
    exposure: Any = None,
    coefficient_factor: Any = None,
    reference_et: Any = None,
    age: int = 0,
) -> Any:
    """Compare ways of topping up one tank, each over the same seasons that could come.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``, or the name of a ready-made one
    strategies : of `nothing`, `by_hand`, `float_valve` and `drip`; those of `usual_routines` when left out
    solution : Solution, Recipe or name of a recipe by salts; without one the nutrients are left out
    uptake, uptake_factor : see `nutrients`
    all others : see `ensemble`

    Returns
    -------
    pandas DataFrame, one row a strategy
        Medians over the seasons: "water used (L)" by the plants, "added (L)" after the first filling, "overflow (L)",
        "lowest level (cm)". Shares of the seasons: "drowned roots (%)", on some day the level stands higher above
        the lowest of the last days than `roots.refill_limit` allows once the pots have hung clear; "runs dry (%)",
        on some day only the unusable rest is left. With a solution also "N added (g)" after the first filling,
        "N taken up (g)", "N washed out (g)", "N runs out (%)" (on some day plants want more than there is), and
        "EC at the end (mS/cm)" with its "EC 10 %" and "EC 90 %"; inf where the rest is too
        strong for the conductivity model. ``attrs["courses"]`` holds the `LevelCourses` of the level.

    Raises
    ------
    Problem                  no strategies, two of one name, a tank without ``net_pot_depth``; see also `ensemble`
    UnitNeeded, OutOfRange   see `ensemble`; a level above the overflow hole

    Example
    -------
    >>> from stilltank.science import crops, tank, weather
    >>> table = compare(tank.preset("quillgate-tub"), crops.Plants("basil", 6), weather.site("quillgate"),
    ...                 [nothing(), float_valve()], start="2027-05-10", members=50, seed=7)
    >>> bool(table.loc["no top-up", "runs dry (%)"] > table.loc["float valve, plain water", "runs dry (%)"])
    True

    Limits
    ------
    Each strategy is kept to without a slip: nobody forgets a visit, no valve sticks, no emitter clogs. How long a
    root needs to become one that drowns is assumed (data/budget.csv). All medians are taken by themselves, so a row
    need not add up; each season does. For the nutrients see `nutrients`.
    """
    import pandas as pd

    tank = preset(tank)
    if tank.net_pot_depth is None:
        raise Problem(
            "compare needs the depth of the net pots to tell when roots drown. Measure from the rim down to the "
            'bottom of a pot and make the tank with net_pot_depth=Q(7, "cm"), for example.'
        )
    drawn = draw(
        "compare",
        tank,
        plants,
        weather,
        start=start,
        days=days,
        members=members,
        seed=seed,
        fill_level=fill_level,
        overflow_height=overflow_height,
        rain_share=rain_share,
        exposure=exposure,
        coefficient_factor=coefficient_factor,
        reference_et=reference_et,
        age=age,
    )
    heights, setting = LevelTable(tank), drawn.setting
    if strategies is None:
        strategies = usual_routines(
            Q(float(heights.level(setting.filled)), "m"), Q(float(drawn.thirst.mean()), "L")
        )
    chosen = _checked(strategies)
    cover = record_and_cover(weather, "compare")[1]
    feed = None if solution is None else prepare_feed(solution, uptake, uptake_factor, cover, "compare")
    rows, levels = {}, {}
    for strategy in chosen:
        tended = tend(setting, drawn.thirst, drawn.rain_in, *_rules(strategy, tank, setting, heights))
        rows[strategy.name] = _water(tank, setting, tended, heights)
        levels[strategy.name] = Q(
            100 * np.quantile(heights.level(tended.volume), [0.1, 0.5, 0.9], axis=0), "cm"
        )
        if feed is not None:
            rows[strategy.name] |= _food(feed, strategy, setting, tended, drawn.rain_in)
    table = pd.DataFrame.from_dict(rows, orient="index")
    table.index.name = "strategy"
    table.attrs = {
        "seasons": len(drawn.thirst),
        "procedures": drawn.procedures,
        "courses": LevelCourses(setting.dates, levels),
    }
    return table


@takes(first_level="cm", daily_use="L")
def usual_routines(first_level: Any, daily_use: Any) -> tuple[TopUp, ...]:
    """The strategies that `compare` takes where none are given.

    Parameters
    ----------
    first_level : quantity, of the solution at planting; what the large refill fills to
    daily_use : quantity, volume; what the drip gives each day

    Returns
    -------
    tuple of Strategy: none; small and often with plain water, half and full strength; a large refill to the first
    level, which is the trap; a float valve; a drip

    Raises
    ------
    UnitNeeded, OutOfRange   no length, no volume, or one that cannot be

    Example
    -------
    >>> [strategy.way for strategy in usual_routines(Q(25, "cm"), Q(0.8, "L"))]
    ['nothing', 'by hand', 'by hand', 'by hand', 'by hand', 'float valve', 'drip']
    """
    interval = int(number("budget", "top-up", "large refill interval", "day"))
    return (
        nothing(),
        *(by_hand(strength=strength) for strength in (0.0, 0.5, 1.0)),
        by_hand(
            interval,
            Q(first_level, "cm"),
            Q(first_level, "cm"),
            name=f"large refill every {interval} days, plain water",
        ),
        float_valve(strength=0.5),
        drip(Q(daily_use, "L/hour"), Q(1, "hour"), 0.5),
    )


def _checked(strategies: Any) -> list[TopUp]:
    found = [strategies] if isinstance(strategies, TopUp) else strategies
    if not isinstance(found, Iterable) or isinstance(found, str):
        raise Problem(
            f"compare needs strategies such as [nothing(), float_valve()]; you gave {strategies!r}."
        )
    found = list(found)
    for one in found:
        if not isinstance(one, TopUp):
            raise Problem(f"{one!r} is no strategy. Write nothing(), by_hand(3), float_valve() or drip(...).")
    if not found:
        raise Problem("compare has nothing to compare. Give at least one strategy, such as nothing().")
    names = [one.name for one in found]
    if twice := next((name for name in names if names.count(name) > 1), None):
        raise Problem(
            f"Two strategies are called {twice!r}. Give one another name: by_hand(..., name='mine')."
        )
    return found


def _rules(
    strategy: TopUp, tank: Tank, setting: Setting, heights: LevelTable
) -> tuple[Rule | None, Rule | None]:
    """What is added before the plants drink, and what after."""
    if strategy.way == "nothing":
        return None, None
    if strategy.way == "drip":
        daily = float(strategy.daily.m_as("L"))
        return lambda day, now: np.full_like(now, daily), None
    start = float(heights.level(setting.filled))
    if strategy.level is None:
        level = number("budget", "top-up", "holding level", "1") * start
    else:
        level = float(strategy.level.m_as("m"))
    hole = float(heights.level(setting.brim))
    if level > hole + 1e-9:
        raise OutOfRange(
            f"{strategy.name}: a level of {level * 100:.4g} cm lies above the overflow hole or rim, at "
            f"{hole * 100:.4g} cm. Take a lower level."
        )
    full = float(heights.volume(level))
    if strategy.way == "float valve":
        return None, lambda day, now: np.maximum(full - now, 0)
    rise = number("budget", "top-up", "small rise", "m") if strategy.rise is None else strategy.rise.m_as("m")

    def visit(day: int, now: Any) -> Any:
        if day == 0 or day % strategy.every:
            return np.zeros_like(now)
        return np.maximum(np.minimum(heights.volume(heights.level(now) + rise), full) - now, 0)

    return visit, None


def _water(tank: Tank, setting: Setting, tended: Tended, heights: LevelTable) -> dict[str, float]:
    def median(litres: Any) -> float:
        return float(np.median(litres))

    dry = reached(tended.volume, setting.unusable).any(axis=1)
    return {
        "water used (L)": median(tended.used.sum(axis=1)),
        "added (L)": median((tended.before + tended.after).sum(axis=1)),
        "overflow (L)": median(tended.spilled.sum(axis=1)),
        "lowest level (cm)": median(100 * heights.level(tended.volume.min(axis=1))),
        "drowned roots (%)": 100 * float(drowned_days(tank, setting, tended, heights).any(axis=1).mean()),
        "runs dry (%)": 100 * float(dry.mean()),
    }


def _food(feed: Feed, strategy: TopUp, setting: Setting, tended: Tended, rain_in: Any) -> dict[str, float]:
    found = follow(
        feed,
        setting.filled,
        rain_in,
        tended.before,
        tended.after,
        tended.spilled,
        tended.used,
        strategy.strength,
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
    ends = conductivity_of(feed, found.left / tended.volume[:, -1:])
    # what is too strong for the model is the strongest, and a quantile must not slip between it and a number
    ends = np.where(np.isnan(ends), np.inf, ends)
    low, middle, high = np.quantile(ends, [0.1, 0.5, 0.9], method="nearest")
    return columns | {
        "EC at the end (mS/cm)": float(middle),
        "EC 10 %": float(low),
        "EC 90 %": float(high),
    }
