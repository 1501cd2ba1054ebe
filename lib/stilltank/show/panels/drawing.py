"""What panels draw with, and the plan they may share."""

from collections.abc import Callable
from typing import Generic, Protocol, TypeVar, runtime_checkable

from ..figures import Picture

FigureT = TypeVar("FigureT")
ShownT = TypeVar("ShownT", contravariant=True)


class Drawing(Protocol[ShownT]):
    """A figure that is drawn once and updated in place.

    Parameters
    ----------
    *args, **kwargs : object
        What the figure is made with; each kind says it.

    Examples
    --------
    >>> from stilltank.show.figures import new_figure
    >>> class Blank:
    ...     def show(self, result):
    ...         return Picture(new_figure(figsize=(4, 3)), f"Nothing of {result}.")
    >>> blank: Drawing[str] = Blank()
    >>> blank.show("the tank").sentence
    'Nothing of the tank.'
    """

    def show(self, result: ShownT, /) -> Picture:
        """Update the figure.

        Parameters
        ----------
        result : object
            What it shows.

        Returns
        -------
        Picture
            The figure with its sentence.
        """
        ...


@runtime_checkable
class SharedPlan(Protocol):
    """A plan that panels share, such as ``own_tank.Draft``: it changes, and tells of each change.

    Parameters
    ----------
    *args, **kwargs : object
        What the plan is made with; each kind says it.

    Attributes
    ----------
    plan : object
        The plan as it now is.
    system : {"metric", "US"}
        The units in which numbers are shown.
    unsaid : str
        A trouble that no panel has said yet; empty when there is none.

    Examples
    --------
    >>> isinstance("my-tank.toml", SharedPlan)
    False
    """

    plan: object
    system: str
    unsaid: str

    def watch(self, listener: Callable[[], None], name: str = "") -> None:
        """Have a function called after each change.

        Parameters
        ----------
        listener : callable
            What is called.
        name : str
            Tells apart the listeners of one cell.
        """
        ...

    def show_in(self, system: str) -> None:
        """Show numbers in other units, in all panels.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.
        """
        ...


class PartDrawn(Generic[FigureT, ShownT]):
    """A drawing of one part of a result, so that figures need not know the results of panels.

    Parameters
    ----------
    drawing : figure
        What is drawn once and updated.
    show : callable
        Given the figure and the result; returns the Picture.

    Examples
    --------
    >>> from stilltank.show.figures import new_figure
    >>> drawn = PartDrawn(new_figure(figsize=(4, 3)), lambda figure, result: Picture(figure, result["said"]))
    >>> drawn.show({"said": "A level of 25 cm."}).sentence
    'A level of 25 cm.'
    """

    def __init__(self, drawing: FigureT, show: Callable[[FigureT, ShownT], Picture]):
        self.drawing, self._show = drawing, show

    def show(self, result: ShownT, /) -> Picture:
        """Draw the part of the result.

        Parameters
        ----------
        result : object
            The whole result.

        Returns
        -------
        Picture
            The figure with its sentence.
        """
        return self._show(self.drawing, result)
