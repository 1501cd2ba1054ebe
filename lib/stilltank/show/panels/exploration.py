"""Panels to explore one idea, as data: what can be chosen, what follows, how it looks, and the number that matters."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Generic, Protocol, TypeVar, cast, runtime_checkable

from stilltank.problems import Problem

from ..figures import Picture
from ..given import known_system, quoted
from .choices import ORDER, Number, Pick

if TYPE_CHECKING:
    from .explore import ExplorePanel

PlanT = TypeVar("PlanT")
ResultT = TypeVar("ResultT")
FigureT = TypeVar("FigureT")
ShownT = TypeVar("ShownT", contravariant=True)
Controls = Sequence[Number | Pick]


class Drawing(Protocol[ShownT]):
    """A figure that is drawn once and updated in place."""

    def show(self, result: ShownT, /) -> Picture:
        """Update the figure; return it with its sentence."""
        ...


@runtime_checkable
class SharedPlan(Protocol):
    """A plan that panels share, such as ``own_tank.Draft``: it changes, and tells of each change."""

    plan: object
    system: str
    unsaid: str

    def watch(self, listener: Callable[[], None], name: str = "") -> None:
        """Have ``listener`` called after each change."""
        ...

    def show_in(self, system: str) -> None:
        """Show numbers in ``"metric"`` or ``"US"`` units, in all panels."""
        ...


class PartDrawn(Generic[FigureT, ShownT]):
    """A drawing of one part of a result, so that figures need not know the results of panels.

    Parameters
    ----------
    drawing : figure
        What is drawn once and updated.
    show : callable
        Given the figure and the result; returns the Picture.
    """

    def __init__(self, drawing: FigureT, show: Callable[[FigureT, ShownT], Picture]):
        self.drawing, self._show = drawing, show

    def show(self, result: ShownT, /) -> Picture:
        """Draw the part of the result."""
        return self._show(self.drawing, result)


def nothing_given(plan: object) -> Mapping[str, object]:
    """Return nothing: the controls of the panel say all that its calculation needs."""
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
    '20 g in 36 L'
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
        from .explore import ExplorePanel

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
