"""What a log shows: the level of a tank as it was believed from visit to visit, what comes, and tanks side by side."""

from dataclasses import replace
from typing import Any

import matplotlib
import numpy as np

from stilltank.science.refit import Surprise
from stilltank.season.log import Forecast, Refit
from stilltank.show.figures import (
    BAND,
    BLACK,
    BLUE,
    GREEN,
    PURPLE,
    VERMILLION,
    Picture,
    Ranges,
    RangeStrips,
    apart,
    days_along,
    house_style,
    new_figure,
    short_day,
)
from stilltank.show.given import known_system, of_kind
from stilltank.tables import number
from stilltank.units import Q, Quantity, write, write_range

# A way of reading has its marker, so that none needs its colour.
_MARKS = {"stick": "o", "litres": "s", "rough": "D"}
_NAMES = {
    "stick": "read by a stick",
    "litres": "weighed, tilted or in litres",
    "rough": "lifted, or in words",
}
_MOST_BARS = 5.0  # doubts at which a bar ends; what lies beyond says its number


class LevelCloud:
    """The cloud of levels that narrows at each visit, the readings, how surprising each was, and what comes.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of the axis and the sentence.
    large : bool
        True for larger words, for a projector.

    Attributes
    ----------
    figure : Figure
        Drawn once; ``show`` updates it.

    Raises
    ------
    Problem
        There is no such system.

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
    'From 26 April to 10 June the level was read once. ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        known_system(system)
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.6) if large else (8.4, 4.9))
            left, width = (0.1, 0.56) if large else (0.085, 0.66)
            axes = self._axes = self.figure.add_axes((left, 0.36, width, 0.61))
            bars = self._bars = self.figure.add_axes((left, 0.12, width, 0.16), sharex=axes)
            axes.set_ylabel(f"level of the solution, {self._unit}")
            axes.tick_params(axis="x", labelbottom=False)
            days_along(bars.xaxis, 3 if large else 4, 5 if large else 9)
            self._past = axes.fill_between([], [], [], facecolor=BAND, edgecolor=BLUE, lw=0.8)
            self._coming = axes.fill_between(
                [], [], [], facecolor="none", edgecolor=GREEN, hatch="//", lw=0.8
            )
            (self._middle,) = axes.plot([], [], color=BLUE)
            (self._ahead,) = axes.plot([], [], color=GREEN, ls="--")
            self._read = {
                kind: axes.plot([], [], color=BLACK, ls="", marker=mark, ms=4.5, label=_NAMES[kind])[0]
                for kind, mark in _MARKS.items()
            }
            (self._odd,) = axes.plot(
                [], [], color=VERMILLION, ls="", marker="X", ms=9, mfc="none", mew=1.6, label="surprising"
            )
            (self._hole,) = axes.plot([], [], color=BLACK, ls=":", lw=1.4)
            (self._mark,) = axes.plot([], [], color=VERMILLION, ls="-.", lw=1.2)
            (self._dry,) = axes.plot([], [], color=PURPLE, lw=5, marker="|", ms=13, mew=2.2)
            small = 0.875 * matplotlib.rcParams["font.size"]
            names = ("rim", "hole", "mark", "coming", "dry")
            self._labels = {name: axes.text(0, 0, "", va="center", fontsize=small) for name in names}
            self._beside = bars.text(
                0, 0, "how surprising\neach reading was,\nin doubts", va="center", fontsize=small
            )
            self._told: list[Any] = []

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
        plan = fitted.planned[fitted.code(tank)]
        low, middle, high = (Q(row, "cm").m_as(unit) for row in fit.level_course.m_as("cm"))
        ahead = coming.coming.dates
        below, half, above = (
            Q(row, "cm").m_as(unit)
            for row in np.quantile(coming.coming.levels.m_as("cm"), (0.1, 0.5, 0.9), axis=0)
        )
        heights = {
            "rim": float(plan.tank.height.m_as(unit)),
            "hole": float(plan.outlook.hole.m_as(unit)),
            "mark": float(coming.coming.top_up_level.m_as(unit)),
        }
        limit = number("log", "look", "last surprise", "1")
        odd = [each for each in fit.surprises if abs(each.distance) > limit]
        with house_style(self._large):
            self._past.set_data(fit.dates, low, high)
            self._coming.set_data(ahead, below, above)
            self._middle.set_data(fit.dates, middle)
            self._ahead.set_data(ahead, half)
            for kind, line in self._read.items():
                _put(line, [each for each in fit.surprises if _kind(each) == kind], plan.tank, unit)
            _put(self._odd, odd, plan.tank, unit)
            whole = np.array([fit.dates[0], ahead[-1]])
            self._hole.set_data(whole, [heights["hole"]] * 2)
            self._mark.set_data(whole, [heights["mark"]] * 2)
            early, _, late = coming.run_dry
            floor = 0.03 * heights["rim"]
            if early is None:
                self._dry.set_data([], [])
            else:
                final = ahead[-1] if late is None else np.datetime64(late)
                self._dry.set_data([np.datetime64(early), final], [floor, floor])
            words = {
                "rim": "rim",
                "hole": "overflow hole",
                "mark": "mark for a top-up",
                "coming": "what comes, 8 in 10",
                "dry": "" if early is None else "runs dry",
            }
            places = {**heights, "coming": float(half[-1]), "dry": floor}
            wanted = {name: place for name, place in places.items() if words[name]}
            wanted["coming"] = max(wanted["coming"], floor + 0.08 * heights["rim"])
            right = ahead[-1] + np.timedelta64(max(1, round(0.015 * len(fit.dates))), "D")
            spread = _spread(wanted, (0.1 if self._large else 0.072) * heights["rim"])
            for name, label in self._labels.items():
                label.set(position=(right, spread.get(name, 0.0)), text=words[name])
            self._axes.set_xlim(whole[0], whole[1])
            self._axes.set_ylim(0, heights["rim"])
            self._draw_bars(fit.surprises, limit, right)
            kinds = [kind for kind in _MARKS if any(_kind(each) == kind for each in fit.surprises)]
            shown = [self._read[kind] for kind in kinds] + ([self._odd] if odd else [])
            if len(shown) > 1:
                self._axes.legend(
                    handles=shown, loc="lower left", fontsize=0.8 * matplotlib.rcParams["font.size"]
                )
            elif (legend := self._axes.get_legend()) is not None:
                legend.remove()
        return Picture(self.figure, _sentence(fitted, coming, tank, odd, system), _CAPTION)

    def _draw_bars(self, surprises: tuple[Surprise, ...], limit: float, right: Any) -> None:
        for old in self._told:
            old.remove()
        axes, self._told = self._bars, []
        for sign in (-1, 1):
            self._told.append(axes.axhline(sign * limit, color=VERMILLION, ls="-.", lw=1.0))
        self._told.append(axes.axhline(0, color=BLACK, lw=0.8))
        for each in surprises:
            day, end = (
                np.datetime64(each.observation.day),
                float(np.clip(each.distance, -_MOST_BARS, _MOST_BARS)),
            )
            far = abs(each.distance) > limit
            self._told += axes.plot(
                [day, day], [0, end], color=VERMILLION if far else BLUE, lw=4 if far else 3
            )
            if abs(each.distance) > _MOST_BARS:
                self._told.append(
                    axes.annotate(
                        f"{each.distance:.0f}".replace("-", "\N{MINUS SIGN}"),
                        (day, end),
                        xytext=(4, 0),
                        textcoords="offset points",
                        va="center",
                        fontsize=0.8 * matplotlib.rcParams["font.size"],
                    )
                )
        axes.set_ylim(-1.1 * _MOST_BARS, 1.1 * _MOST_BARS)
        axes.set_yticks([-limit, 0, limit])
        self._beside.set_position((right, 0))


_CAPTION = (
    "Shaded: where 8 of 10 simulated seasons stood on each day; it narrows at each visit. Hatched: what comes. "
    "Below: how far each reading was from what was expected; beyond the lines it is worth a second look."
)


def cloud_picture(
    fitted: Refit,
    coming: Forecast,
    tank: str | None = None,
    system: str = "metric",
    drawing: LevelCloud | None = None,
) -> Picture:
    """Draw the level of a tank from visit to visit, and what comes.

    Parameters
    ----------
    fitted : Refit
        What the log taught.
    coming : Forecast
        What comes for the tank.
    tank : str, optional
        Its code; not needed where there is one.
    system : {"metric", "US"}
        The units.
    drawing : LevelCloud, optional
        A figure to draw into again; a new one when left out.

    Returns
    -------
    Picture
        With its sentence.

    Raises
    ------
    Problem
        This is no re-fit, no system, or has no such tank.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season import log
    >>> from stilltank.season.plan import Plan
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,level (cm)\\n2027-06-10,20\\n")
    >>> found = log.refit(Plan.make(count=4), log.read(path), members=500)
    >>> cloud_picture(found, log.forecast(found, days=30), system="US").sentence
    'From 26 April to 10 June the level was read once. It stands at ... in, ...'
    """
    known_system(system)
    if drawing is not None:
        of_kind(drawing, LevelCloud, "A cloud is drawn into a LevelCloud")
    return (drawing or LevelCloud(system)).show(fitted, coming, tank)


def factors_picture(fitted: Refit, drawing: RangeStrips | None = None) -> Picture:
    """Draw what was learnt of each tank, side by side.

    Parameters
    ----------
    fitted : Refit
        What the log taught.
    drawing : RangeStrips, optional
        A figure to draw into again; a new one when left out.

    Returns
    -------
    Picture
        With its sentence.

    Raises
    ------
    Problem
        This is no re-fit, or no such figure.

    Examples
    --------
    >>> import tempfile
    >>> from pathlib import Path
    >>> from stilltank.season import log
    >>> from stilltank.season.plan import Plan
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = path.write_text("date,tank,level (cm)\\n2027-06-10,A,20\\n")
    >>> factors_picture(log.refit(Plan.make(count=4), log.read(path), members=500)).sentence
    'Bars for each tank, 8 of 10 simulated seasons. Tank A drinks ... times what the table says; ...'
    """
    of_kind(fitted, Refit, "Factors are drawn for what log.refit found")
    if drawing is not None:
        of_kind(drawing, RangeStrips, "Factors are drawn into a RangeStrips")
    names = [f"tank {code}" if code else "your tank" for code in fitted.fits]
    fits = list(fitted.fits.values())
    factors = [fit.factor for fit in fits]
    shares = [tuple(100 * each for each in fit.rain_share) for fit in fits]
    offsets = [tuple(float(each.m_as("mm")) for each in fit.offset) for fit in fits]
    strips = [
        _strip("drinks, times the table", factors, 1, ""),
        _strip("rain that gets in, %", shares, 0, " %"),
        _strip("stick reads too high, mm", offsets, 0, " mm"),
    ]
    said = [
        f"{name[0].upper()}{name[1:]} drinks {factor} times what the table says; {rain} of the rain gets in."
        for name, factor, rain in zip(names, strips[0].words, strips[1].words, strict=True)
    ]
    sentence = f"Bars for each tank, 8 of 10 simulated seasons. {' '.join(said)}"
    made = (drawing or RangeStrips()).show(names, strips, sentence)
    return replace(
        made,
        caption="Bars: 8 of 10 simulated seasons that fit the log; the dark line: half are below, half above.",
    )


def _strip(title: str, ranges: Any, digits: int, unit: str) -> Ranges:
    low, middle, high = (list(each) for each in zip(*ranges, strict=True))
    words = [
        f"{first:.{digits}f} to {last:.{digits}f}{unit}".replace("-", "\N{MINUS SIGN}")
        for first, last in zip(low, high, strict=True)
    ]
    return Ranges(title, low, middle, high, words)


def _kind(surprise: Surprise) -> str:
    seen = surprise.observation
    return "stick" if seen.level is not None else "litres" if seen.volume is not None else "rough"


def _put(line: Any, several: list[Surprise], tank: Any, unit: str) -> None:
    """Readings at their level; litres stand where the tank would show them."""
    heights = [
        each.read if each.observation.level is not None else tank.level(min(each.read, tank.capacity))
        for each in several
    ]
    line.set_data(
        [np.datetime64(each.observation.day) for each in several], [each.m_as(unit) for each in heights]
    )


def _spread(places: dict[str, float], gap: float) -> dict[str, float]:
    """Labels apart, none below the floor."""
    moved = apart(places, gap)
    lowest = min(moved.values())
    least = min(places.values())
    if lowest >= min(least, 0.02):
        return moved
    # from the floor up instead: the lowest keeps its place
    turned = apart({name: -place for name, place in places.items()}, gap)
    return {name: -place for name, place in turned.items()}


def _sentence(fitted: Refit, coming: Forecast, tank: str | None, odd: list[Surprise], system: str) -> str:
    fit = fitted.of(tank)
    count = len(fit.surprises)
    times = "once" if count == 1 else f"{count} times"
    unit = "cm" if system == "metric" else "in"

    def span(low: Quantity, high: Quantity) -> str:
        return write_range(low.to(unit), high.to(unit), system, digits=2)

    first, _, last = coming.level(coming.on)
    soon = coming.coming.dates[min(7, len(coming.coming.dates) - 1)].item()
    least, _, most = coming.level(soon)
    said = (
        f"From {short_day(fit.dates[0])} to {short_day(fit.dates[-1])} the level was read {times}. It stands at "
        f"{span(first, last)}, and on {short_day(soon)} at {span(least, most)}, in 8 of 10 simulated seasons."
    )
    early, _, late = coming.run_dry
    if early is not None:
        said += f" It runs dry from {short_day(early)}" + (f" to {short_day(late)}." if late else " on.")
    if odd:
        listed = ", ".join(f"{write(each.read, system)} on {short_day(each.observation.day)}" for each in odd)
        said += f" Marked with a cross as surprising: {listed}."
    return said
