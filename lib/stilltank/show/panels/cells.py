"""Which cell of a notebook made something, so that a cell run again takes its place."""

from collections.abc import Hashable
from typing import Any


def cell_key(name: str) -> Hashable:
    """Make a key for what the running cell makes under a name.

    Parameters
    ----------
    name : str
        Tells apart what one cell makes; never the same key again when empty.

    Returns
    -------
    hashable object
        The same key when the cell runs again, and a new one in any other case.

    Examples
    --------
    >>> cell_key("plan") == cell_key("plan")  # outside a notebook no cell runs
    False
    """
    cell = _this_cell()
    return (cell, name) if cell and name else object()


def _this_cell() -> str:
    """The id of the notebook cell that is running; empty outside a notebook."""
    from IPython.core.getipython import get_ipython

    parent: dict[str, Any] = getattr(get_ipython(), "get_parent", dict)()
    return str(parent.get("metadata", {}).get("cellId", ""))
