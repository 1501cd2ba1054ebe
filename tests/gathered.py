"""Modules that lie beside the tests and are gathered by name, one in each folder that has one."""

import importlib
from pathlib import Path

TESTS = Path(__file__).resolve().parent


def gathered(name):
    """Every module of this name below tests/, in the order of the folders."""
    found = sorted(path.relative_to(TESTS).with_suffix("") for path in TESTS.rglob(f"{name}.py"))
    return [importlib.import_module(".".join(path.parts)) for path in found]
