"""Panels to explore one idea, as data: what can be chosen, what follows, how it looks, and the number that matters."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar, cast

import ipywidgets as widgets

from stilltank.problems import Problem

from ..figures import ALONE, Picture
from ..given import known_system, quoted
from .choices import ORDER, Number, Pick
from .controls import Row, row, said
from .drawing import Drawing, PartDrawn, SharedPlan
from .panel import Panel

PlanT = TypeVar("PlanT")
ResultT = TypeVar("ResultT")
FigureT = TypeVar("FigureT")
Controls = Sequence[Number | Pick]


def nothing_given(plan: object) -> Mapping[str, object]:
    """Return nothing: the controls of the panel say all that its calculation needs.

    Parameters
    ----------
    plan : Plan or None
        Makes no difference.

    Returns
    -------
    dict
        Empty.

    Examples
    --------
    >>> nothing_given(None)
    {}
    """
    return {}


@dataclass(frozen=True)
class Exploration(Generic[PlanT, ResultT, FigureT]):
    """A panel to explore one idea; call it to show it.

    Parameters
    ----------
    title : str
        What the panel is about.
    controls : sequence of Number and Pick, or callable
        At most four; or a function of a plan, None for the demo, that gives them. They are shown in the fixed order
        tank, plants, water, weather, view.
    calculate : callable
        Given by name what the controls say, and what is ``given``; returns a result of the science floor.
    drawing : callable
        Given the system and whether type is large; returns a figure, drawn once and updated in place.
    key : callable
        Given the result and the system; returns the one number that matters, in words and unit.
    show : callable, optional
        Given the figure and the result; returns the Picture. ``figure.show(result)`` when left out.
    given : callable
        Given a plan, None for the demo; returns what the calculation needs and no control moves.
    alone : str
        A sentence that says why the panel takes nothing from a plan; empty where it does.

    Examples
    --------
    >>> from stilltank.chapters.mixing import panels
    >>> panels.salt_panel.picture().sentence
    'In each litre, milligrams of the element: N 86.1, Ca 106.'
    """

    title: str
    controls: Controls | Callable[[PlanT | None], Controls]
    calculate: Callable[..., ResultT]
    drawing: Callable[[str, bool], FigureT]
    key: Callable[[ResultT, str], str]
    show: Callable[[FigureT, ResultT], Picture] | None = None
    given: Callable[[PlanT | None], Mapping[str, object]] = nothing_given
    alone: str = ""

    def __call__(self, draft: SharedPlan | None = None) -> "ExplorePanel":
        """Show the panel in a notebook.

        Parameters
        ----------
        draft : own_tank.Draft, optional
            The plan to begin with, and to follow when it changes; the demo stays one click away. Without one, the
            panel begins with the demo.

        Returns
        -------
        ExplorePanel
            A widget; end a cell with it to show it.

        Raises
        ------
        Problem
            This is no draft of a plan.
        """
        if draft is not None and (isinstance(draft, type) or not isinstance(draft, SharedPlan)):
            raise Problem(
                f'A panel begins with the draft of a plan, such as own_tank.Draft("my-tank.toml"); {quoted(draft)} '
                "is not one."
            )
        return ExplorePanel(self, draft)

    def start(self, plan: PlanT | None = None) -> list[Number | Pick]:
        """List the controls in their order, each with the value it starts from.

        Parameters
        ----------
        plan : Plan, optional
            Whose tank to begin with; the demo when left out.

        Returns
        -------
        list of Number and Pick
            For the plan, with sliders long enough for its sizes.
        """
        found = self.controls(plan) if callable(self.controls) else self.controls
        return sorted(found, key=lambda control: ORDER.index(control.place))

    def result(self, plan: PlanT | None = None, **choices: object) -> ResultT:
        """Calculate with the defaults of the panel, or other choices, without a widget.

        Parameters
        ----------
        plan : Plan, optional
            Whose tank to begin with; the demo when left out.
        **choices : Quantity, float or str
            What is chosen otherwise, by the names of the controls.

        Returns
        -------
        result of ``calculate``
            As ``key`` and the drawing take it.

        Raises
        ------
        Problem
            There is no such control, or it does not offer the value.
        """
        controls = {control.name: control for control in self.start(plan)}
        for name, value in choices.items():
            if name not in controls:
                raise Problem(
                    f'"{self.title}" has the controls {", ".join(controls)}; `{name}` is none of them.'
                )
            controls[name].taken(value)
        first = {name: control.first for name, control in controls.items()}
        return self.calculate(**self.given(plan), **first | choices)

    def picture(
        self, plan: PlanT | None = None, *, system: str = "metric", large: bool = False, **choices: object
    ) -> Picture:
        """Draw the picture of the panel with its defaults, or other choices, without a widget.

        Parameters
        ----------
        plan : Plan, optional
            Whose tank to begin with; the demo when left out.
        system : {"metric", "US"}
            The units of the picture.
        large : bool
            Whether its words are for a projector.
        **choices : Quantity, float or str
            What is chosen otherwise, by the names of the controls.

        Returns
        -------
        Picture
            With the sentence of the panel.

        Raises
        ------
        Problem
            There is no such system or control, or the control does not offer the value.
        """
        drawn = self.drawn(known_system(system), bool(large))
        return drawn.show(self.result(plan, **choices))

    def drawn(self, system: str, large: bool) -> Drawing[ResultT]:
        """Make the drawing of the panel.

        Parameters
        ----------
        system : {"metric", "US"}
            The units of the drawing.
        large : bool
            Whether its words are for a projector.

        Returns
        -------
        Drawing
            Its ``show`` takes a result.
        """
        figure = self.drawing(system, large)
        return cast("Drawing[ResultT]", figure) if self.show is None else PartDrawn(figure, self.show)


OWN, DEMO = "own", "demo"
_BEGIN = Pick("begin", "Begin with", OWN, [("your own plan", OWN), ("the demo", DEMO)], "tank")


class ExplorePanel(Panel[Any]):
    """One idea to explore. An ``Exploration`` makes it when it is called.

    Parameters
    ----------
    exploration : Exploration
        What the panel shows.
    draft : own_tank.Draft, optional
        The plan to begin with, and to follow.

    Attributes
    ----------
    exploration : Exploration
        What the panel shows.
    draft : own_tank.Draft or None
        The plan it follows.

    Examples
    --------
    >>> from stilltank.chapters.mixing import panels
    >>> panels.salt_panel().begin
    'demo'
    """

    def __init__(self, exploration: Exploration[Any, Any, Any], draft: SharedPlan | None = None):
        words = said(exploration.alone).replace(' role="status"', "")
        note = [widgets.HTML(words)] if draft and exploration.alone else []
        super().__init__(exploration.title, exploration.drawn, exploration.key, first=note)
        self.exploration, self.draft = exploration, draft
        self._whose = row(_BEGIN, self._begun) if draft and not exploration.alone else None
        self._sets: dict[str, list[tuple[Number | Pick, Any]]] = {}
        self._given: dict[str, dict[str, Any]] = {}
        if draft:
            draft.watch(self._told, exploration.title)
            self._take_system(draft.system)
        self._renew(always=True)
        if draft and draft.unsaid:
            self.answer.note(Problem(draft.unsaid))
            draft.unsaid = ""

    @property
    def begin(self) -> str:
        """ "own" while the panel shows the plan, "demo" while it shows the demo."""
        return self._whose.value if self._whose else DEMO

    @property
    def controls_shown(self) -> list[Number | Pick]:
        """What the controls are made from, in their order."""
        return [control for control, _ in self._sets.get(self.begin, [])]

    def reset(self) -> None:
        """Set every control to its first value; a plan keeps its units."""
        with ALONE:
            self._busy = True
            system = self.draft.system if self.draft else "metric"
            self.system.value = system
            if self._whose:
                self._whose.value = OWN
            for control, made in self._sets.get(self.begin, []):
                if isinstance(made, Row):
                    made.start(system)
                else:
                    made.value = control.first
            self._arrange()
            self._busy = False
            self.refresh()

    def refresh(self) -> None:
        """Calculate and draw for the controls as they stand; a Problem is said in words."""
        if not self._busy:
            self.attempt(self._draw_now)

    def switch(self, system: str) -> None:
        """Show numbers in another system; an amount stays what it is. With a plan, all its panels follow.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.
        """
        if self.draft is None:
            self._switch_rows(system)
            self.refresh()
        else:
            shared = self.draft
            self.acting(lambda: shared.show_in(system))

    def values(self) -> dict[str, Any]:
        """Return what the calculation gets, by name.

        Returns
        -------
        dict of str to object
            What the controls say, and what is given.

        Raises
        ------
        OutOfRange
            A number lies beyond its slider.
        """
        shown = {
            control.name: made.value() if isinstance(made, Row) else made.value
            for control, made in self._sets[self.begin]
        }
        return {**self._given[self.begin], **shown}

    def _begun(self) -> None:
        """Show the plan, or the demo, each with its controls as they were left."""
        if not self._busy:
            self._renew(always=True)

    def _renew(self, always: bool) -> None:
        """Set out the controls, and draw where anything is new."""

        def act() -> None:
            if self._set_out() or always:
                self._draw_now()

        self.attempt(act)

    def _draw_now(self) -> None:
        if self.begin not in self._sets:  # its plan was refused before
            self._set_out()
        self.draw(self.exploration.calculate(**self.values()), self.system.value)

    def _set_out(self) -> bool:
        """Make the controls and what is given for the plan or the demo; say whether anything is new.

        A control that is the same as before keeps what was typed into it.
        """
        plan = self.draft.plan if self.draft and self.begin == OWN else None
        before, given = self._sets.get(self.begin, []), self._given.get(self.begin)
        made = [
            (
                control,
                next((one for same, one in before if same == control), None) or row(control, self.refresh),
            )
            for control in self.exploration.start(plan)
        ]
        self._given[self.begin] = dict(self.exploration.given(plan))
        self._sets[self.begin] = made
        self._arrange()
        self._switch_rows(self.system.value)
        return made != before or self._given[self.begin] != given

    def _arrange(self) -> None:
        rows = {control.name: made for control, made in self._sets.get(self.begin, [])}
        self.arrange({_BEGIN.name: self._whose, **rows} if self._whose else rows)

    def _switch_rows(self, system: str) -> None:
        for _, made in self._sets.get(self.begin, []):
            if isinstance(made, Row) and made.system != system:
                made.switch(system)

    def _told(self) -> None:
        self.catch_up(self._follow)

    def _follow(self) -> None:
        """Show the plan as it now is."""
        assert self.draft
        with ALONE:
            switched = self.system.value != self.draft.system
            self._take_system(self.draft.system)
            self._renew(always=switched)

    def _take_system(self, system: str) -> None:
        self._busy = True
        self.system.value = system
        self._busy = False
