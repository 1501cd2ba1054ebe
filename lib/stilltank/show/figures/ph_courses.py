"""Figures of chapter 2 in time: the days after a dose, and the drift that plants bring."""

from typing import Any

from matplotlib.ticker import MultipleLocator, StrMethodFormatter

from stilltank.science.ph import AfterDosing, Drift, rule_of_thumb
from stilltank.units import figure

from .labels import apart
from .picture import BAND, BLACK, BLUE, TWO_COURSES, Picture, few_ticks, house_style, new_figure

_MARK: dict[str, Any] = {"marker": "o", "ms": 11, "mfc": "white", "mew": 2.6, "ls": "none", "clip_on": False}


def _working_range(axes: Any) -> None:
    """Its two ends as dotted lines, so that bands of other things stay readable; the caption names them."""
    rule = rule_of_thumb()
    for end in (rule.lowest, rule.highest):
        axes.axhline(end, color=BLACK, lw=1.4, ls=":")


class AfterDose:
    """The pH in the days after a dose with two acids, each a line in the band that the unknown rate leaves."""

    def __init__(self, system: str = "metric", large: bool = False):
        """``large``: bigger words, for a projector. Days and pH are the same in both systems."""
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.4, 3.6))
            axes = self._axes = self.figure.add_axes((0.115, 0.2, 0.645, 0.76))
            _working_range(axes)
            self._day = axes.axvline(0, color=BLACK, lw=1.4)
            self._bands = [axes.fill_between([], [], [], **band) for _, band in TWO_COURSES]
            self._lines = [axes.plot([], [], **line)[0] for line, _ in TWO_COURSES]
            self._points = [axes.plot([], [], color=line["color"], **_MARK)[0] for line, _ in TWO_COURSES]
            axes.set_xlabel("days after the dose")
            axes.set_ylabel("pH")
            few_ticks(axes)
            axes.yaxis.set_major_locator(MultipleLocator(1))
            axes.set_ylim(5, 9)
            self._labels = [axes.text(0, 0, "", va="center") for _ in TWO_COURSES]

    def show(self, after: AfterDosing, day: Any) -> Picture:
        """Draw the courses of two acids, with one day marked.

        Parameters
        ----------
        after : AfterDosing
            Of two acids.
        day : quantity

        Returns
        -------
        Picture
        """
        days, chosen, found = after.days.m_as("day"), day.m_as("day"), after.on(day)
        course, names = after.course, [dose.acid.name.split()[0] for dose in after.doses]
        with house_style(self._large):
            rows = zip(course.ph, course.low, course.high, strict=True)
            for (ph, low, high), line, band, point, here in zip(
                rows, self._lines, self._bands, self._points, found, strict=True
            ):
                line.set_data(days, ph)
                band.set_data(days, low, high)
                point.set_data([chosen], [here[0]])
            self._day.set_xdata([chosen, chosen])
            self._axes.set_xlim(0, days[-1])
            ends = {name: float(ph[-1]) for name, ph in zip(names, course.ph, strict=True)}
            for label, (name, place) in zip(self._labels, apart(ends, 1.0).items(), strict=True):
                label.set(position=(days[-1] * 1.03, place), text=f"{name}\nacid")
        on = " and ".join(
            f"{ph:.1f} with {name} acid (between {low:.1f} and {high:.1f})"
            for name, (ph, low, high) in zip(names, found, strict=True)
        )
        rest = " and ".join(f"{ph:.1f}" for ph in course.open)
        return Picture(
            self.figure,
            f"Dosed to pH {after.target:g}, the water stands on day {figure(chosen, 3)} at about {on}; at rest with "
            f"the air it comes to {rest}.",
            "Bands: nobody has measured how fast a tank like this loses carbon dioxide. Dotted: the working range.",
        )


class DriftCurves:
    """pH against net uptake: of nitrate, which raises it, and of ammonium, which lowers it."""

    def __init__(self, system: str = "metric", large: bool = False):
        """``large``: bigger words, for a projector. mmol/L is the same in both systems."""
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.4, 3.6))
            axes = self._axes = self.figure.add_axes((0.115, 0.2, 0.625, 0.76))
            rule = rule_of_thumb()
            axes.axhspan(rule.lowest, rule.highest, facecolor=BAND, edgecolor=BLUE, lw=0.8, ls=":")
            self._lines = [axes.plot([], [], **line)[0] for line, _ in TWO_COURSES]
            (self._point,) = axes.plot([], [], color=BLACK, **_MARK)
            axes.set_xlabel("net uptake, mmol from each litre")
            axes.set_ylabel("pH")
            few_ticks(axes)
            axes.xaxis.set_major_formatter(StrMethodFormatter("{x:g}"))
            axes.yaxis.set_major_locator(MultipleLocator(2))
            axes.set_ylim(2.5, 8.5)
            self._labels = [axes.text(0, 0, "", va="center") for _ in TWO_COURSES]

    def show(self, drift: Drift, net: str, amount: Any) -> Picture:
        """Draw both ways of drifting, with one amount of one of them marked.

        Parameters
        ----------
        drift : Drift
        net : "nitrate" or "ammonium"
        amount : quantity, mmol/L

        Returns
        -------
        Picture
        """
        row, chosen = drift.amounts.m_as("mmol/L"), amount.m_as("mmol/L")
        other = "ammonium" if net == "nitrate" else "nitrate"
        here, there = drift.at(net, amount), drift.at(other, amount)
        with house_style(self._large):
            ends = {"more\nnitrate": float(drift.nitrate[-1]), "more\nammonium": float(drift.ammonium[-1])}
            for line, ph in zip(self._lines, (drift.nitrate, drift.ammonium), strict=True):
                line.set_data(row, ph)
            self._point.set_data([chosen], [here])
            self._axes.set_xlim(row[0], row[-1])
            for label, (words, place) in zip(self._labels, apart(ends, 1.2).items(), strict=True):
                label.set(position=(row[-1] * 1.03, place), text=words)
        rule = rule_of_thumb()
        where = "below" if here < rule.lowest else "above" if here > rule.highest else "inside"
        charge = {"nitrate": "cations", "ammonium": "anions"}
        return Picture(
            self.figure,
            f"When plants take {figure(chosen, 3)} mmol more {net} than {charge[net]} out of each litre, the pH goes "
            f"from {drift.start:.1f} to {here:.1f}, {where} the working range; as much more {other} than "
            f"{charge[other]} would bring it to {there:.1f}.",
            "At rest with the air. Shaded: the working range.",
        )
