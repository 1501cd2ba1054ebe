"""How a check is built: what it finds in a plan, how that is said, and which changes are tried as remedies."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np

from stilltank import tables
from stilltank.season.plan import Plan
from stilltank.units import Problem, Q, Quantity

from .flags import Concern, Flag, Remedy

Family: TypeAlias = Iterable[Remedy]


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
        Given plan, finding and system; returns families of remedies, each from the smallest change to the largest. Of
        each family the first that clears the flag is taken.
    at_tank : callable, optional
        Given plan, finding and system; returns what to do at the tank.
    keeps : sequence of str
        Names of other checks that a remedy must not upset.

    Examples
    --------
    >>> def find(plan):
    ...     return None
    >>> check = Check("light", "Too dark", "crop", find, lambda plan, found, system: "", "Plants need light.")
    >>> check.flag(Plan.make(), "metric", {}) is None
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

    def flag(self, plan: Plan, system: str, others: dict[str, "Check"]) -> Flag | None:
        """Look at a plan.

        Parameters
        ----------
        plan : Plan
            The plan.
        system : str
            "metric" or "US".
        others : dict of str to Check
            All checks by name, for those that a remedy must not upset.

        Returns
        -------
        Flag or None
            None where all is well.
        """
        found = self.find(plan)
        if found is None:
            return None
        minded = [others[name] for name in self.keeps if others[name].find(plan) is None]
        remedies = tuple(self._remedies(plan, found, system, minded))
        return Flag(
            name=self.name,
            title=self.title,
            sentence=self.sentence(plan, found, system),
            number=found.number,
            limit=found.limit,
            reason=self.reason,
            source=found.source,
            remedies=remedies[: int(tables.number("review", "remedies", "most", "1"))],
            concern=self.concern,
            at_tank=self.at_tank(plan, found, system) if self.at_tank else "",
        )

    def _remedies(
        self, plan: Plan, found: Finding, system: str, minded: Sequence["Check"]
    ) -> Iterator[Remedy]:
        for family in self.families(plan, found, system) if self.families else ():
            for remedy in family:
                if self._clears(remedy, plan, minded):
                    yield remedy
                    break

    def _clears(self, remedy: Remedy, plan: Plan, minded: Sequence["Check"]) -> bool:
        try:
            after = remedy.applied(plan)
            return self.find(after) is None and all(check.find(after) is None for check in minded)
        except Problem:  # the plan cannot be changed so
            return False


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
