"""A ladder of dilutions: what goes into each jug, how strong it then is, and who may handle it."""

from typing import Any

from matplotlib.ticker import MultipleLocator, StrMethodFormatter

from stilltank.science.ph import AfterDosing, BothDoses, Drift, SerialDilution, TitrationPoint, rule_of_thumb
from stilltank.show.figures import (
    BAND,
    BLACK,
    BLUE,
    GREEN,
    TWO_COURSES,
    VERMILLION,
    Picture,
    apart,
    few_ticks,
    house_style,
    new_figure,
)
from stilltank.units import Quantity, figure, write

_ADULTS, _CLASS = "adults only", "for the class"


class DilutionRows:
    """From the bottle down, a bar for each vessel: water, put in first, and the share of the stronger liquid.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: strengths and volumes are metric, as jugs and syringes show them.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.science.ph import serial_dilution
    >>> ladder = serial_dilution("nitric acid 61.4 %", Q(0.1, "mol/L"), Q(1, "L"))
    >>> DilutionRows().show(ladder).sentence
    'From nitric acid 61.4 % to 0.1 mol/L in 3 steps, water first each time: ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        with house_style(large):
            self.figure = new_figure(figsize=(7.8, 3.9))
            axes = self._axes = self.figure.add_axes((0.25, 0.01, 0.31, 0.98))
            axes.set_axis_off()
            axes.set_xlim(0, 1)
        self._artists: list[Any] = []

    def show(self, ladder: SerialDilution) -> Picture:
        """Draw a ladder.

        Parameters
        ----------
        ladder : SerialDilution
            The steps, from the bottle down.

        Returns
        -------
        Picture
            With its sentence.
        """
        steps, count = ladder.steps, len(ladder.steps)
        adults = [step.adult_only for step in steps] + [not ladder.for_learners]
        with house_style(self._large):
            for artist in self._artists:
                artist.remove()
            self._artists = []
            self._axes.set_ylim(count + 0.5, -0.5)  # the bottle stands on top
            self._row(0, _strength(steps[0].before), 1.0, f"the bottle:\n{ladder.acid.name}", adults[0])
            for row, step in enumerate(steps, start=1):
                share = float((step.take / step.made).m_as("dimensionless"))
                words = f"first {write(step.water)} of water,\nthen {write(step.take)} from above"
                self._row(row, _strength(step.strength), share, words, adults[row])
        poured = "; ".join(
            f"{write(step.take)} into {write(step.water)} gives {_strength(step.strength)}" for step in steps
        )
        strengths = [_strength(steps[0].before), *(_strength(step.strength) for step in steps)]
        strong = [strength for strength, adult in zip(strengths, adults, strict=True) if adult]
        who = f"For adults only: {', '.join(strong)}." if strong else "A class may handle all of it."
        return Picture(
            self.figure,
            f"From {ladder.acid.name} to {_strength(ladder.strength)} in {count} step{'s' * (count > 1)}, water first "
            f"each time: {poured}. {who}",
            steps[0].caution,
        )

    def _row(self, row: int, strength: str, share: float, words: str, adults: bool) -> None:
        axes = self._axes
        line: dict[str, Any] = {
            "clip_on": False,
            "lw": 3.2 if adults else 1.6,
            "edgecolor": VERMILLION if adults else BLUE,
        }
        stronger = axes.barh(row, share, left=1 - share, height=0.62, facecolor="none", hatch="///", **line)
        self._artists += [
            *axes.barh(row, 1, height=0.62, facecolor="none", **line),
            *stronger,
            axes.text(-0.05, row, f"{strength}\n{_ADULTS if adults else _CLASS}", va="center", ha="right"),
            axes.text(1.05, row, words, va="center", color=BLACK),
        ]
        if share < 1:
            self._artists.append(axes.text((1 - share) / 2, row, "water", va="center", ha="center"))


def _strength(strength: Quantity) -> str:
    return f"{figure(strength.m_as('mol/L'), 3)} mol/L"


_ROWS = ("now", "to hold it", "trade's rule")  # from the top
_LOOKS: tuple[dict[str, Any], ...] = (
    {"color": BLUE, "edgecolor": BLUE},
    {"color": "white", "edgecolor": VERMILLION, "hatch": "////"},
    {"color": "white", "edgecolor": BLACK, "ls": "--"},
)
_FITS = 1.0  # the rule fits where the dose to hold lies between its ends


class DoseBars:
    """The dose for a pH now, the dose to hold it, and what the trade's rule gives: a bar each, in mL.

    Parameters
    ----------
    system : {"metric", "US"}
        The unit of the tank's volume; doses are in mL in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.ph import panels
    >>> DoseBars().show(panels.dose_panel.result()).sentence
    "To bring 36 L from pH 7.6 to 5.8 takes 146 mL of nitric acid 0.5 mol/L now, ..."
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large, self._system = large, system
        with house_style(large):
            self.figure = new_figure(figsize=(7.4, 2.9))
            axes = self._axes = self.figure.add_axes((0.235, 0.25, 0.44, 0.72))
            axes.set_xlabel("mL for the tank")
            few_ticks(axes, y=False)
            axes.yaxis.set_visible(False)  # the rows are named in plain words
            axes.grid(visible=False, axis="y")
            axes.set_ylim(-0.6, 2.6)
            across = axes.get_yaxis_transform()
            self._bars, self._words = [], []
            for row, (name, look) in enumerate(zip(_ROWS, _LOOKS, strict=True)):
                place = len(_ROWS) - 1 - row
                self._bars.append(axes.barh(place, 0, height=0.62, lw=1.8, **look)[0])
                axes.text(-0.03, place, name, transform=across, va="center", ha="right")
                self._words.append(axes.text(1.03, place, "", transform=across, va="center"))

    def show(self, doses: BothDoses) -> Picture:
        """Draw the doses for a tank.

        Parameters
        ----------
        doses : BothDoses
            The doses for one tank.

        Returns
        -------
        Picture
            With its sentence.
        """
        now, to_hold, least, most = (value.m_as("mL") for value in (doses.now, doses.to_hold, *doses.rule))
        rule = f"{figure(least, 2)} to {figure(most, 2)} mL"
        first, whole = millilitres(doses.now), millilitres(doses.to_hold)
        with house_style(self._large):
            for bar, (low, high) in zip(self._bars, ((0.0, now), (0.0, to_hold), (least, most)), strict=True):
                bar.set(x=low, width=high - low, visible=high > low)
            self._axes.set_xlim(0, 1.08 * max(now, to_hold, most))
            for words, text in zip(self._words, (first, whole, rule), strict=True):
                words.set_text(text)
        tank, name = write(doses.volume, self._system), doses.acid.name
        adds = "".join(f", which adds {write(value)} {element}" for element, value in doses.adds.items())
        takes = f"To bring {tank} from pH {doses.start:.1f} to {doses.target:g} takes"
        if now == to_hold == 0:
            need = f"{tank} at pH {doses.start:.1f} need no {name} for pH {doses.target:g}."
        elif to_hold == 0:
            need = f"{takes} {first} of {name} now; in air it comes down that far by itself."
        else:
            begin = f"{first} of {name} now, and" if now else f"no {name} now, but"
            need = f"{takes} {begin} {whole} in all to hold it once carbon dioxide has left{adds}."
        return Picture(self.figure, f"{need} {_verdict(doses, rule)}", doses.acid.caution)


def millilitres(dose: Quantity) -> str:
    """Write a dose as a person measures it: never in µL or in fluid ounces.

    Parameters
    ----------
    dose : Quantity
        A volume.

    Returns
    -------
    str
        The volume in mL; "none" where there is nothing to pour.

    Examples
    --------
    >>> millilitres(Q(146, "mL")), millilitres(Q(0.02, "mL")), millilitres(Q(0, "mL"))
    ('146 mL', '0.02 mL', 'none')
    """
    plain = dose.m_as("mL")
    return write(dose) if plain >= 0.1 else f"{figure(plain, 2)} mL" if plain else "none"


def _verdict(doses: BothDoses, rule: str) -> str:
    says = f"The trade's rule says {rule}"
    if doses.rule_short_by > _FITS:
        return f"{says}: too little here, {figure(doses.rule_short_by, 2)} times its upper end is needed."
    if doses.rule_over_by > _FITS:
        times = doses.rule_over_by
        return f"{says}: too much here" + (
            f", its lower end is {figure(times, 2)} times the need." if times < float("inf") else "."
        )
    return f"{says}: it fits here."


class TitrationPicture:
    """The pH against acid: the working range as a band, and the amount that is chosen.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: mmol/L is the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.ph import panels
    >>> TitrationPicture().show(panels.titration_panel.result()).sentence
    'With 2 mmol of nitric acid in each litre the pH goes from 7.6 to 5.8, ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
        self._large = large
        low, high = rule_of_thumb().lowest, rule_of_thumb().highest
        with house_style(large):
            self.figure = new_figure(figsize=(7.4, 3.6))
            axes = self._axes = self.figure.add_axes((0.11, 0.2, 0.69, 0.76))
            axes.axhspan(low, high, facecolor=BAND, edgecolor=BLUE, lw=0.8, ls=":")
            (self._line,) = axes.plot([], [], color=BLUE)
            (self._cliff,) = axes.plot([], [], color=GREEN, ls="--", lw=1.8)
            (self._point,) = axes.plot(
                [], [], color=VERMILLION, marker="o", ms=11, mfc="white", mew=2.6, ls="none", clip_on=False
            )
            axes.set_xlabel("acid, mmol in each litre")
            axes.set_ylabel("pH")
            few_ticks(axes, y=False)
            axes.yaxis.set_major_locator(MultipleLocator(2))
            axes.set_ylim(1.8, 9)
            right = axes.get_yaxis_transform()
            axes.text(
                1.03, (low + high) / 2, f"working\nrange\n{low:g} to {high:g}", transform=right, va="center"
            )
            self._words = axes.text(0, 8.95, "", va="top", color=GREEN)

    def show(self, point: TitrationPoint) -> Picture:
        """Draw a titration curve with one amount on it.

        Parameters
        ----------
        point : TitrationPoint
            One amount, with the curve it is on.

        Returns
        -------
        Picture
            With its sentence.
        """
        curve = point.curve
        row, chosen = curve.amounts.m_as("mmol/L"), point.amount.m_as("mmol/L")
        cliff = None if curve.cliff is None else curve.cliff.m_as("mmol/L")
        with house_style(self._large):
            self._line.set_data(row, curve.ph)
            self._point.set_data([chosen], [point.ph])
            self._axes.set_xlim(row[0], row[-1])
            self._cliff.set_data([] if cliff is None else [cliff] * 2, [] if cliff is None else [1.8, 9])
            late = cliff is not None and cliff > 0.7 * row[-1]
            gap = 0.015 * row[-1]
            self._words.set(
                text="" if cliff is None else "cliff",
                x=0 if cliff is None else cliff - gap if late else cliff + gap,
                ha="right" if late else "left",
            )
        low, high = rule_of_thumb().lowest, rule_of_thumb().highest
        place = "below" if point.ph < low else "above" if point.ph > high else "inside"
        falls = f"The next {point.step.m_as('mmol/L'):g} mmol lowers it by {point.falls:.2f}"
        steepest = "" if cliff is None else f"; the cliff stands at about {figure(cliff, 2)} mmol"
        return Picture(
            self.figure,
            f"With {figure(chosen, 3)} mmol of {_plain_name(curve.acid.name)} in each litre the pH goes from "
            f"{curve.ph[0]:.1f} to {point.ph:.1f}, {place} the working range. {falls}{steepest}.",
            "As in the minutes after dosing, before carbon dioxide has left.",
        )


def _plain_name(name: str) -> str:
    """An acid's name without its strength: mmol are the same from any bottle."""
    return " ".join(
        word for word in name.split() if word[0].isalpha() and word not in ("mol/L", "monohydrate")
    )


_MARK: dict[str, Any] = {"marker": "o", "ms": 11, "mfc": "white", "mew": 2.6, "ls": "none", "clip_on": False}


def _working_range(axes: Any) -> None:
    """Its two ends as dotted lines, so that bands of other things stay readable; the caption names them."""
    rule = rule_of_thumb()
    for end in (rule.lowest, rule.highest):
        axes.axhline(end, color=BLACK, lw=1.4, ls=":")


class AfterDose:
    """The pH in the days after a dose with two acids, each a line in the band that the unknown rate leaves.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: days and pH are the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.ph import panels
    >>> AfterDose().show(*panels.week_panel.result()).sentence
    'Dosed to pH 5.8, the water stands on day 3 at about 7.4 with nitric acid ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
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

    def show(self, after: AfterDosing, day: Quantity) -> Picture:
        """Draw the courses of two acids, with one day marked.

        Parameters
        ----------
        after : AfterDosing
            The courses of two acids.
        day : Quantity
            The day to mark, counted from the dose.

        Returns
        -------
        Picture
            With its sentence.
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
    """The pH against net uptake: of nitrate, which raises it, and of ammonium, which lowers it.

    Parameters
    ----------
    system : {"metric", "US"}
        Makes no difference here: mmol/L is the same in both.
    large : bool
        True for larger words, for a projector.

    Examples
    --------
    >>> from stilltank.chapters.ph import panels
    >>> DriftCurves().show(*panels.drift_panel.result()).sentence
    'When plants take 0.5 mmol more nitrate than cations out of each litre, the pH goes ...'
    """

    def __init__(self, system: str = "metric", large: bool = False):
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

    def show(self, drift: Drift, net: str, amount: Quantity) -> Picture:
        """Draw both ways of drifting, with one amount of one of them marked.

        Parameters
        ----------
        drift : Drift
            The pH over both ways of drifting.
        net : {"nitrate", "ammonium"}
            Which of them the plants take more of.
        amount : Quantity
            How much more, mmol in each litre.

        Returns
        -------
        Picture
            With its sentence.
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
