"""The watering round of a day: what each tank takes, what to carry, and who only needs a look."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property
from typing import Any

import numpy as np

from stilltank import tables
from stilltank.science import roots
from stilltank.season.plan import Plan, strength_words
from stilltank.show.figures import short_day
from stilltank.units import Problem, Q, Quantity, on_ruler, one_value, within, write, write_range

_SHARES = (0.1, 0.5, 0.9)
_BY_A_PERSON = ("by hand", "rain caught", "on dates")
_WORKS_ALONE = {"float valve": "its float valve", "drip": "its drip"}


@dataclass(frozen=True, eq=False)
class Stop:
    """A tank that takes water on a round.

    Parameters
    ----------
    tank : str
        Its name on the bench.
    litres : Quantity
        L, [3]: in 1 of 10 seasons it takes less than the first, half take less than the second, 9 of 10 than the third.
    strength : float
        Of what is added: 0 for plain water, 1 for the whole recipe.
    most : Quantity
        L that may be added at once at the level to expect.
    rise : Quantity
        The same as a rise of the level, cm.
    mark : Quantity, optional
        Level to fill to at most; None where the routine names volumes.
    held_back : bool
        Whether the routine asks for more than may be added, so that the limit counts.

    Examples
    --------
    >>> Stop("A", Q([1, 1.3, 1.5], "L"), 0.0, Q(3.3, "L"), Q(2, "cm"), None, False).tank
    'A'
    """

    tank: str
    litres: Quantity
    strength: float
    most: Quantity
    rise: Quantity
    mark: Quantity | None
    held_back: bool


@dataclass(frozen=True, eq=False)
class Load:
    """What is carried of one strength.

    Parameters
    ----------
    strength : float
        0 for plain water, 1 for the whole recipe.
    litres : Quantity
        L, [3]: as those of a `Stop`, of all tanks together.
    cans : int
        Cans that hold enough in 9 of 10 seasons.

    Examples
    --------
    >>> Load(0.5, Q([4, 5, 6], "L"), 1).cans
    1
    """

    strength: float
    litres: Quantity
    cans: int


@dataclass(frozen=True, eq=False)
class Round:
    """A watering round; made by ``Bench.round``.

    Parameters
    ----------
    day : date
        The day.
    stops : tuple of Stop
        The tanks that take water, in the order of the bench.
    loads : tuple of Load
        What to carry, apart by strength.
    looks : dict of str to str
        Why other tanks in use take nothing, by their names.
    idle : dict of str to str
        Why there is nothing to do at the others, by their names.
    reservoirs : dict of str to Quantity
        What a float valve or a drip takes in the week from this day on, enough in 9 of 10 seasons.
    can : Quantity
        Size of a can.
    next_day : date, optional
        The next day on which a tank takes water; None where none follows.

    Examples
    --------
    >>> from stilltank.season.bench import Bench
    >>> print(Bench.of({"A": Plan.make(count=4)}).round("2027-06-20"))
    2027-06-20: no tank takes water. Look only: A, nothing is added by its plan.
    """

    day: date
    stops: tuple[Stop, ...]
    loads: tuple[Load, ...]
    looks: Mapping[str, str]
    idle: Mapping[str, str]
    reservoirs: Mapping[str, Quantity]
    can: Quantity
    next_day: date | None

    @property
    def trips(self) -> int:
        """Ways to walk with a can in each hand."""
        return math.ceil(
            sum(one.cans for one in self.loads) / tables.number("plan", "bench", "cans at a time", "1")
        )

    def sentences(self, system: str = "metric") -> tuple[str, ...]:
        """Say the round: where to go, what to carry, what each tank takes, where to look, when to go again.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        tuple of str
            Sentences.

        Raises
        ------
        UnitNeeded
            Another system.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> Bench.of({"A": Plan.make(count=4)}).round("2027-06-20").sentences()[0]
        'No tank takes water.'
        """
        return tuple(self._said(system))

    def brief(self, system: str = "metric") -> str:
        """Say the round in a few words, for a calendar: where to go, what to carry, about how much for each.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Returns
        -------
        str
            Sentences. Marks and limits are on the page for the wall.

        Raises
        ------
        UnitNeeded
            Another system.

        Examples
        --------
        >>> from stilltank.season.bench import Bench
        >>> Bench.of({"A": Plan.make(count=4)}).round("2027-06-20").brief()
        'No tank takes water.'
        """
        each = "; ".join(
            f"{one.tank} {'perhaps ' if one.litres[1] < _least() else ''}"
            f"{write(one.litres[2 if one.litres[1] < _least() else 1], system, 2)}"
            for one in self.stops
        )
        last = f" {each}. Up to the mark, never more than the limit at once." if each else ""
        return f"{' '.join(self._where(system))}{last}"

    def _where(self, system: str) -> Iterator[str]:
        if not self.stops:
            yield "No tank takes water."
        else:
            yield f"Tank {', then '.join(one.tank for one in self.stops)}."
        for load in self.loads:
            cans = f"{load.cans} {'can' if load.cans == 1 else 'cans'} of {write(self.can, system)}"
            yield f"{_carried(load.litres, strength_words(load.strength), system)}: {cans}."
        if self.trips > 1:
            yield f"Walk {self.trips} times, with a can in each hand."

    def _said(self, system: str) -> Iterator[str]:
        yield from self._where(system)
        for one in self.stops:
            low, middle, high = _poured(one.litres)
            mark = f", at most up to {on_ruler(one.mark, system)}" if one.mark is not None else ""
            much = (
                f"perhaps {write(high, system, 2)}"
                if one.litres[1] < _least()
                else f"{write(middle, system, 2)} ({write_range(low, high, system, digits=2)})"
            )
            yield (
                f"{one.tank}: {much}{mark}; never more than {on_ruler(one.rise, system, down=True)} or "
                f"{write(one.most, system, 2)} at once."
            )
            if one.held_back:
                yield (
                    f"{one.tank}: its routine asks for more than that. Come more often, or let the plan lift the level "
                    "less at a time."
                )
        for words, tanks in (("Look only", self.looks), ("Nothing to do", self.idle)):
            if tanks:
                yield f"{words}: {'; '.join(f'{name}, {why}' for name, why in tanks.items())}."
        if self.reservoirs:
            each = "; ".join(f"{name} {write(litres, system, 2)}" for name, litres in self.reservoirs.items())
            yield f"For a week, have in the reservoir of {each}."
        if self.next_day is not None:
            yield f"Next round on {short_day(self.next_day)}."

    def __str__(self) -> str:
        first, *others = self.sentences()
        return f"{self.day}: {' '.join([first[0].lower() + first[1:], *others])}"


class Watering:
    """What the tanks of a bench take day by day.

    Parameters
    ----------
    plans : mapping of str to Plan
        By the name of the tank, under a common weather.

    Examples
    --------
    >>> Watering({"A": Plan.make(count=4)}).days
    ()
    """

    def __init__(self, plans: Mapping[str, Plan]):
        self._plans = plans

    @cached_property
    def _taken(self) -> dict[str, tuple[Any, Any]]:
        """For each tank that is topped up by a person: litres by member and day, and what the limit allows then."""
        return {
            name: _within_limit(plan) for name, plan in self._plans.items() if plan.top_up.way in _BY_A_PERSON
        }

    @cached_property
    def _busy(self) -> dict[str, Any]:
        """Days on which it is likely, in 1 of 10 seasons or more, that a tank takes something."""
        least = _least().m_as("L")
        found = {}
        for name, (taken, _) in self._taken.items():
            days = np.quantile(taken, _SHARES[-1], axis=0) > least
            found[name] = self._plans[name].outlook.season.dates[days]
        return found

    @cached_property
    def days(self) -> tuple[date, ...]:
        """All days on which a tank takes water."""
        return tuple(sorted({day.item() for days in self._busy.values() for day in days}))

    def round(self, day: date, can: Quantity | None = None) -> Round:
        """Plan the round of one day.

        Parameters
        ----------
        day : date
            The day.
        can : Quantity, optional
            Size of a can; the usual one when left out.

        Returns
        -------
        Round
            What to carry, and where.

        Raises
        ------
        UnitNeeded
            The size of the can has no unit of volume.
        OutOfRange
            Nobody carries a can of that size.

        Examples
        --------
        >>> Watering({"A": Plan.make(count=4)}).round(date(2027, 6, 20)).stops
        ()
        """
        size = _can(can)
        stops: list[Stop] = []
        looks: dict[str, str] = {}
        idle: dict[str, str] = {}
        reservoirs: dict[str, Quantity] = {}
        loads: dict[float, list[Any]] = {}
        for name, plan in self._plans.items():
            if why := _idle(plan, day):
                idle[name] = why
                continue
            if not self._takes(name, day):
                looks[name] = self._why(name, day)
                if (week := self._reservoir(name, day)) is not None:
                    reservoirs[name] = week
                continue
            at = (day - plan.outlook.first_day).days
            taken, allowed = self._taken[name]
            litres = Q(np.quantile(taken[:, at], _SHARES), "L")
            loads.setdefault(plan.top_up.strength, []).append(taken[:, at])
            asked = plan.outlook.season.top_up.magnitude[:, at]
            stops.append(
                Stop(
                    name,
                    litres,
                    plan.top_up.strength,
                    Q(float(np.median(allowed[:, at])), "L"),
                    plan.outlook.refill.rise,
                    mark_of(plan),
                    bool(np.median(asked - taken[:, at]) > 1e-6),
                )
            )
        carried = []
        for strength in sorted(loads):
            litres = np.quantile(_summed(loads[strength]), _SHARES)
            cans = max(math.ceil(litres[-1] / size.m_as("L") - 1e-9), 1)
            carried.append(Load(strength, Q(litres, "L"), cans))
        following = next((one for one in self.days if one > day), None)
        return Round(day, tuple(stops), tuple(carried), looks, idle, reservoirs, size, following)

    def _takes(self, name: str, day: date) -> bool:
        return bool(np.any(self._busy.get(name, np.array([], "datetime64[D]")) == np.datetime64(day, "D")))

    def _reservoir(self, name: str, day: date) -> Quantity | None:
        """What a float valve or a drip takes from its reservoir in the week from a day on, in 9 of 10 seasons."""
        plan = self._plans[name]
        if plan.top_up.way not in _WORKS_ALONE:
            return None
        at = (day - plan.outlook.first_day).days
        week = plan.outlook.season.top_up.m_as("L")[:, at : at + 7].sum(axis=1)
        found = Q(float(np.quantile(week, _SHARES[-1])), "L")
        return found if found > _least() else None

    def _why(self, name: str, day: date) -> str:
        """Why a tank in use takes nothing on a day."""
        routine = self._plans[name].top_up
        if routine.way == "nothing":
            return "nothing is added by its plan"
        if alone := _WORKS_ALONE.get(routine.way):
            return f"{alone} tops it up"
        mine = [one.item() for one in self._busy[name] if one.item() > day]
        if not mine:
            return "nothing more is added by its plan"
        return f"it takes water on {short_day(mine[0])}"


def _least() -> Quantity:
    """Less than this is not carried."""
    return tables.load("plan")["bench", "least"].quantity


def _poured(litres: Quantity) -> Quantity:
    """To a tenth of a litre, as nobody pours finer from a can."""
    return Q(np.round(litres.m_as("L"), 1), "L")


def _carried(litres: Quantity, what: str, system: str) -> str:
    """What to carry, in words; where half of the seasons need none, only perhaps."""
    low, middle, high = _poured(litres)
    if litres[1] < _least():
        return f"Perhaps carry {write(high, system, 2)} of {what}, which half of the simulated seasons do not need"
    span = write_range(low, high, system, digits=2)
    return f"Carry {write(middle, system, 2)} of {what} ({span} in 8 of 10 simulated seasons)"


def _idle(plan: Plan, day: date) -> str:
    """Why a tank is not in use on a day; empty where it is."""
    first, last = plan.outlook.first_day, plan.outlook.first_day + timedelta(days=plan.outlook.days - 1)
    if day < first:
        return (
            f"it is filled on {short_day(first)}"
            if plan.reading is None
            else f"its forecast begins on {short_day(first)}"
        )
    return f"its season ended on {short_day(last)}" if day > last else ""


def _within_limit(plan: Plan) -> tuple[Any, Any]:
    """Litres added by member and day, never more than the refill limit allows; and that limit once pots hang clear."""
    season = plan.outlook.season
    asked = season.top_up.magnitude
    first = np.full((len(asked), 1), season.filled.m_as("L"))
    before = np.concatenate([first, season.volume.magnitude[:, :-1]], axis=1)
    level = plan.tank.level(Q(before, "L"))
    clear = level < plan.tank.height - plan.outlook.pots.tank.net_pot_depth
    hung = np.logical_or.accumulate(clear, axis=1)
    free, limited = (
        roots.refill_limit(plan.outlook.pots.tank, level, hung_clear=known).volume.m_as("L")
        for known in (False, True)
    )
    allowed = np.where(hung, limited, np.maximum(free, asked))  # before the pots hang clear no rise harms
    return np.minimum(asked, allowed), limited


def _summed(several: list[Any]) -> Any:
    """Litres of all tanks, member by member: they have one weather; in another order where they have not."""
    most = max(len(one) for one in several)
    return np.sum([np.resize(one, most) for one in several], axis=0)


def mark_of(plan: Plan) -> Quantity | None:
    """Level to which a routine fills at most.

    Parameters
    ----------
    plan : Plan
        The plan.

    Returns
    -------
    Quantity or None
        In cm; None where the routine names volumes, or nothing.

    Examples
    --------
    >>> from stilltank.science import budget
    >>> print(f'{mark_of(Plan.make(top_up=budget.by_hand(3, Q(15, "cm")))).m_as("cm"):g} cm')
    15 cm
    """
    if plan.top_up.way not in ("by hand", "rain caught", "float valve"):
        return None
    return plan.outlook.holding_level


def _can(given: Quantity | None) -> Quantity:
    entry = tables.load("plan")["bench", "can"]
    if given is None:
        return entry.quantity
    if isinstance(given, bool):
        raise Problem('A can has a size with its unit, such as Q(10, "L").')
    low, high = (float(end.m_as("L")) for end in entry.range)
    size = one_value(given, "L", "can", "round")
    within(given, low, high, "A can holds {low} to {high}; {value} is not carried by anybody.", "L")
    return Q(size, "L")
