"""Which cell of a notebook made something, so that a cell run again takes its place."""

from typing import Any


def cell_key(name: str) -> Any:
    """A key for what the running cell makes under a name: the same when it runs again, and else always another."""
    cell = _this_cell()
    return (cell, name) if cell and name else object()


def _this_cell() -> str:
    """The id of the notebook cell that is running; empty outside a notebook."""
    from IPython.core.getipython import get_ipython

    parent: dict[str, Any] = getattr(get_ipython(), "get_parent", dict)()
    return str(parent.get("metadata", {}).get("cellId", ""))
