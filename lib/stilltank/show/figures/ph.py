"""Figures of chapter 2 that stand still: two doses beside the trade's rule, and the titration curve."""

from typing import Any

from matplotlib.ticker import MultipleLocator

from stilltank.science.ph import BothDoses, TitrationPoint, rule_of_thumb
from stilltank.units import figure, write

from .picture import BAND, BLACK, BLUE, GREEN, VERMILLION, Picture, few_ticks, house_style, new_figure

_ROWS = ("now", "to hold it", "trade's rule")  # from the top
_LOOKS: tuple[dict[str, Any], ...] = (
    {"color": BLUE, "edgecolor": BLUE},
    {"color": "white", "edgecolor": VERMILLION, "hatch": "////"},
    {"color": "white", "edgecolor": BLACK, "ls": "--"},
)
_FITS = 1.0  # the rule fits where the dose to hold lies between its ends


class DoseBars:
    """The dose for a pH now, the dose to hold it, and what the trade's rule gives: a bar each, in mL."""

    def __init__(self, system: str = "metric", large: bool = False):
        """``system`` of the tank's volume; doses are in mL in both. ``large``: bigger words, for a projector."""
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

        Returns
        -------
        Picture
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


def millilitres(dose: Any) -> str:
    """A dose as a person measures it: never in µL, nor in fluid ounces."""
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
    """pH against acid: the working range as a band, and the amount that is chosen."""

    def __init__(self, system: str = "metric", large: bool = False):
        """``large``: bigger words, for a projector. mmol/L is the same in both systems."""
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

        Returns
        -------
        Picture
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
