"""The ways of topping a tank up: by nobody, by hand, by a float valve, by an emitter."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.tables import number
from stilltank.units import Problem, Q, one_value, whole_number, within

from ._feed import strength_share


@dataclass(frozen=True)
class TopUp:
    """One way of topping up; made by `nothing`, `by_hand`, `float_valve` or `drip`.

    Attributes
    ----------
    name : str, what the table of `compare` calls it
    way : "nothing", "by hand", "float valve" or "drip"
    strength : float, of what is added: 0 for plain water, 1 for the whole recipe
    level : quantity in cm to fill to or hold, None for the usual one
    rise : quantity in cm, most for one visit, None for the usual one
    every : int, days between visits; 1 for what works by itself
    daily : quantity in L, what an emitter gives in a day
    """

    name: str
    way: str
    strength: float = 0.0
    level: Any = None
    rise: Any = None
    every: int = 1
    daily: Any = None

    def __str__(self) -> str:
        return self.name


def nothing() -> TopUp:
    """Leave the tank alone from planting to the end.

    Returns
    -------
    Strategy

    Example
    -------
    >>> print(nothing())
    no top-up
    """
    return TopUp("no top-up", "nothing")


def by_hand(
    every: int | None = None, level: Any = None, rise: Any = None, strength: Any = 0.0, name: str = ""
) -> TopUp:
    """Come every so many days and add a little, or a lot.

    Parameters
    ----------
    every : int, days from one visit to the next; the usual 2 when left out
    level : quantity, to fill to at most; a share of the first level when left out (data/budget.csv)
    rise : quantity, most that one visit may lift the level; the usual 1 cm when left out
    strength : plain number or quantity, 0 for plain water, 1 for the whole recipe
    name : str, for the table; made from the rest when left out

    Returns
    -------
    Strategy

    Raises
    ------
    UnitNeeded, OutOfRange, Unreadable   a size without a unit or below nothing; a number of days that is none

    Example
    -------
    >>> print(by_hand(7, rise=Q(1, "cm"), strength=0.5))
    by hand every 7 days, half strength
    """
    usual = int(number("budget", "top-up", "visits", "day"))
    sentence = "by_hand: 1 to 366 whole days from one visit to the next; {value!r} is not possible."
    days = usual if every is None else whole_number(every, 1, 366, sentence)
    share = strength_share(strength, "by_hand", "strength")
    when = "every day" if days == 1 else f"every {days} days"
    return TopUp(
        _named(name, f"by hand {when}, {_in_words(share)}"),
        "by hand",
        share,
        _length(level, "level", "by_hand"),
        _length(rise, "rise", "by_hand"),
        days,
    )


def float_valve(level: Any = None, strength: Any = 0.0, name: str = "") -> TopUp:
    """Let a float valve hold the level from a reservoir above.

    Parameters
    ----------
    level : quantity, the valve's; a share of the first level when left out (data/budget.csv)
    strength : plain number or quantity, of what stands in the reservoir
    name : str, for the table

    Returns
    -------
    Strategy; the reservoir is taken as never empty, and how much it must hold is the table's "added (L)"

    Raises
    ------
    UnitNeeded, OutOfRange, Unreadable   see `by_hand`

    Example
    -------
    >>> print(float_valve(Q(15, "cm"), strength=1))
    float valve, full strength
    """
    share = strength_share(strength, "float_valve", "strength")
    return TopUp(
        _named(name, f"float valve, {_in_words(share)}"),
        "float valve",
        share,
        _length(level, "level", "float_valve"),
    )


def drip(flow: Any, time: Any, strength: Any = 0.0, name: str = "") -> TopUp:
    """Let an emitter drip for a while each day, whatever the level.

    Parameters
    ----------
    flow : quantity, volume in a time, of all emitters together
    time : quantity, up to 24 hours a day
    strength : plain number or quantity, of what drips
    name : str, for the table

    Returns
    -------
    Strategy

    Raises
    ------
    UnitNeeded, OutOfRange, Unreadable   see `by_hand`

    Example
    -------
    >>> print(drip(Q(2, "L/hour"), Q(15, "minute")))
    drip of 0.5 L a day, plain water
    """
    hourly, hours = one_value(flow, "L/hour", "flow", "drip"), one_value(time, "hour", "time", "drip")
    within(hourly, 0, np.inf, "drip: a flow of {value:g} L/hour is not possible; it cannot be negative.")
    within(hours, 0, 24, "drip: {value:g} hours a day is not possible; write 0 to 24.")
    share = strength_share(strength, "drip", "strength")
    daily = hourly * hours
    named = _named(name, f"drip of {daily:.3g} L a day, {_in_words(share)}")
    return TopUp(named, "drip", share, daily=Q(daily, "L"))


def _in_words(share: float) -> str:
    known = {0.0: "plain water", 0.5: "half strength", 1.0: "full strength"}
    return known.get(share, f"{share:g} of full strength")


def _named(given: Any, usual: str) -> str:
    if not isinstance(given, str):
        raise Problem(f"The name of a strategy is a text; {given!r} is not.")
    return given or usual


def _length(value: Any, name: str, function: str) -> Any:
    if value is None:
        return None
    plain = one_value(value, "cm", name, function)
    within(plain, 1e-6, np.inf, f"{function}: a {name} of {{value:g}} cm; write one above 0.")
    return Q(plain, "cm")
