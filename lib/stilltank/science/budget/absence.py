"""A tank while its grower is away: left alone, or helped by someone who knows nothing of it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

import numpy as np
import pint

from stilltank.science.roots import fill_level, rises
from stilltank.science.tank import LevelTable
from stilltank.tables import load, number
from stilltank.units import OutOfRange, Problem, Q, said

from ._balance import Rule, Rules, reached, rules_of, run
from ._checks import between, one_day, one_size, plain_date, told
from .routines import nothing
from .setting import Setting
from .skies import draw

_MARKS = (0.25, 0.5, 0.75, 1.0)  # of the level on the day of leaving, tried from the lowest
_SAME = 1e-6  # m; far below what a ruler shows


@dataclass(frozen=True)
class Pour:
    """What a neighbour pours in on a visit.

    Parameters
    ----------
    vessel : str
        "cup" or "bottle".
    size : quantity, volume
        What one holds.
    count : int
        How many.

    Examples
    --------
    >>> Pour("bottle", Q(1.5, "L"), 2).volume.m_as("L")
    3.0
    """

    vessel: str
    size: pint.Quantity
    count: int = 1

    @property
    def volume(self) -> pint.Quantity:
        """All of it together."""
        return self.count * self.size


@dataclass(frozen=True, eq=False, kw_only=True)
class Help:
    """What a neighbour does: come, look, pour where the level is below the mark.

    Parameters
    ----------
    visits : tuple of date
        When to come.
    every : int
        Days from one visit to the next.
    pour : Pour
        What to pour in where the level is below the mark.
    mark : quantity, cm
        At this level and above it nothing is added.
    rise : quantity, cm
        How far one pour lifts the level at the mark.
    enough : bool
        False where no help that was tried keeps the tank from running low as rarely as asked.

    Examples
    --------
    >>> bottle = Pour("bottle", Q(1.5, "L"))
    >>> day = date(2027, 7, 5)
    >>> Help(visits=(day,), every=3, pour=bottle, mark=Q(10, "cm"), rise=Q(6, "mm"), enough=True).never_above.m_as("cm")
    10.6
    """

    visits: tuple[date, ...]
    every: int
    pour: Pour
    mark: pint.Quantity
    rise: pint.Quantity
    enough: bool

    @property
    def never_above(self) -> pint.Quantity:
        """The level that a pour cannot pass, because it is given below the mark alone."""
        return self.mark + self.rise


@dataclass(frozen=True, eq=False, kw_only=True)
class AbsenceSummary:
    """How the days of an absence went, over the simulated seasons.

    Parameters
    ----------
    dry, above : float
        Share of the seasons, 0 to 1, in which on some day only the unusable rest is left, and in which the level
        rises by more than the caution of `roots.refill_limit`.
    level : quantity, cm, [3]
        On the evening of the return: what 10, 50 and 90 of 100 seasons stay under.
    poured : quantity, L, [3]
        By the neighbour in all, in the same way.

    Examples
    --------
    >>> AbsenceSummary(dry=0.02, above=0.0, level=Q([8, 9, 10], "cm"), poured=Q([3, 4.5, 6], "L")).dry
    0.02
    """

    dry: float
    above: float
    level: pint.Quantity
    poured: pint.Quantity


@dataclass(frozen=True, eq=False, kw_only=True)
class Absence:
    """A tank from the day of leaving to that of coming back; made by ``Scenario.absence(...)``.

    Parameters
    ----------
    leave, back : date
        The last day on which the grower looks, and the first one again.
    level : quantity, cm
        On the evening of leaving: as read, or the middle of what is expected.
    expected : quantity, cm, [3]
        The same as the plan expects it: what 10, 50 and 90 of 100 seasons stay under.
    alone : bool
        True where the tank needs no one: it hardly ever gets low.
    looks : tuple of date
        When someone looks at it: the visits of the help, or once a week.
    help : Help or None
        What a neighbour does; None where there is nothing to do but look.
    call_below : quantity, cm
        A level below this is so rare that something else is wrong.
    call_above : quantity, cm
        A level above this is as rare: rain gets in, or somebody else poured.
    nobody, neighbour, blocked : AbsenceSummary
        Nobody comes; the neighbour does; the neighbour does and the overflow hole is blocked.
    daily : quantity, L, or None
        What a drip of the plan goes on giving in a day.
    seasons : int
        How many were simulated.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> scenario = budget.Scenario.make("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10",
    ...                                 members=50)
    >>> scenario.absence("2027-05-20", "2027-05-27").alone
    True
    """

    leave: date
    back: date
    level: pint.Quantity
    expected: pint.Quantity
    alone: bool
    looks: tuple[date, ...]
    help: Help | None
    call_below: pint.Quantity
    call_above: pint.Quantity
    nobody: AbsenceSummary
    neighbour: AbsenceSummary
    blocked: AbsenceSummary
    daily: pint.Quantity | None
    seasons: int

    @property
    def days(self) -> int:
        """From leaving to coming back."""
        return (self.back - self.leave).days


@dataclass(frozen=True, eq=False)
class _Away:
    """The days after leaving, ready to be followed: plain litres and metres."""

    setting: Setting
    heights: LevelTable
    thirst: Any
    rain_in: Any
    expected: Any  # level on the evening of leaving, [members]
    left: float  # the one that is left at
    start: float  # level at planting
    own: Rules  # of what works without anyone

    def follow(self, visit: Rule | None = None, brim: float | None = None) -> tuple[Any, Any, Any]:
        """Volumes, levels above the caution and litres poured, each [members, days]."""
        poured = np.zeros_like(self.thirst)
        own, after = self.own

        def before(day: int, now: Any) -> Any:
            given = np.zeros_like(now) if own is None else own(day, now)
            if visit is not None:
                poured[:, day] = visit(day, now)
            return given + poured[:, day]

        setting = self.setting if brim is None else replace(self.setting, brim=brim)
        first = np.full(len(self.thirst), float(self.heights.volume(self.left)))
        found = run(setting, self.thirst, self.rain_in, (before, after), peaks=True, first=first)
        # the day of leaving goes before, so that the rise is measured from a level that was seen
        left = np.full((len(self.thirst), 1), self.left)
        levels = np.concatenate([left, self.heights.level(found.volume)], axis=1)
        peaks = np.concatenate([left, self.heights.level(np.maximum(found.peak, found.volume))], axis=1)
        tank = setting.tank
        pots = float(tank.height.m_as("m")) - float(tank.net_pot_depth.m_as("m"))
        return found.volume, rises(self.start, levels, peaks, pots).above[:, 1:], poured

    def summary(self, followed: tuple[Any, Any, Any]) -> AbsenceSummary:
        """What is told of the seasons that were followed."""
        volume, above, poured = followed
        return AbsenceSummary(
            dry=float(reached(volume, self.setting.unusable).any(axis=1).mean()),
            above=float(above.any(axis=1).mean()),
            level=Q(100 * _tenths(self.heights.level(volume[:, -1])), "cm"),
            poured=Q(_tenths(poured.sum(axis=1)), "L"),
        )


def absence_of(
    setting: Setting, leave: object, back: object, level: pint.Quantity | None, ruler: pint.Quantity | None
) -> Absence:
    """Follow an absence; ``ruler`` is the step in which marks are written, half a centimetre when left out."""
    if setting.tank.net_pot_depth is None:
        raise Problem(
            "To tell when the level rises over the roots, the depth of the net pots is needed. Measure from the rim "
            'down to the bottom of a pot and make the tank with net_pot_depth=Q(7, "cm"), for example.'
        )
    first, last = (one_day(day, what) for day, what in ((leave, "Leaving"), (back, "Coming back")))
    if last <= first:
        raise OutOfRange(f"You come back on {last} and leave on {first}. Give a later day of coming back.")
    if first < setting.dates[0] or last > setting.dates[-1]:
        raise OutOfRange(
            f"The plan runs from {setting.dates[0]} to {setting.dates[-1]}, and this absence from {first} to {last}. "
            "Give days within the plan, or a later end of the plan."
        )
    away = _away(setting, int((first - setting.dates[0]).astype(int)), int((last - first).astype(int)), level)
    step = 0.005 if ruler is None else one_size(ruler, "m", "ruler")
    alone = away.follow()
    nobody = away.summary(alone)
    rare = number("budget", "absence", "may go wrong", "1")
    needs_no_one = _low(away, alone[0]) <= rare
    if needs_no_one:
        found, followed, every = None, alone, min(7, max(len(away.setting.dates) // 2, 1))
    else:
        found, followed = _best_help(away, alone, step, rare)
        every = found.every
    looks = _looks(away, every)
    rule = (
        None
        if found is None
        else _visit(away, found.every, found.mark.m_as("m"), found.pour.volume.m_as("L"))
    )
    evenings = np.asarray(away.heights.level(followed[0]))
    # what is seen in the morning is the level of the evening before
    seen = evenings[:, [max(day - 2, 0) for day in looks]] if looks else evenings[:, :1]
    return Absence(
        leave=plain_date(first),
        back=plain_date(last),
        level=Q(100 * away.left, "cm"),
        expected=Q(100 * _tenths(away.expected), "cm"),
        alone=needs_no_one,
        looks=tuple(plain_date(first) + timedelta(days=day) for day in looks),
        help=found,
        call_below=_call_below(away, seen, found, step, rare),
        call_above=_call_above(away, seen, found, step, rare),
        nobody=nobody,
        neighbour=away.summary(followed),
        blocked=away.summary(away.follow(rule, brim=float(setting.tank.capacity.m_as("L")))),
        daily=setting.top_up.daily,
        seasons=setting.members,
    )


def _away(setting: Setting, gone: int, days: int, level: pint.Quantity | None) -> _Away:
    drawn, heights = draw(setting), LevelTable(setting.tank)
    before = replace(setting, dates=setting.dates[: gone + 1], added=setting.added[: gone + 1])
    thirst, rain_in = drawn.thirst, drawn.rain_in
    found = run(
        before,
        thirst[:, : gone + 1],
        np.broadcast_to(rain_in, thirst.shape)[:, : gone + 1],
        rules_of(setting.top_up, before, drawn.rain, heights),
    )
    expected = heights.level(found.volume[:, -1])
    # a season that begins half-way does not know its planting
    start = max(float(heights.level(setting.filled)), fill_level.plain(setting.tank) / 100)
    if level is None:
        left = float(np.median(expected))
    else:
        left, top = one_size(level, "m", "level"), float(setting.tank.height.m_as("m"))
        between(
            level, left, "m", 0, top, f"A level of {{value}}: this tank is {said(setting.tank.height)} high."
        )
    shortage = float(heights.level(setting.shortage))
    if left <= shortage + _SAME:
        low, least = (told(each, "m", level, "cm") for each in (left, shortage))
        raise OutOfRange(
            f"A level of {low} on the day of leaving is too low to leave a tank at; roots reach it well above {least}. "
            "Top up a little every day before, and give the level at which you leave it."
        )
    # what somebody pours stays undone, also out of a barrel; a valve or a drip goes on
    routine = setting.top_up if setting.top_up.way in ("float valve", "drip") else nothing()
    later = slice(gone + 1, gone + 1 + days)
    away = replace(setting, dates=setting.dates[later], added=np.zeros(days), top_up=routine)
    return _Away(
        away,
        heights,
        thirst[:, later],
        np.broadcast_to(rain_in, thirst.shape)[:, later],
        expected,
        left,
        start,
        rules_of(routine, setting, None, heights),
    )


def _looks(away: _Away, every: int) -> list[int]:
    """Days after leaving on which someone comes: not on that of coming back."""
    return list(range(every, len(away.setting.dates), every))


def _visit(away: _Away, every: int, mark: float, litres: float) -> Rule:
    below, days = float(away.heights.volume(mark)), _looks(away, every)

    def visit(day: int, now: Any) -> Any:
        return np.where(now < below - 1e-9, litres, 0.0) if day + 1 in days else np.zeros_like(now)

    return visit


def _low(away: _Away, volume: Any) -> float:
    """Share of the seasons in which the solution gets so low that fewer roots reach it."""
    return float(reached(volume, away.setting.shortage).any(axis=1).mean())


def _best_help(away: _Away, alone: tuple[Any, Any, Any], step: float, rare: float) -> tuple[Help, Any]:
    """The least help that keeps the tank from running low, or the best where none does."""
    wet = max(rare, float(alone[1].any(axis=1).mean()))
    tried: list[tuple[float, Help, Any]] = []
    for every, pour, mark in _ways(away, step):
        litres = float(pour.volume.m_as("L"))
        followed = away.follow(_visit(away, every, mark, litres))
        low, above = _low(away, followed[0]), float(followed[1].any(axis=1).mean())
        enough = low <= rare and above <= wet
        lifted = float(away.heights.level(away.heights.volume(mark) + litres)) - mark
        days = tuple(
            plain_date(away.setting.dates[0]) + timedelta(days=day - 1) for day in _looks(away, every)
        )
        found = Help(
            visits=days,
            every=every,
            pour=pour,
            mark=Q(100 * mark, "cm"),
            rise=Q(100 * lifted, "cm"),
            enough=enough,
        )
        if enough:
            return found, followed
        tried.append((max(low - rare, 0) + max(above - wet, 0), found, followed))
    if not tried:
        raise Problem(
            "Nothing that a neighbour could pour is safe here: a cup would lift this tank too far, or the level is too "
            "low. Top up before you leave and give that level, or stay away for fewer days."
        )
    _, found, followed = min(tried, key=lambda one: one[0])
    return found, followed


def _ways(away: _Away, step: float) -> Iterator[tuple[int, Pour, float]]:
    """Every way to help, the least work first: days between visits, what is poured, the mark."""
    days, most = len(away.setting.dates), number("roots", "refill", "rise", "m")
    longest = int(number("budget", "absence", "longest between visits", "day"))
    shortage = float(away.heights.level(away.setting.shortage))
    levels = sorted({np.floor(share * away.left / step + _SAME) * step for share in _MARKS})
    top = min(away.start, float(away.heights.level(away.setting.brim)))
    for every in range(min(longest, max(days - 1, 1)), 0, -1):
        for pour in _pours():
            litres = float(pour.volume.m_as("L"))
            for mark in (level for level in levels if level > shortage):
                to = float(away.heights.level(away.heights.volume(mark) + litres))
                if to - mark <= most + _SAME and to <= top + _SAME:
                    yield every, pour, float(mark)


def _pours() -> list[Pour]:
    sizes = load("budget").of("absence")
    cup, small, large = (sizes[name].quantity for name in ("cup", "small bottle", "bottle"))
    many = int(number("budget", "absence", "most bottles", "1"))
    few = [Pour("cup", cup, 1), Pour("cup", cup, 2), Pour("bottle", small, 1)]
    return [*few, *(Pour("bottle", large, count) for count in range(1, many + 1))]


def _call_below(away: _Away, seen: Any, found: Help | None, step: float, rare: float) -> pint.Quantity:
    """The mark below which a neighbour calls: rarer than what may go wrong, and never where roots lose the solution."""
    shortage = float(away.heights.level(away.setting.shortage))
    usual = np.floor(float(np.quantile(seen.min(axis=1), rare)) / step + _SAME) * step
    lowest = np.ceil(shortage / step - _SAME) * step
    most = np.inf if found is None else float(found.mark.m_as("m")) - step
    return Q(100 * float(min(max(usual, lowest), max(most, lowest))), "cm")


def _call_above(away: _Away, seen: Any, found: Help | None, step: float, rare: float) -> pint.Quantity:
    highest = [away.left, float(np.quantile(seen.max(axis=1), 1 - rare))]
    if found is not None:
        highest.append(float(found.never_above.m_as("m")))
    return Q(100 * float(np.ceil(max(highest) / step - _SAME) * step), "cm")


def _tenths(values: Any) -> Any:
    return np.quantile(values, [0.1, 0.5, 0.9])
