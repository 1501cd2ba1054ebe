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

from ._outdoors import YEAR, Ends, Outdoors
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
            self.reasons.append(f"Pinched. {said_of_pinch(self.crop)}")
        elif self.crop.pinch == "yes" and self.crop.pinch_delay is not None:
            self.reasons.append(
                f"These dates are without a pinch. {said_of_pinch(self.crop)}".replace("It", "Pinched, it")
            )
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
        if self.outdoors:
            # every member runs through the record in its own turn; New Year leads to the next year of it
            member = np.arange(len(self.years))[:, None]
            row = (days.astype("datetime64[Y]").astype(int) + member) % len(self.years)
            gains = self.gains[row, slot(days)]
        else:
            gains = np.full((1, self.longest), self.gains)
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
        harvest, why = self._harvest(flowers, None if sheltered else ends)
        reasons.append(why)
        if until is not None:
            harvest, why = _own_end(until, transplant, flowers, harvest)
            reasons.append(why)
        if ends is not None:
            killed = ends.cold <= np.datetime64(harvest.expected)
            frost_share = float(killed.mean())
            if frost_share and not why.startswith("Cold"):
                reasons.append(
                    f"Frost: in {killed.sum()} of {len(self.years)} years of the record the air fell to "
                    f"{self._deadly()} or below between transplant and the end, which kills this crop. Shelter the "
                    "tank on such nights, or take other dates."
                )
        return Schedule(
            self.crop,
            sow.item(),
            transplant.item(),
            flowers,
            harvest,
            tuple(reasons),
            outcomes,
            self.outdoors,
            frost_share,
        )

    def _harvest(self, flowers: Window, ends: Ends | None) -> tuple[Window, str]:
        """When the harvest ends, and the sentence that says why then."""
        crop = self.crop
        leaves = crop.use != "flower" and crop.cut == "once"
        first = np.datetime64(flowers.expected if leaves else flowers.late)
        short, usual, long = (
            round(days) * ONE_DAY
            for days in (
                (0.0, 0.0, 0.0) if crop.harvest_weeks is None else three(crop, "harvest_weeks", "day")
            )
        )
        by_weeks = first + short, first + usual, max(np.datetime64(flowers.late), first) + long
        weeks = (
            f"It is cut for about {usual / (7 * ONE_DAY):.2g} weeks after the "
            f"{'expected' if leaves else 'late'} {crop.event}."
        )
        if crop.cut == "once":
            weeks = f"It is cut once, and cleared by {by_weeks[1]}."
        if ends is None:
            return _window(*by_weeks), weeks
        ends_by = []
        for flower, least in (
            (np.datetime64(flowers.early), short),
            (first, short),
            (np.datetime64(flowers.late), usual),
        ):
            lives = ends.cold > flower  # where the cold came first there was no harvest to end
            if not lives.any():
                lives |= True
            causes = [ends.cold[lives] - ONE_DAY, ends.cool[lives], self.open_air.hot(flower + least)[lives]]
            ends_by.append(
                (
                    np.maximum(np.min(causes, axis=0), np.datetime64(flowers.expected)),
                    np.argmin(causes, axis=0),
                )
            )
        lasts, causes = ends_by[1]
        member = np.argsort(lasts)[(lasts.size - 1) // 2]
        early, middle, late = ends_by[0][0].min(), lasts[member], ends_by[2][0].max()
        goes_on = crop.cut == "again" and crop.harvest_until != "weeks" and middle < first + YEAR * ONE_DAY
        if not goes_on and by_weeks[1] <= middle:
            return _window(min(by_weeks[0], early), by_weeks[1], min(by_weeks[2], late)), weeks
        if not goes_on:
            early, late = min(by_weeks[0], early), max(min(by_weeks[2], late), middle)
        why = (
            f"Cold: the air falls to {self._deadly()}, which kills this crop, by {middle + ONE_DAY} in half of the "
            "years; the harvest ends there.",
            f"Cool: from about {middle} it is too cool here for this crop to come on; the harvest ends there.",
            f"Heat: from about {middle} a fortnight has a mean above {_warmest(crop)}; the harvest ends there.",
        )[causes[member]]
        return _window(early, middle, late), why

    def _deadly(self) -> str:
        return said(Q(self.open_air.kills_at, "degC"))

    def _say_never(self, sow: Any, last_day: Any, ends: Ends | None) -> str:
        start = f"Sown on {sow}, {self.crop.spoken} comes to no {self.crop.event} before"
        elsewhere = "Sow earlier, or keep the tank in a room and give temperature=."
        if ends is not None and ends.usual_cold <= min(ends.usual_cool, last_day):
            return (
                f"{start} the cold: half of the years of this record have {self._deadly()}, which kills it, by "
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
        self.reasons.append(
            _say_packet(crop)
            if crop.packet_days is not None
            else f"Measured with {crop.species}; other kinds differ by about a fifth, and the range takes them in. The "
            "days on your seed packet narrow it."
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


def _say_packet(crop: Any) -> str:
    return f"Your packet says {crop.packet_days.m_as('day'):g} days from {crop.packet_phase}."


def _window(early: Any, expected: Any, late: Any) -> Window:
    return Window(min(early, expected).item(), expected.item(), max(expected, late).item())


def _warmest(crop: Any) -> str:
    return "any limit" if crop.warmest_mean is None else said(crop.warmest_mean)


def _own_end(until: Any, transplant: Any, flowers: Window, harvest: Window) -> tuple[Window, str]:
    """The end that somebody chose, and what it costs."""
    day = until.item()
    if until <= transplant:
        raise Problem(f"The plants go into the tank on {transplant}; an end on {day} is not after that.")
    chosen = Window(day, day, day)
    if day < flowers.late:
        return chosen, f"Your own end, {day}, comes before the late plants are ready, about {flowers.late}."
    if day > harvest.late:
        return chosen, f"Your own end, {day}; the harvest itself is over about {harvest.expected}."
    return chosen, f"Your own end, {day}; the harvest would go on until about {harvest.expected}."


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
        start = f"No sowing has {clock.crop.spoken} in its {clock.crop.event} by {wanted} with a chance of {share:g} here"
        best = _best_of_the_season(clock, wanted)
        if best is not None and best.chance_by(wanted) < share - 1e-12:
            raise Problem(
                f"{start}: the best, on {best.sow}, has {best.chance_by(wanted):.3g}. Ask for less, or for a later day."
            )
        if best is None:
            raise Problem(
                f"{start} and not over: sown on {found.sow}, it is gone by {found.end}. "
                f"{_say_next(clock, good, wanted)}"
            )
        found = best
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


def _best_of_the_season(clock: Clock, wanted: Any) -> Schedule | None:
    """The sowing of the year before that is likeliest in flower by a day and not over by then; None where none can be."""
    best, most = None, 0.0
    for days in range(1, 367, 3):
        with contextlib.suppress(Problem):
            one = clock.schedule(wanted - days * ONE_DAY)
            if one.end >= wanted.item() and (chance := one.chance_by(wanted)) > most:
                best, most = one, chance
    return best


def _say_next(clock: Clock, good: Any, wanted: Any) -> str:
    """When the next sowing flowers."""
    for days in range(1, 367, 3):
        with contextlib.suppress(Problem):
            later = clock.schedule(good + days * ONE_DAY)
            if later.first_flower.expected > wanted.item():
                flower = later.first_flower.expected
                return f"The next sowing, on {later.sow}, has its {clock.crop.event} about {flower}."
    return "Keep the tank in a room, and give temperature=."


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
