"""The faces of the library, read from its source: what the reference must show, and whose docstrings are looked at."""

import importlib
import inspect

from structure import is_container, modules, room_of


def faces():
    """Each room of the library with its public names, and what each of them names."""
    found = {}
    for room in sorted({room_of(name) for name in modules()}):
        if is_container(room):
            continue
        module = importlib.import_module(room)
        names = getattr(module, "__all__", None) or [
            name
            for name, thing in vars(module).items()
            if not name.startswith("_")
            and (inspect.isclass(thing) or inspect.isroutine(thing))
            and getattr(thing, "__module__", "") == room
        ]
        found[room] = {name: getattr(module, name) for name in names}
    return found
