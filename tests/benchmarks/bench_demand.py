"""Speed of daily reference evapotranspiration over a million station-days, against pyet and refet, same run."""

from time import perf_counter

import numpy as np
import pandas as pd
import pyet
import refet
from stilltank.science import demand, sky, weather
from stilltank.science.sky import ONE_DAY
from stilltank.science.weather import Weather
from stilltank.units import Q

STATIONS, DAYS = 5, 200_000  # pandas dates, which pyet needs, hold no more days in one row


def shortest(actions, repeats: int = 5) -> dict[str, float]:
    """Shortest time of some runs of each, in seconds; taken in turns, for a busy machine is slow for all."""
    times: dict[str, list[float]] = {name: [] for name in actions}
    for _ in range(repeats):
        for name, action in actions.items():
            begin = perf_counter()
            for _ in range(STATIONS):
                action()
            times[name].append(perf_counter() - begin)
    return {name: min(each) for name, each in times.items()}


def main() -> None:
    """Print times and ratios."""
    one = weather.record("quillgate")
    rows = np.resize(np.arange(one.days), DAYS)

    def many(name):
        series = getattr(one, name)
        return Q(series.magnitude[rows], f"{series.units}")

    vapour = sky.actual_vapour_pressure(
        one.temperature_max,
        one.temperature_min,
        relative_humidity_max=one.relative_humidity_max,
        relative_humidity_min=one.relative_humidity_min,
    )
    humid = np.log(vapour.magnitude / 0.6108)[rows]
    record = Weather(
        np.datetime64("1680-01-01") + np.arange(DAYS) * ONE_DAY,
        many("temperature_max"),
        many("temperature_min"),
        dew_point=Q(237.3 * humid / (17.27 - humid), "degC"),
        wind_speed=many("wind_speed"),
        wind_height=one.wind_height,
        solar_radiation=many("solar_radiation"),
        latitude=one.latitude,
        altitude=one.altitude,
    )
    high, low = record.temperature_max.magnitude, record.temperature_min.magnitude
    wind, sun = record.wind_speed.magnitude, record.solar_radiation.magnitude
    dew = record.dew_point.magnitude
    altitude, latitude = record.altitude.m_as("m"), record.latitude.m_as("degree")
    days = record.day_of_year
    index = pd.DatetimeIndex(record.dates.astype("M8[s]"))
    series = {
        name: pd.Series(values, index)
        for name, values in {
            "high": high,
            "low": low,
            "mean": (high + low) / 2,
            "wind": wind,
            "sun": sun,
            "vapour": sky.saturation_vapour_pressure(Q(dew, "degC")).magnitude,
        }.items()
    }

    def by_pyet():  # takes no dew point, so it is handed the vapour pressure that the others work out
        return pyet.pm_fao56(
            series["mean"],
            series["wind"],
            rs=series["sun"],
            tmax=series["high"],
            tmin=series["low"],
            ea=series["vapour"],
            elevation=altitude,
            lat=np.radians(latitude),
        )

    def by_refet():
        return refet.Daily(
            tmin=low,
            tmax=high,
            tdew=dew,
            rs=sun,
            uz=wind,
            zw=2,
            elev=altitude,
            lat=latitude,
            doy=days,
            method="asce",
        ).eto()

    actions = {
        "ours": lambda: demand.reference_et(record),
        "refet": by_refet,
        "pyet": by_pyet,
    }
    times = shortest(actions)
    print(f"\n{STATIONS * DAYS} station-days: {times['ours']:.3f} s")
    for name in ("refet", "pyet"):
        print(f"  {name} {times[name]:.3f} s, {times[name] / times['ours']:.1f} times as long")


if __name__ == "__main__":
    main()
