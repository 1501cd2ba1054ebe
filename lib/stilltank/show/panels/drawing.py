"""What panels draw with, and the plan they may share."""

from collections.abc import Callable
from typing import Generic, Protocol, TypeVar, runtime_checkable

from ..figures import Picture

FigureT = TypeVar("FigureT")
ShownT = TypeVar("ShownT", contravariant=True)


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
