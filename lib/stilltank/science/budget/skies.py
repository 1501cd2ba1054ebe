"""Weather that could come: drawn from a record, and shared by tanks that are side by side."""

from dataclasses import dataclass
from typing import Any

import numpy as np
import pint

from stilltank.science import demand
from stilltank.science.weather import Weather, rows_of_day
from stilltank.tables import number
from stilltank.units import Problem, Q

from ._checks import shown
from .setting import Setting

FACTORS = ("exposure", "coefficient_factor", "growth_timing", "daily_variation")  # drawn by their logarithms


@dataclass(frozen=True, eq=False, kw_only=True)
class Skies:
    """Drawn weather; made by ``Scenario.skies()``, and shared by several scenarios of the same days.

    Parameters
    ----------
    dates : numpy array of datetime64[D], [days]
        The days.
    reference_et : quantity, mm/day, [members, days]
        What a field of grass would use, with the error that weather from a record has.
    rain : quantity, mm, [members, days]
        What falls.
    procedures : tuple of str
        How the evapotranspiration was reached, and what the record lacks.
    seed : int
        Of the draw.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> scenario = budget.Scenario.make("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10",
    ...                                 members=20, days=14)
    >>> print(scenario.skies())
    Weather of 20 seasons from 2027-05-10 to 2027-05-23
    """

    dates: np.ndarray
    reference_et: pint.Quantity
    rain: pint.Quantity
    procedures: tuple[str, ...]
    seed: int

    @property
    def members(self) -> int:
        """How many seasons."""
        return len(self.rain.magnitude)

    def __str__(self) -> str:
        return f"Weather of {self.members} seasons from {self.dates[0]} to {self.dates[-1]}"


@dataclass(frozen=True, eq=False)
class Draws:
    """What the members of an ensemble are given: plain factors, [members], and litres or mm, [members, days]."""

    factors: dict[str, Any]
    procedures: tuple[str, ...]
    thirst: Any
    rain: Any  # mm
    rain_in: Any


def draw(setting: Setting, sky: Skies | None = None) -> Draws:
    """Draw what is uncertain about a tank, then its weather where no ``sky`` is given."""
    rng, factors = _factors(setting)
    et, rain, procedures = _weather(rng, setting) if sky is None else _shared(setting, sky)
    thirst = setting.grown(factors["growth_timing"])
    thirst *= np.exp(_own_days(setting, factors["daily_variation"]))
    thirst *= et
    thirst *= (factors["exposure"] * factors["coefficient_factor"])[:, None]
    return Draws(factors, procedures, thirst, rain, rain * setting.catch * factors["rain_share"][:, None])


def skies_of(setting: Setting) -> Skies:
    """The weather that `draw` draws."""
    et, rain, procedures = _weather(_factors(setting)[0], setting)
    return Skies(
        dates=setting.dates,
        reference_et=Q(et, "mm/day"),
        rain=Q(rain, "mm"),
        procedures=procedures,
        seed=setting.seed,
    )


def resample(rng: np.random.Generator, record: Weather, dates: np.ndarray, members: int) -> np.ndarray:
    """Row numbers of the record for seasons on ``dates``, [members, days]; see `ensemble` for how."""
    block, window = (int(number("budget", "ensemble", key, "day")) for key in ("block length", "window"))
    rows = np.empty((members, len(dates)), dtype=int)
    for begin in range(0, len(dates), block):
        length = min(block, len(dates) - begin)
        anchors = rows_of_day(record, str(dates[begin])[5:])
        choices = (anchors[:, None] + np.arange(-window, window + 1)).ravel()
        choices = choices[(choices >= 0) & (choices + length <= record.days)]
        if not choices.size:
            raise Problem(
                f"The record {record.name or 'given'} has no days near {str(dates[begin])[5:]} to draw from; it runs "
                f"from {record.dates[0]} to {record.dates[-1]}. Take a record that covers the season."
            )
        first = choices[rng.integers(0, choices.size, members)]
        rows[:, begin : begin + length] = first[:, None] + np.arange(length)
    return rows


def _factors(setting: Setting) -> tuple[np.random.Generator, dict[str, Any]]:
    """What is uncertain, [members], and the generator after it: the weather is drawn from there."""
    rng, members = np.random.default_rng(setting.seed), setting.members
    return rng, {
        name: _drawn(rng, name in FACTORS, ends, members) for name, ends in setting.uncertain.items()
    }


def _drawn(
    rng: np.random.Generator, factor: bool, ends: tuple[float, float, float], members: int
) -> np.ndarray:
    """Between the ends and most often near the value; a factor by its logarithm, so that half counts like twice."""
    value, low, high = ends
    if low == high:
        return np.full(members, value)
    if not factor:
        return rng.triangular(low, value, high, members)
    least, peak, most = np.log((low, value, high))
    return np.exp(rng.triangular(least, peak, most, members))


def _own_days(setting: Setting, spread: np.ndarray) -> np.ndarray:
    """Logarithm of how far the tank's own use is off, [members, days]: a new error each day, and a drift."""
    if not spread.any():
        return np.zeros((1, 1))
    shape = (setting.members, len(setting.dates))
    # from a generator of its own: the weather is the same, whoever draws it
    rng = np.random.default_rng((setting.seed, 1))
    wandering = rng.standard_normal(shape)
    wandering[:, 0] = 0.0
    np.cumsum(wandering, axis=1, out=wandering)
    wandering *= number("budget", "plants", "drift", "1")
    wandering += rng.standard_normal(shape)
    wandering *= spread[:, None]
    return wandering


def _weather_error(rng: np.random.Generator, shape: tuple[int, int]) -> np.ndarray:
    """Factor by which the evapotranspiration is off, [members, days]: part of an error stays to the next day."""
    spread, memory = (number("budget", "weather error", name, "1") for name in ("spread", "memory"))
    errors = np.empty(shape[::-1])
    now = rng.normal(0, spread, shape[0])
    fresh = spread * np.sqrt(1 - memory**2)
    for day in range(shape[1]):
        errors[day] = now
        now = memory * now + fresh * rng.standard_normal(shape[0])
    return np.exp(errors.T)


def _weather(rng: np.random.Generator, setting: Setting) -> tuple[Any, Any, tuple[str, ...]]:
    """Reference evapotranspiration and rain in plain mm, [members, days], and how they were reached."""
    record, given = setting.record, setting.reference_et
    nothing = np.zeros((setting.members, len(setting.dates)))
    if record is None:
        et, rain = nothing + np.asarray(given), nothing
        procedures: tuple[str, ...] = ("Demand: as given.", "Rain: none.")
    else:
        rows = resample(rng, record, setting.dates, setting.members)
        rain = nothing if record.precipitation is None else record.precipitation.magnitude[rows]
        missing = ("Rain: none in the record, so none counted.",) if record.precipitation is None else ()
        if given is None:  # once for the record: it depends on the weather only
            et = demand.reference_et(record).magnitude[rows] * _weather_error(rng, rows.shape)
            procedures = demand.missing_data_procedures(record) + missing
        else:
            et, procedures = nothing + np.asarray(given), ("Demand: as given.", *missing)
    return et, rain, procedures


def _shared(setting: Setting, sky: Skies) -> tuple[Any, Any, tuple[str, ...]]:
    """The days of a scenario out of a sky; what a scenario says of its own evapotranspiration goes before."""
    if not isinstance(sky, Skies):
        raise Problem(f"A sky is what scenario.skies() draws; you gave {shown(sky)}.")
    if sky.members != setting.members:
        raise Problem(
            f"The sky holds {sky.members} seasons and this scenario {setting.members}. Make both with the same "
            "`members`."
        )
    first = int((setting.dates[0] - sky.dates[0]).astype(int))
    last = first + len(setting.dates)
    if first < 0 or last > len(sky.dates):
        raise Problem(
            f"The sky runs from {sky.dates[0]} to {sky.dates[-1]}, the scenario from {setting.dates[0]} to "
            f"{setting.dates[-1]}. Draw the sky from the scenario that begins first and lasts longest."
        )
    own = setting.reference_et
    rain = sky.rain.m_as("mm")[:, first:last]
    et = sky.reference_et.m_as("mm/day")[:, first:last] if own is None else np.zeros(rain.shape) + own
    return et, rain, sky.procedures
