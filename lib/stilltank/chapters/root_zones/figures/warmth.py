"""The temperature of the solution, hour by hour, through hot days."""

from datetime import date

import numpy as np
from matplotlib.ticker import StrMethodFormatter

from stilltank.science.oxygen import saturation, warmest_known
from stilltank.science.roots import SolutionTemperature
from stilltank.season.plan import nearest_measurement
from stilltank.show.figures import (
    BAND,
    BLACK,
    BLUE,
    VERMILLION,
    Picture,
    apart,
    few_ticks,
    house_style,
    new_figure,
    short_day,
)
from stilltank.tables import load
from stilltank.units import Q, Quantity, whole_degrees, write, write_range


class HotDays:
    """The solution and the air through hot days, with the temperatures that roots do not like.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.root_zones import panels
    >>> HotDays().show(*panels.warmth_panel.result()).sentence
    'From ... on the solution reaches ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "degC" if system == "metric" else "degF"
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.0) if large else (7.8, 3.7))
            axes = self._axes = self.figure.add_axes(
                (0.11, 0.19, 0.55, 0.77) if large else (0.08, 0.16, 0.64, 0.8)
            )
            self._band = axes.fill_between([], [], [], facecolor=BAND, edgecolor=BLUE, lw=0.8, ls=":")
            (self._water,) = axes.plot([], [], color=BLUE)
            (self._air,) = axes.plot([], [], color=BLACK, lw=1.4, ls="--")
            self._lines = {}
            for name, style in (("slow above", ":"), ("die above", "-.")):
                limit = float(load("solution-heat")["roots", name].quantity.m_as(self._unit))
                self._lines[name] = limit
                axes.axhline(limit, color=VERMILLION, lw=1.6, ls=style)
            axes.set_xlabel("days")
            axes.set_ylabel("°C" if system == "metric" else "°F")
            few_ticks(axes)
            axes.xaxis.set_major_formatter(StrMethodFormatter("{x:g}"))
            self._labels = {
                name: axes.text(0, 0, "", va="center") for name in ("water", "air", "slow above", "die above")
            }

    def show(self, found: SolutionTemperature, first: date) -> Picture:
        """Draw the days.

        Parameters
        ----------
        found : SolutionTemperature
            Hour by hour.
        first : date
            The first day.

        Returns
        -------
        Picture
            With its sentence.
        """
        low, water, high, air = (
            each.m_as(self._unit) for each in (found.low, found.water, found.high, found.air)
        )
        days = np.arange(1, water.size + 1) / 24
        with house_style(self._large):
            self._band.set_data(days, low, high)
            self._water.set_data(days, water)
            self._air.set_data(days, air)
            least, most = min(low.min(), air.min()), max(high.max(), air.max(), self._lines["die above"])
            room = 0.05 * (most - least)
            self._axes.set_xlim(0, days[-1])
            self._axes.set_ylim(least - room, most + room)
            words = {
                "water": "solution, with its range",
                "air": "dashed: air",
                "slow above": "dotted: roots are slow",
                "die above": "dash-dot: roots may die",
            }
            places = {"water": float(water[-1]), "air": float(air[-1]), **self._lines}
            for name, place in apart(places, (0.1 if self._large else 0.075) * (most - least)).items():
                self._labels[name].set(position=(days[-1] * 1.02, place), text=words[name])
        caption = (
            "We found no published temperature of a lidded still tank outdoors. "
            f"{nearest_measurement(self._system)} What roots stand is common practice."
        )
        return Picture(self.figure, self._sentence(found, first), caption)

    def _sentence(self, found: SolutionTemperature, first: date) -> str:
        def said(temperature: Quantity) -> str:
            return write(whole_degrees(temperature, self._system), self._system)

        ends = [Q(float(each.m_as("degC").max()), "degC") for each in (found.low, found.high)]
        hottest = Q(float(found.water.m_as("degC").max()), "degC")
        low, high = (whole_degrees(end, self._system) for end in ends)
        spread = write_range(low, high, self._system)
        slow, die = (load("solution-heat")["roots", name].quantity for name in ("slow above", "die above"))
        hours = [100 * float((found.water > limit).mean()) for limit in (slow, die)]
        known, too_warm = warmest_known(hottest)
        holds = f"{'at most ' * bool(too_warm)}{saturation(known).m_as('mg/L'):.1f} mg/L"
        return (
            f"From {short_day(first)} {first.year} on the solution reaches {said(hottest)} in its hottest hour, "
            f"{spread} over what is assumed, and can then hold {holds} of oxygen. It is above {said(slow)}, where "
            f"roots are slow, for {hours[0]:.0f} % of the time, and above {said(die)}, where they may die, for "
            f"{hours[1]:.0f} %."
        )
