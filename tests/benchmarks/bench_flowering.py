"""Speed of a year's day lengths at many latitudes, against NREL's SPA in pvlib; of a schedule, against a plain loop."""

from time import perf_counter

import numpy as np
import pandas as pd
import pvlib
from stilltank.science import calendar, crops, sky, weather
from stilltank.science.sky import ONE_DAY
from stilltank.units import Q

LATITUDES = np.linspace(-60, 60, 25)


def shortest(actions, repeats: int = 5) -> dict[str, float]:
    """Shortest time of some runs of each, in seconds; taken in turns, for a busy machine is slow for all."""
    times: dict[str, list[float]] = {name: [] for name in actions}
    for _ in range(repeats):
        for name, action in actions.items():
            begin = perf_counter()
            action()
            times[name].append(perf_counter() - begin)
    return {name: min(each) for name, each in times.items()}


def by_loop(record, sow: str) -> int:
    """Days from transplant to flower of snapdragon in each year of the record and each of 21 totals, day by day."""
    one = crops.crop("snapdragon")
    means = dict(zip(record.dates.astype(str), record.temperature_mean.magnitude, strict=True))
    base, upper = one.base_temperature.m_as("degC"), one.optimum_temperature.m_as("degC")
    days = 0
    for year in record.years:
        for total in np.linspace(641, 725, 21):
            day, gained = np.datetime64(f"{year}-{sow}"), 0.0
            while gained < total:
                gained += max(min(means[str(day)], upper) - base, 0)
                day += ONE_DAY
                days += 1
    return days


def main() -> None:
    """Print times and ratios."""
    index = pd.date_range("2025-01-01", "2025-12-31", tz="UTC")
    dates = index.tz_localize(None).to_numpy()
    here = Q(LATITUDES[:, None], "degree")
    found = shortest(
        {
            "almanac": lambda: sky.day_length(here, dates, "almanac"),
            "cbm": lambda: sky.day_length(here, dates),
            "SPA": lambda: [
                pvlib.solarposition.sun_rise_set_transit_spa(index, lat, 0.0) for lat in LATITUDES
            ],
        },
        repeats=3,
    )
    print()
    for name in ("cbm", "almanac"):
        print(
            f"day length, 25 latitudes, a year: {name} takes {found[name] / found['SPA']:.4f} of SPA's time"
        )
    record, place = weather.record("new-york"), weather.site("new-york")
    found = shortest(
        {
            "schedule": lambda: calendar.schedule("snapdragon", place, "2026-03-15"),
            "loop": lambda: by_loop(record, "04-11"),
            "backwards": lambda: calendar.sow_for("snapdragon", place, "2026-06-30"),
        }
    )
    for name in ("schedule", "backwards"):
        print(f"four years, 21 totals: {name} takes {found[name] / found['loop']:.2f} of a plain loop's time")
