"""Panels to explore one idea: sliders with number boxes, one key number, one sentence, one figure."""

import html
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

import ipywidgets as widgets

from stilltank.units import OutOfRange, Problem, Q

from ..figures import Picture
from .building import SYSTEMS, Status, choice

ORDER = ("tank", "plants", "water", "weather", "view")  # controls stand in this order in every panel
UNIT_WORDS = {
    "1": "",
    "L": "litres",
    "gallon": "US gallons",
    "mL": "mL",
    "g": "grams",
    "oz": "ounces of weight",
    "cm": "cm",
    "inch": "inches",
    "degC": "°C",
    "degF": "°F",
    "percent": "percent",
    "mg/L": "mg/L",
    "mS/cm": "mS/cm",
}
# Sizes in hundredths of the screen height: words need 1/50 of it, the key number 1/25.
_LARGE = """<style>
.stilltank-large, .stilltank-large .jupyter-widgets, .stilltank-large label, .stilltank-large input,
.stilltank-large select, .stilltank-large button, .stilltank-large figcaption { font-size: 2.1vh !important; }
.stilltank-large { --jp-widgets-inline-height: 3.5vh; --jp-widgets-slider-handle-size: 2.8vh; }
.stilltank-large .stilltank-key { font-size: 4.1vh !important; line-height: 1.1; }
.stilltank-large .stilltank-sentence p
  { font-size: 2.1vh !important; line-height: 1.25 !important; max-width: 60em !important; margin: 0.2em 0; }
.stilltank-large figure img
  { width: 100% !important; height: 40vh !important; object-fit: contain; object-position: left; }
</style>"""
_LABEL = {"description_width": "18em"}


class Drawing(Protocol):
    """A figure that is drawn once and updated in place."""

    def show(self, result: Any) -> Picture:
        """Update the figure; return it with its sentence."""
        ...


@dataclass(frozen=True)
class Scale:
    """Unit, range and step of a number in one system."""

    unit: str
    low: float
    high: float
    step: float


@dataclass(frozen=True)
class Number:
    """A number the learner moves: a slider and a box beside it.

    ``name`` is the argument of the calculation; ``us`` the scale in US units, where the trade has one.
    """

    name: str
    label: str
    value: float
    metric: Scale
    us: Scale | None = None
    place: str = "water"

    def scale(self, system: str) -> Scale:
        """The scale in ``"metric"`` or ``"US"`` units."""
        return self.us if system == "US" and self.us else self.metric

    def quantity(self, plain: float, system: str) -> Any:
        """What the calculation gets: a quantity, or a plain number where the unit is 1.

        Raises OutOfRange for a number beyond the ends of the slider.
        """
        scale = self.scale(system)
        if not scale.low <= plain <= scale.high:
            words = UNIT_WORDS[scale.unit]
            raise OutOfRange(
                f"{self.label} runs from {scale.low:g} to {scale.high:g} {words} here; {plain:g} is outside.".replace(
                    "  ", " "
                )
            )
        return plain if scale.unit == "1" else Q(plain, scale.unit)


@dataclass(frozen=True)
class Pick:
    """A choice from a list; ``options`` are (words, value) pairs."""

    name: str
    label: str
    value: Any
    options: Sequence[tuple[str, Any]]
    place: str = "water"


class _Row(widgets.HBox):
    """A number box with its full label, and a slider that follows it and leads it."""

    def __init__(self, number: Number, moved: Callable[[], None]):
        self.number = number
        self._moved = moved
        self._following = False
        self.box = widgets.FloatText(
            style=_LABEL, layout=widgets.Layout(width="27em", flex="0 0 auto"), continuous_update=False
        )
        self.slider = widgets.FloatSlider(
            readout=False, layout=widgets.Layout(width="auto", flex="1 1 7em", max_width="18em")
        )
        self.system = "metric"
        self.start()
        self.slider.observe(lambda change: self._follow(self.box, change.new), "value")
        self.box.observe(lambda change: self._follow(self.slider, change.new), "value")
        super().__init__([self.box, self.slider])

    def show_in(self, system: str, plain: float) -> None:
        """Set unit, range and step for a system, and the value in its unit."""
        scale = self.number.scale(system)
        self._following = True
        self.system = system
        words = UNIT_WORDS[scale.unit]
        self.box.description = f"{self.number.label}, {words}" if words else self.number.label
        with self.slider.hold_trait_notifications():  # so that no value is outside its range on the way
            self.slider.min, self.slider.max, self.slider.step = scale.low, scale.high, scale.step
            self.slider.value = plain
        self.box.step = scale.step
        self.box.value = plain
        self._following = False

    def start(self) -> None:
        """Go back to the first value."""
        self._chosen = (self.number.value, "metric")
        self.show_in("metric", self.number.value)

    def switch(self, system: str) -> None:
        """Show the last possible value in another system, on a step; switched back it is what it was."""
        plain, chosen_in = self._chosen
        old, new = self.number.scale(chosen_in), self.number.scale(system)
        if old.unit != new.unit:
            exact = Q(plain, old.unit).m_as(new.unit)
            plain = min(max(round(exact / new.step) * new.step, new.low), new.high)
        self.show_in(system, round(plain, 6))

    def value(self) -> Any:
        """The quantity in the box; raises OutOfRange when it lies beyond the slider."""
        return self.number.quantity(self.box.value, self.system)

    def _follow(self, other: Any, plain: float) -> None:
        if self._following:
            return
        self._following = True
        scale = self.number.scale(self.system)
        plain = round(plain, 6)  # a slider's steps leave traces of rounding
        if scale.low <= plain <= scale.high:
            other.value = plain
            self._chosen = (plain, self.system)
        self._following = False
        self._moved()


class ExplorePanel(widgets.VBox):
    """One idea to explore. Build it with ``explore``."""

    def __init__(
        self,
        title: str,
        controls: Sequence[Number | Pick],
        calculate: Callable[..., Any],
        drawing: Callable[[str, bool], Drawing],
        key: Callable[[Any, str], str],
    ):
        """See ``explore``."""
        self._calculate, self._drawing, self._key = calculate, drawing, key
        self._controls = sorted(controls, key=lambda control: ORDER.index(control.place))
        self._drawings: dict[tuple[str, bool], Drawing] = {}
        self._busy = True
        self.rows: dict[str, Any] = {}
        for control in self._controls:
            if isinstance(control, Number):
                self.rows[control.name] = _Row(control, self.refresh)
            else:
                self.rows[control.name] = picker = choice(control.label, control.options, control.value)
                picker.style.description_width = _LABEL["description_width"]
                picker.observe(lambda _: self.refresh(), "value")
        self.system = choice("Show numbers in", SYSTEMS, "metric")
        self.system.style.description_width = _LABEL["description_width"]
        self.large = widgets.Checkbox(
            description="Large type, for a projector",
            value=False,
            indent=False,
            layout=widgets.Layout(width="auto"),
        )
        self.again = widgets.Button(description="Back to the start", layout=widgets.Layout(width="12em"))
        self.system.observe(self._switch, "value")
        self.large.observe(self._resize, "value")
        self.again.on_click(lambda _: self.reset())
        self.key = widgets.HTML()
        self.status = Status()
        self.status.add_class("stilltank-sentence")
        self.picture = widgets.HTML()
        heading = widgets.HTML(f'{_LARGE}<p style="font-weight:bold;margin:0">{html.escape(title)}</p>')
        view = widgets.HBox(
            [self.system, self.large, self.again],
            layout=widgets.Layout(flex_flow="row wrap", grid_gap="0 1em"),
        )
        super().__init__([heading, *self.rows.values(), view, self.key, self.status, self.picture])
        self._busy = False
        self.refresh()

    def reset(self) -> None:
        """Set every control to its first value."""
        self._busy = True
        self.system.value = "metric"
        for control in self._controls:
            row = self.rows[control.name]
            if isinstance(control, Number):
                row.start()
            else:
                row.value = control.value
        self._busy = False
        self.refresh()

    def refresh(self) -> None:
        """Calculate and draw for the controls as they stand; a Problem is said in words and the picture stays."""
        if self._busy:
            return
        try:
            values = {
                name: row.value() if isinstance(row, _Row) else row.value for name, row in self.rows.items()
            }
            result = self._calculate(**values)
            system = self.system.value
            picture = self._drawn(system).show(result)
            key = self._key(result, system)
        except Problem as problem:
            self.status.complain(problem)
            return
        style = "font-size:1.7em;font-weight:bold;margin:0"
        self.key.value = f'<p class="stilltank-key" style="{style}">{html.escape(key)}</p>'
        self.status.say(picture.sentence)
        self.picture.value = picture.html()

    def _drawn(self, system: str) -> Drawing:
        kind = (system, self.large.value)
        if kind not in self._drawings:
            self._drawings[kind] = self._drawing(*kind)
        return self._drawings[kind]

    def _switch(self, change: Any) -> None:
        if self._busy:
            return
        self._busy = True
        for row in self.rows.values():
            if isinstance(row, _Row):
                row.switch(change.new)
        self._busy = False
        self.refresh()

    def _resize(self, change: Any) -> None:
        (self.add_class if change.new else self.remove_class)("stilltank-large")
        self.refresh()


def explore(
    title: str,
    controls: Sequence[Number | Pick],
    calculate: Callable[..., Any],
    drawing: Callable[[str, bool], Drawing],
    key: Callable[[Any, str], str],
) -> ExplorePanel:
    """Build a panel from its three functions.

    Parameters
    ----------
    title : str
    controls : at most four Numbers and Picks; they are put in the fixed order tank, plants, water, weather, view
    calculate : function of the controls by name, from the science floor; gives a result
    drawing : function of system ("metric" or "US") and large type; gives a figure whose ``show`` takes the result
    key : function of the result and the system; gives the one number that matters, in words and unit

    Returns
    -------
    ExplorePanel
    """
    return ExplorePanel(title, controls, calculate, drawing, key)
