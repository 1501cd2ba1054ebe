"""The dates of one crop: as seedlings, in the tank, flowering, cut."""

from datetime import date
from typing import Any

import matplotlib

from stilltank.science.calendar import Schedule

from .labels import day_number, day_text, short_day
from .picture import BLUE, GREEN, PURPLE, VERMILLION, Picture, days_along, house_style, new_figure

_ROWS = ("seedlings", "in the tank", "event", "harvest")
_LOOKS: tuple[dict[str, Any], ...] = (
    {"facecolor": "white", "edgecolor": GREEN, "hatch": "||"},
    {"facecolor": BLUE, "edgecolor": BLUE},
    {"facecolor": "white", "edgecolor": PURPLE, "hatch": "////"},
    {"facecolor": "white", "edgecolor": VERMILLION, "hatch": "xx"},
)


class SeasonDates:
    """One row for each part of a crop's time, with its dates beside it; drawn once, ``show`` moves it.

    Parameters
    ----------
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.science import calendar
    >>> found = calendar.schedule("rocket", "new-york", sow="2026-04-01")
    >>> SeasonDates().show(found, date(2026, 4, 20)).sentence
    'Sow on 1 April 2026; into the tank on 20 April 2026; ...'
    """

    def __init__(self, large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 3.2) if large else (7.8, 2.8))
            axes = self._axes = self.figure.add_axes(
                (0.19, 0.25, 0.5, 0.73) if large else (0.19, 0.22, 0.5, 0.76)
            )
            days_along(axes.xaxis, 3, 6)
            axes.yaxis.set_visible(False)
            axes.set_ylim(-0.6, len(_ROWS) - 0.4)
            axes.grid(visible=False, axis="y")
            places = dict(zip(_ROWS, range(len(_ROWS) - 1, -1, -1), strict=True))
            self._bars = {
                name: axes.barh(places[name], 1, height=0.56, lw=1.4, **look)[0]
                for name, look in zip(_ROWS, _LOOKS, strict=True)
            }
            (self._expected,) = axes.plot(
                [], [], color=PURPLE, marker="D", ms=9, mfc="white", mew=2.4, ls="none"
            )
            across = axes.get_yaxis_transform()
            small = 0.9 * matplotlib.rcParams["font.size"]
            self._names, self._dates = (
                {
                    name: axes.text(
                        x, places[name], name, transform=across, va="center", ha=side, fontsize=small
                    )
                    for name in _ROWS
                }
                for x, side in ((-0.03, "right"), (1.03, "left"))
            )

    def show(self, schedule: Schedule, planted: date, remark: str = "") -> Picture:
        """Draw a schedule.

        Parameters
        ----------
        schedule : Schedule
            The dates of the crop.
        planted : date
            The day on which the seedlings go into the tank.
        remark : str
            A sentence to end with; none when empty.

        Returns
        -------
        Picture
            With its sentence.
        """
        flower, end = schedule.first_flower, schedule.end
        spans = {
            "seedlings": (schedule.sow, planted),
            "in the tank": (planted, end),
            "event": (flower.early, flower.late),
            "harvest": (flower.expected, end),
        }
        words = {
            "seedlings": f"sow {_brief(schedule.sow)}",
            "in the tank": f"from {_brief(planted)}",
            "event": f"{_brief(flower.early)} to {_brief(flower.late)}",
            "harvest": f"until {_brief(end)}",
        }
        with house_style(self._large):
            for name, (first, last) in spans.items():
                begin, finish = (day_number(day) for day in (first, last))
                self._bars[name].set(x=begin, width=max(finish - begin, 0))
                self._dates[name].set_text(words[name])
            self._names["event"].set_text(schedule.event)
            self._expected.set_data([day_number(flower.expected)], [1])
            begin, finish = day_number(schedule.sow), day_number(max(end, flower.late))
            self._axes.set_xlim(begin, finish + 0.02 * (finish - begin))
        sow = (
            f"Sow on {day_text(schedule.sow)}; into"
            if schedule.sow < planted
            else "Sow or set seedlings into"
        )
        ends = schedule.harvest_end
        between = (
            f", between {short_day(ends.early)} and {short_day(ends.late)}" if ends.early < ends.late else ""
        )
        sentence = (
            f"{sow} the tank on {day_text(planted)}; {schedule.event} about {short_day(flower.expected)}, between "
            f"{short_day(flower.early)} and {short_day(flower.late)}; the tank is free again about {day_text(end)}"
            f"{between}. {remark}"
        )
        return Picture(self.figure, sentence.rstrip())


def _brief(day: date) -> str:
    return f"{day.day} {day:%b}"
