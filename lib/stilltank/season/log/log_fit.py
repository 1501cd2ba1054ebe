"""What a log teaches the plans of its tanks."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

import numpy as np

from stilltank.science import refit as science
from stilltank.science.weather import Weather
from stilltank.season.plan import Plan, Reading
from stilltank.tables import number
from stilltank.units import Problem, Q, Quantity, all_of, write, write_range

from .answers import key_of
from .evidence import observations
from .log_file import Log, PlansLike, plans_of
from .questions import Choice, Question
from .visits import Visit

Range = tuple[float, float, float]
_FEW = 3  # readings up to which neighbours are worth asking
_EIGHT_OF_TEN = 2 * 1.2816  # standard deviations between the 10 % and the 90 % point of a normal distribution
_COMMON = {"alike": 0.8, "unlike": 0.15}


@dataclass(frozen=True, eq=False, kw_only=True)
class Refit:
    """What a log taught: made by `refit`.

    Parameters
    ----------
    log : Log
        The log.
    planned : mapping of str to Plan
        The plan of each tank as it was given, by code.
    fits : mapping of str to TankFit
        What was found of each.
    questions : tuple of Question
        What the fit finds odd.
    words : tuple of str
        What was found, in sentences.
    _as_of : callable
        Given a code and a day, fits that tank as `as_of` says.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> found = refit(Plan.make(count=4), read(path), members=500)
    >>> print(found.words[0][:20])
    Your plants drink 1.
    """

    log: Log
    planned: Mapping[str, Plan]
    fits: Mapping[str, science.TankFit]
    questions: tuple[Question, ...]
    words: tuple[str, ...]
    _as_of: Callable[[str, date], science.TankFit]

    @cached_property
    def plans(self) -> dict[str, Plan]:
        """The plans as they go on from the last visit, by code: at the level that the log makes likeliest.

        How much the plants drink is no choice of a plan, so the factor stays with the fit; ask `forecast` for what
        comes.
        """
        made = {}
        for code, fit in self.fits.items():
            level = round(float(fit.forecast(1).level(fit.last_day)[1].m_as("cm")), 1)
            made[code] = self.planned[code].change(reading=Reading(fit.last_day, Q(level, "cm")))
        return made

    def as_of(self, day: date, tank: str | None = None) -> science.TankFit:
        """Fit a tank as it could be fitted on a day: with the visits up to then, and followed to that morning.

        Parameters
        ----------
        day : date
            From planting on.
        tank : str, optional
            Its code; not needed where there is one.

        Returns
        -------
        TankFit
            Of that morning.

        Raises
        ------
        Problem
            The day is before the planting, or there is no such tank.

        Examples
        --------
        >>> import tempfile
        >>> from pathlib import Path
        >>> from stilltank.season.log import read
        >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
        >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n2027-06-14,18\\n")
        >>> found = refit(Plan.make(count=4), read(path), members=500)
        >>> len(found.as_of(date(2027, 6, 12)).surprises)
        1
        """
        fit = self.of(tank)
        if day == fit.last_day:
            return fit
        if day < fit.scenario.start:
            raise Problem(f"The tank was planted on {fit.scenario.start}; ask for that day or a later one.")
        return self._as_of(self.code(tank), day)

    def code(self, tank: str | None = None) -> str:
        """Name a tank.

        Parameters
        ----------
        tank : str, optional
            Its code; not needed where there is one.

        Returns
        -------
        str
            The code, empty where the log has no such column.

        Raises
        ------
        Problem
            There is no such tank, or there are several.

        Examples
        --------
        >>> import tempfile
        >>> from pathlib import Path
        >>> from stilltank.season.log import read
        >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
        >>> _ = path.write_text("date,tank,level (cm)\\n2027-06-10,A,20\\n")
        >>> refit(Plan.make(count=4), read(path), members=500).code()
        'A'
        """
        if tank is None and len(self.fits) == 1:
            return next(iter(self.fits))
        if tank is None or tank not in self.fits:
            listed = ", ".join(f'"{each}"' for each in self.fits)
            raise Problem(f"Say which tank: the log was fitted for {listed}.")
        return tank

    @property
    def factors(self) -> dict[str, Range]:
        """How many times as much each tank's plants drink now as the table says: low, middle, high."""
        return {code: fit.factor for code, fit in self.fits.items()}

    def of(self, tank: str | None = None) -> science.TankFit:
        """Take one tank.

        Parameters
        ----------
        tank : str, optional
            Its code; not needed where there is one.

        Returns
        -------
        TankFit
            What was found of it.

        Raises
        ------
        Problem
            There is no such tank, or there are several.

        Examples
        --------
        >>> import tempfile
        >>> from pathlib import Path
        >>> from stilltank.season.log import read
        >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
        >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
        >>> refit(Plan.make(count=4), read(path), members=500).of().last_day.isoformat()
        '2027-06-10'
        """
        return self.fits[self.code(tank)]


def refit(
    plans: PlansLike,
    log: Log,
    *,
    prior: science.Prior | Mapping[str, science.Prior] | None = None,
    weather: Weather | None = None,
    together: str | None = None,
    on: date | None = None,
    members: int = 4000,
    seed: int = 1,
) -> Refit:
    """Let a log change what the plans of its tanks say.

    Parameters
    ----------
    plans : Plan, mapping of str to Plan, sequence of Plan, or Bench
        The plan of the tank, or one for each code of the log; those of a list belong to A, B and so on.
    log : Log
        What was read.
    prior : Prior, or mapping of str to Prior, optional
        What is believed before, such as last season's factor; wide when left out.
    weather : Weather, optional
        Of this season, as far as it goes.
    together : {"alike", "unlike"}, optional
        Whether a tank with few readings may learn from its neighbours: "alike" for one crop at one place.
    on : date, optional
        Take only the visits up to this day; all when left out.
    members, seed : int
        As in ``science.refit``.

    Returns
    -------
    Refit
        Factors with their ranges, tank by tank.

    Raises
    ------
    Problem
        No plan fits a tank of the log, or the log has no visits.

    Notes
    -----
    Each tank is fitted from its own log. Unlike tanks teach each other next to nothing; alike ones help one that has
    few readings. One fit over all tanks at once lost its honest ranges when it was tried, so there is none.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> low, middle, high = refit(Plan.make(count=4), read(path), members=500).factors[""]
    >>> low < middle < high
    True
    """
    given = plans_of(plans)
    if not isinstance(log, Log):
        raise Problem("A re-fit takes a log, as read(path) gives it.")
    if together is not None and together not in _COMMON:
        raise Problem(f'{together!r} is not known. Tanks are "alike" or "unlike".')
    if not given:
        raise Problem(
            "A re-fit needs the plan of the tank. Make one with Plan.make, or open yours with Plan.load."
        )
    alone = next(iter(given.values())) if len(given) == 1 else None
    planned: dict[str, Plan] = {}
    visits: dict[str, tuple[Visit, ...]] = {}
    for code in log.tanks:
        plan = given.get(code, alone)
        mine = tuple(each for each in log.visits if each.tank == code)
        if plan is not None and mine:
            planned[code], visits[code] = plan, mine
    if not planned:
        raise Problem("The log has no visit to a tank with a plan yet. Write one, then fit again.")
    seen = _one_gauge({code: observations(visits[code], plan) for code, plan in planned.items()}, planned)
    scenarios = {code: plan.change(reading=None).scenario() for code, plan in planned.items()}

    def fit(code: str, day: date | None, before: science.Prior | None = None) -> science.TankFit:
        known = [each for each in seen[code] if day is None or each.day <= day]
        if day is not None and not any(_morning(each) >= day for each in known):
            known.append(
                science.Observation(day=day)
            )  # nothing was seen, but the tank is followed to that day
        own = before or (prior.get(code) if isinstance(prior, Mapping) else prior)
        return science.refit(scenarios[code], known, prior=own, weather=weather, members=members, seed=seed)

    def fitted(
        day: date | None, only: str | None = None
    ) -> tuple[dict[str, science.TankFit], dict[str, list[str]]]:
        """All tanks, or one of them, with who learned from whom."""
        fits = {code: fit(code, day) for code in planned if together is not None or only in (None, code)}
        learned = {}
        if together is not None:
            few = [code for code in fits if len(fits[code].surprises) <= _FEW]
            old = {code: each for code, each in fits.items() if code not in few}
            for code in few if old else ():
                beside = science.from_neighbours(fits[code].prior, old.values(), _COMMON[together])
                fits[code] = fit(code, day, beside)
                learned[code] = [*old]
        return fits, learned

    fits, learned = fitted(on)
    words = [
        *(each for code in fits for each in _told(code, fits[code])),
        *(
            f"Tank {code} has few readings, so it learned from {all_of(old)}, taken as {together}."
            for code, old in learned.items()
        ),
        *_apart(fits),
    ]
    if together is not None and len(fits) > 1 and not learned:
        words.append("Every tank has readings enough of its own, so none learned from its neighbours.")
    return Refit(
        log=log,
        planned=planned,
        fits=fits,
        questions=tuple(each for code in fits for each in findings(fits[code], visits[code])),
        words=tuple(words),
        _as_of=lambda code, day: fitted(day, code)[0][code],
    )


def _morning(seen: science.Observation) -> date:
    """The day on whose morning a reading counts."""
    return seen.day + timedelta(days=int(seen.evening))


def _one_gauge(
    seen: Mapping[str, tuple[science.Observation, ...]], planned: Mapping[str, Plan]
) -> dict[str, tuple[science.Observation, ...]]:
    """Let tanks of one place share the rain gauge, where one of them has it written for the same days."""

    def place(code: str) -> tuple[str, float, float]:
        site = planned[code].site
        return site.name, float(site.latitude.m_as("degree")), float(site.altitude.m_as("m"))

    spans: dict[tuple[str, float, float], dict[tuple[date, date], Quantity]] = {}
    for code, several in seen.items():
        before = planned[code].start
        for each in several:
            if each.rain is not None and each.day > before:
                spans.setdefault(place(code), {})[before, each.day] = each.rain
            before = max(before, each.day)
    made = {}
    for code, several in seen.items():
        before, mine = planned[code].start, []
        for each in several:
            known = spans.get(place(code), {}).get((before, each.day))
            mine.append(replace(each, rain=known) if each.rain is None and known is not None else each)
            before = max(before, each.day)
        made[code] = tuple(mine)
    return made


def findings(fit: science.TankFit, visits: Iterable[Visit]) -> tuple[Question, ...]:
    """Ask about readings that surprised a fit.

    Parameters
    ----------
    fit : TankFit
        Of the tank.
    visits : sequence of Visit
        Its visits.

    Returns
    -------
    tuple of Question
        A leak, a blocked hole, a top-up that nobody wrote, a wrong reading: what each would mean.

    Notes
    -----
    A blocked hole where the level never rose so far shows nothing, and a slow leak looks like thirsty plants.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> refit(Plan.make(count=4), read(path), members=500).questions
    ()
    """
    rows = {(each.day, None if each.level is None else float(each.level.m_as("cm"))): each for each in visits}
    found = []
    limit = number("log", "look", "last surprise", "1")
    for place, surprise in enumerate(fit.surprises):
        seen = surprise.observation
        if abs(surprise.distance) <= limit or seen.blocked is not None:
            continue  # the row says what was wrong with the hole
        visit = rows.get((seen.day, None if seen.level is None else float(seen.level.m_as("cm"))))
        row = 0 if visit is None else visit.row
        expected = write_range(
            surprise.low.to(surprise.read.units), surprise.high.to(surprise.read.units), digits=2
        )
        sentence = f"Row {row}: {write(surprise.read, digits=3)} was read where {expected} was expected. "
        if place == len(fit.surprises) - 1:
            sentence += "Please read once more."
        elif surprise.distance > 0:
            sentence += "Was something added, was the hole blocked, or is it a slip?"
        else:
            sentence += "Was it spilled, does the tub leak, or is it a slip?"
        found.append(
            Question(
                key=key_of("surprise", [(str(seen.day), str(seen.level or seen.volume))]),
                kind="surprise",
                rows=(row,),
                sentence=sentence,
                choices=(Choice(name="noted", words="Noted; the fit copes with one such reading."),),
            )
        )
    return tuple(found)


def _told(code: str, fit: science.TankFit) -> list[str]:
    low, middle, high = fit.factor
    whose = "Your plants drink" if not code else f"The plants of tank {code} drink"
    visits = len(fit.surprises)
    count = "1 reading" if visits == 1 else f"{visits} readings"
    words = [f"{whose} {middle:.1f} times what the table says ({low:.1f} to {high:.1f}), by {count}."]
    if fit.scenario.plain.cover == "open":
        low, _, high = fit.rain_share
        span = f"{100 * low:.0f} to {100 * high:.0f} %"
        spread = float(np.log(high / (1 - high)) - np.log(low / (1 - low))) / _EIGHT_OF_TEN
        if spread > number("log", "rain share", "told", "1") * fit.prior.rain_spread:
            words.append(
                f"{'Your log' if not code else f'The log of tank {code}'} says little about the rain share ({span}): "
                "read before and after one rain."
            )
        else:
            words.append(f"Of the rain on the lid, {span} gets in.")
    return words


def _apart(fits: Mapping[str, science.TankFit]) -> list[str]:
    """Tanks of one crop that part company are news."""
    words: list[str] = []
    crops = {code: fit.scenario.plants[0].crop.name for code, fit in fits.items()}
    news: dict[frozenset[str], tuple[float, str]] = {}
    for code, fit in fits.items():
        beside = [name for name in fits if name != code and crops[name] == crops[code]]
        if not beside:
            continue
        mine, others = _in_logs(fit), [_in_logs(fits[name]) for name in beside]
        apart = mine[0] - float(np.median([each[0] for each in others]))
        doubt = float(np.hypot(mine[1], np.mean([each[1] for each in others]) / np.sqrt(len(others))))
        low, high = (float(np.exp(apart + sign * _EIGHT_OF_TEN / 2 * doubt)) for sign in (-1, 1))
        if low <= 1 <= high:
            continue
        names = f"tank {beside[0]}" if len(beside) == 1 else "its neighbours"
        said = (
            f"Tank {code} drinks {np.exp(apart):.1f} times as much as {names} ({low:.1f} to {high:.1f}). Look at lid, "
            "hole, shade and plants."
        )
        pair = frozenset((code, *beside)) if len(beside) == 1 else frozenset((code,))
        if pair not in news or abs(apart) > news[pair][0] or apart > 0:
            news[pair] = (abs(apart), said)  # of two tanks the one that drinks more is named
    words.extend(said for _, said in news.values())
    return words


def _in_logs(fit: science.TankFit) -> tuple[float, float]:
    low, middle, high = np.log(fit.factor)
    return float(middle), float(high - low) / _EIGHT_OF_TEN
