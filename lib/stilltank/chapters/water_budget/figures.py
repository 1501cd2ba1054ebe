"""The level in days to come: under two ways of topping up, and while nobody looks."""

from collections.abc import Sequence
from typing import Any

import matplotlib
import numpy as np
from matplotlib.lines import Line2D
from matplotlib.ticker import MaxNLocator

from stilltank.science.budget import Comparison, LatestLook
from stilltank.science.hydraulics import Hole, Storm
from stilltank.science.tank import Tank
from stilltank.show.figures import (
    BLACK,
    BLUE,
    GREEN,
    TWO_COURSES,
    VERMILLION,
    Picture,
    apart,
    days_along,
    few_ticks,
    house_style,
    new_figure,
    rise_rule,
    rise_text,
    short_day,
)
from stilltank.tables import load
from stilltank.units import Q, Quantity, write

_ALL = 100  # seasons are counted of a hundred


class TwoLevelCourses:
    """The level under two ways of topping up, each a line in its band, and what each costs and risks in words.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.water_budget import panels
    >>> TwoLevelCourses().show(*panels.strategies_panel.result()).sentence
    'No top-up: 0 L added, low in ... By hand every 14 days, to the first level: ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 4.2) if large else (8.4, 4.0))
            axes = self._axes = self.figure.add_axes(
                (0.1, 0.16, 0.47, 0.8) if large else (0.085, 0.13, 0.57, 0.83)
            )
            axes.set_ylabel(f"level of the solution, {self._unit}")
            days_along(axes.xaxis, 3, 7)
            (self._pots,) = axes.plot([], [], color=GREEN, ls="-.", lw=1.8)
            x = 0.6 if large else 0.68
            small = 0.875 * matplotlib.rcParams["font.size"]
            self._parts = [
                (
                    axes.fill_between([], [], [], **band),
                    axes.plot([], [], **line)[0],
                    self.figure.add_artist(Line2D([x, x + 0.035], [y - 0.025] * 2, **line)),
                    self.figure.text(x + 0.045, y, "", va="top", fontsize=small),
                )
                for (line, band), y in zip(TWO_COURSES, (0.95, 0.55), strict=True)
            ]
            self.figure.text(x, 0.13, "·–· lower end of net pots", va="bottom", fontsize=small, color=BLACK)

    def show(self, tank: Tank, comparison: Comparison) -> Picture:
        """Draw a comparison of two ways.

        Parameters
        ----------
        tank : Tank
            With net pots.
        comparison : Comparison
            Of two ways of topping up, or of one alone.

        Returns
        -------
        Picture
            With its sentence.
        """
        unit, system = self._unit, self._system
        table, courses = comparison.table, comparison.courses
        days, levels = courses.dates, [courses.levels[name].m_as(unit) for name in table.index]
        pots = (tank.height - tank.net_pot_depth).m_as(unit)
        told = [(str(name), _facts(row, system)) for name, row in table.iterrows()]
        short = [_short_facts(row, system) for _, row in table.iterrows()]
        with house_style(self._large):
            for number, (band, line, key, words) in enumerate(self._parts):
                there = number < len(table)
                for artist in (band, line, key, words):
                    artist.set_visible(there)
                if there:
                    low, middle, high = levels[number]
                    band.set_data(days, low, high)
                    line.set_data(days, middle)
                    words.set_text("\n".join([*_broken(told[number][0]), *short[number]]))
            self._pots.set_data(days[[0, -1]], [pots, pots])
            self._axes.set_xlim(days[0], days[-1])
            self._axes.set_ylim(0, tank.height.m_as(unit))
        lowest = load("budget")["tank", "shortage depth"].quantity
        said = ". ".join(f"{name[0].upper()}{name[1:]}: {', '.join(facts)}" for name, facts in told)
        return Picture(
            self.figure,
            f"{said}.",
            "Lines: half of the simulated seasons are lower; bands: 8 of 10. Largest rise: in half of the seasons it "
            f"is more. Low: below {write(lowest, system)}, where fewer roots reach the solution. We assume that nobody "
            f"misses a day. {rise_rule(system)}",
        )


def _short_facts(row: Any, system: str) -> list[str]:
    return [
        f"{write(Q(float(row['added (L)']), 'L'), system)} added",
        f"low: {row['runs low (%)']:.0f} of {_ALL}",
        f"above caution: {row['above caution (%)']:.0f} of {_ALL}",
    ]


def _facts(row: Any, system: str) -> list[str]:
    return [
        f"{write(Q(float(row['added (L)']), 'L'), system)} added",
        f"low in {row['runs low (%)']:.0f} of {_ALL}",
        f"above the caution in {row['above caution (%)']:.0f} of {_ALL}",
        f"largest rise {write(Q(float(row['largest rise (cm)']), 'cm'), system, digits=2)}",
    ]


def _broken(name: str) -> Sequence[str]:
    """A name at its comma over two lines, where it has one."""
    first, comma, rest = name.partition(", ")
    return [first + comma, rest] if comma else [first]


class LevelLeftAlone:
    """The level while nobody looks: its range, the depth below which plants get less, and the day to look by.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.water_budget import panels
    >>> LevelLeftAlone().show(panels.away_panel.result()).sentence
    'Look by ... June, after ...: until then the solution stays above 3 cm ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        line, band = TWO_COURSES[0]
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.0) if large else (7.8, 3.6))
            axes = self._axes = self.figure.add_axes(
                (0.1, 0.17, 0.55, 0.78) if large else (0.09, 0.15, 0.62, 0.8)
            )
            axes.set_ylabel(f"level of the solution, {self._unit}")
            days_along(axes.xaxis, 3, 6)
            axes.yaxis.set_major_locator(
                MaxNLocator(6, steps=[1, 2, 5, 10], integer=True)
            )  # 17.5 is too wide
            self._band = axes.fill_between([], [], [], **band)
            (self._line,) = axes.plot([], [], **line)
            (self._low,) = axes.plot([], [], color=VERMILLION, ls=":", lw=2.2)
            (self._look,) = axes.plot([], [], color=BLACK, lw=2, ls="--")
            (self._point,) = axes.plot(
                [], [], color=BLACK, marker="D", ms=9, mfc="white", mew=2.4, ls="none", clip_on=False
            )
            names = ("median", "low")
            self._labels = {name: axes.text(0, 0, "", va="center") for name in names}
            self._day = axes.text(0, 0, "", va="bottom", ha="left")

    def show(self, look: LatestLook) -> Picture:
        """Draw the days from now on.

        Parameters
        ----------
        look : LatestLook
            The level from today on, and the day of the next visit.

        Returns
        -------
        Picture
            With its sentence.
        """
        unit = self._unit
        days = look.dates
        low, middle, high = look.levels.m_as(unit)
        floor, top = look.lowest.m_as(unit), float(high.max())
        sure = f"{100 * look.certainty:.0f}"
        with house_style(self._large):
            self._band.set_data(days, low, high)
            self._line.set_data(days, middle)
            self._low.set_data(days[[0, -1]], [floor, floor])
            shown = look.date is not None
            at: list[Any] = [look.date, look.date] if shown else []
            self._look.set_data(at, [0, top * 1.1][: len(at)])
            self._point.set_data(at[:1], [floor][: len(at)])
            right = days[-1] + np.timedelta64(max(1, round(0.015 * days.size)), "D")
            ends = {"median": float(middle[-1]), "low": floor}
            words = {"median": "half of the seasons\nstand lower", "low": "plants get less below"}
            for name, place in apart(ends, top * (0.2 if self._large else 0.16)).items():
                self._labels[name].set(position=(right, place), text=words[name])
            late = shown and (look.days > 0.7 * len(days))
            word = f"look by {short_day(look.date)}" if look.date and shown and not look.ends else ""
            self._day.set(
                position=(at[0] if shown else days[0], top * 1.1), text=word, ha="right" if late else "left"
            )
            self._axes.set_xlim(days[0], days[-1])
            self._axes.set_ylim(0, top * 1.2)
        return Picture(
            self.figure,
            self._sentence(look),
            f"Band: {sure} of 100 computed seasons stay above its lower edge, as many below its upper edge.",
        )

    def _sentence(self, look: LatestLook) -> str:
        lowest, share = write(look.lowest, self._system), f"{100 * look.certainty:.0f} of 100 seasons"
        if look.date is None:
            return (
                f"Look today: by this evening the solution may stand below {lowest}, where plants get less, in more "
                f"than {100 - 100 * look.certainty:.0f} of 100 seasons."
            )
        if look.ends:
            return f"The solution stays above {lowest} to the end of the season, {short_day(look.date)}, in {share}."
        return (
            f"Look by {short_day(look.date)}, after {write(Q(look.days, 'day'))}: until then the solution stays above "
            f"{lowest} in {share}, and in half of them for {write(Q(look.median_days, 'day'))}."
        )


_ROOM = 0.6  # cm above and below what is shown


class StormCourse:
    """The level through a storm, a line for the open hole and one for the blocked, with the caution about a rise.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.water_budget import panels
    >>> storms, hole, tank = panels.storm_panel.result()
    >>> StormCourse().show(storms, hole, tank.height).sentence
    '4 L of rain get in; ... With the hole of 12 mm open the level rises 1.2 cm, ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 4.0) if large else (8.0, 3.6))
            axes = self._axes = self.figure.add_axes(
                (0.12, 0.18, 0.48, 0.78) if large else (0.09, 0.16, 0.59, 0.8)
            )
            axes.set_xlabel("hours")
            axes.set_ylabel(f"level of the solution, {self._unit}")
            few_ticks(axes)
            (self._blocked,) = axes.plot([], [], color=VERMILLION, ls="--")
            (self._open,) = axes.plot([], [], color=BLUE)
            self._heights = {
                "allowed": axes.axhline(0, color=BLACK, lw=2, ls=":"),
                "hole": axes.axhline(0, color=BLACK, lw=1.2),
                "rim": axes.axhline(0, color=BLACK, lw=4),
            }
            names = ("open", "blocked", *self._heights)
            self._labels = {name: axes.text(0, 0, "", va="center") for name in names}

    def show(self, storms: tuple[Storm, Storm], hole: Hole, rim: Quantity) -> Picture:
        """Draw a storm.

        Parameters
        ----------
        storms : tuple of Storm
            The same storm with the hole open, and with the hole blocked.
        hole : Hole
            The hole that they ran through.
        rim : Quantity
            The height of the tank.

        Returns
        -------
        Picture
            With its sentence.
        """
        unit, (clean, blocked) = self._unit, storms
        hours = clean.times.m_as("hour")
        places = {
            "open": clean.levels[-1],
            "blocked": blocked.levels[-1],
            "allowed": clean.start + clean.allowed,
            "hole": hole.height,
            "rim": rim,
        }
        plain = {name: float(place.m_as(unit)) for name, place in places.items()}
        top = max(plain[name] for name in ("open", "blocked", "allowed", "hole"))
        words = {
            "open": f"hole open: {rise_text(clean.rise, clean.allowed, self._system)} up",
            "blocked": f"blocked: {rise_text(blocked.rise, blocked.allowed, self._system)} up",
            "allowed": "above it: caution",
            "hole": "lower edge of the hole",
            "rim": "rim" if plain["rim"] <= top * 1.001 else "",
        }
        with house_style(self._large):
            self._open.set_data(hours, clean.levels.m_as(unit))
            self._blocked.set_data(hours, blocked.levels.m_as(unit))
            for name, line in self._heights.items():
                line.set_ydata([plain[name]] * 2)
            first, room = float(clean.start.m_as(unit)), _ROOM if unit == "cm" else _ROOM / 2.54
            self._axes.set_xlim(0, hours[-1])
            self._axes.set_ylim(first - room, top + room)
            gap = (top - first + 2 * room) * (0.105 if self._large else 0.085)
            said = {name: place for name, place in plain.items() if words[name]}
            for name, label in self._labels.items():
                label.set_text(words[name])
            for name, place in apart(said, gap).items():
                self._labels[name].set_position((hours[-1] * 1.02, place))
        return Picture(
            self.figure,
            self._sentence(storms, hole.diameter),
            f"The pots hang clear before the storm. {rise_rule(self._system)}",
        )

    def _sentence(self, storms: tuple[Storm, Storm], diameter: Quantity) -> str:
        system, (clean, blocked) = self._system, storms
        wide = f"{diameter.m_as('mm'):g} mm" if system == "metric" else write(diameter, system, digits=2)

        def rises(storm: Storm) -> str:
            where = "above" if storm.too_far else "within"
            over = (
                f", and {write(storm.over_rim, system)} run over the rim" if storm.over_rim.magnitude else ""
            )
            return (
                f"the level rises {rise_text(storm.rise, storm.allowed, system)}, {where} the caution{over}"
            )

        return (
            f"{write(clean.rain_in, system)} of rain get in; a rise of more than "
            f"{write(clean.allowed, system, digits=2)} may injure plants. With the hole of {wide} open {rises(clean)}. "
            f"With the hole blocked {rises(blocked)}."
        )
