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
    unsaid : str, the trouble until a panel has said it
    """

    def __init__(self, path: Any = "my-tank.toml", **choices: Any):
        """Open the plan at ``path`` if there is one; else begin with ``choices``, in the words of ``Plan.make``."""
        self.path = Path(path)
        self.system = "metric"
        self.trouble = ""
        self._told: dict[Any, Callable[[], None]] = {}
        self.plan = Plan.make(**choices)
        self._seen = self._on_disk()
        if self._seen is not None:
            try:
                self.plan = Plan.load(self.path).settle()
            except Problem as problem:
                self.trouble = f"{problem} The file was left as it is; the panels show the demo plan."
        self.unsaid = self.trouble
        self._first = self.plan

    def change(self, **changes: Any) -> None:
        """Change the plan, in the words of ``Plan.make``, and tell the panels; a Problem leaves it as it was."""
        self.plan = self.plan.change(**changes).settle()
        self._tell()

    def show_in(self, system: str) -> None:
        """Show numbers in ``"metric"`` or ``"US"`` units."""
        self.system = system
        self._tell()

    def reset(self, *choices: str) -> None:
        """Go back to the plan as this page opened it, wholly or in the choices named; the saved file stays.

        ``choices`` are words of ``Plan.make``, such as ``"tank"``.
        """
        first = self._first
        if not choices:
            self.plan = first
            self._tell()
            return
        plants = {"crop": first.plants.crop, "count": first.plants.count}
        self.change(**{name: plants[name] if name in plants else getattr(first, name) for name in choices})

    def watch(self, listener: Callable[[], None], name: str = "") -> None:
        """Have ``listener`` called after each change.

        In a notebook, a cell that runs again takes the place of what it made before under the same ``name``: nobody
        sees that any more, and it is not to cost time.
        """
        cell = _this_cell()
        self._told[(cell, name) if cell and name else object()] = listener

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
        for listener in list(self._told.values()):
            listener()


def _this_cell() -> str:
    """The id of the notebook cell that is running; empty outside a notebook."""
    from IPython.core.getipython import get_ipython

    parent: dict[str, Any] = getattr(get_ipython(), "get_parent", dict)()
    return str(parent.get("metadata", {}).get("cellId", ""))
