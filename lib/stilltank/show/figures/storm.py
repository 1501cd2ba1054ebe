"""A storm over a tank: how the level rises with the overflow hole open, and with it blocked."""

from typing import Any

from stilltank.science.hydraulics import Storm
from stilltank.units import write

from .labels import apart, rise_rule
from .picture import BLACK, BLUE, VERMILLION, Picture, few_ticks, house_style, new_figure

_ROOM = 0.6  # cm above and below what is shown


class StormCourse:
    """The level through a storm, a line for the open and one for the blocked hole, with what roots in the air bear."""

    def __init__(self, system: str = "metric", large: bool = False):
        """``system``: "metric" or "US"; ``large``: bigger words, for a projector."""
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

    def show(self, storms: tuple[Storm, Storm], hole_height: Any, diameter: Any, rim: Any) -> Picture:
        """Draw a storm.

        Parameters
        ----------
        storms : two Storms, with the hole open and blocked
        hole_height, diameter : quantities, of the hole
        rim : quantity, the height of the tank

        Returns
        -------
        Picture
        """
        unit, (clean, blocked) = self._unit, storms
        hours = clean.times.m_as("hour")
        places = {
            "open": clean.levels[-1],
            "blocked": blocked.levels[-1],
            "allowed": clean.start + clean.allowed,
            "hole": hole_height,
            "rim": rim,
        }
        plain = {name: float(place.m_as(unit)) for name, place in places.items()}
        top = max(plain[name] for name in ("open", "blocked", "allowed", "hole"))
        words = {
            "open": f"hole open: {write(clean.rise, self._system, digits=2)} up",
            "blocked": f"blocked: {write(blocked.rise, self._system, digits=2)} up",
            "allowed": "more may injure roots",
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
            self._sentence(storms, diameter),
            f"The pots hang clear before the storm. {rise_rule()}",
        )

    def _sentence(self, storms: tuple[Storm, Storm], diameter: Any) -> str:
        system, (clean, blocked) = self._system, storms
        wide = f"{diameter.m_as('mm'):g} mm" if system == "metric" else write(diameter, system, digits=2)

        def rises(storm: Storm) -> str:
            bear = "more than" if storm.drowns else "within"
            over = (
                f", and {write(storm.over_rim, system)} run over the rim" if storm.over_rim.magnitude else ""
            )
            return f"the level rises {write(storm.rise, system, digits=2)}, {bear} what is allowed{over}"

        return (
            f"{write(clean.rain_in, system)} of rain get in; roots that live in the air bear a rise of "
            f"{write(clean.allowed, system, digits=2)}. With the hole of {wide} open {rises(clean)}. With the "
            f"hole blocked {rises(blocked)}."
        )
