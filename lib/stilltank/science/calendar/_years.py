"""The years of a weather record run side by side until a crop has its warmth."""

from typing import Any

import numpy as np

from stilltank.science import crops, heat, weather
from stilltank.science.heat import daily_thermal_time
from stilltank.science.sky import ONE_DAY, slot
from stilltank.tables import load, number
from stilltank.units import Problem, Q, said, within

from ._harvest import harvest, own_end
from ._outdoors import Ends, Outdoors, along
from .dates import Schedule, Window, said_of_pinch, three

_DRAWS = 21  # evenly likely steps through a crop's own range; odd, so that the middle one is the value itself


class Clock:
    """Adds up what a crop gains at a site, warmth or days, for all years of the weather record at once."""

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
        warmth = self.room if temperature is None else temperature
        low, high = (self.lows, self.highs) if self.outdoors else (warmth, warmth)
        self.gains = daily_thermal_time(self.crop, low, high) if self.by_heat else self._growth(low, high)
        say = self._say_heat if self.by_heat else self._say_days
        say(None if self.outdoors else warmth)
        if self.crop.pinched:
            self.reasons.append(f"Pinched. {said_of_pinch(self.crop, 'It')}")
        elif self.crop.pinch == "yes" and self.crop.pinch_delay is not None:
            self.reasons.append(f"These dates are without a pinch. {said_of_pinch(self.crop, 'Pinched, it')}")
        if self.crop.photoperiod:
            self.reasons.append(f"Day length: {self.crop.photoperiod}; it does not move these dates.")
        self.reasons.append(
            "The chance counts the years of weather and the range of this crop. Seed that does not come up, pests and "
            "weak light are not in it."
        )

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
        """The crop's own range, in degC day or days, and the days that a pinch costs; as likely below as above."""
        own = _warmth_range(self.crop) if self.by_heat else _days_range(self.crop)
        self.draws = np.interp(np.linspace(0, 1, _DRAWS), [0, 0.5, 1], own)
        self.delays = np.zeros(1)
        if self.crop.pinched:
            self.delays = np.interp(
                [1 / 6, 1 / 2, 5 / 6], [0, 0.5, 1], three(self.crop, "pinch_delay", "day")
            )

    def _growth(self, low: Any, high: Any) -> Any:
        """The part of a day that counts, of a crop whose days are known for the warmth of the seedlings."""
        slower = number("calendar", "days", "slower each degree", "1/delta_degC")
        return np.clip(1 - slower * (self.room - (low + high) / 2), 0, 1)

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
        days = transplant + np.arange(self.longest) * ONE_DAY
        gains = along(days, self.gains) if self.outdoors else np.full((1, self.longest), self.gains)
        total = np.cumsum(gains, axis=1)
        waited = int((transplant - sow) // ONE_DAY) - self.seedling
        held = round(number("calendar", "planting out", "held back", "1") * waited)
        left = self.draws - self._gained_as_seedling(self.seedling + waited - held)
        reached = np.array([np.searchsorted(row, left * (1 - 1e-12)) for row in total])
        there = reached < self.longest
        takes = np.where(left <= 0, 0, reached + 1)[..., None] + np.ceil(self.delays).astype(int)
        dates = np.where(there[..., None], transplant + takes * ONE_DAY, never)
        if ends is not None:
            alive = dates < ends.cold[:, None, None]
            if not self.by_heat:
                alive &= dates < ends.cool[:, None, None]
            dates = np.where(alive, dates, never)
        return dates.ravel()

    def _gained_as_seedling(self, raised: int) -> float:
        emergence = self.crop.emergence_days
        phase = (self.crop.thermal_phase if self.by_heat else self.crop.days_phase) or "transplant"
        days = {
            "transplant": 0,
            "sowing": raised,
            "emergence": raised - (0 if emergence is None else emergence.m_as("day")),
        }[phase]
        a_day = daily_thermal_time(self.crop, self.room, self.room) if self.by_heat else 1
        return float(max(days, 0) * a_day)

    def schedule(self, sow: Any, decided: bool = False, until: Any = None) -> Schedule:
        """The dates of a sowing; where they are ``decided``, what speaks against them is said and refuses nothing."""
        ready = sow + self.seedling * ONE_DAY
        transplant = ready if decided else self.transplant(sow)
        against = self.open_air.say_planted(transplant) if decided and self.outdoors else []
        last_day = transplant + self.longest * ONE_DAY
        ends = self._ends(transplant)
        sheltered = ends is None
        outcomes = np.sort(self._outcomes(sow, transplant, ends))
        come = outcomes[outcomes <= last_day]
        share_reached = come.size / outcomes.size
        if 2 * come.size <= outcomes.size:
            never = self._say_never(sow, last_day, ends)
            if decided:
                against.append(f"Not advised: {never} The dates are those of a sheltered tank.")
                outcomes = np.sort(self._outcomes(sow, transplant, None))
                come = outcomes[outcomes <= last_day]
                sheltered = True
            if 2 * come.size <= outcomes.size:
                raise Problem(never)
        flowers = Window(outcomes[0].item(), come[(come.size - 1) // 2].item(), come[-1].item())
        reasons, frost_share = [*against, *self.reasons], None
        if ends is not None:
            refused, doubtful = self.open_air.objections(transplant, np.datetime64(flowers.expected))
            if refused and not decided:
                raise Problem(f"Not then: {refused[0]}")
            reasons += [*(f"Not advised: {each}" for each in refused), *doubtful]
            if transplant > ready:
                reasons.append(
                    f"Ready on {ready}, the seedlings wait indoors until {transplant}, when "
                    f"nights of {said(Q(self.open_air.night, 'degC'))} are usual and cold is unlikely. Sow later for "
                    "younger plants."
                )
        ending, why, by_cold = harvest(
            self.crop, flowers, None if sheltered else ends, self.open_air if self.outdoors else None
        )
        reasons.append(why)
        if until is not None:
            ending, why = own_end(until, transplant, flowers, ending)
            reasons.append(why)
            by_cold = False
        if ends is not None:
            killed = ends.cold <= np.datetime64(ending.expected)
            frost_share = float(killed.mean())
            if frost_share and not by_cold:
                reasons.append(
                    f"Frost: in {killed.sum()} of {len(self.years)} years of the record the air fell to "
                    f"{self.open_air.deadly} or below between transplant and the end, which kills this crop. Shelter "
                    "the tank on such nights, or take other dates."
                )
        return Schedule(
            self.crop,
            sow.item(),
            transplant.item(),
            flowers,
            ending,
            tuple(reasons),
            outcomes,
            self.outdoors,
            frost_share,
            share_reached,
        )

    def _say_never(self, sow: Any, last_day: Any, ends: Ends | None) -> str:
        start = f"Sown on {sow}, {self.crop.spoken} comes to no {self.crop.event} before"
        elsewhere = "Sow earlier, or keep the tank in a room and give temperature=."
        if ends is not None and ends.usual_cold <= min(ends.usual_cool, last_day):
            return (
                f"{start} the cold: half of the years of this record have {self.open_air.deadly}, which kills it, by "
                f"{ends.usual_cold}. {elsewhere}"
            )
        if ends is not None and not self.by_heat:
            return f"{start} it grows too cool for it, from about {ends.usual_cool}. {elsewhere}"
        return (
            f"Sown on {sow}, {self.crop.name} does not gather its warmth within {self.longest} days in every "
            "year of this record. The site is too cold for it; give temperature= for a tank in a warm room."
        )

    def _say_heat(self, constant: float | None) -> None:
        crop = self.crop
        low, middle, high = _warmth_range(crop)
        base: Any = crop.base_temperature
        self.reasons.append(
            f"{crop.label} needs {middle:.0f} degree-days ({low:.0f} to {high:.0f}) above "
            f"{base.m_as('degC'):g} degC from {crop.thermal_phase} to first flower, "
            f"counted with the {crop.thermal_method} method."
        )
        self.reasons.append(_say_kind(crop) if crop.packet_days is None else _say_packet(crop))
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

    def _say_days(self, constant: float | None) -> None:
        low, mode, high = _days_range(self.crop)
        slower = number("calendar", "days", "slower each degree", "1/delta_degC")
        taken = f"{mode:.0f} days ({low:.0f} to {high:.0f}) from {self.crop.days_phase} to {self.crop.event}"
        self.reasons.append(
            f"{_say_packet(self.crop)} {taken} are taken."
            if self.crop.packet_days is not None
            else f"No thermal time is published for {self.crop.name}: {taken} are taken."
        )
        self.reasons.append(
            f"They hold at {self.room:g} degC; in the tank each degree less adds about {100 * slower:.0f} percent, "
            "which is an assumption."
        )
        if constant is not None:
            self.reasons.append(f"A constant {constant:g} degC in the room.")


def _say_kind(crop: Any) -> str:
    """Whose numbers these are: of the kind that was measured, or what growers remember."""
    entry = load("crops").get((crop.name, "thermal time"))
    measured = entry is not None and entry.kind in ("published", "computed")
    whose = (
        f"Measured with {crop.species}."
        if measured and crop.species
        else "Remembered by growers, not measured."
    )
    return f"{whose} Kinds differ by about a fifth, which the range takes in. The days on your seed packet narrow it."


def _say_packet(crop: Any) -> str:
    return f"Your packet says {crop.packet_days.m_as('day'):g} days from {crop.packet_phase}."


def _warmth_range(crop: Any) -> tuple[float, float, float]:
    """The thermal time of the kind that was measured; without a packet the range is as wide as kinds differ."""
    low, middle, high = heat.thermal_time_range(crop)
    if crop.packet_days is None:
        spread = number("calendar", "cultivars", "spread", "1")
        low, high = min(low, middle * (1 - spread)), max(high, middle * (1 + spread))
    return low, middle, high


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
