"""What a page needs to be made of: a plan, and nothing else."""

from stilltank.season.plan import Plan
from stilltank.show.given import quoted
from stilltank.units import Problem


def a_plan(given: object, page: str) -> Plan:
    """Check that a page is made of a plan.

    Parameters
    ----------
    given : object
        What was given.
    page : str
        What is made, to begin the sentence with.

    Returns
    -------
    Plan
        The plan.

    Raises
    ------
    Problem
        It is something else.

    Examples
    --------
    >>> a_plan(Plan.make(count=4), "A card").plants.count
    4
    """
    if not isinstance(given, Plan):
        raise Problem(f"{page} needs a plan, such as Plan.make(count=4); {quoted(given)} is not one.")
    return given
