"""One tank, its plants and its sky, said once; what can be asked of them."""

import difflib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property, partial
from types import MappingProxyType
from typing import Any, Literal, TypedDict, Unpack

import numpy as np
import pint

from stilltank.science.chemistry import Solution
from stilltank.science.crops import Plants
from stilltank.science.mixing import Recipe
from stilltank.science.roots import fill_level
from stilltank.science.sky import ONE_DAY
from stilltank.science.tank import Tank, preset
from stilltank.science.weather import Site, Weather, record_and_cover
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Problem, Q

from ._balance import added_on
from ._checks import between, daily_et, one_day, one_size, plain_date, scalar, shown, told, whole
from .absence import Absence, absence_of
from .comparison import Comparison, compare_routines
from .ensemble import Ensemble, ensemble_of
from .last_day import last_day_before_frost
from .looks import LatestLook, latest_look_of
from .plantings import Planting, canopy_by_day, last_stage, plantings_of, thirstiest_age, whole_age
from .routines import TopUp, nothing, on_dates
from .season import Season, season_of
from .setting import Setting
from .skies import FACTORS, Skies, skies_of

Day = date | np.datetime64 | str
PlantsLike = Plants | Planting | Iterable[Plants | Planting]
PlaceLike = Site | Weather | str | None


@dataclass(frozen=True, eq=False)
class Uncertain:
    """A number that nobody knows well: its value, its ends, and where they come from.

    Parameters
    ----------
    value : quantity, dimensionless
        The usual one, which a single season takes.
    low, high : quantity, dimensionless
        The ends between which an ensemble draws, most often near the value; the value when left out.
    origin : str
        Where they come from.

    Raises
    ------
    UnitNeeded
        A bare number.
    OutOfRange
        A value that is not between its ends.

    Examples
    --------
    >>> print(Uncertain(Q(30, "percent"), Q(20, "percent"), Q(50, "percent"), "three storms on this lid"))
    0.3 (0.2 to 0.5; three storms on this lid)
    """

    value: pint.Quantity
    low: pint.Quantity | None = None
    high: pint.Quantity | None = None
    origin: str = "as given"

    def __post_init__(self):
        ends = {}
        for name in ("value", "low", "high"):
            given = getattr(self, name)
            given = self.value if given is None else given
            ends[name] = one_size(given, "dimensionless", name)
        if not ends["low"] <= ends["value"] <= ends["high"]:
            raise OutOfRange(
                f"A value of {ends['value']:g} is not between {ends['low']:g} and {ends['high']:g}. Write value, "
                "low end and high end, in this order."
            )
        for name, plain in ends.items():
            object.__setattr__(self, name, Q(plain, "dimensionless"))

    @property
    def plain(self) -> tuple[float, float, float]:
        """Value, low and high as plain numbers."""
        usual = self.value.m_as("dimensionless")
        low, high = (usual if end is None else end.m_as("dimensionless") for end in (self.low, self.high))
        return float(usual), float(low), float(high)

    def __str__(self) -> str:
        value, low, high = self.plain
        return (
            f"{value:g} ({self.origin})" if low == high else f"{value:g} ({low:g} to {high:g}; {self.origin})"
        )


class Choices(TypedDict, total=False):
    """What may be chosen for a scenario; each is explained in `Scenario.make`.

    Examples
    --------
    >>> usual: Choices = {"start": "2027-05-10", "days": 14, "members": 50}
    >>> Scenario.make("quillgate-tub", Plants("lettuce", 4), "quillgate", **usual).days
    14
    """

    start: Day | None
    days: int | None
    until: Day | None
    age: int | Literal["thirstiest"] | None
    first_level: pint.Quantity | None
    filling_level: pint.Quantity | None
    first_conductivity: pint.Quantity | None
    overflow_height: pint.Quantity | None
    top_up: TopUp | Mapping[Day, pint.Quantity] | None
    rain_share: pint.Quantity | Uncertain | None
    exposure: pint.Quantity | Uncertain | None
    coefficient_factor: pint.Quantity | Uncertain | None
    growth_timing: pint.Quantity | Uncertain | None
    daily_variation: pint.Quantity | Uncertain | None
    reference_et: pint.Quantity | None
    members: int | None
    seed: int


# item of data/budget.csv, None for that of the cover; its property; the lowest and highest that may be given
_UNCERTAIN = {
    "exposure": (None, "exposure", 0.0, 10.0),
    "rain_share": (None, "rain share", 0.0, 1.0),
    "coefficient_factor": ("plants", "coefficient factor", 0.0, 10.0),
    "stop_share": ("stop", "share left", 0.0, 1.0),
    "growth_timing": ("plants", "growth timing", 0.1, 10.0),
    "daily_variation": ("plants", "daily variation", 0.0, 1.0),
}
_KNOWN = frozenset(("tank", "plants", "weather", *Choices.__annotations__))


@dataclass(frozen=True, kw_only=True, eq=False)
class Scenario:
    """One tank, its plants and its sky: what a water budget needs to know. Make it with `Scenario.make`.

    Parameters
    ----------
    tank : Tank
        The tank.
    plants : tuple of Planting
        Several crops, replaced plants, an age: each with its first day.
    place : Site or Weather
        Cover and weather record; None where the evapotranspiration is given and no rain counts.
    start : date
        The first day.
    days : int
        How long the season is.
    first_level : quantity, length
        Of the solution at the start.
    filling_level : quantity, length
        Of the solution when the tank was filled, for a season that is on its way; else the first level.
    first_conductivity : quantity, mS/cm at 25 °C
        What the meter read at the start; None for a solution just mixed.
    overflow_height : quantity, length
        Of the overflow hole, or the rim.
    top_up : TopUp
        What is added, and how strong.
    uncertain : dict of str to Uncertain
        "exposure", "rain_share", "coefficient_factor", "stop_share", "growth_timing" and "daily_variation".
    reference_et : quantity, mm/day
        Used in place of the weather's; None when it follows from the weather.
    members : int
        How many seasons an ensemble draws.
    seed : int
        The same seed gives the same seasons.
    chosen : dict
        What `make` was told, for `change`.

    Raises
    ------
    Problem
        It was not made with `make`.

    Examples
    --------
    >>> scenario = Scenario.make("quillgate-tub", Plants("basil", 4), "quillgate", start="2027-05-10", days=72)
    >>> scenario.days, scenario.members
    (72, 200)
    """

    tank: Tank
    plants: tuple[Planting, ...]
    place: Site | Weather | None
    start: date
    days: int
    first_level: pint.Quantity
    filling_level: pint.Quantity
    first_conductivity: pint.Quantity | None
    overflow_height: pint.Quantity
    top_up: TopUp
    uncertain: Mapping[str, Uncertain]
    reference_et: pint.Quantity | None
    members: int
    seed: int
    chosen: Mapping[str, object] = field(repr=False)

    @classmethod
    def make(
        cls,
        tank: Tank | str,
        plants: PlantsLike,
        weather: PlaceLike = None,
        **choices: Unpack[Choices],
    ) -> "Scenario":
        """Make a scenario from names and texts as people give them; what is left out is filled in from data/budget.csv.

        Parameters
        ----------
        tank : Tank or str
            The tank, or the name of a ready-made one.
        plants : Plants, Planting, or a list of them
            ``Plants`` are set in on the first day, or have ``age`` then. A ``Planting`` has days of its own.
        weather : Site, Weather or str
            The place, its name, or a record; the cover of a place sets the usual exposure and share of rain, a record
            alone is under the open sky. None together with ``reference_et``.
        start : date or str, optional
            The first day; the first of the record when left out. A single season takes that year of the record, an
            ensemble draws from all years, so its start may be in any year.
        days : int, optional
            How many days; to the end of the slowest crop's last stage when left out.
        until : date or str, optional
            In place of ``days``: the last day, "last stage", or "frost" for the day up to which a frost in autumn is
            rarer than the risk in data/budget.csv.
        age : int or "thirstiest", optional
            Days since planting on the first day, for ``Plants``; 0 when left out. "thirstiest" is the age at which they
            drink most in so many days.
        first_level : quantity, length, optional
            Of the solution on the first day; the usual one for the net pots when left out.
        filling_level : quantity, length, optional
            Of the solution when the tank was filled, for a season that is on its way: the level at which a crop is
            ended is a share of it. The first level when left out, and where that is higher.
        first_conductivity : quantity, mS/cm at 25 °C, optional
            What the meter reads on the first day of a season that is on its way; the recipe as mixed when left out.
            It counts for nutrients alone.
        overflow_height : quantity, length, optional
            Of the overflow hole; the rim when left out.
        top_up : TopUp or dict of date to quantity, volume, optional
            `nothing`, `by_hand`, `float_valve`, `drip` or `on_dates`; a dict is plain water on dates. Nothing when
            left out.
        rain_share : quantity, dimensionless, or Uncertain, optional
            Share of the rain on the lid that gets in, 0 to 100 percent.
        exposure : quantity, dimensionless, or Uncertain, optional
            How much the plants use there, 100 percent for a field; a tank in the wind uses more.
        coefficient_factor : quantity, dimensionless, or Uncertain, optional
            100 percent for the table's crop coefficient.
        growth_timing : quantity, dimensionless, or Uncertain, optional
            Time that the plants take for their stages, 100 percent for the days of the crop; 120 percent is slower.
        daily_variation : quantity, dimensionless, or Uncertain, optional
            Spread of the tank's own use from day to day, 0 to 100 percent; 0 percent for one that follows the weather.
        reference_et : quantity, mm/day, [days] or one, optional
            Reference evapotranspiration, used in place of the weather's.
        members : int, optional
            How many seasons an ensemble draws; 200 when left out.
        seed : int, optional
            The same seed gives the same seasons; 1 when left out.

        Returns
        -------
        Scenario
            With everything filled in.

        Raises
        ------
        UnitNeeded
            A size without a unit, or with one of another kind.
        OutOfRange
            A size, a number or a day that cannot be, such as an overflow hole below the first level.
        Unreadable
            A day that is no date.
        Problem
            Anything else that cannot be followed, such as plants without crop coefficients, or a choice that is not
            known.

        Notes
        -----
        Each day rain and what is added by hand, on dates or by a drip come first, then the overflow, then the plants; a
        float valve makes up for what they used. Near the floor plants use less (data/budget.csv), and never the last
        centimetre. Evaporation under the lid is left out.

        Weather of an ensemble: blocks of days of the record stay together; each comes from a random year and begins
        within a few days of its date. What is uncertain and left out is drawn from its range, triangular with the peak
        at the value, factors by their logarithms; it stays the same within a season. What is given as one value holds
        for every season. Evapotranspiration worked out from a record is off by some 11 % a day, half of which stays to
        the next; the tank's own use varies from day to day, and wanders. The range holds what was put into it: a leak,
        a blocked hole or a sick crop is not in it. In planted tanks made by another simulation, eight of ten levels
        lay inside the range from 10 to 90 %; where tanks were noisier than that, three of four.

        References
        ----------
        FAO56, for the demand: basal crop coefficient times reference evapotranspiration.

        Examples
        --------
        >>> print(Scenario.make("quillgate-tub", Plants("basil", 4), "quillgate", start="2027-05-10", days=60))
        4 basil from 2027-05-10: 60 days, first level 25 cm, no top-up; 200 seasons
        >>> whole = Scenario.make("quillgate-tub", Plants("basil", 4), "quillgate", start="2027-05-10")
        >>> later = Scenario.make("quillgate-tub", Plants("basil", 4), "quillgate", start="2027-06-09", age=30)
        >>> whole.days - later.days
        30
        """
        for name in choices:
            if name not in _KNOWN:
                near = difflib.get_close_matches(name, sorted(_KNOWN), n=1)
                hint = f" Did you mean `{near[0]}`?" if near else ""
                raise Problem(f"A scenario has no `{name}`.{hint} It has: {', '.join(sorted(_KNOWN))}.")
        given: Any = choices
        if not isinstance(tank, (Tank, str)):
            raise Problem(f"A tank is a Box(...), another shape, or the name of one; you gave {shown(tank)}.")
        body = preset(tank)
        record, cover = record_and_cover(weather, "A water budget")
        place = weather if isinstance(weather, (Site, Weather)) else _site(weather)
        if record is None and given.get("reference_et") is None:
            raise Problem(
                "A water budget needs a weather, or the reference evapotranspiration itself as `reference_et`."
            )
        start = _start(given.get("start"), record)
        plantings, days = _plants_and_days(plants, start, record, given)
        made = cls(
            tank=body,
            plants=plantings,
            place=place,
            start=plain_date(start),
            days=days,
            first_level=_level(body, "first_level", given.get("first_level")),
            filling_level=_filling(body, given),
            first_conductivity=_conductivity(given.get("first_conductivity")),
            overflow_height=_overflow(body, given.get("overflow_height")),
            top_up=_top_up(given.get("top_up")),
            uncertain=MappingProxyType(
                {name: _uncertain(name, cover, given.get(name)) for name in _UNCERTAIN}
            ),
            reference_et=given.get("reference_et"),
            members=_members(given.get("members"), days),
            seed=whole(given.get("seed", 1), 0, 2**63, "A seed is a whole number from 0 on; {value} is not."),
            chosen=MappingProxyType({"tank": tank, "plants": plants, "weather": weather, **choices}),
        )
        _ = made.plain  # what does not fit together is refused now
        return made

    def __post_init__(self):
        if not isinstance(self.chosen, Mapping) or not {"tank", "plants", "weather"} <= {*self.chosen}:
            raise Problem("Make a scenario with Scenario.make(tank, plants, weather, ...), which checks it.")

    def change(self, **choices: object) -> "Scenario":
        """Make the same scenario with something else.

        Parameters
        ----------
        **choices
            Those of `make`, and ``tank``, ``plants``, ``weather``. What was left out is filled in anew; None takes a
            choice back.

        Returns
        -------
        Scenario
            A new one.

        Raises
        ------
        Problem
            As `make`.

        Examples
        --------
        >>> scenario = Scenario.make("quillgate-tub", Plants("lettuce", 4), "quillgate", start="2027-05-10")
        >>> scenario.change(days=30).days
        30
        """
        told_before: dict[str, Any] = dict(self.chosen)
        if "until" in choices:
            told_before.pop("days", None)
        if "days" in choices:
            told_before.pop("until", None)
        told_before.update(choices)
        return Scenario.make(
            **{name: value for name, value in told_before.items() if value is not None or name in _FIRST}
        )

    def season(self) -> Season:
        """Follow one season of one year of the record.

        Returns
        -------
        Season
            One row a day. It is an example and no forecast: for that take `ensemble`.

        Raises
        ------
        Problem
            The record does not hold these days.

        Examples
        --------
        >>> scenario = Scenario.make("quillgate-tub", Plants("lettuce", 4), "quillgate", start="2019-05-10")
        >>> scenario.season().run_dry is None
        True
        """
        return season_of(self.plain)

    def ensemble(self, sky: Skies | None = None) -> Ensemble:
        """Follow many seasons that could come.

        Parameters
        ----------
        sky : Skies
            Weather that another scenario drew, for tanks that are side by side; drawn anew when left out.

        Returns
        -------
        Ensemble
            Arrays of [members, days], with quantiles and dates.

        Raises
        ------
        Problem
            The record has no days near the season; a sky of other days or another number of seasons.

        Examples
        --------
        >>> scenario = Scenario.make("quillgate-tub", Plants("lettuce", 4), "quillgate", start="2027-05-10", days=30)
        >>> scenario.ensemble().volume.shape
        (200, 30)
        """
        return ensemble_of(self.plain, sky)

    def compare(
        self,
        routines: Iterable[TopUp] | None = None,
        solution: Solution | Recipe | str | None = None,
        sky: Skies | None = None,
        *,
        uptake: Mapping[str, pint.Quantity] | None = None,
        uptake_factor: float | pint.Quantity | None = None,
    ) -> Comparison:
        """Compare routines of topping up, each over the same seasons; they take the place of the scenario's own.

        Parameters
        ----------
        routines : list of TopUp
            Those of `usual_routines` when left out.
        solution : Solution, Recipe or str
            What the tank was filled with, as text the name of a recipe by salts; the nutrients are left out without
            one.
        sky : Skies
            Weather that another scenario drew; drawn anew when left out.
        uptake, uptake_factor : dict and float
            As in `nutrients`.

        Returns
        -------
        Comparison
            A table with one row a routine, and the courses of the level.

        Raises
        ------
        Problem
            No routines, two of one name, a tank without ``net_pot_depth``, a record with no days near the season.
        OutOfRange
            A routine that fills above the overflow hole, or adds on a day outside the season.
        UnitNeeded
            Something that is no solution, an uptake without a unit.

        Notes
        -----
        Each routine is kept to without a slip: nobody forgets a visit, no valve sticks, no emitter clogs. How long a
        root needs to get used to air is assumed (data/budget.csv). Each median is taken alone, so a row need not
        add up; each season does. For the nutrients see `nutrients`.

        Examples
        --------
        >>> scenario = Scenario.make("quillgate-tub", Plants("basil", 6), "quillgate", start="2027-05-10", members=50)
        >>> print(scenario.compare([nothing()]))
        no top-up: dry in ... %, above the caution in ... % of 50 seasons.
        """
        return compare_routines(self.plain, routines, solution, uptake, uptake_factor, sky)

    def latest_look(self, certainty: float | None = None, sky: Skies | None = None) -> LatestLook:
        """Find the latest day on which someone must look at the level again.

        Parameters
        ----------
        certainty : float
            Share of the seasons in which the answer holds, 0.5 to 0.99; 0.95 when left out.
        sky : Skies
            Weather that another scenario drew; drawn anew when left out.

        Returns
        -------
        LatestLook
            The day, and the levels up to it.

        Raises
        ------
        OutOfRange
            A certainty that is none.
        Unreadable
            A certainty that is no number.
        Problem
            The record has no days near the season.

        Notes
        -----
        The model knows of no leak, heat wave beyond the record, tipped tank or sick plant. A look at plants, insects
        and pH may be due sooner.

        Examples
        --------
        >>> today = Scenario.make("quillgate-tub", Plants("basil", 6), "quillgate", start="2027-06-20", age=40,
        ...                       first_level=Q(15, "cm"))
        >>> found = today.latest_look()
        >>> 5 < found.days < found.median_days, found.ends
        (True, False)
        """
        return latest_look_of(self.plain, certainty, sky)

    def absence(
        self, leave: Day, back: Day, level: pint.Quantity | None = None, *, ruler: pint.Quantity | None = None
    ) -> Absence:
        """Follow the tank while its grower is away, and find the least help that it needs.

        Parameters
        ----------
        leave, back : date or str
            The last day on which the grower looks at the tank, and the first one again; both within the season.
        level : quantity, length, optional
            Read on the day of leaving; the middle of the simulated seasons when left out.
        ruler : quantity, length, optional
            The step in which marks for the neighbour are given; half a centimetre when left out.

        Returns
        -------
        Absence
            Who must come how often, what they pour, and how often it goes wrong.

        Raises
        ------
        OutOfRange
            Days outside the season or in the wrong order, a level outside the tank or too low to leave it at.
        UnitNeeded
            A level without its unit.
        Unreadable
            A day that is no date.
        Problem
            A tank without ``net_pot_depth``; one that any pour would lift too far.

        Notes
        -----
        All simulated seasons go on from one level, each with its own weather and thirst: the level can be seen on the
        day of leaving. Top-ups by hand and on dates stop; a drip or a float valve goes on. A neighbour comes every so
        many days, and where the level is below the mark pours in one measure, whole. Tried are visits from once in
        so many days to daily, cups and bottles (data/budget.csv), and marks up to the level on leaving; the first that
        is enough, with the fewest visits, is taken. No pour lifts the level by more than the caution of
        `roots.refill_limit`, nor above the level at planting. Enough means that in at most 1 of 20 seasons the
        solution falls below the depth at which fewer roots reach it. Nobody forgets a visit here.

        Examples
        --------
        >>> scenario = Scenario.make("quillgate-tub", Plants("basil", 6), "quillgate", start="2027-05-10", members=50)
        >>> found = scenario.absence("2027-06-20", "2027-07-04", Q(8, "cm"))
        >>> found.alone, found.help.pour.vessel, found.neighbour.dry < found.nobody.dry
        (False, 'bottle', True)
        """
        return absence_of(self.plain, leave, back, level, ruler)

    def skies(self) -> Skies:
        """Draw the weather, so that several tanks can share one.

        Returns
        -------
        Skies
            What `ensemble` would draw: [members, days].

        Raises
        ------
        Problem
            The record has no days near the season.

        Examples
        --------
        >>> four = Scenario.make("quillgate-tub", Plants("lettuce", 4), "quillgate", start="2027-05-10", members=50)
        >>> sky = four.skies()
        >>> both = [one.ensemble(sky) for one in (four, four.change(plants=Plants("lettuce", 2)))]
        >>> bool((both[0].rain_in == both[1].rain_in).all())
        True
        """
        return skies_of(self.plain)

    @cached_property
    def plain(self) -> Setting:
        """The scenario in plain numbers, for use between rooms of science."""
        record, cover = record_and_cover(self.place, "A water budget")
        tank, dates = self.tank, np.datetime64(self.start, "D") + np.arange(self.days) * ONE_DAY
        fill, hole = (one_size(level, "m", "level") for level in (self.first_level, self.overflow_height))
        filled, brim = (float(tank.volume(Q(height, "m")).m_as("L")) for height in (fill, hole))
        if brim < filled:
            first, opening = (told(each, "m", self.first_level, "cm") for each in (fill, hole))
            raise OutOfRange(
                f"The overflow hole at {opening} is below the first level of {first}; {filled - brim:.3g} L would run "
                "out at once. Raise the hole, or fill less."
            )
        height = float(tank.height.m_as("m"))
        unusable, shortage = (
            float(tank.volume(Q(min(number("budget", "tank", f"{key} depth", "m"), height), "m")).m_as("L"))
            for key in ("unusable", "shortage")
        )
        et, grown = self.reference_et, partial(canopy_by_day, self.plants, dates)
        _ = grown()  # what cannot grow is refused now
        return Setting(
            tank=tank,
            record=record,
            cover=cover,
            dates=dates,
            filled=filled,
            filling=max(filled, float(tank.volume(self.filling_level).m_as("L"))),
            brim=brim,
            unusable=unusable,
            shortage=shortage,
            least_uptake=number("budget", "tank", "least uptake", "1"),
            grown=grown,
            catch=float(tank.lid_area.m_as("m^2")),
            top_up=self.top_up,
            added=added_on(self.top_up, dates),
            uncertain={name: one.plain for name, one in self.uncertain.items()},
            reference_et=None if et is None else daily_et(et, self.days),
            first_conductivity=self.first_conductivity,
            members=self.members,
            seed=self.seed,
        )

    def __str__(self) -> str:
        level = told(float(self.first_level.m_as("cm")), "cm", self.first_level)
        return (
            f"{', '.join(str(one) for one in self.plants)}: {self.days} days, first level {level}, {self.top_up}; "
            f"{self.members} seasons"
        )


_FIRST = ("tank", "plants", "weather")


def _site(name: str | None) -> Site | None:
    from stilltank.science.weather import site

    return None if name is None else site(name)


def _start(given: object, record: Weather | None) -> np.datetime64:
    if given is not None:
        return one_day(given, "The start")
    if record is None:
        raise Problem(
            'A water budget needs a start, such as "2019-05-10", or a weather whose first day it is.'
        )
    return record.dates[0]


def _plants_and_days(
    plants: object, start: np.datetime64, record: Weather | None, given: Mapping[str, Any]
) -> tuple[tuple[Planting, ...], int]:
    """Plantings, and how long they are followed: days, to a date, to frost or to the end of the last stage."""
    days, until, age = given.get("days"), given.get("until"), given.get("age")
    if days is not None and until is not None:
        raise Problem("Give `days` or `until`, not both.")
    sentence = "A season has 1 to 3660 whole days; {value} is not possible. Write a plain number, such as 75."
    if days is not None:
        days = whole(days, 1, 3660, sentence)
    if isinstance(age, str) and age == "thirstiest":
        if days is None:
            raise Problem('An age of "thirstiest" needs `days`: in how many days do the plants drink most?')
        age = thirstiest_age(plants, days)
    elif age is not None:
        age = whole_age(age)
    found = plantings_of(plants, start, age)
    if days is not None:
        return found, days
    if until is None or (isinstance(until, str) and until == "last stage"):
        end = last_stage(found)
        if end < start:
            raise OutOfRange(
                f"On {start} these plants are past their last stage, which ended on {end}. Give `days` or `until`."
            )
    elif isinstance(until, str) and until == "frost":
        end = np.datetime64(last_day_before_frost(start, record), "D")
    else:
        end = one_day(until, "The last day")
        if end < start:
            raise OutOfRange(f"The last day, {end}, is before the first, {start}. Exchange the two.")
    return found, whole(int((end - start).astype(int)) + 1, 1, 3660, sentence)


def _filling(tank: Tank, given: Mapping[str, Any]) -> pint.Quantity:
    name = "first_level" if given.get("filling_level") is None else "filling_level"
    return _level(tank, name, given.get(name))


def _level(tank: Tank, name: str, given: object) -> pint.Quantity:
    if given is None:
        return fill_level(tank)
    plain, height = one_size(given, "m", name), float(tank.height.m_as("m"))
    top, words = told(height, "m", given), name.replace("_", " ")
    between(
        given,
        plain,
        "m",
        1e-6,
        height,
        f"A {words} of {{value}}: this tank is {top} high. Write a level above the floor and up to the rim.",
    )
    return scalar(given, plain, "m")


def _overflow(tank: Tank, given: object) -> pint.Quantity:
    if given is None:
        return tank.height
    plain, height = one_size(given, "m", "overflow_height"), float(tank.height.m_as("m"))
    sentence = (
        f"An overflow height of {{value}}: this tank is {told(height, 'm', given)} high. Write 0 to {{high}}."
    )
    between(given, plain, "m", 0.0, height, sentence)
    return scalar(given, plain, "m")


def _conductivity(given: object) -> pint.Quantity | None:
    if given is None:
        return None
    plain = one_size(given, "mS/cm", "first_conductivity")
    between(
        given,
        plain,
        "mS/cm",
        0,
        100,
        "A first conductivity of {value} is not possible. Write {low} to {high}.",
    )
    return scalar(given, plain, "mS/cm")


def _top_up(given: object) -> TopUp:
    if given is None:
        return nothing()
    if isinstance(given, TopUp):
        return given
    if not isinstance(given, Mapping):
        raise Problem(
            "A top-up is nothing(), by_hand(...), float_valve(...), drip(...), on_dates(...), or is written as "
            f'{{"2027-06-01": Q(3, "L")}}, a date and a volume each; you gave {shown(given)}.'
        )
    return on_dates(given) if given else nothing()


def _uncertain(name: str, cover: str, given: object) -> Uncertain:
    item, prop, low, high = _UNCERTAIN[name]
    if given is None:
        entry = load("budget")[item or cover, prop]
        least, most = entry.range
        return Uncertain(
            Q(float(entry.value), "dimensionless"), least, most, f"{entry.address} ({entry.kind})"
        )
    if isinstance(given, Uncertain):
        found, ends = given, given.plain
    else:
        plain = one_size(given, "dimensionless", name)
        found, ends = Uncertain(Q(plain, "dimensionless")), (plain, plain, plain)
    sentence = f"`{name}` of {{value}} is not possible. Write {{low}} to {{high}}, such as Q({high * 50:g}, 'percent')."
    for end in ends:
        between(given, end, "dimensionless", low, high, sentence)
    if name in FACTORS and ends[1] == 0 < ends[2]:
        raise OutOfRange(
            f"`{name}` is drawn as a factor, and no factor leads from 0 to {ends[2]:g}. Write a low end above 0."
        )
    return found


def _members(given: object, days: int) -> int:
    usual = int(number("budget", "ensemble", "members", "1"))
    sentence = "An ensemble has 1 to 100000 whole seasons; {value} is not possible."
    members = whole(usual if given is None else given, 1, 100_000, sentence)
    most = int(number("budget", "ensemble", "most season days", "1"))
    if members * days > most:
        raise OutOfRange(
            f"{members} seasons of {days} days are more than this workbook follows at once. Take at most "
            f"{most // days} seasons."
        )
    return members
