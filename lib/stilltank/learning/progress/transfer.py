"""Taking work to another computer, and bringing it in there."""

import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from stilltank.files import FileChanged, write_atomically
from stilltank.units import Problem

from ..arguments import as_path
from .bundle import answers_in, opened, packed, put_back, what_is_new
from .file import ProgressFault
from .joined_work import counted, joined, put

# What is counted when work is brought in, and what one of each is called.
_WORDS = {"chapters": "chapter", "answers": "question", "predictions": "prediction"}


class Moving:
    """What a learner's progress can do with files elsewhere."""

    code: str
    path: Path | None
    plan: str
    settings: dict[str, str]
    text: Callable[[], str]
    save: Callable[[], bool]
    load: Callable[[Path | str], Any]

    def export(self, path: Path | str, *, replace: bool = False) -> None:
        """Write everything to a file of the learner's choice.

        Parameters
        ----------
        path : path or str
            The file to write. One that ends in .zip holds the learner's other files too: plans, shelf, logs, reports
            and notes.
        replace : bool
            Write over a file that is there.

        Raises
        ------
        Problem
            There is a file already and ``replace`` is not set, or it cannot be written.
        """
        path = as_path(path, "A file is a text or a path")
        if not self.code:
            raise Problem("Type your code first; the file is kept under it.")
        content: str | bytes = self.text()
        if _is_bundle(path):
            mine = self._file()
            content = packed(mine.parent, self.code, mine, self.text())
        try:
            write_atomically(path, content, expected=... if replace else None)
        except FileChanged:
            raise Problem(f"{path.name} is there already and stays as it is. Choose another name.") from None

    def import_from(self, path: Path | str, *, other_code: bool = False) -> str:
        """Join the work in an exported file into this one, and save; nothing kept here is lost.

        Parameters
        ----------
        path : path or str
            The file, which does not change. Of a .zip the other files are put beside the learner's own; none that is
            there is replaced.
        other_code : bool
            Take the work of another code too.

        Returns
        -------
        str
            What was new, in sentences.

        Raises
        ------
        ProgressFault
            The file cannot be read, or belongs to another code.
        Problem
            No code was typed yet.
        """
        with self._unpacked(path) as (answers, others):
            found = self._coming(answers, other_code)
        says = f"New from {Path(path).name}: {self._news(found)}."
        self.plan = self.plan or found.plan
        self.settings.update(
            {key: value for key, value in found.settings.items() if key not in self.settings}
        )
        for table in _WORDS:
            mine, theirs = getattr(self, table), getattr(found, table)
            for key, entry in theirs.items():
                if key in mine:  # attempts here come after those of the file; a prediction here stays
                    pair = (mine[key], entry) if table == "answers" else (entry, mine[key])
                    entry = joined(table, *pair)
                put(mine, key, entry)
        self.save()
        return f"{says} {put_back(others, self._file().parent)}" if others else says

    def what_comes(self, path: Path | str, *, other_code: bool = False) -> str:
        """Say what ``import_from`` would bring; nothing changes.

        Parameters
        ----------
        path : path or str
            The file.
        other_code : bool
            Take the work of another code too.

        Returns
        -------
        str
            What the file holds, and what of it is new here.

        Raises
        ------
        ProgressFault
            The file cannot be read, or belongs to another code.
        Problem
            No code was typed yet.
        """
        with self._unpacked(path) as (answers, others):
            found = self._coming(answers, other_code)
        held = ", ".join(counted(len(getattr(found, table)), word) for table, word in _WORDS.items())
        says = (
            f"{Path(path).name} holds the work of code {found.code}: {held}. New here: {self._news(found)}."
        )
        return f"{says} {what_is_new(others, self._file().parent)}" if others else says

    @contextmanager
    def _unpacked(self, path: Path | str) -> Iterator[tuple[Path, dict[str, bytes]]]:
        """The file of the answers, and what else a bundle holds."""
        path = as_path(path, "A file is a text or a path")
        if not self.code:
            raise Problem("Type your code first; the work is kept under it.")
        if not _is_bundle(path):
            yield path, {}
            return
        contents = opened(path)
        name = answers_in(path, contents)
        with tempfile.TemporaryDirectory() as folder:
            answers = Path(folder) / name
            answers.write_bytes(contents.pop(name))
            yield answers, contents

    def _file(self) -> Path:
        """The learner's own file; the others are beside it."""
        if self.path is None:
            raise Problem("This work is kept in no folder. Open it with Progress.open(code, folder).")
        return self.path

    def _coming(self, path: Path | str, other_code: bool) -> Any:
        """A file to join in, if it may be."""
        if not self.code:
            raise Problem("Type your code first; the work is kept under it.")
        path = as_path(path, "A file is a text or a path")
        found = self.load(path)
        if found.code != self.code and not other_code:
            raise ProgressFault(
                f"{Path(path).name} holds the work of code {found.code}, and you are {self.code}. "
                "Nothing was taken. Check the file, or ask for another code's work."
            )
        return found

    def _news(self, found: Any) -> str:
        """How much of other work is not here yet."""
        return ", ".join(
            counted(len(getattr(found, table).keys() - getattr(self, table).keys()), word)
            for table, word in _WORDS.items()
        )


def _is_bundle(path: Path) -> bool:
    return path.suffix.lower() == ".zip"
