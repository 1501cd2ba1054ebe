"""Who stands in the tank: plants of several crops, since when, in which pots, and which of them died."""

from collections.abc import Iterable
from dataclasses import KW_ONLY, dataclass
from datetime import date, timedelta

import numpy as np

from stilltank import tables
from stilltank.science.budget import Planting
from stilltank.science.crops import Crop, Plants, crop
from stilltank.units import OutOfRange, Problem, Quantity, UnitNeeded, within
from stilltank.units.types import Day

from .days import day_from

_EXAMPLE = 'Write Loss("2027-06-10", 1), or Loss("2027-06-10", 1, replaced=True).'


@dataclass(frozen=True)
class Loss:
    """Plants that died or were taken out on a day, and whether new ones took their place.

    Parameters
    ----------
    day : date
        The day, as a date or ISO text.
    count : int
        How many plants.
    replaced : bool
        Whether as many young plants were set in on that day.

    Raises
    ------
    OutOfRange
        No such number of plants, or a year that cannot be.
    Problem
        The day is no date.

    Examples
    --------
    >>> print(Loss("2027-06-10", 1, replaced=True))
    1 on 2027-06-10, replaced
    """

    day: date
    count: int = 1
    replaced: bool = False

    def __post_init__(self) -> None:
        object.__setattr__(self, "day", day_from(self.day))
        _whole(self.count, "A number of plants that died")

    def __str__(self) -> str:
        return f"{self.count} on {self.day}{', replaced' if self.replaced else ''}"


@dataclass(frozen=True)
class Group:
    """Plants of one crop that share the tank with others.

    Parameters
    ----------
    crop : Crop or str
        The crop, or its name.
    count : int
        How many were set in.
    transplanted : date, optional
        The day on which they were set into the tank, as a date or ISO text; the start of the plan when None.
    pot_depth : quantity, length, optional
        From the rim of the tank to the bottom of their net pots; that of the tank when None.
    losses : sequence of Loss
        Plants that died, or were taken out.

    Raises
    ------
    OutOfRange
        No such number of plants, or more losses than plants.
    UnitNeeded
        A pot depth without its unit.
    Problem
        There is no such crop, or a day is no date.

    Examples
    --------
    >>> print(Group("basil", 2, transplanted="2027-05-20"))
    2 basil from 2027-05-20
    """

    crop: Crop
    count: int
    _: KW_ONLY
    transplanted: date | None = None
    pot_depth: Quantity | None = None
    losses: tuple[Loss, ...] = ()

    def __post_init__(self) -> None:
        kind = crop(self.crop) if isinstance(self.crop, str) else self.crop
        if not isinstance(kind, Crop):
            raise Problem(f'A group of plants is of a crop, such as "basil"; {self.crop!r} is not one.')
        _whole(self.count, "A number of plants")
        object.__setattr__(self, "crop", kind)
        if self.transplanted is not None:
            object.__setattr__(self, "transplanted", day_from(self.transplanted))
        if self.pot_depth is not None:
            if not isinstance(self.pot_depth, Quantity):
                raise UnitNeeded(
                    f'A pot depth needs its unit, such as Q(5, "cm"); {self.pot_depth!r} has none.'
                )
            within(
                self.pot_depth,
                *_ends("pot", "depth", "cm"),
                "A pot depth lies between {low} and {high}; {value} does not.",
                "cm",
            )
        object.__setattr__(self, "losses", losses_from(self.losses, self.count))

    @property
    def plants(self) -> Plants:
        """Crop and count, as they were set in."""
        return Plants(self.crop, self.count)

    def standing(self, day: Day) -> int:
        """Count the plants that stand on a day, those that took the place of others among them.

        Parameters
        ----------
        day : date or str
            The day.

        Returns
        -------
        int
            The plants.

        Raises
        ------
        Problem
            The day is no date.

        Examples
        --------
        >>> Group("basil", 3, losses=(Loss("2027-06-10", 1),)).standing("2027-07-01")
        2
        """
        when = day_from(day)
        return self.count - sum(one.count for one in self.losses if one.day <= when and not one.replaced)

    def __str__(self) -> str:
        when = f" from {self.transplanted}" if self.transplanted else ""
        died = f", {'; '.join(f'lost {one}' for one in self.losses)}" if self.losses else ""
        return f"{self.count} {self.crop.spoken}{when}{died}"


@dataclass(frozen=True)
class Reading:
    """What was read at the tank on a day in mid-season; a plan goes on from there.

    Parameters
    ----------
    day : date
        The day, as a date or ISO text.
    level : quantity, length
        Of the solution above the floor.
    conductivity : quantity, mS/cm at 25 °C, optional
        What the meter read.
    ph : float, optional
        What the meter, strip or drops read.

    Raises
    ------
    UnitNeeded
        A level or a conductivity without its unit.
    OutOfRange
        A value that cannot be.
    Problem
        The day is no date.

    Examples
    --------
    >>> from stilltank.units import Q
    >>> Reading("2027-06-20", Q(15, "cm")).day.isoformat()
    '2027-06-20'
    """

    day: date
    level: Quantity
    _: KW_ONLY
    conductivity: Quantity | None = None
    ph: float | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "day", day_from(self.day))
        for name, unit, most, example in (
            ("level", "cm", tables.number("plausible", "tank", "largest length", "cm"), 'Q(15, "cm")'),
            ("conductivity", "mS/cm", _ends("reading", "conductivity", "mS/cm")[1], 'Q(1.8, "mS/cm")'),
        ):
            given = getattr(self, name)
            if given is None and name != "level":
                continue
            if not isinstance(given, Quantity):
                raise UnitNeeded(f"A {name} needs its unit, such as {example}; {given!r} has none.")
            within(given, 0, most, f"A {name} of {{value}} is not possible; write {{low}} to {{high}}.", unit)
        if self.ph is not None:
            if not isinstance(self.ph, (int, float)) or isinstance(self.ph, bool):
                raise Problem(f"A pH is a plain number such as 6.2; {self.ph!r} is not.")
            ends = _ends("reading", "pH", "dimensionless")
            within(self.ph, *ends, "A pH of {value:g} is not possible in a tank; write {low:g} to {high:g}.")


def _ends(item: str, prop: str, unit: str) -> tuple[float, float]:
    """What is taken to be possible, as plain numbers."""
    low, high = (float(end.m_as(unit)) for end in tables.load("plausible")[item, prop].range)
    return low, high


def _whole(given: object, what: str) -> None:
    if not isinstance(given, (int, np.integer)) or isinstance(given, bool) or not 1 <= given <= 10_000:
        raise OutOfRange(f"{what} is whole, such as 2; {given!r} is not possible.")


def losses_from(given: Iterable[Loss], count: int) -> tuple[Loss, ...]:
    """Take the plants that died of a group, in the order of their days.

    Parameters
    ----------
    given : sequence of Loss
        What the person gave.
    count : int
        Plants in the group.

    Returns
    -------
    tuple of Loss
        In order.

    Raises
    ------
    OutOfRange
        More plants are lost than there were.
    Problem
        Something else than losses.

    Examples
    --------
    >>> losses_from([Loss("2027-07-01"), Loss("2027-06-01")], 4)[0].day.isoformat()
    '2027-06-01'
    """
    found = (given,) if isinstance(given, Loss) else given
    if not isinstance(found, Iterable) or isinstance(found, (str, bytes)):
        raise Problem(f"{given!r} are no losses. {_EXAMPLE}")
    several = tuple(found)
    if wrong := [one for one in several if not isinstance(one, Loss)]:
        raise Problem(f"{wrong[0]!r} is no loss. {_EXAMPLE}")
    several = tuple(sorted(several, key=lambda one: one.day))
    left = count
    for one in several:
        if one.count > left:
            raise OutOfRange(
                f"On {one.day} {left} plants are left, and {one.count} cannot die. Write at most {left}."
            )
        left -= 0 if one.replaced else one.count
    return several


def groups_from(given: Iterable[Group]) -> tuple[Group, ...]:
    """Take the groups of plants beside the leading one.

    Parameters
    ----------
    given : sequence of Group
        What the person gave; one group alone is taken as well.

    Returns
    -------
    tuple of Group
        The groups.

    Raises
    ------
    Problem
        Something else than groups.

    Examples
    --------
    >>> [group.count for group in groups_from([Group("basil", 2)])]
    [2]
    """
    example = 'Write [Group("basil", 2), Group("lettuce", 3, transplanted="2027-05-20")].'
    found = (given,) if isinstance(given, Group) else given
    if not isinstance(found, Iterable) or isinstance(found, (str, bytes)):
        raise Problem(f"{given!r} are no groups of plants. {example}")
    several = tuple(found)
    if wrong := [one for one in several if not isinstance(one, Group)]:
        raise Problem(f"{wrong[0]!r} is no group of plants. {example}")
    return several


def plantings(
    kind: Crop, count: int, transplanted: date, losses: Iterable[Loss], last_day: date
) -> tuple[Planting, ...]:
    """Say to the water budget who of a group drinks when; those that died stop, young ones begin anew.

    Parameters
    ----------
    kind : Crop
        The crop, with its stages.
    count : int
        Plants that were set in.
    transplanted : date
        On which day.
    losses : sequence of Loss
        Who died, in the order of the days.
    last_day : date
        On which the group leaves the tank.

    Returns
    -------
    tuple of Planting
        Each with its first and last day.

    Examples
    --------
    >>> for one in plantings(crop("basil"), 3, date(2027, 5, 1), [Loss("2027-06-10")], date(2027, 8, 1)):
    ...     print(one)
    3 basil from 2027-05-01 to 2027-06-09
    2 basil from 2027-06-10 to 2027-08-01
    """
    found: list[Planting] = []
    stands = [(count, transplanted, transplanted)]  # how many, their age counts from, in this number since

    def seen(number: int, since: date, first: date, last: date) -> None:
        if number and first <= last:
            found.append(Planting(kind, number, first_day=first, last_day=last, age=(first - since).days))

    for one in losses:
        day, gone, left = max(one.day, transplanted), one.count, []
        if day > last_day:
            continue
        for number, since, first in stands:  # nobody says which died: the oldest are taken
            taken = min(gone, number)
            gone -= taken
            if taken:
                seen(number, since, first, day - timedelta(days=1))
            left.append((number - taken, since, day if taken else first))
        stands = [*left, *([(one.count, day, day)] if one.replaced else [])]
    for number, since, first in stands:
        seen(number, since, first, last_day)
    return tuple(found)
