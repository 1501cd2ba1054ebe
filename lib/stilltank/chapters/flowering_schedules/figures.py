"""Figures of chapter 5: rate and days by temperature, sowings one after the other, and the chance to be in time."""

from dataclasses import dataclass
from datetime import date
from typing import Any

import matplotlib
import numpy as np
from matplotlib.collections import LineCollection, PolyCollection

from stilltank.science.calendar import Schedule, Stems, Succession
from stilltank.science.heat import DaysToFlower, Trial
from stilltank.science.sky import ONE_DAY
from stilltank.show.figures import (
    BAND,
    BLACK,
    BLUE,
    GREEN,
    PURPLE,
    VERMILLION,
    Picture,
    day_number,
    day_text,
    days_along,
    few_ticks,
    house_style,
    new_figure,
    short_day,
)
from stilltank.units import Quantity, write

_POINT: dict[str, Any] = {
    "marker": "o",
    "ms": 11,
    "mfc": "white",
    "mew": 2.6,
    "ls": "none",
    "color": VERMILLION,
}
_MOST_DAYS = 160
_BATCH: tuple[dict[str, Any], ...] = (  # as seedlings, in the tank, first flower
    {"facecolor": "white", "edgecolor": GREEN, "hatch": "||"},
    {"facecolor": BLUE, "edgecolor": BLUE},
    {"facecolor": "white", "edgecolor": PURPLE, "hatch": "////"},
)


@dataclass(frozen=True, eq=False)
class Warming:
    """One crop over temperatures: its days at each, at the chosen one, and what a trial found.

    Parameters
    ----------
    label : str
        The crop, for people.
    temperatures : Quantity
        The temperatures, an array.
    days : DaysToFlower
        The days to the first flower at each of them.
    chosen : Quantity
        The temperature that is chosen.
    at_chosen : DaysToFlower
        The days at that one.
    tried : tuple of Quantity or None
        The lowest and the highest temperature that anyone tried, where that is known.
    trial : Trial or None
        A published trial, where there is one.

    Examples
    --------
    >>> from stilltank.chapters.flowering_schedules import panels
    >>> panels.rate_panel.result().label
    'Snapdragon'
    """

    label: str
    temperatures: Quantity
    days: DaysToFlower
    chosen: Quantity
    at_chosen: DaysToFlower
    tried: tuple[Quantity, Quantity] | None
    trial: Trial | None


class RateAndDays:
    """The share of the way to the flower that one day makes, and the days it takes, over the temperature.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.flowering_schedules import panels
    >>> RateAndDays().show(panels.rate_panel.result()).sentence
    'At 18 °C snapdragon takes 51 days from transplant to the first flower, 48 to 54 ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "degC" if system == "metric" else "degF"
        shown = "°C" if system == "metric" else "°F"
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 3.8) if large else (8.2, 3.4))
            low, high = (0.21, 0.74) if large else (0.19, 0.77)
            self._rate = self.figure.add_axes((0.1, low, 0.36, high))
            self._days = self.figure.add_axes((0.61, low, 0.36, high))
            self._rate.set_ylabel("of the way in a day, %")
            self._days.set_ylabel("days to first flower")
            self._artists: list[dict[str, Any]] = []
            for axes in (self._rate, self._days):
                axes.set_xlabel(f"mean temperature, {shown}")
                few_ticks(axes)
                self._artists.append(
                    {
                        "tried": axes.axvspan(0, 1, facecolor=BAND, edgecolor=BLUE, lw=0.8, ls=":"),
                        "range": axes.fill_between(
                            [], [], [], facecolor="none", edgecolor=BLUE, hatch="//", lw=0.6
                        ),
                        "line": axes.plot([], [], color=BLUE)[0],
                        "trial": axes.plot([], [], color=BLACK, marker="x", ms=9, mew=2.2, ls="none")[0],
                        "point": axes.plot([], [], **_POINT)[0],
                    }
                )

    def show(self, found: Warming) -> Picture:
        """Draw a crop.

        Parameters
        ----------
        found : Warming
            The crop over its temperatures.

        Returns
        -------
        Picture
            With its sentence.
        """
        warmth = found.temperatures.m_as(self._unit)
        here = float(found.chosen.m_as(self._unit))
        early, days, late = (
            of.m_as("day") for of in (found.days.early, found.days.expected, found.days.late)
        )
        now = float(found.at_chosen.expected.m_as("day"))
        trial = found.trial
        with house_style(self._large), np.errstate(divide="ignore"):
            rows = (
                (100 / days, 100 / late, 100 / early, 100 / now, lambda value: 100 / value),
                (days, early, late, now, lambda value: value),
            )
            for parts, (line, low, high, point, turned) in zip(self._artists, rows, strict=True):
                kept = np.isfinite(line)
                parts["line"].set_data(warmth[kept], line[kept])
                parts["range"].set_data(warmth[kept], low[kept], high[kept])
                shown = np.isfinite(now) and now <= _MOST_DAYS
                parts["point"].set_data([here] if shown else [], [point] if shown else [])
                if trial is None:
                    parts["trial"].set_data([], [])
                else:
                    parts["trial"].set_data(
                        trial.temperature.m_as(self._unit), turned(trial.days.m_as("day"))
                    )
                parts["tried"].set_visible(found.tried is not None)
                if found.tried is not None:
                    first, last = (float(end.m_as(self._unit)) for end in found.tried)
                    parts["tried"].set(x=first, width=last - first)
            for axes in (self._rate, self._days):
                axes.set_xlim(warmth[0], warmth[-1])
            self._rate.set_ylim(0, max(4.0, 110 / float(days[np.isfinite(days)].min())))
            self._days.set_ylim(0, _MOST_DAYS)
        crosses = "" if trial is None else f" Crosses: {trial.name}, counted from {trial.phase}."
        return Picture(
            self.figure,
            self._sentence(found),
            f"Left a straight line, right a curve: the same numbers. Shaded: temperatures that were tried.{crosses}",
        )

    def _sentence(self, found: Warming) -> str:
        here, one = write(found.chosen, self._system), found.at_chosen
        if not np.isfinite(one.expected.magnitude):
            return f"At {here} {found.label.lower()} never flowers: it stands still there."
        early, days, late = (of.m_as("day") for of in (one.early, one.expected, one.late))
        return (
            f"At {here} {found.label.lower()} takes {days:.0f} days from {one.phase} to the first flower, {early:.0f} "
            f"to {late:.0f} by the range of the crop: each day makes {100 / days:.1f} % of the way."
        )


class BatchBars:
    """Sowings one after the other, a bar for each tank and time, and the stems of each week with their range.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: days and stems are the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.flowering_schedules import panels
    >>> BatchBars().show(*panels.succession_panel.result()).sentence
    '6 sowings of zinnia, 6 plants each, need 6 tanks. ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 4.2) if large else (8.2, 4.6))
            left, wide = (0.12, 0.62) if large else (0.1, 0.68)
            self._rows = self.figure.add_axes((left, 0.5, wide, 0.48))
            self._weeks = self.figure.add_axes((left, 0.14, wide, 0.28), sharex=self._rows)
            self._rows.tick_params(labelbottom=False)
            self._rows.set_ylabel("batch")
            self._weeks.set_ylabel("stems")
            days_along(self._weeks.xaxis, 3, 7)
            x, small = left + wide + 0.015, 0.875 * matplotlib.rcParams["font.size"]
            self._words = [self.figure.text(x, y, "", va="top", fontsize=small) for y in (0.97, 0.42)]
            self._bars: list[Any] = [
                self._rows.add_collection(PolyCollection([], lw=1.2, **look)) for look in _BATCH
            ]
            self._stems: Any = self._weeks.add_collection(
                PolyCollection([], facecolor=BAND, edgecolor=BLUE, lw=1.2)
            )
            self._spread: Any = self._weeks.add_collection(LineCollection([], colors=BLACK, lw=1.6))

    def show(self, plan: Succession, stems: Stems, plants: float) -> Picture:
        """Draw a succession.

        Parameters
        ----------
        plan : Succession
            The sowings.
        stems : Stems
            What they give, week by week.
        plants : float
            How many plants each sowing has.

        Returns
        -------
        Picture
            With its sentence.
        """
        with house_style(self._large):
            spans = (
                [(batch.sow, batch.transplant) for batch in plan],
                [(batch.transplant, batch.end) for batch in plan],
                [(batch.first_flower.early, batch.first_flower.late) for batch in plan],
            )
            for bars, all_spans in zip(self._bars, spans, strict=True):
                bars.set_verts(
                    [
                        _box(day_number(first), day_number(last), row - 0.3, row + 0.3)
                        for row, (first, last) in enumerate(all_spans, 1)
                    ]
                )
            mondays = [day_number(week) for week in stems.weeks]
            self._stems.set_verts(
                [
                    _box(day + 0.7, day + 6.3, 0.0, float(high))
                    for day, high in zip(mondays, stems.expected, strict=True)
                ]
            )
            self._spread.set_segments(
                [
                    [(day + 3.5, float(low)), (day + 3.5, float(high))]
                    for day, low, high in zip(mondays, stems.low, stems.high, strict=True)
                ]
            )
            self._rows.set_ylim(len(plan) + 0.6, 0.4)
            step = max(1, round(len(plan) / 6))
            self._rows.set_yticks(range(1, len(plan) + 1, step))
            self._weeks.set_ylim(0, max(1.0, float(stems.high.max()) * 1.08))
            self._rows.set_xlim(day_number(plan[0].sow) - 2, day_number(plan[-1].end) + 2)
            low, middle, high = stems.total
            self._words[0].set_text(
                f"{len(plan)} sowings,\n{plan.tanks} tanks\n\n"
                f"upright lines:\nseedlings\nsolid: in the tank\nslanted lines:\n{plan[0].event}"
            )
            self._words[1].set_text(f"{middle:.0f} stems,\n{low:.0f} to {high:.0f}\nlines: 8 of 10\noutcomes")
        best = int(np.argmax(stems.expected))
        return Picture(
            self.figure,
            f"{len(plan)} sowings of {plan[0].crop.spoken}, {plants:g} plants each, need {plan.tanks} tanks. "
            f"Sow first on {day_text(plan[0].sow)} and last on {day_text(plan[-1].sow)}. {middle:.0f} stems in all, "
            f"{low:.0f} to {high:.0f}; most in the week from {short_day(stems.weeks[best])}: {stems.low[best]:.0f} to "
            f"{stems.high[best]:.0f}.",
            "Stems come evenly over the harvest here, which real plants do not keep to; no tank has been counted.",
        )


class ChanceInTime:
    """The chance that the first flower is there, over the days, with the day that is wanted.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: days are the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.flowering_schedules import panels
    >>> ChanceInTime().show(*panels.in_time_panel.result()).sentence
    'Sown on 12 April 2027, snapdragon has its first flower by 28 June 2027 in 55 of 100 ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 3.9) if large else (7.8, 3.5))
            axes = self._axes = self.figure.add_axes(
                (0.12, 0.17, 0.6, 0.78) if large else (0.09, 0.15, 0.66, 0.8)
            )
            axes.set_ylabel("in flower, of 100 outcomes")
            days_along(axes.xaxis, 3, 6)
            axes.set_ylim(0, 104)
            (self._line,) = axes.plot([], [], color=BLUE, drawstyle="steps-post")
            (self._wanted,) = axes.plot([], [], color=BLACK, lw=2, ls="--")
            (self._point,) = axes.plot([], [], clip_on=False, **_POINT)
            self._labels = [axes.text(0, 0, "", va="center") for _ in range(2)]

    def show(self, schedule: Schedule, wanted: date) -> Picture:
        """Draw the chance over the days.

        Parameters
        ----------
        schedule : Schedule
            The dates of one sowing.
        wanted : date
            The day by which flowers are wanted.

        Returns
        -------
        Picture
            With its sentence.
        """
        flower, day = schedule.first_flower, np.datetime64(wanted, "D")
        first = min(np.datetime64(flower.early), day) - 4 * ONE_DAY
        last = max(np.datetime64(flower.late), day) + 4 * ONE_DAY
        days = np.arange(first, last + ONE_DAY)
        shares = [100 * schedule.chance_by(one) for one in days]
        chance = 100 * schedule.chance_by(day)
        with house_style(self._large):
            self._line.set_data(days, shares)
            self._wanted.set_data([day, day], [0, 100])
            self._point.set_data([day], [chance])
            self._axes.set_xlim(day_number(first), day_number(last))
            words = (f"wanted:\n{short_day(day)}", f"{chance:.0f} of 100")
            right = last + max(1, days.size // 60) * ONE_DAY
            places = (50, chance) if abs(chance - 50) > 20 else (25, chance)
            for label, place, text in zip(self._labels, places, words, strict=True):
                label.set(position=(right, place), text=text)
        return Picture(
            self.figure,
            f"Sown on {day_text(schedule.sow)}, {schedule.crop.spoken} has its {schedule.event} by "
            f"{day_text(wanted)} in {chance:.0f} of 100 outcomes; expected on {short_day(flower.expected)}, between "
            f"{short_day(flower.early)} and {short_day(flower.late)}.",
            "Outcomes: each year of the weather on record with each part of the crop's own range. A year whose cold "
            "kills the plants first is never in time. Weak light is not in it.",
        )


def _box(left: float, right: float, low: float, high: float) -> list[tuple[float, float]]:
    return [(left, low), (right, low), (right, high), (left, high)]
