"""How every panel is built: controls with full labels, one result, one status line, the switch of units last."""

import html
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

from stilltank.units import Problem

from .draft import Draft

_WIDE = widgets.Layout(width="auto", min_width="24em", max_width="38em")
_LABEL = {"description_width": "17em"}
SYSTEMS = (("metric: litres, cm, °C", "metric"), ("US: gallons, inches, °F", "US"))


def number_box(label: str, value: float) -> widgets.FloatText:
    """A box for a number; the label says the unit. Nothing is clipped: an impossible number gets a sentence."""
    return widgets.FloatText(
        value=value, description=label, style=_LABEL, layout=_WIDE, continuous_update=False
    )


def whole_box(label: str, value: int) -> widgets.IntText:
    """A box for a whole number."""
    return widgets.IntText(
        value=value, description=label, style=_LABEL, layout=_WIDE, continuous_update=False
    )


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


def day_box(label: str, value: Any) -> widgets.DatePicker:
    """A box for a date."""
    return widgets.DatePicker(value=value, description=label, style=_LABEL, layout=_WIDE)


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


class Panel(widgets.VBox):
    """Controls above, one sentence, then the picture or table.

    A panel connects and computes nothing: ``read`` turns the controls into changes of the draft, ``fill`` sets the
    controls from the plan, ``result`` gives a sentence and the HTML under it.
    """

    def __init__(self, title: str, draft: Draft, result: Callable[[Draft], tuple[str, str]]):
        """``title`` heads the panel; ``result`` is called after each change."""
        self.draft = draft
        self.status = Status()
        self.picture = widgets.HTML()
        self.controls = widgets.VBox()
        self._result = result
        self._filling = False
        self._filled: dict[Any, Any] = {}
        self._system = choice("Show numbers in", SYSTEMS, draft.system)
        self._system.observe(lambda change: draft.show_in(change.new), "value")
        self._heading = widgets.HTML(f'<p style="font-weight:bold;margin:0">{html.escape(title)}</p>')
        super().__init__()
        self.arrange()
        draft.watch(self.refresh)

    def arrange(self, first: Sequence[widgets.Widget] = (), last: Sequence[widgets.Widget] = ()) -> None:
        """Set the order: heading, ``first``, controls, units, sentence, picture, ``last``."""
        middle = (self.controls, self._system, self.status, self.picture)
        self.children = (self._heading, *first, *middle, *last)

    def connect(self, control: widgets.Widget, change: Callable[[Any], dict[str, Any]]) -> None:
        """Let a control change the draft: ``change(value)`` gives the words for ``Draft.change``."""

        def act(event: Any) -> None:
            if self._filling:
                return
            if event.new == self._filled.get(control):  # a slip put right is no change
                self.refresh()
                return
            try:
                self.draft.change(**change(event.new))
            except Problem as problem:
                self.status.complain(problem)

        control.observe(act, "value")
        self._filled[control] = None

    def set(self, control: Any, value: Any) -> None:
        """Set a control from the plan, without that counting as a change by the learner."""
        self._filling = True
        try:
            control.value = value
        finally:
            self._filling = False

    def fill(self) -> None:
        """Set the controls from the plan; panels with controls override it."""

    def refresh(self) -> None:
        """Show the plan as it now is."""
        self._filling = True
        try:
            self.fill()
            self._system.value = self.draft.system
            self._filled = {control: control.value for control in self._filled}
        finally:
            self._filling = False
        try:
            sentence, picture = self._result(self.draft)
        except Problem as problem:
            self.status.complain(problem)
            return
        self.status.say(sentence)
        self.picture.value = picture
