"""A daily weather record, checked when it is made."""

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from stilltank.science.sky import (
    ONE_DAY,
    altitude_metres,
    check_metres,
    consecutive,
    day_of,
    month_day,
    plain_day_of_year,
)
from stilltank.tables import number
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    Quantity,
    UnitNeeded,
    Unreadable,
    latitude_degrees,
    magnitude,
    one_value,
    said,
    said_ends,
    speaking_of,
    takes,
    whole_number,
)
from stilltank.units.types import Day, Days, Numbers

# unit each series is kept in, and its limits: a number, or the property of data/plausible.csv
SERIES: dict[str, tuple[str, Any, Any]] = {
    "temperature_max": ("degC", "lowest temperature", "highest temperature"),
    "temperature_min": ("degC", "lowest temperature", "highest temperature"),
    "precipitation": ("mm", 0.0, "largest rain"),
    "relative_humidity_max": ("percent", 0.0, 100.0),
    "relative_humidity_min": ("percent", 0.0, 100.0),
    "relative_humidity_mean": ("percent", 0.0, 100.0),
    "dew_point": ("degC", "lowest temperature", "highest temperature"),
    "wind_speed": ("m/s", 0.0, "largest wind"),
    "solar_radiation": ("MJ/m^2/day", 0.0, "largest radiation"),
    "sunshine": ("hour", 0.0, 24.0),
}
_ORDERED = (
    ("temperature_min", "temperature_max"),
    ("dew_point", "temperature_max"),
    ("relative_humidity_min", "relative_humidity_max"),
    ("relative_humidity_min", "relative_humidity_mean"),
    ("relative_humidity_mean", "relative_humidity_max"),
)


@dataclass(frozen=True, eq=False)
class Weather:
    """Weather of consecutive days at one place.

    All but the dates and temperatures may be left out. Single values hold for every day. The series are kept in degC,
    mm, percent, m/s, MJ/m^2/day and hours, and cannot be changed.

    Parameters
    ----------
    dates : ndarray of datetime64
        Consecutive days: dates, ISO dates, or days as numpy holds them.
    temperature_max, temperature_min : Quantity
        Of the air in the shade, one value a day.
    precipitation : Quantity, optional
        Depth a day of rain, or of snow melted.
    relative_humidity_max, relative_humidity_min, relative_humidity_mean : Quantity, optional
        Highest, lowest and mean humidity of the day, 0 to 100 percent.
    dew_point : Quantity, optional
        Mean dew point of the day.
    wind_speed : Quantity, optional
        Mean of the day, at ``wind_height`` above the ground.
    wind_height : Quantity, optional
        Height of the wind gauge, one value.
    solar_radiation : Quantity, optional
        Energy on a level area in a day.
    sunshine : Quantity, optional
        Hours of bright sun.
    latitude : Quantity, optional
        Of the place, in degrees, south negative.
    altitude : Quantity, optional
        Height above the sea.
    name : str, optional
        Of the record, for sentences.
    notes : tuple of str, optional
        Texts that go with the record.
    coast : bool, default False
        Whether the air comes from a large water nearby; it counts where the sun is worked out from temperatures.

    Raises
    ------
    UnitNeeded
        A series without a unit, or a wind without the height of its gauge.
    OutOfRange
        An impossible value, or a minimum above its maximum; the sentence names the date.
    Unreadable
        Dates that are missing, doubled or out of order, a series of another length.

    Examples
    --------
    >>> two = Weather(["2015-07-06", "2015-07-07"], Q([21.5, 23], "degC"), Q([12.3, 11], "degC"))
    >>> two.days
    2
    """

    dates: Days
    temperature_max: Quantity
    temperature_min: Quantity
    precipitation: Quantity | None = None
    relative_humidity_max: Quantity | None = None
    relative_humidity_min: Quantity | None = None
    relative_humidity_mean: Quantity | None = None
    dew_point: Quantity | None = None
    wind_speed: Quantity | None = None
    wind_height: Quantity | None = None
    solar_radiation: Quantity | None = None
    sunshine: Quantity | None = None
    latitude: Quantity | None = None
    altitude: Quantity | None = None
    name: str = ""
    notes: tuple[str, ...] = ()
    coast: bool = False

    def __post_init__(self):
        dates = consecutive(self.dates).copy()
        dates.flags.writeable = False
        object.__setattr__(self, "dates", dates)
        with speaking_of(*vars(self).values()):
            for name, (unit, low, high) in SERIES.items():
                if getattr(self, name) is not None:
                    object.__setattr__(self, name, self._series(name, unit, low, high))
                elif name.startswith("temperature"):
                    raise UnitNeeded(
                        f'Weather needs `{name}`, one value a day, such as Q([21.5, 23], "degC").'
                    )
            for lower, upper in _ORDERED:
                self._ordered(lower, upper)
            self._place()
        object.__setattr__(self, "notes", tuple(self.notes))
        if not isinstance(self.coast, bool):
            raise Unreadable(f"Weather: `coast` is True or False; you gave {self.coast!r}.")

    def _series(self, name: str, unit: str, low: Any, high: Any) -> Any:
        plain = magnitude(getattr(self, name), unit, name, "Weather")
        if np.ndim(plain) and np.shape(plain) != self.dates.shape:
            raise Unreadable(
                f"Weather: {len(self.dates)} dates and {np.size(plain)} values of {name}. Each day needs one."
            )
        plain = np.array(np.broadcast_to(plain, self.dates.shape))
        low, high = (_limit(end, unit) for end in (low, high))
        bad = np.flatnonzero((plain < low) | (plain > high))
        if bad.size:
            found, (least, most) = said(Q(plain[bad[0]], unit), 4), said_ends(Q(low, unit), Q(high, unit), 4)
            raise OutOfRange(
                f"{self.dates[bad[0]]}: {name} {found} cannot be; it lies between {least} and {most}. "
                "Check the unit, and whether the number stands for a missing value."
            )
        plain.flags.writeable = False  # records are shared; nobody changes one for all others
        return Q(plain, unit)

    def _ordered(self, lower: str, upper: str) -> None:
        if getattr(self, lower) is None or getattr(self, upper) is None:
            return
        below, above = getattr(self, lower), getattr(self, upper)
        bad = np.flatnonzero(below.magnitude > above.magnitude)
        if bad.size:
            day = bad[0]
            raise OutOfRange(
                f"{self.dates[day]}: {lower} {said(below[day], 4)} lies above {upper} {said(above[day], 4)}. "
                "Check that the two columns are not exchanged."
            )

    def _place(self) -> None:
        if self.wind_speed is not None and self.wind_height is None:
            raise UnitNeeded(
                "Weather: the wind needs the height of its gauge, since it blows faster higher up. "
                'Write wind_height=Q(2, "m"), or Q(10, "m") for most airports.'
            )
        if self.wind_height is not None:
            height = one_value(self.wind_height, "m", "wind_height", "Weather")
            check_metres(height, "wind gauge", "Weather")
            object.__setattr__(self, "wind_height", Q(height, "m"))
        if self.latitude is not None:
            object.__setattr__(
                self, "latitude", Q(latitude_degrees(self.latitude, "Weather", single=True), "degree")
            )
        if self.altitude is not None:
            object.__setattr__(self, "altitude", Q(altitude_metres(self.altitude, "Weather"), "m"))

    @property
    def days(self) -> int:
        """How many days the record has.

        Examples
        --------
        >>> Weather(["2015-07-06"], Q(21.5, "degC"), Q(12.3, "degC")).days
        1
        """
        return len(self.dates)

    @cached_property
    def day_of_year(self) -> Numbers:
        """1 for the first of January to 365 or 366; an array.

        Examples
        --------
        >>> Weather(["2015-07-06"], Q(21.5, "degC"), Q(12.3, "degC")).day_of_year.tolist()
        [187]
        """
        found = plain_day_of_year(self.dates)
        found.flags.writeable = False
        return found

    @property
    def years(self) -> tuple[int, ...]:
        """The calendar years of which every day is there.

        Examples
        --------
        >>> Weather(["2015-07-06"], Q(21.5, "degC"), Q(12.3, "degC")).years
        ()
        """
        found, counts = np.unique(self.dates.astype("datetime64[Y]"), return_counts=True)
        length = (found + np.timedelta64(1, "Y")).astype("datetime64[D]") - found.astype("datetime64[D]")
        return tuple(int(str(year)) for year in found[counts == length.astype(int)])

    @property
    def temperature_mean(self) -> Quantity:
        """Mean of the day's highest and lowest temperature, as FAO-56 takes it.

        Examples
        --------
        >>> Weather(["2015-07-06"], Q(21.5, "degC"), Q(12.3, "degC")).temperature_mean.magnitude.tolist()
        [16.9]
        """
        return Q((self.temperature_max.magnitude + self.temperature_min.magnitude) / 2, "degC")

    def between(self, start: Day, end: Day) -> "Weather":
        """Cut out the days from ``start`` to ``end``, both included.

        Parameters
        ----------
        start, end : Day
            First and last day.

        Returns
        -------
        Weather
            The record of these days.

        Raises
        ------
        Problem
            The record does not hold all of these days, or the end lies before the start.
        Unreadable
            A date that is none.

        Examples
        --------
        >>> from stilltank.science import weather
        >>> weather.record("new-york").between("2012-02-28", "2012-03-01").days
        3
        """
        first, last = day_of(start), day_of(end)
        if last < first:
            raise Problem(f"The end {last} lies before the start {first}.")
        if first < self.dates[0] or last > self.dates[-1]:
            raise Problem(
                f"The record {self.name or 'given'} runs from {self.dates[0]} to {self.dates[-1]}; "
                f"{first} to {last} is not all in it. For other years take an ensemble, which draws on all of them."
            )
        begin = int((first - self.dates[0]).astype(int))
        return self._take(slice(begin, begin + int((last - first).astype(int)) + 1))

    def _take(self, days: slice) -> "Weather":
        cut = {name: getattr(self, name)[days] for name in SERIES if getattr(self, name) is not None}
        return replace(self, dates=self.dates[days], **cut)

    def __str__(self) -> str:
        there = [name for name in SERIES if getattr(self, name) is not None]
        return (
            f"{self.name or 'Weather'}: {self.days} days from {self.dates[0]} to {self.dates[-1]} with "
            f"{', '.join(name.replace('_', ' ') for name in there)}. {' '.join(self.notes)}"
        ).rstrip()


@takes(weather=Weather, start=str)
def rows_of_seasons(weather: Weather, start: str, days: int) -> Numbers:
    """Row numbers of the same season in every year of a record.

    Parameters
    ----------
    weather : Weather
        The weather record.
    start : str
        Month and day, ``"05-15"``. A season that begins on 29 February begins on 1 March in other years.
    days : int
        Length of the season in days; it may run over New Year.

    Returns
    -------
    ndarray of int
        [years, days], ready to index a series; only seasons that lie wholly in the record.

    Raises
    ------
    Unreadable
        ``start`` is no month and day.
    OutOfRange
        ``days`` below 1.
    Problem
        No whole season lies in the record.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> record = weather.record("new-york")
    >>> rows = weather.rows_of_seasons(record, "11-15", 120)
    >>> rows.shape, record.dates[rows[0, 0]].item().isoformat()
    ((3, 120), '2012-11-15')
    """
    days = whole_number(days, 1, 3660, "A season has 1 to 3660 whole days; {value!r} is not possible.")
    rows = rows_of_day(weather, start)
    rows = rows[(rows >= 0) & (rows + days <= weather.days)]
    if not rows.size:
        raise Problem(
            f"The record {weather.name or 'given'} holds no whole season of {days} days from {start}; "
            f"it runs from {weather.dates[0]} to {weather.dates[-1]}."
        )
    return rows[:, None] + np.arange(days)


@takes(weather=Weather, start=str)
def rows_of_day(weather: Weather, start: str) -> Numbers:
    """Row numbers of a month and day in each year that a record touches.

    Parameters
    ----------
    weather : Weather
        The weather record.
    start : str
        Month and day, such as "05-15".

    Returns
    -------
    ndarray of int
        [years]; they may lie outside the record.

    Raises
    ------
    Unreadable
        ``start`` is no month and day such as ``"05-15"``.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> rows_of_day(weather.record("new-york"), "01-02").tolist()
    [1, 367, 732, 1097]
    """
    month, day = month_day(start)
    first, last = weather.dates[[0, -1]].astype("M8[Y]")
    years = np.arange(first, last + np.timedelta64(1, "Y"))
    months = years.astype("M8[M]") + np.timedelta64(month - 1, "M")
    # 29 February counted on from the first of the month becomes 1 March in a common year
    return (months.astype("M8[D]") + (day - 1) * ONE_DAY - weather.dates[0]).astype(int)


def _limit(end: Any, unit: str) -> float:
    return end if isinstance(end, float) else number("plausible", "weather", end, unit)
