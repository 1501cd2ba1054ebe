"""A weather record month by month."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from stilltank.units import Q, Quantity, takes

from .series import Weather


@dataclass(frozen=True, eq=False)
class MonthlyMeans:
    """Twelve months, January first; nan for a month of which a record holds no day.

    Parameters
    ----------
    temperature_max, temperature_min : Quantity
        Means of the days' highest and lowest temperature, in degC, [12].
    precipitation : Quantity, optional
        Of a mean month, in mm, [12]; None where the record has none.

    See Also
    --------
    monthly_means : Make them from a weather record.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> weather.monthly_means(weather.record("new-york")).temperature_min.size
    12
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
        The weather record.

    Returns
    -------
    MonthlyMeans
        January first.

    Raises
    ------
    Unreadable
        No weather record.

    Notes
    -----
    A mean over the years that are there; four years say little about what is usual.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> months = weather.monthly_means(weather.record("new-york"))
    >>> round(float(months.temperature_max[6].m_as("degC")), 1)
    29.5
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
