"""The form of one row: a visit, as it was read at the tank, added to the log."""

import html
from collections.abc import Callable
from pathlib import Path

import ipywidgets as widgets

from stilltank.season.log import EVENTS, LIFTS, METHODS, WEIGHED_WITH, Visit, append, correct, read, strike
from stilltank.show.figures import ALONE, short_day
from stilltank.show.pages import named_file, table
from stilltank.show.panels import Status, button, choice, in_a_row, text_box
from stilltank.units import Problem

from .draft import Draft, a_draft

# Column, what the box says, an example in metric and in US units, and the unit of each.
_BOXES = (
    ("date", "Day", "2027-06-14", "2027-06-14", "", ""),
    ("time", "Time, if it matters", "17:30", "17:30", "", ""),
    ("tank", "Tank, if there are several", "A", "A", "", ""),
    ("observer", "Your code", "A1", "A1", "", ""),
    ("level", "Level before adding", "18.5", "7 1/4", "cm", "in"),
    ("volume", "or litres by the dipstick", "26", "6.9 US gal", "L", "US gal"),
    ("weight", "or weight of the tank", "31.5", "69", "kg", "lb"),
    ("tilt", "or tilt", "12", "12", "degree", "degree"),
    ("wet length", "and how far the floor is wet", "21", "8 1/4", "cm", "in"),
    ("rain", "Rain in the gauge since the last visit", "12", "0.5", "mm", "in"),
    ("pH", "pH, of colours both ends", "6.1 or 6.0-6.5", "6.1 or 6.0-6.5", "", ""),
    ("EC", "EC", "1.7", "1.7", "mS/cm", "mS/cm"),
    ("water temperature", "Temperature of the solution", "21", "70", "°C", "°F"),
    ("added water", "Water added after reading", "2", "2 US qt", "L", "US gal"),
    ("added mix", "Mix added after reading", "2", "2 US qt", "L", "US gal"),
    ("mix strength", "Strength of the mix, %", "50", "50", "", ""),
    ("plants", "Plants that stand now", "4", "4", "", ""),
    ("stems cut", "Stems cut", "6", "6", "", ""),
    ("heads cut", "Heads cut", "1", "1", "", ""),
    ("note", "Note", "hot and dry", "hot and dry", "", ""),
)
_KEPT = ("tank", "observer")  # boxes that stay filled for the next visit
_SHOWN = 5  # last visits


def log_path(draft: Draft) -> Path:
    """Name the log of the plan's tank: beside the plan.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on.

    Returns
    -------
    Path
        Such as my-tank-log.csv.

    Examples
    --------
    >>> log_path(Draft("no-such-plan.toml")).name
    'no-such-plan-log.csv'
    """
    path = a_draft(draft).path
    return path.with_name(f"{path.stem}-log.csv")


def given_log(path: str | Path | None, function: str) -> Path | None:
    """Take the log that somebody names.

    Parameters
    ----------
    path : str or Path, optional
        What the person gave.
    function : str
        Who asks, for the sentence of a refusal.

    Returns
    -------
    Path or None
        The file; None for the one beside the plan.

    Raises
    ------
    Unreadable
        The path names no file.

    Examples
    --------
    >>> given_log("north-bench", "visit_panel").name
    'north-bench.csv'
    """
    return None if path is None else named_file(path, function, "my-tank-log.csv", ".csv")


class VisitPanel(widgets.VBox):
    """Write a visit into the log, correct one, or strike it.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on; its units are those of the boxes.
    path : str or Path, optional
        The log; that beside the plan when left out.

    Attributes
    ----------
    boxes : dict of str to Text
        One for each column that is typed.
    status : Status
        What was done; screen readers speak it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> import tempfile
    >>> panel = VisitPanel(Draft(Path(tempfile.mkdtemp()) / "my-tank.toml"))
    >>> panel.boxes["date"].value, panel.boxes["level"].value = "2027-06-14", "18.5"
    >>> panel.save.click()
    >>> "18.5" in panel.path.read_text()
    True
    """

    def __init__(self, draft: Draft, path: str | Path | None = None):
        self._draft = a_draft(draft)
        self._given, self._system = given_log(path, "visit_panel"), draft.system
        self.boxes = {name: text_box(self._label(row), "", self._example(row)) for name, *row in _BOXES}
        self.lift = choice("or lifted by hand", [("not lifted", ""), *((each, each) for each in LIFTS)], "")
        self.weighed_with = choice(
            "On the scale with it", [("not said", ""), *((each, each) for each in WEIGHED_WITH)], ""
        )
        self.method = choice("Read with", [("not said", ""), *((each, each) for each in METHODS)], "")
        self.event = choice("What happened", [("nothing", ""), *((each, each) for each in EVENTS)], "")
        self.save = button("Add the visit to the log", self._save)
        self.row = choice("Row to change", [("none", 0)], 0)
        self.why = text_box("Why", "", "misread")
        self.correct = button("Correct it with what is typed above", self._correct)
        self.strike = button("Strike it", self._strike)
        self.status, self._last = Status(), widgets.HTML()
        first = [self.boxes[name] for name, *_ in _BOXES]
        first.insert(first.index(self.boxes["weight"]) + 1, self.weighed_with)
        first.insert(first.index(self.boxes["wet length"]) + 1, self.lift)
        first.insert(first.index(self.boxes["rain"]), self.method)
        first.insert(first.index(self.boxes["note"]), self.event)
        grid = widgets.Box(first, layout=widgets.Layout(flex_flow="row wrap", grid_gap="0 1.2em"))
        more = widgets.Accordion([widgets.VBox([self.row, self.why, in_a_row(self.correct, self.strike)])])
        more.set_title(0, "Correct or strike a visit")
        super().__init__([grid, self.save, self.status, self._last, more])
        draft.watch(self._changed, "visit")
        self._show()

    @property
    def path(self) -> Path:
        """The log."""
        return log_path(self._draft) if self._given is None else self._given

    def _label(self, row: list[str]) -> str:
        words, _, _, metric, us = row
        unit = metric if self._system == "metric" else us
        return f"{words}, {unit}" if unit else words

    def _example(self, row: list[str]) -> str:
        return row[1] if self._system == "metric" else row[2]

    def _changed(self) -> None:
        """Show other units, or another plan; what was typed keeps the unit it was typed in."""
        with ALONE:
            if self._system != self._draft.system:
                for name, *row in _BOXES:
                    box, before = self.boxes[name], row[3] if self._system == "metric" else row[4]
                    text = box.value.strip()
                    if before and text and not any(each.isalpha() or each in '°"%' for each in text):
                        box.value = f"{text} {before}"
                self._system = self._draft.system
                for name, *row in _BOXES:
                    self.boxes[name].description = self._label(row)
                    self.boxes[name].placeholder = self._example(row)
            self._show()

    def cells(self) -> dict[str, str]:
        """Collect what is typed, by column of the log.

        Returns
        -------
        dict of str to str
            Each with its unit where it is not that of the log.
        """
        found = {}
        for name, *row in _BOXES:
            text, unit = self.boxes[name].value.strip(), row[3] if self._system == "metric" else row[4]
            bare = text and not any(each.isalpha() or each in '°"%' for each in text)
            found[name] = f"{text} {unit}" if bare and unit and not self._same_unit(name, unit) else text
        found |= {
            "lift": self.lift.value,
            "weighed with": self.weighed_with.value if found["weight"] else "",
            "method": self.method.value,
            "event": self.event.value,
        }
        return {name: text for name, text in found.items() if text}

    def _same_unit(self, name: str, unit: str) -> bool:
        """Whether a bare number means the same under the log's own heading."""
        try:
            head = self.path.read_text(encoding="utf-8-sig").split("\n", 1)[0] if self.path.exists() else ""
        except (OSError, UnicodeDecodeError):
            return False
        return f"{name} ({unit})" in head

    def _save(self) -> None:
        try:
            row = append(self.path, self.cells(), system=self._system)
        except Problem as problem:
            self.status.complain(problem)
            return
        for name, box in self.boxes.items():
            if name not in _KEPT:
                box.value = ""
        self.lift.value = self.event.value = ""
        self._show()
        self.status.say(f"Row {row} was added to {html.escape(self.path.name)}.")

    def _correct(self) -> None:
        def done(row: int) -> str:
            new = correct(self.path, row, self.cells(), self.why.value)
            return f"Row {row} was corrected; the new version is row {new}."

        self._on_row(done)

    def _strike(self) -> None:
        def done(row: int) -> str:
            strike(self.path, row, self.why.value)
            return f"Row {row} was struck; it stays in the file and does not count."

        self._on_row(done)

    def _on_row(self, act: Callable[[int], str]) -> None:
        if not self.row.value:
            self.status.complain(Problem("Choose the row to change first."))
            return
        try:
            said = act(self.row.value)
        except Problem as problem:
            self.status.complain(problem)
            return
        self.why.value = ""
        self._show()
        self.status.say(said)

    def _show(self) -> None:
        visits: tuple[Visit, ...] = ()
        if self.path.exists():
            try:
                visits = read(self.path).rows
            except Problem as problem:
                self.status.complain(problem)
                return
        counting = [each for each in visits if each.counts][-3 * _SHOWN :]
        self.row.options = [("none", 0), *((_row_words(each), each.row) for each in reversed(counting))]
        self.row.value = 0
        if not visits:
            self._last.value = f"<p>{html.escape(self.path.name)} holds no visit yet.</p>"
            return
        names = ("date", "level", "added", "event", "status")
        rows = [[str(each.row), *(_cell(each, name) for name in names)] for each in visits[-_SHOWN:]]
        heads = ["row", "day", "level", "added", "event", "status"]
        self._last.value = table(f"Last rows of {self.path.name}, as written", heads, rows)


def visit_panel(draft: Draft, path: str | Path | None = None) -> VisitPanel:
    """Make the form with which a visit is written into the log.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on.
    path : str or Path, optional
        The log; that beside the plan when left out.

    Returns
    -------
    VisitPanel
        The form.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> visit_panel(Draft("no-such-plan.toml")).save.description
    'Add the visit to the log'
    """
    return VisitPanel(draft, path)


def _row_words(visit: Visit) -> str:
    day = "no day" if visit.day is None else short_day(visit.day)
    return f"row {visit.row}: {day} {visit.tank}".strip()


def _cell(visit: Visit, name: str) -> str:
    """A cell as it was written, whatever its heading says of the unit."""
    starts = {"added": ("added",), "date": ("date", "Date", "day")}.get(name, (name,))
    return ", ".join(text for heading, text in visit.cells.items() if heading.lower().startswith(starts))
