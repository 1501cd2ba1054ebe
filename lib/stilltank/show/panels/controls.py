"""What panels are built of: numbers with slider and box, lists, dates, boxes for words, and the line that answers."""

import html
import math
from collections.abc import Callable, Sequence
from typing import Any, TypeAlias, overload

import ipywidgets as widgets
import numpy as np
import traitlets

from stilltank.files import whole_characters
from stilltank.units import Problem, Quantity

from ..figures import ALONE, Picture
from .choices import NOISE, UNIT_WORDS, Day, Measure, Number, Part, Pick, Scale, Typed, Unread, as_typed

_WIDE = widgets.Layout(width="auto", min_width="24em", max_width="44em")
_LABEL = {"description_width": "17em"}
_LABEL_OF_ROW = {"description_width": "18em"}
_BOX = widgets.Layout(width="27em", flex="0 0 auto")
_SLIDER = widgets.Layout(width="auto", flex="1 1 7em", max_width="18em")
_KEY = '<p class="stilltank-key" style="font-size:1.7em;font-weight:bold;margin:0">{}</p>'
_BEFORE = '<div class="stilltank-before"><p>From before: not for what is chosen now</p>{}</div>'  # its look: panel.py


def choice(label: str, options: Sequence[object], value: object) -> widgets.Dropdown:
    """Make a list to choose from.

    Parameters
    ----------
    label : str
        What stands beside it.
    options : sequence
        Values, or pairs of words and value.
    value : object
        The value it starts from.

    Returns
    -------
    Dropdown
        A widget.

    Examples
    --------
    >>> choice("Numbers in", [("litres", "metric"), ("gallons", "US")], "US").label
    'gallons'
    """
    return widgets.Dropdown(options=options, value=value, description=label, style=_LABEL, layout=_WIDE)


def button(words: str, act: Callable[[], None]) -> widgets.Button:
    """Make a button as wide as its words.

    Parameters
    ----------
    words : str
        What stands on it.
    act : callable
        What is done when it is pressed.

    Returns
    -------
    Button
        A widget.

    Examples
    --------
    >>> button("Set them in", lambda: None).description
    'Set them in'
    """
    made = widgets.Button(description=words, layout=widgets.Layout(width="auto"))
    made.on_click(lambda _: act())
    return made


def in_a_row(*parts: widgets.Widget) -> widgets.HBox:
    """Put widgets beside each other; where there is no room they go on below.

    Parameters
    ----------
    *parts : Widget
        From left to right.

    Returns
    -------
    HBox
        A widget.

    Examples
    --------
    >>> len(in_a_row(button("Save", lambda: None), button("Print", lambda: None)).children)
    2
    """
    return widgets.HBox(list(parts), layout=widgets.Layout(flex_flow="row wrap", grid_gap="0.6em"))


class _Whole(widgets.Widget):
    """Takes half a character, as a browser can send it; the kernel could not answer with one."""

    def set_state(self, sync_data: dict[str, Any]) -> None:
        """Take what the browser sends."""
        whole = {
            key: whole_characters(part) if isinstance(part, str) else part for key, part in sync_data.items()
        }
        super().set_state(whole)


class _Words(_Whole, widgets.Text):
    """A box for words."""


class _Lines(_Whole, widgets.Textarea):
    """A box for several lines."""


class _Reading(_Words):
    """A box for a measure as it was read; a number stands for its digits."""

    value = traitlets.CUnicode().tag(sync=True)


def text_box(label: str, value: str, example: str) -> widgets.Text:
    """Make a box for words.

    Parameters
    ----------
    label : str
        What stands beside it.
    value : str
        The words it starts with.
    example : str
        Shown while the box is empty.

    Returns
    -------
    Text
        A widget.

    Examples
    --------
    >>> text_box("What you read", "", "45 L").placeholder
    '45 L'
    """
    return _Words(
        value=value,
        placeholder=example,
        description=label,
        style=_LABEL,
        layout=_WIDE,
        continuous_update=False,
    )


def lines_box(label: str, value: str, example: str) -> widgets.Textarea:
    """Make a box that takes several lines, such as a column that is pasted.

    Parameters
    ----------
    label : str
        What stands beside it.
    value : str
        The words it starts with.
    example : str
        Shown while the box is empty.

    Returns
    -------
    Textarea
        A widget.

    Examples
    --------
    >>> lines_box("Mean highs", "", "6, 8, 11").rows
    2
    """
    return _Lines(
        value=value,
        placeholder=example,
        description=label,
        rows=2,
        style=_LABEL,
        layout=_WIDE,
        continuous_update=False,
    )


def said(sentence: str) -> str:
    """Write one sentence of result; screen readers speak it when it changes.

    Parameters
    ----------
    sentence : str
        Plain words.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> said("Fill to 25 cm.")
    '<p role="status" ...>Fill to 25 cm.</p>'
    """
    style = "max-width:46em;line-height:1.4;white-space:pre-line"
    return f'<p role="status" style="{style}">{html.escape(sentence)}</p>'


def complained(problem: Problem) -> str:
    """Write what does not fit; screen readers speak it at once.

    Parameters
    ----------
    problem : Problem
        Its sentence is shown.

    Returns
    -------
    str
        HTML.

    Examples
    --------
    >>> complained(Problem("Type 0 to 30 cm."))
    '<p role="alert" ...><strong>Problem:</strong> Type 0 to 30 cm.</p>'
    """
    style = "max-width:46em;line-height:1.4;border-left:6px solid #1a1a1a;padding-left:0.6em"
    return f'<p role="alert" style="{style}"><strong>Problem:</strong> {html.escape(str(problem))}</p>'


class Status(widgets.HTML):
    """One sentence of result, or a problem in words.

    Parameters
    ----------
    value : str
        HTML to begin with.
    **kwargs : object
        What any widget takes.

    Examples
    --------
    >>> status = Status()
    >>> status.say("Saved my-tank.toml in this folder.")
    >>> "Saved my-tank.toml" in status.value
    True
    """

    def say(self, sentence: str) -> None:
        """Show a result.

        Parameters
        ----------
        sentence : str
            Plain words.
        """
        self.value = said(sentence)

    def complain(self, problem: Problem) -> None:
        """Show what does not fit.

        Parameters
        ----------
        problem : Problem
            Its sentence is shown.
        """
        self.value = complained(problem)


class Answer(widgets.HTML):
    """Key number, sentence and picture of one state.

    They go to the page in one message, so that it never shows a part of one state beside a part of another.

    Attributes
    ----------
    key, sentence, picture : str
        HTML of the parts as they are shown.

    Examples
    --------
    >>> answer = Answer()
    >>> answer.refuse(Problem("Type 0 to 30 cm."))
    >>> "Type 0 to 30 cm." in answer.value
    True
    """

    def __init__(self) -> None:
        super().__init__()
        self.key = self.sentence = self.picture = ""
        self._held = ("", "", "")

    def show(self, picture: Picture, key: str = "") -> None:
        """Show what holds now.

        Parameters
        ----------
        picture : Picture
            The picture with its sentence.
        key : str
            The one number that matters, in words; none when empty.
        """
        self._held = (_KEY.format(html.escape(key)) if key else "", said(picture.sentence), picture.html())
        self.stand()

    def stand(self) -> None:
        """Show again what was shown last, whatever was refused since."""
        self._set(*self._held)

    def note(self, problem: Problem) -> None:
        """Say a problem that leaves key number and picture true.

        Parameters
        ----------
        problem : Problem
            Its sentence takes the place of the picture's own.
        """
        key, _, picture = self._held
        self._set(key, complained(problem), picture)

    def refuse(self, problem: Problem) -> None:
        """Say why there is no answer; the picture stays, marked as the one from before.

        Parameters
        ----------
        problem : Problem
            Its sentence takes the place of the picture's own.
        """
        key, _, picture = self._held
        self._set(key and _KEY.format("No answer"), complained(problem), picture and _BEFORE.format(picture))

    def _set(self, key: str, sentence: str, picture: str) -> None:
        self.key, self.sentence, self.picture = key, sentence, picture
        self.value = f'{key}<div class="stilltank-sentence">{sentence}</div>{picture}'


class _Pair:
    """A box and a slider for one scale.

    What they are made with never changes: a browser corrects a value that does not suit a slider's ends and step, and
    sends that back as if somebody had chosen it. And a message means the same however late it comes.
    """

    def __init__(self, number: Number, scale: Scale, led: Callable[["_Pair", bool, Any], None]):
        self.scale, self._kind = scale, number.kind
        words = UNIT_WORDS[scale.unit]
        kind: Any = _Reading if number.kind else widgets.FloatText
        self.box = kind(
            description=f"{number.label}, {words}" if words else number.label,
            continuous_update=False,
            style=_LABEL_OF_ROW,
            layout=_BOX,
            **({} if number.kind else {"step": scale.step}),
        )
        self.slider = widgets.FloatSlider(
            value=scale.low, min=scale.low, max=scale.high, step=scale.step, readout=False, layout=_SLIDER
        )
        self.box.add_class("stilltank-box")
        self.shown: Any = self.box.value
        self.value: Any = scale.measure(0.0)
        self.handle = scale.low  # where the slider's handle was last
        self.setting = False
        self.box.observe(lambda change: led(self, False, change.new), "value")
        self.slider.observe(lambda change: led(self, True, change.new), "value")

    def show(self, value: Any, known: Any) -> None:
        """Show a value in the box, exactly, and with the handle as near as it can be to what is known."""
        self.shown, self.value = self._said(value), value
        self.handle = self.scale.nearest(self.scale.plain(known))
        self.set(self.shown, self.handle)

    def _said(self, value: Any) -> Any:
        """What the box holds of a value."""
        if isinstance(value, Unread):
            return value.text
        return self.scale.written(value) if self._kind else self.scale.shown(value)

    def read(self, typed: Any) -> Any:
        """The value that was typed; ``Unread`` where it is none."""
        if not self._kind:
            return self.scale.measure(typed)
        try:
            return as_typed(typed, self._kind, self.scale.unit)
        except Problem as problem:
            return Unread(typed, problem)

    def step_to(self, step: float) -> None:
        """Set both where the handle was led."""
        self.set(self.scale.written(self.scale.measure(step)) if self._kind else step, step)

    def set(self, box: Any, slider: float) -> None:
        """Set both without that being a choice."""
        self.setting = True
        self.box.value, self.slider.value = box, slider
        self.setting = False


class Row(widgets.HBox):
    """A number box with its full label, and a slider beside it that a hand can lead it with.

    Parameters
    ----------
    number : Number
        What can be chosen.
    moved : callable
        Called when the learner changes it.

    Attributes
    ----------
    known : Quantity or float
        The value that counts, in the unit in which it was chosen; both systems show it.
    given : Quantity or float
        What was typed or moved last; it is ``known`` unless it was refused, or has not been taken yet.

    Examples
    --------
    >>> made = Row(Number("level", "Level", 25, Scale("cm", 0, 30, 0.5), place="tank"), lambda: None)
    >>> made.box.value, made.box.description
    (25.0, 'Level, cm')
    """

    known: Measure
    given: Any  # a Measure, or Unread

    def __init__(self, number: Number, moved: Callable[[], None]):
        self.number = number
        self._moved = moved
        self._pairs: dict[Scale, _Pair] = {}
        self._scale = number.metric
        super().__init__()
        self.add_class("stilltank-row")
        self.start()

    @property
    def box(self) -> widgets.FloatText | widgets.Text:
        """The box in the present system."""
        return self._pair.box

    @property
    def slider(self) -> widgets.FloatSlider:
        """The slider in the present system."""
        return self._pair.slider

    def show(self, value: Measure, system: str) -> None:
        """Show a quantity or plain number in a system, wherever it lies.

        Parameters
        ----------
        value : Quantity or float
            What counts now.
        system : {"metric", "US"}
            The system of units.
        """
        if _same(value, self.given):  # it stays in the unit and figures in which it was typed
            self.known = self.given
        elif not _same(value, self.known):
            self.known = self.given = value
        self.switch(system)

    def start(self, system: str = "metric") -> None:
        """Go back to the first value; the low end where a plan is to say it.

        Parameters
        ----------
        system : {"metric", "US"}
            The system of units to show it in.
        """
        self.known = self.given = self.number.first
        self.switch(system)

    def forget(self) -> None:
        """Show what is known again, in place of what was refused."""
        self.given = self.known
        self.switch(self.system)

    def switch(self, system: str) -> None:
        """Show what was given in a system, also what was refused.

        Parameters
        ----------
        system : {"metric", "US"}
            The system of units.
        """
        self.system = system
        scale = self.number.scale(system)
        before = self._pairs.get(self._scale)
        if scale not in self._pairs:
            self._pairs[scale] = _Pair(self.number, scale, self._led)
        self._pair, self._scale = self._pairs[scale], scale
        self._pair.show(self.given, self.known)
        if self._pair is not before:
            self.children = self.box, self.slider

    def value(self) -> Measure:
        """Return what was given.

        Returns
        -------
        Quantity or float
            The value that was typed or moved last.

        Raises
        ------
        OutOfRange
            It lies beyond the ends of the slider.
        Problem
            It could not be read.
        """
        if isinstance(self.given, Unread):
            raise self.given.problem
        self.number.check(self.given, self.system)
        return self.given

    def _led(self, pair: _Pair, by_slider: bool, plain: Any) -> None:
        """Take what came from a box or a slider."""
        with ALONE:
            if pair.setting:
                return
            if by_slider:
                step = pair.scale.nearest(plain)
                if step == pair.handle:  # nobody moved it: the browser reckons steps with traces of rounding
                    return
                pair.handle = step
                pair.step_to(step)
                self.given = pair.scale.measure(step)
            else:
                self.given = pair.value if plain == pair.shown else pair.read(plain)
            typed = not isinstance(self.given, Unread)
            if typed and self.number.value is not None and self.number.holds(self.given):
                self.known = self.given
                pair.show(self.given, self.known)
            if pair is not self._pair:  # typed just before the system was switched
                self._pair.show(self.given, self.known)
            self._moved()


def _same(value: Any, other: Any) -> bool:
    """Whether two values differ by traces of rounding at most."""
    if isinstance(value, Quantity) != isinstance(other, Quantity):
        return False
    if isinstance(value, Quantity):
        value, other = value.m_as(other.units), other.m
    return math.isclose(value, other, rel_tol=NOISE)


_Several: TypeAlias = tuple[Quantity | None, ...]


class TypedRow(widgets.VBox):
    """Boxes for measures that are typed as they were read.

    Parameters
    ----------
    typed : Typed
        What can be typed.
    moved : callable
        Called when the learner changes it.

    Attributes
    ----------
    known : tuple of Quantity or None
        What counts, in the units in which it was typed.
    given : tuple or Unread
        What was typed last; it is ``known`` unless it was refused, or has not been taken yet.

    Examples
    --------
    >>> scales = Scale("kg", 0, 20, 0.1), Scale("lb", 0, 40, 0.25)
    >>> made = TypedRow(Typed("empty", (Part("Empty tank", "mass", *scales),)), lambda: None)
    >>> made.show((Q(2.4, "kg"),), "metric")
    >>> made.boxes[0].value, made.boxes[0].description
    ('2.4', 'Empty tank, kg')
    """

    known: _Several
    given: Any  # as known, or Unread

    def __init__(self, typed: Typed, moved: Callable[[], None]):
        self.typed, self._moved = typed, moved
        self._boxes: dict[str, list[_Words]] = {}
        self._setting = False
        self.known = self.given = tuple(None for _ in typed.parts)
        super().__init__()
        self.add_class("stilltank-typed")
        if len(typed.parts) == 1:
            self.add_class("stilltank-single")
        self.switch("metric")

    @property
    def boxes(self) -> list[_Words]:
        """The boxes in the present system."""
        return self._boxes[self.system]

    def show(self, value: _Several, system: str) -> None:
        """Show what counts, in a system.

        Parameters
        ----------
        value : tuple of Quantity or None
            One for each box.
        system : {"metric", "US"}
            The system of units.
        """
        if not isinstance(self.given, Unread) and _all_same(value, self.given):
            self.known = self.given  # it stays in the units in which it was typed
        elif not _all_same(value, self.known):
            self.known = self.given = value
        self.switch(system)

    def forget(self) -> None:
        """Show what is known again, in place of what was refused."""
        self.given = self.known
        self.switch(self.system)

    def switch(self, system: str) -> None:
        """Show what was given in a system; what could not be read stays as it was typed.

        Parameters
        ----------
        system : {"metric", "US"}
            The system of units.
        """
        self.system = system
        if system not in self._boxes:
            self._boxes[system] = [self._box(part, system) for part in self.typed.parts]
        if not isinstance(self.given, Unread):
            self._setting = True
            for part, box, value in zip(self.typed.parts, self.boxes, self.given, strict=True):
                box.value = part.written(value, system)
            self._setting = False
        self.children = tuple(self.boxes)

    def _box(self, part: Part, system: str) -> _Words:
        words = UNIT_WORDS[part.scale(system).unit]
        made = _Words(
            description=f"{part.label}, {words}",
            placeholder=part.example,
            continuous_update=False,
            style=_LABEL_OF_ROW,
            layout=_WIDE,
        )
        made.observe(lambda _: self._typed(system), "value")
        return made

    def _typed(self, system: str) -> None:
        with ALONE:
            if self._setting:
                return
            texts = [box.value for box in self._boxes[system]]
            try:
                found = tuple(
                    part.read(text, system) for part, text in zip(self.typed.parts, texts, strict=True)
                )
                self.given = self.known if _all_same(found, self.known) else found
            except Problem as problem:
                self.given = Unread("; ".join(texts), problem)
            self._moved()


def _all_same(values: _Several, others: _Several) -> bool:
    """Whether the values of all boxes differ by traces of rounding at most."""
    return len(values) == len(others) and all(
        (one is None) == (other is None)
        and (
            one is None
            or other is None
            or (
                np.shape(one.magnitude) == np.shape(other.magnitude)
                and np.allclose(one.m_as(other.units), other.magnitude, rtol=NOISE, atol=0)
            )
        )
        for one, other in zip(values, others, strict=True)
    )


Control: TypeAlias = Row | TypedRow | widgets.Dropdown | widgets.DatePicker


@overload
def row(control: Number, moved: Callable[[], None]) -> Row: ...
@overload
def row(control: Typed, moved: Callable[[], None]) -> TypedRow: ...
@overload
def row(control: Pick, moved: Callable[[], None]) -> widgets.Dropdown: ...
@overload
def row(control: Day, moved: Callable[[], None]) -> widgets.DatePicker: ...
def row(control: Number | Typed | Pick | Day, moved: Callable[[], None]) -> Control:
    """Make the widget of a control.

    Parameters
    ----------
    control : Number, Typed, Pick or Day
        What can be chosen.
    moved : callable
        Called when the learner changes it.

    Returns
    -------
    Row, TypedRow, Dropdown or DatePicker
        For a number, measures to type, a list or a date.

    Examples
    --------
    >>> row(Day("start", "Fill and plant on"), lambda: None).description
    'Fill and plant on'
    """

    def chosen(_: Any) -> None:
        with ALONE:
            moved()

    if isinstance(control, Number):
        return Row(control, moved)
    if isinstance(control, Typed):
        return TypedRow(control, moved)
    if isinstance(control, Pick):
        made: Any = choice(control.label, control.options, control.value)
    else:
        made = widgets.DatePicker(description=control.label, layout=_WIDE)
    made.style.description_width = _LABEL_OF_ROW["description_width"]
    made.observe(chosen, "value")
    return made
