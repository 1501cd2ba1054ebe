"""A weather record month by month."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import Q, Quantity, takes

from .series import Weather


@dataclass(frozen=True, eq=False)
class MonthlyMeans:
    """Twelve months, January first; nan for a month of which a record holds no day.

    Attributes
    ----------
    temperature_max, temperature_min : quantities, degC [12]; means of the days' highest and lowest temperature
    precipitation : quantity, mm [12], of a mean month; None where the record has none
    """

    temperature_max: Quantity
    temperature_min: Quantity
    precipitation: Quantity | None


@takes(record=Weather)
def monthly_means(record: Weather) -> MonthlyMeans:
    """What is usual in each month of a weather record.

    Parameters
    ----------
    record : Weather

    Returns
    -------
    Months

    Example
    -------
    >>> from stilltank.science import weather
    >>> months = weather.monthly_means(weather.record("new-york"))
    >>> round(float(months.temperature_max[6].m_as("degC")), 1)
    29.5

    Limits: a mean over the years that are there; four years say little about what is usual.
    """
    of_day = record.dates.astype("datetime64[M]").astype(int) % 12
    days = np.bincount(of_day, minlength=12)

    def mean(values: Any) -> Any:
        sums = np.bincount(of_day, weights=values, minlength=12)
        return np.divide(sums, days, out=np.full(12, np.nan), where=days > 0)

    rain = record.precipitation
    seen = np.unique(record.dates.astype("datetime64[M]"))
    calendar = (seen + np.timedelta64(1, "M")).astype("datetime64[D]") - seen.astype("datetime64[D]")
    month = seen.astype(int) % 12
    counts = np.bincount(month, minlength=12)
    length = np.bincount(month, weights=calendar.astype(int), minlength=12) / np.maximum(counts, 1)
    return MonthlyMeans(
        Q(mean(record.temperature_max.m_as("degC")), "degC"),
        Q(mean(record.temperature_min.m_as("degC")), "degC"),
        None if rain is None else Q(mean(rain.m_as("mm")) * length, "mm"),
    )
