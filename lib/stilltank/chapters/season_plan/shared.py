"""What the questions on the season plan share.

Litres, bags, prices and dates of the draws are invented for the exercises; what a crop drinks and what an element
costs is calculated by the science floor.
"""

from collections.abc import Callable
from typing import Any

import pint

from stilltank.learning.questions import Numbers, Slip
from stilltank.science.tank import preset
from stilltank.tables import number
from stilltank.units import Q

CHAPTER = "06"
TUB = "quillgate-tub"
START = "2027-05-10"
CURRENCY = "coins"


def rise_within_caution() -> pint.Quantity:
    """The largest rise that is thought safe once the pots hang clear."""
    return Q(number("roots", "refill", "rise", "cm"), "cm")


def put_back(level: pint.Quantity, rise: pint.Quantity) -> pint.Quantity:
    """Litres that lift the level of one demo tub by so much."""
    tub = preset(TUB)
    return (tub.volume(level + rise) - tub.volume(level)).to("L")


def surface(level: pint.Quantity, rise: pint.Quantity) -> pint.Quantity:
    """Area of the water in the demo tub, half way up the rise."""
    return preset(TUB).area(level + rise / 2).to("m^2")


def one_tub_only(name: str = "tubs") -> Slip:
    """The amount of one tub given for all of them.

    Parameters
    ----------
    name : str
        The name of the number that counts the tubs.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> one_tub_only().name
    'one tub for all'
    """
    return Slip(
        "one tub for all",
        "the amount of one tub is given for all of them",
        "How many tubs stand on the bench?",
        lambda n, solve: [solve(n) / n[name]],
    )


def left_out(name: str, when: str, check: str, zero: dict[str, Any]) -> Slip:
    """A part of the sum that is left out: the problem with these numbers at nothing.

    Parameters
    ----------
    name, when, check : str
        As in `Slip`.
    zero : dict of str to quantity
        The numbers at nothing.

    Returns
    -------
    Slip
        The named wrong way, for the ``slips`` of a question.

    Examples
    --------
    >>> left_out("shelf left out", "it is left out", "Look.", {"left": Q(0, "g")}).name
    'shelf left out'
    """
    return Slip(name, when, check, lambda n, solve: [solve(n.but(**zero))])


def bag_of_bags(
    need: Callable[[Numbers], pint.Quantity], bag: Callable[[Numbers], pint.Quantity]
) -> tuple[Slip, ...]:
    """The slips of whole bags: one bag too few, and one too many.

    Parameters
    ----------
    need, bag : callable
        What is needed, and what a bag holds, from the numbers of a problem.

    Returns
    -------
    tuple of Slip
        The named wrong ways, for the ``slips`` of a question.

    Examples
    --------
    >>> [slip.name for slip in bag_of_bags(lambda n: n.need, lambda n: n.bag)]
    ['bags rounded down', 'one bag too many']
    """
    return (
        Slip(
            "bags rounded down",
            "the bags are rounded down, and what is short is given",
            "With the last bag left in the shop, is there enough?",
            lambda n, solve: [bag(n) - solve(n)],
        ),
        Slip(
            "one bag too many",
            "one bag more is bought than is needed",
            "Would one bag less do?",
            lambda n, solve: [bag(n) + solve(n)],
        ),
    )
