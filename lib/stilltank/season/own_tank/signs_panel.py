"""The form that answers what is wrong with it: where, what is seen, what was measured."""

import html

import ipywidgets as widgets

from stilltank.season.signs import PARTS, Sign, measured, signs
from stilltank.show.figures import ALONE
from stilltank.show.panels import Status, button, choice, text_box
from stilltank.units import Problem, read

from .draft import Draft, a_draft

_MOST = 3  # signs shown at once


class SignsPanel(widgets.VBox):
    """Find the likely cause of a sign, what to measure next, and when to ask the local extension service.

    Parameters
    ----------
    draft : Draft
        The plan of the tank, for the range that its crop likes.

    Attributes
    ----------
    found : tuple of Sign
        What fits the words.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> panel = SignsPanel(Draft("no-such-plan.toml"))
    >>> panel.seen.value = "white powder"
    >>> panel.answer.click()
    >>> [sign.part for sign in panel.found]
    ['leaf']
    """

    def __init__(self, draft: Draft):
        self._draft = a_draft(draft)
        self.found: tuple[Sign, ...] = ()
        self.part = choice("Seen on", [("anywhere", ""), *((each, each) for each in PARTS)], "")
        self.seen = text_box("What is seen", "", "yellow leaves")
        self.ph = text_box("pH, if measured", "", "7.2")
        self.conductivity = text_box("EC, if measured", "", "1.8 mS/cm")
        self.temperature = text_box("Temperature of the solution, if measured", "", "27 °C")
        self.answer = button("Find the likely cause", self.show)
        self.status, self._list = Status(), widgets.HTML()
        super().__init__(
            [
                self.part,
                self.seen,
                self.ph,
                self.conductivity,
                self.temperature,
                self.answer,
                self.status,
                self._list,
            ]
        )

    def show(self) -> None:
        """Answer what is typed; a Problem is said in words."""
        with ALONE:
            try:
                lines = self._measured()
                self.found = signs(self.seen.value or None, self.part.value or None)
            except Problem as problem:
                self.found = ()
                self._list.value = ""
                self.status.complain(problem)
                return
            shown = self.found[:_MOST] if self.seen.value.strip() else self.found
            count = "1 sign fits" if len(self.found) == 1 else f"{len(self.found)} signs fit"
            self.status.say(f"{count}.")
            items = [*lines, *(str(each) for each in shown)]
            caution = (
                "The table names likely causes and judges no plant. Spraying follows label and local rules."
            )
            self._list.value = "".join(f"<p>{html.escape(each)}</p>" for each in (*items, caution))

    def _measured(self) -> tuple[str, ...]:
        ph, ec, warm = (each.value.strip() for each in (self.ph, self.conductivity, self.temperature))
        if not (ph or ec or warm):
            return ()
        return measured(
            self._draft.plan,
            ph=float(read(ph, "pH").m_as("dimensionless")) if ph else None,
            conductivity=read(ec, "conductivity") if ec else None,
            solution_temperature=read(warm, "temperature", system=self._draft.system) if warm else None,
        )


def signs_panel(draft: Draft) -> SignsPanel:
    """Make the form that answers what is wrong with it.

    Parameters
    ----------
    draft : Draft
        The plan of the tank.

    Returns
    -------
    SignsPanel
        The form.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> signs_panel(Draft("no-such-plan.toml")).answer.description
    'Find the likely cause'
    """
    return SignsPanel(draft)
