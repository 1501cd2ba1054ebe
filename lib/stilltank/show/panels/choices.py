"""What a panel offers, as data: numbers with their scales, lists, dates. No widget is needed for them."""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

import numpy as np
import pint

from stilltank.units import OutOfRange, Problem, Q, Quantity, Unreadable, read

from ..given import quoted

ORDER = ("tank", "plants", "water", "weather", "view")  # controls stand in this order in every panel
UNIT_WORDS = {
    "1": "",
    "L": "litres",
    "gallon": "US gallons",
    "mL": "mL",
    "g": "grams",
    "oz": "ounces of weight",
    "kg": "kg",
    "lb": "pounds",
    "cm^2": "cm²",
    "inch^2": "square inches",
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
    "m^2": "m²",
    "ft^2": "square feet",
    "ft": "feet",
    "degree": "°",
    "mg/L as CaCO3": "mg/L as CaCO3",
}
_READ_AS = {"gallon": "US gal", "inch": "in", "cm^2": "cm²", "inch^2": "in²"}  # as a person writes the unit
_SIDE = {"cm^2": "cm", "inch^2": "inch"}  # the unit of the sides of an area
_BARE = re.compile(r"[^A-Za-z°µ\"'²³]+")  # a number, whole, decimal or with a fraction, and no unit
_PINT = {"mg/L as CaCO3": "mg/L"}  # alkalinity is said as calcium carbonate and reckoned as plain mg/L
SYSTEMS = (("metric: litres, cm, °C", "metric"), ("US: gallons, inches, °F", "US"))
_SHORT = 6  # decimals that are shown at most of a number from another unit
NOISE = 1e-11  # what conversions leave of rounding, and nobody types
_PARTS = (2, 4, 8, 16)  # of an inch, as a ruler has them

Measure: TypeAlias = pint.Quantity | float  # a plain number where the unit is 1


@dataclass(frozen=True)
class Unread:
    """What was typed into a box and could not be read.

    Parameters
    ----------
    text : str
        As it was typed.
    problem : Problem
        What does not fit, and what to type.

    Examples
    --------
    >>> Unread("wide", Problem("Type a length, such as 30 cm.")).text
    'wide'
    """

    text: str
    problem: Problem = field(compare=False)


def as_typed(text: str, kind: str, unit: str) -> Quantity:
    """Read a measure as a person types it into a box whose label names a unit.

    Parameters
    ----------
    text : str
        A number, also with a fraction of an inch; or a measure with a unit of its own.
    kind : str
        What it measures, as in ``units.read``.
    unit : str
        The unit of the label, a key of ``UNIT_WORDS``; it counts where no unit is typed.

    Returns
    -------
    Quantity
        In the unit that was typed, or that of the label.

    Raises
    ------
    Problem
        It is no such measure.

    Examples
    --------
    >>> as_typed("27 1/8", "length", "inch").m_as("inch"), as_typed("2 ft", "length", "cm").m_as("inch")
    (27.125, 24.0)
    >>> as_typed("60 x 40", "area", "cm^2").m_as("cm^2")
    2400.0
    """
    text = text.strip()
    sides = re.split(r"\s*[x×]\s*", text) if kind == "area" else []
    if len(sides) > 1 and all(sides):
        length, *width = several_as_typed("; ".join(sides), "length", _SIDE[unit])
        if len(width) > 1:
            raise Unreadable(f'"{text}" has {len(sides)} sides. Type the length and the width: 60 x 40 cm.')
        area = length * width[0]
        return Q(float(area.magnitude), area.units)
    return read(f"{text} {_READ_AS.get(unit, unit)}" if text and _BARE.fullmatch(text) else text, kind)


def _parted(text: str) -> list[str]:
    """Where one measure ends and the next begins; refused where two readings are possible."""
    if ";" in text:
        return text.split(";")
    if re.search(r",(\s|$)", text):
        return re.split(r",(?:\s+|$)", text)
    if "," in text:
        parts = text.split(",")
        if "." not in text and len(parts) % 2 == 0:  # each comma may be a decimal one
            raise Unreadable(
                f'In "{text}" a comma can be a decimal one. Type ; between two readings: 4; 7.8; 14.8.'
            )
        return parts
    if "/" in text and re.search(r"/\d+\s+\d", text):
        raise Unreadable(f'"{text}" does not say where a reading ends. Type ; between two: 1 1/2; 3; 7 1/8.')
    # a unit ends a measure; without units and fractions, each space does
    return re.split(
        r"(?<=[A-Za-z\"'])\s+(?=\d)" if re.search(r"[A-Za-z/\"']\s+\d|/", text) else r"\s+(?=\d)", text
    )


def several_as_typed(text: str, kind: str, unit: str) -> Quantity:
    """Read measures that stand in a row, such as "4, 7.8, 14.8 cm".

    Parameters
    ----------
    text : str
        Parted by commas, semicolons or spaces; those without a unit have that of the last.
    kind : str
        What they measure, as in ``units.read``.
    unit : str
        The unit of the label, a key of ``UNIT_WORDS``; it counts where no unit is typed.

    Returns
    -------
    Quantity
        An array, in the unit of the first.

    Raises
    ------
    Problem
        One of them is no such measure, or it cannot be told where one ends.

    Examples
    --------
    >>> several_as_typed("4, 7.8, 14.8 cm", "length", "inch").m_as("cm").tolist()
    [4.0, 7.8, 14.8]
    """
    parts = _parted(text)
    parts = [part.strip() for part in parts if part.strip()]
    if not parts:
        raise Unreadable("Nothing was typed. Type one reading after the other, such as 5; 10; 20.")
    ending = re.search(r"(?<=[\d\s])[A-Za-z\"'].*$", parts[-1])
    if ending and all(_BARE.fullmatch(part) for part in parts[:-1]):
        parts = [*(f"{part} {ending.group()}" for part in parts[:-1]), parts[-1]]
    found = [as_typed(part, kind, unit) for part in parts]
    first = found[0].units
    return Q(np.array([float(one.m_as(first)) for one in found]), str(first))


def ruled(inches: float) -> str:
    """Write inches as a ruler has them.

    Parameters
    ----------
    inches : float
        A length in inches.

    Returns
    -------
    str
        Whole inches and a fraction; decimals where no mark of a ruler is meant.

    Examples
    --------
    >>> ruled(0.125), ruled(1.75), ruled(12), ruled(1.3)
    ('1/8', '1 3/4', '12', '1.3')
    """
    whole = math.floor(inches) if math.isfinite(inches) else 0
    for parts in _PARTS:
        over = (inches - whole) * parts
        if over == round(over) > 0:
            return f"{whole} {over:.0f}/{parts}" if whole else f"{over:.0f}/{parts}"
    return f"{inches:g}"


@dataclass(frozen=True)
class Scale:
    """Unit, range and step of a number in one system.

    Parameters
    ----------
    unit : str
        A key of ``UNIT_WORDS``; "1" for a plain number.
    low, high : float
        The ends of the slider.
    step : float
        From one place of the slider to the next.

    Examples
    --------
    >>> scale = Scale("cm", 0, 30, 0.5)
    >>> scale.nearest(12.3), scale.nearest(99)
    (12.5, 30.0)
    """

    unit: str
    low: float
    high: float
    step: float

    def measure(self, plain: float) -> Measure:
        """Return what the calculation gets for a number in this unit.

        Parameters
        ----------
        plain : float
            A number in this unit.

        Returns
        -------
        Quantity or float
            The number itself where the unit is "1".
        """
        return plain if self.unit == "1" else Q(plain, _PINT.get(self.unit, self.unit))

    def plain(self, value: Measure) -> float:
        """Return a quantity or plain number in this unit, unrounded.

        Parameters
        ----------
        value : Quantity or float
            What was chosen.

        Returns
        -------
        float
            The number in this unit.
        """
        return float(value.m_as(_PINT.get(self.unit, self.unit)) if isinstance(value, Quantity) else value)

    def shown(self, value: Measure) -> float:
        """Return what a box shows of it: the number itself where it is short or was given in this unit.

        Else it is rounded, to a twentieth of a step or four figures, whichever is finer.

        Parameters
        ----------
        value : Quantity or float
            What was chosen.

        Returns
        -------
        float
            The number for the box.
        """
        exact = self.plain(value)
        if not math.isfinite(exact) or exact == 0:
            return exact
        for places in range(_SHORT + 1):
            if math.isclose(short := round(exact, places), exact, rel_tol=NOISE):
                return short
        unit = _PINT.get(self.unit, self.unit)
        if not isinstance(value, Quantity) or value.units == Q(0, unit).units:
            return exact
        return round(
            exact, max(math.ceil(-math.log10(self.step / 20)), 3 - math.floor(math.log10(abs(exact))))
        )

    def written(self, value: Measure) -> str:
        """Return what a box for words shows of it: as ``shown``, with the fractions of a ruler.

        Parameters
        ----------
        value : Quantity or float
            What was chosen.

        Returns
        -------
        str
            The number without its unit.
        """
        plain = self.shown(value)
        return (
            self.words(plain)
            if self.unit.startswith("inch") and plain * _PARTS[-1] % 1 == 0
            else f"{plain:.10g}"
        )

    def nearest(self, plain: float) -> float:
        """Return the step of the slider that is nearest; an end of it for what lies beyond.

        Parameters
        ----------
        plain : float
            A number in this unit.

        Returns
        -------
        float
            The place of the handle.
        """
        count = round((self.high - self.low) / self.step)
        return round(self.low + self.step * min(max(round((plain - self.low) / self.step), 0), count), 10)

    def upto(self, value: Measure) -> "Scale":
        """Return the same scale with an upper end at the last step that is not above a value.

        Parameters
        ----------
        value : Quantity or float
            The most that can be chosen, such as the height of a tank for a level in it.

        Returns
        -------
        Scale
            At least one step long.
        """
        steps = max(math.floor((self.plain(value) - self.low) / self.step + NOISE), 1)
        return replace(self, high=round(self.low + steps * self.step, 10))

    def around(self, value: Measure) -> "Scale":
        """Return the same scale, made longer by whole steps where a value lies beyond its ends.

        Parameters
        ----------
        value : Quantity or float
            What must lie on the slider.

        Returns
        -------
        Scale
            This one, where the value lies on it already.
        """
        plain = self.plain(value)
        below = max(math.ceil((self.low - plain) / self.step - NOISE), 0)
        above = max(math.ceil((plain - self.high) / self.step - NOISE), 0)
        low, high = self.low - below * self.step, self.high + above * self.step
        return replace(self, low=round(low, 10), high=round(high, 10)) if below or above else self

    def words(self, plain: float) -> str:
        """Write a number of this unit, without the unit, as people do: inches as a ruler has them.

        Parameters
        ----------
        plain : float
            A number in this unit.

        Returns
        -------
        str
            The number.
        """
        return ruled(plain) if self.unit.startswith("inch") else f"{plain:g}"


@dataclass(frozen=True)
class Number:
    """A number to choose: a slider and a box beside it.

    Parameters
    ----------
    name : str
        The argument of the calculation.
    label : str
        What the person reads, without the unit.
    value : float or Quantity or None
        Where it starts, a plain number in the metric unit; None where a plan says it.
    metric : Scale
        The scale in metric units.
    us : Scale, optional
        The scale in US units, where the trade has one.
    place : {"tank", "plants", "water", "weather", "view"}
        Where it stands among the controls.
    kind : str
        What the box reads, as in ``units.read``, such as "length": then it also takes "27 1/8", and other units. Empty
        for a box that takes plain numbers only.

    Examples
    --------
    >>> level = Number("level", "Level", 25, Scale("cm", 0, 30, 0.5), Scale("inch", 0, 12, 0.25), "tank")
    >>> level.first.m_as("cm"), level.holds(Q(40, "cm"))
    (25.0, False)
    """

    name: str
    label: str
    value: Measure | None
    metric: Scale
    us: Scale | None = None
    place: str = "water"
    kind: str = ""

    @property
    def first(self) -> Measure:
        """The value it starts from; the low end of the slider where a plan is to say it."""
        if isinstance(self.value, Quantity):
            return self.value
        return self.metric.measure(self.metric.low if self.value is None else self.value)

    def scale(self, system: str) -> Scale:
        """Return the scale in a system.

        Parameters
        ----------
        system : {"metric", "US"}
            The system of units.

        Returns
        -------
        Scale
            The metric one where the trade has no other.
        """
        return self.us if system == "US" and self.us else self.metric

    def starting(self, value: Measure, rounded: bool = False) -> "Number":
        """Return the same number with another start, on sliders long enough for it.

        Parameters
        ----------
        value : Quantity or float
            Where it starts, such as a choice of somebody's plan.
        rounded : bool
            Whether boxes show it rounded, because it was calculated and nobody typed it.

        Returns
        -------
        Number
            With the value as it is.
        """
        if rounded and isinstance(value, Quantity):
            base = value.to_base_units()
            value = Q(
                base.m, f"{base.u}"
            )  # in no unit of a box, and each box shows few figures of another unit
        us = self.us.around(value) if self.us else None
        return replace(self, value=value, metric=self.metric.around(value), us=us)

    def holds(self, value: Measure) -> bool:
        """Return whether it lies on the slider of one system or the other: their ends are round numbers in each.

        Parameters
        ----------
        value : Quantity or float
            What was chosen.

        Returns
        -------
        bool
            False also for what is not finite.
        """
        scales = (self.scale(system) for _, system in SYSTEMS)
        return any(scale.low <= scale.plain(value) <= scale.high for scale in scales)

    def check(self, value: Measure, system: str) -> None:
        """Refuse what lies beyond the ends of the slider.

        Parameters
        ----------
        value : Quantity or float
            What was chosen.
        system : {"metric", "US"}
            The system in whose unit the sentence speaks.

        Raises
        ------
        OutOfRange
            It lies beyond the ends in both systems.
        """
        if not self.holds(value):
            scale = self.scale(system)
            unit = "in" if scale.unit.startswith("inch") else UNIT_WORDS[scale.unit]
            high = " ".join(filter(None, (scale.words(scale.high), unit)))
            raise OutOfRange(
                f'"{self.label}" runs from {scale.words(scale.low)} to {high} here; {scale.plain(value):g} is outside.'
            )

    def taken(self, value: object) -> Measure:
        """Check a value from code as the panel checks what is typed.

        Parameters
        ----------
        value : object
            A quantity, or a plain number where the unit is 1.

        Returns
        -------
        Quantity or float
            The value.

        Raises
        ------
        Problem
            It is no single quantity of this kind.
        OutOfRange
            It lies beyond the ends of the slider.
        """
        try:
            if isinstance(value, Quantity) == (self.metric.unit == "1"):
                raise TypeError
            plain = self.metric.plain(value)  # type: ignore[arg-type]
        except (TypeError, ValueError, OverflowError, AttributeError):
            example = f"{self.metric.low:g}"
            if self.metric.unit != "1":
                example = f'Q({example}, "{_PINT.get(self.metric.unit, self.metric.unit)}")'
            raise Problem(
                f'"{self.label}" takes one value such as {example} for `{self.name}`; {quoted(value)} is not.'
            ) from None
        self.check(value if self.metric.unit != "1" else plain, "metric")  # type: ignore[arg-type]
        return value  # type: ignore[return-value]


@dataclass(frozen=True)
class Pick:
    """A choice from a list.

    Parameters
    ----------
    name : str
        The argument of the calculation.
    label : str
        What the person reads.
    value : object
        Where it starts: the value of one of the options.
    options : sequence of (str, object)
        The words of each option, and the value the calculation gets.
    place : {"tank", "plants", "water", "weather", "view"}
        Where it stands among the controls.

    Examples
    --------
    >>> cover = Pick("cover", "The tank stands", "open", [("in the open", "open"), ("under a roof", "roof")])
    >>> cover.starting("roof").first
    'roof'
    """

    name: str
    label: str
    value: object
    options: Sequence[tuple[str, object]]
    place: str = "water"

    @property
    def first(self) -> object:
        """The value it starts from."""
        return self.value

    def starting(self, value: object, words: str = "") -> "Pick":
        """Return the same list with another start.

        Parameters
        ----------
        value : object
            Where it starts.
        words : str
            The words of an option to put first, where the list does not have the value.

        Returns
        -------
        Pick
            With the option put first, where it was missing.
        """
        known = any(value == option for _, option in self.options)
        options = self.options if known else [(words or str(value), value), *self.options]
        return replace(self, value=value, options=options)

    def taken(self, value: object) -> object:
        """Check a value from code.

        Parameters
        ----------
        value : object
            The value of one of the options.

        Returns
        -------
        object
            The value.

        Raises
        ------
        Problem
            The list does not offer it.
        """
        kinds = (str, int, float, tuple, bool)
        if not any(type(value) is type(option) and value == option for _, option in self.options):
            known = ", ".join(quoted(option) for _, option in self.options if isinstance(option, kinds))
            raise Problem(
                f'"{self.label}" offers {known} for `{self.name}`; {quoted(value)} is none of them.'
            )
        return value


@dataclass(frozen=True)
class Day:
    """A date to choose.

    Parameters
    ----------
    name : str
        The choice it stands for.
    label : str
        What the person reads.
    place : {"tank", "plants", "water", "weather", "view"}
        Where it stands among the controls.

    Examples
    --------
    >>> Day("start", "Fill and plant on").place
    'plants'
    """

    name: str
    label: str
    place: str = "plants"


@dataclass(frozen=True)
class Part:
    """One box of ``Typed``.

    Parameters
    ----------
    label : str
        What the person reads, without the unit.
    kind : str
        What it measures, as in ``units.read``.
    metric, us : Scale
        The unit in each system, and how finely it is shown.
    many : bool
        Whether it takes several measures in a row.
    example : str
        Shown while the box is empty.

    Examples
    --------
    >>> mass = Part("It weighs", "mass", Scale("kg", 0, 20, 0.1), Scale("lb", 0, 40, 0.25))
    >>> mass.read("5 lb", "metric").m_as("lb"), mass.read("", "metric")
    (5.0, None)
    """

    label: str
    kind: str
    metric: Scale
    us: Scale
    many: bool = False
    example: str = ""

    def scale(self, system: str) -> Scale:
        """Return the scale in a system.

        Parameters
        ----------
        system : {"metric", "US"}
            The system of units.

        Returns
        -------
        Scale
            With its unit.
        """
        return self.us if system == "US" else self.metric

    def read(self, text: str, system: str) -> Quantity | None:
        """Read what was typed.

        Parameters
        ----------
        text : str
            What the box holds.
        system : {"metric", "US"}
            The system whose unit counts where none is typed.

        Returns
        -------
        Quantity or None
            None where nothing was typed.

        Raises
        ------
        Problem
            It cannot be read.
        """
        if not text.strip():
            return None
        reader = several_as_typed if self.many else as_typed
        return reader(text, self.kind, self.scale(system).unit)

    def written(self, value: Quantity | None, system: str) -> str:
        """Write a value as the box shows it.

        Parameters
        ----------
        value : Quantity or None
            What counts.
        system : {"metric", "US"}
            The system of units.

        Returns
        -------
        str
            Numbers without their unit, which stands in the label.
        """
        if value is None:
            return ""
        scale, unit = self.scale(system), str(value.units)
        return ", ".join(scale.written(Q(float(one), unit)) for one in np.ravel(value.magnitude))


@dataclass(frozen=True)
class Typed:
    """Measures to type as they were read: a box for each part. Its value is a tuple with one for each.

    Parameters
    ----------
    name : str
        The choice they stand for.
    parts : tuple of Part
        The boxes, one below the other.
    place : {"tank", "plants", "water", "weather", "view"}
        Where they stand among the controls.

    Examples
    --------
    >>> scales = Scale("kg", 0, 20, 0.1), Scale("lb", 0, 40, 0.25)
    >>> Typed("empty_mass", (Part("Empty tank with lid", "mass", *scales),)).place
    'tank'
    """

    name: str
    parts: tuple[Part, ...]
    place: str = "tank"
