"""The plan a learner is working on, shared by all panels of a notebook."""

import inspect
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Protocol, runtime_checkable

from stilltank.files import sweep
from stilltank.season import shelf
from stilltank.season.paper import tank_card
from stilltank.season.plan import Plan
from stilltank.show.figures import ALONE
from stilltank.show.given import known_system, of_kind, quoted
from stilltank.show.pages import named_file
from stilltank.show.panels import cell_key
from stilltank.units import Problem

_OF_ALL = (
    "system",
    "_told",
    "_usual",
    "_choices",
    "_aside",
    "_code",
    "_codes",
)  # what no page has for itself


@runtime_checkable
class Learner(Protocol):
    """Whoever works here: with a code, and heard when another is typed."""

    progress: Any

    def watch(self, listener: Callable[[], None], name: str = "") -> None:
        """Have a function called when another code is typed.

        Parameters
        ----------
        listener : callable
            What is called.
        name : str
            Tells apart the listeners of one cell.
        """
        ...


def _known(choices: Mapping[str, object]) -> Mapping[str, Any]:
    """Refuse words that are none of ``Plan.make``."""
    words = list(inspect.signature(Plan.make).parameters)
    if wrong := [name for name in choices if name not in words]:
        raise Problem(f"A plan has the choices {', '.join(words)}; {quoted(wrong[0])} is none of them.")
    return choices


class Draft:
    """A plan that can still change; panels change it and are told of each change.

    Each code has a plan file of its own. When another code is typed, the page shows the plan of that code; what it
    showed before waits, also if it was not saved, until its code is typed again. A code without a file goes on from
    the plan that the page shows without a code.

    Parameters
    ----------
    path : str or Path
        The file of the plan; it is opened when there is one.
    learner : Learner, optional
        Whose code goes into the file's name; without a learner or a code, the name stays as it is.
    **choices : object
        What to begin with where there is no file, in the words of ``Plan.make``.

    Attributes
    ----------
    plan : Plan
        The present choices.
    system : {"metric", "US"}
        How numbers are shown.
    mix : {"salts", "bottles", "spoons"} or None
        How the card says to mix; by the shelf when None.
    ph_test : {"meter", "drops", "strips"} or None
        What the card says to read the pH with; by the shelf when None.
    path : Path
        Where ``save`` writes the plan, with the learner's code in its name; the card goes into the same folder.
    trouble : str
        Why an older file could not be opened; empty when all is well.
    unsaid : str
        The trouble until a panel has said it.

    Raises
    ------
    Problem
        The choices make no plan, or there is no such choice or learner.
    Unreadable
        The path names no file.

    Examples
    --------
    >>> draft = Draft("no-such-plan.toml", count=4)
    >>> draft.change(count=3)
    >>> draft.plan.plants.count
    3
    >>> draft.reset()
    >>> draft.plan.plants.count
    4
    """

    def __init__(self, path: str | Path = "my-tank.toml", learner: Learner | None = None, **choices: object):
        self.path = self._usual = named_file(path, "Draft", "my-tank.toml")
        if learner is not None:
            of_kind(learner, Learner, "Whose plan it is, is told by a lessons.Learner")  # type: ignore[type-abstract]
        sweep(self.path.parent)
        self.system = "metric"
        self.mix: str | None = None
        self.ph_test: str | None = None
        self.trouble = ""
        self._told: dict[Any, Callable[[], None]] = {}
        self.plan = Plan.make(**_known(choices))
        self._seen = self._on_disk()
        self._saved = ""  # what the file holds, in the words of Plan.text
        if self._seen is not None:
            try:
                self.plan = Plan.load(self.path).settle()
                self._saved = self.plan.text(self.path.parent)
            except Problem as problem:
                self.trouble = f"{problem} The file was left as it is; the panels show the demo plan."
        self.unsaid = self.trouble
        self._first = self.plan
        self._code, self._codes, self._choices = "", learner is not None, choices
        self._aside: dict[Path, dict[str, Any]] = {}
        if learner is not None:
            learner.watch(lambda: self._turn_to(learner.progress.code), "plan")
            self._turn_to(learner.progress.code)

    def __str__(self) -> str:
        """Whose plan this is, and in which file."""
        keeps = f"The button keeps it in {self.path.name}"
        if not self._code:
            own = "If others use this computer too, type your code first; your plan then gets a file of its own."
            return f"This is the plan without a code. {keeps}. {own}" if self._codes else f"{keeps}."
        if self._seen is not None:
            return f"This is the plan of code {self._code}. {keeps}."
        stays = f", and {self._usual.name} stays as it is" if self._usual.exists() else ""
        return f"Code {self._code} has no plan yet and goes on from the plan without a code. {keeps}{stays}."

    @property
    def code(self) -> str:
        """The learner's code; empty without one."""
        return self._code

    def change(self, **changes: object) -> None:
        """Change the plan, and tell the panels.

        Parameters
        ----------
        **changes : object
            In the words of ``Plan.make``.

        Raises
        ------
        Problem
            The changes make no plan; it stays as it was.
        """
        _known(changes)
        with ALONE:
            self.plan = self.plan.change(**changes).settle()
            self._tell()

    def put_back(self, plan: Plan) -> None:
        """Take a plan that was here before, whole, and tell the panels.

        Parameters
        ----------
        plan : Plan
            The plan.

        Raises
        ------
        Problem
            This is no plan.
        """
        of_kind(plan, Plan, "What is put back is a plan")
        with ALONE:
            self.plan = plan
            self._tell()

    def show_in(self, system: str) -> None:
        """Show numbers in other units.

        Parameters
        ----------
        system : {"metric", "US"}
            The units.

        Raises
        ------
        Problem
            There is no such system.
        """
        known_system(system)
        with ALONE:
            self.system = system
            self._tell()

    def reset(self, *choices: str) -> None:
        """Go back to the plan as this page opened it; the saved file stays.

        Parameters
        ----------
        *choices : str
            The choices to set back, in words of ``Plan.make``, such as ``"tank"``; all when left out.

        Raises
        ------
        Problem
            There is no such choice.
        """
        first = self._first
        if not choices:
            with ALONE:
                self.plan = first
                self._tell()
            return
        _known(
            dict.fromkeys(
                of_kind(name, str, 'A choice is named as in Plan.make, such as "tank"') for name in choices
            )
        )
        plants = {"crop": first.plants.crop, "count": first.plants.count}
        self.change(**{name: plants[name] if name in plants else getattr(first, name) for name in choices})

    def watch(self, listener: Callable[[], None], name: str = "") -> None:
        """Have a function called after each change.

        Parameters
        ----------
        listener : callable
            What is called.
        name : str
            Tells apart the listeners of one cell. A cell that runs again takes the place of what it made before under
            the same name: nobody sees that any more, and it is not to cost time.
        """
        self._told[cell_key(name)] = listener

    def save(self) -> tuple[Path, Path]:
        """Write the plan and its card.

        A file that holds this plan already stays as it is, with its remarks, its order and its units.

        Returns
        -------
        tuple of Path
            The files of the plan and the card.

        Raises
        ------
        Problem
            The folder cannot be written; or the file of that name could not be read, or was changed by someone else,
            and would be lost.
        """
        if self.trouble:
            raise Problem(
                f"{self.path.name} holds something that could not be read; it was not replaced. Give that file "
                "another name, or mend it, and run this chapter again."
            )
        if self._on_disk() != self._seen:
            raise Problem(
                f"{self.path.name} was changed after this page had opened it, and was not replaced. Run this chapter "
                "again to go on from the changed file, or give that file another name."
            )
        self._keep_shelf()
        text = self.plan.text(self.path.parent)
        if text != self._saved:
            self._seen = self.plan.save(self.path, expected=self._seen)
            self._saved = text
        card = self.path.with_name(f"{self.path.stem}-card.html")
        return self.path, tank_card(self.plan, card, system=self.system, mix=self.mix, ph_test=self.ph_test)

    def _keep_shelf(self) -> None:
        """Give a shelf that was changed and stands in no file one of its own; no file is replaced."""
        held = self.plan.shelf
        if held is None or self.plan.shelf_file is not None:
            return
        content, number = shelf.as_text(held).encode(), 1
        path = first = shelf.beside(self.path)
        while path.exists() and path.read_bytes() != content:
            number += 1
            path = first.with_name(f"{first.stem}-{number}{first.suffix}")
        if not path.exists():
            shelf.save(held, path, expected=None)
        self.change(shelf=path)

    def _turn_to(self, code: str) -> None:
        """Show the plan of a code, empty for none; the plan shown before waits for its own."""
        name = f"{self._usual.stem}-{code}{self._usual.suffix}" if code else self._usual.name
        path = self._usual.with_name(name)
        if path == self.path:
            return
        page = vars(self)
        self._aside[self.path] = {key: value for key, value in page.items() if key not in _OF_ALL}
        if path not in self._aside:
            opened = Draft(path, None, **self._choices)
            self._aside[path] = {key: value for key, value in vars(opened).items() if key not in _OF_ALL}
            if opened._seen is None:
                usual = self._aside[self._usual]
                self._aside[path] |= {"plan": usual["plan"], "_first": usual["_first"]}
        with ALONE:
            page.update(self._aside.pop(path), _code=code)
            self._tell()

    def _on_disk(self) -> bytes | None:
        try:
            return self.path.read_bytes()
        except FileNotFoundError:
            return None
        except OSError:
            return b""  # a folder, or no permission: loading says which

    def _tell(self) -> None:
        for listener in list(self._told.values()):
            listener()


def a_draft(given: object) -> Draft:
    """Check that something is a draft.

    Parameters
    ----------
    given : object
        What was given.

    Returns
    -------
    Draft
        The draft.

    Raises
    ------
    Problem
        It is something else.

    Examples
    --------
    >>> a_draft(Draft("no-such-plan.toml", count=4)).plan.plants.count
    4
    """
    return of_kind(given, Draft, 'This needs the draft of a plan, such as own_tank.Draft("my-tank.toml")')
