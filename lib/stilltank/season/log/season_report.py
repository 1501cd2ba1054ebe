"""The end of a season: what a tank gave for its water, salts and money, and what to change."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise

import pint

from stilltank.season.plan import Plan
from stilltank.units import Problem, Q, write

from .log_file import Log
from .visits import Visit

_GAP = 10  # days between visits from which a gap is told


@dataclass(frozen=True, eq=False, kw_only=True)
class SeasonReport:
    """What one tank gave in a season; made by `season_report`.

    Parameters
    ----------
    name : str
        Of the plan.
    first_day, last_day : date
        Of the log.
    visits : int
        How many count.
    filled, added, left : quantity, L
        What the tank was filled with, what was added, and what was left at the last reading; None where nobody read.
    at_least : bool
        Whether a top-up has no amount, so that more was added.
    stems, heads : int
        What was cut.
    salts : quantity, g
        That went into the filling and into what was added as mix.
    cost : float, optional
        Of the filling, by the prices of the shelf; None where a price is missing.
    gap : int
        Days of the longest time without a visit.
    low_days : int
        Readings below the level at which a top-up is due.
    sentences : tuple of str
        What to read of it, and what to change.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm),stems cut\\n2027-06-10,20,\\n2027-07-20,9,12\\n")
    >>> season_report(Plan.make(count=4), read(path)).stems
    12
    """

    name: str
    first_day: date
    last_day: date
    visits: int
    filled: pint.Quantity
    added: pint.Quantity
    left: pint.Quantity | None
    at_least: bool
    stems: int
    heads: int
    salts: pint.Quantity
    cost: float | None
    gap: int
    low_days: int
    sentences: tuple[str, ...]

    @property
    def used(self) -> pint.Quantity | None:
        """What left the tank: drunk, and spilled by rain."""
        return None if self.left is None else self.filled + self.added - self.left

    @property
    def cut(self) -> int:
        """Stems and heads."""
        return self.stems + self.heads

    def __str__(self) -> str:
        return " ".join(self.sentences)


def season_report(
    plan: Plan, log: Log, *, tank: str | None = None, before: SeasonReport | None = None
) -> SeasonReport:
    """Sum up a season from its log; nothing is filled in.

    Parameters
    ----------
    plan : Plan
        Of the tank.
    log : Log
        What was read.
    tank : str, optional
        Its code; not needed where the log has one.
    before : SeasonReport, optional
        Of last season, to compare with.

    Returns
    -------
    SeasonReport
        Litres, stems, cost, and what to change, each with its number.

    Raises
    ------
    Problem
        The log has no visits, or several tanks and none named.

    Notes
    -----
    What was used is filling and top-ups less what is left; overflow is in it.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season.log import read
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm),stems cut\\n2027-06-10,20,\\n2027-07-20,9,12\\n")
    >>> season_report(Plan.make(count=4), read(path)).sentences[0]
    'Snapdragon, Quillgate courtyard tub, 45 litres: 2 visits from 2027-06-10 to 2027-07-20.'
    """
    if not isinstance(plan, Plan) or not isinstance(log, Log):
        raise Problem("A season is summed up from a plan and its log: season_report(plan, read(path)).")
    if tank is None and len(log.tanks) > 1:
        raise Problem(f"Say which tank: the log has {', '.join(log.tanks)}.")
    visits = (log.of(tank) if tank is not None else log).visits
    days = [each.day for each in visits if each.day is not None]
    if not days:
        raise Problem("The log has no visit yet, so there is nothing to sum up.")
    outlook = plan.outlook
    filled = outlook.volume.to("L")
    water, mix = (_sum(visits, name) for name in ("added_water", "added_mix"))
    strong = sum(
        (
            float(each.added_mix.m_as("L")) * each.mix_strength
            for each in visits
            if each.added_mix is not None
        ),
        0.0,
    )
    grams = sum(float(mass.m_as("g")) for mass in outlook.recipe.masses.values())
    salts = Q(grams * (1 + strong / float(filled.m_as("L"))), "g")
    costs = list(outlook.costs.values())
    cost = (
        None
        if not costs or any(each is None for each in costs)
        else float(sum(each for each in costs if each))
    )
    last = next(
        (each for each in reversed(visits) if each.level is not None or each.volume is not None), None
    )
    left = (
        None
        if last is None
        else plan.tank.volume(last.level).to("L")
        if last.level is not None
        else last.volume
    )
    top_up = outlook.holding_level
    found = SeasonReport(
        name=plan.name,
        first_day=days[0],
        last_day=days[-1],
        visits=len(visits),
        filled=filled,
        added=water + mix,
        left=left,
        at_least=any(each.added_unknown for each in visits),
        stems=sum(each.stems_cut or 0 for each in visits),
        heads=sum(each.heads_cut or 0 for each in visits),
        salts=salts,
        cost=cost,
        gap=max(((later - day).days for day, later in pairwise(days)), default=0),
        low_days=sum(each.level is not None and bool(each.level < top_up) for each in visits),
        sentences=(),
    )
    return _with_words(found, visits, plan, before)


def _with_words(
    found: SeasonReport, visits: Iterable[Visit], plan: Plan, before: SeasonReport | None
) -> SeasonReport:
    more = "at least " if found.at_least else ""
    words = [
        f"{found.name}: {found.visits} visits from {found.first_day} to {found.last_day}.",
        f"Filled with {write(found.filled, digits=2)}, and {more}{write(found.added, digits=2)} was added.",
    ]
    used = found.used
    if used is not None and found.cut and used.m_as("L") > 0:
        litres = float(used.m_as("L"))
        what = "stems" if found.stems >= found.heads else "heads"
        words.append(
            f"{found.cut} {what} for {more}{litres:.0f} L and {write(found.salts, digits=2)} of salts: "
            f"{litres / found.cut:.2g} L and {float(found.salts.m_as('g')) / found.cut:.2g} g each."
        )
    if found.cut and found.cost is not None:
        words.append(
            f"The filling cost {found.cost:.2f}, {found.cost / found.cut:.2g} for each that was cut."
        )
    elif found.cut:
        words.append("What it cost is not known: give the salts of your shelf their prices.")
    if before is not None and before.cut and found.cut and before.used is not None and used is not None:
        now, then = (float(each.m_as("L")) for each in (used / found.cut, before.used / before.cut))
        words.append(f"This season {now:.2g} L each, last season {then:.2g} L each.")
    if found.gap >= _GAP:
        words.append(
            f"To change: the longest time without a visit was {found.gap} days; the range widens with each."
        )
    if found.low_days:
        words.append(
            f"To change: {found.low_days} readings were below {write(plan.outlook.holding_level, digits=2)}, where a "
            "top-up is due. Come sooner, or choose a larger tank or fewer plants."
        )
    measured = sum(each.conductivity is not None for each in visits)
    if measured < 2:
        words.append("To change: the EC was hardly measured; without it nobody sees whether salts pile up.")
    words.append(
        "Empty it by the rules of your place: on soil with plants, never into open water or a storm drain."
    )
    return replace(found, sentences=tuple(words))


def _sum(visits: Iterable[Visit], name: str) -> pint.Quantity:
    litres = sum(float(getattr(each, name).m_as("L")) for each in visits if getattr(each, name) is not None)
    return Q(litres, "L")
