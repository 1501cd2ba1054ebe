"""Many seasons drawn from a record: a forecast is a range."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from stilltank.science.tank import Tank, preset
from stilltank.units import Problem, Q, within

from ._balance import first_day, run
from ._skies import draw


@dataclass(frozen=True, eq=False)
class Ensemble:
    """Seasons side by side; arrays are [members, days].

    Attributes
    ----------
    tank : Tank; dates : numpy array of days; seed : int
    volume : quantity in L at the end of each day; level : quantity in cm
    rain_in, transpired, overflow : quantities in L, of each day; top_up : quantity in L, [days]
    filled, unusable : quantities in L
    run_dry : dates, [members], the first day at or below the unusable rest; NaT where that does not come
    stop : dates, [members], the first day at or below the share of the filling at which a crop is ended; the
        publications disagree about that share, so it is drawn too
    drawn : dict of the factors each member was given, arrays [members]
    procedures : tuple of str, how the demand was reached
    """

    tank: Tank
    dates: Any
    seed: int
    volume: Any
    rain_in: Any
    transpired: Any
    overflow: Any
    top_up: Any
    filled: Any
    unusable: Any
    run_dry: Any
    stop: Any
    drawn: dict[str, Any]
    procedures: tuple[str, ...]

    @cached_property
    def level(self) -> Any:
        """Level at the end of each day, in cm."""
        return self.tank.level(self.volume)

    @property
    def members(self) -> int:
        """How many seasons."""
        return len(self.run_dry)

    def quantile(self, share: float, of: str = "volume") -> Any:
        """Value below which a share of the seasons lies, day by day.

        Parameters
        ----------
        share : float, 0 to 1; 0.5 is the median
        of : "volume", "level", "rain_in", "transpired" or "overflow"

        Returns
        -------
        quantity array, [days]

        Raises
        ------
        OutOfRange   ``share`` outside 0 to 1
        Problem      another word for ``of``
        """
        within(share, 0, 1, "A share of the seasons lies between 0 and 1; {value:g} does not.")
        if of not in ("volume", "level", "rain_in", "transpired", "overflow"):
            raise Problem(f"{of!r} is not followed; choose volume, level, rain_in, transpired or overflow.")
        values = getattr(self, of)
        return Q(np.quantile(values.magnitude, share, axis=0), f"{values.units}")

    def date_range(self, of: str = "run_dry", low: float = 0.1, high: float = 0.9) -> tuple[Any, Any, Any]:
        """Early, middle and late date of an event over the seasons.

        Parameters
        ----------
        of : "run_dry" or "stop"
        low, high : float, shares of the seasons

        Returns
        -------
        three dates; None where the event does not come within the season in that share of the seasons

        Raises
        ------
        OutOfRange   shares outside 0 to 1
        Problem      another event
        """
        within([low, high], 0, 1, "A share of the seasons lies between 0 and 1; {value:g} does not.")
        found = self._event(of)
        days = np.sort(np.where(np.isnat(found), np.datetime64("9999-01-01"), found))
        picked = [
            days[min(int(np.ceil(share * len(days))), len(days)) - 1]
            for share in (max(low, 1e-12), 0.5, high)
        ]
        early, middle, late = (None if day > self.dates[-1] else day.item() for day in picked)
        return early, middle, late

    def share_of(self, event: str = "run_dry") -> float:
        """Share of the seasons in which ``"run_dry"`` or ``"stop"`` comes before the end; Problem for others."""
        return float(np.mean(~np.isnat(self._event(event))))

    def _event(self, name: str) -> Any:
        if name not in ("run_dry", "stop"):
            raise Problem(f'{name!r} is no event of a season; choose "run_dry" or "stop".')
        return getattr(self, name)

    def weekly(self, low: float = 0.1, high: float = 0.9) -> Any:
        """What to expect at the end of each week, with its range.

        Parameters
        ----------
        low, high : float, shares of the seasons that bound the range

        Returns
        -------
        pandas DataFrame, one row a week (the last may be short): level and volume at its end, water used and
        water overflowed in it

        Raises
        ------
        OutOfRange   shares outside 0 to 1
        """
        import pandas as pd

        within([low, high], 0, 1, "A share of the seasons lies between 0 and 1; {value:g} does not.")

        length = len(self.dates)
        ends = np.unique(np.append(np.arange(6, length, 7), length - 1))
        starts = np.concatenate([[0], ends[:-1] + 1])
        columns: dict[str, Any] = {"date": pd.DatetimeIndex(self.dates[ends])}
        sums = {
            "transpired": np.add.reduceat(self.transpired.magnitude, starts, axis=1),
            "overflow": np.add.reduceat(self.overflow.magnitude, starts, axis=1),
        }
        for name, unit, values in (
            ("level", "cm", self.level.magnitude[:, ends]),
            ("volume", "L", self.volume.magnitude[:, ends]),
            ("transpired", "L", sums["transpired"]),
            ("overflow", "L", sums["overflow"]),
        ):
            bounds = np.quantile(values, [low, 0.5, high], axis=0)
            heads = (f"{name} {low:.0%} ({unit})", f"{name} median ({unit})", f"{name} {high:.0%} ({unit})")
            columns |= dict(zip(heads, bounds, strict=True))
        return pd.DataFrame(columns, index=pd.Index(np.arange(1, len(ends) + 1), name="week"))

    def __str__(self) -> str:
        early, middle, late = self.date_range()
        head = f"{self.members} seasons from {self.dates[0]} to {self.dates[-1]}: "
        if early is None:
            return f"{head}the tank runs dry before the end in {self.share_of():.0%} of them."
        shares = zip(("1 in 10", "half", "9 in 10"), (early, middle, late), strict=True)
        dry = "; ".join(f"{share} dry by {day}" for share, day in shares if day)
        return f"{head}{dry}."


def ensemble(
    tank: Tank | str,
    plants: Any,
    weather: Any,
    *,
    start: Any = None,
    days: int | None = None,
    members: int | None = None,
    seed: int = 1,
    fill_level: Any = None,
    overflow_height: Any = None,
    rain_share: Any = None,
    exposure: Any = None,
    coefficient_factor: Any = None,
    top_ups: Mapping[Any, Any] | None = None,
    reference_et: Any = None,
    age: int = 0,
) -> Ensemble:
    """Follow the water of a tank through many seasons that could come.

    Parameters
    ----------
    start : ISO text or date of planting, in any year; the first day of the weather when left out
    members : int; how many seasons
    seed : int; the same seed gives the same seasons
    all others : see `season`. Factors that are left out are drawn from their ranges in data/budget.csv; factors
        that are given hold for every member.

    Returns
    -------
    Ensemble

    Raises
    ------
    Problem                  the record has no days near the season; see also `season`
    UnitNeeded, OutOfRange   see `season`

    Example
    -------
    >>> from stilltank.science import crops, tank, weather
    >>> many = ensemble(tank.preset("quillgate-tub"), crops.Plants("lettuce", 4), weather.site("quillgate"),
    ...                 start="2027-05-10", members=50, seed=7, fill_level=Q(24, "cm"))
    >>> many.volume.shape
    (50, 75)

    Notes
    -----
    Weather: blocks of days of the record stay together; each comes from a random year and begins within a few
    days of its date. Factors: triangular between low and high with the peak at the value. Within a season they
    stay the same. The range holds what was put into it: a leak, a blocked hole or a sick crop is not in it.
    """
    tank = preset(tank)
    drawn = draw(
        "ensemble",
        tank,
        plants,
        weather,
        start=start,
        days=days,
        members=members,
        seed=seed,
        fill_level=fill_level,
        overflow_height=overflow_height,
        rain_share=rain_share,
        exposure=exposure,
        coefficient_factor=coefficient_factor,
        top_ups=top_ups,
        reference_et=reference_et,
        age=age,
    )
    setting = drawn.setting
    volume, used, spilled = run(setting, drawn.thirst, drawn.rain_in)
    return Ensemble(
        tank=tank,
        dates=setting.dates,
        seed=drawn.seed,
        volume=Q(volume, "L"),
        rain_in=Q(drawn.rain_in, "L"),
        transpired=Q(used, "L"),
        overflow=Q(spilled, "L"),
        top_up=Q(setting.top_ups, "L"),
        filled=Q(setting.filled, "L"),
        unusable=Q(setting.unusable, "L"),
        run_dry=first_day(setting.dates, volume, setting.unusable),
        stop=first_day(setting.dates, volume, drawn.factors["stop_share"][:, None] * setting.filled),
        drawn=drawn.factors,
        procedures=drawn.procedures,
    )
