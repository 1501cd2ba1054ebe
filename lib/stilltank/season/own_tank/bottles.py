"""How to mix for the plan's tank, seen and printed: by weight, by two bottles, by spoons, with a card and labels."""

import html

import ipywidgets as widgets

from stilltank.season.paper import (
    bottle_labels,
    labels_for,
    mix_section,
    portions_section,
    tank_card,
    usual_mix,
    usual_ph_test,
)
from stilltank.show.panels import choice
from stilltank.units import Problem

from .draft import Draft, a_draft
from .saving import PAPERS, Writing, link

_MIXES = (
    ("salts, weighed for each tank", "salts"),
    ("two bottles and a small one", "bottles"),
    ("level teaspoons", "spoons"),
)
_TESTS = (("a meter", "meter"), ("drops", "drops"), ("strips", "strips"))
_WIDE = widgets.Layout(width="20em")


class Bottles(Writing):
    """Choose how to mix for the plan's tank, see the amounts, and make the bottle labels and the card.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on; the files go into its folder.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> Bottles(Draft("no-such-plan.toml", count=4)).labels.description
    'Make the bottle labels'
    """

    def __init__(self, draft: Draft):
        self._draft = a_draft(draft)
        plan = self._draft.plan
        begin = self._draft.mix or ("spoons" if usual_mix(plan) == "spoons" else "bottles")
        self.mix = choice("Mix by", _MIXES, begin)
        self.test = choice("pH read with", _TESTS, self._draft.ph_test or usual_ph_test(plan))
        self.paper = choice("Paper", PAPERS, "A4")
        self.shown = widgets.HTML()
        self.labels = widgets.Button(description="Make the bottle labels", layout=_WIDE)
        self.card = widgets.Button(description="Make the card with these amounts", layout=_WIDE)
        self.labels.on_click(lambda _: self.attempt(self._make_labels))
        self.card.on_click(lambda _: self.attempt(self._make_card))
        buttons = widgets.HBox(
            [self.labels, self.card], layout=widgets.Layout(flex_flow="row wrap", grid_gap="0.6em")
        )
        super().__init__(self.mix, self.test, self.shown, self.paper, buttons)
        for control in (self.mix, self.test):
            control.observe(lambda _: self._show(), "value")
        draft.watch(self._show, "bottles")
        self._show()

    def _show(self) -> None:
        plan, system = self._draft.plan, self._draft.system
        try:
            said = mix_section(plan, system, self.mix.value)
            if self.test.value != "meter":
                said += portions_section(plan, self.test.value)
        except Problem as problem:
            said = f'<p role="alert">{html.escape(str(problem))}</p>'
        self.shown.value = f'<div class="stilltank-mix">{said}</div>'

    def _make_labels(self) -> str:
        found = labels_for(self._draft.plan, mix=self.mix.value, system=self._draft.system)
        if not found:
            raise Problem(
                "This plan needs no bottles: every salt is weighed for the tank, and it takes no acid."
            )
        path = self._draft.path.with_name(f"{self._draft.path.stem}-labels.html")
        made = bottle_labels(found, path, system=self._draft.system, paper=self.paper.value)
        count = "one label" if len(found) == 1 else f"{len(found)} labels"
        return f"Made: {link(made, new_tab=True)} with {count}, to print at 100 % and cut."

    def _make_card(self) -> str:
        draft = self._draft
        draft.mix, draft.ph_test = (
            self.mix.value,
            self.test.value,
        )  # the card that is saved with the plan goes by it
        path = draft.path.with_name(f"{draft.path.stem}-card.html")
        made = tank_card(draft.plan, path, system=draft.system, mix=draft.mix, ph_test=draft.ph_test)
        return f"Made: {link(made, new_tab=True)}, the card to print, with these amounts."
