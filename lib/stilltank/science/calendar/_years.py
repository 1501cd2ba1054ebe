"""The years of a weather record run side by side until a crop has its warmth."""

import dataclasses
from typing import Any

import numpy as np

from stilltank.science import crops, heat, weather
from stilltank.science.heat import daily_thermal_time
from stilltank.science.sky import ONE_DAY, slot
from stilltank.tables import number
from stilltank.units import Problem, pure_number, within

from .dates import Schedule, Window

_DRAWS = 21  # evenly likely steps through a crop's own range; odd, so that the middle one is the value itself


class Clock:
    """Adds up a crop's warmth at a site for all years of the weather record at once."""

    def __init__(self, crop: Any, site: Any, temperature: Any):
        self.crop = crops.crop(crop)
        self.longest = int(number("calendar", "search", "longest", "day"))
        self.room = number("calendar", "seedlings", "temperature", "degC")
        self.by_heat = self.crop.thermal_time is not None
        self.reasons: list[str] = []
        self._check_room(temperature)
        here = None if temperature is not None else weather.site(site)
        self.outdoors = here is not None and here.cover != "indoors"
        if here is not None and self.outdoors:
            self._read(here.weather)
        seedling = self.crop.seedling_days
        self.seedling = 0 if seedling is None else round(seedling.m_as("day"))
        self._own_time()
        if self.by_heat:
            warmth = self.room if temperature is None else temperature
            low, high = (self.lows, self.highs) if self.outdoors else (warmth, warmth)
            self.gains = daily_thermal_time(self.crop, low, high)
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
        within(temperature, low, high, "A room for plants has {low} to {high}, not {value}.", "degC")

    def _read(self, record: Any) -> None:
        """Highs and lows as [year, day of a leap year] of the complete years."""
        if record is None or not record.years:
            raise Problem(
                "A schedule needs a weather record with one whole calendar year at least, January to December. "
                "For a tank in a room give temperature= instead."
            )
        self.years = record.years
        calendar_years = record.dates.astype("datetime64[Y]").astype(int) + 1970
        slots = slot(record.dates)
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

    def _own_time(self) -> None:
        """The crop's own range, in degC day or days; as likely below as above the value expected."""
        own = heat.thermal_time_range(self.crop) if self.by_heat else _days_range(self.crop)
        self.draws = np.interp(np.linspace(0, 1, _DRAWS), [0, 0.5, 1], own)

    def outcomes(self, sow: Any) -> Any:
        """Date of the first flower in every year of weather and step of the range; far future for never."""
        transplant = sow + self.seedling * ONE_DAY
        if not self.by_heat:
            start = transplant if self.crop.days_phase == "transplant" else sow
            return np.maximum(start + np.ceil(self.draws).astype(int) * ONE_DAY, transplant)
        days = transplant + np.arange(self.longest) * ONE_DAY
        if self.outdoors:
            # every member runs through the record in its own turn; New Year leads to the next year of it
            member = np.arange(len(self.years))[:, None]
            row = (days.astype("datetime64[Y]").astype(int) + member) % len(self.years)
            gains = self.gains[row, slot(days)]
        else:
            gains = np.full((1, self.longest), self.gains)
        total = np.cumsum(gains, axis=1)
        left = self.draws - self._gained_as_seedling()
        reached = np.array([np.searchsorted(row, left * (1 - 1e-12)) for row in total])
        return np.where(
            reached < self.longest,
            transplant + np.where(left <= 0, 0, reached + 1) * ONE_DAY,
            transplant + 100 * self.longest * ONE_DAY,
        ).ravel()

    def _gained_as_seedling(self) -> float:
        emergence, phase = self.crop.emergence_days, self.crop.thermal_phase
        days = {
            "transplant": 0,
            "sowing": self.seedling,
            "emergence": self.seedling - (0 if emergence is None else emergence.m_as("day")),
        }[phase or "transplant"]
        return float(max(days, 0) * daily_thermal_time(self.crop, self.room, self.room))

    def schedule(self, sow: Any) -> Schedule:
        outcomes = np.sort(self.outcomes(sow))
        transplant = sow + self.seedling * ONE_DAY
        if outcomes[-1] > transplant + self.longest * ONE_DAY:
            raise Problem(
                f"Sown on {sow}, {self.crop.name} does not gather its warmth within {self.longest} days in every "
                "year of this record. The site is too cold for it; give temperature= for a tank in a warm room."
            )
        middle = outcomes[(outcomes.size - 1) // 2]
        weeks = self.crop.harvest_weeks
        harvest = (0 if weeks is None else round(weeks.m_as("day"))) * ONE_DAY
        late = outcomes[-1]
        end = late + harvest if self.crop.cut == "once" else max(middle + harvest, late)
        frosts = self._frosty_years(transplant, end) if self.outdoors else 0
        return Schedule(
            self.crop,
            sow.item(),
            transplant.item(),
            Window(outcomes[0].item(), middle.item(), late.item()),
            end.item(),
            (*self.reasons, *self._say_frost(frosts)),
            outcomes,
            self.outdoors,
            frosts / len(self.years) if self.outdoors else None,
        )

    def _frosty_years(self, transplant: Any, end: Any) -> int:
        """Years of the record, each running on in its own turn, with a frost between two dates."""
        threshold = number("calendar", "frost", "threshold", "degC")
        days = np.arange(transplant, end + ONE_DAY)
        member = np.arange(len(self.years))[:, None]
        row = (days.astype("datetime64[Y]").astype(int) + member) % len(self.years)
        return int((self.lows[row, slot(days)] <= threshold).any(axis=1).sum())

    def _say_frost(self, frosts: int) -> list[str]:
        if not frosts:
            return []
        threshold = number("calendar", "frost", "threshold", "degC")
        return [
            f"Frost: in {frosts} of {len(self.years)} years of the record the air fell to {threshold:g} degC or below "
            "between transplant and the end. Shelter the tank or take other dates; the dates do not know frost."
        ]

    def _say_heat(self, constant: float | None) -> None:
        crop, low_high = self.crop, heat.thermal_time_range(self.crop)
        base: Any = crop.base_temperature
        self.reasons.append(
            f"{crop.label} needs {low_high[1]:.0f} degree-days ({low_high[0]:.0f} to {low_high[2]:.0f}) above "
            f"{base.m_as('degC'):g} degC from {crop.thermal_phase} to first flower, "
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


def backwards(clock: Clock, wanted: Any, chance: float | None) -> Schedule:
    share = number("calendar", "sowing", "chance", "1")
    if chance is not None:
        share = pure_number(chance, 0.8, "chance", "sow_for")
        within(share, 1e-9, 1, "A chance lies above 0 and goes up to 1, such as 0.8; {value:g} does not.")
    longest = clock.longest

    def in_time(day: Any) -> bool:
        return bool(np.mean(clock.outcomes(day) <= wanted) >= share - 1e-12)

    # a later sowing is never earlier in flower, so halving finds the last one in time
    good, bad = wanted - longest * ONE_DAY, wanted + ONE_DAY
    if not in_time(good):
        raise Problem(
            f"No sowing in the {longest} days before {wanted} brings {clock.crop.name} to its {clock.crop.event} "
            f"by then with a chance of {share:g} at this site."
        )
    while bad - good > ONE_DAY:
        middle = good + (bad - good) // 2
        good, bad = (middle, bad) if in_time(middle) else (good, middle)
    found = clock.schedule(good)
    reached = found.chance_by(wanted)
    reason = (
        f"Latest sowing of which {100 * share:.0f} percent of the outcomes are in time for {wanted}; "
        f"{100 * reached:.0f} percent are."
    )
    return dataclasses.replace(found, reasons=(reason, *found.reasons))


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
