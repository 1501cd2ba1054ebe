"""Many seasons drawn from a record: a forecast is a range."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import pint

from stilltank.science.roots import LevelCourse, Rises, rises
from stilltank.science.tank import Tank
from stilltank.units import Problem, Q

from ._balance import first_day, level_course, rules_of, run
from ._checks import one_share, shown
from .setting import Setting
from .skies import Skies, draw

if TYPE_CHECKING:
    import pandas as pd

_FOLLOWED = ("volume", "level", "rain_in", "transpired", "overflow")


@dataclass(frozen=True, eq=False, kw_only=True)
class Ensemble:
    """Seasons side by side; made by `ensemble` or ``Scenario.ensemble()``.

    Parameters
    ----------
    tank : Tank
        The tank.
    dates : numpy array of datetime64[D], [days]
        The days.
    seed : int
        Of the draw.
    volume : quantity, L, [members, days]
        At the end of each day.
    rain_in, transpired, overflow, top_up : quantity, L, [members, days]
        What came in by the lid, what the plants used, what left by the hole, what was added, on each day.
    filled, unusable : quantity, L
        Volume at the start, and the rest that no root reaches.
    run_dry : numpy array of datetime64[D], [members]
        The first day at or below the unusable rest; NaT where that does not come.
    stop : numpy array of datetime64[D], [members]
        The first day at or below the share of the filling at which a crop is ended; the publications disagree about
        that share, so it is drawn too. NaT where that does not come.
    low : numpy array of datetime64[D], [members]
        The first day at or below the shortage depth, where fewer roots reach the solution; NaT where that does not
        come.
    drawn : dict of str to numpy array, [members]
        The factors that each member was given.
    procedures : tuple of str
        How the evapotranspiration was reached, and what the record lacks.
    added_after_use : bool
        Whether top-ups come after the plants have drunk, as from a float valve.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> many = budget.ensemble("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2027-05-10", days=30)
    >>> many.members, many.volume.shape
    (200, (200, 30))
    """

    tank: Tank
    dates: np.ndarray
    seed: int
    volume: pint.Quantity
    rain_in: pint.Quantity
    transpired: pint.Quantity
    overflow: pint.Quantity
    top_up: pint.Quantity
    filled: pint.Quantity
    unusable: pint.Quantity
    run_dry: np.ndarray
    stop: np.ndarray
    low: np.ndarray
    drawn: Mapping[str, np.ndarray]
    procedures: tuple[str, ...]
    added_after_use: bool = False

    @cached_property
    def level(self) -> pint.Quantity:
        """Level at the end of each day, in cm."""
        return self.tank.level(self.volume)

    @cached_property
    def levels(self) -> LevelCourse:
        """The level day by day, as `roots.root_course` takes it; [members, days]."""
        volume, used = (litres.m_as("L") for litres in (self.volume, self.transpired))
        late = self.top_up.m_as("L") if self.added_after_use else 0.0
        return level_course(self.tank, self.dates, float(self.filled.m_as("L")), volume, used, late)

    @cached_property
    def rises(self) -> Rises:
        """How far the level rises over roots in moist air, and where that is above the caution; [members, days].

        Raises
        ------
        Problem
            The tank has no ``net_pot_depth``.
        """
        if self.tank.net_pot_depth is None:
            raise Problem(
                "To tell when the level rises over the roots, the depth of the net pots is needed. Make the tank with "
                'net_pot_depth=Q(7, "cm"), from the rim to the bottom of a pot.'
            )
        levels = self.levels
        return rises(
            float(levels.first_level.m_as("m")),
            levels.level.m_as("m"),
            levels.highest.m_as("m"),
            float((self.tank.height - self.tank.net_pot_depth).m_as("m")),
        )

    @property
    def members(self) -> int:
        """How many seasons."""
        return len(self.run_dry)

    def quantile(self, share: float, of: str = "volume") -> pint.Quantity:
        """Find the value below which a share of the seasons lies, day by day.

        Parameters
        ----------
        share : float
            0 to 1; 0.5 is the median.
        of : str
            "volume", "level", "rain_in", "transpired" or "overflow".

        Returns
        -------
        quantity, [days]
            In L, or in cm for the level.

        Raises
        ------
        OutOfRange
            A share outside 0 to 1.
        Unreadable
            A share that is no number.
        Problem
            Another word for ``of``, or several shares.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> plants = crops.Plants("lettuce", 4)
        >>> many = budget.ensemble("quillgate-tub", plants, "quillgate", start="2027-05-10", days=30)
        >>> many.quantile(0.5, "level").shape
        (30,)
        """
        plain = one_share(share, "share")
        if not isinstance(of, str) or of not in _FOLLOWED:
            raise Problem(
                f"{shown(of)} is not followed. Choose {', '.join(_FOLLOWED[:-1])} or {_FOLLOWED[-1]}."
            )
        values = getattr(self, of)
        return Q(np.quantile(values.magnitude, plain, axis=0), f"{values.units}")

    def date_range(
        self, of: str = "run_dry", low: float = 0.1, high: float = 0.9
    ) -> tuple[date | None, date | None, date | None]:
        """Find the early, middle and late date of an event over the seasons.

        Parameters
        ----------
        of : str
            "low", "run_dry" or "stop".
        low, high : float
            Shares of the seasons, 0 to 1.

        Returns
        -------
        tuple of three dates
            None where the event does not come within the season in that share of the seasons.

        Raises
        ------
        OutOfRange
            Shares outside 0 to 1.
        Unreadable
            Shares that are no numbers.
        Problem
            Another event.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> many = budget.ensemble("quillgate-tub", crops.Plants("lettuce", 1), "quillgate", start="2027-05-10")
        >>> many.date_range()
        (None, None, None)
        """
        shares = one_share(low, "low"), 0.5, one_share(high, "high")
        found = self._event(of)
        days = np.sort(np.where(np.isnat(found), np.datetime64("9999-01-01"), found))
        picked = [days[max(min(int(np.ceil(share * len(days))), len(days)), 1) - 1] for share in shares]
        early, middle, late = (None if day > self.dates[-1] else day.item() for day in picked)
        return early, middle, late

    def share_of(self, event: str = "run_dry") -> float:
        """Find the share of the seasons in which an event comes before the end.

        Parameters
        ----------
        event : str
            "low", "run_dry" or "stop".

        Returns
        -------
        float
            0 to 1.

        Raises
        ------
        Problem
            Another event.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> many = budget.ensemble("quillgate-tub", crops.Plants("lettuce", 1), "quillgate", start="2027-05-10")
        >>> many.share_of("run_dry")
        0.0
        """
        return float(np.mean(~np.isnat(self._event(event))))

    def _event(self, name: str) -> np.ndarray:
        if not isinstance(name, str) or name not in ("low", "run_dry", "stop"):
            raise Problem(f'{shown(name)} is no event of a season. Choose "low", "run_dry" or "stop".')
        return getattr(self, name)

    def weekly(self, low: float = 0.1, high: float = 0.9) -> "pd.DataFrame":
        """Say what to expect at the end of each week, with its range.

        Parameters
        ----------
        low, high : float
            Shares of the seasons that bound the range, 0 to 1.

        Returns
        -------
        pandas DataFrame
            One row a week (the last may be short): level and volume at its end, water used and water overflowed in it.

        Raises
        ------
        OutOfRange
            Shares outside 0 to 1.
        Unreadable
            Shares that are no numbers.

        Examples
        --------
        >>> from stilltank.science import budget, crops
        >>> plants = crops.Plants("lettuce", 4)
        >>> many = budget.ensemble("quillgate-tub", plants, "quillgate", start="2027-05-10", days=30)
        >>> len(many.weekly())
        5
        """
        import pandas as pd

        low, high = one_share(low, "low"), one_share(high, "high")

        length = len(self.dates)
        ends = np.unique(np.append(np.arange(6, length, 7), length - 1))
        starts = np.concatenate([[0], ends[:-1] + 1])
        columns: dict[str, object] = {"date": pd.DatetimeIndex(self.dates[ends])}
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


def ensemble_of(setting: Setting, sky: Skies | None = None) -> Ensemble:
    """Follow the seasons that are drawn, or those of a ``sky``."""
    drawn = draw(setting, sky)
    found = run(setting, drawn.thirst, drawn.rain_in, rules_of(setting.top_up, setting, drawn.rain))
    return Ensemble(
        tank=setting.tank,
        dates=setting.dates,
        seed=setting.seed,
        volume=Q(found.volume, "L"),
        rain_in=Q(drawn.rain_in, "L"),
        transpired=Q(found.used, "L"),
        overflow=Q(found.spilled, "L"),
        top_up=Q(found.added, "L"),
        added_after_use=setting.top_up.after_use,
        filled=Q(setting.filled, "L"),
        unusable=Q(setting.unusable, "L"),
        run_dry=first_day(setting.dates, found.volume, setting.unusable),
        stop=first_day(setting.dates, found.volume, drawn.factors["stop_share"][:, None] * setting.filling),
        low=first_day(setting.dates, found.volume, setting.shortage),
        drawn=drawn.factors,
        procedures=drawn.procedures,
    )
