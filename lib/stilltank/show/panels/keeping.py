"""The button that keeps a plan: the file and the card."""

import ipywidgets as widgets

from stilltank.units import Problem

from .controls import Status
from .draft import Draft


class Keep(widgets.VBox):
    """Save the plan, make its card, and say where both lie; end a chapter's own-tank section with it."""

    def __init__(self, draft: Draft):
        """``draft``: the plan the learner has been working on."""
        self._draft = draft
        self.status = Status()
        self.button = widgets.Button(
            description="Save the plan and make the card", layout=widgets.Layout(width="20em")
        )
        self._links = widgets.Output()
        self.button.on_click(lambda _: self._write())
        super().__init__([self.button, self._links, self.status])

    def _write(self) -> None:
        from IPython.display import HTML, display

        self._links.clear_output()
        self.status.value = ""
        try:
            plan, card = self._draft.save()
        except Problem as problem:
            self.status.complain(problem)
            return
        with self._links:  # only a displayed output has its links led to the notebook's folder
            display(
                HTML(
                    f'<p role="status">Saved: <a href="{plan.name}">{plan.name}</a>, which you can open and change, '
                    f'and <a href="{card.name}" target="_blank">{card.name}</a>, the card to print.</p>'
                )
            )
