"""The years of a weather record run side by side until a crop has its warmth."""

import contextlib
import dataclasses
from typing import Any

import numpy as np

from stilltank.science import crops, heat, weather
from stilltank.science.heat import daily_thermal_time
from stilltank.science.sky import ONE_DAY, slot
from stilltank.tables import number
from stilltank.units import Problem, Q, pure_number, said, within

from ._outdoors import Ends, Outdoors
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
            self.open_air = Outdoors(self.crop, self.lows, self.highs, self.years, here.latitude)
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
            self.reasons.append(f"Day length: {self.crop.photoperiod}; it does not move these dates.")

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

    def transplant(self, sow: Any) -> Any:
        """The day of planting: when the seedlings are ready, and outdoors when the nights are warm enough too."""
        ready = sow + self.seedling * ONE_DAY
        return self.open_air.planted_out(ready) if self.outdoors else ready

    def outcomes(self, sow: Any) -> Any:
        """Date of the first flower in every year of weather and step of the range; far future for never."""
        transplant = self.transplant(sow)
        return self._outcomes(sow, transplant, self._ends(transplant))

    def _ends(self, transplant: Any) -> Ends | None:
        return self.open_air.ends(transplant) if self.outdoors else None

    def _outcomes(self, sow: Any, transplant: Any, ends: Ends | None) -> Any:
        """As ``outcomes``; with no ``ends`` nothing cuts a plant short, as in a sheltered tank."""
        never = transplant + 100 * self.longest * ONE_DAY
        waited = int((transplant - sow) // ONE_DAY) - self.seedling
        held = round(number("calendar", "planting out", "held back", "1") * waited)
        if not self.by_heat:
            start = transplant if self.crop.days_phase == "transplant" else sow
            back = held if start == sow else 0
            takes = (np.ceil(self.draws).astype(int) + back) * ONE_DAY
            dates = np.maximum(start + takes, transplant)[None, :]
            if ends is not None:
                dates = np.where(dates < ends.cool, dates, never)
        else:
            days = transplant + np.arange(self.longest) * ONE_DAY
            if self.outdoors:
                # every member runs through the record in its own turn; New Year leads to the next year of it
                member = np.arange(len(self.years))[:, None]
                row = (days.astype("datetime64[Y]").astype(int) + member) % len(self.years)
                gains = self.gains[row, slot(days)]
            else:
                gains = np.full((1, self.longest), self.gains)
            total = np.cumsum(gains, axis=1)
            left = self.draws - self._gained_as_seedling(self.seedling + waited - held)
            reached = np.array([np.searchsorted(row, left * (1 - 1e-12)) for row in total])
            dates = np.where(
                reached < self.longest, transplant + np.where(left <= 0, 0, reached + 1) * ONE_DAY, never
            )
        if ends is not None:
            dates = np.where(dates < ends.cold[:, None], dates, never)
        return dates.ravel()

    def _gained_as_seedling(self, raised: int) -> float:
        emergence, phase = self.crop.emergence_days, self.crop.thermal_phase
        days = {
            "transplant": 0,
            "sowing": raised,
            "emergence": raised - (0 if emergence is None else emergence.m_as("day")),
        }[phase or "transplant"]
        return float(max(days, 0) * daily_thermal_time(self.crop, self.room, self.room))

    def schedule(self, sow: Any, decided: bool = False) -> Schedule:
        """The dates of a sowing; where they are ``decided``, what speaks against them is said and refuses nothing."""
        ready = sow + self.seedling * ONE_DAY
        transplant = ready if decided else self.transplant(sow)
        against = self.open_air.say_planted(transplant) if decided and self.outdoors else []
        last_day = transplant + self.longest * ONE_DAY
        ends = self._ends(transplant)
        outcomes = np.sort(self._outcomes(sow, transplant, ends))
        come = outcomes[outcomes <= last_day]
        if 2 * come.size <= outcomes.size:
            never = self._say_never(sow, last_day, ends)
            if decided:
                against.append(f"Not advised: {never} The dates are those of a sheltered tank.")
                outcomes = np.sort(self._outcomes(sow, transplant, None))
                come = outcomes[outcomes <= last_day]
            if 2 * come.size <= outcomes.size:
                raise Problem(never)
        middle, late = come[(come.size - 1) // 2], come[-1]
        weeks = self.crop.harvest_weeks
        harvest = (0 if weeks is None else round(weeks.m_as("day"))) * ONE_DAY
        end = late + harvest if self.crop.cut == "once" else max(middle + harvest, late)
        reasons, frost_share = [*against, *self.reasons], None
        if ends is not None:
            refused, doubtful = self.open_air.objections(transplant, middle)
            if refused and not decided:
                raise Problem(f"Not then: {refused[0]}")
            reasons += [*(f"Not advised: {each}" for each in refused), *doubtful]
            if transplant > ready:
                reasons.append(
                    f"Ready on {ready}, the seedlings wait indoors until {transplant}, when "
                    f"nights of {said(Q(self.open_air.night, 'degC'))} are usual and cold is unlikely. Sow later for "
                    "younger plants."
                )
            if ends.usual_cold <= min(end, ends.cool):
                end = end if against else max(ends.usual_cold - ONE_DAY, middle)
                reasons.append(
                    f"Cold: the air falls to {self._deadly()}, which kills this crop, by {ends.usual_cold} in half of "
                    "the years; the harvest ends there."
                )
            elif ends.cool <= end:
                end = end if against else max(ends.cool, middle)
                reasons.append(f"Cool: from about {ends.cool} it is too cool here for this crop to come on.")
            frosts = int((ends.cold <= end).sum())
            frost_share = frosts / len(self.years)
            if frosts:
                reasons.append(
                    f"Frost: in {frosts} of {len(self.years)} years of the record the air fell to {self._deadly()} or "
                    "below between transplant and the end, which kills this crop. Shelter the tank on such nights, or "
                    "take other dates."
                )
        return Schedule(
            self.crop,
            sow.item(),
            transplant.item(),
            Window(outcomes[0].item(), middle.item(), late.item()),
            end.item(),
            tuple(reasons),
            outcomes,
            self.outdoors,
            frost_share,
        )

    def _deadly(self) -> str:
        return said(Q(self.open_air.kills_at, "degC"))

    def _say_never(self, sow: Any, last_day: Any, ends: Ends | None) -> str:
        start = f"Sown on {sow}, {self.crop.spoken} comes to no {self.crop.event} before"
        elsewhere = "Sow earlier, or keep the tank in a room and give temperature=."
        if ends is not None and ends.usual_cold <= min(ends.cool, last_day):
            return (
                f"{start} the cold: half of the years of this record have {self._deadly()}, which kills it, by "
                f"{ends.usual_cold}. {elsewhere}"
            )
        if ends is not None and not self.by_heat:
            return f"{start} it grows too cool for it, from about {ends.cool}. {elsewhere}"
        return (
            f"Sown on {sow}, {self.crop.name} does not gather its warmth within {self.longest} days in every "
            "year of this record. The site is too cold for it; give temperature= for a tank in a warm room."
        )

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
    good = _latest_in_time(clock, wanted, share)
    if good is None:
        raise Problem(
            f"No sowing in the {clock.longest} days before {wanted} brings {clock.crop.name} to its {clock.crop.event} "
            f"by then with a chance of {share:g} at this site."
        )
    found = clock.schedule(good)
    if found.end < wanted.item():
        raise Problem(
            f"No sowing has {clock.crop.spoken} in its {clock.crop.event} by {wanted} with a chance of "
            f"{share:g} here and not over: sown on {found.sow}, it is gone by {found.end}. "
            f"{_say_next(clock, good, wanted)}"
        )
    reached = found.chance_by(wanted)
    reason = (
        f"Latest sowing of which {100 * share:.0f} percent of the outcomes are in time for {wanted}; "
        f"{100 * reached:.0f} percent are."
    )
    return dataclasses.replace(found, reasons=(reason, *found.reasons))


def _latest_in_time(clock: Clock, wanted: Any, share: float) -> Any:
    """The latest sowing of which such a share is in time, or None; winters part one run of sowings from the next."""

    def in_time(day: Any) -> bool:
        try:
            return bool(np.mean(clock.outcomes(day) <= wanted) >= share - 1e-12)
        except Problem:  # nothing is planted then
            return False

    step = int(number("calendar", "search", "step", "day"))
    bad = wanted + ONE_DAY
    for good in wanted - np.arange(0, clock.longest, step) * ONE_DAY:
        if in_time(good):
            break
        bad = good
    else:
        return None
    while bad - good > ONE_DAY:  # within a run, a later sowing is never earlier in flower
        middle = good + (bad - good) // 2
        good, bad = (middle, bad) if in_time(middle) else (good, middle)
    return good


def _say_next(clock: Clock, good: Any, wanted: Any) -> str:
    """When the next sowing flowers."""
    for days in range(1, 367, 3):
        with contextlib.suppress(Problem):
            later = clock.schedule(good + days * ONE_DAY)
            if later.first_flower.expected > wanted.item():
                flower = later.first_flower.expected
                return f"The next sowing, on {later.sow}, has its {clock.crop.event} about {flower}."
    return "Keep the tank in a room, and give temperature=."


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
