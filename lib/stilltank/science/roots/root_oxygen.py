"""The whole of it: roots, air zone and oxygen day by day, over all that is uncertain."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.oxygen import OxygenCourse, WaterColumn, mixed_water, warmest_known
from stilltank.science.tank import Tank
from stilltank.tables import Entry, load, number
from stilltank.units import (
    Problem,
    Q,
    magnitude,
    one_value,
    pure_number,
    speaking_of,
    takes,
    whole_number,
    within,
)
from stilltank.units.types import Array, Plain, Quantity

from ._tank_checks import pot_depth_of
from .growth import RootCourse, oxygen_demand, root_course
from .level_course import LevelCourse, levels_of
from .oxygen_risk import OxygenRisk, oxygen_caution, oxygen_risk


@dataclass(frozen=True, kw_only=True, eq=False)
class RootDemand:
    """What the roots of a crop ask for and where they get it; each value left out is drawn from its range.

    Parameters
    ----------
    age : int, optional
        Days since sowing at the start; plants set out at 14 days give 14.
    crop_area : Quantity, optional
        Of leaves seen from above, such as ``canopy_area`` of Plants; the area of the water when left out. Leaves that
        overhang a tub have more roots in it.
    supply : float or array, optional
        Part of their demand that roots in moist air cover, 0 to 2; see `root_course`. One, or [members].
    mature : Quantity, optional
        Demand of grown roots at 25 degC; see `oxygen_demand`. One, or [members].
    q10 : float or array, optional
        How many times more for 10 degC, 1 to 5; see `oxygen_demand`. One, or [members].

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        The age is not whole, the area not above zero, or a value lies outside its range.
    Unreadable
        The supply or the q10 is no plain number.

    See Also
    --------
    root_oxygen : What it is for.

    Examples
    --------
    >>> RootDemand(age=14, q10=2).age
    14
    """

    age: int = 0
    crop_area: Quantity | None = None
    supply: Plain | None = None
    mature: Quantity | None = None
    q10: Plain | None = None

    def __post_init__(self) -> None:
        sentence = "RootDemand: an age of 0 to 3660 whole days since sowing; {value!r} is not possible."
        object.__setattr__(self, "age", whole_number(self.age, 0, 3660, sentence))
        with speaking_of(self.crop_area, self.mature):
            if self.crop_area is not None:
                leaves = one_value(self.crop_area, "m^2", "crop_area", "RootDemand")
                within(leaves, 1e-6, np.inf, "RootDemand: a crop_area of {value}; it is above zero.", "m^2")
            if self.mature is not None:
                most = magnitude(self.mature, "g/m^2/day", "mature", "RootDemand")
                within(most, 0, np.inf, "RootDemand: a demand is not negative; {value} is.", "g/m^2/day")
        if self.supply is not None:
            air = pure_number(self.supply, 0.8, "supply", "RootDemand")
            sentence = "RootDemand: a supply from air of {value:g} times the roots' own demand; write 0 to 2."
            within(air, 0, 2, sentence)
        if self.q10 is not None:
            factor = pure_number(self.q10, 2, "q10", "RootDemand")
            within(factor, 1, 5, "A Q10 of {value:g}; roots use 1 to 5 times as much 10 degC warmer.")


@dataclass(frozen=True, eq=False)
class RootOxygen:
    """Roots and their oxygen through a season, [members, days]; a single season is followed with many draws.

    Parameters
    ----------
    roots : RootCourse
        The roots day by day.
    oxygen : OxygenCourse
        Of mixed water.
    demand : Quantity
        Of all roots over the area of the water, in g/m^2/day, [members, days].
    share : Quantity
        Of that demand met from air, [members, days].
    risk : OxygenRisk
        Of the lowest oxygen of each day, [members, days].
    drawn : dict of str to Quantity or array
        What each member was given, [members].
    caution : str
        What to say beside every picture of it.
    at_most : bool
        True if the solution is above 40 degC at some time: the oxygen of 40 degC stands there, and there is less.

    See Also
    --------
    root_oxygen : Joins them.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> found = root_oxygen(preset("quillgate-tub"), Q([25, 24], "cm"), Q(22, "degC"), members=3)
    >>> found.demand.shape, sorted(found.drawn)
    ((3, 2), ['film_coefficient', 'mature', 'q10', 'supply'])
    """

    roots: RootCourse
    oxygen: OxygenCourse
    demand: Quantity
    share: Quantity
    risk: OxygenRisk
    drawn: dict[str, Quantity | Array]
    caution: str
    at_most: bool = False

    def quantile(self, share: float) -> Quantity:
        """Lowest oxygen of each day, below which a share of the members lies.

        Parameters
        ----------
        share : float
            Of the members, 0 to 1.

        Returns
        -------
        Quantity
            In mg/L, [days].

        Raises
        ------
        OutOfRange
            The share lies outside 0 to 1.
        Unreadable
            It is no plain number.

        Examples
        --------
        >>> from stilltank.science.tank import preset
        >>> found = root_oxygen(preset("quillgate-tub"), Q([25, 24], "cm"), Q(22, "degC"), members=3)
        >>> found.quantile(0.5).shape
        (2,)
        """
        plain = pure_number(share, 0.5, "share", "quantile")
        within(plain, 0, 1, "A share of the members lies between 0 and 1; {value:g} does not.")
        return Q(np.quantile(self.oxygen.lowest.magnitude, plain, axis=0), "mg/L")

    def __str__(self) -> str:
        last = self.risk.shares(axis=0).m_as("percent")[:, -1]
        words = ", ".join(
            f"{part:.0f} % where {zone}" for part, zone in zip(last, self.risk.words, strict=True)
        )
        hot = (
            "At times the solution is above 40 °C, where nobody measured: its oxygen is at most that of 40 °C. "
            if self.at_most
            else ""
        )
        return f"On the last day, of {len(self.demand.magnitude)} members: {words}. {hot}{self.caution}"


@takes(tank=Tank, temperature="degC", demand=RootDemand)
def root_oxygen(
    tank: Tank,
    levels: LevelCourse | Quantity,
    temperature: Quantity,
    demand: RootDemand | None = None,
    *,
    film_coefficient: Quantity | None = None,
    first_level: Quantity | None = None,
    members: int | None = None,
    seed: int = 1,
) -> RootOxygen:
    """Join the water budget with roots and oxygen: rain, overflow and top-ups act on the air zone day by day.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    levels : LevelCourse or Quantity
        Such as ``levels`` of what `budget.season` or `budget.ensemble` gave; or levels at the end of each day,
        [days] or [members, days].
    temperature : Quantity
        Of the solution, 0 to 60 degC: one, [days], [members, days], or one an hour along the last axis, such as
        ``water`` or ``daily_mean`` of `solution_temperature`. Above 40 degC it is followed as 40 degC, and the result
        says so.
    demand : RootDemand, optional
        What the roots ask for; sown on the first day, and drawn from its ranges, when left out.
    film_coefficient : Quantity, optional
        Speed at which the surface passes oxygen, one or [members]; drawn from its range when left out.
    first_level : Quantity, optional
        At planting, with levels only.
    members : int, optional
        For a single season: how many draws; as many as an ensemble usually has when left out.
    seed : int, optional
        For the draws: a whole number from 0 on.

    Returns
    -------
    RootOxygen
        Roots, oxygen and risk, [members, days].

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        A level lies outside the tank, the water is below 0 or above 60 degC, or a number of members cannot be.
    Problem
        The tank has no ``net_pot_depth``, the water cannot be followed, or numbers of members do not fit.
    Unreadable
        There is no tank, or no demand of roots.

    See Also
    --------
    root_course : The roots alone.
    oxygen_risk : What is known of so little oxygen.

    Notes
    -----
    Everything that `root_course`, `oxygen_demand` and `oxygen.mixed_water` warn of. The film coefficient decides most
    of the range: measure it (`oxygen.fit_film_coefficient`). Water that rain or a can brings is taken as saturated.
    What is drawn has a triangular distribution over its range, with its peak at the usual value.

    Examples
    --------
    >>> from stilltank.science import budget, crops, tank
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("lettuce", 6), "quillgate", start="2027-05-10",
    ...                        members=40, days=42)
    >>> found = root_oxygen(tank.preset("quillgate-tub"), many.levels, Q(22, "degC"), RootDemand(age=14))
    >>> found.share.shape, bool(found.quantile(0.9)[-1] > found.quantile(0.1)[-1])
    ((40, 42), True)
    """
    asked = RootDemand() if demand is None else demand
    given = levels_of(tank, levels, first_level, "root_oxygen")
    temperature, too_warm = warmest_known.plain(temperature)
    pot_depth_of(tank)
    usual = int(number("budget", "ensemble", "members", "1"))
    if given.many:
        if members is not None and members != len(given.ends):
            raise Problem(
                f"root_oxygen: the water has {len(given.ends)} members, not {members!r}. Leave `members` out."
            )
        count = len(given.ends)
    else:
        sentence = "root_oxygen: 1 to 100000 whole members; {value!r} is not possible."
        count = whole_number(usual if members is None else members, 1, 100_000, sentence)
    sentence = "root_oxygen: a seed is a whole number from 0 on; {value!r} is not."
    rng = np.random.default_rng(whole_number(seed, 0, 2**63, sentence))
    days = given.ends.shape[1]
    film = _drawn(
        rng, count, film_coefficient, load("oxygen")["film", "coefficient"], "m/day", "film_coefficient"
    )
    table, oxygen = load("roots"), load("oxygen")
    air = _drawn(rng, count, asked.supply, table["roots", "supply from air"], None, "supply")
    whole = _drawn(rng, count, asked.mature, oxygen["roots", "demand"], "g/m^2/day", "mature")
    warmer = _drawn(rng, count, asked.q10, oxygen["roots", "Q10"], None, "q10")

    one: Any = None if asked.supply is None or np.ndim(asked.supply) else asked.supply
    grown = root_course(tank, levels, first_level=first_level, supply=one)
    at = asked.age + np.arange(1.0, days + 1)
    daily: Any = temperature.magnitude
    if np.ndim(daily) and np.shape(daily)[-1] == 24 * days != days:
        daily = daily.reshape(*np.shape(daily)[:-1], days, 24).mean(axis=-1)
    _fit_days(daily, count, days)
    need = oxygen_demand.plain(at, daily, mature=whole[:, None], q10=warmer[:, None])
    if asked.crop_area is not None:
        leaves = float(asked.crop_area.m_as("m^2"))
        need = need * (leaves / np.asarray(tank.plain.area(given.ends)))
    in_air = grown.in_air.magnitude / np.maximum(
        (grown.in_air + grown.in_water + grown.bared).magnitude, np.finfo(float).tiny
    )
    share = np.minimum(air[:, None] * in_air, number("roots", "roots", "most from air", "1"))
    ends = np.broadcast_to(given.ends, (count, days))
    before = np.concatenate([np.full((count, 1), given.start), ends[:, :-1]], axis=1)
    risen = np.maximum(np.broadcast_to(given.peaks, ends.shape) - before, 0)
    column = WaterColumn(
        depth=Q(ends, "m"),
        temperature=temperature,
        demand=Q(need * (1 - share), "g/m^2/day"),
        film_coefficient=Q(film, "m/day"),
        first_depth=Q(given.start, "m"),
        added=Q(risen, "m"),
    )
    course = mixed_water(column)
    return RootOxygen(
        grown,
        course,
        Q(need, "g/m^2/day"),
        Q(share, "dimensionless"),
        oxygen_risk(course.lowest),
        {"film_coefficient": Q(film, "m/day"), "supply": air, "mature": Q(whole, "g/m^2/day"), "q10": warmer},
        oxygen_caution(),
        bool(np.any(too_warm)),
    )


def _fit_days(daily: Any, count: int, days: int) -> None:
    """Refuse temperatures that are not as many as the days and the members."""
    shape = np.shape(daily)
    if shape not in ((), (1,), (days,), (1, days), (count, days), (count, 1)):
        raise Problem(
            f"root_oxygen: {shape[-1]} values of `temperature` do not fit {days} days and {count} members. Give one, "
            "one a day, or one an hour."
        )


def _drawn(rng: Any, count: int, given: Any, entry: Entry, unit: str | None, name: str) -> Any:
    """One value for each member: the one given, or triangular over the range with its peak at the usual one."""
    if given is not None:
        plain = (
            pure_number(given, 1, name, "root_oxygen")
            if unit is None
            else magnitude(given, unit, name, "root_oxygen")
        )
        if np.ndim(plain) and np.shape(plain) != (count,):
            raise Problem(
                f"root_oxygen: {np.size(plain)} values of `{name}` for {count} members. Give one, or one each."
            )
        return np.broadcast_to(plain, (count,))
    low, high = (end.m_as(unit or "dimensionless") for end in entry.range)
    usual = float(entry.quantity.m_as(unit or "dimensionless"))
    return rng.triangular(low, usual, high, count)
