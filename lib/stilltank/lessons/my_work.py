"""The learner's work in hand: a copy to take along, a copy to bring in, a chapter to start again."""

import html
import tempfile
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from stilltank import COMMAND
from stilltank.files import whole_characters
from stilltank.learning.progress import Progress, counted
from stilltank.show.panels import Status, text_box
from stilltank.units import Problem

_BUTTON = widgets.Layout(min_width="12em", width="auto")
_ROW = widgets.Layout(flex_flow="row wrap", grid_gap="0 0.6em")


class MyWork(widgets.VBox):
    """Write a copy of the work, bring in another, start the chapter again. ``lessons.Learner`` shows it.

    Nothing here loses work: a copy replaces no file, what is brought in is joined with what is there, and a chapter
    that is started again leaves a dated copy.

    Parameters
    ----------
    progress : callable
        Gives the work of the present code.
    changed : callable
        Called when the work is another than before.
    chapter : str, default ""
        The number of the chapter to start again, such as ``"01"``; without it there is no button for that.
    today : callable, optional
        Gives the day for the names of copies; the computer's own date when left out.

    Examples
    --------
    >>> work = MyWork(lambda: Progress("A1"), lambda: None)
    >>> work.place.value
    'my-work-A1.zip'
    """

    def __init__(
        self,
        progress: Callable[[], Progress],
        changed: Callable[[], None],
        chapter: str = "",
        today: Callable[[], date] = date.today,
    ):
        self._progress, self._changed, self._chapter, self._today = progress, changed, chapter, today
        self._coming: tuple[str, bytes] | None = None  # name and content of a file to bring in

        self.place = text_box("Write a copy to", "", "my-work.zip, or a folder and a name")
        self.copy = widgets.Button(description="Write the copy", layout=_BUTTON)
        self.copied = Status()

        self.source = text_box("Bring in the file", "", "my-work.zip, or a folder and a name")
        self.upload = widgets.FileUpload(
            accept=".zip,.toml", multiple=False, description="or choose a file", layout=_BUTTON
        )
        self.join = widgets.Button(description="Join it with the work here", layout=_BUTTON)
        self.leave = widgets.Button(description="Leave it", layout=_BUTTON)
        self.joined = Status()

        self.again = widgets.Button(description=f"Start chapter {chapter} again", layout=_BUTTON)
        self.sure = widgets.Button(description=f"Yes, clear chapter {chapter}", layout=_BUTTON)
        self.no = widgets.Button(description="No, leave everything", layout=_BUTTON)
        self.restarted = Status()

        self.copy.on_click(lambda _: self._attempt(self.copied, self._write))
        self.source.observe(lambda change: self._chosen(change.new, self._look), "value")
        self.upload.observe(lambda change: self._chosen(change.new, self._received), "value")
        self.join.on_click(lambda _: self._attempt(self.joined, self._bring_in))
        self.leave.on_click(lambda _: self._forget("Nothing was taken."))
        self.again.on_click(lambda _: self._attempt(self.restarted, self._ask))
        self.sure.on_click(lambda _: self._attempt(self.restarted, self._start_again))
        self.no.on_click(lambda _: self._stay("Everything is as it was."))

        self._answer = widgets.HBox([], layout=_ROW)
        self._confirm = widgets.HBox([self.again], layout=_ROW)
        super().__init__(
            [
                _heading("Take your work along"),
                widgets.HBox([self.place, self.copy], layout=_ROW),
                self.copied,
                _heading("Bring work in from another computer"),
                widgets.HBox([self.source, self.upload], layout=_ROW),
                self.joined,
                self._answer,
                *([_heading("Start again"), self._confirm, self.restarted] if chapter else []),
            ]
        )
        self.renew()

    def renew(self) -> None:
        """Begin anew, for another code."""
        code = self._progress().code
        self.place.value = f"my-work-{code}.zip" if code else ""
        self.copied.value = ""
        self._forget("")
        self._stay("")

    def _attempt(self, status: Status, act: Callable[[], str]) -> None:
        try:
            status.say(act())
        except Problem as problem:
            status.complain(problem)

    def _chosen(self, new: Any, act: Callable[[], str]) -> None:
        if new:  # empty: it was put back by ``_forget``
            self._attempt(self.joined, act)

    def _folder(self) -> Path:
        path = self._progress().path
        if path is None:
            raise Problem("Type your code first; the work is kept under it.")
        return path.parent

    def _all(self) -> Progress:
        """The work, with what other open chapters have kept since."""
        progress = self._progress()
        if progress.path is not None and progress.path.exists():
            progress.save()
        return progress

    def _found(self, typed: str) -> Path:
        """The path that was typed; a name alone lies beside the chapter."""
        if not typed.strip():
            raise Problem("Type the name of a file, such as my-work.zip.")
        try:
            path = self._folder() / Path(typed.strip()).expanduser()
            return path / f"my-work-{self._progress().code}.zip" if path.is_dir() else path
        except (OSError, ValueError, RuntimeError):  # too long, closed to us, or the home of nobody
            raise Problem(
                f"{_short(typed)} leads nowhere on this computer. Type a name such as my-work.zip."
            ) from None

    def _write(self) -> str:
        progress, path = self._all(), self._found(self.place.value)
        progress.export(path)
        whole = " with your plans, shelf, logs and notes" if path.suffix.lower() == ".zip" else ""
        return (
            f"{_said(progress)} is written{whole} to {path.resolve()}. Take that file along, and bring it in on the "
            "other computer under the same code."
        )

    def _look(self) -> str:
        path = self._found(self.source.value)
        try:
            content = path.read_bytes()
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            raise Problem(f"{_short(path.name)} could not be read: {reason}. Nothing was taken.") from error
        return self._offer(path.name, content)

    def _received(self) -> str:
        file = self.upload.value[0]
        return self._offer(Path(file["name"]).name, bytes(file["content"]))

    def _offer(self, name: str, content: bytes) -> str:
        """Say what a file would bring, and wait for a press."""
        self._coming, self._answer.children = None, ()
        self._folder()
        says = self._with_file(name, content, lambda path: self._all().what_comes(path))
        self._coming = (name, content)
        self._answer.children = (self.join, self.leave)
        return f"{says} What is here stays. Nothing is taken until you press."

    def _bring_in(self) -> str:
        if self._coming is None:
            raise Problem("Choose a file first.")
        name, content = self._coming
        progress = self._progress()
        says = self._with_file(name, content, lambda path: progress.import_from(path))
        self._changed()
        self._forget("")
        return f"{says} It is kept in {progress.path}."

    def _with_file(self, name: str, content: bytes, use: Callable[[Path], str]) -> str:
        """Use a file as it was when it was looked at, even if it has changed since or was never on this computer."""
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / whole_characters(name)
            try:
                path.write_bytes(content)
            except (OSError, ValueError):
                raise Problem(
                    f"{_short(name)} could not be taken in: its name is too long, or the disk is full. Rename it and "
                    "choose it again."
                ) from None
            return use(path)

    def _forget(self, says: str) -> None:
        self._coming, self._answer.children = None, ()
        self.source.value = ""
        self.upload.value = ()
        if says:
            self.joined.say(says)
        else:
            self.joined.value = ""

    def _ask(self) -> str:
        """The first press: say what will be cleared, what stays, and where the copy goes."""
        folder, progress = self._folder(), self._all()
        cleared = progress.answers_to(self._chapter)
        copy = progress.dated_name(self._today())
        self._confirm.children = (self.sure, self.no)
        return (
            f"This clears your answers to {counted(len(cleared), 'question')} of chapter {self._chapter}. First your "
            f"work as it is now is copied to {copy.name} in {folder.resolve()}. Predictions and the answers of other "
            "chapters stay. Press once more to do it."
        )

    def _start_again(self) -> str:
        progress = self._progress()
        copied = progress.start_again(self._chapter, self._today())
        assert copied is not None  # there was a code when it was asked
        self._changed()
        self._stay("")
        return (
            f"Chapter {self._chapter} begins again; your work as it was is kept in {copied.resolve()}. The page itself "
            "is as you left it. If you have changed its text or code and want it back as it was shipped: save it and "
            "close it here, because an open page would be saved over it; then, in the workbook's folder, run "
            f"{COMMAND} again {self._chapter} and open the chapter anew. Your changed page is kept under a "
            "dated name."
        )

    def _stay(self, says: str) -> None:
        self._confirm.children = (self.again,)
        if says:
            self.restarted.say(says)
        else:
            self.restarted.value = ""


def _short(name: str) -> str:
    """A name as it was typed, for a sentence."""
    name = whole_characters(name).replace("\0", "�")
    return f'"{name[:40]}{"..." if len(name) > 40 else ""}"'


def _said(progress: Progress) -> str:
    done = (counted(len(progress.answers), "question"), counted(len(progress.predictions), "prediction"))
    return f"The work of code {progress.code}, {' and '.join(done)},"


def _heading(words: str) -> Any:
    return widgets.HTML(f'<p style="font-weight:bold;margin:0.6em 0 0">{html.escape(words)}</p>')
