"""The panels that read the log: what was read and asked, and where the tank goes."""

import html
from collections.abc import Mapping
from pathlib import Path

import ipywidgets as widgets

from stilltank.science.refit import Week
from stilltank.season.log import Forecast, Log, Question, Refit, forecast, read, refit
from stilltank.season.log_pictures import LevelCloud
from stilltank.season.plan import Plan
from stilltank.show.figures import ALONE
from stilltank.show.pages import folded
from stilltank.show.panels import AtRest, Status, button, choice, in_a_row, text_box
from stilltank.units import Problem, Q

from .draft import Draft, a_draft
from .visit_panel import log_path

_REST = 0.8  # seconds without a change of the plan before the log is read again
_RAIN = {"unknown": None, "dry": 0.0, "10 mm (0.4 in)": 10.0, "25 mm (1 in)": 25.0, "50 mm (2 in)": 50.0}


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
        self._draft, self._given = a_draft(draft), path
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
        return log_path(self._draft) if self._given is None else Path(self._given)

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
        notes = [html.escape(each) for each in self.read_log.notes]
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


class ForecastPanel(widgets.VBox):
    """Say where the tank goes, from its log: the cloud of levels, and what to do.

    Parameters
    ----------
    draft : Draft
        The plan of the tank.
    path : str or Path, optional
        The log; that beside the plan when left out.
    plans : mapping of str to Plan, optional
        One plan for each tank of the log, in place of the draft's.

    Attributes
    ----------
    fitted : Refit or None
        What the log taught.
    coming : Forecast or None
        What comes.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> ForecastPanel(Draft("no-such-plan.toml")).coming is None
    True
    """

    def __init__(self, draft: Draft, path: str | Path | None = None, plans: Mapping[str, Plan] | None = None):
        self._draft, self._given, self._plans = a_draft(draft), path, plans
        self.fitted: Refit | None = None
        self.coming: Forecast | None = None
        self.status, self._words, self._picture = Status(), widgets.HTML(), widgets.HTML()
        self.tank = choice("Tank", [("the one of the log", "")], "")
        self.warmth = choice(
            "The coming week", [("as usual", "usual"), ("hot", "hot"), ("cool", "cool")], "usual"
        )
        self.rain = choice("Rain in it", list(_RAIN), "unknown")
        self.again = button("Read the log again", self.read)
        self._at_rest = AtRest(_REST)
        self._drawings: dict[str, LevelCloud] = {}
        for control in (self.tank, self.warmth, self.rain):
            control.observe(lambda _: self._show(), "value")
        super().__init__(
            [in_a_row(self.tank, self.warmth, self.rain, self.again), self.status, self._words, self._picture]
        )
        draft.watch(self._later, "forecast")
        self.read()

    @property
    def path(self) -> Path:
        """The log."""
        return log_path(self._draft) if self._given is None else Path(self._given)

    def _later(self) -> None:
        self._at_rest.later(self.read)

    def read(self) -> None:
        """Read the log and fit it again; a Problem is said in words."""
        with ALONE:
            self.fitted = self.coming = None
            if not self.path.exists():
                self.status.say(f"{html.escape(self.path.name)} is not there yet. Add a visit first.")
                return
            plans = self._draft.plan if self._plans is None else self._plans
            try:
                self.fitted = refit(plans, read(self.path, plans))
            except Problem as problem:
                self.status.complain(problem)
                return
            codes = list(self.fitted.fits)
            self.tank.options = [(each or "the one of the log", each) for each in codes]
            self.tank.value = codes[0]
            self._show()

    def _show(self) -> None:
        if self.fitted is None or self.tank.value not in self.fitted.fits:
            return
        with ALONE:
            rain = _RAIN[self.rain.value]
            week = Week(warmth=self.warmth.value, rain=None if rain is None else Q(rain, "mm"))
            usual = week.warmth == "usual" and rain is None
            system = self._draft.system
            self.coming = forecast(
                self.fitted, tank=self.tank.value, week=None if usual else week, system=system
            )
            drawing = self._drawings.setdefault(system, LevelCloud(system))
            picture = drawing.show(self.fitted, self.coming, self.tank.value)
            self.status.say(html.escape(self.coming.words[0]))
            told = [
                *self.coming.words[1:],
                *self.fitted.words,
                *(each.sentence for each in self.fitted.questions),
            ]
            self._words.value = "<ul>" + "".join(f"<li>{html.escape(each)}</li>" for each in told) + "</ul>"
            self._picture.value = picture.html()


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


def forecast_panel(
    draft: Draft, path: str | Path | None = None, plans: Mapping[str, Plan] | None = None
) -> ForecastPanel:
    """Make the panel that says where the tank goes, from its log.

    Parameters
    ----------
    draft : Draft
        The plan of the tank.
    path : str or Path, optional
        The log; that beside the plan when left out.
    plans : mapping of str to Plan, optional
        One plan for each tank of the log, in place of the draft's.

    Returns
    -------
    ForecastPanel
        The panel.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> forecast_panel(Draft("no-such-plan.toml")).warmth.value
    'usual'
    """
    return ForecastPanel(draft, path, plans)
