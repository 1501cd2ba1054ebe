"""A daily record made from twelve monthly highs, lows and rainfalls, for a place without one."""

from functools import cache

import numpy as np

from stilltank.science.sky import altitude_metres, daylight_hours, plain_day_of_year
from stilltank.tables import number
from stilltank.units import (
    OutOfRange,
    Q,
    Quantity,
    Unreadable,
    latitude_degrees,
    magnitude,
    said,
    speaking_of,
    whole_number,
)
from stilltank.units.types import Array

from .generator import residuals, wet_days
from .series import Weather

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
LAST_YEAR = 2025  # of a made record; its years are numbers, not those of a calendar on a wall
_LENGTH = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])


def from_months(
    highs: Quantity,
    lows: Quantity,
    rain: Quantity,
    latitude: Quantity,
    altitude: Quantity,
    *,
    wet: Quantity | None = None,
    coast: bool = False,
    years: int | None = None,
    seed: int = 1,
    name: str = "",
) -> Weather:
    """Make a daily weather record from twelve monthly highs, lows and rainfalls.

    Parameters
    ----------
    highs, lows : Quantity, temperature, [12]
        Mean of the days' highest and lowest temperature in each month, January first, south of the equator too.
    rain : Quantity, length, [12]
        Rain of each month, or snow melted.
    latitude, altitude : Quantity
        Of the place; latitude in degrees, south negative.
    wet : Quantity, days, [12], optional
        Days with rain in each month; when left out, the usual number for so much rain.
    coast : bool, default False
        Whether the air comes from a large water nearby.
    years : int, optional
        How many years to make, 10 to 100; 30 when left out.
    seed : int, default 1
        The same seed gives the same weather with the same version of numpy.
    name : str, optional
        Of the place, for sentences.

    Returns
    -------
    Weather
        Temperatures and rain of each day. Its ``notes`` say that it is made and what it cannot know.

    Raises
    ------
    UnitNeeded
        A row without a unit, or with one of another kind.
    Unreadable
        A row that has not twelve values.
    OutOfRange
        A low that is not below its high, an impossible rain, more wet days than a month has.

    Notes
    -----
    Over all years each month has exactly the mean high, mean low and rain that were given. Around these a day's mean
    temperature varies as a first-order process with the published memory, by 2.4 °C in the warmest month and more in
    colder ones, with a slow part that lasts months; the day's range by its logarithm, narrower on wet days. Rain
    comes as a two-state chain with gamma amounts. How far temperatures vary was fitted to two records, New York and
    Seattle: elsewhere it is a guess. Humidity, wind and sun are left out, so the evapotranspiration takes the sun from
    the day's range and the rest as FAO-56 does for missing data.

    Held against the two records, New York and Seattle, from their own twelve months: reference evapotranspiration of
    a year within 0.3 %, degree-days above 10 °C within 2 %, half of the tanks of basil dry within 3 days, first frost
    of autumn within 6 days at the median. The last frost of spring comes 4 days later than in New York's record and
    20 days later than in Seattle's, and differs more from year to year; each record has only four springs. The
    hottest days are hotter, and the rain of Seattle's dry months differs less from year to year. So its frost dates
    can be off by three weeks. It knows no droughts of years, no storm larger than its gamma distribution gives, and
    no hollow that fills with cold air.

    References
    ----------
    RICHARDSONWRIGHT1984, for the process and its memory; GENG1986, for the chain; SOMMERKAPLAN2017, for the gamma
    distribution; NEW2000 (from memory), for the wet days by rain; the spreads computed from VEGADATASETS.

    Examples
    --------
    >>> made = from_months(
    ...     Q([6, 8, 11, 15, 19, 22, 25, 25, 21, 16, 10, 7], "degC"),
    ...     Q([1, 1, 3, 5, 9, 12, 14, 14, 11, 8, 4, 2], "degC"),
    ...     Q([60, 50, 50, 50, 60, 60, 70, 60, 60, 70, 70, 70], "mm"),
    ...     Q(50, "degree"), Q(100, "m"))
    >>> made.days, round(float(made.precipitation.magnitude.sum()) / 30)
    (10958, 730)
    """
    function = "from_months"
    with speaking_of(highs, lows, rain):
        high, low = (
            _twelve(given, "degC", key, function) for given, key in ((highs, "highs"), (lows, "lows"))
        )
        depth = _twelve(rain, "mm", "rain", function)
        _check(high, low, depth)
    chance = _wet_share(wet, depth, function)
    degrees = latitude_degrees(latitude, function, single=True)
    metres = altitude_metres(altitude, function)
    count = whole_number(
        int(_value("years", "year")) if years is None else years,
        10,
        100,
        "A made record has 10 to 100 whole years; {value!r} is not possible.",
    )
    rng = np.random.default_rng(
        whole_number(seed, 0, 2**63, "from_months: a seed is a whole number from 0 on; {value!r} is not.")
    )
    dates = np.arange(f"{LAST_YEAR - count + 1}-01-01", f"{LAST_YEAR + 1}-01-01", dtype="M8[D]")
    month = dates.astype("M8[M]").astype(int) % 12
    day = np.minimum(plain_day_of_year(dates), 365) - 1
    wet_day, fallen = _rain(rng, depth, chance, month, count)
    hours = daylight_hours.plain(degrees, np.arange(1, 366))
    middle, span = _temperatures(rng, (high + low) / 2, high - low, wet_day, month, day, hours)
    usual = wet is None
    return Weather(
        dates,
        Q(middle + span / 2, "degC"),
        Q(middle - span / 2, "degC"),
        precipitation=Q(fallen, "mm"),
        latitude=Q(degrees, "degree"),
        altitude=Q(metres, "m"),
        coast=coast,
        name=name or "twelve months",
        notes=_notes(count, usual),
    )


def _notes(years: int, usual_wet_days: bool) -> tuple[str, ...]:
    wet = "The number of wet days is the usual one for so much rain." if usual_wet_days else ""
    return tuple(
        note
        for note in (
            f"Made from twelve monthly means: {years} made-up years, whose highs, lows and rain agree with them.",
            "How far days and years differ is taken from other places: frost dates can be off by three weeks, and dry "
            "spells too.",
            wet,
        )
        if note
    )


def _value(key: str, unit: str = "1") -> float:
    return number("weather-generator", "twelve months", key, unit)


def _twelve(given: object, unit: str, key: str, function: str) -> Array:
    plain = np.asarray(magnitude(given, unit, key, function), float)
    if plain.shape != (12,):
        raise Unreadable(
            f"{function}: `{key}` has {plain.size} value{'s' * (plain.size != 1)}. Give twelve, one a month, "
            "January first."
        )
    return plain


def _check(high: Array, low: Array, rain: Array) -> None:
    least, most = (
        number("plausible", "weather", f"{end} temperature", "degC") for end in ("lowest", "highest")
    )
    deepest = number("plausible", "weather", "largest rain", "mm")
    for month, name in enumerate(MONTHS):
        if low[month] >= high[month]:
            raise OutOfRange(
                f"{name}: the low, {said(Q(low[month], 'degC'), 3)}, is not below the high, "
                f"{said(Q(high[month], 'degC'), 3)}. Check the two rows; they may be exchanged."
            )
        for value in (high[month], low[month]):
            if not least <= value <= most:
                raise OutOfRange(
                    f"{name}: {said(Q(value, 'degC'), 3)} cannot be a monthly mean. Check the number and its unit."
                )
        if not 0 <= rain[month] <= deepest * 3:
            raise OutOfRange(
                f"{name}: {said(Q(rain[month], 'mm'), 3)} of rain cannot be. Check the number and its unit."
            )


def _wet_share(given: object, rain: Array, function: str) -> Array:
    """Share of wet days in each month."""
    if given is None:
        days = _value("wet days by rain") * rain ** _value("power of rain")
        days = np.where(rain > 0, np.maximum(days, _value("fewest wet days", "day")), 0.0)
        return np.minimum(days / _LENGTH, _value("most wet share"))
    days = _twelve(given, "day", "wet", function)
    for month, name in enumerate(MONTHS):
        most = np.ceil(_LENGTH[month])
        if not 0 <= days[month] <= most:
            raise OutOfRange(f"{name}: {days[month]:g} wet days cannot be. Give 0 to {most:.0f}.")
        if (days[month] == 0) != (rain[month] == 0):
            raise OutOfRange(
                f"{name}: {days[month]:g} wet days and {said(Q(rain[month], 'mm'), 3)} of rain do not fit. "
                "Rain needs wet days, and wet days need rain."
            )
    return np.minimum(days / _LENGTH, 1.0)


def _rain(
    rng: np.random.Generator, depth: Array, share: Array, month: Array, years: int
) -> tuple[Array, Array]:
    """Wet days and plain mm; each month has its share of wet days on average, and its rain exactly."""
    after_dry = _value("wet after dry") * share
    # the share of wet days that lasts is after_dry / (1 + after_dry - after_wet), which this makes the one asked for
    after_wet = np.where(share < 1, after_dry + _value("more after wet"), 1.0)
    after_dry = np.where(share < 1, after_dry, 1.0)
    wet = wet_days(rng, len(month), after_dry[month], after_wet[month])
    lone = rng.random(len(month))
    for place in np.flatnonzero(depth > 0):
        here = month == place
        if not wet[here].any():  # so rare that none was drawn
            wet[np.flatnonzero(here)[lone[here].argmax()]] = True
    scale = _value("gamma scale")
    fallen = np.where(wet & (depth[month] > 0), rng.gamma(1 / scale, scale, len(month)), 0.0)
    fallen = np.where(wet & (fallen == 0) & (depth[month] > 0), 1e-6, fallen)
    sums = np.bincount(month, weights=fallen, minlength=12)
    wanted = depth * years
    factor = np.divide(wanted, sums, out=np.zeros(12), where=sums > 0)
    return wet & (depth[month] > 0), fallen * factor[month]


def _temperatures(
    rng: np.random.Generator, mean: Array, span: Array, wet: Array, month: Array, day: Array, hours: Array
) -> tuple[Array, Array]:
    """Plain means and ranges of the days, in degC; each month has its own mean of both exactly."""
    drawn = residuals(rng, len(day))
    both, apart = drawn[:, 0] + drawn[:, 1], drawn[:, 0] - drawn[:, 1]
    curve = _smooth_year()
    usual = curve @ mean
    slow = _value("slow spread", "delta_degC")
    fast = np.sqrt(np.maximum(_spread(mean, usual) ** 2 - slow**2, 0.1))
    middle = usual[day] + fast[day] * both / both.std() + slow * _slow_part(rng, len(day))
    middle = middle + curve[day] @ _missing(curve, month, day, mean, middle)

    width = np.exp(curve @ np.log(span))
    # warm days have a wide range where days are long, cold ones where they are short
    warmth = (middle - usual[day]) / _spread(mean, usual)[day]
    tie = (_value("warm and wide") + _value("more on long days") * (hours - 12))[day]
    tie = np.clip(tie, -_value("strongest tie"), _value("strongest tie"))
    noise = tie * warmth + np.sqrt(1 - tie**2) * apart / apart.std()
    factor = np.where(wet, _value("range on wet days"), 1.0) * np.exp(_value("spread of the range") * noise)
    ranges = width[day] * factor
    for _ in range(4):  # a factor that changes smoothly and stays above zero; near 1 after the first pass
        ranges = ranges * np.exp(curve[day] @ np.log(span / _monthly(month, ranges)))
    return middle, ranges * (span / _monthly(month, ranges))[month]


def _spread(mean: Array, usual: Array) -> Array:
    """Standard deviation of a day's mean temperature, [365]: least in the warmest month, more when colder."""
    swing = float(mean.max() - mean.min())
    colder = (mean.max() - usual) / _value("colder by", "delta_degC")
    full = _value("spread in the warmest month", "delta_degC") + (
        _value("more spread when colder", "delta_degC") * np.maximum(colder, 0) ** 2
    )
    bare = _value("spread without seasons", "delta_degC")
    part = min(swing / _value("swing of full spread", "delta_degC"), 1.0)
    return np.minimum(bare + (full - bare) * part, _value("largest spread", "delta_degC"))


def _slow_part(rng: np.random.Generator, days: int) -> Array:
    memory = _value("slow memory")
    noise = rng.standard_normal(days)
    noise[1:] *= np.sqrt(1 - memory**2)
    found = np.empty(days)
    state = 0.0
    for day in range(days):
        state = memory * state + noise[day]
        found[day] = state
    return found


def _monthly(month: Array, values: Array) -> Array:
    return np.bincount(month, values, 12) / np.bincount(month, minlength=12)


def _missing(curve: Array, month: Array, day: Array, wanted: Array, values: Array) -> Array:
    """Twelve numbers that, laid through the year by ``curve`` and added, give each month the mean that is wanted."""
    share = np.stack([_monthly(month, curve[day, place]) for place in range(12)], axis=1)
    found: Array = np.linalg.solve(share, wanted - _monthly(month, values)).astype(float)
    return found


@cache
def _smooth_year() -> Array:
    """Matrix, [365, 12]: times twelve monthly means it is the smoothest yearly curve that has these means."""
    months = np.repeat(np.arange(12), np.floor(_LENGTH).astype(int))
    averaging = (months == np.arange(12)[:, None]) / np.floor(_LENGTH)[:, None]
    bend = np.roll(np.eye(365), 1, axis=1) - 2 * np.eye(365) + np.roll(np.eye(365), -1, axis=1)
    system = np.block([[bend.T @ bend, averaging.T], [averaging, np.zeros((12, 12))]])
    found = np.linalg.solve(system, np.concatenate([np.zeros((365, 12)), np.eye(12)]))[:365]
    found.flags.writeable = False
    return np.asarray(found, float)
