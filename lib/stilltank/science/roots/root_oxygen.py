"""The whole of it: roots, air zone and oxygen day by day, over all that is uncertain."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.science.oxygen import OxygenCourse, WaterColumn, mixed_water
from stilltank.tables import Entry, load, number
from stilltank.units import Problem, Q, magnitude, one_value, pure_number, whole_number, within

from ._tank_checks import pot_depth_of
from .growth import RootCourse, oxygen_demand, root_course
from .level_course import levels_of
from .oxygen_risk import OxygenRisk, oxygen_caution, oxygen_risk


@dataclass(frozen=True, eq=False)
class RootOxygen:
    """Roots and their oxygen through a season, [members, days]; a single season is followed with many draws.

    Attributes
    ----------
    roots : RootCourse
    oxygen : OxygenCourse, of mixed water
    demand : quantity in g/m^2/day, of all roots over the area of the water, [members, days]
    share : of that demand met from air, [members, days]
    risk : Risk of the lowest oxygen of each day, [members, days]
    drawn : dict of what each member was given, arrays [members]
    caution : str, what to say beside every picture of it
    """

    roots: RootCourse
    oxygen: OxygenCourse
    demand: Any
    share: Any
    risk: OxygenRisk
    drawn: dict[str, Any]
    caution: str

    def quantile(self, share: Any) -> Any:
        """Lowest oxygen of each day, below which a share of the members lies; mg/L, [days].

        Raises OutOfRange for a share outside 0 to 1, Unreadable for what is no plain number.
        """
        plain = pure_number(share, 0.5, "share", "quantile")
        within(plain, 0, 1, "A share of the members lies between 0 and 1; {value:g} does not.")
        return Q(np.quantile(self.oxygen.lowest.magnitude, plain, axis=0), "mg/L")

    def __str__(self) -> str:
        last = self.risk.shares(axis=0).m_as("percent")[:, -1]
        words = ", ".join(
            f"{part:.0f} % where {zone}" for part, zone in zip(last, self.risk.words, strict=True)
        )
        return f"On the last day, of {len(self.demand.magnitude)} members: {words}. {self.caution}"


def root_oxygen(
    tank: Any,
    water: Any,
    temperature: Any,
    *,
    age: int = 0,
    first_level: Any = None,
    crop_area: Any = None,
    film_coefficient: Any = None,
    supply: Any = None,
    mature: Any = None,
    q10: Any = None,
    members: int | None = None,
    seed: int = 1,
) -> RootOxygen:
    """Join the water budget with roots and oxygen: rain, overflow and top-ups act on the air zone day by day.

    Parameters
    ----------
    tank : a tank with a ``net_pot_depth``
    water : what `budget.season` or `budget.ensemble` gave, or levels, quantity, [days] or [members, days]
    temperature : quantity, of the solution: one, [days], [members, days], or one an hour along the last axis, such as
        ``water`` or ``daily_mean`` of `solution_temperature`
    age : int, days since sowing at the start; plants set out at 14 days give 14
    first_level : quantity, at planting, with levels only
    crop_area : quantity, of leaves seen from above, such as ``canopy_area`` of Plants; the area of the water when left
        out. Leaves that overhang a tub have more roots in it
    film_coefficient, supply, mature, q10 : see `oxygen.mixed_water`, `root_course` and `oxygen_demand`; each that is
        left out is drawn from its range, one value for each member
    members : int, for a single season: how many draws; as many as an ensemble usually has when left out
    seed : int

    Returns
    -------
    Breathing

    Raises
    ------
    UnitNeeded, OutOfRange, Problem, Unreadable   see `root_course` and `oxygen.mixed_water`

    Example
    -------
    >>> from stilltank.science import budget, crops, tank
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("lettuce", 6), "quillgate", start="2027-05-10",
    ...                        members=40, days=42)
    >>> found = root_oxygen(tank.preset("quillgate-tub"), many, Q(22, "degC"))
    >>> found.share.shape, bool(found.quantile(0.9)[-1] > found.quantile(0.1)[-1])
    ((40, 42), True)

    Limits: everything that `root_course`, `oxygen_demand` and `oxygen.mixed_water` warn of. The film coefficient
    decides most of the range: measure it (`oxygen.fit_film_coefficient`). Water that rain or a can brings is taken as
    saturated.
    Source: ours; a join of the parts named.
    """
    levels = levels_of(tank, water, first_level, "root_oxygen")
    pot_depth_of(tank)
    usual = int(number("budget", "ensemble", "members", "1"))
    if levels.many:
        if members is not None and members != len(levels.ends):
            raise Problem(
                f"root_oxygen: the water has {len(levels.ends)} members, not {members!r}. Leave `members` out."
            )
        count = len(levels.ends)
    else:
        sentence = "root_oxygen: 1 to 100000 whole members; {value!r} is not possible."
        count = whole_number(usual if members is None else members, 1, 100_000, sentence)
    sentence = "root_oxygen: an age of 0 to 3660 whole days since sowing; {value!r} is not possible."
    age = whole_number(age, 0, 3660, sentence)
    sentence = "root_oxygen: a seed is a whole number from 0 on; {value!r} is not."
    rng = np.random.default_rng(whole_number(seed, 0, 2**63, sentence))
    days = levels.ends.shape[1]
    film = _drawn(
        rng, count, film_coefficient, load("oxygen")["film", "coefficient"], "m/day", "film_coefficient"
    )
    air = _drawn(rng, count, supply, load("roots")["roots", "supply from air"], None, "supply")
    within(
        air, 0, 2, "root_oxygen: a supply from air of {value:g} times the roots' own demand; write 0 to 2."
    )
    whole = _drawn(rng, count, mature, load("oxygen")["roots", "demand"], "g/m^2/day", "mature")
    warmer = _drawn(rng, count, q10, load("oxygen")["roots", "Q10"], None, "q10")

    grown = root_course(tank, water, first_level=first_level, supply=None if np.ndim(supply) else supply)
    at = age + np.arange(1, days + 1)
    warm = magnitude(temperature, "degC", "temperature", "root_oxygen")
    daily = warm
    if np.ndim(warm) and np.shape(warm)[-1] == 24 * days != days:
        daily = warm.reshape(*np.shape(warm)[:-1], days, 24).mean(axis=-1)
    demand = oxygen_demand(
        Q(at.astype(float), "day"),
        Q(daily, "degC"),
        mature=Q(whole[:, None], "g/m^2/day"),
        q10=warmer[:, None],
    )
    if crop_area is not None:
        leaves = one_value(crop_area, "m^2", "crop_area", "root_oxygen")
        within(leaves, 1e-6, np.inf, "root_oxygen: a crop_area of {value:g} m^2; it is above zero.")
        demand = demand * (leaves / tank.area(Q(levels.ends, "m")).m_as("m^2"))
    in_air = grown.in_air.magnitude / np.maximum(
        (grown.in_air + grown.in_water + grown.bared).magnitude, np.finfo(float).tiny
    )
    share = np.minimum(air[:, None] * in_air, number("roots", "roots", "most from air", "1"))
    ends = np.broadcast_to(levels.ends, (count, days))
    before = np.concatenate([np.full((count, 1), levels.start), ends[:, :-1]], axis=1)
    risen = np.maximum(np.broadcast_to(levels.peaks, ends.shape) - before, 0)
    column = WaterColumn(
        depth=Q(ends, "m"),
        temperature=Q(warm, "degC"),
        demand=demand * (1 - share),
        film_coefficient=Q(film, "m/day"),
        first_depth=Q(levels.start, "m"),
        added=Q(risen, "m"),
    )
    course = mixed_water(column)
    return RootOxygen(
        grown,
        course,
        demand,
        Q(share, "dimensionless"),
        oxygen_risk(course.lowest),
        {"film_coefficient": Q(film, "m/day"), "supply": air, "mature": Q(whole, "g/m^2/day"), "q10": warmer},
        oxygen_caution(),
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
                f"breathe: {np.size(plain)} values of `{name}` for {count} members. Give one, or one each."
            )
        return np.broadcast_to(plain, (count,))
    low, high = (end.m_as(unit or "dimensionless") for end in entry.range)
    usual = float(entry.quantity.m_as(unit or "dimensionless"))
    return rng.triangular(low, usual, high, count)
