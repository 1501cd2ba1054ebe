"""The panel that reads the log: what was read, and what is asked."""

import html
from pathlib import Path

import ipywidgets as widgets

from stilltank.season.log import Log, Question, read
from stilltank.show.figures import ALONE
from stilltank.show.pages import folded
from stilltank.show.panels import AtRest, Status, button, in_a_row, text_box
from stilltank.units import Problem

from .draft import Draft, a_draft
from .visit_panel import given_log, log_path

_REST = 0.8  # seconds without a change of the plan before the log is read again


class LogPanel(widgets.VBox):
    """Read the log: what was assumed, and what is asked, one question at a time.

    Parameters
    ----------
    draft : Draft
        The plan of the tank.
    path : str or Path, optional
        The log; that beside the plan when left out.

    Attributes
    ----------
    read_log : Log or None
        What was read.
    answers : dict of str to Button
        The buttons of the question that is asked, by the name of the choice.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> panel = LogPanel(Draft("no-such-plan.toml"))
    >>> panel.read_log is None
    True
    """

    def __init__(self, draft: Draft, path: str | Path | None = None):
        self._draft, self._given = a_draft(draft), given_log(path, "log_panel")
        self.read_log: Log | None = None
        self.answers: dict[str, widgets.Button] = {}
        self.status, self._notes, self._question = Status(), widgets.HTML(), widgets.HTML()
        self.typed = text_box("or type it", "", "24.1 cm")
        self.keep = button("Keep what I typed", self._keep_typed)
        self.again = button("Read the log again", self.read)
        self._choices = in_a_row()
        self._at_rest = AtRest(_REST)
        super().__init__(
            [self.again, self.status, self._question, self._choices, self.typed, self.keep, self._notes]
        )
        draft.watch(self._later, "log")
        self.read()

    @property
    def path(self) -> Path:
        """The log."""
        return log_path(self._draft) if self._given is None else self._given

    def _later(self) -> None:
        self._at_rest.later(self.read)

    def read(self) -> None:
        """Read the log, and ask its first question; a Problem is said in words."""
        with ALONE:
            if not self.path.exists():
                self.read_log = None
                self._ask(None)
                self.status.say(f"{html.escape(self.path.name)} is not there yet. Add a visit first.")
                return
            try:
                self.read_log = read(self.path, self._draft.plan)
            except Problem as problem:
                self.status.complain(problem)
                return
            self._show()

    def _show(self) -> None:
        assert self.read_log is not None  # it was read
        waiting = len(self.read_log.questions)
        asked = "Nothing is odd in it." if not waiting else f"{waiting} to answer, one after the other."
        self.status.say(f"{html.escape(str(self.read_log))} {asked}")
        notes = [*self.read_log.notes]
        self._notes.value = folded("What was assumed", notes) if notes else ""
        self._ask(self.read_log.questions[0] if waiting else None)

    def _ask(self, question: Question | None) -> None:
        gone = self._choices.children
        self.answers = {}
        if question is not None:
            for each in question.choices:
                made = button(each.words, lambda name=each.name: self._answer(name))  # type: ignore[misc]
                self.answers[each.name] = made
        self._choices.children = tuple(self.answers.values())
        for widget in gone:
            widget.close()
        self._question.value = "" if question is None else f"<p><b>{html.escape(question.sentence)}</b></p>"
        shown = "" if question is not None and question.typed else "none"
        self.typed.layout.display = self.keep.layout.display = shown
        self.typed.value = ""

    def _answer(self, answer: str) -> None:
        if self.read_log is None or not self.read_log.questions:
            return
        try:
            self.read_log = self.read_log.answered(self.read_log.questions[0], answer)
        except Problem as problem:
            self.status.complain(problem)
            return
        self._show()

    def _keep_typed(self) -> None:
        if self.typed.value.strip():
            self._answer(self.typed.value.strip())
        else:
            self.status.complain(Problem("Type the answer first, with its unit."))


def log_panel(draft: Draft, path: str | Path | None = None) -> LogPanel:
    """Make the panel that reads the log and asks.

    Parameters
    ----------
    draft : Draft
        The plan of the tank.
    path : str or Path, optional
        The log; that beside the plan when left out.

    Returns
    -------
    LogPanel
        The panel.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> log_panel(Draft("no-such-plan.toml")).again.description
    'Read the log again'
    """
    return LogPanel(draft, path)
