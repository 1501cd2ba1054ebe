"""What the open air does to a plan: nights that keep plants indoors, cold that ends it, days too short, long or hot."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.sky import ONE_DAY, day_length, slot
from stilltank.tables import number
from stilltank.units import Problem, Q, Quantity, said

_A_YEAR = np.arange("2024-01-01", "2025-01-01", dtype="datetime64[D]")  # a leap year
YEAR = _A_YEAR.size
_CLASS = "half-hardy"  # where a crop has no class of its own


def _limit(own: Quantity | None, table: str, crop: Crop) -> float:
    """A temperature in degC that a crop bears: its own, or that of its class."""
    return (
        number("calendar", table, crop.hardiness or _CLASS, "degC")
        if own is None
        else float(own.m_as("degC"))
    )


@dataclass(frozen=True, eq=False)
class Ends:
    """What ends a crop planted on a day; far in the future where nothing does."""

    cold: Any
    """Day of the first killing cold, for each year of the record."""
    cool: Any
    """The first day that is too cool for the crop to come on, for each year."""

    @property
    def usual_cold(self) -> Any:
        """The day by which half of the years have had their killing cold."""
        return _half(self.cold)

    @property
    def usual_cool(self) -> Any:
        """The day by which half of the years are too cool."""
        return _half(self.cool)


class Outdoors:
    """The years of a record as [year, day of a leap year], and what a crop bears of them."""

    def __init__(self, crop: Crop, lows: Any, highs: Any, years: Sequence[int], latitude: Any):
        self.crop, self.lows, self.highs, self.years = crop, lows, highs, years
        self.latitude = latitude
        self.kills_at = _limit(crop.killing_cold, "killing cold", crop)
        self.night = _limit(crop.planting_night, "planting out", crop)
        self.mean = (lows + highs).mean(axis=0) / 2
        reach = int(number("calendar", "planting out", "nights", "day"))
        warm = _smooth(lows.mean(axis=0), reach) >= self.night
        self._bears = warm & (self._risk() <= number("calendar", "planting out", "risk", "1"))
        self._stops = _limit(crop.coldest_mean, "growth stops", crop)
        self._around = _smooth((lows + highs) / 2, reach)

    @property
    def deadly(self) -> str:
        """The air temperature that kills the crop, in words."""
        return said(Q(self.kills_at, "degC"))

    def _risk(self) -> Any:
        """For each day of the year, the share of years with a killing cold soon after it."""
        soon = int(number("calendar", "planting out", "soon", "day"))
        ahead = (np.arange(YEAR)[:, None] + np.arange(soon)) % YEAR
        return (self.lows[:, ahead] <= self.kills_at).any(axis=2).mean(axis=0)

    def planted_out(self, ready: Any) -> Any:
        """The first day from ``ready`` on whose nights the crop bears, with little risk of a killing cold soon.

        Raises Problem where the seedlings would have to wait too long.
        """
        longest = int(number("calendar", "planting out", "longest wait", "day"))
        ahead = ready + np.arange(longest + 1) * ONE_DAY
        good = self._bears[slot(ahead)]
        if good.any():
            return ahead[good.argmax()]
        raise Problem(
            f"Not then: {self.crop.spoken}, ready on {ready}, {self._waits()} Sow so that the seedlings are ready by "
            "then, or keep the tank in a room and give temperature=."
        )

    def say_planted(self, planted: Any) -> list[str]:
        """What speaks against planting on a day that is already decided."""
        return [] if self._bears[slot(planted)] else [f"Not advised: {self.crop.spoken} {self._waits()}"]

    def _waits(self) -> str:
        span = _span(self._bears)
        when = f"Here these come {span}." if span else "This place has none."
        if self._bears.all():
            when = "This place has them all year."
        return f"waits for nights of {said(Q(self.night, 'degC'))} and little risk of cold. {when}"

    def ends(self, planted: Any) -> Ends:
        """What ends a crop that is planted on a day, within a year of it."""
        days = planted + np.arange(YEAR) * ONE_DAY
        never = planted + 100 * YEAR * ONE_DAY
        cold = along(days, self.lows) <= self.kills_at
        usual = self._around.mean(axis=0)[slot(days)] < self._stops
        usual &= np.maximum.accumulate(~usual)  # a cool spring comes before the growth, not after it
        autumn = np.flatnonzero(usual)[:1] - int(
            number("calendar", "growth stops", "earlier than usual", "day")
        )
        cool = (along(days, self._around) < self._stops) & (
            np.arange(YEAR) >= (autumn.item() if autumn.size else YEAR)
        )
        return Ends(*(np.where(one.any(axis=1), days[one.argmax(axis=1)], never) for one in (cold, cool)))

    def hot(self, day: Any) -> Any:
        """For each year, the first day from one on that ends a fortnight too warm for the crop; else far away."""
        ahead = day + np.arange(YEAR) * ONE_DAY
        never = day + 100 * YEAR * ONE_DAY
        if self.crop.warmest_mean is None:
            return np.full(len(self.years), never)
        warm = along(ahead, self._fortnights) > self.crop.warmest_mean.m_as("degC")
        return np.where(warm.any(axis=1), ahead[warm.argmax(axis=1)], never)

    @cached_property
    def _fortnights(self) -> Any:
        """The mean of the fortnight that ends on each day, [year, day]; each year follows itself."""
        reach = range(int(number("calendar", "heat", "fortnight", "day")))
        return np.mean([np.roll((self.lows + self.highs) / 2, shift, axis=1) for shift in reach], axis=0)

    def objections(self, planted: Any, flower: Any) -> tuple[list[str], list[str]]:
        """What no kind of the crop bears of the days and the heat, and what only some kinds bear."""
        refused, doubtful = self._too_hot(planted, flower)
        return [*self._wrong_days(planted, flower), *refused], doubtful

    def _wrong_days(self, planted: Any, flower: Any) -> Iterator[str]:
        crop = self.crop
        flowers, grows = f"Its {crop.event} would come on {flower}", f"It would be planted on {planted}"
        for limit, day, longer, why in (
            (crop.shortest_day, flower, True, flowers),
            (crop.shortest_day_to_plant, planted, True, grows),
            (crop.longest_day_to_plant, planted, False, grows),
        ):
            if limit is None:
                continue
            hours, found = float(limit.m_as("hour")), self._hours(day)
            if found < hours if longer else found > hours:
                length = self._hours(_A_YEAR)
                good = length >= hours if longer else length <= hours
                span = _span(good)
                when = f"Here the days are so {span}." if span else "This place never has such days."
                yield (
                    f"{crop.spoken} needs days {'longer' if longer else 'shorter'} than {hours:g} hours. "
                    f"{why}, when they have {found:.1f}. {when}"
                )

    def _hours(self, days: Any) -> Any:
        return day_length(self.latitude, days).m_as("hour")

    def _too_hot(self, planted: Any, flower: Any) -> tuple[list[str], list[str]]:
        crop = self.crop
        fortnight = np.arange(int(number("calendar", "heat", "fortnight", "day"))) * ONE_DAY
        before = flower - ONE_DAY - fortnight
        refused, doubtful = [], []
        for days, usual, highest, when in (
            (planted + fortnight, crop.warmest_mean_to_bud, crop.warmest_mean_to_bud_high, "after planting"),
            (before, crop.warmest_mean, crop.warmest_mean_high, f"before the {crop.event}"),
        ):
            if usual is None:
                continue
            warm = Q(round(float(self.mean[slot(days)].mean()), 1), "degC")
            most = usual if highest is None else highest
            sentence = f"the fortnight {when} has a mean of {said(warm)}"
            if warm > most:
                refused.append(
                    f"{crop.spoken} would have its {crop.event} on {flower}, and {sentence}. It wants at "
                    f"most {said(usual)}, kinds for warmth {said(most)}. Sow for spring or autumn."
                )
            elif warm > usual:
                doubtful.append(
                    f"Heat: {sentence}; a good crop wants {said(usual)} or less. Take a kind for warmth, or expect "
                    "short stems, few flowers or early seed."
                )
        return refused, doubtful


def along(days: Any, table: Any) -> Any:
    """What a table of [year, day] holds on some days, [member, day]; each member begins in a year of its own.

    Every member runs through the record in its own turn; New Year leads to the next year of it.
    """
    member = np.arange(len(table))[:, None]
    row = (days.astype("datetime64[Y]").astype(int) + member) % len(table)
    return table[row, slot(days)]


def _half(days: Any) -> Any:
    """The day by which half of the years have come to it."""
    return np.sort(days)[(days.size - 1) // 2]


def _smooth(values: Any, reach: int) -> Any:
    """The running mean over so many days to either side, around the year."""
    return np.mean([np.roll(values, shift, axis=-1) for shift in range(-reach, reach + 1)], axis=0)


def _span(good: Any) -> str:
    """The longest run of good days of a leap year, in words; empty where there is none, or no end to it."""
    starts = np.flatnonzero(good & ~np.roll(good, 1))
    if not starts.size:
        return ""
    ends = np.flatnonzero(good & ~np.roll(good, -1))
    long = [int(((ends - start) % YEAR).min()) for start in starts]
    first = starts[int(np.argmax(long))]
    return f"from about {_words(first)} to {_words((first + max(long)) % YEAR)}"


def _words(place: int) -> str:
    when = _A_YEAR[place].item()
    return f"{when.day} {when:%B}"
