"""The ways of topping a tank up: by nobody, by hand, from a rain barrel, by a float valve or an emitter, on dates."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import pint

from stilltank.tables import number
from stilltank.units import Problem, Q, UnitNeeded, takes

from ._checks import (
    between,
    dated_volumes,
    one_size,
    plain_date,
    positive_length,
    shown,
    strength_share,
    told,
    whole,
)

WAYS = ("nothing", "by hand", "rain caught", "float valve", "drip", "on dates")


@dataclass(frozen=True, eq=False, kw_only=True)
class Barrel:
    """A barrel under a roof or a sheet; made by `rain_caught`.

    Parameters
    ----------
    size : quantity, volume
        What the barrel holds.
    area : quantity, area
        Of roof or sheet, seen from above.
    share : quantity, dimensionless
        Part of the rain on it that reaches the barrel.
    first_flush : quantity, length
        Depth that is let run off after each dry day, since it washes the roof.
    first : quantity, volume
        What is in the barrel on the first day.

    Examples
    --------
    >>> rain_caught(Q(2, "m^2"), Q(100, "L")).barrel.size.magnitude
    100.0
    """

    size: pint.Quantity
    area: pint.Quantity
    share: pint.Quantity
    first_flush: pint.Quantity
    first: pint.Quantity


@dataclass(frozen=True, eq=False)
class TopUp:
    """One way of topping up; made by `nothing`, `by_hand`, `to_a_mark`, `rain_caught`, `float_valve` and others.

    Parameters
    ----------
    name : str
        What the table of `compare` calls it.
    way : str
        "nothing", "by hand", "rain caught", "float valve", "drip" or "on dates".
    strength : float
        Of what is added: 0 for plain water, 1 for the whole recipe.
    level : quantity, length
        To fill to or hold; None for the usual one.
    rise : quantity, length
        The most that one visit lifts the level; None for the usual one.
    every : int
        Days between visits; 1 for what works without anyone.
    daily : quantity, volume
        What an emitter gives in a day; None for the other ways.
    volumes : dict of date to quantity, volume
        What is added on which day; None for the other ways.
    barrel : Barrel
        Where what is poured in comes from, and no more than it holds; None for the other ways.

    Raises
    ------
    Problem
        A way that is not known.

    Examples
    --------
    >>> print(TopUp("every three days", "by hand", every=3))
    every three days
    """

    name: str
    way: str
    strength: float = 0.0
    level: pint.Quantity | None = None
    rise: pint.Quantity | None = None
    every: int = 1
    daily: pint.Quantity | None = None
    volumes: Mapping[date, pint.Quantity] | None = None
    barrel: Barrel | None = None

    def __post_init__(self):
        if not isinstance(self.way, str) or self.way not in WAYS:
            raise Problem(
                f"{shown(self.way)} is no way of topping up. Write nothing(), by_hand(3), rain_caught(...), "
                "float_valve(), drip(...) or on_dates(...)."
            )

    @property
    def after_use(self) -> bool:
        """Whether it comes after the plants have drunk, as from a float valve; all others come before."""
        return self.way == "float valve"

    def __str__(self) -> str:
        return self.name


def nothing() -> TopUp:
    """Leave the tank alone from planting to the end.

    Returns
    -------
    TopUp
        For `Scenario.make` or `compare`.

    Examples
    --------
    >>> print(nothing())
    no top-up
    """
    return TopUp("no top-up", "nothing")


def by_hand(
    every: int | None = None,
    level: pint.Quantity | None = None,
    rise: pint.Quantity | None = None,
    strength: float | pint.Quantity = 0.0,
    name: str = "",
) -> TopUp:
    """Come every so many days and add a little, or a lot.

    Parameters
    ----------
    every : int
        Days from one visit to the next; the usual 2 when left out.
    level : quantity, length
        To fill to at most; a share of the first level when left out (data/budget.csv).
    rise : quantity, length
        The most that one visit lifts the level; the usual 1 cm when left out.
    strength : float or quantity, dimensionless
        0 for plain water, 1 for the whole recipe.
    name : str
        For the table; made from the rest when left out.

    Returns
    -------
    TopUp
        For `Scenario.make` or `compare`.

    Raises
    ------
    UnitNeeded
        A level or rise has no unit of length.
    OutOfRange
        A number of days that is not whole or not 1 to 366, a level or rise that is not above 0, a strength
        outside 0 to 10.
    Unreadable
        A strength that is no number.
    Problem
        A name that is no text.

    Examples
    --------
    >>> print(by_hand(7, rise=Q(1, "cm"), strength=0.5))
    by hand every 7 days, half strength
    """
    usual = int(number("budget", "top-up", "visits", "day"))
    sentence = "From one visit to the next it is 1 to 366 whole days; {value} is not possible."
    days = usual if every is None else whole(every, 1, 366, sentence)
    share = strength_share(strength)
    when = "every day" if days == 1 else f"every {days} days"
    return TopUp(
        _named(name, f"by hand {when}, {_in_words(share)}"),
        "by hand",
        share,
        positive_length(level, "level"),
        positive_length(rise, "rise"),
        days,
    )


def to_a_mark(
    level: pint.Quantity,
    every: int | None = None,
    strength: float | pint.Quantity = 0.0,
    name: str = "",
) -> TopUp:
    """Come every so many days and fill up to a mark, however far the level has dropped.

    Parameters
    ----------
    level : quantity, length
        Height of the mark above the floor of the tank.
    every : int
        Days from one visit to the next; the usual 2 when left out.
    strength : float or quantity, dimensionless
        0 for plain water, 1 for the whole recipe.
    name : str
        For the table; made from the rest when left out.

    Returns
    -------
    TopUp
        For `Scenario.make` or `compare`.

    Raises
    ------
    UnitNeeded
        A level without a unit of length.
    OutOfRange
        A number of days that is not whole or not 1 to 366, a level that is not above 0, a strength outside 0 to 10.
    Unreadable
        A strength that is no number.
    Problem
        A name that is no text.

    Notes
    -----
    Once the pots hang clear, a visit after many days lifts the level far: `compare` counts how often that is above
    the caution. `by_hand` lifts it by a little at a time.

    Examples
    --------
    >>> print(to_a_mark(Q(15, "cm"), 3))
    by hand every 3 days to 15 cm, plain water
    """
    mark = positive_length(level, "level")
    if mark is None:
        raise UnitNeeded('A mark needs its height above the floor of the tank, such as level=Q(15, "cm").')
    made = by_hand(every, mark, mark, strength, name)
    if name:
        return made
    when = made.name.partition(",")[0]
    return replace(
        made, name=f"{when} to {told(float(mark.m_as('m')), 'm', mark)}, {_in_words(made.strength)}"
    )


def rain_caught(
    area: pint.Quantity,
    barrel: pint.Quantity,
    every: int | None = None,
    level: pint.Quantity | None = None,
    *,
    rise: pint.Quantity | None = None,
    strength: float | pint.Quantity = 0.0,
    share: pint.Quantity | None = None,
    first_flush: pint.Quantity | None = None,
    first: pint.Quantity | None = None,
    name: str = "",
) -> TopUp:
    """Top up by hand from a barrel that catches the rain of a roof or a sheet, as far as it holds.

    Parameters
    ----------
    area : quantity, area
        Of roof or sheet, seen from above.
    barrel : quantity, volume
        What the barrel holds.
    every : int
        Days from one visit to the next; the usual 2 when left out.
    level : quantity, length
        The mark to fill to; a share of the first level when left out (data/budget.csv).
    rise : quantity, length
        The most that one visit lifts the level; the usual 1 cm when left out and no mark is given.
    strength : float or quantity, dimensionless
        Of what is poured in: 0 for rain alone, 0.5 or 1 where the recipe's salts are dissolved in it.
    share : quantity, dimensionless
        Part of the rain that reaches the barrel, 0 to 100 percent; the usual 80 when left out.
    first_flush : quantity, length
        Depth that runs off after each dry day and is not caught; the usual 0.5 mm when left out.
    first : quantity, volume
        What is in the barrel on the first day; nothing when left out.
    name : str
        For the table; made from the rest when left out.

    Returns
    -------
    TopUp
        For `Scenario.make` or `compare`.

    Raises
    ------
    UnitNeeded
        A size without its unit.
    OutOfRange
        A size that cannot be, a number of days that is not 1 to 366, more in the barrel than it holds.
    Unreadable
        A strength that is no number.
    Problem
        A name that is no text.

    Notes
    -----
    The rain of a day is in the barrel before that day's visit. What the barrel cannot hold runs over, what it lacks
    is not added: nobody fetches other water. Rain of the record falls on the roof also where the tank is under cover.
    Water from a roof carries dust, droppings and what the roof gives off: do not drink it, and keep it off leaves that
    are eaten raw. Cover the barrel against mosquitoes and children.

    Examples
    --------
    >>> print(rain_caught(Q(2, "m^2"), Q(100, "L"), 3, Q(15, "cm")))
    rain caught on 2 m², every 3 days to 15 cm
    """
    square = one_size(area, "m^2", "area")
    between(area, square, "m^2", 1e-6, 1e5, "An area of {value} is not possible. Write one above 0.")
    litres = one_size(barrel, "L", "barrel")
    between(barrel, litres, "L", 1e-3, 1e6, "A barrel of {value} is not possible. Write one above 0.")
    part = (
        number("budget", "rain barrel", "share caught", "1")
        if share is None
        else one_size(share, "", "share")
    )
    between(
        share, part, "", 0, 1, "A share of {value} is not possible. Write 0 to 1, such as Q(80, 'percent')."
    )
    lost = (
        number("budget", "rain barrel", "first flush", "mm")
        if first_flush is None
        else one_size(first_flush, "mm", "first_flush")
    )
    between(
        first_flush, lost, "mm", 0, 100, "A first flush of {value} is not possible. Write {low} to {high}."
    )
    there = 0.0 if first is None else one_size(first, "L", "first")
    between(
        first, there, "L", 0, litres, "The barrel holds {high}, so {value} cannot be in it on the first day."
    )
    if level is not None and rise is None:
        rise = level
    made = by_hand(every, level, rise, strength, name)
    when = made.name.partition(",")[0].removeprefix("by hand ")
    mark = "" if made.level is None else f" to {told(float(made.level.m_as('m')), 'm', made.level)}"
    salts = f", {_in_words(made.strength)}" if made.strength else ""
    return replace(
        made,
        name=name or f"rain caught on {told(square, 'm^2', area)}, {when}{mark}{salts}",
        way="rain caught",
        barrel=Barrel(
            size=Q(litres, "L"),
            area=Q(square, "m^2"),
            share=Q(part, "dimensionless"),
            first_flush=Q(lost, "mm"),
            first=Q(there, "L"),
        ),
    )


def float_valve(
    level: pint.Quantity | None = None, strength: float | pint.Quantity = 0.0, name: str = ""
) -> TopUp:
    """Let a float valve hold the level from a reservoir above.

    Parameters
    ----------
    level : quantity, length
        Where the valve closes; a share of the first level when left out (data/budget.csv).
    strength : float or quantity, dimensionless
        Of what is in the reservoir: 0 for plain water, 1 for the whole recipe.
    name : str
        For the table; made from the rest when left out.

    Returns
    -------
    TopUp
        For `Scenario.make` or `compare`.

    Raises
    ------
    UnitNeeded
        A level without a unit of length.
    OutOfRange
        A level that is not above 0, a strength outside 0 to 10.
    Unreadable
        A strength that is no number.
    Problem
        A name that is no text.

    Notes
    -----
    The reservoir never runs empty here; how much it must hold is "added (L)" in the table of `compare`.

    Examples
    --------
    >>> print(float_valve(Q(15, "cm"), strength=1))
    float valve, full strength
    """
    share = strength_share(strength)
    return TopUp(
        _named(name, f"float valve, {_in_words(share)}"),
        "float valve",
        share,
        positive_length(level, "level"),
    )


def drip(
    flow: pint.Quantity, time: pint.Quantity, strength: float | pint.Quantity = 0.0, name: str = ""
) -> TopUp:
    """Let an emitter drip for a while each day, whatever the level.

    Parameters
    ----------
    flow : quantity, volume in a time
        Of all emitters together.
    time : quantity, time
        How long each day, up to 24 hours.
    strength : float or quantity, dimensionless
        Of what drips: 0 for plain water, 1 for the whole recipe.
    name : str
        For the table; made from the rest when left out.

    Returns
    -------
    TopUp
        For `Scenario.make` or `compare`.

    Raises
    ------
    UnitNeeded
        A flow or a time without its unit.
    OutOfRange
        A negative flow, more than 24 hours a day, a strength outside 0 to 10.
    Unreadable
        A strength that is no number.
    Problem
        A name that is no text.

    Examples
    --------
    >>> print(drip(Q(2, "L/hour"), Q(15, "minute")))
    drip of 0.5 L a day, plain water
    """
    hourly, hours = one_size(flow, "L/hour", "flow"), one_size(time, "hour", "time")
    between(flow, hourly, "L/hour", 0, np.inf, "A flow of {value} is not possible; it cannot be negative.")
    between(time, hours, "hour", 0, 24, "{value} a day is not possible; write 0 to 24 hours.")
    share = strength_share(strength)
    daily = hourly * hours
    named = _named(name, f"drip of {daily:.3g} L a day, {_in_words(share)}")
    return TopUp(named, "drip", share, daily=Q(daily, "L"))


def on_dates(
    volumes: Mapping[date | np.datetime64 | str, pint.Quantity],
    strength: float | pint.Quantity = 0.0,
    name: str = "",
) -> TopUp:
    """Add known volumes on known days, as a log tells of them.

    Parameters
    ----------
    volumes : dict of date to quantity, volume
        What is added on which day, before the plants drink.
    strength : float or quantity, dimensionless
        Of what is added: 0 for plain water, 1 for the whole recipe.
    name : str
        For the table; made from the rest when left out.

    Returns
    -------
    TopUp
        For `Scenario.make` or `compare`.

    Raises
    ------
    UnitNeeded
        A volume without its unit.
    OutOfRange
        A negative volume, a strength outside 0 to 10.
    Unreadable
        A day that is no date, a strength that is no number.
    Problem
        Something else than days with their volumes, a name that is no text.

    Examples
    --------
    >>> print(on_dates({"2027-06-01": Q(3, "L"), "2027-06-15": Q(5, "L")}))
    8 L on 2 days, plain water
    """
    litres, share = dated_volumes(volumes), strength_share(strength)
    count = f"{len(litres)} day{'s' * (len(litres) != 1)}"
    return TopUp(
        _named(name, f"{sum(litres.values()):.3g} L on {count}, {_in_words(share)}"),
        "on dates",
        share,
        volumes={plain_date(day): Q(each, "L") for day, each in litres.items()},
    )


@takes(first_level="cm", daily_use="L")
def usual_routines(first_level: pint.Quantity, daily_use: pint.Quantity) -> tuple[TopUp, ...]:
    """Make the routines that `compare` takes where none are given.

    Parameters
    ----------
    first_level : quantity, length
        Of the solution at planting; what the large refill fills to.
    daily_use : quantity, volume
        What the drip gives each day.

    Returns
    -------
    tuple of TopUp
        Nothing; small and often with plain water, half and full strength; a large refill to the first level, which
        rises far above the caution; a float valve; a drip. None of them is advised: the comparison tells.

    Raises
    ------
    UnitNeeded
        No length, or no volume.
    OutOfRange
        A length or a volume that cannot be.

    Examples
    --------
    >>> [routine.way for routine in usual_routines(Q(25, "cm"), Q(0.8, "L"))]
    ['nothing', 'by hand', 'by hand', 'by hand', 'by hand', 'float valve', 'drip']
    """
    if np.ndim(first_level) or np.ndim(daily_use):
        raise Problem("usual_routines takes one first level and one daily use.")
    interval = int(number("budget", "top-up", "large refill interval", "day"))
    return (
        nothing(),
        *(by_hand(strength=strength) for strength in (0.0, 0.5, 1.0)),
        by_hand(
            interval,
            Q(first_level, "cm"),
            Q(first_level, "cm"),
            name=f"large refill every {interval} days, plain water",
        ),
        float_valve(strength=0.5),
        drip(Q(daily_use, "L/hour"), Q(1, "hour"), 0.5),
    )


def _in_words(share: float) -> str:
    known = {0.0: "plain water", 0.5: "half strength", 1.0: "full strength"}
    return known.get(share, f"{share:g} of full strength")


def _named(given: object, usual: str) -> str:
    if not isinstance(given, str):
        raise Problem(f"The name of a routine is a text, such as 'my way'; you gave {shown(given)}.")
    return given or usual
