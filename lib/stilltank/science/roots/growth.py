"""Roots in solution and in moist air as the level falls, and how much of their oxygen comes from where."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from stilltank.science.oxygen import check_water_temperature
from stilltank.science.tank import Tank
from stilltank.tables import load, number
from stilltank.units import OutOfRange, PlainNumber, Problem, Q, one_value, pure_number, takes, within, write
from stilltank.units.types import Days, Plain, Quantity

from ._tank_checks import pot_depth_of
from .level_course import LevelCourse, Levels, levels_of
from .refill_limit import rises


@dataclass(frozen=True, eq=False)
class RootCourse:
    """Roots along a season; arrays are [days] or [members, days].

    Parameters
    ----------
    dates : array of datetime64, or None
        The days, [days]; None where levels were given without.
    level, peak : Quantity
        Above the floor, in cm: at the end of each day, and at its highest.
    air_zone : Quantity
        From the solution up to the lid, in cm.
    first_clear : float or array
        Day on which the pots first hang clear, counted from 0; nan for never.
    in_air, in_water : Quantity
        Length of roots below the pots, in cm: used to moist air, and in the solution.
    bared : Quantity
        Length laid bare by the falling level and not yet used to air, in cm.
    submerged : Quantity
        Length used to air that was under water on that day, in cm.
    rise : Quantity
        How far the level stood at its highest over the lowest of the last days, in cm, once the pots had hung clear.
    too_far : array of bool
        True on a day on which that is more than `refill_limit` allows: a caution, no certain harm.
    share, low, high : Quantity
        Share of the roots' demand that is met from air, with the range of what is assumed.

    See Also
    --------
    root_course : Follows them.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> root_course(preset("quillgate-tub"), Q([25, 24], "cm")).air_zone.shape
    (2,)
    """

    dates: Days | None
    level: Quantity
    peak: Quantity
    air_zone: Quantity
    first_clear: Plain
    in_air: Quantity
    in_water: Quantity
    bared: Quantity
    submerged: Quantity
    rise: Quantity
    too_far: NDArray[np.bool_]
    share: Quantity
    low: Quantity
    high: Quantity

    def __str__(self) -> str:
        last = [np.median(value[..., -1].m_as("percent")) for value in (self.low, self.share, self.high)]
        clear = np.atleast_1d(self.first_clear)
        ever = clear[~np.isnan(clear)]
        when = f"from day {np.median(ever) + 1:.0f} on" if ever.size else "never"
        far = np.atleast_2d(self.too_far)
        where = f"in {far.any(axis=1).mean():.0%} of the seasons" if len(far) > 1 else f"on {far.sum()} days"
        most = write(load("roots")["refill", "rise"].quantity)
        largest = np.atleast_2d(self.rise.m_as("cm")).max(axis=1)[far.any(axis=1)]
        rise = (
            f"; the level rises more than the {most} that may injure {where}, by {np.median(largest):.1f} cm in "
            f"{'the median of these' if len(far) > 1 else 'all'}"
            if far.any()
            else ""
        )
        return (
            f"pots hang clear {when}; at the end {last[1]:.0f} % of the oxygen comes from air "
            f"({last[0]:.0f} to {last[2]:.0f} %){rise}"
        )


@takes(tank=Tank)
def root_course(
    tank: Tank,
    levels: LevelCourse | Quantity,
    *,
    first_level: Quantity | None = None,
    extension: Quantity | None = None,
    adaptation: Quantity | None = None,
    supply: float | None = None,
) -> RootCourse:
    """Follow the roots of a tank day by day while its level falls, and now and then rises.

    Parameters
    ----------
    tank : Tank
        With a ``net_pot_depth``.
    levels : LevelCourse or Quantity
        Such as ``levels`` of what `budget.season` or `budget.ensemble` gave; or levels at the end of each day,
        [days] or [members, days].
    first_level : Quantity, optional
        At planting, with levels only; that of the first day's end when left out.
    extension : Quantity, optional
        Speed at which roots grow down; 1 cm a day when left out, assumed.
    adaptation : Quantity, optional
        Time until most roots laid bare live in moist air; 3 days when left out, assumed.
    supply : float, optional
        Part of the demand of as many roots that those in moist air cover; 0.8 when left out, assumed, 0.4 to 1.2.

    Returns
    -------
    RootCourse
        Day by day, [days] or [members, days].

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    OutOfRange
        A level lies outside the tank, or a speed or time is zero or less.
    Problem
        The tank has no ``net_pot_depth``, or the water cannot be followed.
    Unreadable
        There is no tank, or the supply is no plain number.

    See Also
    --------
    root_oxygen : The same with its oxygen, over all that is uncertain.

    Notes
    -----
    A picture, not a measurement. Roots are taken as even along their length from the pot's bottom down to their tips,
    and those laid bare as used to air after an exponential time. No measured share of oxygen from air was found, so
    low and high are wide; a share that was measured would replace all three numbers. A rise puts roots that were used
    to air under water; that they are harmed is a risk and not a rule. The numbers are assumptions of data/roots.csv.

    Examples
    --------
    >>> from stilltank.science.tank import Box
    >>> tub = Box(Q(60, "cm"), Q(40, "cm"), Q(14, "cm"), net_pot_depth=Q(3, "cm"))
    >>> print(root_course(tub, Q(np.linspace(13, 3, 42), "cm")))
    pots hang clear from day 10 on; at the end 54 % of the oxygen comes from air (23 to 86 %)
    """
    course = levels_of(tank, levels, first_level, "root_course")
    speed = _positive("extension", "cm/day", extension, "m/day")
    time = _positive("adaptation", "day", adaptation, "day")
    entry = load("roots")["roots", "supply from air"]
    factor = float(entry.quantity) if supply is None else pure_number(supply, 0.8, "supply", "root_course")
    if np.ndim(factor):
        raise Problem(f"root_course takes one value for `supply`; you gave {np.size(factor)}.")
    within(
        factor, 0, 2, "root_course: a supply from air of {value:g} times the roots' own demand; write 0 to 2."
    )
    pots = tank.plain.height - pot_depth_of(tank)
    middle = _hang(course, pots, speed, time)
    share = _met(middle, factor)
    if supply is None:
        quick, slow = (end.m_as("day") for end in load("roots")["roots", "adaptation"].range)
        # roots that are slow to get used to air take less from it
        times = (slow, quick) if adaptation is None else (time, time)
        ends = [float(end) for end in entry.range]
        low, high = (_met(_hang(course, pots, speed, t), end) for t, end in zip(times, ends, strict=True))
    else:
        low = high = share

    def shaped(values: Any) -> Any:
        return values if course.many else values[0]

    clear = course.ends < pots - 1e-9
    first = np.where(clear.any(axis=1), clear.argmax(axis=1), np.nan)
    in_air, in_water, bared, submerged = middle
    risen = rises(course.start, course.ends, course.peaks, pots)
    return RootCourse(
        dates=course.dates,
        level=Q(100 * shaped(course.ends), "cm"),
        peak=Q(100 * shaped(course.peaks), "cm"),
        air_zone=Q(100 * (tank.plain.height - shaped(course.ends)), "cm"),
        first_clear=first if course.many else float(first[0]),
        in_air=Q(100 * shaped(in_air), "cm"),
        in_water=Q(100 * shaped(in_water), "cm"),
        bared=Q(100 * shaped(bared), "cm"),
        submerged=Q(100 * shaped(submerged), "cm"),
        rise=Q(100 * shaped(risen.rise), "cm"),
        too_far=shaped(risen.above),
        share=Q(shaped(share), "dimensionless"),
        low=Q(shaped(low), "dimensionless"),
        high=Q(shaped(high), "dimensionless"),
    )


def _positive(prop: str, unit: str, given: Any, computed: str) -> float:
    plain = (
        number("roots", "roots", prop, computed)
        if given is None
        else one_value(given, computed, prop, "root_course")
    )
    if not plain > 0:
        raise OutOfRange(f"root_course: `{prop}` must be above zero, such as Q(1, '{unit}').")
    return plain


def _hang(levels: Levels, pots: float, speed: float, time: float) -> tuple[Any, Any, Any, Any]:
    """Lengths below the pots, m, [members, days]: used to air, in water, bared, submerged."""
    members, days = levels.ends.shape
    in_air, in_water, bared, submerged = (np.empty((members, days)) for _ in range(4))
    used, share = np.zeros(members), 1 - np.exp(-1 / time)
    for day in range(days):
        tip = max(pots - speed * (day + 1), 0.0)
        end, peak = levels.ends[:, day], levels.peaks[:, day]
        above = np.maximum(pots - peak, 0)  # air below the pots when the level is highest
        submerged[:, day] = np.maximum(used - above, 0)
        used = np.minimum(used, above)
        bare = np.clip(pots - end, 0, pots - tip)
        used = used + (bare - used) * share
        in_air[:, day], bared[:, day] = used, bare - used
        in_water[:, day] = np.maximum(end - tip, 0)
    return in_air, in_water, bared, submerged


def _met(lengths: tuple[Any, Any, Any, Any], factor: float) -> Any:
    in_air, in_water, bared, _ = lengths
    whole = in_air + in_water + bared
    share = np.divide(in_air, whole, out=np.zeros_like(whole), where=whole > 0)
    return np.minimum(factor * share, number("roots", "roots", "most from air", "1"))


@takes(
    age="day",
    temperature="degC",
    mature_age="day",
    mature="g/m^2/day",
    growth="1/day",
    q10=PlainNumber(2),
    returns="g/m^2/day",
)
def oxygen_demand(
    age: Quantity,
    temperature: Quantity,
    mature_age: Quantity | None = None,
    mature: Quantity | None = None,
    growth: Quantity | None = None,
    q10: Plain | None = None,
) -> Quantity:
    """Oxygen that all roots ask for, in water and in air, on each area of crop a day.

    Parameters
    ----------
    age : Quantity
        Time since sowing; one or an array, as all that follow.
    temperature : Quantity
        Of the solution, 0 to 40 degC.
    mature_age : Quantity, optional
        Time from which on the demand stays; 42 days when left out, as for lettuce.
    mature : Quantity, optional
        The demand then, at 25 degC; 4.0 g/m^2/day when left out, of potatoes, 2 to 8.
    growth : Quantity, optional
        Until then; 0.12 a day when left out, assumed.
    q10 : float or array, optional
        How many times more for 10 degC; 2 when left out, 1.5 to 3.

    Returns
    -------
    Quantity
        In g/m^2/day.

    Raises
    ------
    UnitNeeded
        A bare number, or a unit of another kind.
    Unreadable
        The q10 is no plain number.
    OutOfRange
        An age, demand or growth is negative, the water is below 0 or above 40 degC, or the q10 lies outside 1 to 5.

    See Also
    --------
    warming_effect : What warmth does to supply and demand.

    Notes
    -----
    .. math:: R = R_m e^{g \\min(t - t_m, 0)} Q_{10}^{(T - 25) / 10}

    No figure for lettuce roots was found: potatoes in a field stand in. Roots acclimatise, so a constant q10 is an
    upper estimate. Where leaves overhang a small tub, multiply by canopy over water area. Both sources are abstracts.

    References
    ----------
    BROWN1965, PREGITZER2000

    Examples
    --------
    >>> oxygen_demand(Q([21, 42, 60], "day"), Q(25, "degC")).magnitude.round(2).tolist()
    [0.32, 4.0, 4.0]
    >>> round(oxygen_demand(Q(42, "day"), Q(35, "degC")).magnitude, 2)
    8.0
    """

    def or_usual(given: Any, item: str, prop: str, unit: str) -> Any:
        return number("roots", item, prop, unit) if given is None else given

    grown_age = or_usual(mature_age, "demand", "mature day", "day")
    speed = or_usual(growth, "demand", "growth", "1/day")
    most = number("oxygen", "roots", "demand", "g/m^2/day") if mature is None else mature
    factor = number("oxygen", "roots", "Q10", "1") if q10 is None else q10
    within(factor, 1, 5, "A Q10 of {value:g}; roots use 1 to 5 times as much 10 degC warmer.")
    check_water_temperature.plain(temperature)
    for value in (age, most, speed, grown_age):
        within(value, 0, np.inf, "oxygen_demand: ages, demand and growth are not negative; {value:g} is.")
    usual = number("roots", "demand", "usual temperature", "degC")
    grown = np.exp(speed * np.minimum(age - grown_age, 0))
    return most * grown * factor ** ((temperature - usual) / 10)
