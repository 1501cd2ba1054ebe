"""What a log teaches the plans of its tanks."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from stilltank.science import refit as science
from stilltank.science.weather import Weather
from stilltank.season.plan import Plan
from stilltank.tables import number
from stilltank.units import Problem, all_of, write, write_range

from .answers import key_of
from .evidence import observations
from .log_file import Log, PlansLike, plans_of
from .questions import Choice, Question
from .visits import Visit

Range = tuple[float, float, float]
_FEW = 3  # readings up to which neighbours are worth asking
_COMMON = {"alike": 0.8, "unlike": 0.15}


@dataclass(frozen=True, eq=False, kw_only=True)
class Refit:
    """What a log taught: made by `refit`.

    Parameters
    ----------
    log : Log
        The log.
    plans : mapping of str to Plan
        The plan of each tank, by code.
    fits : mapping of str to TankFit
        What was found of each.
    questions : tuple of Question
        What the fit finds odd.
    words : tuple of str
        What was found, in sentences.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> found = refit(Plan.make(count=4), read(path), members=500)
    >>> print(found.words[0][:20])
    Your plants drink no
    """

    log: Log
    plans: Mapping[str, Plan]
    fits: Mapping[str, science.TankFit]
    questions: tuple[Question, ...]
    words: tuple[str, ...]

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
        if tank is None and len(self.fits) == 1:
            return next(iter(self.fits.values()))
        if tank is None or tank not in self.fits:
            listed = ", ".join(f'"{each}"' for each in self.fits)
            raise Problem(f"Say which tank: the log was fitted for {listed}.")
        return self.fits[tank]


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
    plans : Plan, or mapping of str to Plan
        The plan of the tank, or one for each code of the log.
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
    mine: dict[str, tuple[Plan, tuple[Visit, ...]]] = {}
    for code in log.tanks:
        plan = given.get(code, alone)
        visits = tuple(
            each for each in log.visits if each.tank == code and (on is None or (each.day or on) <= on)
        )
        if plan is not None and visits:
            mine[code] = (plan, visits)
    if not mine:
        raise Problem("The log has no visit to a tank with a plan yet. Write one, then fit again.")
    fits: dict[str, science.TankFit] = {}
    seen = {code: observations(visits, plan) for code, (plan, visits) in mine.items()}
    words: list[str] = []

    def fit(code: str, before: science.Prior | None) -> science.TankFit:
        scenario = mine[code][0].change(reading=None).scenario()
        return science.refit(scenario, seen[code], prior=before, weather=weather, members=members, seed=seed)

    for code in mine:
        fits[code] = fit(code, prior.get(code) if isinstance(prior, Mapping) else prior)
    if together is not None and len(fits) > 1:
        few = [code for code in fits if len(fits[code].surprises) <= _FEW]
        old = {code: fits[code] for code in fits if code not in few}
        for code in few if old else ():
            fits[code] = fit(code, science.from_neighbours(fits[code].prior, old.values(), _COMMON[together]))
            words.append(
                f"Tank {code} has few readings; it learned from {all_of(list(old))}, taken as {together}."
            )
    words = [*(each for code in fits for each in _told(code, fits[code])), *words, *_apart(fits)]
    odd = tuple(each for code in fits for each in findings(fits[code], mine[code][1]))
    return Refit(
        log=log,
        plans={code: plan for code, (plan, _) in mine.items()},
        fits=fits,
        questions=odd,
        words=tuple(words),
    )


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
        if abs(surprise.distance) <= limit:
            continue
        seen = surprise.observation
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
    words = [f"{whose} now {middle:.1f} times what the table says ({low:.1f} to {high:.1f}), by {count}."]
    share_low, _, share_high = fit.rain_share
    usual = fit.prior.rain_spread
    if share_high - share_low > 0.2 * usual and fit.scenario.plain.cover == "open":
        words.append(
            f"Rain: {100 * share_low:.0f} to {100 * share_high:.0f} % of what falls on the lid gets in. The log says "
            "little about it: read the stick before and after one rain."
        )
    return words


def _apart(fits: Mapping[str, science.TankFit]) -> list[str]:
    """Tanks that part company are news."""
    if len(fits) < 2:
        return []
    words = []
    for code, fit in fits.items():
        others = [other.factor[1] for name, other in fits.items() if name != code]
        beside = sorted(others)[len(others) // 2]
        low, middle, high = (each / beside for each in fit.factor)
        if low > 1.15 or high < 0.85:
            words.append(
                f"Tank {code} drinks {middle:.1f} times as much as its neighbours ({low:.1f} to {high:.1f}). Look at "
                "lid, hole, shade and plants."
            )
    return words
