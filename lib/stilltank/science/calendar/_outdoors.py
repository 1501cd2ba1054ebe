"""What the open air does to a plan: nights that keep plants indoors, cold that ends it, days too short, long or hot."""

from collections.abc import Sequence
from typing import Any

import numpy as np

from stilltank.science.crops import Crop
from stilltank.science.sky import ONE_DAY, day_length, slot
from stilltank.tables import number
from stilltank.units import Problem, Q, said

YEAR = 366  # places in a leap year
_CLASS = "half-hardy"  # where a crop has no class of its own


def killing_cold(crop: Crop) -> float:
    """The air temperature in degC that kills a crop: its own, or that of its class."""
    if crop.killing_cold is not None:
        return float(crop.killing_cold.m_as("degC"))
    return number("calendar", "killing cold", crop.hardiness or _CLASS, "degC")


def planting_night(crop: Crop) -> float:
    """The coldest nights, in degC, into which a crop is planted out: its own, or those of its class."""
    if crop.planting_night is not None:
        return float(crop.planting_night.m_as("degC"))
    return number("calendar", "planting out", crop.hardiness or _CLASS, "degC")


def coldest_mean(crop: Crop) -> float:
    """The mean temperature in degC below which a crop no longer comes on: its own, or that of its class."""
    if crop.coldest_mean is not None:
        return float(crop.coldest_mean.m_as("degC"))
    return number("calendar", "growth stops", crop.hardiness or _CLASS, "degC")


class Outdoors:
    """The years of a record as [year, day of a leap year], and what a crop bears of them."""

    def __init__(self, crop: Crop, lows: Any, highs: Any, years: Sequence[int], latitude: Any):
        self.crop, self.lows, self.highs, self.years = crop, lows, highs, years
        self.latitude = latitude
        self.kills_at, self.night = killing_cold(crop), planting_night(crop)
        self.mean = (lows + highs).mean(axis=0) / 2
        self.nights = _smooth(lows.mean(axis=0), int(number("calendar", "planting out", "nights", "day")))
        self._bears = (self.nights >= self.night) & (
            self._risk() <= number("calendar", "planting out", "risk", "1")
        )
        self.grows = _smooth(
            self.mean, int(number("calendar", "planting out", "nights", "day"))
        ) >= coldest_mean(crop)

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
            f"Not then: {self.crop.label.lower()}, ready on {ready}, waits for nights of "
            f"{said(Q(self.night, 'degC'))} and little risk of cold. {self._said_nights()} Sow so that the "
            "seedlings are ready by then, or keep the tank in a room and give temperature=."
        )

    def say_planted(self, planted: Any) -> list[str]:
        """What speaks against planting on a day that is already decided."""
        if self._bears[slot(planted)]:
            return []
        return [
            f"Not advised: {self.crop.label.lower()} waits for nights of {said(Q(self.night, 'degC'))} and little risk "
            f"of cold. {self._said_nights()}"
        ]

    def _said_nights(self) -> str:
        if not self._bears.any():
            return "This place has none."
        if self._bears.all():
            return "This place has them all year."
        starts = np.flatnonzero(self._bears & ~np.roll(self._bears, 1))
        ends = np.flatnonzero(self._bears & ~np.roll(self._bears, -1))
        long = [int(((ends - start) % YEAR).min()) for start in starts]
        best = int(np.argmax(long))
        first, last = starts[best], (starts[best] + long[best]) % YEAR
        return f"Here these come from about {_month_day(first)} to {_month_day(last)}."

    def growth_stops(self, planted: Any, count: int) -> Any:
        """The first day from ``planted`` on that is too cool for a crop to come on, or far in the future."""
        days = planted + np.arange(count) * ONE_DAY
        cool = ~self.grows[slot(days)]
        cool &= np.maximum.accumulate(~cool)  # a cool spring comes before the growth, not after it
        return days[cool.argmax()] if cool.any() else planted + 100 * count * ONE_DAY

    def killed(self, planted: Any, count: int) -> Any:
        """Day of the first killing cold from ``planted`` on for each year of the record, or far in the future."""
        days = planted + np.arange(count) * ONE_DAY
        member = np.arange(len(self.years))[:, None]
        row = (days.astype("datetime64[Y]").astype(int) + member) % len(self.years)
        cold = self.lows[row, slot(days)] <= self.kills_at
        return np.where(cold.any(axis=1), days[cold.argmax(axis=1)], planted + 100 * count * ONE_DAY)

    def check_days(self, planted: Any, flower: Any) -> None:
        """Refuse dates on which the days are too short or too long for the crop.

        Raises Problem; the sentence says when the days are right.
        """
        crop = self.crop
        for limit, day, short, why in (
            (crop.shortest_day, flower, True, f"Its {crop.event} would come on {flower}"),
            (crop.shortest_day_to_plant, planted, True, f"It would be planted on {planted}"),
            (crop.longest_day_to_plant, planted, False, f"It would be planted on {planted}"),
        ):
            if limit is None:
                continue
            hours = float(limit.m_as("hour"))
            found = self._hours(day)
            if found < hours if short else found > hours:
                what = "longer" if short else "shorter"
                raise Problem(
                    f"Not then: {crop.label.lower()} needs days {what} than {hours:g} hours. {why}, when they have "
                    f"{found:.1f}. {self._said_days(hours, short)}"
                )

    def _hours(self, day: Any) -> float:
        return float(day_length(self.latitude, day).m_as("hour"))

    def _said_days(self, hours: float, short: bool) -> str:
        days = np.arange("2024-01-01", "2025-01-01", dtype="datetime64[D]")
        length = day_length(self.latitude, days).m_as("hour")
        good = length >= hours if short else length <= hours
        if not good.any():
            return "This place never has such days."
        if good.all():
            return "This place always has such days."
        first = days[np.flatnonzero(good & ~np.roll(good, 1))[0]]
        last = days[np.flatnonzero(good & ~np.roll(good, -1))[-1 if short else 0]]
        return f"Here the days are so from about {_words(first)} to {_words(last)}."

    def check_heat(self, planted: Any, flower: Any) -> list[str]:
        """Refuse a harvest in heat that no kind of the crop bears; say where only some kinds do."""
        crop = self.crop
        count = int(number("calendar", "heat", "fortnight", "day"))
        fortnight = np.arange(count) * ONE_DAY
        found = []
        for days, usual, most, when in (
            (planted + fortnight, crop.warmest_mean_to_bud, crop.warmest_mean_to_bud_high, "after planting"),
            (
                flower - ONE_DAY - fortnight,
                crop.warmest_mean,
                crop.warmest_mean_high,
                f"before the {crop.event}",
            ),
        ):
            if usual is None:
                continue
            warm, most = (
                Q(round(float(self.mean[slot(days)].mean()), 1), "degC"),
                usual if most is None else most,
            )
            sentence = f"the fortnight {when} has a mean of {said(warm)}"
            if warm > most:
                raise Problem(
                    f"Not then: {crop.label.lower()} would have its {crop.event} on {flower}, and {sentence}. It wants "
                    f"at most {said(usual)}, kinds for warmth {said(most)}. Sow for spring or autumn."
                )
            if warm > usual:
                found.append(
                    f"Heat: {sentence}; a good crop wants {said(usual)} or less. Take a kind for warmth, or expect "
                    "short stems, few flowers or early seed."
                )
        return found


def _smooth(values: Any, reach: int) -> Any:
    """The running mean over so many days to either side, around the year."""
    return np.mean([np.roll(values, shift) for shift in range(-reach, reach + 1)], axis=0)


def _month_day(place: int) -> str:
    return _words(np.datetime64("2024-01-01") + int(place) * ONE_DAY)


def _words(day: Any) -> str:
    when = day.item()
    return f"{when.day} {when:%B}"
