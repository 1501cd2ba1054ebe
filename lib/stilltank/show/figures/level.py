"""The level in the tank through the season, as a range."""

from typing import Any

import matplotlib
import numpy as np

from stilltank.science.tank import Tank
from stilltank.units import Quantity, write, write_range
from stilltank.units.types import Day, SomeDays

from ..given import known_system, of_kind
from .labels import apart, day_text, short_day
from .picture import (
    BAND,
    BLACK,
    BLUE,
    GREEN,
    PURPLE,
    VERMILLION,
    Picture,
    days_along,
    house_style,
    new_figure,
)


class SeasonLevel:
    """Expected level with its range, the heights that matter, and the windows of dates that matter.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Attributes
    ----------
    figure : Figure
        Drawn once; ``show`` updates it.

    Examples
    --------
    >>> from stilltank.science.tank import preset
    >>> level = Q([25, 20], "cm")
    >>> SeasonLevel().show(
    ...     preset("quillgate-tub"), ["2027-04-26", "2027-05-26"], level, level, level,
    ...     stop_levels=(Q(2, "cm"), Q(4, "cm")), event=("first flower", None, None), dry=(None, None),
    ... ).sentence
    'The level starts at 25 cm on 26 April 2027 and is expected to stand at 20 cm on 26 May, ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        known_system(system)
        self._system = system
        self._unit = "cm" if system == "metric" else "in"
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.2) if large else (8.4, 4.4))
            axes = self._axes = self.figure.add_axes(
                (0.1, 0.18, 0.53, 0.78) if large else (0.085, 0.12, 0.66, 0.83)
            )
            small = 0.875 * matplotlib.rcParams["font.size"]
            axes.set_ylabel(f"level of the solution, {self._unit}")
            days_along(axes.xaxis, 4, 9)
            self._band = axes.fill_between([], [], [], facecolor=BAND, edgecolor=BLUE, lw=0.8, ls=":")
            (self._median,) = axes.plot([], [], color=BLUE)
            (self._pots,) = axes.plot([], [], color=GREEN, ls="--", lw=1.8)
            self._stop = axes.fill_between(
                [], [], [], facecolor="none", edgecolor=VERMILLION, hatch="//", lw=0.8
            )
            self._bars = {"event": self._new_bar(PURPLE), "dry": self._new_bar(BLACK)}
            names = ("band", "median", "pots", "stop", "event", "dry")
            self._labels = {name: axes.text(0, 0, "", va="center", fontsize=small) for name in names}

    def _new_bar(self, color: str) -> Any:
        return self._axes.plot([], [], color=color, lw=5, marker="|", ms=13, mew=2.2, solid_capstyle="butt")[
            0
        ]

    def show(
        self,
        tank: Tank,
        dates: SomeDays,
        low: Quantity,
        median: Quantity,
        high: Quantity,
        *,
        stop_levels: tuple[Quantity, Quantity],
        event: tuple[str, Day | None, Day | None],
        dry: tuple[Day | None, Day | None],
    ) -> Picture:
        """Draw a season.

        Parameters
        ----------
        tank : Tank
            With net pots.
        dates : array of datetime64
            The days of the season.
        low, median, high : Quantity
            The level that 10, 50 and 90 of 100 seasons stay under, one value for each day.
        stop_levels : tuple of Quantity
            The lowest and the highest level between which the season should end.
        event : tuple
            Name, first day and last day, such as ("first flower", date, date); None for a day beyond the season.
        dry : tuple
            The days by which 10 and 90 of 100 seasons have come down to the stop band; None for a day beyond the
            season.

        Returns
        -------
        Picture
            With its sentence.

        Raises
        ------
        Problem
            This is no tank.
        """
        of_kind(tank, Tank, 'A season is drawn for a tank, such as tank.preset("quillgate-tub")')
        unit, system = self._unit, self._system
        days = np.asarray(dates, dtype="datetime64[D]")
        lower, middle, upper = (q.m_as(unit) for q in (low, median, high))
        pots = (tank.height - tank.net_pot_depth).m_as(unit)
        (least, most), top = (end.m_as(unit) for end in stop_levels), tank.height.m_as(unit)
        with house_style(self._large):
            self._band.set_data(days, lower, upper)
            self._median.set_data(days, middle)
            self._pots.set_data(days[[0, -1]], [pots, pots])
            self._stop.set_data(days[[0, -1]], [least, least], [most, most])
            last = days[-1]
            self._bar("event", event[1:], top * 0.965, last)
            self._bar("dry", dry, top * 0.035, last)
            right = days[-1] + np.timedelta64(max(1, round(0.015 * days.size)), "D")
            places = {
                "event": top * 0.965,
                "pots": pots,
                "median": float(middle[-1]),
                "stop": (least + most) / 2,
                "dry": top * 0.035,
            }
            words = {
                "event": event[0],
                "pots": "lower end of net pots",
                "median": "expected, 8 in 10 in band",
                "stop": f"stop: {write_range(*stop_levels, system, digits=2)}",
                "dry": "stop band reached",
            }
            for name, place in apart(places, top * (0.085 if self._large else 0.062)).items():
                self._labels[name].set(position=(right, place), text=words[name])
            self._axes.set_xlim(days[0], last)
            self._axes.set_ylim(0, top)
        sentence = (
            f"The level starts at {write(median[0], system)} on {day_text(days[0])} and is expected to stand at "
            f"{write(median[-1], system, digits=2)} on {short_day(last)}, in 8 of 10 seasons at "
            f"{write_range(low[-1], high[-1], system, digits=2)}. "
            f"{_window('The band to stop in is reached', dry, last)} {_window(event[0].capitalize(), event[1:], last)}"
        )
        return Picture(
            self.figure,
            sentence,
            "Shaded: 8 of 10 computed seasons, with weather of past years and plants that grow and drink more or less; "
            "no forecast. Hatched: 10 to 20 percent of the filling is left; publications disagree where to stop.",
        )

    def _bar(self, name: str, ends: Any, height: float, last: Any) -> None:
        first, final = ends
        if first is None or np.datetime64(first) > last:
            self._bars[name].set_data([], [])
            return
        final = last if final is None else min(np.datetime64(final), last)
        self._bars[name].set_data([np.datetime64(first), final], [height, height])


def _window(what: str, ends: Any, last: Any) -> str:
    first, final = ends
    if first is None:
        return f"{what} in fewer than 1 of 10 seasons by {short_day(last)}."
    if final is None:
        return f"{what} from {short_day(first)} at the earliest; in more than 1 of 10 seasons not by {short_day(last)}."
    if first == final:
        return f"{what} on {short_day(first)}."
    return f"{what} between {short_day(first)} and {short_day(final)}."
