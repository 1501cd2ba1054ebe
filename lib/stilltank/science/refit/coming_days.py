"""What comes: the members of a fit, run on from the last visit."""

from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Literal

import numpy as np
import pint

from stilltank.science.budget import TopUp, rules_of
from stilltank.science.roots import refill_limit
from stilltank.science.sky import day_of
from stilltank.tables import number
from stilltank.units import OutOfRange, Problem, Q, Quantity, UnitNeeded
from stilltank.units.types import Day, Days

from .particle_filter import Follower, Members

DateRange = tuple[date | None, date | None, date | None]
_ENDS = (0.1, 0.5, 0.9)


@dataclass(frozen=True, kw_only=True)
class Week:
    """The coming days as people hear them.

    Parameters
    ----------
    warmth : {"usual", "hot", "cool"}
        Against what is usual at this time of year.
    rain : quantity, length, optional
        In all; zero for dry, None where nobody knows.
    days : int
        How many, 1 to 14.

    Raises
    ------
    Problem
        Another word for the warmth.
    UnitNeeded
        Rain without its unit.
    OutOfRange
        A number of days that cannot be.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> Week(warmth="hot", rain=Q(0, "mm")).days
    7
    """

    warmth: Literal["usual", "hot", "cool"] = "usual"
    rain: Quantity | None = None
    days: int = 7

    def __post_init__(self) -> None:
        if not isinstance(self.warmth, str) or self.warmth not in ("usual", "hot", "cool"):
            raise Problem(f'A week is "usual", "hot" or "cool"; {self.warmth!r} is none of them.')
        if self.rain is not None and not isinstance(self.rain, Quantity):
            raise UnitNeeded('The rain of a week needs its unit, such as Q(20, "mm").')
        if isinstance(self.days, bool) or not isinstance(self.days, int) or not 1 <= self.days <= 14:
            raise OutOfRange(
                f"A forecast that people hear covers 1 to 14 days; {self.days!r} is not possible."
            )


@dataclass(frozen=True)
class NextVisit:
    """What one more reading on a day would be worth.

    Parameters
    ----------
    day : date
        The day of the reading.
    width : float
        Width of the range of the next top-up afterwards, as a share of what it is now.
    changes : bool
        Whether what to do by the day after the reading hangs on it.
    turning_point : quantity, cm, optional
        The level below which a top-up is due before the next look; None where nothing hangs on it.

    Examples
    --------
    >>> NextVisit(date(2027, 7, 1), 0.6, False, None).changes
    False
    """

    day: date
    width: float
    changes: bool
    turning_point: pint.Quantity | None


@dataclass(frozen=True, eq=False, kw_only=True)
class TankForecast:
    """Where a tank goes from its last visit; made by ``TankFit.forecast``.

    Parameters
    ----------
    dates : array of datetime64[D], [days + 1]
        Mornings, the last visit first.
    volumes : quantity, L, [members, days + 1]
        Litres on these mornings.
    levels : quantity, cm, [members, days + 1]
        Levels on these mornings.
    offsets : quantity, cm, [members]
        How far the stick reads too high.
    top_up_level : quantity, cm
        The level at which a top-up is due.
    unusable : quantity, L
        The rest that no root reaches.
    safe_amount : quantity, L, optional
        What can be added on the last day without drowning air roots in 9 of 10 members; None where nobody knows the
        depth of the net pots.
    _follower, _state : Follower, Members
        The members on the last day, and what they follow.
    _first : int
        The last day, counted from planting.

    Examples
    --------
    >>> from stilltank.science import budget, crops, refit
    >>> plants = crops.Plants("basil", 4)
    >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
    >>> coming = refit.refit(scenario, [], members=200).forecast(30)
    >>> low, middle, high = coming.level("2027-05-24")
    >>> bool(low <= middle <= high)
    True
    """

    dates: Days
    volumes: pint.Quantity
    levels: pint.Quantity
    offsets: pint.Quantity
    top_up_level: pint.Quantity
    unusable: pint.Quantity
    safe_amount: pint.Quantity | None
    _follower: Follower
    _state: Members
    _first: int

    def _row(self, day: Day) -> int:
        row = int((day_of(day) - self.dates[0]).astype(int))
        if not 0 <= row < len(self.dates):
            raise OutOfRange(
                f"This forecast goes from {self.dates[0]} to {self.dates[-1]}; {day} is outside."
            )
        return row

    def level(
        self, day: Day, *, by_stick: bool = False
    ) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
        """Find the level on a morning.

        Parameters
        ----------
        day : date or str
            From the last visit on.
        by_stick : bool
            Whether the stick's own offset is in it: what will be read, and not what is there.

        Returns
        -------
        tuple of three quantities, cm
            10, 50 and 90 of 100 members lie below.

        Raises
        ------
        OutOfRange
            A day that the forecast does not reach.

        Examples
        --------
        >>> from stilltank.science import budget, crops, refit
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> coming = refit.refit(scenario, [], members=200).forecast(7)
        >>> coming.level("2027-05-17")[1].units == Q(1, "cm").units
        True
        """
        levels = self.levels.magnitude[:, self._row(day)]
        if by_stick:
            levels = levels + self.offsets.magnitude
        low, middle, high = (Q(float(each), "cm") for each in np.quantile(levels, _ENDS))
        return low, middle, high

    def volume(self, day: Day) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
        """Find the litres on a morning.

        Parameters
        ----------
        day : date or str
            From the last visit on.

        Returns
        -------
        tuple of three quantities, L
            10, 50 and 90 of 100 members lie below.

        Raises
        ------
        OutOfRange
            A day that the forecast does not reach.

        Examples
        --------
        >>> from stilltank.science import budget, crops, refit
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> refit.refit(scenario, [], members=200).forecast(7).volume("2027-05-10")[1].m_as("L") > 30
        True
        """
        litres = self.volumes.magnitude[:, self._row(day)]
        low, middle, high = (Q(float(each), "L") for each in np.quantile(litres, _ENDS))
        return low, middle, high

    @property
    def run_dry(self) -> DateRange:
        """Early, middle and late day on which no usable solution is left; None for one beyond the forecast."""
        return self._dates(self.volumes.magnitude <= self.unusable.m_as("L") + 1e-6)

    @property
    def next_top_up(self) -> DateRange:
        """Early, middle and late day on which a top-up is due; None for one beyond the forecast."""
        return self._dates(self.levels.magnitude <= self.top_up_level.m_as("cm"))

    def share(self, event: str, day: Day) -> float:
        """Find in how many members something has come by a morning.

        Parameters
        ----------
        event : {"run_dry", "next_top_up"}
            What.
        day : date or str
            From the last visit on.

        Returns
        -------
        float
            0 to 1.

        Raises
        ------
        Problem
            Another event.
        OutOfRange
            A day that the forecast does not reach.

        Examples
        --------
        >>> from stilltank.science import budget, crops, refit
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> refit.refit(scenario, [], members=200).forecast(7).share("run_dry", "2027-05-12")
        0.0
        """
        row = self._row(day) + 1
        if event == "run_dry":
            low = self.volumes.magnitude[:, :row] <= self.unusable.m_as("L") + 1e-6
        elif event == "next_top_up":
            low = self.levels.magnitude[:, :row] <= self.top_up_level.m_as("cm")
        else:
            raise Problem(f'{event!r} is no event of a forecast. Choose "run_dry" or "next_top_up".')
        return float(low.any(axis=1).mean())

    def safe_days(self, amount: pint.Quantity, certainty: float = 0.95) -> int:
        """Count the days for which the tank is not low, if something is added on the last day.

        Parameters
        ----------
        amount : quantity, volume
            What is added.
        certainty : float
            Share of the members in which that holds, 0.5 to 0.99.

        Returns
        -------
        int
            Whole days; at most as many as the forecast has.

        Raises
        ------
        UnitNeeded
            An amount without its unit.
        OutOfRange
            A certainty outside 0.5 to 0.99.

        Notes
        -----
        Low is the shortage depth, below which fewer roots reach the solution.

        Examples
        --------
        >>> from stilltank.science import budget, crops, refit
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> coming = refit.refit(scenario, [], members=200).forecast(60)
        >>> coming.safe_days(Q(0, "L")) <= coming.safe_days(Q(2, "L"))
        True
        """
        if not isinstance(amount, Quantity):
            raise UnitNeeded('An amount to add needs its unit, such as Q(2, "L").')
        if not 0.5 <= certainty <= 0.99:
            raise OutOfRange(f"A certainty lies between 0.5 and 0.99; {certainty!r} does not.")
        setting = self._follower.setting
        litres = self.volumes.magnitude
        if amount.m_as("L") > 0:
            more = replace(self._state, volume=self._state.volume + float(amount.m_as("L")))
            litres = _followed(self._follower, more, self._first, len(self.dates) - 1, None, 3)
        low = litres <= setting.shortage + 1e-9
        first = np.where(low.any(axis=1), low.argmax(axis=1), low.shape[1])
        return max(int(np.quantile(first, 1 - certainty, method="lower")) - 1, 0)

    @property
    def shortage_level(self) -> pint.Quantity:
        """The level below which fewer roots reach the solution."""
        setting = self._follower.setting
        return Q(100 * float(self._follower.table.level(setting.shortage)), "cm")

    def look(
        self, day: Day, doubt: pint.Quantity | None = None, *, low: pint.Quantity | None = None
    ) -> NextVisit:
        """Find what one more reading would be worth.

        Parameters
        ----------
        day : date or str
            The day of the reading.
        doubt : quantity, length, optional
            One standard deviation of the reading; that of a ruler when left out.
        low : quantity, length, optional
            The level that is not to be passed; that of the top-up when left out.

        Returns
        -------
        NextVisit
            How far the range of the day on which it is low would narrow, and whether what to do hangs on the reading.

        Raises
        ------
        OutOfRange
            A day that the forecast does not reach.

        Notes
        -----
        At nine readings to be expected the members are weighed by exp(-z^2/2). What to do turns where, of the members
        that fit a reading, 1 in 20 are due within a week of it.

        Examples
        --------
        >>> from stilltank.science import budget, crops, refit
        >>> plants = crops.Plants("basil", 4)
        >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
        >>> 0 < refit.refit(scenario, [], members=500).forecast(60).look("2027-06-14").width < 1.2
        True
        """
        row = self._row(day)
        spread = number("refit", "prior", "stick offset", "cm") if doubt is None else float(doubt.m_as("cm"))
        at = self.levels.magnitude[:, row]
        reached = self.levels.magnitude <= (self.top_up_level if low is None else low).m_as("cm")
        due = np.where(reached.any(axis=1), reached.argmax(axis=1), reached.shape[1]).astype(float)
        soon = (due <= row + 7).astype(float)

        def weights(reading: float) -> Any:
            weight = np.exp(-0.5 * ((at - reading) / spread) ** 2) + 1e-12
            return weight / weight.sum()

        def chance(reading: float) -> float:
            return float(np.sum(weights(reading) * soon))

        readings = np.quantile(at, np.arange(1, 10) / 10)
        now = _width(due, np.full(len(due), 1 / len(due)))
        later = float(np.mean([_width(due, weights(each)) for each in readings]))
        first, last = float(readings[0]), float(readings[-1])
        changes = (chance(first) > 0.05) != (chance(last) > 0.05)
        turning = None
        if changes:
            for _ in range(30):
                middle = (first + last) / 2
                first, last = (middle, last) if chance(middle) > 0.05 else (first, middle)
            turning = Q((first + last) / 2, "cm")
        return NextVisit(self.dates[row].item(), later / now if now else 1.0, changes, turning)

    def _dates(self, reached: Any) -> DateRange:
        first = np.where(reached.any(axis=1), reached.argmax(axis=1), reached.shape[1])
        rows = [int(np.quantile(first, share, method="inverted_cdf")) for share in _ENDS]
        early, middle, late = (self.dates[row].item() if row < len(self.dates) else None for row in rows)
        return early, middle, late


def run_on(
    follower: Follower,
    members: Members,
    last: date,
    first: int,
    days: int,
    top_up: TopUp | None,
    week: Week | None,
    seed: int,
) -> TankForecast:
    """Run members on from a morning; the fit stays as it is."""
    rng = np.random.default_rng((seed, 3))
    state = replace(members)
    rows = np.searchsorted(np.cumsum(state.weight), (rng.random() + np.arange(state.count)) / state.count)
    rows = np.minimum(rows, state.count - 1)
    for name in ("volume", "factor", "growth", "rain", "offset", "noise"):
        setattr(state, name, getattr(state, name)[rows])
    state.weight = np.full(state.count, 1 / state.count)
    sky = follower if week is None else _heard(follower, first, week, rng)
    litres = _followed(sky, state, first, days, top_up, 3)
    setting, table = follower.setting, follower.table
    level = number("budget", "top-up", "holding level", "1") * float(table.level(setting.filling))
    if top_up is not None and top_up.level is not None:
        level = float(top_up.level.m_as("m"))
    return TankForecast(
        dates=setting.dates[first] + np.arange(days + 1).astype("timedelta64[D]"),
        volumes=Q(litres, "L"),
        levels=Q(100 * table.level(litres), "cm"),
        offsets=Q(100 * state.offset, "cm"),
        top_up_level=Q(100 * level, "cm"),
        unusable=Q(setting.unusable, "L"),
        safe_amount=_safe_amount(follower, state),
        _follower=sky,
        _state=state,
        _first=first,
    )


def _followed(
    follower: Follower, members: Members, first: int, days: int, top_up: TopUp | None, seed: int
) -> Any:
    """Litres on each morning, [members, days + 1]."""
    own = Follower(
        follower.setting, follower.et, follower.rain, follower.brim, np.random.default_rng((seed, first))
    )
    own.share = follower.share
    state = replace(members)
    own.grow(state, first, first + days)
    litres = np.empty((days + 1, state.count))
    litres[0] = state.volume
    before, after = (
        (None, None) if top_up is None else rules_of(top_up, own.setting, own.rain[first : first + days].T)
    )
    for day in range(days):
        if before is not None:
            state.volume = state.volume + before(day, state.volume)
        own.step(state, first + day)
        if after is not None:
            state.volume = state.volume + after(day, state.volume)
        litres[day + 1] = state.volume
    return litres.T


def _heard(follower: Follower, first: int, week: Week, rng: np.random.Generator) -> Follower:
    """Give each member, for the first days, a drawn sky that is like what was heard."""
    days = slice(first, first + week.days)
    et, rain = follower.et.copy(), follower.rain.copy()
    order = np.argsort(et[days].sum(axis=0))
    third = len(order) // 3
    pool = {"cool": order[:third], "usual": order, "hot": order[-third:]}[week.warmth]
    rows = rng.choice(pool, len(order))
    et[days], rain[days] = et[days][:, rows], rain[days][:, rows]
    if week.rain is not None:
        total, fallen = float(week.rain.m_as("mm")), rain[days].sum(axis=0)
        part = rain[days] * np.where(fallen > 0, total / np.where(fallen > 0, fallen, 1), 0)
        dry = np.flatnonzero(fallen <= 0)
        part[rng.integers(0, week.days, dry.size), dry] = total
        rain[days] = part
    made = Follower(follower.setting, et, rain, follower.brim, rng)
    made.share = follower.share
    return made


def _safe_amount(follower: Follower, members: Members) -> pint.Quantity | None:
    tank = follower.setting.tank
    if tank.net_pot_depth is None:
        return None
    levels = np.minimum(follower.table.level(members.volume), follower.table.heights[-1])
    most = refill_limit(tank, Q(100 * levels, "cm"))
    return Q(float(np.quantile(most.volume.m_as("L"), 0.1)), "L")


def _width(values: Any, weights: Any) -> float:
    order = np.argsort(values)
    summed = np.cumsum(weights[order])
    ends = values[order][np.minimum(np.searchsorted(summed, (0.1, 0.9)), len(values) - 1)]
    return float(ends[1] - ends[0])
