"""The review of the learner's plan: each flag with its number, and buttons that make a change and take it back."""

import html

import ipywidgets as widgets

from stilltank import tables
from stilltank.season.plan import Plan
from stilltank.season.review import Flag, Remedy, review
from stilltank.show.figures import ALONE
from stilltank.show.pages import folded
from stilltank.show.panels import AtRest, Status
from stilltank.units import Problem, write

from .draft import Draft, a_draft

_REST = 0.8  # seconds without a change before the plan is looked at again: longer than any figure waits
_CONCERNS = {"people": "For people", "crop": "For the plants", "numbers": "For the numbers of the plan"}
_LOOK = """<style>
.stilltank-remedy { white-space: normal; height: auto !important; min-height: 2.2em; text-align: left;
  line-height: 1.3; padding: 0.35em 0.7em; max-width: min(100%, 44em); width: auto; }
.stilltank-flag { max-width: 46em; line-height: 1.4; border-left: 4px solid #1a1a1a; padding-left: 0.7em; }
.stilltank-caution { border-left-style: double; border-left-width: 6px; }
</style>"""


class Review(widgets.VBox):
    """Review the plan: flags in words, and for each change that clears one a button.

    It looks at the plan again when a change of another panel has come to rest, so that no slider waits for it.

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
    status : Status
        How many flags there are, and what was done last; screen readers speak it.
    undo : Button
        Takes the last change back, until another panel changes the plan.

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
    >>> found.undo.click()
    >>> "water" in [flag.name for flag in found.flags]
    True
    """

    def __init__(self, draft: Draft):
        self._draft = a_draft(draft)
        self.flags: tuple[Flag, ...] = ()
        self.changes: dict[tuple[str, int], widgets.Button] = {}
        self._back: list[tuple[str, Plan]] = []
        self._reviewed: tuple[Plan, str] | None = None
        self._at_work = False
        self._at_rest = AtRest(_REST)
        heading = widgets.HTML(f'{_LOOK}<p style="font-weight:bold;margin:0">A review of your plan</p>')
        self.status = Status()
        self.undo = widgets.Button(
            description="Take the last change back", layout=widgets.Layout(width="18em")
        )
        self.undo.on_click(lambda _: self._take_back())
        self._list = widgets.VBox()
        super().__init__([heading, self.status, self.undo, self._list])
        draft.watch(self._changed, "review")
        self.review()

    def review(self) -> None:
        """Review the plan as it now is, and show what was found; a Problem is said in words."""
        with ALONE:
            self.undo.disabled = not self._back
            now = self._draft.plan, self._draft.system
            try:
                self.flags = review(*now)
            except Problem as problem:
                self.status.complain(problem)
                return
            self._reviewed = now
            self._show()
            self.status.say(_summary(self.flags))

    def _show(self) -> None:
        blocks: list[widgets.Widget] = []
        self.changes, before = {}, ""
        for flag in self.flags:
            if flag.concern != before:
                before = flag.concern
                blocks.append(widgets.HTML(f'<h4 style="margin:0.5em 0 0">{_CONCERNS[flag.concern]}</h4>'))
            blocks.append(widgets.HTML(_words(flag)))
            blocks += [self._button(flag, number, remedy) for number, remedy in enumerate(flag.remedies)]
            blocks.append(widgets.HTML(_why(flag, self._draft.system)))
        gone, self._list.children = self._list.children, tuple(blocks)
        for widget in gone:
            widget.close()

    def _button(self, flag: Flag, number: int, remedy: Remedy) -> widgets.Button:
        button = widgets.Button(
            description=remedy.words, tooltip=f"Changes the plan and clears: {flag.title}"
        )
        button.layout = widgets.Layout(width="auto", height="auto")
        button.add_class("stilltank-remedy")
        button.on_click(lambda _: self._make(remedy))
        self.changes[flag.name, number] = button
        return button

    def _make(self, remedy: Remedy) -> None:
        before = self._draft.plan
        if self._reviewed is None or before is not self._reviewed[0]:  # changed a moment ago
            self.review()
            self.status.complain(Problem("The plan has just changed. Read the review again, then choose."))
            return
        self._at_work = True
        try:
            self._draft.change(**remedy.changes)
        except Problem as problem:
            self.status.complain(problem)
            return
        finally:
            self._at_work = False
        self._back.append((remedy.words, before))
        self.review()
        self.status.say(f"Done: {remedy.words}. {_summary(self.flags)}")

    def _take_back(self) -> None:
        if not self._back:
            return
        words, before = self._back.pop()
        self._at_work = True
        try:
            self._draft.put_back(before)
        finally:
            self._at_work = False
        self.review()
        self.status.say(f"Taken back: {words}. {_summary(self.flags)}")

    def _changed(self) -> None:
        """Look again when the change has come to rest; what was taken before it cannot be taken back any more."""
        if self._at_work or self._reviewed == (self._draft.plan, self._draft.system):
            return
        if self._reviewed is None or self._draft.plan is not self._reviewed[0]:
            self._back.clear()
            self.undo.disabled = True
        self._at_rest.later(self.review)


def _summary(flags: tuple[Flag, ...]) -> str:
    """How many flags there are, and how many of them a change of the plan clears."""
    if not flags:
        return "No flag. The review knows the plan and not the place: look at the tank as well."
    cleared = sum(not flag.caution for flag in flags)
    counted = "1 flag" if len(flags) == 1 else f"{len(flags)} flags"
    titles = "; ".join(flag.title for flag in flags)
    if not cleared:
        return f"{counted} to mind at the tank: {titles}."
    if cleared == len(flags):
        return f"{counted}, and changes of the plan that clear each: {titles}."
    return f"{counted}: {titles}. Changes of the plan clear {cleared}; mind the rest at the tank."


def _words(flag: Flag) -> str:
    """A flag in HTML: what was found, and what there is to do."""
    lines = [f"<b>{html.escape(flag.title)}.</b> {html.escape(flag.sentence)}"]
    if flag.at_tank:
        lines.append(f"<b>At the tank:</b> {html.escape(flag.at_tank)}")
    if flag.remedies:
        any_of = "Any one of these changes clears it:" if len(flag.remedies) > 1 else "This change clears it:"
        lines.append(any_of)
    parts = "".join(f'<p style="margin:0.2em 0">{line}</p>' for line in lines)
    kind = " stilltank-caution" if flag.caution else ""
    return f'<div class="stilltank-flag{kind}">{parts}</div>'


def _why(flag: Flag, system: str) -> str:
    entry = tables.where_from(flag.source)
    limit = "" if flag.limit is None else f"The limit: {write(flag.limit, system, 2)}. "
    return folded("Why, and where the limit comes from", [flag.reason, f"{limit}{_from(entry)}"])


def _from(entry: tables.Entry) -> str:
    note = f": {entry.note}" if entry.note else ""
    return f"{entry.kind[:1].upper()}{entry.kind[1:]}{note} (data/{entry.address})."
