"""Sow, plant, bloom, repeat: dates forwards from a sowing and backwards from a wished-for day."""

import dataclasses
import datetime
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from ..tables import number
from ..units import OutOfRange, Problem, Q, Unreadable, takes, within
from . import crop as crops
from . import heat, weather
from .daylength import as_days

_DRAWS = 21  # evenly likely steps through a crop's own range; odd, so that the middle one is the value itself


@dataclass(frozen=True)
class Window:
    """A day with its range: dates."""

    early: datetime.date
    expected: datetime.date
    late: datetime.date

    def __str__(self) -> str:
        return f"{self.expected} ({self.early} to {self.late})"


@dataclass(frozen=True)
class Schedule:
    """One sowing and what follows; all are dates.

    Attributes
    ----------
    crop : Crop
    sow, transplant : into seed compost, and into the tank
    first_flower : Window; of a leaf crop the first harvest, as ``event`` says. The range covers the years of the
        weather record and the range of the crop's own time
    end : last harvest expected, when the tank comes free
    reasons : sentences on where the dates come from and what they leave out
    """

    crop: crops.Crop
    sow: datetime.date
    transplant: datetime.date
    first_flower: Window
    end: datetime.date
    reasons: tuple[str, ...]
    _outcomes: Any = field(repr=False, compare=False)

    @property
    def event(self) -> str:
        """What ``first_flower`` means for this crop: "first flower" or "first harvest"."""
        return self.crop.event

    @property
    def time_in_tank(self) -> Any:
        """From transplant to the last harvest, in days."""
        return Q((self.end - self.transplant).days, "day")

    def chance_by(self, date: Any) -> float:
        """Share of the outcomes, years of weather times the crop's own range, that flower by a date."""
        return float(np.mean(self._outcomes <= _one_day(date)))

    def __str__(self) -> str:
        return (
            f"{self.crop.label}: sow {self.sow}, into the tank {self.transplant}, "
            f"{self.event} {self.first_flower}, until {self.end}"
        )


@takes(temperature="degC")
def schedule(crop: Any, site: Any, sow: Any, temperature: Any = None) -> Schedule:
    """Dates that follow from a sowing.

    Parameters
    ----------
    crop : Crop, or the name of one
    site : Site, or the name of a ready-made one
        Its weather must hold a whole calendar year at least; more years give a truer range.
    sow : date, ISO text or numpy datetime64; of any year
    temperature : quantity, optional
        A constant mean temperature in place of the weather, for a tank in a room.

    Returns
    -------
    Schedule

    Raises
    ------
    Unreadable   ``sow`` is no date
    UnitNeeded   ``temperature`` has no unit
    OutOfRange   a room too cold or too hot for plants
    Problem      no whole year of weather, no time to flower known for the crop, or too cold ever to flower

    Example
    -------
    >>> plan = schedule("snapdragon", "new-york", sow="2026-03-15")
    >>> print(plan.transplant, plan.first_flower)
    2026-04-11 2026-06-11 (2026-06-07 to 2026-06-19)

    Limits: warmth of the air alone decides; short light, day length, cold solution and frost do not enter. Seedlings
    are raised at 20 degC. A few years of weather show the spread and are no climate.
    Source: thermal times and days of data/crops.csv.
    """
    return _Clock(crop, site, temperature).schedule(_one_day(sow))


@takes(temperature="degC")
def sow_for(
    crop: Any, site: Any, wanted: Any, chance: float | None = None, temperature: Any = None
) -> Schedule:
    """Latest sowing that brings flowers by a wished-for day with a stated chance.

    Parameters
    ----------
    crop, site, temperature : as in `schedule`
    wanted : date, ISO text or numpy datetime64; the first flower is to be there by then
    chance : plain number above 0, up to 1
        Share of the outcomes that must be in time; 0.8 when left out.

    Returns
    -------
    Schedule

    Raises
    ------
    Unreadable   ``wanted`` is no date
    OutOfRange   the chance is not above 0 and up to 1
    Problem      as in `schedule`, or no sowing within two years before is in time

    Example
    -------
    >>> plan = sow_for("snapdragon", "new-york", wanted="2026-06-30")
    >>> plan.sow.isoformat(), round(plan.chance_by("2026-06-30"), 2)
    ('2026-04-19', 0.85)

    Limits: as `schedule`; the chance is one inside this model.
    """
    return _backwards(_Clock(crop, site, temperature), _one_day(wanted), chance)


@dataclass(frozen=True)
class Succession:
    """Sowings one after the other, a tank each: the ``batches`` and the number of ``tanks`` they need."""

    batches: tuple[Schedule, ...]
    tanks: int

    def __iter__(self) -> Iterator[Schedule]:
        return iter(self.batches)

    def __len__(self) -> int:
        return len(self.batches)

    def __getitem__(self, index: int) -> Schedule:
        return self.batches[index]

    def __str__(self) -> str:
        lines = [str(batch) for batch in self.batches]
        return "\n".join([*lines, f"{len(lines)} sowings, {self.tanks} tanks"])


@takes(every="day", cleaning="day", temperature="degC")
def succession(
    crop: Any,
    site: Any,
    first: Any,
    last: Any,
    every: Any = None,
    chance: float | None = None,
    cleaning: Any = None,
    temperature: Any = None,
) -> Succession:
    """Sowings for flowers at even steps, and the tanks they need.

    Parameters
    ----------
    crop, site, chance, temperature : as in `sow_for`
    first, last : date
        First and last day on which a new batch is to be in flower.
    every : quantity, time between batches in whole days; the crop's own harvest time when left out
    cleaning : quantity, time to empty and clean a tank between batches; 1 day when left out, an assumption

    Returns
    -------
    Succession
        Even steps in flower are uneven steps in sowing: wider in spring, since a late sowing catches up in the
        warmth, and closer after midsummer.

    Raises
    ------
    Unreadable   a date that is none
    OutOfRange   a time between batches below one day, negative cleaning, more than 200 batches
    Problem      ``last`` before ``first``, or as in `sow_for`

    Example
    -------
    >>> plan = succession("zinnia", "new-york", "2026-07-01", "2026-08-12", every=Q(14, "day"))
    >>> [batch.sow.isoformat() for batch in plan], plan.tanks
    (['2026-05-09', '2026-05-28', '2026-06-13', '2026-06-26'], 4)
    """
    clock = _Clock(crop, site, temperature)
    begin, end = _one_day(first), _one_day(last)
    if end < begin:
        raise Problem(f"The last day wanted, {end}, lies before the first, {begin}.")
    if every is None:
        every = clock.crop.harvest_weeks.m_as("day")
    step = round(every)
    if step < 1 or abs(step - every) > 1e-9:
        raise OutOfRange(f"The time between batches is a whole number of days, at least 1; {every:g} is not.")
    most = int(number("calendar", "succession", "most batches", "1"))
    wanted = np.arange(begin, end + 1, step)
    if wanted.size > most:
        raise OutOfRange(
            f"That would be {wanted.size} batches; {most} is the most. Take a longer time between them."
        )
    batches = tuple(_backwards(clock, day, chance) for day in wanted)
    return Succession(
        batches,
        tanks_needed(
            [batch.transplant for batch in batches],
            [batch.end for batch in batches],
            None if cleaning is None else Q(cleaning, "day"),
        ),
    )


@takes(cleaning="day")
def tanks_needed(transplants: Any, ends: Any, cleaning: Any = None) -> int:
    """Most tanks in use at one time.

    Parameters
    ----------
    transplants, ends : arrays of dates, one of each for a batch; a tank is free again on its end date
    cleaning : quantity, time added to each batch; 1 day when left out, an assumption

    Raises
    ------
    Unreadable   a date that is none
    OutOfRange   cleaning time below zero
    Problem      not one end for each transplant, or an end before it

    Example
    -------
    >>> tanks_needed(["2026-05-01", "2026-05-08"], ["2026-05-15", "2026-05-22"], Q(0, "day"))
    2
    """
    if cleaning is None:
        cleaning = number("calendar", "cleaning", "time", "day")
    within(cleaning, 0, np.inf, "The time for cleaning is not negative; {value:g} days is.")
    starts, frees = np.atleast_1d(as_days(transplants)), np.atleast_1d(as_days(ends))
    if starts.shape != frees.shape or np.any(frees < starts):
        raise Problem("Each transplant needs its end, on the same day or later.")
    frees = frees + int(np.ceil(cleaning))
    return int(max((np.sum((starts <= day) & (frees > day)) for day in starts), default=0))


def _backwards(clock: "_Clock", wanted: Any, chance: float | None) -> Schedule:
    share = number("calendar", "sowing", "chance", "1") if chance is None else chance
    if not 0 < share <= 1:
        raise OutOfRange(f"A chance lies above 0 and goes up to 1, such as 0.8; {share!r} does not.")
    longest = clock.longest

    def in_time(day: Any) -> bool:
        return bool(np.mean(clock.outcomes(day) <= wanted) >= share - 1e-12)

    # a later sowing is never earlier in flower, so halving finds the last one in time
    good, bad = wanted - longest, wanted + 1
    if not in_time(good):
        raise Problem(
            f"No sowing in the {longest} days before {wanted} brings {clock.crop.name} to its {clock.crop.event} "
            f"by then with a chance of {share:g} at this site."
        )
    while bad - good > 1:
        middle = good + (bad - good) // 2
        good, bad = (middle, bad) if in_time(middle) else (good, middle)
    found = clock.schedule(good)
    reached = found.chance_by(wanted)
    reason = (
        f"Latest sowing of which {100 * share:.0f} percent of the outcomes are in time for {wanted}; "
        f"{100 * reached:.0f} percent are."
    )
    return dataclasses.replace(found, reasons=(reason, *found.reasons))


class _Clock:
    """Adds up a crop's warmth at a site for all years of the weather record at once."""

    def __init__(self, crop: Any, site: Any, temperature: float | None):
        self.crop = crops.crop(crop) if isinstance(crop, str) else crop
        self.longest = int(number("calendar", "search", "longest", "day"))
        self.room = number("calendar", "seedlings", "temperature", "degC")
        self.by_heat = self.crop.thermal_time is not None
        self.reasons: list[str] = []
        if isinstance(site, str):
            site = weather.site(site)
        self._check_room(temperature)
        self.outdoors = temperature is None and site.cover != "indoors"
        if self.outdoors:
            self._read(site.weather)
        seedling = self.crop.seedling_days
        self.seedling = 0 if seedling is None else round(seedling.m_as("day"))
        self._own_time()
        if self.by_heat:
            warmth = self.room if temperature is None else temperature
            self.gains = self._gains(self.highs, self.lows) if self.outdoors else self._gains(warmth, warmth)
            self._say_heat(None if self.outdoors else warmth)
        else:
            self._say_days()
        if self.crop.photoperiod:
            self.reasons.append(f"Day length: {self.crop.photoperiod}; it does not enter these dates.")

    def _check_room(self, temperature: Any) -> None:
        if temperature is None:
            return
        if np.ndim(temperature):
            raise Problem("One constant temperature is needed here, not a list of them.")
        low, high = (number("calendar", "room", end, "degC") for end in ("coldest", "warmest"))
        within(
            temperature, low, high, f"A room for plants has {low:g} to {high:g} degC, not {{value:g}} degC."
        )

    def _read(self, record: Any) -> None:
        """Highs and lows as [year, day of a leap year] of the complete years."""
        if record is None or not record.years:
            raise Problem(
                "A schedule needs a weather record with one whole calendar year at least, January to December. "
                "For a tank in a room give temperature= instead."
            )
        self.years = record.years
        calendar_years = record.dates.astype("datetime64[Y]").astype(int) + 1970
        slots = _slot(record.dates)
        self.highs, self.lows = (np.full((len(self.years), 366), np.nan) for _ in range(2))
        for row, year in enumerate(self.years):
            there = calendar_years == year
            for table, values in (
                (self.highs, record.temperature_max),
                (self.lows, record.temperature_min),
            ):
                table[row, slots[there]] = values.m_as("degC")[there]
                if np.isnan(table[row, 59]):  # 29 February of a common year
                    table[row, 59] = table[row, 58]

    def _gains(self, highs: Any, lows: Any) -> Any:
        upper = self.crop.optimum_temperature
        return heat.degree_days(
            Q(lows, "degC"), Q(highs, "degC"), self.crop.base_temperature, upper, self.crop.thermal_method
        ).m_as("delta_degC*day")

    def _own_time(self) -> None:
        """The crop's own range, in degC day or days; as likely below as above the value expected."""
        own = heat.thermal_range(self.crop) if self.by_heat else _days_range(self.crop)
        self.draws = np.interp(np.linspace(0, 1, _DRAWS), [0, 0.5, 1], own)

    def outcomes(self, sow: Any) -> Any:
        """Date of the first flower in every year of weather and step of the range; far future for never."""
        transplant = sow + self.seedling
        if not self.by_heat:
            start = transplant if self.crop.days_phase == "transplant" else sow
            return np.maximum(start + np.ceil(self.draws).astype(int), transplant)
        days = transplant + np.arange(self.longest)
        if self.outdoors:
            # every member runs through the record in its own turn; New Year leads to the next year of it
            member = np.arange(len(self.years))[:, None]
            row = (days.astype("datetime64[Y]").astype(int) + member) % len(self.years)
            gains = self.gains[row, _slot(days)]
        else:
            gains = np.full((1, self.longest), self.gains)
        total = np.cumsum(gains, axis=1)
        left = self.draws - self._gained_as_seedling()
        reached = np.array([np.searchsorted(row, left * (1 - 1e-12)) for row in total])
        return np.where(
            reached < self.longest,
            transplant + np.where(left <= 0, 0, reached + 1),
            transplant + 100 * self.longest,
        ).ravel()

    def _gained_as_seedling(self) -> float:
        emergence = self.crop.emergence_days
        days = {
            "transplant": 0,
            "sowing": self.seedling,
            "emergence": self.seedling - (0 if emergence is None else emergence.m_as("day")),
        }[self.crop.thermal_phase]
        return float(max(days, 0) * self._gains(self.room, self.room))

    def schedule(self, sow: Any) -> Schedule:
        outcomes = np.sort(self.outcomes(sow))
        transplant = sow + self.seedling
        if outcomes[-1] > transplant + self.longest:
            raise Problem(
                f"Sown on {sow}, {self.crop.name} does not gather its warmth within {self.longest} days in every "
                "year of this record. The site is too cold for it; give temperature= for a tank in a warm room."
            )
        middle = outcomes[(outcomes.size - 1) // 2]
        weeks = self.crop.harvest_weeks
        end = middle + (0 if weeks is None else round(weeks.m_as("day")))
        return Schedule(
            self.crop,
            sow.item(),
            transplant.item(),
            Window(outcomes[0].item(), middle.item(), outcomes[-1].item()),
            end.item(),
            (*self.reasons, *self._frost(transplant, end)),
            outcomes,
        )

    def _frost(self, transplant: Any, end: Any) -> list[str]:
        if not self.outdoors:
            return []
        threshold = number("calendar", "frost", "threshold", "degC")
        days = np.arange(transplant, end + 1)
        member = np.arange(len(self.years))[:, None]
        row = (days.astype("datetime64[Y]").astype(int) + member) % len(self.years)
        frosts = int((self.lows[row, _slot(days)] <= threshold).any(axis=1).sum())
        if not frosts:
            return []
        return [
            f"Frost: in {frosts} of {len(self.years)} years of the record the air fell to {threshold:g} degC or below "
            "between transplant and the end. Shelter the tank or take other dates; the dates do not know frost."
        ]

    def _say_heat(self, constant: float | None) -> None:
        crop, low_high = self.crop, heat.thermal_range(self.crop)
        self.reasons.append(
            f"{crop.label} needs {low_high[1]:.0f} degree-days ({low_high[0]:.0f} to {low_high[2]:.0f}) above "
            f"{crop.base_temperature.m_as('degC'):g} degC from {crop.thermal_phase} to first flower, "
            f"counted with the {crop.thermal_method} method."
        )
        if constant is None:
            self.reasons.append(
                f"Weather of {len(self.years)} years, {self.years[0]} to {self.years[-1]}, day for day."
            )
        else:
            self.reasons.append(f"A constant {constant:g} degC in the room.")
        if self.seedling:
            self.reasons.append(
                f"Seedlings {self.seedling} days at {self.room:g} degC before they go into the tank."
            )

    def _say_days(self) -> None:
        low, mode, high = _days_range(self.crop)
        self.reasons.append(
            f"No thermal time is published for {self.crop.name}: {mode:.0f} days ({low:.0f} to {high:.0f}) from "
            f"{self.crop.days_phase} to {self.crop.event} are taken. They do not move with the weather; cool weather "
            "takes the late end."
        )


def _one_day(date: Any) -> Any:
    day = as_days(date)
    if np.ndim(day):
        raise Unreadable("One date is needed here, not a list of them.")
    return np.datetime64(day, "D")


def _slot(dates: Any) -> Any:
    """Place of a date in a leap year, from 0; 29 February has its own."""
    months = dates.astype("datetime64[M]")
    month = months.astype(int) % 12
    day = (dates - months.astype("datetime64[D]")).astype(int)
    return _MONTH_STARTS[month] + day


_MONTH_STARTS = np.cumsum([0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30])


def _days_range(crop: Any) -> tuple[float, float, float]:
    kind = "flower" if crop.days_to_flower is not None else "harvest"
    mode = getattr(crop, f"days_to_{kind}")
    if mode is None:
        raise Problem(
            f"Neither a thermal time nor days to flower are known for {crop.name}, so it has no dates. "
            'Give it some: dataclasses.replace(crop, days_to_flower=Q(60, "day"), days_phase="sowing").'
        )
    middle = mode.m_as("day")
    spread = number("calendar", "thermal time", "spread", "1")
    low, high = (getattr(crop, f"days_to_{kind}_{end}") for end in ("low", "high"))
    return (
        middle * (1 - spread) if low is None else low.m_as("day"),
        middle,
        middle * (1 + spread) if high is None else high.m_as("day"),
    )
