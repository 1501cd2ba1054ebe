"""The panel of who grows in the tank: crops beside the leading one, and plants that died."""

import dataclasses
import html
from collections.abc import Callable
from datetime import date

import ipywidgets as widgets

from stilltank.science.crops import crop
from stilltank.season.plan import Course, Group, Loss, Plan
from stilltank.show.figures import ALONE, day_text, short_day
from stilltank.show.pages import table
from stilltank.show.panels import Status, button, choice, in_a_row, known_crops, text_box
from stilltank.units import Problem, Unreadable, read

from .draft import Draft, a_draft

_HEADS = ("plants", "set in", "set in on", "stand at the end", "first cut", "leave the tank")


class PlantsPanel(widgets.VBox):
    """Say who grows in the tank, set other crops in, and note plants that died.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.

    Attributes
    ----------
    draft : Draft
        The plan.
    shown : HTML
        The table of the plants.
    status : Status
        What was done last, or what does not fit.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> panel = PlantsPanel(Draft("no-such-plan.toml", count=4))
    >>> "4 snapdragon" in panel.shown.value
    True
    """

    def __init__(self, draft: Draft):
        self.draft = a_draft(draft)
        self.shown, self.status = widgets.HTML(), Status()
        names = known_crops()
        self.crop = choice("Crop", names, names[0][1])
        self.count = text_box("Plants", "", "2")
        self.day = widgets.DatePicker(description="Set in on", style={"description_width": "17em"})
        self.depth = text_box("Net pots, rim to pot bottom", "", "as the other pots, or 5 cm")
        self.add = button("Set them in", lambda: self._set_in())
        self.slots = text_box("Slots for net pots in the lid", "", "6")
        self.counted = button("Note the slots", lambda: self._count())
        self.whose = choice("Which plants", [("all", 0)], 0)
        self.dead = text_box("How many", "", "1")
        self.died = widgets.DatePicker(description="On", style={"description_width": "17em"})
        self.again = choice("Young ones in their place", [("no", False), ("yes", True)], False)
        self.note = button("Note that they died", lambda: self._note())
        self.out = button("Take this crop out of the plan", lambda: self._take_out())
        self.forget = button("Nothing died after all", lambda: self._forget())
        setting = widgets.Accordion(
            [
                widgets.VBox([self.crop, self.count, self.day, self.depth, self.add]),
                widgets.VBox(
                    [self.whose, self.dead, self.died, self.again, self.note, in_a_row(self.forget, self.out)]
                ),
                widgets.VBox([self.slots, self.counted]),
            ],
            titles=("Set in another crop", "Plants that died, and crops to take out", "Slots of the lid"),
        )
        heading = widgets.HTML('<p style="font-weight:bold;margin:0">Who grows in the tank</p>')
        super().__init__([heading, self.shown, setting, self.status])
        draft.watch(self.refresh, "plants")
        self.refresh()

    def refresh(self) -> None:
        """Show the plants of the plan as it now is."""
        with ALONE:
            plan = self.draft.plan
            several = [(str(group), number) for number, group in enumerate(plan.groups)]
            if [words for words, _ in several] != [words for words, _ in self.whose.options]:
                chosen = self.whose.value
                self.whose.options = several
                self.whose.value = chosen if chosen is not None and chosen < len(several) else 0
            try:
                self.shown.value = _table(plan)
            except Problem as problem:
                self.status.complain(problem)

    def _attempt(self, act: Callable[[], str]) -> None:
        with ALONE:
            try:
                self.status.say(act())
            except Problem as problem:
                self.status.complain(problem)

    def _set_in(self) -> None:
        def act() -> str:
            depth = self.depth.value.strip()
            group = Group(
                crop(str(self.crop.value)),
                _whole(self.count.value, "Plants"),
                transplanted=self._day_of(self.day),
                pot_depth=read(depth, "length") if depth else None,
            )
            self.draft.change(beside=(*self.draft.plan.beside, group))
            self.count.value = self.depth.value = ""
            return f"Set in: {group}."

        self._attempt(act)

    def _note(self) -> None:
        def act() -> str:
            number, day = int(self.whose.value or 0), self.died.value
            if day is None:
                raise Unreadable('"On" is empty. Choose the day on which they died.')
            loss = Loss(day, _whole(self.dead.value, "How many"), bool(self.again.value))
            self._change(number, (*self.draft.plan.groups[number].losses, loss))
            self.dead.value = ""
            return f"Noted: {loss}."

        self._attempt(act)

    def _count(self) -> None:
        def act() -> str:
            slots = _whole(self.slots.value, "Slots for net pots in the lid")
            self.draft.change(slots=slots)
            return f"Noted: {slots} slots."

        self._attempt(act)

    def _forget(self) -> None:
        def act() -> str:
            self._change(int(self.whose.value or 0), ())
            return "Taken back: nothing died."

        self._attempt(act)

    def _take_out(self) -> None:
        def act() -> str:
            number = int(self.whose.value or 0)
            if number == 0:
                raise Problem(
                    "This is the leading crop: recipe, pH and dates follow it. Choose another one in its place under "
                    '"Your crop".'
                )
            beside = list(self.draft.plan.beside)
            gone = beside.pop(number - 1)
            self.draft.change(beside=tuple(beside))
            return f"Taken out: {gone}."

        self._attempt(act)

    def _change(self, number: int, losses: tuple[Loss, ...]) -> None:
        plan = self.draft.plan
        if number == 0:
            self.draft.change(losses=losses)
            return
        beside = list(plan.beside)
        beside[number - 1] = dataclasses.replace(beside[number - 1], losses=losses)
        self.draft.change(beside=tuple(beside))

    def _day_of(self, picker: widgets.DatePicker) -> date | None:
        return picker.value if picker.value and picker.value != self.draft.plan.start else None


def plants_panel(draft: Draft) -> PlantsPanel:
    """Show who grows in the tank, with what sets other crops in and notes plants that died.

    Parameters
    ----------
    draft : Draft
        The plan that this panel shows and changes, shared with other panels.

    Returns
    -------
    PlantsPanel
        A widget; end a cell with it to show it.

    Raises
    ------
    Problem
        This is no draft.

    Examples
    --------
    >>> plants_panel(Draft("no-such-plan.toml", count=4)).add.description
    'Set them in'
    """
    return PlantsPanel(draft)


def _table(plan: Plan) -> str:
    found = plan.outlook.courses
    rows = [
        (
            course.group.crop.spoken,
            course.group.count,
            short_day(course.transplanted),
            course.group.standing(course.end),
            short_day(course.schedule.first_flower.expected),
            short_day(course.end),
        )
        for course in found
    ]
    words = f"{_said(found)}; their leaves spread over up to {100 * plan.outlook.spread:.0f} % of the lid"
    if plan.slots is not None:
        words += f", and {plan.outlook.most_at_once} of its {plan.slots} slots are taken at once"
    said = table(words, _HEADS, rows, numbers=(1, 3))
    for sentence in (*filter(None, [plan.outlook.crowded]), *plan.outlook.ill_matched):
        said += f"<p>{html.escape(sentence)}</p>"
    return said


def _said(found: tuple[Course, ...]) -> str:
    last = max(course.end for course in found)
    plants = ", ".join(f"{course.group.count} {course.group.crop.spoken}" for course in found)
    return f"{plants}, until {day_text(last)}"


def _whole(text: str, label: str) -> int:
    plain = text.strip()
    if not plain.isdecimal() or not int(plain):
        shown = f'reads "{plain}"' if plain else "is empty"
        raise Unreadable(f'"{label}" {shown}. Type a whole number, such as 2.')
    return int(plain)
