"""Every public function called with what it does not expect, one argument at a time, from its own examples.

``python tests/house/hostile.py`` writes the calls that still end in a foreign exception to ``hostile.toml``.
"""

import ast
import contextlib
import doctest
import importlib
import inspect
import io
import tempfile
import tomllib
import warnings
from pathlib import Path

import numpy as np
from structure import modules

LIST = Path(__file__).with_name("hostile.toml")
SKIPPED = {
    "generate",  # a weather record of many years for each call
    *(
        "check_shapes",
        "instance_of",
        "magnitude",
        "one_of",
        "one_value",
        "only",
        "pure_number",
        "whole_number",
        "within",
    ),
    *("check_day_extremes", "check_metres", "density", "plain_day_of_year", "slot", "vapour_between"),
    *("latitude_degrees", "said", "said_ends", "speaking_of", "takes"),  # tools for those who write functions
}


def faces(prefix="stilltank.science."):
    """The rooms of science, and the units below them."""
    depth = prefix.count(".")
    found = [name for name in modules() if name.startswith(prefix) and name.count(".") == depth]
    return ["stilltank.units", *sorted(name for name in found if not name.rpartition(".")[2].startswith("_"))]


def public(room):
    """The public functions and classes of a room, by name."""
    module = importlib.import_module(room)
    names = getattr(module, "__all__", None)
    if names is None:
        names = [name for name, thing in vars(module).items() if getattr(thing, "__module__", "") == room]
    return {
        name: thing
        for name in names
        if not name.startswith("_")
        and callable(thing := getattr(module, name))
        and getattr(thing, "__module__", "").startswith("stilltank")
        and not (inspect.isclass(thing) and issubclass(thing, BaseException))
    }


def strange_values():
    """What people and programs hand over by mistake."""
    from stilltank.science.mixing import recipe_solution
    from stilltank.units import Q

    return {
        "None": None,
        "text": "abc",
        "empty text": "",
        "number": 25,
        "minus": -1.5,
        "nan": float("nan"),
        "huge": 10**400,
        "list": [1, "a"],
        "empty": [],
        "mapping": {"a": 1},
        "object": object(),
        "bytes": b"1",
        "kilograms": Q(1, "kg"),
        "degrees": Q(95, "degF"),
        "infinite": Q(float("inf"), "m"),
        "no values": Q([], "m"),
        "many": Q(np.ones((2, 3, 4)), "L"),
        "solution": recipe_solution("Hoagland 1"),
        "function": len,
    }


def calls_in_examples(room):
    """The calls of public functions and classes in the examples of a room: by name, positional and keyword values."""
    known = public(room)
    seen = {name: [] for name in known}
    for module in [importlib.import_module(name) for name in modules() if f"{name}.".startswith(f"{room}.")]:
        for test in doctest.DocTestFinder(exclude_empty=True).find(module):
            _follow(test, dict(vars(module)), known, seen)
    return seen


def _follow(test, space, known, seen):
    import numpy as np
    from stilltank.units import Q

    space |= {"np": np, "Q": Q}
    for example in test.examples:
        try:
            tree = ast.parse(example.source)
        except SyntaxError:
            continue
        for node in ast.walk(tree):
            name = (
                getattr(node.func, "id", getattr(node.func, "attr", "")) if isinstance(node, ast.Call) else ""
            )
            if name in known and len(seen[name]) < 2:
                with contextlib.suppress(Exception):
                    args = [eval(compile(ast.Expression(one), name, "eval"), space) for one in node.args]
                    kwargs = {
                        one.arg: eval(compile(ast.Expression(one.value), name, "eval"), space)
                        for one in node.keywords
                    }
                    seen[name].append((args, kwargs))
        with contextlib.suppress(Exception), contextlib.redirect_stdout(io.StringIO()):
            exec(compile(tree, test.name, "exec"), space)


def foreign(function, args, kwargs):
    """The name of the foreign exception that a call ends in; empty when it ends well."""
    from stilltank.units import Problem

    try:
        with warnings.catch_warnings(), tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
            warnings.simplefilter("ignore")  # a name given for a file must not leave one behind
            function(*args, **kwargs)
    except Problem:
        return ""
    except Exception as error:
        return type(error).__name__
    return ""


def hostile_calls(room):
    """``function(argument=what)`` for each call of a room that ends in a foreign exception."""
    found = []
    values, examples = strange_values(), calls_in_examples(room)
    for name, thing in public(room).items():
        if name in SKIPPED:
            continue
        for args, kwargs in examples[name]:
            try:
                bound = inspect.signature(thing).bind(*args, **kwargs)
            except (TypeError, ValueError):
                continue
            for argument in bound.arguments:
                kind = inspect.signature(thing).parameters[argument].kind
                for what, value in values.items():
                    given = dict(bound.arguments)
                    if kind is inspect.Parameter.VAR_KEYWORD:
                        given[argument] = dict.fromkeys(bound.arguments[argument], value)
                    elif kind is inspect.Parameter.VAR_POSITIONAL:
                        given[argument] = (value, *bound.arguments[argument][1:])
                    else:
                        given[argument] = value
                    changed = inspect.BoundArguments(bound.signature, given)
                    if error := foreign(thing, changed.args, changed.kwargs):
                        found.append(f"{name}({argument}={what}): {error}")
    return sorted(set(found))


def known():
    """The calls that are known to end so, by room."""
    return tomllib.loads(LIST.read_text(encoding="utf-8")) if LIST.exists() else {}


def main():
    """Write the list anew."""
    lines = [
        "# Calls that still end in a foreign exception. The list may only shrink.",
        "# Written by: python tests/house/hostile.py",
    ]
    total = 0
    for room in faces():
        if found := hostile_calls(room):
            total += len(found)
            lines += ["", f'"{room}" = [', *(f'    "{one}",' for one in found), "]"]
    LIST.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(total, "calls end in a foreign exception")


if __name__ == "__main__":
    main()
