"""What a log shows: the level of a tank as it was believed from visit to visit, and what comes."""

import matplotlib
import numpy as np

from stilltank.season.log import Forecast, Refit
from stilltank.show.figures import (
    BAND,
    BLACK,
    BLUE,
    GREEN,
    VERMILLION,
    Picture,
    days_along,
    house_style,
    new_figure,
    short_day,
)
from stilltank.show.given import known_system, of_kind
from stilltank.units import Q, write, write_range

_ODD = 2.5  # doubts from which a reading is marked as surprising


class LevelCloud:
    """The cloud of levels that narrows at each visit, the readings, and what comes.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of the axis and the sentence.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season import log
    >>> from stilltank.season.plan import Plan
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> found = log.refit(Plan.make(count=4), log.read(path), members=500)
    >>> LevelCloud().show(found, log.forecast(found, days=30)).sentence
    'From 26 April to 10 June the level was read 1 time. ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        known_system(system)
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.2) if large else (8.4, 4.2))
            axes = self._axes = self.figure.add_axes((0.085, 0.12, 0.69, 0.83))
            axes.set_ylabel(f"level of the solution, {self._unit}")
            days_along(axes.xaxis, 4, 9)
            self._past = axes.fill_between([], [], [], facecolor=BAND, edgecolor=BLUE, lw=0.8)
            self._coming = axes.fill_between(
                [], [], [], facecolor="none", edgecolor=GREEN, hatch="//", lw=0.8
            )
            (self._middle,) = axes.plot([], [], color=BLUE)
            (self._ahead,) = axes.plot([], [], color=GREEN, ls="--")
            (self._read,) = axes.plot([], [], color=BLACK, ls="", marker="o", ms=4.5)
            (self._odd,) = axes.plot([], [], color=VERMILLION, ls="", marker="X", ms=9)
            (self._hole,) = axes.plot([], [], color=BLACK, ls=":", lw=1.4)
            (self._top_up,) = axes.plot([], [], color=VERMILLION, ls="-.", lw=1.2)
            small = 0.875 * matplotlib.rcParams["font.size"]
            names = ("hole", "top-up", "coming")
            self._labels = {name: axes.text(0, 0, "", va="center", fontsize=small) for name in names}

    def show(self, fitted: Refit, coming: Forecast, tank: str | None = None) -> Picture:
        """Draw one tank of a re-fit.

        Parameters
        ----------
        fitted : Refit
            What the log taught.
        coming : Forecast
            What comes for the tank.
        tank : str, optional
            Its code; not needed where there is one.

        Returns
        -------
        Picture
            With its sentence.

        Raises
        ------
        Problem
            This is no re-fit, or has no such tank.
        """
        of_kind(fitted, Refit, "A cloud of levels is drawn for what log.refit found")
        of_kind(coming, Forecast, "What comes is what log.forecast found")
        fit, unit, system = fitted.of(tank), self._unit, self._system
        low, middle, high = (Q(row, "cm").m_as(unit) for row in fit.level_course.m_as("cm"))
        days, ahead = fit.dates, coming.coming.dates
        ends = [
            Q(np.quantile(coming.coming.levels.m_as("cm"), each, axis=0), "cm").m_as(unit)
            for each in (0.1, 0.5, 0.9)
        ]
        with_level = [each for each in fit.surprises if each.observation.level is not None]
        right = [each for each in with_level if abs(each.distance) <= _ODD]
        odd = [each for each in with_level if abs(each.distance) > _ODD]
        hole = fitted.plans[tank if tank is not None else next(iter(fitted.plans))].outlook.hole.m_as(unit)
        top_up = coming.coming.top_up_level.m_as(unit)
        with house_style(self._large):
            self._past.set_data(days, low, high)
            self._coming.set_data(ahead, ends[0], ends[2])
            self._middle.set_data(days, middle)
            self._ahead.set_data(ahead, ends[1])
            for line, seen in ((self._read, right), (self._odd, odd)):
                line.set_data(
                    [np.datetime64(each.observation.day) for each in seen],
                    [each.read.m_as(unit) for each in seen],
                )
            whole = np.array([days[0], ahead[-1]])
            self._hole.set_data(whole, [hole, hole])
            self._top_up.set_data(whole, [top_up, top_up])
            place = ahead[-1] + np.timedelta64(1, "D")
            last = float(min(max(ends[1][-1], 0.06 * hole), hole))
            heights = {
                "hole": hole,
                "top-up": top_up,
                "coming": last if abs(last - top_up) > 0.07 * hole else 0.04 * hole,
            }
            words = {
                "hole": "overflow hole",
                "top-up": "top-up due",
                "coming": "what comes,\n8 in 10 in band",
            }
            for name, label in self._labels.items():
                label.set(position=(place, heights[name]), text=words[name])
            self._axes.set_xlim(days[0], ahead[-1])
            self._axes.set_ylim(0, fit.scenario.tank.height.m_as(unit))
        count = len(with_level)
        times = "1 time" if count == 1 else f"{count} times"
        soon = ahead[min(7, len(ahead) - 1)].item()
        least, _, most = coming.level(soon)
        sentence = (
            f"From {short_day(days[0])} to {short_day(days[-1])} the level was read {times}. It stands at "
            f"{write_range(Q(low[-1], unit), Q(high[-1], unit), system, digits=2)}, and on {short_day(soon)} at "
            f"{write_range(least, most, system, digits=2)} in 8 of 10 simulated tanks."
        )
        if odd:
            sentence += f" Marked with a cross: {len(odd)} that surprised."
        return Picture(
            self.figure,
            sentence,
            f"Shaded: where 8 of 10 simulated tanks stood, which narrows at each visit; top-up due at "
            f"{write(coming.coming.top_up_level, system, digits=2)}.",
        )
