"""What panels are built of: numbers with slider and box, lists, dates, boxes for words, and the line that answers."""

import html
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

from stilltank.units import OutOfRange, Problem, Q

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
    "mm": "mm",
    "mm/hour": "mm",
    "inch/hour": "inches",
    "hour": "hours",
    "m/day": "m a day",
    "g/m^2/day": "g a day",
    "degC": "°C",
    "degF": "°F",
    "percent": "percent",
    "mg/L": "mg/L",
    "mmol/L": "mmol/L",
    "day": "days",
    "mS/cm": "mS/cm",
    "m": "m",
    "ft": "feet",
    "degree": "°",
    "mg/L as CaCO3": "mg/L as CaCO3",
}
_PINT = {"mg/L as CaCO3": "mg/L"}  # alkalinity is said as calcium carbonate and reckoned as plain mg/L
SYSTEMS = (("metric: litres, cm, °C", "metric"), ("US: gallons, inches, °F", "US"))
_WIDE = widgets.Layout(width="auto", min_width="24em", max_width="38em")
_LABEL = {"description_width": "17em"}
_LABEL_OF_ROW = {"description_width": "18em"}


def choice(label: str, options: Sequence[Any], value: Any) -> widgets.Dropdown:
    """A list to choose from; options are values, or (words, value) pairs."""
    return widgets.Dropdown(options=options, value=value, description=label, style=_LABEL, layout=_WIDE)


def text_box(label: str, value: str, example: str) -> widgets.Text:
    """A box for words, with an example shown while it is empty."""
    return widgets.Text(
        value=value,
        placeholder=example,
        description=label,
        style=_LABEL,
        layout=_WIDE,
        continuous_update=False,
    )


class Status(widgets.HTML):
    """One sentence of result, or a problem in words; spoken by screen readers when it changes."""

    def say(self, sentence: str) -> None:
        """Show a result."""
        style = "max-width:46em;line-height:1.4;white-space:pre-line"
        self.value = f'<p role="status" style="{style}">{html.escape(sentence)}</p>'

    def complain(self, problem: Problem) -> None:
        """Show what does not fit."""
        self.value = (
            '<p role="alert" style="max-width:46em;line-height:1.4;border-left:6px solid #1a1a1a;padding-left:0.6em">'
            f"<strong>Problem:</strong> {html.escape(str(problem))}</p>"
        )


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

    ``name`` is the argument of the calculation; ``value`` where it starts, None where a plan says it; ``us`` the scale
    in US units, where the trade has one.
    """

    name: str
    label: str
    value: float | None
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
        return self.measure(plain, system)

    def measure(self, plain: float, system: str) -> Any:
        """The quantity, or the plain number, wherever it lies; what it goes to refuses what cannot be."""
        unit = self.scale(system).unit
        return plain if unit == "1" else Q(plain, _PINT.get(unit, unit))

    def plain(self, quantity: Any, system: str) -> float:
        """What box and slider show of a quantity or plain number, to two decimals."""
        unit = self.scale(system).unit
        return round(float(quantity if unit == "1" else quantity.m_as(_PINT.get(unit, unit))), 2)


@dataclass(frozen=True)
class Pick:
    """A choice from a list; ``options`` are (words, value) pairs."""

    name: str
    label: str
    value: Any
    options: Sequence[tuple[str, Any]]
    place: str = "water"


@dataclass(frozen=True)
class Day:
    """A date to choose."""

    name: str
    label: str
    place: str = "plants"


class Row(widgets.HBox):
    """A number box with its full label, and a slider that follows it and leads it."""

    def __init__(self, number: Number, moved: Callable[[], None]):
        self.number = number
        self._moved = moved
        self._following = False
        self.box = widgets.FloatText(
            style=_LABEL_OF_ROW, layout=widgets.Layout(width="27em", flex="0 0 auto"), continuous_update=False
        )
        self.slider = widgets.FloatSlider(
            readout=False, layout=widgets.Layout(width="auto", flex="1 1 7em", max_width="18em")
        )
        self.box.add_class("stilltank-box")
        self.system = "metric"
        self.start()
        self.slider.observe(lambda change: self._follow(self.box, change.new), "value")
        self.box.observe(lambda change: self._follow(self.slider, change.new), "value")
        super().__init__([self.box, self.slider])
        self.add_class("stilltank-row")

    def show_in(self, system: str, plain: float) -> None:
        """Set unit, range and step for a system, and the value in its unit; a slider too short for it grows."""
        scale = self.number.scale(system)
        self._following = True
        self.system = system
        words = UNIT_WORDS[scale.unit]
        self.box.description = f"{self.number.label}, {words}" if words else self.number.label
        with self.slider.hold_trait_notifications():  # so that no value is outside its range on the way
            self.slider.min, self.slider.max = min(scale.low, plain), max(scale.high, plain)
            self.slider.step = scale.step
            self.slider.value = plain
        self.box.step = scale.step
        self.box.value = plain
        self._following = False

    def start(self) -> None:
        """Go back to the first value; the low end where a plan is to say it."""
        first = self.number.metric.low if self.number.value is None else self.number.value
        self._chosen = (first, "metric")
        self.show_in("metric", first)

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

    def measure(self) -> Any:
        """The quantity in the box, wherever it lies."""
        return self.number.measure(self.box.value, self.system)

    def _follow(self, other: Any, plain: float) -> None:
        if self._following:
            return
        self._following = True
        plain = round(plain, 6)  # a slider's steps leave traces of rounding
        if self.slider.min <= plain <= self.slider.max:
            other.value = plain
            self._chosen = (plain, self.system)
        self._following = False
        self._moved()


def row(control: "Number | Pick | Day", moved: Callable[[], None]) -> Any:
    """The widget of a control: a Row, a list or a date; ``moved`` is called when the learner changes it."""
    if isinstance(control, Number):
        return Row(control, moved)
    if isinstance(control, Pick):
        made: Any = choice(control.label, control.options, control.value)
    else:
        made = widgets.DatePicker(description=control.label, layout=_WIDE)
    made.style.description_width = _LABEL_OF_ROW["description_width"]
    made.observe(lambda _: moved(), "value")
    return made
