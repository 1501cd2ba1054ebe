"""The review of the learner's plan: each flag with its number, and buttons that make a change and take it back."""

import html
from typing import Any

import ipywidgets as widgets

from stilltank.season.plan import Plan
from stilltank.season.review import Flag, Remedy, review
from stilltank.show.panels import Status
from stilltank.units import Problem

from .draft import Draft, a_draft

_SHORT = widgets.Layout(width="15em")
_LINE = widgets.Layout(flex_flow="row wrap", grid_gap="0.6em")


class Review(widgets.VBox):
    """Review the plan: flags in words, and for each change that clears one a button.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on.

    Attributes
    ----------
    flags : tuple of Flag
        What was found when the plan was last reviewed.
    changes : dict of (str, int) to Button
        The buttons that change the plan, by the name of the flag and the place of the remedy.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> found = Review(Draft("no-such-plan.toml", count=6))
    >>> "water" in [flag.name for flag in found.flags]
    True
    >>> found.changes["water", 0].click()
    >>> "water" in [flag.name for flag in found.flags]
    False
    """

    def __init__(self, draft: Draft):
        self._draft = a_draft(draft)
        self.flags: tuple[Flag, ...] = ()
        self.changes: dict[tuple[str, int], widgets.Button] = {}
        self._back: list[tuple[str, dict[str, Any]]] = []
        self._at_work = False
        self.status = Status()
        self.again = widgets.Button(description="Review my plan", layout=_SHORT)
        self.undo = widgets.Button(
            description="Take my last change back", layout=widgets.Layout(width="18em")
        )
        self.again.on_click(lambda _: self.review())
        self.undo.on_click(lambda _: self._take_back())
        self._list = widgets.VBox()
        super().__init__([widgets.HBox([self.again, self.undo], layout=_LINE), self.status, self._list])
        draft.watch(self._changed, "review")
        self.review()

    def review(self) -> None:
        """Review the plan as it now is, and show what was found; a Problem is said in words."""
        self.undo.disabled = not self._back
        try:
            self.flags = review(self._draft.plan, self._draft.system)
        except Problem as problem:
            self.status.complain(problem)
            return
        self.changes, blocks = {}, []
        for flag in self.flags:
            blocks.append(widgets.HTML(_words(flag)))
            buttons = [self._button(flag, number, remedy) for number, remedy in enumerate(flag.remedies)]
            if buttons:
                blocks.append(widgets.HBox(buttons, layout=_LINE))
        self._list.children = blocks
        self.status.say(_summary(self.flags))

    def _button(self, flag: Flag, number: int, remedy: Remedy) -> widgets.Button:
        name = f"Make change {number + 1}" if len(flag.remedies) > 1 else "Make this change"
        button = widgets.Button(description=name, tooltip=f"{flag.title}: {remedy.words}", layout=_SHORT)
        button.on_click(lambda _: self._make(remedy))
        self.changes[flag.name, number] = button
        return button

    def _make(self, remedy: Remedy) -> None:
        before = _as_they_are(self._draft.plan, remedy)
        if self._change(dict(remedy.changes)):
            self._back.append((remedy.words, before))
            self.review()

    def _take_back(self) -> None:
        if self._back:
            words, before = self._back.pop()
            if self._change(before):
                self.review()
                self.status.say(f"Taken back: {words}. {_summary(self.flags)}")

    def _change(self, changes: dict[str, Any]) -> bool:
        """Change the plan; what this causes is no news here."""
        self._at_work = True
        try:
            self._draft.change(**changes)
        except Problem as problem:
            self.status.complain(problem)
            return False
        finally:
            self._at_work = False
        return True

    def _changed(self) -> None:
        """Say that the flags are from before, as a review takes too long to follow every slider."""
        if not self._at_work:
            self._back.clear()
            self.undo.disabled = True
            self.status.say("The plan has changed since this review. Press Review my plan.")


def _as_they_are(plan: Plan, remedy: Remedy) -> dict[str, Any]:
    """The choices that a remedy changes, as the plan has them."""
    of_plants = {"crop": plan.plants.crop, "count": plan.plants.count}
    return {name: of_plants.get(name, getattr(plan, name, None)) for name in remedy.changes}


def _summary(flags: tuple[Flag, ...]) -> str:
    """How many flags there are, and how many of them a change of the plan clears."""
    if not flags:
        return "No flag. The review knows the plan and not the place: look at the tank as well."
    cleared = sum(not flag.caution for flag in flags)
    counted = "1 flag" if len(flags) == 1 else f"{len(flags)} flags"
    return f"{counted}. A change of the plan clears {cleared}; the others are to be minded at the tank."


def _words(flag: Flag) -> str:
    """A flag in HTML: what was found, why it matters, and what can be done."""
    lines = [f"<b>{html.escape(flag.title)}.</b> {html.escape(flag.sentence)} {html.escape(flag.reason)}"]
    lines += [
        f"<b>{f'Change {number}' if len(flag.remedies) > 1 else 'Change'}:</b> {html.escape(remedy.words)}."
        for number, remedy in enumerate(flag.remedies, 1)
    ]
    if flag.at_tank:
        lines.append(f"<b>At the tank:</b> {html.escape(flag.at_tank)}")
    parts = "".join(f'<p style="margin:0.2em 0">{line}</p>' for line in lines)
    return f'<div class="stilltank-flag" style="max-width:46em;line-height:1.4">{parts}</div>'
