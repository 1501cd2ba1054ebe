"""Where a tank goes from its last visit, in numbers and in sentences."""

from dataclasses import dataclass, replace
from datetime import date

import pint

from stilltank.science import refit as science
from stilltank.science.budget import TopUp
from stilltank.units import Problem, Q, Quantity, write

from .log_fit import Refit, refit


@dataclass(frozen=True, eq=False, kw_only=True)
class Forecast:
    """Where one tank goes; made by `forecast`.

    Parameters
    ----------
    coming : TankForecast
        Levels and days, from the science.
    on : date
        The day it was asked.
    unit : str
        In which levels are told.
    words : tuple of str
        What to do, in sentences.

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
    unit: str
    words: tuple[str, ...]

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
        """What can be added on the last day without drowning air roots, to the tenth of a litre below."""
        most = self.coming.safe_amount
        return None if most is None else Q(int(10 * float(most.m_as("L")) + 1e-9) / 10, "L")

    @property
    def safe_days(self) -> int:
        """Days for which the tank is not low in 95 of 100, if the safe amount is added."""
        return self.coming.safe_days(self.safe_amount or Q(0, "L"))


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
        The day it is asked; with only the visits up to then. The last visit when left out.
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
        Several tanks and none named, a day before the first visit, or as the science does.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read, refit
    >>> from stilltank.season.plan import Plan
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> found = forecast(refit(Plan.make(count=4), read(path), members=500))
    >>> found.words[0].startswith("A top-up")
    True
    """
    fit = fitted.of(tank)
    code = tank if tank is not None else next(iter(fitted.fits))
    asked = fit.last_day if on is None else _day(on)
    if asked < fit.last_day:
        earlier = refit(
            {code: fitted.plans[code]},
            fitted.log.of(code),
            on=asked,
            members=fit.members,
            seed=fit.seed,
            prior=fit.prior,
        )
        fit = earlier.of(code)
    coming = fit.forecast(days, top_up=top_up, week=week)
    unit = "in" if system == "US" else "cm"
    made = Forecast(coming=coming, on=asked, unit=unit, words=())
    return replace(made, words=_words(made, system))


def _day(on: date | str) -> date:
    try:
        return on if isinstance(on, date) else date.fromisoformat(str(on))
    except ValueError:
        raise Problem(f'"{on}" is no day. Type it as 2027-06-14.') from None


def _words(made: Forecast, system: str) -> tuple[str, ...]:
    early, middle, late = made.next_top_up
    last = made.coming.dates[-1].item()
    level = write(made.coming.top_up_level, system, digits=2)
    if early is None:
        words = [f"A top-up, at {level}, is not due before {_said(last)}."]
    elif early == made.coming.dates[0].item() == late:
        words = [f"A top-up is due now: the level is at or below {level}."]
    else:
        until = f"and {_said(late)}" if late else f"and some day after {_said(last)}"
        near = f", most likely near {_said(middle)}." if middle else "."
        words = [f"A top-up is due at {level}: between {_said(early)} {until}{near}"]
    amount = made.safe_amount
    if amount is not None and amount.m_as("L") >= 0.1:
        words.append(
            f"Add at most {_poured(amount, system)} today; then it is safe for {_days(made.safe_days)} in 95 of 100 "
            "simulated tanks."
        )
    untouched = made.coming.safe_days(Q(0, "L"))
    words.append(f"Left alone, it is safe for {_days(untouched)} in 95 of 100.")
    dry_early, _, dry_late = made.run_dry
    if dry_early is None:
        words.append(f"It does not run dry before {_said(last)} in 9 of 10.")
    else:
        words.append(
            f"Left alone, it runs dry between {_said(dry_early)} and "
            f"{_said(dry_late) if dry_late else f'some day after {_said(last)}'}."
        )
    words.append(_next_look(made, system))
    return tuple(words)


def _next_look(made: Forecast, system: str) -> str:
    """The first day of the coming two weeks on which what to do hangs on a reading."""
    for later in range(1, min(15, len(made.coming.dates))):
        found = made.coming.look(made.coming.dates[later].item())
        if found.changes and found.turning_point is not None:
            return (
                f"The next look that can change what you do is on {_said(found.day)}: under "
                f"{write(found.turning_point, system, digits=2)}, add within the week; above, it can wait."
            )
    return "A look in the next two weeks narrows the range, and does not change what to do."


def _said(day: date | None) -> str:
    return "" if day is None else f"{day:%a} {day.day} {day:%b}"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def _poured(amount: Quantity, system: str) -> str:
    return write(amount, system, digits=2)
