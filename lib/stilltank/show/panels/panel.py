"""How every panel is built: controls, view, key number, sentence and picture, always in this order."""

import html
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Generic, TypeVar

import ipywidgets as widgets

from stilltank.units import Problem

from ..figures import ALONE
from .at_rest import AtRest
from .choices import SYSTEMS
from .controls import Answer, choice
from .drawing import Drawing

ResultT = TypeVar("ResultT")
# Sizes in hundredths of the screen height: words need 1/50 of it, the key number 1/25.
_LOOK = """<style>
.stilltank-columns { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 26em), 1fr));
  column-gap: 0.6em; }
.stilltank-columns .stilltank-row { container-type: inline-size; }
.stilltank-columns .stilltank-box { width: min(21em, calc(100% - 4px)) !important; }
.stilltank-columns .stilltank-box > .widget-label, .stilltank-columns > .jupyter-widgets > .widget-label
  { width: 13.5em !important; }
.stilltank-columns > .widget-dropdown, .stilltank-columns > .stilltank-typed { grid-column: 1 / -1; }
.stilltank-large .stilltank-columns { grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); }
.stilltank-large .stilltank-columns > .stilltank-single { grid-column: auto; }
@container (max-width: 25em) { .stilltank-columns .widget-slider { display: none; } }
.stilltank-large, .stilltank-large .jupyter-widgets, .stilltank-large label, .stilltank-large input,
.stilltank-large select, .stilltank-large button, .stilltank-large figcaption, .stilltank-large table,
.stilltank-large .stilltank-more { font-size: 2.1vh !important; }
.stilltank-large { --jp-widgets-inline-height: 3.25vh; --jp-widgets-slider-handle-size: 2.8vh; }
.stilltank-large .stilltank-key { font-size: 4.1vh !important; line-height: 1.1; }
.stilltank-large .stilltank-sentence p
  { font-size: 2.1vh !important; line-height: 1.25 !important; max-width: 60em !important; margin: 0.2em 0; }
.stilltank-large figure img
  { width: 100% !important; height: 40vh !important; object-fit: contain; object-position: left; }
.stilltank-before { position: relative; border: 3px dashed #1a1a1a; }
.stilltank-before > p { position: absolute; top: 0; left: 0; z-index: 1; margin: 0; padding: 0 0.6em;
  background: #1a1a1a; color: white; font-weight: bold; }
.stilltank-before img { opacity: 0.3; }
.stilltank-large .stilltank-before > p { font-size: 2.1vh !important; }
.stilltank-more p { max-width: 46em; line-height: 1.4; margin: 0.6em 0; }
</style>"""
REST = 0.15  # seconds without a change, after which the panels that only follow are drawn
BEHIND = "stilltank-behind"  # on a panel that still shows the plan as it was
_FEW = 4  # controls that stand one below the other; more stand in columns where there is room


class Panel(widgets.VBox, Generic[ResultT]):
    """Controls above, the view, one key number, one sentence, one figure that is updated in place.

    What a panel shows, and what moves it, is said by its kinds: ``ExplorePanel`` reckons with its own controls,
    ``PlanPanel`` shows and changes a plan that others share.

    Parameters
    ----------
    title : str
        What the panel is about.
    drawing : callable
        Given the system and whether type is large; returns a figure, drawn once and updated in place.
    key : callable
        Given the result and the system; returns the one number that matters, in words and unit.
    more : callable, optional
        Given the result and the system; returns HTML to stand below the figure.
    last : sequence of Widget
        Widgets to stand below all else.
    first : sequence of Widget
        Widgets to stand between the title and the controls.

    Examples
    --------
    >>> from stilltank.show.figures import ElementBars
    >>> panel = Panel("Elements", lambda system, large: ElementBars(large), lambda result, system: "")
    >>> panel.system.value, panel.large.value
    ('metric', False)
    """

    def __init__(
        self,
        title: str,
        drawing: Callable[[str, bool], Drawing[ResultT]],
        key: Callable[[ResultT, str], str],
        more: Callable[[ResultT, str], str] | None = None,
        last: Sequence[widgets.Widget] = (),
        first: Sequence[widgets.Widget] = (),
    ):
        self._drawing, self._key, self._more = drawing, key, more
        self._drawings: dict[tuple[str, bool], Drawing[ResultT]] = {}
        self._busy = self._acting = False
        self._at_rest = AtRest(REST)
        self.rows: dict[str, widgets.Widget] = {}
        self.controls = widgets.VBox()
        self.system = choice("Numbers in", SYSTEMS, "metric")
        self.system.style.description_width = "initial"
        self.system.layout = widgets.Layout(width="auto")
        self.large = widgets.Checkbox(
            description="Large type",
            value=False,
            indent=False,
            layout=widgets.Layout(width="auto"),
        )
        self.again = widgets.Button(description="Back to the start", layout=widgets.Layout(width="auto"))
        self.system.observe(self._switched, "value")
        self.large.observe(self._resized, "value")
        self.again.on_click(lambda _: self._reset())
        self.answer = Answer()
        self.more = widgets.HTML()
        self._more_held = ""
        self.more.add_class("stilltank-more")
        heading = widgets.HTML(f'{_LOOK}<p style="font-weight:bold;margin:0">{html.escape(title)}</p>')
        view = widgets.HBox(
            [self.system, self.large, self.again],
            layout=widgets.Layout(flex_flow="row wrap", grid_gap="0 0.6em"),
        )
        below = [self.more] if more else []
        super().__init__([heading, *first, self.controls, view, self.answer, *below, *last])

    def reset(self) -> None:
        """Go back to the start."""
        raise NotImplementedError

    def refresh(self) -> None:
        """Show what the controls or the plan now say."""
        raise NotImplementedError

    def switch(self, system: str) -> None:
        """Show numbers in another system.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.
        """
        raise NotImplementedError

    def arrange(self, rows: Mapping[str, widgets.Widget]) -> None:
        """Set the controls that stand in the panel.

        Parameters
        ----------
        rows : mapping of str to Widget
            By name, in their order.
        """
        if list(rows.values()) != list(self.controls.children):
            self.rows = dict(rows)
            self.controls.children = tuple(rows.values())
            (self.controls.add_class if len(rows) > _FEW else self.controls.remove_class)("stilltank-columns")

    def draw(self, result: ResultT, system: str) -> None:
        """Show a result.

        Parameters
        ----------
        result : object
            What the drawing and the key number take.
        system : {"metric", "US"}
            The units.

        Raises
        ------
        Problem
            It cannot be drawn; what was shown before stays.
        """
        picture = self._drawn(system).show(result)
        key = self._key(result, system)
        self._more_held = self._more(result, system) if self._more else ""
        self.answer.show(picture, key)
        self.more.value = self._more_held

    def _drawn(self, system: str) -> Drawing[ResultT]:
        kind = (system, self.large.value)
        if kind not in self._drawings:
            self._drawings[kind] = self._drawing(*kind)
        return self._drawings[kind]

    def stand(self) -> None:
        """Show again what was drawn last, whatever was refused since."""
        self.answer.stand()
        self.more.value = self._more_held

    def attempt(self, act: Callable[[], object]) -> None:
        """Do something, one panel at a time; a Problem is said in words, and what was shown is marked as past.

        Parameters
        ----------
        act : callable
            What is done.
        """
        with ALONE:
            try:
                act()
            except Problem as problem:
                self.answer.refuse(problem)
                self.more.value = ""

    def acting(self, change: Callable[[], object]) -> None:
        """Change from this panel what others share; it is drawn at once, and a Problem is said here.

        Parameters
        ----------
        change : callable
            What makes the change.
        """
        self._acting = True
        try:
            self.attempt(change)
        finally:
            self._acting = False

    def catch_up(self, draw: Callable[[], None]) -> None:
        """Draw what others share: at once where the hand is, elsewhere when the change has come to rest.

        So a slider does not wait for the panels that only follow.

        Parameters
        ----------
        draw : callable
            What draws.
        """
        if self._acting:
            self._at_rest.stop()
            self._catch_up(draw)
        elif self._at_rest.later(lambda: self._catch_up(draw)):
            self.add_class(BEHIND)

    def _catch_up(self, draw: Callable[[], None]) -> None:
        draw()
        self.remove_class(BEHIND)

    def _switched(self, change: Any) -> None:
        with ALONE:
            if not self._busy:
                self.switch(change.new)

    def _resized(self, change: Any) -> None:
        with ALONE:
            (self.add_class if change.new else self.remove_class)("stilltank-large")
            self.refresh()

    def _reset(self) -> None:
        with ALONE:
            self.reset()
