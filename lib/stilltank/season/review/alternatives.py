"""Plans side by side over the same weather: what each would give, as ranges, and what the difference proves."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

import numpy as np

from stilltank import tables
from stilltank.science import budget, crops
from stilltank.season.plan import Plan
from stilltank.show.figures import short_day
from stilltank.show.given import known_system, of_kind
from stilltank.units import Problem, Q, write, write_range

if TYPE_CHECKING:
    import pandas as pd

AS_PLANNED = "as planned"
# How it is said that one is better, and that it is worse.
_WORDS = {
    ("day", "less"): ("earlier", "later"),
    ("day", "more"): ("later", "earlier"),
    ("1", "more"): ("more", "fewer"),
    ("1", "less"): ("fewer", "more"),
    ("", "more"): ("more", "less"),
    ("", "less"): ("less", "more"),
}
_IN_THE_TABLE = ("plan", "tank dry", "water used", "nitrogen not used")  # alone: a sentence is listened to
_NEVER = np.datetime64("9999-01-01")


@dataclass(frozen=True, eq=False)
class Measure:
    """One thing that plans are compared by.

    Parameters
    ----------
    name : str
        Such as "first flower".
    unit : str
        "day" for dates, "1" for plain numbers, else the unit of the values.
    better : {"more", "less", ""}
        Whether a larger or a smaller value is better: a later or an earlier day. Empty where neither is.
    values : dict of str to array, [members]
        By plan: dates or plain numbers, one a season.

    Examples
    --------
    >>> Measure("added", "L", "less", {"as planned": np.array([0.0, 1.0])}).range("as planned")[1]
    0.5
    """

    name: str
    unit: str
    better: str
    values: Mapping[str, Any]

    def range(self, plan: str) -> tuple[Any, Any, Any]:
        """Find the value that 10, 50 and 90 of 100 seasons stay under.

        Parameters
        ----------
        plan : str
            Its name.

        Returns
        -------
        tuple of three
            Plain numbers; or dates, None for a day that does not come within the season.
        """
        found = self.values[plan]
        if self.unit != "day":
            low, middle, high = (float(each) for each in np.quantile(found, [0.1, 0.5, 0.9]))
            return low, middle, high
        days = np.sort(found)
        picked = [days[min(int(np.ceil(share * days.size)), days.size) - 1] for share in (0.1, 0.5, 0.9)]
        early, usual, late = (None if day >= _NEVER else day.astype("datetime64[D]").item() for day in picked)
        return early, usual, late

    def won(self, first: str, second: str) -> tuple[float, float, float]:
        """Find in which share of the seasons one plan does better than another, as well, or worse.

        Parameters
        ----------
        first, second : str
            Names of two plans.

        Returns
        -------
        tuple of three floats
            Better, the same, worse; they add up to 1. All the same where neither can be better.
        """
        one, other = self.values[first], self.values[second]
        more, less = float(np.mean(one > other)), float(np.mean(one < other))
        if not self.better:
            return 0.0, 1.0, 0.0
        return (more, 1 - more - less, less) if self.better == "more" else (less, 1 - more - less, more)

    def said(self, plan: str, system: str = "metric") -> str:
        """Write the range of one plan.

        Parameters
        ----------
        plan : str
            Its name.
        system : {"metric", "US"}
            The units.

        Returns
        -------
        str
            From what 10 of 100 seasons stay under to what 90 do.
        """
        low, middle, high = self.range(plan)
        if self.unit == "day":
            return _dates(low, high)
        if self.unit == "1":
            return f"{low:.0f}" if round(low) == round(high) else f"{low:.0f} to {high:.0f}"
        if self.unit == "g" and system == "metric":  # in one unit, so that a row can be read across
            return f"{low:.1f} g" if f"{low:.1f}" == f"{high:.1f}" else f"{low:.1f} to {high:.1f} g"
        if high == low:
            return write(Q(middle, self.unit), system, digits=2)
        return write_range(Q(low, self.unit), Q(high, self.unit), system, digits=2)


def _dates(early: date | None, late: date | None) -> str:
    if early is None:
        return "in fewer than 1 of 10 seasons"
    if late is None:
        return f"from {short_day(early)}, or not at all"
    if early == late:
        return short_day(early)
    if (early.year, early.month) == (late.year, late.month):
        return f"{early.day} to {short_day(late)}"
    return f"{short_day(early)} to {short_day(late)}"


@dataclass(frozen=True, eq=False)
class Alternatives:
    """Plans side by side; made by `alternatives`.

    Parameters
    ----------
    plans : dict of str to Plan
        By name, the plan itself first.
    measures : dict of str to Measure
        What they are compared by, season by season.
    share_dry, share_above : dict of str to float
        By plan, shares of the seasons: that run dry before the end, and in which the level rises above the caution.
    seasons : int
        How many were drawn.
    apart : tuple of str
        Names of the plans that do not stand under the same weather as the first.

    See Also
    --------
    alternatives : Makes them.

    Examples
    --------
    >>> found = alternatives(Plan.make(count=4), {"two plants": {"count": 2}})
    >>> found.share_dry["two plants"] < found.share_dry["as planned"]
    True
    """

    plans: Mapping[str, Plan]
    measures: Mapping[str, Measure]
    share_dry: Mapping[str, float]
    share_above: Mapping[str, float]
    seasons: int
    apart: tuple[str, ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Names of the plans, the plan itself first."""
        return tuple(self.plans)

    @property
    def table(self) -> "pd.DataFrame":
        """One row a plan: of each measure what 10, 50 and 90 of 100 seasons stay under, and two shares in percent."""
        import pandas as pd

        columns: dict[str, list[Any]] = {}
        for measure in self.measures.values():
            unit = "" if measure.unit in ("day", "1") else f" ({measure.unit})"
            for place, word in enumerate(("10 %", "median", "90 %")):
                found = [measure.range(name)[place] for name in self.names]
                columns[f"{measure.name} {word}{unit}"] = (
                    [pd.NaT if day is None else pd.Timestamp(day) for day in found]
                    if measure.unit == "day"
                    else found
                )
        columns["runs dry (%)"] = [100 * self.share_dry[name] for name in self.names]
        columns["above caution (%)"] = [100 * self.share_above[name] for name in self.names]
        return pd.DataFrame(columns, index=pd.Index(self.names, name="plan"))

    def rows(self, system: str = "metric") -> list[dict[str, str]]:
        """Say the table for people.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        list of dict of str to str
            One a plan: ranges of 8 in 10 seasons, and shares of 100 seasons.

        Raises
        ------
        Problem
            There is no such system.

        Examples
        --------
        >>> found = alternatives(Plan.make(count=4), {"two plants": {"count": 2}})
        >>> found.rows()[1]["plan"], found.rows()[1]["first flower"]
        ('two plants', '12 to 28 June')
        """
        known_system(system)
        return [
            {
                "plan": name,
                **{measure.name: measure.said(name, system) for measure in self.measures.values()},
                "runs dry": f"in {100 * self.share_dry[name]:.0f} of 100 seasons",
                "rises above the caution": f"in {100 * self.share_above[name]:.0f} of 100 seasons",
            }
            for name in self.names
        ]

    def compared(self) -> list[str]:
        """Say, for each measure and each other plan, in how many seasons it does better than the first.

        Returns
        -------
        list of str
            Sentences; measures in which neither is better are left out.

        Examples
        --------
        >>> found = alternatives(Plan.make(count=4), {"two plants": {"count": 2}})
        >>> found.compared()[0]
        'First flower: "two plants" and "as planned" are the same in every season.'
        """
        first, *others = self.names
        return [
            self._compared(measure, first, other)
            for other in others
            for measure in self.measures.values()
            if measure.better
        ]

    def _compared(self, measure: Measure, first: str, other: str) -> str:
        what, pair = measure.name[:1].upper() + measure.name[1:], f'"{other}"'
        better, same, worse = measure.won(other, first)
        if same == 1:
            return f'{what}: {pair} and "{first}" are the same in every season.'
        words = _WORDS[measure.unit if measure.unit in ("day", "1") else "", measure.better]
        seasons = "simulated seasons" if other in self.apart else "simulated seasons with the same weather"
        ahead, behind = round(100 * better), round(100 * worse)
        alike = f", the same in {100 - ahead - behind}" if ahead + behind < 100 else ""
        says = f"{what}: {words[0]} with {pair} in {ahead} of 100 {seasons}{alike}, {words[1]} in {behind}"
        doubt = tables.number("review", "alternatives", "undecided", "1")
        if abs(better / (better + worse) - 0.5) < doubt:
            return f"{says}. That proves nothing: the two overlap too much."
        return f"{says}."

    def sentence(self, system: str = "metric") -> str:
        """Say what sets the plans apart.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        str
            Some sentences; also the text alternative of the figure.

        Raises
        ------
        Problem
            There is no such system.

        Examples
        --------
        >>> print(alternatives(Plan.make(count=4), {"two plants": {"count": 2}}).sentence())
        As planned: first flower 12 to 28 June, ... runs dry in 36 of 100 seasons, ... Two plants: first flower ...
        """
        known_system(system)
        said = [
            f"{row['plan'][:1].upper()}{row['plan'][1:]}: "
            + ", ".join(f"{what} {says}" for what, says in row.items() if what not in _IN_THE_TABLE)
            + "."
            for row in self.rows(system)
        ]
        return "\n".join([*said, *self.weather_words])

    @property
    def weather_words(self) -> tuple[str, ...]:
        """What to know of the weather behind these numbers."""
        if not self.apart:
            return ()
        names = " and ".join(f'"{name}"' for name in self.apart)
        return (
            f"The weather of {names} is another record or another year than that of the first plan, so the seasons "
            "cannot be paired.",
        )

    def __str__(self) -> str:
        return self.sentence()


def alternatives(plan: Plan, changes: Mapping[str, Mapping[str, object]]) -> Alternatives:
    """Hold a plan against others that differ from it, over the same simulated seasons.

    Parameters
    ----------
    plan : Plan
        The plan; it comes first, as "as planned".
    changes : dict of str to dict
        By the name of each alternative, what is different in the words of ``Plan.change``.

    Returns
    -------
    Alternatives
        Ranges, a table, and in how many seasons which is better.

    Raises
    ------
    Problem
        This is no plan; there are no changes, or one has the name of another; or a change makes no plan.

    Notes
    -----
    Where record and year agree, all plans get the same drawn weather, and the same luck with what is uncertain about
    plants and lid: season 17 of one is season 17 of the other. Dates of first flower come from the calendar, by rank:
    the early seasons of one are the early ones of the other. Stems come evenly from the first flower to the end or the
    day on which the tank runs dry; heads count where the tank is not dry before. Stems are recalled from fields, and
    nobody has counted a still tank.

    Examples
    --------
    >>> found = alternatives(Plan.make(count=4), {"two plants": {"count": 2}, "a week later": {"start": "2027-05-03"}})
    >>> found.names
    ('as planned', 'two plants', 'a week later')
    >>> found.apart
    ()
    """
    of_kind(plan, Plan, "Alternatives need a plan, such as Plan.make(count=4)")
    if not isinstance(changes, Mapping) or not changes:
        raise Problem(
            'Alternatives are written as {"three plants": {"count": 3}}, a name and what is different.'
        )
    plans = {AS_PLANNED: plan}
    for name, change in changes.items():
        if not isinstance(name, str) or not isinstance(change, Mapping):
            raise Problem(f'Write an alternative as {{"three plants": {{"count": 3}}}}; {name!r} is not so.')
        if name == AS_PLANNED:
            raise Problem(f'"{AS_PLANNED}" is the plan itself. Give the alternative another name.')
        plans[name] = plan.change(**change)
    scenarios = {name: one.scenario() for name, one in plans.items()}
    sky, together = _shared_sky(plans, scenarios)
    seasons = {
        name: scenario.ensemble(sky if name in together else None) for name, scenario in scenarios.items()
    }
    return Alternatives(
        plans=plans,
        measures={measure.name: measure for measure in _measures(plans, seasons)},
        share_dry={name: one.share_of("run_dry") for name, one in seasons.items()},
        share_above={name: float(one.rises.above.any(axis=1).mean()) for name, one in seasons.items()},
        seasons=next(iter(seasons.values())).members,
        apart=tuple(name for name in plans if name not in together),
    )


def _shared_sky(
    plans: Mapping[str, Plan], scenarios: Mapping[str, budget.Scenario]
) -> tuple[budget.Skies, Sequence[str]]:
    """One weather for all plans of the first plan's record whose days lie within a year of its own."""
    first = next(iter(plans))
    longest = int(tables.number("review", "alternatives", "longest weather", "day"))
    together = [
        name
        for name, plan in plans.items()
        if plan.site.weather is plans[first].site.weather
        and abs((scenarios[name].start - scenarios[first].start).days) < longest
    ]
    begins = min((scenarios[name] for name in together), key=lambda scenario: scenario.start)
    days = max((scenarios[name].start - begins.start).days + scenarios[name].days for name in together)
    return begins.change(days=days).skies(), together


def _measures(plans: Mapping[str, Plan], seasons: Mapping[str, budget.Ensemble]) -> list[Measure]:
    def each(value: Any) -> dict[str, Any]:
        return {name: value(plan, seasons[name]) for name, plan in plans.items()}

    event = next(iter(plans.values())).outlook.schedule.event
    flowers = each(lambda plan, season: _flowers(plan, season.members))
    found = [
        Measure(event, "day", "less", flowers),
        Measure("stop level", "day", "more", each(lambda plan, season: _days(season.stop))),
        Measure("tank dry", "day", "more", each(lambda plan, season: _days(season.run_dry))),
        Measure("water used", "L", "", each(lambda plan, season: season.transpired.m_as("L").sum(axis=1))),
        Measure("added", "L", "less", each(lambda plan, season: season.top_up.m_as("L").sum(axis=1))),
        Measure("nitrogen not used", "g", "less", each(_nitrogen)),
    ]
    kinds = {_yield_of(plan) for plan in plans.values()}
    if len(kinds) == 1 and "" not in kinds:
        values = {name: _cut(plan, seasons[name], flowers[name]) for name, plan in plans.items()}
        found.insert(1, Measure(kinds.pop(), "1", "more", values))
    return found


def _days(found: Any) -> Any:
    return np.where(np.isnat(found), _NEVER, found).astype("datetime64[D]")


def _flowers(plan: Plan, members: int) -> Any:
    """A first flower for each season; the order is shuffled, so that early flowers do not go with any one weather."""
    order = np.random.default_rng(1).permutation(members)
    found = plan.outlook.schedule.by_rank(members)[order].astype("datetime64[D]")
    return np.where(found > np.datetime64(plan.outlook.schedule.first_flower.late), _NEVER, found)


def _yield_of(plan: Plan) -> str:
    """What is counted of the leading crop: stems, or heads of what is cut once; empty where nobody knows."""
    crop = plan.plants.crop
    if crop.use == "flower":
        return "stems" if crop.stems_per_plant is not None else ""
    return "heads" if crop.cut == "once" else ""


def _cut(plan: Plan, season: budget.Ensemble, flowers: Any) -> Any:
    count = plan.groups[0].standing(plan.outlook.courses[0].end)
    dry = _days(season.run_dry)
    there = (flowers <= np.datetime64(plan.outlook.courses[0].end)) & (dry > flowers)
    if _yield_of(plan) == "heads":
        return np.where(there, float(count), 0.0)
    end = np.datetime64(plan.outlook.courses[0].end) + np.timedelta64(1, "D")
    long = np.maximum((end - flowers).astype(int), 1)
    share = np.clip((np.minimum(dry, end) - flowers).astype(int) / long, 0, 1)
    return np.where(there, count * _stems(plan.plants.crop, season.members) * share, 0.0)


def _stems(crop: crops.Crop, members: int) -> Any:
    """Stems a plant for each season, between the ends of the table and most often near the middle."""
    usual = float(crop.stems_per_plant or 0)
    low, high = (
        usual if end is None else float(end) for end in (crop.stems_per_plant_low, crop.stems_per_plant_high)
    )
    if low == high:
        return np.full(members, usual)
    return np.random.default_rng(2).triangular(low, usual, high, members)


def _nitrogen(plan: Plan, season: budget.Ensemble) -> Any:
    return budget.nitrogen_left_over(
        season,
        plan.outlook.recipe,
        cover=plan.site.cover,
        strength=plan.top_up.strength,
        first_conductivity=plan.reading.conductivity if plan.reading else None,
    ).m_as("g")


def headline(found: Alternatives) -> str:
    """Say in a line which plan stays wet and rises least.

    Parameters
    ----------
    found : Alternatives
        The plans.

    Returns
    -------
    str
        For a key line.

    Examples
    --------
    >>> headline(alternatives(Plan.make(count=4), {"two plants": {"count": 2}}))
    'Dry least often: "two plants" (3 of 100 seasons)'
    """
    least = min(found.share_dry.values())
    best = [name for name, share in found.share_dry.items() if share == least]
    if len(best) == len(found.names):
        return f"Dry in {100 * least:.0f} of 100 seasons, all alike"
    return f"Dry least often: {_quoted(best)} ({100 * least:.0f} of 100 seasons)"


def _quoted(names: Sequence[str]) -> str:
    return " and ".join(f'"{name}"' for name in names)
