"""Panels to explore one idea: sliders with number boxes, one key number, one sentence, one figure."""

from typing import Any

import ipywidgets as widgets

from stilltank.units import Problem

from ..figures import ALONE
from .choices import Number, Pick
from .controls import Row, row, said
from .exploration import Exploration, SharedPlan
from .panel import Panel

OWN, DEMO = "own", "demo"
_BEGIN = Pick("begin", "Begin with", OWN, [("your own plan", OWN), ("the demo", DEMO)], "tank")


class ExplorePanel(Panel):
    """One idea to explore. An ``Exploration`` makes it when it is called.

    Parameters
    ----------
    exploration : Exploration
        What the panel shows.
    draft : own_tank.Draft, optional
        The plan to begin with, and to follow.
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
        """Show numbers in another system; an amount stays what it is. With a plan, all its panels follow."""
        if self.draft is None:
            self._switch_rows(system)
            self.refresh()
        else:
            shared = self.draft
            self.acting(lambda: shared.show_in(system))

    def values(self) -> dict[str, Any]:
        """Return what the calculation gets, by name.

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
