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


def test_public_science_functions_carry_an_example():
    """Each public function of the science floor shows one use with its answer."""
    without = []
    for name in MODULES:
        if not name.startswith("stilltank.science.") or any(part.startswith("_") for part in name.split(".")):
            continue
        module = importlib.import_module(name)
        for key, thing in vars(module).items():
            public = inspect.isfunction(thing) and not key.startswith("_") and thing.__module__ == name
            if public and ">>>" not in (thing.__doc__ or ""):
                without.append(f"{name}.{key}")
    assert not without
