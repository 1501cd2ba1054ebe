"""Figures of chapter 6: plants for a filling, sowings before the cold, what salts cost, and a watering round."""

import textwrap
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

import matplotlib
import numpy as np

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
from stilltank.units import Q, Quantity, capital, figure, write

_PLAIN: dict[str, Any] = {"facecolor": BAND, "edgecolor": BLUE, "lw": 1.2}
_CHOSEN: dict[str, Any] = {"facecolor": "white", "edgecolor": VERMILLION, "hatch": "////", "lw": 1.6}
_TUBS: tuple[dict[str, Any], ...] = (  # each tub has a colour and lines of its own
    {"facecolor": BAND, "edgecolor": BLUE},
    {"facecolor": "white", "edgecolor": GREEN, "hatch": "||"},
    {"facecolor": "white", "edgecolor": PURPLE, "hatch": "\\\\"},
    {"facecolor": "white", "edgecolor": VERMILLION, "hatch": "//"},
)
_BAGS = 3  # kinds of bags that are drawn
_COUNTED = {1: "One", 2: "Two", 3: "Three", 4: "Four", 5: "Five", 6: "Six"}


@dataclass(frozen=True, eq=False)
class Crowd:
    """How often a tank runs dry, for each number of plants.

    Parameters
    ----------
    crop : str
        The plants, in words.
    where : str
        The place, in words.
    dry : numpy array
        Share of the simulated seasons in which it runs dry, for 1, 2, 3 and more plants.
    gives : Quantity
        What the filling gives before only the unusable rest is left.
    chosen : int
        How many plants are chosen.
    room : int or None
        How many the lid has room for.
    end : date
        The last day of the season.

    Examples
    --------
    >>> crowd = Crowd("basil", "a roof", np.array([0.0, 0.4]), Q(34, "L"), 2, 5, date(2027, 10, 10))
    >>> crowd.each.m_as("L"), crowd.safe
    (17.0, 1)
    """

    crop: str
    where: str
    dry: np.ndarray
    gives: Quantity
    chosen: int
    room: int | None
    end: date

    @property
    def each(self) -> Quantity:
        """What the filling gives to each plant."""
        return self.gives / self.chosen

    @property
    def safe(self) -> int:
        """The most plants with which it runs dry in at most 5 of 100 seasons."""
        return int(np.sum(self.dry <= 0.05 + 1e-12))


class CrowdBars:
    """A bar for each number of plants: in how many of 100 seasons the tank runs dry.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of the sentence.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.season_plan import panels
    >>> CrowdBars().show(panels.crowding_panel.result()).sentence
    'Quillgate, in the open: with 4 snapdragon plants ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 3.8) if large else (7.8, 3.4))
            axes = self._axes = self.figure.add_axes(
                (0.13, 0.21, 0.6, 0.74) if large else (0.1, 0.19, 0.66, 0.76)
            )
            axes.grid(visible=False, axis="x")
            axes.set_xlabel("plants in the tank")
            axes.set_ylabel("dry, of 100 seasons")
            few_ticks(axes, x=False)
            axes.set_ylim(0, 104)
            self._bars: Any = []
            (self._room,) = axes.plot([], [], color=BLACK, lw=2, ls="--")
            self._words = axes.text(1.02, 0.98, "", transform=axes.transAxes, va="top")

    def show(self, crowd: Crowd) -> Picture:
        """Draw the numbers of plants.

        Parameters
        ----------
        crowd : Crowd
            How often the tank runs dry with each.

        Returns
        -------
        Picture
            With its sentence.
        """
        dry = 100 * crowd.dry
        with house_style(self._large):
            if len(self._bars) != len(dry):
                for bar in self._bars:
                    bar.remove()
                self._bars = self._axes.bar(np.arange(1, len(dry) + 1), dry, width=0.7, **_PLAIN)
                self._axes.set_xlim(0.3, len(dry) + 0.7)
                self._axes.set_xticks(np.arange(1, len(dry) + 1, 1 if len(dry) <= 14 else 5))
            for count, (bar, height) in enumerate(zip(self._bars, dry, strict=True), 1):
                bar.set_height(height)
                look = _CHOSEN if count == crowd.chosen else {"hatch": None, **_PLAIN}
                bar.set(**look)
            shown = crowd.room is not None and crowd.room < len(dry)
            edge = crowd.room + 0.5 if shown and crowd.room is not None else 0
            self._room.set_data([edge, edge] if shown else [], [0, 100] if shown else [])
            line = "dashed:\nno more room\non the lid\n\n" if shown else ""
            self._words.set_text(f"{line}slanted lines:\nthe chosen\nnumber")
        room = "" if crowd.room is None else f" The lid has room for {crowd.room}."
        plants = f"{crowd.chosen} {crowd.crop} plant{'s' * (crowd.chosen != 1)}"
        most = (
            f"With up to {crowd.safe} it is dry in at most 5 of 100."
            if crowd.safe
            else "Not even one plant lasts in 95 of 100."
        )
        return Picture(
            self.figure,
            f"{capital(crowd.where)}: with {plants} the filling gives {write(crowd.each, self._system)} to each until "
            f"{day_text(crowd.end)}. The tank runs dry before that in {dry[crowd.chosen - 1]:.0f} of 100 simulated "
            f"seasons. {most}{room}",
            "Nothing is topped up. What an exposed tank uses is uncertain, and the seasons carry that.",
        )


@dataclass(frozen=True, eq=False)
class Sowings:
    """What each sowing of a season gives before the cold or the heat ends it.

    Parameters
    ----------
    crop : str
        The plants, in words.
    where : str
        The place, in words.
    sown : tuple of date
        The days of sowing.
    cutting : numpy array
        Days from the expected first flower or harvest to the end, for each; 0 where none comes.
    wanted : float
        Days of cutting that are wanted.
    event : str
        What the days count from, such as "first flower".
    flowers : tuple of date or None
        The expected first flower of each, None where none comes.

    Examples
    --------
    >>> two = (date(2027, 5, 10), date(2027, 7, 19))
    >>> Sowings("zinnia", "a roof", two, np.array([90, 17]), 28, "first flower", (None, None)).last
    datetime.date(2027, 5, 10)
    """

    crop: str
    where: str
    sown: tuple[date, ...]
    cutting: np.ndarray
    wanted: float
    event: str
    flowers: tuple[date | None, ...]

    @property
    def last(self) -> date | None:
        """The last sowing that gives as many days of cutting as are wanted; None where none does."""
        good = np.flatnonzero(self.cutting >= self.wanted)
        return self.sown[int(good[-1])] if good.size else None


class SowingBars:
    """A bar for each day of sowing: the days of cutting that are left.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: days are the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.season_plan import panels
    >>> SowingBars().show(panels.frost_panel.result()).sentence
    'Quillgate, in the open: the last sowing of zinnia ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 3.8) if large else (7.8, 3.4))
            axes = self._axes = self.figure.add_axes(
                (0.13, 0.21, 0.6, 0.74) if large else (0.1, 0.19, 0.66, 0.76)
            )
            axes.grid(visible=False, axis="x")
            axes.set_xlabel("sown on")
            axes.set_ylabel("days of cutting")
            few_ticks(axes, x=False)
            days_along(axes.xaxis, 4, 7)
            self._bars: Any = []
            self._wanted = axes.axhline(0, color=BLACK, lw=2, ls="--")
            self._words = axes.text(1.02, 0.98, "", transform=axes.transAxes, va="top")

    def show(self, sowings: Sowings) -> Picture:
        """Draw the sowings of a season.

        Parameters
        ----------
        sowings : Sowings
            What each gives.

        Returns
        -------
        Picture
            With its sentence.
        """
        days = [day_number(day) for day in sowings.sown]
        last = sowings.last
        with house_style(self._large):
            for bar in self._bars:
                bar.remove()
            self._bars = self._axes.bar(days, sowings.cutting, width=9, **_PLAIN)
            for day, bar in zip(sowings.sown, self._bars, strict=True):
                if day == last:
                    bar.set(**_CHOSEN)
            self._wanted.set_ydata([sowings.wanted, sowings.wanted])
            self._axes.set_xlim(days[0] - 8, days[-1] + 8)
            self._axes.set_ylim(0, max(float(sowings.cutting.max()), sowings.wanted) * 1.1)
            named = "slanted lines:\nlast useful\nsowing\n\n" if last else ""
            self._words.set_text(f"{named}dashed:\ndays that\nare wanted")
        where, wanted = capital(sowings.where), f"{sowings.wanted:g} days of cutting"
        if last is None:
            sentence = f"{where}: no sowing of {sowings.crop} gives {wanted} before the season ends it."
        else:
            at = sowings.sown.index(last)
            flower = sowings.flowers[at]
            expected = f", with its {sowings.event} expected on {short_day(flower)}" if flower else ""
            sentence = (
                f"{where}: the last sowing of {sowings.crop} that gives {wanted} is that of {day_text(last)}"
                f"{expected}. It gives {sowings.cutting[at]:.0f} days."
            )
            if at + 1 < len(days):
                sentence += (
                    f" Sown on {short_day(sowings.sown[at + 1])}, it gives {sowings.cutting[at + 1]:.0f}."
                )
        return Picture(
            self.figure,
            sentence,
            "Expected days, by the years of weather on record. Half of the seasons have fewer.",
        )


@dataclass(frozen=True, eq=False)
class BagCosts:
    """What bags cost, and what goes into the tanks of it.

    Parameters
    ----------
    used, bought : mapping of str to float
        The price of what the fillings take from each bag, and of the whole bags that hold it.
    bags : int
        Whole bags, of all kinds together.
    bag : Quantity
        What each bag holds.
    pieces : float
        Stems or plants that share the cost.
    piece : str
        What is counted, such as "stem".
    crop : str
        The plants, in words.
    tubs : int
        How many tanks share the bags.
    currency : str
        The word for the currency.

    Examples
    --------
    >>> costs = BagCosts({"a": 0.2}, {"a": 4.0}, 1, Q(1, "kg"), 20, "stem", "zinnia", 2, "coins")
    >>> costs.each(costs.bought), costs.each(costs.used)
    (0.2, 0.01)
    """

    used: Mapping[str, float]
    bought: Mapping[str, float]
    bags: int
    bag: Quantity
    pieces: float
    piece: str
    crop: str
    tubs: int
    currency: str

    def each(self, costs: Mapping[str, float]) -> float:
        """Share costs out over stems or plants.

        Parameters
        ----------
        costs : mapping of str to float
            What is used, or what is bought.

        Returns
        -------
        float
            For one stem or plant.
        """
        return sum(costs.values()) / self.pieces


class BagBars:
    """What is bought in whole bags, and what goes into the tanks of it, for each bag.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of the sentence.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.season_plan import panels
    >>> BagBars().show(panels.price_panel.result()).sentence
    'Two bags of 1 kg cost ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 3.6) if large else (8.0, 3.0))
            axes = self._axes = self.figure.add_axes(
                (0.3, 0.23, 0.67, 0.72) if large else (0.24, 0.21, 0.73, 0.74)
            )
            axes.grid(visible=False, axis="y")
            few_ticks(axes, y=False)
            rows, none = np.arange(_BAGS), np.zeros(_BAGS)
            self._bought: Any = axes.barh(rows - 0.2, none, height=0.36, **_PLAIN)
            self._used: Any = axes.barh(rows + 0.2, none, height=0.36, **_CHOSEN)
            axes.set_ylim(_BAGS - 0.4, -0.6)
            axes.set_yticks(rows)
            axes.legend(
                [self._bought[0], self._used[0]],
                ["bought in whole bags", "goes into the tanks"],
                loc="lower right",
                frameon=False,
            )

    def show(self, costs: BagCosts) -> Picture:
        """Draw the costs of the bags.

        Parameters
        ----------
        costs : BagCosts
            What each bag costs.

        Returns
        -------
        Picture
            With its sentence.
        """
        names = sorted(costs.bought, key=lambda name: -costs.bought[name])
        with house_style(self._large):
            for bars, of in ((self._bought, costs.bought), (self._used, costs.used)):
                for row, bar in enumerate(bars):
                    bar.set_visible(row < len(names))
                    bar.set_width(of[names[row]] if row < len(names) else 0.0)
            self._axes.set_yticklabels(
                [_short(name, self._large) for name in names] + [""] * (_BAGS - len(names))
            )
            self._axes.set_xlim(0, max([*costs.bought.values(), 1e-6]) * 1.12)
            self._axes.set_xlabel(f"{costs.currency}")
        all_bought, all_used = (figure(sum(of.values()), 3) for of in (costs.bought, costs.used))
        tubs = "one tank" if costs.tubs == 1 else f"{costs.tubs} tanks"
        number = _COUNTED.get(costs.bags, f"{costs.bags}")
        return Picture(
            self.figure,
            f"{number} bag{'s' * (costs.bags != 1)} of {write(costs.bag, self._system)} cost {all_bought} "
            f"{costs.currency}. One filling of {tubs} takes {all_used} {costs.currency} of it. Shared out over "
            f"{costs.pieces:g} {costs.piece}s of {costs.crop}, that is {figure(costs.each(costs.bought), 2)} for each "
            f"as bought, and {figure(costs.each(costs.used), 2)} as used.",
            "Prices are invented. One filling is counted; top-ups, acid, tubs and work are not in it.",
        )


@dataclass(frozen=True, eq=False)
class Round:
    """The visits of a season: what several tanks take on each.

    Parameters
    ----------
    days : tuple of date
        The days of the visits.
    names : tuple of str
        The tanks.
    litres : numpy array
        The median that each tank takes on each visit, L; [tanks, visits].
    total : numpy array
        What all take together: low, middle and high, L; [3, visits].
    dry : tuple of float
        Share of the simulated seasons in which each tank runs dry all the same.
    every : int
        Days from one visit to the next.

    Examples
    --------
    >>> one = Round((date(2027, 6, 1),), ("basil",), np.array([[2.0]]), np.array([[1.0], [2.0], [3.0]]), (0.1,), 7)
    >>> one.heaviest
    0
    """

    days: tuple[date, ...]
    names: tuple[str, ...]
    litres: np.ndarray
    total: np.ndarray
    dry: tuple[float, ...]
    every: int

    @property
    def heaviest(self) -> int:
        """Which visit takes most."""
        return int(np.argmax(self.total[1]))


class RoundBars:
    """The litres of each visit, tank upon tank, with the range of all together.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of axes and sentence.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.season_plan import panels
    >>> RoundBars().show(panels.round_panel.result()).sentence
    'On a round every 3 days ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit, shown = ("L", "litres") if system == "metric" else ("gallon", "US gallons")
        with house_style(large):
            self.figure = new_figure(figsize=(8.3, 3.9) if large else (8.0, 3.5))
            axes = self._axes = self.figure.add_axes(
                (0.12, 0.14, 0.6, 0.81) if large else (0.09, 0.12, 0.66, 0.83)
            )
            axes.set_ylabel(f"{shown} to carry")
            few_ticks(axes, x=False)
            days_along(axes.xaxis, 3, 6)
            self._small = 0.875 * matplotlib.rcParams["font.size"]
            self._drawn: list[Any] = []

    def show(self, found: Round) -> Picture:
        """Draw the visits of a season.

        Parameters
        ----------
        found : Round
            What the tanks take on each visit.

        Returns
        -------
        Picture
            With its sentence.
        """
        days = np.array([day_number(day) for day in found.days])
        litres, total = (Q(rows, "L").m_as(self._unit) for rows in (found.litres, found.total))
        axes, width = self._axes, max(0.7 * found.every, 1.0)
        with house_style(self._large):
            for artist in self._drawn:
                artist.remove()
            self._drawn, floor = [], np.zeros(len(days))
            for row, (name, taken) in enumerate(zip(found.names, litres, strict=True)):
                look = {"lw": 0.8, **_TUBS[row % len(_TUBS)]}
                bars = axes.bar(days, taken, width=width, bottom=floor, label=name, **look)
                floor = floor + taken
                self._drawn.append(bars)
            low, high = np.minimum(total[0], total[1]), np.maximum(total[2], total[1])
            self._drawn.append(axes.vlines(days, low, high, colors=BLACK, lw=1.6))
            self._drawn.append(
                axes.legend(
                    loc="upper left",
                    bbox_to_anchor=(1.0, 1.02),
                    frameon=False,
                    fontsize=self._small,
                    reverse=True,
                )
            )
            axes.set_xlim(days[0] - width, days[-1] + width)
            axes.set_ylim(0, max(float(high.max()), float(floor.max()), 0.1) * 1.1)
        at = found.heaviest
        most, late = (_said(found.total[row][at], self._system) for row in (1, 2))
        thirsty = int(np.argmax(found.dry))
        if found.total[1][at] <= 0:
            carried = "nothing is carried in half of the seasons."
        else:
            carried = (
                f"the most is carried on {short_day(found.days[at])}: {most} in half of the simulated seasons, up to "
                f"{late} in 9 of 10."
            )
        return Picture(
            self.figure,
            f"On a round every {found.every} days {carried} Even so, the {found.names[thirsty]} tank runs dry in "
            f"{100 * found.dry[thirsty]:.0f} of 100.",
            "Bars: the middle of each tank. Upright lines: all tanks together, in 8 of 10 simulated seasons.",
        )


def _said(litres: float, system: str) -> str:
    return write(Q(litres, "L"), system, digits=2)


def _short(name: str, large: bool) -> str:
    """A bag as its label has it, on several lines where it is long."""
    return "\n".join(
        textwrap.wrap(name.partition(" heptahydrate")[0], 15 if large else 18, break_on_hyphens=False)
    )
