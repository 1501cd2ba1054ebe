"""Panels on a plan: they show one part of it, change it, and follow what other panels change."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from operator import attrgetter
from typing import Any

import ipywidgets as widgets

from stilltank.season.plan import Plan
from stilltank.show.figures import ALONE
from stilltank.show.panels import Day, Drawing, Number, Panel, Pick, Row, Typed, TypedRow, Unread, row
from stilltank.units import Problem

from .draft import Draft, a_draft

_HOLDS = (Row, TypedRow)  # widgets that hold what was typed, also what was refused


@dataclass(frozen=True)
class Bound:
    """A control bound to a choice of the plan.

    Parameters
    ----------
    control : Number, Typed, Pick or Day
        What can be chosen.
    shown : callable
        Given a plan; returns the value it has there, None where it has no such thing.
    change : callable
        Given a plan and the value that was chosen; returns the words for ``Draft.change``.
    offers : callable, optional
        Given a plan; returns the options of a list, where they follow from it.

    Examples
    --------
    >>> from stilltank.show.panels import Scale
    >>> count = Bound(
    ...     Number("count", "Plants in the tank", None, Scale("1", 1, 24, 1), place="plants"),
    ...     lambda plan: plan.plants.count,
    ...     lambda plan, value: {"count": value},
    ... )
    >>> count.shown(Plan.make(count=4))
    4
    """

    control: Number | Typed | Pick | Day
    shown: Callable[[Plan], Any]
    change: Callable[[Plan, Any], dict[str, Any]]
    offers: Callable[[Plan], Sequence[tuple[str, Any]]] | None = None


class PlanPanel(Panel[Plan]):
    """One part of a plan.

    The figure is drawn again only where something it follows has changed. The panel in which a change is made is drawn
    at once; the others follow when the change has come to rest, so that a slider does not wait for them.

    Parameters
    ----------
    title : str
        What the panel is about.
    draft : Draft
        The plan, shared with the other panels.
    bound : sequence of Bound
        The controls, in the fixed order tank, plants, water, weather, view.
    drawing : callable
        Given the system and whether type is large; returns a figure whose ``show`` takes the plan.
    key : callable
        Given the plan and the system; returns the one number that matters, in words and unit.
    follows : sequence of str
        Names of what, in the plan, the panel shows.
    choices : sequence of str
        What "Back to the start" sets, in words of ``Plan.make``; all when empty.
    more : callable, optional
        Given the plan and the system; returns HTML to stand below the figure.
    last : sequence of Widget
        Widgets to stand below all else.

    Attributes
    ----------
    draft : Draft
        The plan.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> from stilltank.season.pictures import tank_picture
    >>> from stilltank.show.figures import TankSection
    >>> from stilltank.show.panels import PartDrawn
    >>> panel = PlanPanel(
    ...     "The tank", Draft("no-such-plan.toml", count=4), [],
    ...     lambda system, large: PartDrawn(
    ...         TankSection(system, large=large), lambda figure, plan: tank_picture(plan, system, figure)
    ...     ),
    ...     lambda plan, system: plan.tank.name, follows=["tank"], choices=["tank"],
    ... )
    >>> panel.answer.key
    '<p class="stilltank-key" ...>Quillgate courtyard tub, 45 litres</p>'
    """

    def __init__(
        self,
        title: str,
        draft: Draft,
        bound: Sequence[Bound],
        drawing: Callable[[str, bool], Drawing[Plan]],
        key: Callable[[Plan, str], str],
        *,
        follows: Sequence[str],
        choices: Sequence[str],
        more: Callable[[Plan, str], str] | None = None,
        last: Sequence[widgets.Widget] = (),
    ):
        a_draft(draft)
        super().__init__(title, drawing, key, more, last)
        self.draft, self._path = draft, draft.path
        self._bound, self._follows, self._choices = bound, follows, choices
        self._made: dict[str, Any] = {}
        self._filled: dict[str, Any] = {}
        self._shown: tuple[Any, ...] = ()
        draft.watch(self._told, title)
        self.refresh()
        if draft.unsaid:
            self.answer.note(Problem(draft.unsaid))
            draft.unsaid = ""

    def reset(self) -> None:
        """Set this panel's choices to what they were when the page opened the plan."""
        self._forget()
        self.acting(lambda: self.draft.reset(*self._choices))

    def switch(self, system: str) -> None:
        """Show the whole draft in another system.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.
        """
        self.acting(lambda: self.draft.show_in(system))

    def refresh(self) -> None:
        """Show the plan as it now is."""
        with ALONE:
            self._fill()
            self.attempt(self._draw)

    def _told(self) -> None:
        self._fill()
        self.catch_up(lambda: self.attempt(self._draw))

    def _moved(self, bound: Bound) -> None:
        if self._busy:
            return
        made = self._made[bound.control.name]
        holds = isinstance(made, _HOLDS)
        value = made.given if holds else made.value
        known = made.known if holds else self._filled[bound.control.name]
        if value is known or (
            not isinstance(made, TypedRow) and value == known
        ):  # a slip put right is no change
            if holds:
                made.given = known
            self.refresh()
            return
        if not holds:  # from a list: what was typed before was for something else
            self._forget()
        self.acting(lambda: self._take(bound, value))

    def _take(self, bound: Bound, value: Any) -> None:
        """Change the plan by what a control holds."""
        if isinstance(value, Unread):
            raise value.problem
        self.draft.change(**bound.change(self.draft.plan, value))

    def _forget(self) -> None:
        for made in self.rows.values():
            if isinstance(made, _HOLDS):
                made.forget()

    def _retry(self) -> None:
        """Try again what the plan refused; a Problem says that it still does not fit."""
        for bound in self._bound:
            made = self.rows.get(bound.control.name)
            if isinstance(made, _HOLDS) and made.given is not made.known:
                given, made.given = made.given, made.known
                try:
                    self._take(bound, given)
                except Problem:
                    made.given = given
                    raise

    def _fill(self) -> None:
        """Set the controls from the plan, without that counting as a change by the learner."""
        if self._path != self.draft.path:  # of somebody else
            self._path = self.draft.path
            self._forget()
        self._busy = True
        try:
            self._fill_from(self.draft.plan, self.draft.system)
        finally:
            self._busy = False

    def _fill_from(self, plan: Plan, system: str) -> None:
        rows = {}
        for bound in self._bound:
            control = bound.control
            value = bound.shown(plan)
            if value is None:
                continue
            if control.name not in self._made:
                self._made[control.name] = row(control, lambda bound=bound: self._moved(bound))
            made = rows[control.name] = self._made[control.name]
            if isinstance(control, (Number, Typed)):
                made.show(value, system)
            else:
                if isinstance(control, Pick):
                    _offer(made, control.options if bound.offers is None else bound.offers(plan), value)
                made.value = self._filled[control.name] = value
        self.arrange(rows)
        self.system.value = system

    def _draw(self) -> None:
        plan, system = self.draft.plan, self.draft.system
        now = (*(attrgetter(name)(plan) for name in self._follows), system, self.large.value)
        if now == self._shown:
            self.stand()  # it may have said a problem
        else:
            self._shown = ()
            self.draw(plan, system)
            self._shown = now
        self._retry()


def _offer(made: Any, options: Sequence[tuple[str, Any]], value: Any) -> None:
    """Set the options of a list; what the plan has is always one of them."""
    known = [*options] if any(each == value for _, each in options) else [(str(value), value), *options]
    if [*made.options] != known:
        made.options = known
