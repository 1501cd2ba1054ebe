"""Temperature of the solution in a tub: one mass of water between air, sun and sky."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from stilltank.science.pure_water import density
from stilltank.science.tank import Tank
from stilltank.science.weather import Site, Weather, air_by_the_hour, record_and_cover, sun_by_the_hour
from stilltank.tables import load, number
from stilltank.units import OutOfRange, PlainNumber, Problem, Q, magnitude, one_value, takes, within
from stilltank.units.types import Numbers, Plain, Quantity

from .level_course import LevelCourse, levels_of


@dataclass(frozen=True, eq=False)
class SolutionTemperature:
    """The solution hour by hour, [hours] or [members, hours], with the range of what is assumed.

    Parameters
    ----------
    water, low, high : Quantity
        Of the solution at the end of each hour, in degC.
    air : Quantity
        Of the air, in degC, [hours].
    sun : Quantity
        On level ground, in W/m^2, [hours].
    time_constant : Quantity
        Time after which the solution has followed a change of the air by 63 percent, in hours, [days] or [members,
        days].

    See Also
    --------
    solution_temperature : Follows it.

    Examples
    --------
    >>> from stilltank.science import tank, weather
    >>> july = weather.record("quillgate").between("2019-07-01", "2019-07-02")
    >>> solution_temperature(tank.preset("quillgate-tub"), Q(20, "cm"), july).water.shape
    (48,)
    """

    water: Quantity
    low: Quantity
    high: Quantity
    air: Quantity
    sun: Quantity
    time_constant: Quantity

    @property
    def daily_mean(self) -> Quantity:
        """Mean of each day, in degC, [days] or [members, days]; what `oxygen.WaterColumn` takes.

        Examples
        --------
        >>> from stilltank.science import tank, weather
        >>> july = weather.record("quillgate").between("2019-07-01", "2019-07-02")
        >>> solution_temperature(tank.preset("quillgate-tub"), Q(20, "cm"), july).daily_mean.shape
        (2,)
        """
        return self._each_day(np.mean)

    @property
    def daily_max(self) -> Quantity:
        """Highest of each day, in degC, [days] or [members, days].

        Examples
        --------
        >>> from stilltank.science import tank, weather
        >>> july = weather.record("quillgate").between("2019-07-01", "2019-07-02")
        >>> found = solution_temperature(tank.preset("quillgate-tub"), Q(20, "cm"), july)
        >>> bool((found.daily_max > found.daily_mean).all())
        True
        """
        return self._each_day(np.max)

    def _each_day(self, what: Callable[..., Any]) -> Quantity:
        water = self.water.magnitude
        return Q(what(water.reshape(*water.shape[:-1], -1, 24), axis=-1), "degC")

    def __str__(self) -> str:
        warmest = [float(np.max(value.magnitude)) for value in (self.low, self.water, self.high)]
        return (
            f"solution {np.min(self.water.magnitude):.0f} to {warmest[1]:.0f} °C, warmest {warmest[0]:.0f} to "
            f"{warmest[2]:.0f} °C over what is assumed; air {self.air.magnitude.min():.0f} to "
            f"{self.air.magnitude.max():.0f} °C"
        )


def tub_colours() -> tuple[str, ...]:
    """Colours that `solution_temperature` knows.

    Returns
    -------
    tuple of str
        From dark to bright.

    Examples
    --------
    >>> tub_colours()
    ('black', 'dark', 'grey', 'white', 'foil')
    """
    return tuple(item for item, prop in load("solution-heat") if prop == "absorptance")


@takes(leaf_area=PlainNumber(2), extinction=PlainNumber(0.65))
def sun_through_canopy(
    leaf_area: Plain | Numbers, extinction: Plain | Numbers | None = None
) -> Plain | Numbers:
    """Share of the sunlight that passes a canopy.

    Parameters
    ----------
    leaf_area : float or array
        Leaf area index: area of the leaves over that of the ground, such as `demand.leaf_area_index` gives.
    extinction : float or array, optional
        How much a layer of leaves takes away; 0.65 when left out, published from 0.5 to 0.9.

    Returns
    -------
    float or array
        0 to 1.

    Raises
    ------
    OutOfRange
        A leaf area or an extinction is negative, or too large.
    Unreadable
        One of them is no plain number.

    See Also
    --------
    solution_temperature : What the shade does to the solution.

    Notes
    -----
    Beer's law, :math:`e^{-k LAI}`, for light that leaves use. Leaves let near infrared through, so more of the sun's
    heat gets to the lid: `solution_temperature` never goes below a fifth.

    References
    ----------
    CANOPY2010, abstract, for the range of the extinction.

    Examples
    --------
    >>> round(sun_through_canopy(2), 2)
    0.27
    """
    layer = _ends("canopy", "extinction")[1] if extinction is None else extinction
    within(leaf_area, 0, 20, "A leaf area index is 0 (no leaves) to 20; {value:g} is not.")
    within(layer, 0, 2, "An extinction is 0 to 2; {value:g} is not.")
    found = np.exp(-np.asarray(layer, dtype=float) * leaf_area)
    return float(found) if np.ndim(found) == 0 else found


@takes(tank=Tank, shade=PlainNumber(0.3), leaf_area=PlainNumber(2))
def solution_temperature(
    tank: Tank,
    water: LevelCourse | Quantity,
    weather: Weather | Site | str,
    *,
    colour: str = "dark",
    lid_colour: str | None = None,
    shade: Plain | Numbers = 0.0,
    leaf_area: Plain | Numbers = 0.0,
    start: Quantity | None = None,
) -> SolutionTemperature:
    """Follow the temperature of the solution through the days of a record.

    Parameters
    ----------
    tank : Tank
        Of any shape.
    water : LevelCourse or Quantity
        Such as ``levels`` of what `budget.season` gave; or levels at the end of each day, [days] or [members, days];
        one level holds for every day.
    weather : Weather, Site or str
        A record, or a site or its name. With a season its own days are taken; with levels the record must have as many
        days as there are levels. A site's cover decides whether the lid sees the sky.
    colour : str, optional
        Of the tub, one of `tub_colours`.
    lid_colour : str, optional
        The same as that of the tub when left out.
    shade : float or array, optional
        Share of the sun that shade cloth, a roof or a wall keep off lid and walls, 0 to 1; one, or [days].
    leaf_area : float or array, optional
        Leaf area over that of the lid, which the leaves shade; 0 for a bare lid. One, or [days].
    start : Quantity, optional
        Of the solution at the beginning; the mean of the first day's air when left out.

    Returns
    -------
    SolutionTemperature
        Hour by hour, with its range.

    Raises
    ------
    UnitNeeded
        A level or the start is a bare number.
    Unreadable
        There is no tank, or the share or the leaf area is no plain number.
    OutOfRange
        A level lies outside the tank, the tank is empty, or the solution would freeze.
    Problem
        The colour is another, there is no weather, or numbers of days differ.

    See Also
    --------
    sun_through_canopy : The shade of the leaves.
    warming_effect : What warmth does to the oxygen.

    Notes
    -----
    Heat balance of one mass with sol-air temperatures, from memory, exact for each hour. One temperature for the whole
    solution: at noon the top is warmer. The ground is as warm as the air, none is lost by vapour, walls are taken as
    those of a square tub. Leaves shade the lid, down to a fifth of its sun, and leave the walls theirs; leaves that
    hang over the walls do more. Not for the last few centimetres. Nearly every coefficient is an assumption or from
    memory; low and high add up what each does on its own as squares.

    We found no published temperature of a lidded still tub outdoors. The nearest: in nursery pots of 11.3 L in the sun
    the root zone of white ones was up to 7 degC cooler than that of black ones, and above 38 degC for 3 against 21
    percent of the time. A thermometer in the tub at dawn and at three o'clock beats this: use it to see what shade,
    colour and depth change, not to the degree.

    References
    ----------
    ASHRAE; CANOPY2010 and NURSERYPOTS, abstracts.

    Examples
    --------
    >>> from stilltank.science import tank, weather
    >>> july = weather.record("quillgate").between("2019-07-01", "2019-07-10")
    >>> dark, white = (solution_temperature(tank.preset("quillgate-tub"), Q(20, "cm"), july, colour=c)
    ...                for c in ("dark", "white"))
    >>> bool(dark.daily_max.max() > white.daily_max.max() + Q(2, "delta_degC"))
    True
    """
    record, cover = record_and_cover(weather, "solution_temperature")
    if record is None:
        raise Problem("solution_temperature needs a Weather or a Site that has one.")
    record, levels = _same_days(tank, water, record)
    within(shade, 0, 1, "shade is the share of the sun that is kept off, 0 to 1; {value:g} is not.")
    within(leaf_area, 0, 20, "A leaf area index is 0 (no leaves) to 20; {value:g} is not.")
    kept, leaves = (
        _hourly(given, record.days, what) for given, what in ((shade, "shade"), (leaf_area, "leaf_area"))
    )
    ends = {"tub": _absorbed(colour), "lid": _absorbed(colour if lid_colour is None else lid_colour)}
    air, sun = air_by_the_hour(record), sun_by_the_hour(record, "solution_temperature")
    first = (
        float(air[:24].mean()) if start is None else one_value(start, "degC", "start", "solution_temperature")
    )
    litres = tank.volume(Q(levels, "m")).m_as("L")
    if litres.min() <= 0:
        raise OutOfRange(
            "solution_temperature: there is no solution on some day. Give levels above the floor."
        )
    heat = number("solution-heat", "water", "specific heat", "J/kg/K")
    capacity = litres / 1000 * density(number("budget", "tank", "usual temperature", "degC")) * heat  # J/K
    area = tank.area(Q(levels, "m")).m_as("m^2")
    walls = 4 * np.sqrt(area) * levels  # of a square tub of that area
    lid = float(tank.lid_area.m_as("m^2"))

    # the usual numbers, then each of them at both its ends: all followed side by side
    changes = [{}, *({name: end} for name in _Numbers.NAMES for end in (0, 2))]
    runs = [
        _Numbers(ends, changed).exchange(air, sun * (1 - kept), leaves, lid, area, walls, cover == "open")
        for changed in changes
    ]
    gains, losses = (np.concatenate(part) for part in zip(*runs, strict=True))
    courses = _follow(first, gains, losses, np.tile(capacity, (len(runs), 1)))
    courses = courses.reshape(len(runs), *levels.shape[:1], -1)
    usual, loss = courses[0], runs[0][1]
    if usual.min() < 0:
        raise OutOfRange(
            "solution_temperature: the solution would freeze, and this balance knows no ice. Take warmer days."
        )
    # what each number does on its own adds up as squares do
    apart = (courses[1:] - usual).reshape(len(_Numbers.NAMES), 2, *usual.shape)
    cooler, warmer = (np.sqrt((np.maximum((way * apart).max(axis=1), 0) ** 2).sum(axis=0)) for way in (-1, 1))
    many = np.ndim(getattr(water, "magnitude", 0)) > 1
    low, high = usual - cooler, usual + warmer
    usual, low, high, hours = (row if many else row[0] for row in (usual, low, high, capacity / loss / 3600))
    return SolutionTemperature(
        Q(usual, "degC"),
        Q(low, "degC"),
        Q(high, "degC"),
        Q(air, "degC"),
        Q(sun, "W/m^2"),
        Q(hours, "hour"),
    )


def _same_days(tank: Any, water: Any, record: Weather) -> tuple[Weather, Any]:
    """The record of the days of the water, and its levels, m, [members, days]."""
    course = isinstance(water, LevelCourse)
    if course and np.ndim(water.level.magnitude) > 1:
        raise Problem(
            "solution_temperature: an ensemble shuffles its weather and does not keep it. Give its `level`, and one "
            "record of as many days."
        )
    if course:
        record = record.between(water.dates[0], water.dates[-1])
    elif not np.ndim(magnitude(water, "m", "water", "solution_temperature")):
        water = Q(np.full(record.days, water.m_as("m")), "m")
    levels = levels_of(tank, water, None, "solution_temperature").ends
    if levels.shape[1] != record.days:
        raise Problem(
            f"solution_temperature: {levels.shape[1]} days of levels and {record.days} days of weather. Take as many "
            "of each: weather.between(first, last)."
        )
    return record, levels


def _hourly(given: Any, days: int, what: str) -> Any:
    """One value, or one a day, for each hour."""
    if np.ndim(given) and np.shape(given) != (days,):
        raise Problem(
            f"solution_temperature: {np.size(given)} values of {what} for {days} days. Give one a day."
        )
    return np.repeat(np.broadcast_to(given, (days,)), 24)


def _absorbed(colour: Any) -> tuple[float, float, float]:
    """Low, usual, high absorptance of a colour."""
    if colour not in tub_colours():
        raise Problem(
            f"A colour is one of {', '.join(tub_colours())}; {colour!r} is not known. Take the one nearest to it."
        )
    return _ends(str(colour), "absorptance")


@cache
def _ends(item: str, prop: str, unit: str = "dimensionless") -> tuple[float, float, float]:
    entry = load("solution-heat")[item, prop]
    low, high = (float(end.m_as(unit)) for end in entry.range)
    return low, float(entry.quantity.m_as(unit)), high


class _Numbers:
    """The coefficients of the balance: as usual, but for those ``changed`` to their low (0) or high (2) end."""

    NAMES = ("outside", "lid", "wall", "base", "share", "sky", "absorbed", "extinction", "least")

    def __init__(self, absorbed: dict[str, tuple[float, float, float]], changed: dict[str, int]):
        def pick(name: str, ends: tuple[float, float, float]) -> float:
            return ends[changed.get(name, 1)]

        unit = "W/m^2/K"
        self.outside = pick("outside", _ends("outside", "heat transfer", unit))
        self.lid, self.wall, self.base = (
            1 / (1 / self.outside + 1 / pick(face, _ends(face, "passage", unit)))
            for face in ("lid", "wall", "base")
        )
        self.share = pick("share", _ends("wall", "share of the sun"))
        self.sky = pick("sky", _ends("sky", "cooling of the lid", "delta_degC"))
        self.extinction = pick("extinction", _ends("canopy", "extinction"))
        self.least = pick("least", _ends("canopy", "least share on the lid"))
        self.by_tub, self.by_lid = (pick("absorbed", absorbed[face]) for face in ("tub", "lid"))

    def exchange(
        self, air: Any, sun: Any, leaves: Any, lid: float, base: Any, walls: Any, sky: bool
    ) -> tuple[Any, Any]:
        """Heat that would come in each hour at 0 degC, W, and heat lost for each degree, W/K, each day."""
        passed = np.maximum(sun_through_canopy.plain(leaves, self.extinction), self.least)
        lid_air = air + self.by_lid * passed * sun / self.outside - self.sky * sky
        wall_air = air + self.by_tub * self.share * sun / self.outside
        wall, floor = self.wall * walls, self.base * base
        gain = (
            self.lid * lid * lid_air
            + np.repeat(wall, 24, axis=-1) * wall_air
            + np.repeat(floor, 24, axis=-1) * air
        )
        return gain, self.lid * lid + wall + floor


def _follow(first: float, gain: Any, loss: Any, capacity: Any) -> Any:
    """Exact for air and sun that hold for an hour; [members, hours]."""
    kept = np.repeat(np.exp(-3600 * loss / capacity), 24, axis=-1)
    rest = gain / np.repeat(loss, 24, axis=-1)
    water = np.empty_like(rest)
    now = np.full(len(rest), first)
    for hour in range(rest.shape[1]):
        now = rest[:, hour] + (now - rest[:, hour]) * kept[:, hour]
        water[:, hour] = now
    return water
