"""Taking work to another computer, and bringing it in there."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from stilltank.files import FileChanged, write_atomically
from stilltank.units import Problem

from ..arguments import as_path
from .file import ProgressFault
from .joined_work import counted, joined, put

# What is counted when work is brought in, and what one of each is called.
_WORDS = {"chapters": "chapter", "answers": "question", "predictions": "prediction"}


class Moving:
    """What a learner's progress can do with files elsewhere."""

    code: str
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
            The file to write.
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
        try:
            write_atomically(path, self.text(), expected=... if replace else None)
        except FileChanged:
            raise Problem(f"{path.name} is there already and stays as it is. Choose another name.") from None

    def import_from(self, path: Path | str, *, other_code: bool = False) -> str:
        """Join the work in an exported file into this one, and save; nothing kept here is lost.

        Parameters
        ----------
        path : path or str
            The file, which does not change.
        other_code : bool
            Take the work of another code too.

        Returns
        -------
        str
            A sentence on what was new.

        Raises
        ------
        ProgressFault
            The file cannot be read, or belongs to another code.
        Problem
            No code was typed yet.
        """
        found = self._coming(path, other_code)
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
        return says

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
        found = self._coming(path, other_code)
        held = ", ".join(counted(len(getattr(found, table)), word) for table, word in _WORDS.items())
        return (
            f"{Path(path).name} holds the work of code {found.code}: {held}. New here: {self._news(found)}."
        )

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
