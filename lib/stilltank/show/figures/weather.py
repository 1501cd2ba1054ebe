"""A mean year of a weather record: warmth above, rain below."""

from typing import Any

import numpy as np

from stilltank.science.weather import MonthlyMeans
from stilltank.units import Problem, Q, write_range

from ..given import known_system, quoted
from .labels import apart
from .picture import BAND, BLACK, BLUE, VERMILLION, Picture, few_ticks, house_style, new_figure

_MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
           "November", "December")  # fmt: skip
_LEAST = 0.1  # of the axis, between two labels


class YearWeather:
    """The mean highest and lowest temperature of the days of each month, and its rain; drawn once.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Raises
    ------
    Problem
        There is no such system.

    Examples
    --------
    >>> from stilltank.science import weather
    >>> months = weather.monthly_means(weather.record("quillgate"))
    >>> YearWeather().show(months, "Quillgate").sentence
    'The record of Quillgate: July is the warmest month, ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large, self._system = large, known_system(system)
        self._units = ("degC", "mm") if system == "metric" else ("degF", "inch")
        row = np.arange(12)
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 4.2) if large else (7.4, 3.7))
            self._warmth = self.figure.add_axes((0.12, 0.46, 0.6, 0.5))
            self._rain = self.figure.add_axes((0.12, 0.1, 0.6, 0.26), sharex=self._warmth)
            self._warmth.set_ylabel("°C" if system == "metric" else "°F")
            self._rain.set_ylabel("mm" if system == "metric" else "in")
            self._warmth.tick_params(labelbottom=False)
            self._rain.set_xticks(row, [name[0] for name in _MONTHS])
            self._warmth.set_xlim(-0.6, 11.6)
            for axes in (self._warmth, self._rain):
                few_ticks(axes, x=False)
            self._band = self._warmth.fill_between(row, row, row, facecolor=BAND, edgecolor="none")
            (self._high,) = self._warmth.plot(row, row, color=VERMILLION, marker="^")
            (self._low,) = self._warmth.plot(row, row, color=BLUE, marker="v", ls="--")
            self._bars = self._rain.bar(row, row, color="white", edgecolor=BLACK, hatch="////", width=0.7)
            self._labels = {
                name: self._warmth.text(11.9, 0, name, va="center")
                for name in ("day's highest", "day's lowest")
            }
            self._rain.text(1.02, 0.5, "rain of the month", transform=self._rain.transAxes, va="center")

    def show(self, months: MonthlyMeans, name: str, place: str = "", remark: str = "") -> Picture:
        """Draw a year.

        Parameters
        ----------
        months : MonthlyMeans
            The mean of each month.
        name : str
            The name of the record.
        place : str
            A sentence that says where the tank stands; none when empty.
        remark : str
            A sentence to end with; none when empty.

        Returns
        -------
        Picture
            With its sentence.
        """
        warm, wet = self._units
        high, low = months.temperature_max.m_as(warm), months.temperature_min.m_as(warm)
        rain = np.zeros(12) if months.precipitation is None else np.nan_to_num(months.precipitation.m_as(wet))
        with house_style(self._large):
            self._band.set_data(np.arange(12), low, high)
            self._high.set_ydata(high)
            self._low.set_ydata(low)
            least, most = float(np.nanmin(low)), float(np.nanmax(high))
            room = 0.08 * max(most - least, 1.0)
            self._warmth.set_ylim(least - room, most + room)
            last = [line[np.isfinite(line)][-1] for line in (high, low)]
            places = apart(dict(zip(self._labels, map(float, last), strict=True)), 12 * _LEAST * room)
            for label, height in places.items():
                self._labels[label].set_y(height)
            for bar, height in zip(self._bars, rain, strict=True):
                bar.set_height(height)
            self._rain.set_ylim(0, max(float(rain.max()) * 1.1, 1e-9))
        warmest, coldest = int(np.nanargmax(high.round(2))), int(np.nanargmin(low.round(2)))
        said = (
            "It has no rain."
            if months.precipitation is None or not rain.any()
            else f"{_three(float(rain.sum()))} {'mm' if wet == 'mm' else 'inches'} of rain fall in a mean year, most "
            f"of it in {_MONTHS[int(rain.round(2).argmax())]}."
        )
        sentence = (
            f"{place} The record of {name}: {_MONTHS[warmest]} is the warmest month, "
            f"{self._range(months, warmest)} from night to day, and {_MONTHS[coldest]} the coldest, "
            f"{self._range(months, coldest)}. {said} {remark}"
        )
        return Picture(self.figure, sentence.strip())

    def _range(self, months: Any, month: int) -> str:
        low, high = (
            Q(round(float(each[month].m_as(self._units[0]))), self._units[0])
            for each in (months.temperature_min, months.temperature_max)
        )
        return write_range(low, high, self._system)


def month_name(number: int) -> str:
    """Name a month.

    Parameters
    ----------
    number : int
        0 for January to 11 for December.

    Returns
    -------
    str
        The name.

    Raises
    ------
    Problem
        There is no such month.

    Examples
    --------
    >>> month_name(6)
    'July'
    """
    if not isinstance(number, (int, np.integer)) or not 0 <= number < len(_MONTHS):
        raise Problem(f"A month is a whole number, 0 for January to 11; {quoted(number)} is not.")
    return _MONTHS[number]


def _three(value: float) -> str:
    """Three figures, without a power of ten."""
    return f"{float(f'{value:.3g}'):.10g}"
