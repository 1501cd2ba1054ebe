"""The examples in the docstrings give the answers that stand beside them."""

import doctest
import importlib
import inspect
import pkgutil

import pytest
import stilltank
from conftest import DOCTEST_FLAGS

MODULES = [module.name for module in pkgutil.walk_packages(stilltank.__path__, "stilltank.")]


@pytest.mark.parametrize("name", MODULES)
def test_examples(name, doctest_namespace):
    module = importlib.import_module(name)
    results = doctest.testmod(module, extraglobs=dict(doctest_namespace), optionflags=DOCTEST_FLAGS)
    assert not results.failed, (
        f"{results.failed} of {results.attempted} examples in {name}; the output above says which"
    )


def test_a_wrong_example_is_seen():
    """A test of the test."""

    def wrong():
        """
        >>> 1 + 1
        3
        """

    test = doctest.DocTestFinder().find(wrong, "wrong", globs={})[0]
    assert (
        doctest.DocTestRunner(verbose=False, optionflags=DOCTEST_FLAGS).run(test, out=lambda _: None).failed
        == 1
    )


def test_each_function_at_the_door_shows_one_use_with_its_answer():
    """At the door: a public function of the science that is handed quantities; ``takes`` leaves its mark on it."""
    at_the_door = []
    for name in (name for name in MODULES if name.startswith("stilltank.science.")):
        for key, thing in vars(importlib.import_module(name)).items():
            mine = inspect.isfunction(thing) and thing.__module__ == name and not key.startswith("_")
            if (
                mine
                and hasattr(thing, "__wrapped__")
                and not any(part.startswith("_") for part in name.split("."))
            ):
                at_the_door.append((f"{name}.{key}", thing.__doc__ or ""))
    assert at_the_door
    assert [name for name, words in at_the_door if ">>>" not in words] == []
