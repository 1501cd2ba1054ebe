"""How warm the solution gets in the warmest weeks of a season, over the years on record."""

from dataclasses import dataclass
from datetime import date
from typing import Any

import numpy as np
import pint
from numpy.typing import NDArray

from stilltank import tables
from stilltank.science import demand, roots, tank, weather
from stilltank.science.crops import Plants
from stilltank.units import OutOfRange, Q, whole_degrees, write, write_range


@dataclass(frozen=True)
class WarmWeeks:
    """The warmest weeks of a season, and the solution in their afternoons.

    Parameters
    ----------
    first, last : date
        The days of the season.
    afternoon : tuple of Quantity
        Warmest hour of half of the days: low, usual and high over what is assumed.
    hottest : tuple of Quantity
        Warmest hour of all years on record: low, usual and high.
    years : int
        How many years on record hold these weeks.
    colour : str
        Of lid and walls.

    Examples
    --------
    >>> from stilltank.season.plan import Plan
    >>> Plan.make(count=4).outlook.warm_weeks.years
    10
    """

    first: date
    last: date
    afternoon: tuple[pint.Quantity, pint.Quantity, pint.Quantity]
    hottest: tuple[pint.Quantity, pint.Quantity, pint.Quantity]
    years: int
    colour: str

    @property
    def harmful(self) -> bool:
        """True if roots slow down on usual afternoons, or may die on the hottest."""
        slow, die = _limits()
        return bool(self.afternoon[1] > slow or self.hottest[1] > die)

    @property
    def slow_above(self) -> pint.Quantity:
        """Temperature above which roots are slow, in degC."""
        return _limits()[0]

    def sentence(self, system: str = "metric") -> str:
        """Say how warm the solution gets, and what that means for roots.

        Parameters
        ----------
        system : str
            "metric" or "US".

        Returns
        -------
        str
            Two or three sentences.

        Examples
        --------
        >>> from stilltank.season.plan import Plan
        >>> print(Plan.make(count=4, colour="white").outlook.warm_weeks.sentence())
        In the warmest weeks, ..., the solution reaches about ... on most afternoons, ...
        """

        def said(temperature: pint.Quantity) -> str:
            return write(whole_degrees(temperature, system), system)

        usual, hottest = (
            f"{said(middle)} ({write_range(whole_degrees(low, system), whole_degrees(high, system), system)})"
            for low, middle, high in (self.afternoon, self.hottest)
        )
        slow, die = _limits()
        advice = ""
        if self.harmful:
            bright = self.colour in ("white", "foil")
            advice = (
                " Shade cloth cools it."
                if bright
                else " A white cover or white paint, and shade cloth, cool it."
            )
        return (
            f"In the warmest weeks, {self.first.day} {self.first:%B} to {self.last.day} {self.last:%B}, the solution "
            f"reaches about {usual} on most afternoons, and {hottest} on the hottest of {self.years} years. Roots are "
            f"slow above {said(slow)} and may die above about {said(die)} (common practice).{advice}"
        )

    @property
    def weakness(self) -> str:
        """What the temperature of the solution rests on, with the published measurement that comes nearest."""
        return (
            "We found no published temperature of a lidded still tank outdoors, so that of the solution is calculated "
            f"from assumptions. {nearest_measurement()} A thermometer in the tank at three o'clock tells more."
        )


def nearest_measurement(system: str = "metric") -> str:
    """Say what was measured nearest to the solution of a lidded tank: the roots in nursery pots in the sun.

    Parameters
    ----------
    system : str
        "metric" or "US".

    Returns
    -------
    str
        A sentence with its source.

    Examples
    --------
    >>> nearest_measurement("US")
    'The nearest measurement: in nursery pots of ... up to 13 °F cooler than in black ones, and above 100 °F ...'
    """
    table = tables.load("solution-heat")
    cooler, volume, hot, black, white = (
        table["nursery pots", name].quantity
        for name in ("white cooler by", "volume", "hot above", "time hot in black", "time hot in white")
    )
    metric = system == "metric"
    less = f"{cooler.m_as('delta_degC'):g} °C" if metric else f"{cooler.m_as('delta_degF'):.0f} °F"
    return (
        f"The nearest measurement: in nursery pots of {write(volume, system)} in the sun, the roots in white ones were "
        f"up to {less} cooler than in black ones, and above {write(whole_degrees(hot, system), system)} for "
        f"{white.m_as('percent'):g} % of the time against {black.m_as('percent'):g} % (NURSERYPOTS, abstract)."
    )


def _limits() -> tuple[pint.Quantity, pint.Quantity]:
    table = tables.load("solution-heat")
    return table["roots", "slow above"].quantity, table["roots", "die above"].quantity


def warm_weeks(
    tank: tank.Tank,
    plants: Plants,
    site: weather.Site,
    dates: NDArray[np.datetime64],
    level: pint.Quantity,
    *,
    colour: str,
    shade: float,
) -> WarmWeeks | None:
    """Find the warmest weeks of a season, and how warm the solution gets in them.

    Parameters
    ----------
    tank : Tank
        The tank.
    plants : Plants
        Whose leaves shade the lid.
    site : Site
        The place, with its weather.
    dates : array of datetime64
        The days of the season.
    level : Quantity
        Level to expect at the end of each day.
    colour : str
        Of lid and walls.
    shade : float
        Share of the sun that shade cloth keeps off.

    Returns
    -------
    WarmWeeks or None
        None indoors, where the sun on record does not reach the tank; where no year on record holds these weeks; and
        where the solution would freeze.

    Examples
    --------
    >>> from stilltank.season.plan import Plan
    >>> plan = Plan.make(count=4)
    >>> season = plan.outlook.season
    >>> found = warm_weeks(plan.tank, plan.plants, plan.site, season.dates, season.quantile(0.5, "level"),
    ...                    colour="dark", shade=0.5)
    >>> bool(found.hottest[1] < plan.outlook.warm_weeks.hottest[1])
    True
    """
    record = site.weather
    if site.cover == "indoors" or record is None:
        return None
    length = min(int(tables.number("plan", "warm weeks", "length", "day")), dates.size)
    years = _years(record, dates)
    if not years:
        return None
    warmth = np.nanmean([mean for _, mean in years], axis=0)
    first = int(np.argmax(np.convolve(warmth, np.ones(length), "valid")))
    these = slice(first, first + length)
    over_lid = min(1.0, (plants.canopy_area / tank.lid_area).m_as("dimensionless"))
    leaves = over_lid * np.asarray(demand.leaf_area_index(plants.crop, np.arange(first, first + length) + 1))
    depth = np.maximum(level[these], tables.load("plan")["warm weeks", "least level"].quantity)
    courses = []
    for start, _ in years:
        begin = record.dates[start + first]
        days = record.between(begin, record.dates[start + first + length - 1])
        here = weather.Site(site.name, site.latitude, site.altitude, days, site.cover)
        try:
            found = roots.solution_temperature(
                tank, depth, here, colour=colour, shade=shade, leaf_area=leaves
            )
        except OutOfRange:  # ice
            return None
        courses.append(
            [
                each.m_as("degC").reshape(length, 24).max(axis=1)
                for each in (found.low, found.water, found.high)
            ]
        )
    warmest = np.concatenate(courses, axis=1)
    low, usual, high = (Q(float(value), "degC") for value in np.median(warmest, axis=1))
    least, middle, most = (Q(float(value), "degC") for value in warmest.max(axis=1))
    return WarmWeeks(
        dates[first].astype("datetime64[D]").item(),
        dates[first + length - 1].astype("datetime64[D]").item(),
        (low, usual, high),
        (least, middle, most),
        len(courses),
        colour,
    )


def _years(record: weather.Weather, dates: Any) -> list[tuple[int, Any]]:
    """Each year on record that holds the whole season: where it begins, and the mean temperature of its days."""
    mean = (record.temperature_max.m_as("degC") + record.temperature_min.m_as("degC")) / 2
    start = dates[0].astype("datetime64[D]").item()
    found = []
    for index, day in enumerate(record.dates.astype("datetime64[D]").tolist()):
        same = (day.month, day.day) == (start.month, min(start.day, 28) if start.month == 2 else start.day)
        if same and index + dates.size <= len(mean):
            found.append((index, mean[index : index + dates.size]))
    return found
