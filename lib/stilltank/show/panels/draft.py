"""The plan a learner is working on, shared by all panels of a notebook."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from stilltank.season.plan import Plan
from stilltank.units import Problem


class Draft:
    """A plan that can still change; panels change it and are told of each change.

    Attributes
    ----------
    plan : Plan, the present choices
    system : "metric" or "US", how numbers are shown
    path : where ``save`` writes the plan; the card goes beside it
    trouble : str, why an older file could not be opened; empty when all is well
    """

    def __init__(self, path: Any = "my-tank.toml", **choices: Any):
        """Open the plan at ``path`` if there is one; else begin with ``choices``, in the words of ``Plan.make``."""
        self.path = Path(path)
        self.system = "metric"
        self.trouble = ""
        self._choices = choices
        self._told: list[Callable[[], None]] = []
        self.plan = Plan.make(**choices)
        self._seen = self._on_disk()
        if self._seen is not None:
            try:
                self.plan = Plan.load(self.path).settle()
            except Problem as problem:
                self.trouble = f"{problem} The file was left as it is; the panels show the demo plan."

    def change(self, **changes: Any) -> None:
        """Change the plan, in the words of ``Plan.make``, and tell the panels; a Problem leaves it as it was."""
        self.plan = self.plan.change(**changes).settle()
        self._tell()

    def show_in(self, system: str) -> None:
        """Show numbers in ``"metric"`` or ``"US"`` units."""
        self.system = system
        self._tell()

    def reset(self) -> None:
        """Begin again with the first choices; the saved file stays."""
        self.plan = Plan.make(**self._choices)
        self._tell()

    def watch(self, listener: Callable[[], None]) -> None:
        """Have ``listener`` called after each change."""
        self._told.append(listener)

    def save(self) -> tuple[Path, Path]:
        """Write the plan and its card; return both paths.

        Raises
        ------
        Problem   the folder cannot be written; or the file of that name could not be read, or was changed by
                  somebody else, and would be lost
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
        self.plan.save(self.path)
        self._seen = self._on_disk()
        card = self.path.with_name(f"{self.path.stem}-card.html")
        return self.path, self.plan.card(card, self.system)

    def _on_disk(self) -> bytes | None:
        try:
            return self.path.read_bytes()
        except FileNotFoundError:
            return None
        except OSError:
            return b""  # a folder, or no permission: loading says which

    def _tell(self) -> None:
        for listener in self._told:
            listener()
