"""The buttons that write: the plan and its card, and what is printed for the tank."""

import html
from collections.abc import Callable
from pathlib import Path

import ipywidgets as widgets

from stilltank.season.bench import Bench
from stilltank.season.paper import log_sheet, log_template, neighbour_sheet, tank_card, tank_dipstick
from stilltank.show.panels import Status, choice, text_box
from stilltank.units import Problem, Quantity, read

from .draft import Draft, a_draft

PAPERS = (("A4, 210 by 297 mm", "A4"), ("Letter, 8.5 by 11 inches", "Letter"))


class Writing(widgets.VBox):
    """Buttons that write files, and under them where these lie, or what went wrong."""

    def __init__(self, *buttons: widgets.Widget):
        self.status = Status()
        self._links = widgets.Output()
        super().__init__([*buttons, self._links, self.status])

    def clear(self) -> None:
        """Say nothing."""
        self._links.clear_output()
        self.status.value = ""

    def attempt(self, write: Callable[[], str]) -> None:
        """Write, and show what is said of it, in HTML; a Problem is said in words."""
        from IPython.display import HTML, display

        self.clear()
        try:
            said = write()
        except Problem as problem:
            self.status.complain(problem)
            return
        with self._links:  # only a displayed output has its links led to the notebook's folder
            display(HTML(f'<p role="status">{said}</p>'))


class Keep(Writing):
    """Save the plan, make its card, and say where both are; end a chapter's own-tank section with it.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on; its file and the card go into its folder.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> Keep(Draft("no-such-plan.toml")).button.description
    'Save the plan and make the card'
    """

    def __init__(self, draft: Draft):
        self._draft, self._shown = a_draft(draft), draft.path
        self.whose = Status()
        self.button = widgets.Button(
            description="Save the plan and make the card", layout=widgets.Layout(width="20em")
        )
        self.button.on_click(lambda _: self.attempt(self._write))
        super().__init__(self.whose, self.button)
        draft.watch(self._say, "keep")
        self._say()

    def _say(self) -> None:
        if self._draft.trouble:
            self.whose.complain(Problem(self._draft.trouble))
        else:
            self.whose.say(str(self._draft))
        if self._shown != self._draft.path:  # of another plan
            self._shown = self._draft.path
            self.clear()

    def _write(self) -> str:
        plan, card = self._draft.save()
        self._say()
        shown = link(card, new_tab=True)
        return f"Saved: {link(plan)}, which you can open and change, and {shown}, the card to print."


class Sheets(Writing):
    """Make what is printed for the plan's tank: card, dipstick, log, and a sheet for a neighbour.

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
    >>> Sheets(Draft("no-such-plan.toml")).stick.description
    'Make the dipstick'
    """

    def __init__(self, draft: Draft):
        self._draft = a_draft(draft)
        self.paper = choice("Paper", PAPERS, "A4")
        self.card = self._button("Make the card", self._make_card)
        self.stick = self._button("Make the dipstick", self._make_stick)
        self.blank_log = self._button("Make the log", self._make_log)
        self.leave, self.back = (
            widgets.DatePicker(description=label, style={"description_width": "17em"})
            for label in ("I look at it last on", "I am back on")
        )
        self.level = text_box("Level on leaving, if you know it", "", "18 cm")
        self.neighbour = self._button("Make the neighbour sheet", self._make_neighbour, "18em")
        buttons = widgets.HBox(
            [self.card, self.stick, self.blank_log],
            layout=widgets.Layout(flex_flow="row wrap", grid_gap="0.6em"),
        )
        super().__init__(self.paper, buttons, self.leave, self.back, self.level, self.neighbour)

    def _button(self, words: str, make: Callable[[], str], width: str = "14em") -> widgets.Button:
        made = widgets.Button(description=words, layout=widgets.Layout(width=width))
        made.on_click(lambda _: self.attempt(make))
        return made

    def _make_card(self) -> str:
        page = tank_card(self._draft.plan, self._beside("card.html"), system=self._draft.system)
        return f"Made: {link(page, new_tab=True)}, one page to hang beside the tank."

    def _make_stick(self) -> str:
        page, pdf = tank_dipstick(
            self._draft.plan,
            self._beside("dipstick"),
            paper=self.paper.value,
            system=self._draft.system,
        )
        return (
            f"Made: {link(pdf, new_tab=True)} and the same as {link(page, new_tab=True)}. Print at 100 %, then "
            "measure the ruler on the sheet before you cut: it is 100 mm long."
        )

    def _make_log(self) -> str:
        plan, system = self._draft.plan, self._draft.system
        page = log_sheet(plan, self._beside("log.html"), system=system, paper=self.paper.value)
        file = log_template(plan, self._beside("log-empty.csv"), system=system)
        return (
            f"Made: {link(page, new_tab=True)}, to print and to write on by hand, and {link(file)}, the same columns "
            "for a spreadsheet."
        )

    def _make_neighbour(self) -> str:
        if self.leave.value is None or self.back.value is None:
            raise Problem(
                "Two days are needed. Choose the day you look at the tank last, and the day you are back."
            )
        page = neighbour_sheet(
            self._draft.plan,
            self.leave.value,
            self.back.value,
            self._beside("neighbour.html"),
            level=self._level(),
            system=self._draft.system,
            paper=self.paper.value,
        )
        return f"Made: {link(page, new_tab=True)}, one page for someone who looks after the tank."

    def _level(self) -> Quantity | None:
        text = self.level.value.strip()
        return read(text, "length") if text else None

    def _beside(self, name: str) -> Path:
        return self._draft.path.with_name(f"{self._draft.path.stem}-{name}")


class Tasks(Writing):
    """Make a calendar file of the plan's tasks: of each crop from sowing to harvest, visits, looks, and the end.

    Parameters
    ----------
    draft : Draft
        The plan the learner is working on; the file goes into its folder.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> Tasks(Draft("no-such-plan.toml")).button.description
    'Make the calendar file'
    """

    def __init__(self, draft: Draft):
        self._draft = a_draft(draft)
        self.button = widgets.Button(
            description="Make the calendar file", layout=widgets.Layout(width="16em")
        )
        self.button.on_click(lambda _: self.attempt(self._make))
        super().__init__(self.button)

    def _make(self) -> str:
        bench = Bench.of({self._draft.path.stem: self._draft.plan})
        made = bench.calendar(
            self._draft.path.with_name(f"{self._draft.path.stem}-tasks.ics"), system=self._draft.system
        )
        count = sum(map(len, bench.tasks(self._draft.system).values()))
        return f"Made: {link(made)} with {count} tasks, for any calendar program. Made again, it doubles no task."


def link(path: Path, new_tab: bool = False) -> str:
    """Write a link to a file beside the notebook."""
    name, target = html.escape(path.name), ' target="_blank"' if new_tab else ""
    return f'<a href="{name}"{target}>{name}</a>'
