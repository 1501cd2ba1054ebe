"""A design review of a plan: what a careful grower would look at again, with remedies that have been tried."""

from stilltank.season.plan import Plan
from stilltank.show.given import known_system, of_kind
from stilltank.units import OutOfRange, Quantity, UnitNeeded

from .checks import Check, Trials, threshold
from .flags import Flag
from .place_checks import PLACE_CHECKS, SAFETY_CHECKS, load_check
from .solution_checks import ACID_CHECKS, SOLUTION_CHECKS
from .water_checks import WATER_CHECKS

# Those that concern people first, those that concern the crop by what they cost, then those on the numbers themselves.
_NAMES = (
    "acid", "weight", "low hole", "cold", "early end", "water", "top-up", "rain", "high hole", "warm roots",
    "low element", "high element", "stock", "pH", "companions", "cloudy", "dates", "dry", "salt", "crowded", "EC",
    "weather",
)  # fmt: skip
# Where the cold ends the plants first in most years, nobody asks what they would drink in the following summer.
_OF_THE_LIVING = frozenset({"early end", "water", "top-up", "rain", "warm roots", "dry", "salt"})
_CHECKS = {
    check.name: check
    for check in (*ACID_CHECKS, *SAFETY_CHECKS, *PLACE_CHECKS, *WATER_CHECKS, *SOLUTION_CHECKS)
}


def review(plan: Plan, system: str = "metric", *, bears: Quantity | None = None) -> tuple[Flag, ...]:
    """Review a plan before planting: what to look at again, why, and which change clears it.

    Parameters
    ----------
    plan : Plan
        The plan.
    system : {"metric", "US"}
        The units of sentences and remedies.
    bears : quantity, mass
        What bench, shelf or balcony may carry where the tank is to stand; not looked at when left out.

    Returns
    -------
    tuple of Flag
        What concerns people first, then the crop by what it can cost, then the numbers of the plan; empty where there
        is nothing to say.

    Raises
    ------
    UnitNeeded
        A load without its unit.
    OutOfRange
        A load that is not above 0.
    Problem
        This is no plan, or no system; or the plan cannot be calculated with.

    Notes
    -----
    Each remedy has been tried: the plan with its changes no longer raises the flag, and raises none of those that such
    a change easily leads to. Limits stand in data/review.csv or where `Flag.source` says; most of them are our own
    judgement. A plan without a flag is not a safe one: nobody has looked at the tank.

    Examples
    --------
    >>> flags = review(Plan.make(count=6))
    >>> water = next(flag for flag in flags if flag.name == "water")
    >>> water.remedies[0].words
    'Plant 4 instead of 6'
    >>> "water" in [flag.name for flag in review(water.remedies[0].applied(Plan.make(count=6)))]
    False
    """
    of_kind(plan, Plan, "A review needs a plan, such as Plan.make(count=4)")
    known_system(system)
    checks: list[Check] = [_CHECKS[name] for name in _NAMES]
    if bears is not None:
        if not isinstance(bears, Quantity) or not bears.check("[mass]"):
            raise UnitNeeded(f'What the place bears is a mass, such as Q(60, "kg"); {bears!r} is none.')
        if not bears.m_as("kg") > 0:
            raise OutOfRange("What the place bears is above 0 kg. Leave it out if nobody knows.")
        checks.insert(2, load_check(bears))
    trials = Trials(plan)
    lost = threshold("cold", "share of a lost season")[0]
    found: list[Flag] = []
    dead = False
    for check in checks:
        if dead and check.name in _OF_THE_LIVING:
            continue
        if (flag := check.flag(trials, system, _CHECKS)) is not None:
            found.append(flag)
            dead |= flag.name == "cold" and flag.number is not None and flag.number.m_as("percent") < lost
    return tuple(found)
