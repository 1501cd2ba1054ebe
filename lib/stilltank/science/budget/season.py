"""One season, day by day."""

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np
import pint

from stilltank.science import demand
from stilltank.science.roots import LevelCourse
from stilltank.science.tank import Tank
from stilltank.units import Q

from ._balance import first_day, level_course, rules_of, run
from .routines import TopUp
from .setting import Setting

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, eq=False, kw_only=True)
class Season:
    """The water of a tank through one season; made by `season` or ``Scenario.season()``.

    Parameters
    ----------
    table : pandas DataFrame
        One row a day, indexed by date: "day", "reference ET (mm)", "rain (mm)", "demand (L)" of the plants, "rain in
        (L)", "top-up (L)", "overflow (L)", "transpired (L)", and at the end of the day "volume (L)" and "level (cm)".
    tank : Tank
        The tank.
    cover : str
        Of the place: "open", "roof" or "indoors".
    filled : quantity, L
        Volume at the start.
    run_dry : date
        The first day at or below the unusable rest; None when that does not come.
    stop : date
        The first day at or below the share of the filling at which a crop is ended; None when that does not come.
    top_up : TopUp
        What was added, and how strong.
    first_conductivity : quantity, mS/cm at 25 °C
        What the meter read at the start; None for a solution just mixed.
    procedures : tuple of str
        How the evapotranspiration was reached, and what the record lacks.

    Examples
    --------
    >>> from stilltank.science import budget, crops
    >>> found = budget.season("quillgate-tub", crops.Plants("lettuce", 4), "quillgate", start="2019-05-10", days=14)
    >>> len(found), found.cover, found.run_dry is None
    (14, 'open', True)
    """

    table: "pd.DataFrame"
    tank: Tank
    cover: str
    filled: pint.Quantity
    run_dry: date | None
    stop: date | None
    top_up: TopUp
    first_conductivity: pint.Quantity | None
    procedures: tuple[str, ...]

    @cached_property
    def levels(self) -> LevelCourse:
        """The level day by day, as `roots.root_course` takes it."""
        volume, used, added = (
            self.table[name].to_numpy() for name in ("volume (L)", "transpired (L)", "top-up (L)")
        )
        days = self.table.index.to_numpy().astype("datetime64[D]")
        late = added if self.top_up.after_use else 0.0
        return level_course(self.tank, days, float(self.filled.m_as("L")), volume, used, late)

    def __len__(self) -> int:
        return len(self.table)

    def __str__(self) -> str:
        first, last = (day.date() for day in self.table.index[[0, -1]])
        dry = f"dry on {self.run_dry}" if self.run_dry else "not dry before the end"
        used = self.table["transpired (L)"].sum()
        return f"{len(self)} days from {first} to {last}: {used:.3g} L used, {dry}."


def season_of(setting: Setting) -> Season:
    """Follow one season of one year: that of the record, with what is uncertain at its usual value."""
    import pandas as pd

    length, record = len(setting.dates), setting.record
    rain = np.zeros(length)
    procedures: tuple[str, ...] = ()
    if record is not None:
        record = record.between(setting.dates[0], setting.dates[-1])
        rain = rain if record.precipitation is None else record.precipitation.magnitude
    if setting.reference_et is not None:
        et = setting.reference_et
        procedures = ("Reference evapotranspiration: as given.",)
    elif record is not None:
        et = demand.reference_et(record).magnitude
        procedures = demand.missing_data_procedures(record)
    if record is None or record.precipitation is None:
        procedures += ("Rain: none in the record, so none counted.",)

    canopy = setting.grown(setting.usual("growth_timing"))
    thirst = et * canopy * setting.usual("exposure") * setting.usual("coefficient_factor")
    rain_in = rain * setting.catch * setting.usual("rain_share")
    found = run(setting, thirst[None], rain_in[None], rules_of(setting.top_up, setting, rain[None]))
    stop_volume = setting.usual("stop_share") * setting.filling
    dry, stop = (
        first_day(setting.dates, found.volume, limit)[0] for limit in (setting.unusable, stop_volume)
    )
    volume = found.volume[0]
    table = pd.DataFrame(
        {
            "day": np.arange(1, length + 1),
            "reference ET (mm)": et,
            "rain (mm)": rain,
            "demand (L)": thirst,
            "rain in (L)": rain_in,
            "top-up (L)": found.added[0],
            "overflow (L)": found.spilled[0],
            "transpired (L)": found.used[0],
            "volume (L)": volume,
            "level (cm)": setting.tank.level(Q(volume, "L")).magnitude,
        },
        index=pd.DatetimeIndex(setting.dates, name="date"),
    )
    return Season(
        table=table,
        tank=setting.tank,
        cover=setting.cover,
        filled=Q(setting.filled, "L"),
        run_dry=None if np.isnat(dry) else dry.item(),
        stop=None if np.isnat(stop) else stop.item(),
        top_up=setting.top_up,
        first_conductivity=setting.first_conductivity,
        procedures=procedures,
    )
