"""Oxygen in the solution: over depth, through a season, and its return after it was taken out."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.ticker import StrMethodFormatter
from numpy.typing import NDArray

from stilltank.science.oxygen import FilmFit, OxygenCourse, Profile, ReaerationReadings
from stilltank.science.roots import oxygen_caution, oxygen_risk
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
)
from stilltank.tables import load
from stilltank.units import Q, Quantity, figure, write
from stilltank.units.types import Array

_MOST = 10.0  # mg/L, up to where axes of oxygen reach
_BAND: dict[str, Any] = {"facecolor": "#f4ead9", "edgecolor": BLACK, "hatch": "//", "lw": 0.8, "alpha": 0.6}


def _ends() -> tuple[float, float]:
    known = oxygen_risk(Q(1, "mg/L"))
    return float(known.harmful.m_as("mg/L")), float(known.highest.m_as("mg/L"))


def _warning() -> str:
    """What the hatched band is, with its sources, and the trial that keeps it from being taken for a verdict."""
    table, (low, high) = load("oxygen"), _ends()
    harm, fine = (", ".join(table["critical", name].source) for name in ("harmful", "no effect seen"))
    return (
        f"Hatched: from {low:.2g} mg/L, where harm was seen ({harm}), to {high:.2g} mg/L, above which no source saw "
        f"any ({fine}). {oxygen_caution()}"
    )


def too_warm(system: str) -> str:
    """Say that water is warmer than the oxygen in it was measured.

    Parameters
    ----------
    system : {"metric", "US"}
        The units.

    Returns
    -------
    str
        A sentence and a space.

    Examples
    --------
    >>> too_warm("US")
    'Above 104 °F nobody measured: what 104 °F gives is shown, and there is at most so much oxygen. '
    """
    warmest = write(load("oxygen")["saturation", "warmest"].quantity, system)
    return f"Above {warmest} nobody measured: what {warmest} gives is shown, and there is at most so much oxygen. "


@dataclass(frozen=True, eq=False)
class StillAndMixed:
    """Oxygen in one tank: the profile of quite still water, and the concentration of mixed water.

    Parameters
    ----------
    profile : Profile
        Oxygen over the depth of still water.
    mixed : Quantity
        The concentration of oxygen in mixed water.
    at_most : bool
        True if the water is warmer than oxygen was measured in: there is at most so much.

    Examples
    --------
    >>> from stilltank.chapters.root_zones import panels
    >>> round(panels.oxygen_panel.result().mixed.m_as("mg/L"), 1)
    1.6
    """

    profile: Profile
    mixed: Quantity
    at_most: bool = False


class OxygenDepth:
    """Oxygen against depth: quite still water, and mixed water, the two ends of what a tank can be.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of labels and axes.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.root_zones import panels
    >>> OxygenDepth().show(panels.oxygen_panel.result()).sentence
    'In quite still water oxygen reaches 1.4 cm deep, ... In mixed water 1.6 mg/L would hold: ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        self._unit = "cm" if system == "metric" else "in"
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.0) if large else (7.8, 3.7))
            axes = self._axes = self.figure.add_axes(
                (0.12, 0.19, 0.5, 0.77) if large else (0.09, 0.16, 0.56, 0.8)
            )
            axes.axvspan(*_ends(), **_BAND)
            (self._still,) = axes.plot([], [], color=BLUE)
            (self._mixed,) = axes.plot([], [], color=VERMILLION, ls="--")
            axes.set_xlabel("dissolved oxygen, mg/L")
            axes.set_ylabel(f"depth, {self._unit}")
            few_ticks(axes)
            for axis in (axes.xaxis, axes.yaxis):
                axis.set_major_formatter(StrMethodFormatter("{x:g}"))
            axes.set_xlim(0, _MOST)
            self._labels = [axes.text(0, 0, "", va="center") for _ in range(3)]

    def show(self, found: StillAndMixed) -> Picture:
        """Draw both.

        Parameters
        ----------
        found : StillAndMixed
            Both ends of what one tank can be.

        Returns
        -------
        Picture
            With its sentence.
        """
        profile, mixed = found.profile, float(found.mixed.m_as("mg/L"))
        depth, oxygen = profile.depth.m_as(self._unit), profile.concentration.m_as("mg/L")
        deep = float(depth[-1])
        most = "at most " * found.at_most
        reach = write(profile.reaches, self._system, digits=2)
        with house_style(self._large):
            self._still.set_data(oxygen, depth)
            self._mixed.set_data([mixed, mixed], [0, deep])
            self._axes.set_ylim(deep, 0)
            words = (
                f"solid: quite still,\nreaches {reach}",
                f"dashed: mixed,\n{most}{mixed:.1f} mg/L",
                "hatched: the\nsources disagree",
            )
            for label, place, text in zip(self._labels, (0.12, 0.5, 0.88), words, strict=True):
                label.set(position=(_MOST * 1.03, deep * place), text=text)
        known = oxygen_risk(Q(mixed, "mg/L"))
        return Picture(
            self.figure,
            f"{too_warm(self._system) * found.at_most}In quite still water oxygen reaches {reach} deep, and "
            f"{figure(profile.flux.m_as('g/m^2/day'), 2)} g pass each square metre of the surface in a day. In mixed "
            f"water {most}{mixed:.1f} mg/L would hold: "
            f"{known.words[known.zone]}.",
            _warning(),
        )


class OxygenSeason:
    """The lowest oxygen of each day in mixed water, with the range that the unknown film leaves.

    Parameters
    ----------
    system : {"metric", "US"}
        The units of a limit that is a temperature; days and mg/L are the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.root_zones import panels
    >>> OxygenSeason().show(*panels.breathing_panel.result()).sentence
    'With k = 0.3 m/day the solution never holds less than 2.1 mg/L; ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._system, self._large = system, large
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.0) if large else (7.8, 3.7))
            axes = self._axes = self.figure.add_axes(
                (0.11, 0.19, 0.55, 0.77) if large else (0.08, 0.16, 0.62, 0.8)
            )
            axes.axhspan(*_ends(), **_BAND)
            self._band = axes.fill_between(
                [], [], [], facecolor=BAND, edgecolor=BLUE, lw=0.8, ls=":", alpha=0.8
            )
            (self._line,) = axes.plot([], [], color=BLUE)
            axes.set_xlabel("days since sowing")
            axes.set_ylabel("dissolved oxygen, mg/L")
            few_ticks(axes)
            for axis in (axes.xaxis, axes.yaxis):
                axis.set_major_formatter(StrMethodFormatter("{x:g}"))
            axes.set_ylim(0, _MOST)
            self._labels = {name: axes.text(0, 0, "", va="center") for name in ("line", "sources")}

    def show(self, course: OxygenCourse, film: Quantity, limit: Quantity, at_most: bool = False) -> Picture:
        """Draw a season.

        Parameters
        ----------
        course : OxygenCourse
            Of three members: the lowest, the chosen and the highest film coefficient.
        film : Quantity
            The three film coefficients.
        limit : Quantity
            The concentration of oxygen whose first day is told.
        at_most : bool
            True if the water is warmer than oxygen was measured in.

        Returns
        -------
        Picture
            With its sentence.
        """
        low, chosen, high = course.lowest.m_as("mg/L")
        days = np.arange(1, chosen.size + 1)
        plain = film.m_as("m/day")
        with house_style(self._large):
            self._band.set_data(days, low, high)
            self._line.set_data(days, chosen)
            self._axes.set_xlim(1, days[-1])
            words = {"line": f"k = {plain[1]:.2g} m/day", "sources": "sources disagree"}
            places = apart(
                {"line": float(chosen[-1]), "sources": sum(_ends()) / 2}, 1.0 if self._large else 0.8
            )
            for name, label in self._labels.items():
                label.set(position=(days[-1] * 1.02, places[name]), text=words[name])
        first = course.first_below(limit).m_as("day")
        ends = [f"from day {day:.0f} on" if np.isfinite(day) else "never" for day in first]
        less = f"less than {write(limit)}"
        here = f"never holds {less}" if not np.isfinite(first[1]) else f"holds {less} {ends[1]}"
        return Picture(
            self.figure,
            f"{too_warm(self._system) * at_most}With k = {plain[1]:.2g} m/day the solution {here}; with "
            f"{plain[0]:.2g} m/day {ends[0]}, with {plain[2]:.2g} m/day {ends[2]}. At the end it holds "
            f"{'at most ' * at_most}{chosen[-1]:.1f} mg/L at the worst time of day.",
            _warning(),
        )


class RecoveryFit:
    """Readings of oxygen that comes back, the fitted curve, and where it ends.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: hours and mg/L are the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.root_zones import panels
    >>> RecoveryFit().show(*panels.film_panel.result()).sentence
    '15 readings: oxygen comes back from 0.9 mg/L towards 9.2 mg/L. ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(8.2, 4.0) if large else (7.8, 3.7))
            axes = self._axes = self.figure.add_axes(
                (0.11, 0.19, 0.58, 0.77) if large else (0.08, 0.16, 0.66, 0.8)
            )
            (self._plateau,) = axes.plot([], [], color=BLACK, lw=1.6, ls=":")
            self._band = axes.fill_between([], [], [], facecolor=BAND, edgecolor=BLUE, lw=0.8)
            (self._curve,) = axes.plot([], [], color=BLUE)
            (self._used,) = axes.plot([], [], color=VERMILLION, marker="o", ms=7, ls="none")
            (self._left_out,) = axes.plot([], [], color=BLACK, marker="x", ms=8, mew=2, ls="none")
            axes.set_xlabel("hours")
            axes.set_ylabel("dissolved oxygen, mg/L")
            few_ticks(axes)
            for axis in (axes.xaxis, axes.yaxis):
                axis.set_major_formatter(StrMethodFormatter("{x:g}"))
            axes.set_ylim(0, _MOST)
            self._labels = {name: axes.text(0, 0, "", va="center") for name in ("plateau", "curve")}

    def show(
        self, trial: ReaerationReadings, fit: FilmFit, depth: Quantity, used: NDArray[np.bool_]
    ) -> Picture:
        """Draw a fit.

        Parameters
        ----------
        trial : ReaerationReadings
            The readings.
        fit : FilmFit
            What was fitted to them.
        depth : Quantity
            The depth of the water.
        used : ndarray of bool
            True for each reading that was fitted.

        Returns
        -------
        Picture
            With its sentence.
        """
        hours, oxygen = trial.time.m_as("hour"), trial.concentration.m_as("mg/L")
        end, start = fit.plateau.m_as("mg/L"), fit.start.m_as("mg/L")
        since = np.linspace(0, hours[used][-1] - hours[used][0], 60)

        def curve(film: Quantity) -> Array:
            rate = (film / depth).m_as("1/hour")
            return end - (end - start) * np.exp(-rate * since)

        middle = curve(fit.coefficient)
        with house_style(self._large):
            at = hours[used][0] + since
            self._band.set_data(at, curve(fit.low), curve(fit.high))
            self._curve.set_data(at, middle)
            self._plateau.set_data([0, hours[-1]], [end, end])
            self._used.set_data(hours[used], oxygen[used])
            self._left_out.set_data(hours[~used], oxygen[~used])
            self._axes.set_xlim(0, hours[-1] * 1.02)
            words = {"plateau": f"saturated: {end:.1f}", "curve": "fitted curve"}
            places = apart({"plateau": end, "curve": float(middle[-1])}, 0.9 if self._large else 0.7)
            for name, label in self._labels.items():
                label.set(position=(hours[-1] * 1.04, places[name]), text=words[name])
        left = int(np.sum(~used))
        out = f", {left} left out" if left else ""
        k, low, high = (value.m_as("m/day") for value in (fit.coefficient, fit.low, fit.high))
        return Picture(
            self.figure,
            f"{fit.readings} readings{out}: oxygen comes back from {start:.1f} mg/L towards {end:.1f} mg/L. The film "
            f"coefficient is {k:.2g} m/day, between {low:.2g} and {high:.2g} in {100 * fit.certainty:.0f} of 100 such "
            f"trials; a typical reading is {fit.scatter.m_as('mg/L'):.2g} mg/L off the curve.",
            "Crosses: readings left out. The water must be mixed, and nothing in it may use oxygen.",
        )
