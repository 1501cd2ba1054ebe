"""What a log teaches about one tank."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from typing import Any

import numpy as np
import pint

from stilltank.science import demand
from stilltank.science.budget import Scenario, Setting, TopUp
from stilltank.science.sky import day_of
from stilltank.science.weather import Weather
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q
from stilltank.units.types import Day, Days

from .coming_days import TankForecast, Week, run_on
from .observations import Observation, Prior
from .particle_filter import Follower, Members, Predicted, first_members, weighted_quantiles

_HORIZON = 90  # days after the last visit whose weather is drawn
_ABOVE = 0.009  # m above the hole from which a reading says that it was blocked
Range = tuple[float, float, float]


@dataclass(frozen=True)
class Surprise:
    """How a reading lay to what was expected of it.

    Parameters
    ----------
    observation : Observation
        The visit.
    low, middle, high : quantity
        What was expected: 10, 50 and 90 of 100 lie below; a level, or litres.
    read : quantity
        What was read.
    distance : float
        How far that is from the expected mean, in doubts of the two together.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> seen = Observation(day=date(2027, 6, 1), level=Q(20, "cm"))
    >>> Surprise(seen, Q(18, "cm"), Q(19, "cm"), Q(20, "cm"), Q(20, "cm"), 1.2).distance
    1.2
    """

    observation: Observation
    low: pint.Quantity
    middle: pint.Quantity
    high: pint.Quantity
    read: pint.Quantity
    distance: float


@dataclass(frozen=True, eq=False, kw_only=True)
class TankFit:
    """What a log taught about one tank; made by `refit`.

    Parameters
    ----------
    scenario : Scenario
        The tank, its plants and its sky.
    observations : tuple of Observation
        What was told, in order.
    prior : Prior
        What was believed before.
    last_day : date
        Of the last observation, or the first day where there is none.
    dates : array of datetime64[D], [days]
        Mornings from planting to the last day.
    surprises : tuple of Surprise
        One for each reading.
    procedures : tuple of str
        How the evapotranspiration was reached: the factor goes with it.
    seed : int
        Of the draw.
    _state, _follower : Members, Follower
        The members on the last day, and what they follow.
    _course, _weights : array, [days, members]
        Litres on each morning, L, and what each member weighed then.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> from stilltank.units import Q
    >>> scenario = budget.Scenario.make("quillgate-tub", crops.Plants("basil", 4), "quillgate", start="2027-05-10")
    >>> seen = [Observation(day=date(2027, 6, 4), level=Q(24.0, "cm"), doubt=Q(4, "mm"))]
    >>> found = refit(scenario, seen, members=1000)
    >>> low, middle, high = found.levels("2027-06-04")
    >>> abs(middle.m_as("cm") - 24) < 1
    True
    """

    scenario: Scenario
    observations: tuple[Observation, ...]
    prior: Prior
    last_day: date
    dates: Days
    surprises: tuple[Surprise, ...]
    procedures: tuple[str, ...]
    seed: int
    _state: Members
    _follower: Follower
    _course: Any  # litres, [days, members]
    _weights: Any

    @property
    def members(self) -> int:
        """How many possible tanks were followed."""
        return self._state.count

    def levels(self, day: Day) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
        """Find what was in the tank on a morning, as it was believed then, after that day's reading.

        Parameters
        ----------
        day : date or str
            From planting to the last day.

        Returns
        -------
        tuple of three quantities, cm
            10, 50 and 90 of 100 members lie below.

        Raises
        ------
        OutOfRange
            A day that was not followed.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> found = refit(scenario, [], members=200)
        >>> [round(each.m_as("cm")) for each in found.levels("2027-05-10")]
        [25, 25, 25]
        """
        row = int((day_of(day) - self.dates[0]).astype(int))
        if not 0 <= row < len(self.dates):
            raise OutOfRange(
                f"The log was followed from {self.dates[0]} to {self.dates[-1]}; {day} is outside. "
                "Ask a forecast for later days."
            )
        low, middle, high = (Q(100 * each, "cm") for each in self._level_quantiles[row])
        return low, middle, high

    @cached_property
    def _level_quantiles(self) -> Any:
        rows = zip(self._course, self._weights, strict=True)
        litres = [weighted_quantiles(volume, weight, (0.1, 0.5, 0.9)) for volume, weight in rows]
        return self._follower.table.level(np.asarray(litres))

    @property
    def level_course(self) -> pint.Quantity:
        """Levels of `levels` on all mornings, cm, [3, days]."""
        return Q(100 * np.asarray(self._level_quantiles).T, "cm")

    @cached_property
    def factor(self) -> Range:
        """How many times as much the plants drink now as the table says: low, middle and high."""
        days = int(number("refit", "factor", "days", "day"))
        setting, end = self._follower.setting, max(len(self.dates) - 1, 1)
        part = slice(max(end - days, 0), end)
        table = setting.grown(1.0, part).sum()
        mine = setting.grown(np.exp(self._state.growth), part).sum(axis=1)
        return self._range(np.exp(self._state.factor) * mine / max(table, 1e-12))

    @property
    def crop_factor(self) -> Range:
        """The bare factor at the same growth; it is known less well than `factor`."""
        return self._range(np.exp(self._state.factor))

    @property
    def rain_share(self) -> Range:
        """Share of the rain on the lid that gets in."""
        return self._range(1 / (1 + np.exp(-self._state.rain)))

    @property
    def growth_timing(self) -> Range:
        """Time that the plants take for their stages; more than 1 is slower."""
        return self._range(np.exp(self._state.growth))

    @property
    def offset(self) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
        """How far the stick reads too high, mm."""
        low, middle, high = (Q(1000 * each, "mm") for each in self._range(self._state.offset))
        return low, middle, high

    @property
    def noise(self) -> Range:
        """How much more the tank's own days differ than usual."""
        return self._range(np.exp(self._state.noise))

    def _range(self, values: Any) -> Range:
        low, middle, high = weighted_quantiles(values, self._state.weight, (0.1, 0.5, 0.9))
        return low, middle, high

    @property
    def log_factor(self) -> tuple[float, float]:
        """Mean and spread of the logarithm of the bare factor."""
        return self._spread(self._state.factor)

    def _spread(self, values: Any) -> tuple[float, float]:
        mean = float(np.average(values, weights=self._state.weight))
        return mean, float(np.sqrt(np.average((values - mean) ** 2, weights=self._state.weight)))

    def prior_for_next_season(self) -> Prior:
        """Find what next season can begin with.

        Returns
        -------
        Prior
            Factor and rain share as found here; `Prior.of_last_season` widens them.

        Raises
        ------
        Problem
            The season ended before the plants were full-grown: the factor of young plants is mostly their timing.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> refit(scenario, [], members=200).prior_for_next_season()
        Traceback (most recent call last):
            ...
        stilltank.problems.Problem: ...
        """
        lead = self.scenario.plants[0]
        age = len(self.dates) - 1 + lead.age
        if age < demand.full_cover_day(lead.crop):
            raise Problem(
                f"The log ends on {self.last_day}, before the {lead.crop.name} was full-grown. The factor of young "
                "plants is mostly their timing, so nothing is kept for next season."
            )
        (mean, spread), (rain_mean, rain_spread) = self.log_factor, self._spread(self._state.rain)
        return replace(
            self.prior,
            mean=mean,
            spread=spread,
            rain_mean=rain_mean,
            rain_spread=rain_spread,
            procedures=self.procedures,
            visits=sum(each.measures for each in self.observations),
            crop=lead.crop.name,
        )

    def forecast(
        self, days: int = 60, *, top_up: TopUp | None = None, week: Week | None = None
    ) -> TankForecast:
        """Run the members on from the last day.

        Parameters
        ----------
        days : int
            How far, 1 to 90.
        top_up : TopUp, optional
            What will be added; nothing when left out.
        week : Week, optional
            The coming days as people hear them.

        Returns
        -------
        TankForecast
            Levels and days, each with a range.

        Raises
        ------
        OutOfRange
            A number of days that cannot be.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> refit(scenario, [], members=200).forecast(7).dates[-1].item().isoformat()
        '2027-05-17'
        """
        if isinstance(days, bool) or not isinstance(days, int) or not 1 <= days <= _HORIZON:
            raise OutOfRange(f"A forecast goes 1 to {_HORIZON} whole days on; {days!r} is not possible.")
        return run_on(
            self._follower, self._state, self.last_day, len(self.dates) - 1, days, top_up, week, self.seed
        )


def refit(
    scenario: Scenario,
    observations: Iterable[Observation],
    *,
    prior: Prior | None = None,
    weather: Weather | None = None,
    members: int = 4000,
    seed: int = 1,
) -> TankFit:
    """Let a log change what is believed of a tank.

    Parameters
    ----------
    scenario : Scenario
        The tank from the day of planting; its uncertain numbers give way to the ``prior``.
    observations : sequence of Observation
        From planting on, those of one day in their order.
    prior : Prior, optional
        What is believed before; wide when left out.
    weather : Weather, optional
        Of this season, as far as it goes; in its place gauge readings and weather drawn from the record.
    members : int
        How many possible tanks, 100 to 20000.
    seed : int
        The same seed gives the same fit.

    Returns
    -------
    TankFit
        Factor, rain share, timing and stick offset with their ranges; what each reading was to what was expected.

    Raises
    ------
    OutOfRange
        An observation before the first day, or more than two years after it; a number of members that cannot be.
    Problem
        What is given is no scenario, or no observation.

    Notes
    -----
    A bootstrap particle filter: each member is one possible tank under one possible sky, followed day by day. At a
    reading it keeps the weight exp(-z^2/2), z in doubts of the reading, with a floor that makes one wrong reading
    harmless; before it, 3 in 100 members jump, for an addition or a spill that nobody wrote down. Members are copied
    by systematic resampling, and fixed unknowns drawn towards their mean and spread again. The factor drifts, and each
    log tells how noisy it is. A leak, evaporation under the lid and the factor cannot be told apart by one level curve;
    the rain share is hardly seen in it.

    References
    ----------
    GORDON1993, LIUWEST2001, from memory.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> from stilltank.units import Q
    >>> scenario = budget.Scenario.make("quillgate-tub", crops.Plants("basil", 4), "quillgate", start="2027-05-10")
    >>> seen = [Observation(day=date(2027, 6, 14), level=Q(16.0, "cm"))]
    >>> thirsty = refit(scenario, seen, members=1000)
    >>> thirsty.factor[1] > refit(scenario, [], members=1000).factor[1]
    True
    """
    if not isinstance(scenario, Scenario):
        raise Problem("A re-fit needs a scenario: Scenario.make(tank, plants, weather, ...).")
    seen = _in_order(scenario, observations)
    if isinstance(members, bool) or not isinstance(members, int) or not 100 <= members <= 20000:
        raise OutOfRange(f"A re-fit follows 100 to 20000 members; {members!r} is not possible.")
    last = max((_morning(scenario, each) for each in seen), default=0)
    drawn = scenario.change(days=last + _HORIZON, members=members, seed=seed, until=None, top_up=None)
    setting, sky = drawn.plain, drawn.skies()
    before = prior or Prior.usual(setting.usual("exposure") * setting.usual("coefficient_factor"))
    rng = np.random.default_rng((seed, 2))
    et = np.ascontiguousarray(sky.reference_et.m_as("mm/day").T)
    rain = np.ascontiguousarray(sky.rain.m_as("mm").T)
    procedures = sky.procedures
    if weather is not None:
        procedures = _put_in(et, rain, weather, setting, rng)
    _put_gauge_in(rain, seen, scenario, weather, rng)
    follower = Follower(setting, et, rain, _brims(setting, seen, scenario), rng)
    state = first_members(setting, before, members, rng)
    course, weights = np.empty((last + 1, members)), np.empty((last + 1, members))
    surprises: list[Surprise] = []
    by_day: dict[int, list[Observation]] = {}
    for each in seen:
        by_day.setdefault(_morning(scenario, each), []).append(each)
    visits = sorted(by_day)
    standing = sum(each.count for each in scenario.plants)
    for day in range(last + 1):
        here = by_day.get(day, [])
        for each in here:
            if each.after_adding:
                follower.pour(state, each)
            if each.measures:
                surprises.append(_surprise(each, follower.weigh(state, each)))
                if state.effective < members / 2 or (day == last and each is here[-1]):
                    state.pick(rng)
        course[day], weights[day] = state.volume, state.weight
        for each in here:
            if not each.after_adding:
                follower.pour(state, each)
            follower.cut(state, each, standing)
        if day == last:
            break
        if here or day == 0:
            following = next((visit for visit in visits if visit > day), last)
            follower.grow(state, day, following)
        follower.step(state, day)
    return TankFit(
        scenario=scenario,
        observations=seen,
        prior=before,
        last_day=scenario.start + timedelta(days=last),
        dates=setting.dates[: last + 1],
        surprises=tuple(surprises),
        procedures=procedures,
        seed=seed,
        _state=state,
        _follower=follower,
        _course=course,
        _weights=weights,
    )


def _in_order(scenario: Scenario, observations: Iterable[Observation]) -> tuple[Observation, ...]:
    try:
        given = tuple(observations)
    except TypeError:
        raise Problem(f"A re-fit takes a list of observations; {observations!r} is none.") from None
    for each in given:
        if not isinstance(each, Observation):
            raise Problem(
                f"A re-fit needs observations, such as Observation(day=..., level=...); {each!r} is none."
            )
        late = (each.day - scenario.start).days
        if not 0 <= late <= 730:
            raise OutOfRange(
                f"The observation of {each.day} is not within two years after the first day, {scenario.start}. "
                "Correct its day."
            )
    return tuple(sorted(given, key=lambda each: (each.day, each.evening)))


def _morning(scenario: Scenario, seen: Observation) -> int:
    """Days after the first on whose morning a reading counts."""
    return (seen.day - scenario.start).days + seen.evening


def _surprise(seen: Observation, found: Predicted) -> Surprise:
    scale, unit = (100, "cm") if seen.level is not None else (1, "L")
    low, middle, high, read = (
        Q(scale * each, unit) for each in (found.low, found.middle, found.high, found.read)
    )
    return Surprise(seen, low, middle, high, read, found.distance)


def _brims(setting: Setting, seen: tuple[Observation, ...], scenario: Scenario) -> Any:
    """Litres at which the tank overflows, day by day: the hole, or the rim while it is blocked."""
    brims = np.full(len(setting.dates) + 1, setting.brim)
    tank = setting.tank
    rim = float(tank.volume(tank.height).m_as("L"))
    hole = float(tank.level(Q(setting.brim, "L")).m_as("m"))
    before = 0
    for each in seen:
        day = _morning(scenario, each)
        high = each.level is not None and float(each.level.m_as("m")) > hole + _ABOVE
        if each.blocked or (high and each.blocked is None):
            brims[before:] = rim
        elif each.blocked is False:
            brims[day:] = setting.brim
        before = day
    return brims


def _put_in(
    et: Any, rain: Any, weather: Weather, setting: Setting, rng: np.random.Generator
) -> tuple[str, ...]:
    """Put known days in the place of drawn ones, with the error that weather from a record has."""
    known = demand.reference_et(weather).m_as("mm/day")
    spread, memory = (number("budget", "weather error", name, "1") for name in ("spread", "memory"))
    first = int((weather.dates[0] - setting.dates[0]).astype(int))
    error = spread * rng.standard_normal(et.shape[1])
    for row, value in enumerate(known):
        day = first + row
        if 0 <= day < len(et):
            et[day] = value * np.exp(error)
            error = memory * error + np.sqrt(1 - memory**2) * spread * rng.standard_normal(et.shape[1])
            if weather.precipitation is not None:
                rain[day] = float(weather.precipitation.m_as("mm")[row])
    return demand.missing_data_procedures(weather)


def _put_gauge_in(
    rain: Any,
    seen: tuple[Observation, ...],
    scenario: Scenario,
    weather: Weather | None,
    rng: np.random.Generator,
) -> None:
    """Scale drawn days to what the gauge held; where none were wet, one day gets it all."""
    before = 0
    for each in seen:
        day = _morning(scenario, each)
        if each.rain is not None and day > before and weather is None:
            total, part = float(each.rain.m_as("mm")), rain[before:day]
            fallen = part.sum(axis=0)
            part *= np.where(fallen > 0, total / np.where(fallen > 0, fallen, 1), 0)
            dry = np.flatnonzero(fallen <= 0)
            part[rng.integers(0, day - before, dry.size), dry] = total
        before = max(before, day)
