"""What a lesson asks: the learner's code, questions, choices, worked examples to complete, predictions."""

import html
from collections.abc import Callable, Container, Mapping
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from stilltank.learning import predictions
from stilltank.learning.arguments import as_path, briefly, expect
from stilltank.learning.predictions import Outcome, PredictionQuestion
from stilltank.learning.progress import Progress, ProgressFault
from stilltank.learning.questions import Asked, AskedChoice, Feedback, State, judge
from stilltank.show.panels import SYSTEMS, Status, cell_key, choice, text_box
from stilltank.units import Problem

from .guess_figures import GuessAndResult
from .my_work import MyWork

# What an unclear unit, such as a gallon or a spoon, means in answers; "" asks each time.
_UNITS = (("asked for where they are unclear", ""), *SYSTEMS)
SAMPLE = "A1"  # numbers shown before a code is typed; nothing is kept for it
_HINTS = 2  # how to check, then the worked route
_BOXES: dict[Any, "Learner"] = {}  # by the cell of a notebook that made it
_ROUTE = '<p style="max-width:46em;line-height:1.4;white-space:pre-line">{}</p>'


class Learner(widgets.VBox):
    """A box for the learner's code; everything that asks in a chapter depends on it.

    End the cell with it to show the box. Before a code is typed the questions show sample numbers, and nothing is kept;
    with one, a button opens what can be done with the work.

    Parameters
    ----------
    code : str, default ""
        The code in the box at the start, such as ``"7B-12"``.
    folder : path or str, default "."
        Where the learner's file is.
    chapter : str, default ""
        The number of the chapter, such as ``"01"``, to start it again; without it there is no button for that.

    Raises
    ------
    Problem
        The code or the chapter is no text, or the folder no path.

    Examples
    --------
    >>> Learner().code  # that of the sample numbers
    'A1'
    """

    def __init__(self, code: str = "", folder: Path | str = ".", chapter: str = ""):
        expect(code, str, 'A code is a text such as "7B-12"')
        expect(chapter, str, 'The number of a chapter is a text such as "01"')
        self._folder = as_path(folder, "A folder is a text or a path")
        self._told: dict[Any, Callable[[], None]] = {}
        before = _BOXES.get(cell := cell_key("code"))
        self._before: list[Learner] = [*before._before, before] if before else []
        _BOXES[cell] = self
        self.progress: Progress = Progress()
        self._box = text_box("Your code", code, "7B-12")
        self._units = choice("Units in your answers", _UNITS, "")
        self._status = Status()
        self.work = MyWork(lambda: self.progress, self._tell, chapter)
        self._more = widgets.ToggleButton(description="Your work: copy, bring in, start again")
        self._more.layout = widgets.Layout(width="auto", align_self="flex-start")
        self._more.observe(lambda _: self._arrange(), "value")
        super().__init__()
        self._box.observe(lambda _: self._open(), "value")
        self._units.observe(lambda _: self._choose_units(), "value")
        self._open()

    @property
    def system(self) -> str | None:
        """``"metric"`` or ``"US"``, where the learner has chosen; unclear units in answers are of that system."""
        return self._units.value or None

    @property
    def code(self) -> str:
        """The code the numbers come from."""
        return self.progress.code or SAMPLE

    def watch(self, listener: Callable[[], None], name: str = "") -> None:
        """Have a function called when another code is typed.

        Parameters
        ----------
        listener : callable
            Called without arguments.
        name : str, default ""
            Tells the listeners of one cell apart; a cell that runs again replaces its own of the same name.

        Examples
        --------
        >>> learner = Learner()
        >>> learner.watch(lambda: print(f"The numbers are those of {learner.code}."))
        """
        self._told[cell_key(name)] = listener

    def _open(self) -> None:
        unsigned = not self.progress.code
        try:
            self.progress = Progress.open(self._box.value, self._folder)
        except Problem as problem:
            if isinstance(
                problem, ProgressFault
            ):  # answers of this code are not for the file of the code before
                self.progress = Progress()
            code = self.progress.code
            more = f"Code {code} stays in use." if code else "Until then no answer is kept."
            self._status.complain(Problem(f"{problem} {more}"))
        else:
            if self.progress.code:
                said = (
                    f"Your numbers are those of code {self.code}. Your work is kept in {self.progress.path}."
                )
                if copies := self.progress.copies():
                    names = " and ".join(path.name for path in copies)
                    said += f" More work of this code is in {names}: bring it in with the button below."
                self._status.say(said)
            else:
                self._status.say(
                    "Sample numbers, and nothing is kept. Type the code your teacher gave you; never a name."
                )
        if self.progress.code:
            if (
                unsigned and "units" not in self.progress.settings
            ):  # what was chosen before the code was typed
                self._keep_units()
            self._units.value = self._kept_units()
        self.work.renew()
        self._arrange()
        self._tell()

    def _choose_units(self) -> None:
        """Take another choice; answers that stand are read again."""
        if self._units.value != self._kept_units():  # else it came with the code
            self._keep_units()
            self._tell()

    def _kept_units(self) -> str:
        kept = self.progress.settings.get("units", "")
        return kept if kept in dict(_UNITS).values() else ""

    def _keep_units(self) -> None:
        """Keep the choice with the work of the code, if one is made."""
        if self._units.value or "units" in self.progress.settings:
            self.progress.settings["units"] = self._units.value
            if self.progress.code:
                try:
                    self.progress.save()
                except Problem as problem:
                    self._status.complain(problem)

    def _arrange(self) -> None:
        more = [self._more] if self.progress.code else []
        work = [self.work] if more and self._more.value else []
        self.children = (self._box, self._units, self._status, *more, *work)

    def _tell(self) -> None:
        for box in self._before:  # what hangs on a box that its cell has replaced goes by the new one
            box.progress, box._units = self.progress, self._units
        for listener in [listener for box in (*self._before, self) for listener in box._told.values()]:
            listener()


class AnswerBox(widgets.VBox):
    """One box to answer in, its feedback, and a button for the working; an answer given before is in it again.

    Parameters
    ----------
    learner : Learner
        The box for the code; the answer is kept with the work of that code.
    asked : Asked or AskedChoice
        The question, with the learner's numbers.
    chapter : str
        The number of its chapter, such as ``"01"``.
    label : str
        What the box is called.
    key : str
        What the answer is kept under.

    Examples
    --------
    >>> from stilltank.chapters.bank import ask
    >>> box = AnswerBox(Learner(), ask("mixing-double-dose", "A1"), "01", "Answer", "mixing-double-dose")
    >>> len(box.children)
    3
    """

    def __init__(self, learner: Learner, asked: Asked | AskedChoice, chapter: str, label: str, key: str):
        self._learner, self._asked, self._chapter, self._key = learner, asked, chapter, key
        kept = learner.progress.answers.get(key, {})
        if isinstance(asked, AskedChoice):
            options = [
                ("choose", ""),
                *((f"{letter}  {words}", letter) for letter, words in asked.options.items()),
            ]
            self._box = choice(label, options, _last(kept, asked.options))
            self._box.layout = widgets.Layout(width="auto", max_width="60em")
            self._box.style.description_width = "8em"
        else:
            self._box = text_box(label, _last(kept), asked.example)
        self._hints = int(kept.get("hints", 0))
        self._route = widgets.Button(description="Show me the way", layout=widgets.Layout(min_width="11em"))
        self._feedback = Status()
        self._way = widgets.HTML()
        row = widgets.HBox(
            [self._box, self._route], layout=widgets.Layout(flex_flow="row wrap", grid_gap="0.6em")
        )
        super().__init__([row, self._feedback, self._way])
        self._box.observe(lambda _: self._judge(), "value")
        self._route.on_click(lambda _: self._show_way())
        self._say(self._read(self._box.value or None, max(1, self._hints)))

    def _read(self, typed: str | None, attempt: int = 1) -> Feedback:
        return judge(self._asked, typed, attempt, self._learner.system)

    def _judge(self) -> None:
        found = self._read(self._box.value, self._hints + 1)
        self._say(found)
        if found.state is not State.BLANK:
            if found.hint:  # a slip of typing uses up no hint
                self._hints = min(self._hints + 1, _HINTS)
            self._keep(found.state, self._box.value)

    def _show_way(self) -> None:
        self._way.value = _ROUTE.format(html.escape(self._asked.route))
        self._hints = _HINTS
        self._keep(self._read(self._box.value or None).state, None)

    def _keep(self, state: State, typed: str | None) -> None:
        try:
            self._learner.progress.record_answer(
                self._key, typed, str(state), hints=self._hints, chapter=self._chapter
            )
        except Problem as problem:
            said = self._feedback.value
            more = "This page still has your answer: leave it open, and your next answer saves both."
            self._feedback.complain(Problem(f"{problem} {more}"))
            self._feedback.value = said + self._feedback.value

    def _say(self, found: Feedback) -> None:
        self._feedback.say(str(found))


def _last(kept: Mapping[str, Any], options: Container[str] | None = None) -> str:
    """The last answer typed before; for a choice only one that is still offered."""
    typed = str(kept["typed"][-1]) if kept.get("typed") else ""
    return typed if options is None or typed in options else ""


class Asking(widgets.VBox):
    """Something asked with the learner's numbers, made anew when the code changes.

    Parameters
    ----------
    learner : Learner
        The box for the code.
    make : callable
        Makes the parts to show, from the code.

    Raises
    ------
    Problem
        The first argument is not a learner.

    Examples
    --------
    >>> len(Asking(Learner(), lambda code: [paragraph(f"These are the numbers of {code}.")]).children)
    1
    """

    def __init__(self, learner: Learner, make: Callable[[str], list[widgets.Widget]]):
        if not isinstance(learner, Learner):
            raise Problem(
                f"What asks begins with the learner, such as questions(learner, ...); you gave {briefly(learner)}."
            )
        self._learner, self._make = learner, make
        super().__init__()
        learner.watch(self._renew)
        self._renew()

    def _renew(self) -> None:
        self.children = tuple(self._make(self._learner.code))


def paragraph(text: str, bold: bool = False) -> widgets.HTML:
    """Return a paragraph of plain text, no wider than can be read well.

    Parameters
    ----------
    text : str
        The text.
    bold : bool, default False
        True for bold type.

    Returns
    -------
    ipywidgets.HTML
        The paragraph.

    Raises
    ------
    Problem
        What was given is no text.

    Examples
    --------
    >>> "bold" in paragraph("Top up by hand.", bold=True).value
    True
    """
    expect(text, str, "A paragraph is a text")
    weight = "font-weight:bold;" if bold else ""
    return widgets.HTML(
        f'<p style="{weight}max-width:46em;line-height:1.4;margin:0.4em 0">{html.escape(text)}</p>'
    )


def predict(
    learner: Learner,
    question: PredictionQuestion,
    *,
    outcome: Callable[[], Outcome],
    result: Callable[[], object] | None = None,
) -> widgets.VBox:
    """Show a prediction to make, and then the result beside it; until then the result stays covered.

    Parameters
    ----------
    learner : Learner
        The box for the code; the prediction is kept with the work of that code.
    question : PredictionQuestion
        What is asked.
    outcome : callable
        Works out what really comes, once a prediction is made: a quantity, a date or a text, of the question's kind.
    result : callable, optional
        Makes a picture or a passage to show with it. When left out, guess and result are drawn side by side.

    Returns
    -------
    ipywidgets.VBox
        End a cell with it to show it.

    Raises
    ------
    Problem
        The first argument is not a learner, the second not a question to predict, or ``outcome`` not a function.

    Examples
    --------
    >>> from stilltank.learning.predictions import PredictionQuestion
    >>> drink = PredictionQuestion(id="03-drink", chapter="03", text="How much is drunk?", kind="volume")
    >>> len(predict(Learner(), drink, outcome=lambda: "2 L").children)
    4
    """
    check(question, outcome)

    def make(_: str) -> list[widgets.Widget]:
        box = (
            choice("Your guess", [("choose", ""), *((each, each) for each in question.choices)], "")
            if question.choices
            else text_box("Your guess", "", "a number with its unit")
        )
        status, shown = Status(), widgets.HTML()

        def uncover(first: str) -> None:
            covered = predictions.cover(drawn, question.id, learner.progress, outcome=outcome)
            if covered.open:
                status.say(f"{first} {covered.sentence}".strip())
                shown.value = (
                    ""
                    if covered.result is None
                    else predictions.bundle_of(covered.result).get("text/html", "")
                )

        def drawn(comparison: Any) -> Any:
            if result is not None:
                return result()
            return None if isinstance(comparison.prediction.value, str) else GuessAndResult().show(comparison)

        def act(_: Any = None) -> None:
            try:
                said = predictions.record(learner.progress, question, box.value, system=learner.system)
                status.say(said.sentence)
                other = said.prediction is not None and box.value.strip() not in ("", said.prediction.typed)
                uncover(said.sentence if other else "")
            except Problem as problem:
                status.complain(problem)

        box.observe(act, "value")
        act()
        return [paragraph(question.text, bold=True), box, status, shown]

    return Asking(learner, make)


def check(question: object, outcome: object) -> None:
    """Refuse what cannot be asked as a prediction."""
    if not isinstance(question, PredictionQuestion):
        raise Problem(f"A prediction asks a PredictionQuestion; you gave {briefly(question)}.")
    if not callable(outcome):
        raise Problem("The outcome is a function, so that nothing is worked out first: outcome=lambda: ...")
