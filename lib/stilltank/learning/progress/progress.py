"""What one learner has done, and keeping it."""

import contextlib
import copy
import os
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from stilltank import __version__
from stilltank.files import alone_with, sweep, whole_characters, write_atomically
from stilltank.learning.arguments import as_path, count, expect
from stilltank.learning.codes import learner_code
from stilltank.units import DIGEST, Problem, Q, value_text  # noqa: F401 (Q is used in the examples)

from .file import TABLES, ProgressFault, as_text, read_file
from .joined_work import counted, merged, put
from .transfer import Moving

_DATED = re.compile(r"-\d{4}-\d\d-\d\d(-\d+)?$")


@dataclass
class Progress(Moving):
    """What one learner has done. Get it with ``Progress.open``; ``save`` keeps it.

    Parameters
    ----------
    code : str, default ""
        Such as ``"7B-12"``; empty while none is typed.
    path : Path, optional
        The file; None while there is no code, and then nothing is kept.
    plan : str, default ""
        The file name of the learner's tank plan.
    settings : dict of str to str, optional
        What the learner chose, such as ``{"units": "US", "text": "plain"}``.
    chapters : dict of str to dict, optional
        By chapter, ``{"state": "started" or "done", "round": int}``.
    answers : dict of str to dict, optional
        By question, ``{"typed": [str, ...], "hints": int, "state": str}``, and what else is plain.
    predictions : dict of str to dict, optional
        By prediction; ``learning.predictions`` writes and reads it.
    library : str, optional
        The version of the workbook that saved the file last; this version for a new one.

    Examples
    --------
    >>> progress = Progress()
    >>> progress.record_answer("mixing-dose", "36 g", "right")
    >>> progress.answers["mixing-dose"]["typed"]
    ['36 g']
    """

    code: str = ""
    path: Path | None = None
    plan: str = ""
    settings: dict[str, str] = field(default_factory=dict)
    chapters: dict[str, dict[str, Any]] = field(default_factory=dict)
    answers: dict[str, dict[str, Any]] = field(default_factory=dict)
    predictions: dict[str, dict[str, Any]] = field(default_factory=dict)
    library: str = field(default=__version__, compare=False)
    _before: "Progress | None" = field(default=None, init=False, repr=False, compare=False)
    _saved: bytes | None = field(default=None, init=False, repr=False, compare=False)

    @classmethod
    def open(cls, code: str, folder: Path | str = ".") -> "Progress":
        """The progress of this code: from its file, or new where there is none.

        Writes nothing; what a killed save left in the folder is removed.

        Parameters
        ----------
        code : str
            As typed; empty for a session that is not kept.
        folder : path or str
            Where the chapters and the learner's files are.

        Returns
        -------
        Progress
            What was kept under this code.

        Raises
        ------
        Unreadable
            Not a code.
        ProgressFault
            The file is there and cannot be read; it stays as it is.

        Examples
        --------
        >>> print(Progress.open(""))
        No code yet: what you do counts in this session and is not kept.
        """
        if not expect(code, str, 'A code is a text such as "7B-12"').strip():
            return cls()
        folder = as_path(folder, "A folder is a text or a path")
        code = learner_code(code)
        sweep(folder)
        path = folder / f"my-progress-{code}.toml"
        if not os.path.exists(path):  # of a folder that is closed to us, saving will say so
            return cls(code, path)
        found = cls.load(path)
        if found.code != code:
            raise ProgressFault(
                f"{path.name} holds the work of code {found.code}, not {code}. It stays as it is. "
                f"Rename it to my-progress-{found.code}.toml."
            )
        return found

    @classmethod
    def load(cls, path: Path | str) -> "Progress":
        """Read a progress file; the file does not change.

        Parameters
        ----------
        path : path or str
            The file.

        Returns
        -------
        Progress
            What it holds.

        Raises
        ------
        ProgressFault
            It cannot be used. The sentence names the line.
        """
        path = as_path(path, "A file is a text or a path")
        found = cls(path=path, **read_file(path))
        found._before = found._snapshot()
        return found

    def __str__(self) -> str:
        if self.path is None:
            return "No code yet: what you do counts in this session and is not kept."
        done = f"{counted(len(self.answers), 'question')}, {counted(len(self.predictions), 'prediction')}"
        return f"Code {self.code}: {done}, kept in {self.path.name}."

    def text(self) -> str:
        """Return the text of the file.

        Returns
        -------
        str
            In TOML.

        Raises
        ------
        Problem
            An entry holds something that a file cannot.
        """
        return as_text(self.code, self.plan, {name: getattr(self, name) for name in TABLES})

    def save(self) -> bool:
        """Keep everything in the file, whole or not at all. Work that another open chapter saved is joined in.

        Returns
        -------
        bool
            False where there is no code, and so no file.

        Raises
        ------
        ProgressFault
            The file on disk cannot be read any more; it stays as it is.
        Problem
            The folder cannot be written.

        Notes
        -----
        The limits are those of ``files.alone_with``. What a page has and the file has lost meanwhile is put back: where
        there is no lock, only work of a page that is closed by then can be lost.
        """
        if self.path is None:
            return False
        with alone_with(self.path) as write:
            if self.path.exists() and not self._as_left():
                kept = Progress.load(self.path)
                if kept.code != self.code:
                    raise ProgressFault(
                        f"{self.path.name} holds the work of code {kept.code}. It stays as it is."
                    )
                self._join(kept)
            content = whole_characters(self.text()).encode()
            write(content)
            self._before, self._saved = self._snapshot(), content
        return True

    def record_answer(
        self,
        question_id: str,
        typed: str | None,
        state: str,
        *,
        hints: int = 0,
        chapter: str = "",
        based_on: dict[str, object] | None = None,
    ) -> None:
        """Add one attempt at a question and save.

        Parameters
        ----------
        question_id : str
            Such as ``"mixing-dose"``.
        typed : str or None
            The answer as typed; None when only a hint was asked for.
        state : str
            What the question made of it, such as ``"right"``.
        hints : int
            How many hints have been seen; never counted down.
        chapter : str
            Such as ``"01"``, for ``start_again``.
        based_on : dict of str to quantity, float or str, optional
            The learner's own values the answer was worked out with, such as ``{"tank volume": Q(45, "L")}``;
            ``changes`` compares them later.

        Raises
        ------
        Problem
            The file cannot be saved.

        Examples
        --------
        >>> progress = Progress()
        >>> progress.record_answer("mixing-dose", "36 g", "right")
        >>> progress.answers["mixing-dose"]["state"]
        'right'
        """
        expect(question_id, str, "The id of a question is a text")
        if typed is not None:
            typed = whole_characters(expect(typed, str, "An answer is kept as the text that was typed"))
        expect(state, str, "The state of an answer is a text")
        expect(chapter, str, 'The number of a chapter is a text such as "01"')
        count(hints, "The number of hints is a whole number")
        if based_on is not None:
            expect(based_on, dict, "Values an answer is based on are given by their names")
            based_on = {str(name): whole_characters(value_text(value)) for name, value in based_on.items()}
        entry = self.answers.setdefault(question_id, {"typed": [], "hints": 0, "state": state})
        if typed is not None:
            entry["typed"].append(typed)
        entry["hints"] = max(entry["hints"], hints)
        entry["state"] = state
        if chapter:
            entry["chapter"] = chapter
        if based_on is not None:
            entry["based_on"] = based_on
        self.save()

    def changes(self, question_id: str, values: dict[str, object]) -> tuple[str, ...]:
        """Say which of the values an answer was based on have changed since.

        Parameters
        ----------
        question_id : str
            Such as ``"mixing-dose"``.
        values : dict of str to quantity, float or str
            The present values, by the names given to ``record_answer``.

        Returns
        -------
        tuple of str
            One sentence for each changed value; empty when none has, or nothing was remembered.

        Examples
        --------
        >>> progress = Progress()
        >>> progress.record_answer("mixing-own", "36 g", "right", based_on={"tank volume": Q(45, "L")})
        >>> progress.changes("mixing-own", {"tank volume": Q(40, "L")})
        ('This answer used the old tank volume, 45 L; it is 40 L now.',)
        """
        expect(question_id, str, "The id of a question is a text")
        expect(values, dict, "The present values are given by their names")
        found = []
        for name, old in self.answers.get(question_id, {}).get("based_on", {}).items():
            if name in values and (new := value_text(values[name])) != old:
                shown = "" if DIGEST in old + new else f", {old}; it is {new} now"
                found.append(f"This answer used the old {name}{shown}.")
        return tuple(found)

    def set_chapter(self, chapter: str, state: str) -> None:
        """Note the state of a chapter, and save.

        Parameters
        ----------
        chapter : str
            Such as ``"01"``.
        state : str
            ``"started"`` or ``"done"``.

        Raises
        ------
        Problem
            The file cannot be saved.

        Examples
        --------
        >>> progress = Progress()
        >>> progress.set_chapter("01", "started")
        >>> progress.chapters["01"]
        {'state': 'started', 'round': 1}
        """
        expect(chapter, str, 'The number of a chapter is a text such as "01"')
        expect(state, str, 'The state of a chapter is "started" or "done"')
        self.chapters.setdefault(chapter, {"state": state, "round": 1})["state"] = state
        self.save()

    def start_again(self, chapter: str, on: date) -> Path | None:
        """Begin a chapter afresh: its answers go, and a dated copy keeps the file as it was.

        Predictions stay: whoever has seen a result can not predict it any more.

        Parameters
        ----------
        chapter : str
            Such as ``"01"``: of answers recorded with it, or whose question id begins ``01-``.
        on : date
            Today; part of the copy's name.

        Returns
        -------
        pathlib.Path or None
            The copy; None where there is no code, and so no file.

        Raises
        ------
        Problem
            The file cannot be saved.
        """
        expect(chapter, str, 'The number of a chapter is a text such as "01"')
        expect(on, date, "Today is a date")
        copied = None
        if self.path is not None:
            self.save()
            copied = self.dated_name(on)
            write_atomically(copied, self.text(), expected=None)
        for question_id in self.answers_to(chapter):
            del self.answers[question_id]
        times = self.chapters.get(chapter, {}).get("round", 1)
        self.chapters[chapter] = {"state": "started", "round": times + 1}
        self.save()
        return copied

    def copies(self) -> tuple[Path, ...]:
        """Files beside the learner's own that hold work of the same code which it lacks.

        A folder that several computers share makes such a copy when two of them have changed the file. The dated
        copies of ``start_again`` do not count.

        Returns
        -------
        tuple of pathlib.Path
            The files, in the order of their names.
        """
        if self.path is None:
            return ()
        found = []
        for path in sorted(self.path.parent.glob(f"{self.path.stem}?*.toml")):
            if not _DATED.search(path.stem):
                with contextlib.suppress(Problem):
                    other = Progress.load(path)
                    if other.code == self.code and self._lacks(other):
                        found.append(path)
        return tuple(found)

    def _lacks(self, other: "Progress") -> bool:
        return not other.predictions.keys() <= self.predictions.keys() or any(
            key not in self.answers or not set(entry["typed"]) <= set(self.answers[key]["typed"])
            for key, entry in other.answers.items()
        )

    def answers_to(self, chapter: str) -> tuple[str, ...]:
        """Return the ids of a chapter's questions that were answered: those that ``start_again`` clears.

        Parameters
        ----------
        chapter : str
            Such as ``"01"``.

        Returns
        -------
        tuple of str
            The ids, in the order in which they were first answered.
        """
        expect(chapter, str, 'The number of a chapter is a text such as "01"')
        return tuple(key for key, entry in self.answers.items() if _belongs(key, entry, chapter))

    def dated_name(self, on: date) -> Path:
        """Return the path that ``start_again`` would copy the file to; no file has it yet.

        Parameters
        ----------
        on : date
            Today; part of the name.

        Returns
        -------
        pathlib.Path
            Beside the learner's file.

        Raises
        ------
        Problem
            There are 99 copies of that day, or no code was typed.
        """
        expect(on, date, "Today is a date")
        if self.path is None:
            raise Problem("Type your code first; the work is kept under it.")
        names = (
            f"{self.path.stem}-{on.isoformat()}{extra}.toml"
            for extra in ("", *map("-{}".format, range(2, 100)))
        )
        for name in names:
            if not (found := self.path.with_name(name)).exists():
                return found
        raise Problem(f"There are 99 copies of {self.path.name} from {on.isoformat()}. Move some away first.")

    def _as_left(self) -> bool:
        """Whether the file is as this object saved it; then there is nothing to join in."""
        assert self.path is not None
        try:
            return self._saved is not None and self.path.read_bytes() == self._saved
        except OSError:
            return False  # reading it again says what is the matter

    def _snapshot(self) -> "Progress":
        parts = {name: copy.deepcopy(getattr(self, name)) for name in TABLES}
        return Progress(self.code, None, self.plan, **parts)

    def _join(self, kept: "Progress") -> None:
        """Put what changed here on top of what the file holds now; dictionaries stay the same objects."""
        before = self._before or Progress()
        if self.plan == before.plan:
            self.plan = kept.plan
        rounds = [{key: entry["round"] for key, entry in one.chapters.items()} for one in (before, kept)]
        again = [key for key, number in rounds[1].items() if number > rounds[0].get(key, 1)]

        def restarted(question_id: str, entry: Any) -> bool:
            return any(_belongs(question_id, entry, chapter) for chapter in again)

        self._before = kept._before  # from now on; also should writing fail
        for table in TABLES:
            mine = getattr(self, table)
            result = merged(table, getattr(before, table), mine, getattr(kept, table), restarted)
            for key in mine.keys() - result.keys():
                del mine[key]
            for key, entry in result.items():
                put(mine, key, entry)


def _belongs(question_id: str, entry: Mapping[str, Any], chapter: str) -> bool:
    return entry.get("chapter", "") == chapter or (
        "chapter" not in entry and re.match(rf"{re.escape(chapter)}\b", question_id) is not None
    )
