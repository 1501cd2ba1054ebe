"""Panels to explore one idea: sliders with number boxes, one key number, one sentence, one figure."""

from collections.abc import Callable, Sequence
from typing import Any

from ..figures import ALONE
from .controls import ORDER, UNIT_WORDS, Number, Pick, Row, Scale, row
from .panel import Drawing, Panel

__all__ = ["ORDER", "UNIT_WORDS", "ExplorePanel", "Number", "Pick", "Scale", "explore"]


class ExplorePanel(Panel):
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
        super().__init__(title, drawing, key)
        self._calculate = calculate
        self._controls = sorted(controls, key=lambda control: ORDER.index(control.place))
        self.arrange({control.name: row(control, self.refresh) for control in self._controls})
        self.refresh()

    def reset(self) -> None:
        """Set every control to its first value."""
        with ALONE:
            self._busy = True
            self.system.value = "metric"
            for control in self._controls:
                one = self.rows[control.name]
                if isinstance(control, Number):
                    one.start()
                else:
                    one.value = control.value
            self._busy = False
            self.refresh()

    def refresh(self) -> None:
        """Calculate and draw for the controls as they stand; a Problem is said in words."""
        if not self._busy:
            self.attempt(lambda: self.draw(self._calculate(**self._values()), self.system.value))

    def switch(self, system: str) -> None:
        """Show numbers in another system; an amount stays what it is."""
        for one in self.rows.values():
            if isinstance(one, Row):
                one.switch(system)
        self.refresh()

    def _values(self) -> dict[str, Any]:
        return {name: one.value() if isinstance(one, Row) else one.value for name, one in self.rows.items()}


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
