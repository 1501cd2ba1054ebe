"""How a check is built: what it finds in a plan, how that is said, and which changes are tried as remedies."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Any, TypeAlias

import numpy as np

from stilltank import tables
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q, Quantity, write

from .flags import Concern, Flag, Remedy


@dataclass(frozen=True, eq=False)
class Largest:
    """Remedies by a number, of which the largest that clears a flag is wanted.

    Parameters
    ----------
    most : int
        The number must be smaller than this, and is 1 at least.
    remedy : callable
        Given a number; returns the remedy. What clears a flag with one number clears it with each smaller one.

    Examples
    --------
    >>> Largest(4, lambda count: Remedy(f"Plant {count}", {"count": count})).remedy(3).words
    'Plant 3'
    """

    most: int
    remedy: Callable[[int], Remedy]


Family: TypeAlias = Iterable[Remedy] | Largest


class Trials:
    """Plans with a remedy applied, each made once for all checks of a review.

    Parameters
    ----------
    plan : Plan
        The plan that is reviewed.

    Examples
    --------
    >>> trials = Trials(Plan.make(count=4))
    >>> remedy = Remedy("Plant 3 instead of 4", {"count": 3})
    >>> trials.after(remedy) is trials.after(remedy)
    True
    """

    def __init__(self, plan: Plan):
        self.plan = plan
        self._made: dict[str, Plan] = {}

    def after(self, remedy: Remedy) -> Plan:
        """Apply a remedy.

        Parameters
        ----------
        remedy : Remedy
            What to change; its words say all of it.

        Returns
        -------
        Plan
            The changed plan.

        Raises
        ------
        Problem
            The plan cannot be changed so.
        """
        if remedy.words not in self._made:
            self._made[remedy.words] = remedy.applied(self.plan)
        return self._made[remedy.words]


@dataclass(frozen=True, eq=False)
class Finding:
    """What a check found in a plan.

    Parameters
    ----------
    number, limit : quantity or None
        What was found, and what it is held against.
    source : str
        Where the limit stands, as a table address.
    details : dict of str to object
        What else the sentence and the remedies need.

    Examples
    --------
    >>> Finding(Q(12, "percent"), Q(10, "percent"), "review/water/share of seasons").details
    {}
    """

    number: Any
    limit: Any
    source: str
    details: dict[str, Any] = field(default_factory=dict)

    @property
    def distance(self) -> float:
        """How far beyond the limit, in the limit's own unit; 0 where there is no number."""
        if self.number is None or self.limit is None:
            return 0.0
        return abs(float(self.number.m_as(self.limit.units) - self.limit.magnitude))


@dataclass(frozen=True, eq=False)
class Check:
    """One thing that a design review looks at.

    Parameters
    ----------
    name, title : str
        As in `Flag`.
    concern : str
        As in `Flag`.
    find : callable
        Given a plan; returns the finding, None where all is well.
    sentence : callable
        Given plan, finding and system; returns what was found, in words.
    reason : str
        Why it matters.
    families : callable, optional
        Given plan, finding and system; returns families of remedies. Of each family the first that clears the flag is
        taken, or that of the largest number.
    at_tank : callable, optional
        Given plan, finding and system; returns what to do at the tank.
    keeps : sequence of str
        Names of other checks that a remedy must not upset, nor make worse where they are raised already.

    Examples
    --------
    >>> def find(plan):
    ...     return None
    >>> check = Check("light", "Too dark", "crop", find, lambda plan, found, system: "", "Plants need light.")
    >>> check.flag(Trials(Plan.make()), "metric", {}) is None
    True
    """

    name: str
    title: str
    concern: Concern
    find: Callable[[Plan], Finding | None]
    sentence: Callable[[Plan, Finding, str], str]
    reason: str
    families: Callable[[Plan, Finding, str], Iterable[Family]] | None = None
    at_tank: Callable[[Plan, Finding, str], str] | None = None
    keeps: Sequence[str] = ()

    def flag(self, trials: Trials, system: str, others: dict[str, "Check"]) -> Flag | None:
        """Look at a plan.

        Parameters
        ----------
        trials : Trials
            Of the plan.
        system : str
            "metric" or "US".
        others : dict of str to Check
            All checks by name, for those that a remedy must not upset.

        Returns
        -------
        Flag or None
            None where all is well.
        """
        plan = trials.plan
        found = self.find(plan)
        if found is None:
            return None
        minded = [(others[name], others[name].find(plan)) for name in self.keeps]
        families = self.families(plan, found, system) if self.families else ()
        most = int(tables.number("review", "remedies", "most", "1"))
        remedies: list[Remedy] = []
        for family in families:
            remedy = self._best(family, trials, minded)
            if remedy is not None:
                remedies.append(remedy)
            if len(remedies) == most:
                break
        at_tank = self.at_tank(plan, found, system) if self.at_tank else ""
        return Flag(
            name=self.name,
            title=self.title,
            sentence=self.sentence(plan, found, system),
            number=found.number,
            limit=found.limit,
            reason=self.reason,
            source=found.source,
            remedies=tuple(remedies),
            concern=self.concern,
            at_tank=at_tank if at_tank or remedies else _NO_SINGLE_CHANGE,
        )

    def _best(self, family: Family, trials: Trials, minded: "Minded") -> Remedy | None:
        if isinstance(family, Largest):
            low, high = 0, family.most
            while high - low > 1:
                middle = (low + high) // 2
                clears = self._clears(family.remedy(middle), trials)
                low, high = (middle, high) if clears else (low, middle)
            family = [family.remedy(low)] if low else ()
        return next((remedy for remedy in family if self._clears(remedy, trials, minded)), None)

    def _clears(self, remedy: Remedy, trials: Trials, minded: "Minded" = ()) -> bool:
        try:
            after = trials.after(remedy)
            return self.find(after) is None and not any(
                _worse(before, check.find(after)) for check, before in minded
            )
        except Problem:  # the plan cannot be changed so
            return False


_NO_SINGLE_CHANGE = (
    "No change that we tried clears this by itself. Make two, such as fewer plants and a top-up."
)
Minded: TypeAlias = Sequence[tuple[Check, Finding | None]]


def _worse(before: Finding | None, after: Finding | None) -> bool:
    if after is None:
        return False
    spare = tables.number("review", "remedies", "worse by", "1")
    return before is None or after.distance > (1 + spare) * before.distance


def threshold(item: str, prop: str) -> tuple[float, str]:
    """Read a limit of a review, with its address.

    Parameters
    ----------
    item, prop : str
        As in data/review.csv.

    Returns
    -------
    tuple of float and str
        The plain number in its own unit, and where it stands.

    Examples
    --------
    >>> threshold("water", "share of seasons")[1]
    'review/water/share of seasons'
    """
    entry = tables.load("review")[item, prop]
    return float(entry.value), entry.address


def listed(item: str, prop: str) -> tuple[float, ...]:
    """Read several numbers that are tried in turn.

    Parameters
    ----------
    item, prop : str
        As in data/review.csv.

    Returns
    -------
    tuple of float
        In their order.

    Examples
    --------
    >>> listed("top-up", "days between visits")
    (3.0, 2.0, 1.0)
    """
    return tuple(float(each) for each in str(tables.load("review")[item, prop].value).split(";"))


def percent(share: float) -> Quantity:
    """Turn a share into percent.

    Parameters
    ----------
    share : float
        0 to 1.

    Returns
    -------
    quantity
        In percent.

    Examples
    --------
    >>> percent(0.2).magnitude
    20.0
    """
    return Q(100 * float(share), "percent")


def in_seasons(share: float) -> str:
    """Say a share of simulated seasons.

    Parameters
    ----------
    share : float
        0 to 1.

    Returns
    -------
    str
        For the beginning of a sentence.

    Examples
    --------
    >>> in_seasons(0.22)
    'In 22 of 100 simulated seasons'
    """
    return f"In {100 * share:.0f} of 100 simulated seasons"


def on_a_mark(height: Quantity, system: str, steps: float = 1.0) -> Quantity:
    """Round a height down to what a ruler shows.

    Parameters
    ----------
    height : quantity, length
        The height.
    system : str
        "metric" for tenths of a centimetre, "US" for eighths of an inch.
    steps : float
        Of how many of these marks a step is.

    Returns
    -------
    quantity
        In cm or inches.

    Examples
    --------
    >>> on_a_mark(Q(27.215, "cm"), "metric").magnitude, on_a_mark(Q(27.215, "cm"), "US").magnitude
    (27.2, 10.625)
    """
    unit, mark = ("cm", 0.1) if system == "metric" else ("inch", 0.125)
    count = np.floor(float(height.m_as(unit)) / (mark * steps) + 1e-6)
    return Q(round(float(count * mark * steps), 6), unit)


def rain_text(depth: Quantity, system: str) -> str:
    """Write a depth of rain as people say it.

    Parameters
    ----------
    depth : quantity, length
        The rain.
    system : str
        "metric" for whole millimetres, "US" for inches.

    Returns
    -------
    str
        With its unit.

    Examples
    --------
    >>> rain_text(Q(21.6, "mm"), "metric"), rain_text(Q(21.6, "mm"), "US")
    ('22 mm', '0.85 in')
    """
    return f"{depth.m_as('mm'):.0f} mm" if system == "metric" else write(depth, system, 2)


def as_on_a_ruler(height: Quantity, system: str) -> str:
    """Write a height that lies on a mark as one reads it off a ruler.

    Parameters
    ----------
    height : quantity, length
        Of `on_a_mark`.
    system : str
        "metric" or "US".

    Returns
    -------
    str
        In cm, or in inches and eighths in lowest terms.

    Examples
    --------
    >>> as_on_a_ruler(Q(15, "cm"), "metric"), as_on_a_ruler(Q(5.5, "inch"), "US"), as_on_a_ruler(Q(0.375, "inch"), "US")
    ('15 cm', '5 1/2 in', '3/8 in')
    """
    if system == "metric":
        return write(height, system)
    whole, part = divmod(Fraction(round(8 * float(height.m_as("inch"))), 8), 1)
    return " ".join([*([str(whole)] if whole or not part else []), *([str(part)] if part else []), "in"])
