"""Types say something: no ``Any`` in the signature of a public function or method of science and of the units.

``python tests/house/test_types.py`` writes what is left to ``types.toml``.
"""

import ast
import tomllib
from pathlib import Path

import pytest
from structure import modules, tree

LIST = Path(__file__).with_name("types.toml")
ROOMS = (
    "stilltank.science.",
    "stilltank.units.",
    "stilltank.learning.",
    "stilltank.season.",
    "stilltank.lessons.",
)
ROOMS += ("stilltank.chapters.", "stilltank.show.")
HELD = sorted(
    name
    for name in modules()
    if name.startswith(ROOMS) and not any(part.startswith("_") for part in name.split("."))
)


def says_any(annotation):
    """Whether an annotation is ``Any`` itself, or an argument that says nothing at all."""
    if annotation is None:
        return True
    if isinstance(annotation, ast.BinOp):
        return says_any(annotation.left) or says_any(annotation.right)
    return isinstance(annotation, ast.Name) and annotation.id == "Any"


def vague(name):
    """``function.argument`` for each public signature of a module that says ``Any``."""
    found = []

    def look(node, owner=""):
        for each in node.body:
            if isinstance(each, ast.ClassDef) and not each.name.startswith("_"):
                look(each, f"{each.name}.")
            if isinstance(each, ast.FunctionDef) and not each.name.startswith("_"):
                arguments = [
                    *each.args.posonlyargs,
                    *each.args.args,
                    *each.args.kwonlyargs,
                    *filter(None, (each.args.vararg, each.args.kwarg)),
                ]
                for argument in arguments:
                    if argument.arg not in ("self", "cls") and says_any(argument.annotation):
                        found.append(f"{owner}{each.name}.{argument.arg}")
                if says_any(each.returns):
                    found.append(f"{owner}{each.name} ->")

    look(tree(modules()[name]))
    return found


def known():
    return tomllib.loads(LIST.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", HELD)
def test_a_public_signature_means_something(name):
    found, allowed = set(vague(name)), set(known().get(name, ()))
    assert not found - allowed, f"says Any: {sorted(found - allowed)}"
    assert not allowed - found, f"mended; run tests/house/test_types.py: {sorted(allowed - found)}"


def test_every_listed_module_stands():
    assert set(known()) <= set(HELD)


def main():
    """Write the list anew."""
    lines = [
        "# Public signatures that still say Any. The list may only shrink.",
        "# Written by: python tests/house/test_types.py",
    ]
    total = 0
    for name in HELD:
        if found := vague(name):
            total += len(found)
            lines += ["", f'"{name}" = [', *(f'    "{one}",' for one in found), "]"]
    LIST.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(total, "parts of public signatures say Any")


if __name__ == "__main__":
    main()
