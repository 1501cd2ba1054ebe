"""The bank of questions: a file a chapter, each with ``QUESTIONS`` and, where it has any, ``EXAMPLES``."""

import difflib
import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

from ...units import Problem


@cache
def _all(what: str) -> Mapping[str, Any]:
    found: dict[str, Any] = {}
    for module in pkgutil.iter_modules(__path__):
        for each in getattr(importlib.import_module(f"{__name__}.{module.name}"), what, ()):
            if each.id in found:
                raise Problem(f"Two questions have the id {each.id!r}.")
            found[each.id] = each
    return MappingProxyType(found)


def questions() -> Mapping[str, Any]:
    """All questions, by id."""
    return _all("QUESTIONS")


def examples() -> Mapping[str, Any]:
    """All worked examples, by id."""
    return _all("EXAMPLES")


def find(id: str, what: str = "QUESTIONS") -> Any:
    """The question, or with ``what="EXAMPLES"`` the worked example, of this id.

    Raises Problem when there is none; the sentence names near ones.

    Example
    -------
    >>> find("mixing-label-phosphorus").chapter
    '01'
    """
    known = _all(what)
    if id in known:
        return known[id]
    near = difflib.get_close_matches(str(id), known, n=3, cutoff=0.3) or list(known)[:3]
    raise Problem(f"There is no question {id!r}. Near ones: {', '.join(near)}.")
