"""Where a tank goes from its last visit, in numbers and in sentences."""

from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

import numpy as np
import pint

from stilltank.science import refit as science
from stilltank.science.budget import TopUp
from stilltank.season.plan import Plan
from stilltank.tables import number
from stilltank.units import Problem, Q, write, write_range

from .log_fit import Refit

_JUG = {"metric": (0.1, "L"), "US": (0.25, "quart")}  # what a jug shows
_AHEAD = 7  # days for which a level is said, and until the visit after the next


@dataclass(frozen=True, eq=False, kw_only=True)
class Forecast:
    """Where one tank goes; made by `forecast`.

    Parameters
    ----------
    coming : TankForecast
        Levels and days, from the science.
    on : date
        The day it was asked.
    plan : Plan
        Of the tank.
    system : {"metric", "US"}
        The units of the sentences.
    routine : bool
        Whether a way of topping up is followed; nobody adds anything where it is not.
    week : Week, optional
        The coming days as people hear them.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read, refit
    >>> from stilltank.season.plan import Plan
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> found = forecast(refit(Plan.make(count=4), read(path), members=500))
    >>> low, middle, high = found.level("2027-06-17")
    >>> bool(low < middle < high)
    True
    """

    coming: science.TankForecast
    on: date
    plan: Plan
    system: str = "metric"
    routine: bool = False
    week: science.Week | None = None

    @cached_property
    def words(self) -> tuple[str, ...]:
        """What to do, and what comes, in sentences."""
        return _words(self)

    @property
    def headline(self) -> str:
        """What to do, in a few words."""
        early, middle, _ = self.next_top_up
        amount = self.safe_amount
        if self.routine:
            return f"Safe for {_days(self, self.safe_days_alone)}"
        if middle == self.on and amount is not None and float(amount.magnitude) > 0:
            return f"Add {write(amount, self.system)} today: safe for {_days(self, self.safe_days)}"
        if middle == self.on:
            return f"Down to the mark: safe for {_days(self, self.safe_days_alone)}"
        due = self.horizon if early is None else middle if early == self.on else early
        return f"Nothing to add before {_brief(due or self.horizon)}"

    @property
    def horizon(self) -> date:
        """The last day that is told."""
        day: date = self.coming.dates[-1].item()
        return day

    @property
    def ending(self) -> date:
        """The day on which the plan empties the tank."""
        return self.plan.outlook.end

    def level(self, day: date | str) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
        """Find the level on a morning.

        Parameters
        ----------
        day : date or str
            From the last visit on.

        Returns
        -------
        tuple of three quantities, cm
            10, 50 and 90 of 100 possible tanks lie below.

        Raises
        ------
        OutOfRange
            A day that the forecast does not reach.

        Examples
        --------
        >>> import tempfile
        >>> from pathlib import Path
        >>> from stilltank.season.log import read, refit
        >>> from stilltank.season.plan import Plan
        >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
        >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
        >>> found = forecast(refit(Plan.make(count=4), read(path), members=500))
        >>> round(found.level("2027-06-10")[1].m_as("cm"))
        20
        """
        return self.coming.level(day)

    @property
    def next_top_up(self) -> tuple[date | None, date | None, date | None]:
        """Early, middle and late day on which a top-up is due; None for one beyond the forecast."""
        return self.coming.next_top_up

    @property
    def run_dry(self) -> tuple[date | None, date | None, date | None]:
        """Early, middle and late day on which no usable solution is left; None for one beyond the forecast."""
        return self.coming.run_dry

    @property
    def safe_amount(self) -> pint.Quantity | None:
        """What can be added today without drowning air roots, to what a jug shows; None without depth of the pots."""
        most = self.coming.safe_amount
        if most is None:
            return None
        step, unit = _JUG[self.system]
        return Q(round(np.floor(float(most.m_as(unit)) / step + 1e-9) * step, 2), unit)

    @cached_property
    def safe_days(self) -> int:
        """Days for which the tank is not low in 95 of 100, if the safe amount is added."""
        return self.coming.safe_days(self.safe_amount or Q(0, "L"))

    @cached_property
    def safe_days_alone(self) -> int:
        """Days for which the tank is not low in 95 of 100, if nothing is added today."""
        return self.coming.safe_days(Q(0, "L"))

    @cached_property
    def next_look(self) -> science.NextVisit | None:
        """The first visit within two weeks on which what to do hangs; None where it hangs on none of them."""
        mark = self.next_top_up[1]
        soon = mark is not None and mark <= self.on + timedelta(days=_AHEAD)
        low = self.coming.shortage_level if soon else self.coming.top_up_level
        for later in range(1, min(2 * _AHEAD, len(self.coming.dates) - _AHEAD)):
            found = self.coming.look(self.on + timedelta(days=later), low=low)
            if found.changes and found.turning_point is not None:
                return found
        return None

    def __str__(self) -> str:
        return "\n".join(self.words)


def forecast(
    fitted: Refit,
    on: date | str | None = None,
    *,
    tank: str | None = None,
    top_up: TopUp | None = None,
    week: science.Week | None = None,
    system: str = "metric",
    days: int = 60,
) -> Forecast:
    """Say where a tank goes from its last visit.

    Parameters
    ----------
    fitted : Refit
        What the log taught.
    on : date or str, optional
        The morning on which it is asked; with only the visits up to then. The last visit when left out.
    tank : str, optional
        Its code; not needed where there is one.
    top_up : TopUp, optional
        What will be added; nothing when left out.
    week : Week, optional
        The coming days as people hear them.
    system : {"metric", "US"}
        The units of the sentences.
    days : int
        How far.

    Returns
    -------
    Forecast
        Levels, next top-up and run-dry day, each with a range; what can be added, and for how long it is safe then.

    Raises
    ------
    Problem
        Several tanks and none named, another system of units, a day before the planting, or as the science does.

    Notes
    -----
    For an earlier day the tank is fitted again with what was known then, so that a forecast can be held against what
    was read later. Questions about the log are those of today.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read, refit
    >>> from stilltank.season.plan import Plan
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> found = forecast(refit(Plan.make(count=4), read(path), members=500))
    >>> found.words[0]
    'Nothing to add yet. ...'
    """
    if system not in _JUG:
        raise Problem(f'{system!r} is no system of units. Choose "metric" or "US".')
    code = fitted.code(tank)
    asked = fitted.fits[code].last_day if on is None else _day(on)
    coming = fitted.as_of(asked, code).forecast(days, top_up=top_up, week=week)
    return Forecast(
        coming=coming,
        on=coming.dates[0].item(),
        plan=fitted.planned[code],
        system=system,
        routine=top_up is not None,
        week=week,
    )


def forecasts(
    fitted: Refit,
    on: date | str | None = None,
    *,
    week: science.Week | None = None,
    system: str = "metric",
    days: int = 60,
) -> dict[str, Forecast]:
    """Say where each tank of a log goes.

    Parameters
    ----------
    fitted : Refit
        What the log taught.
    on : date or str, optional
        The morning on which it is asked; the last visit to each tank when left out.
    week : Week, optional
        The coming days as people hear them.
    system : {"metric", "US"}
        The units of the sentences.
    days : int
        How far.

    Returns
    -------
    dict of str to Forecast
        By the code of the tank.

    Raises
    ------
    Problem
        As `forecast` does.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read, refit
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,tank,level (cm)\\n2027-06-10,A,20\\n2027-06-10,B,19\\n")
    >>> [*forecasts(refit(Plan.make(count=4), read(path), members=500))]
    ['A', 'B']
    """
    return {
        code: forecast(fitted, on, tank=code, week=week, system=system, days=days) for code in fitted.fits
    }


def _day(on: date | str) -> date:
    try:
        return on if isinstance(on, date) else date.fromisoformat(str(on))
    except ValueError:
        raise Problem(f'"{on}" is no day. Type it as 2027-06-14.') from None


def _words(made: Forecast) -> tuple[str, ...]:
    words = [_to_do(made), _reads(made), _dry(made)]
    if not made.routine:
        words.append(_next_look(made))
    if made.week is not None:
        words.append(_heard(made.week, made.system))
    return tuple(each for each in words if each)


def _to_do(made: Forecast) -> str:
    """Add today, or until when it can wait."""
    early, middle, late = made.next_top_up
    mark = write(made.coming.top_up_level, made.system, digits=2)
    sure = "in 95 of 100 simulated seasons"
    if made.routine:
        return f"Topped up like this, it is safe for {_days(made, made.safe_days_alone)} {sure}."
    amount = made.safe_amount
    some = amount is not None and float(amount.magnitude) > 0
    gain = f"{_days(made, made.safe_days)} {sure}"
    if middle == made.on:
        if some:
            now = f"Add {write(amount, made.system, digits=3)} today; then it is safe for {gain}"  # type: ignore[arg-type]
            return f"{now} ({_days(made, made.safe_days_alone)} if you add nothing)."
        alone = _days(made, made.safe_days_alone)
        return f"It is down to the mark of {mark}. Left alone, it is safe for {alone} {sure}."
    if early is None:
        when = f"It is not down to the mark of {mark} before {_said(made.horizon)}"
    elif middle is None or late is None:
        when = f"It comes down to the mark of {mark} on {_said(early)} at the earliest"
    elif early == late:
        when = f"It comes down to the mark of {mark} on {_said(early)}"
    else:
        when = f"It comes down to the mark of {mark} from {_said(early)} to {_said(late)} (8 of 10 simulated seasons)"
    return f"Nothing to add yet. {when}. It is safe for {_days(made, made.safe_days_alone)} {sure}."


def stick_range(
    coming: science.TankForecast, day: date
) -> tuple[pint.Quantity, pint.Quantity, pint.Quantity]:
    """Find what a stick would show on a morning: level, offset of the stick, and the doubt of one reading.

    Parameters
    ----------
    coming : TankForecast
        What comes.
    day : date
        The morning, within the forecast.

    Returns
    -------
    tuple of three quantities, cm
        10, 50 and 90 of 100 readings lie below.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> plants = crops.Plants("basil", 4)
    >>> scenario = budget.Scenario.make("quillgate-tub", plants, "quillgate", start="2027-05-10")
    >>> low, _, high = stick_range(science.refit(scenario, [], members=200).forecast(7), date(2027, 5, 12))
    >>> bool(low < high)
    True
    """
    row = (day - coming.dates[0].item()).days
    doubt = number("log", "ruler", "doubt", "cm")
    levels = coming.levels.magnitude[:, row] + coming.offsets.magnitude
    shown = levels + doubt * np.random.default_rng(row).standard_normal(len(levels))
    low, middle, high = (Q(max(float(each), 0.0), "cm") for each in np.quantile(shown, (0.1, 0.5, 0.9)))
    return low, middle, high


def _reads(made: Forecast) -> str:
    """What the stick shows in a week, to half a centimetre or a quarter inch."""
    day = min(made.on + timedelta(days=_AHEAD), made.horizon)
    low, _, high = stick_range(made.coming, day)
    step, unit = (0.5, "cm") if made.system == "metric" else (0.25, "inch")
    ends = [Q(max(round(float(each.m_as(unit)) / step) * step, 0), unit) for each in (low, high)]
    alone = "" if made.routine else " if nothing is added"
    span = write(ends[0], made.system) if ends[0] == ends[1] else write_range(ends[0], ends[1], made.system)
    return f"Your stick reads {span} on {_said(day)}{alone} (8 of 10 simulated seasons)."


def _dry(made: Forecast) -> str:
    early, _, late = made.run_dry
    alone = "With this routine it" if made.routine else "Left alone, it"
    end = made.ending
    if early is None or (made.on < end < early):
        last = min(made.horizon, end) if made.on < end else made.horizon
        why = ", when the plan empties it" if last == end else ""
        return f"{alone} does not run dry before {_said(last)}{why} (9 of 10 simulated seasons)."
    if early == late:
        return f"{alone} runs dry on {_said(early)}." if early > made.on else "No usable solution is left."
    until = f"{_said(late)} (8 of 10 simulated seasons)" if late else f"some day after {_said(made.horizon)}"
    return f"{alone} runs dry from {_said(early)} to {until}."


def _next_look(made: Forecast) -> str:
    found = made.next_look
    if found is None:
        return "A visit in the next two weeks narrows these ranges, but does not change what to do."
    point, until = write(found.turning_point, made.system, digits=2), found.day + timedelta(days=_AHEAD)  # type: ignore[arg-type]
    before = " Earlier visits would not." if found.day > made.on + timedelta(days=1) else ""
    return (
        f"The visit that can change this is on {_said(found.day)}: if it reads under {point}, add before "
        f"{_said(until)}; if more, it can wait.{before}"
    )


def _heard(week: science.Week, system: str) -> str:
    warm = {"usual": "as warm as usual", "hot": "hot", "cool": "cool"}[week.warmth]
    if week.rain is None:
        rain = ""
    elif week.rain.magnitude == 0:
        rain = ", no rain"
    else:
        rain = f", {write(week.rain, system, digits=2)} of rain"
    return f"Taken as you heard it: the next {week.days} days {warm}{rain}."


def _brief(day: date) -> str:
    return f"{day.day} {day:%B}"


def _said(day: date | None) -> str:
    return "" if day is None else f"{day:%A} {day.day} {day:%B}"


def _days(made: Forecast, count: int) -> str:
    if count >= len(made.coming.dates) - 1:
        return f"at least {count} days"
    return "1 day" if count == 1 else f"{count} days"
