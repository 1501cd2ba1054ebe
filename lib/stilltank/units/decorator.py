"""The door of a public function: it declares what it needs, and computes with plain numbers."""

import functools
import inspect
from collections.abc import Callable
from dataclasses import dataclass
from types import UnionType
from typing import Any, ParamSpec, TypeAlias, TypeVar, cast

import numpy as np

from stilltank.registry import Q, ureg

from .arguments import check_shapes, instance_of, latitude_degrees, magnitude, one_of, pure_number
from .types import Formula
from .wording import speaking_of

P = ParamSpec("P")
R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class PlainNumber:
    """A need of ``takes``: a number that carries no unit.

    Parameters
    ----------
    example : float, default 1.0
        For the sentence of a refusal.

    See Also
    --------
    takes : Declare what a function needs.

    Examples
    --------
    >>> PlainNumber(5.8).example
    5.8
    """

    example: float = 1.0


Need: TypeAlias = str | type | UnionType | tuple[str, ...] | PlainNumber
"""What an argument may have to be: a unit, a class or one of several, one of some words, a plain number."""


def takes(*, returns: str | None = None, **needs: Need) -> Callable[[Callable[P, R]], Formula[P, R]]:
    """Declare what a function needs; quantities arrive in it as plain numbers.

    Parameters
    ----------
    returns : str, optional
        The unit of the plain numbers that the function returns; the caller gets a quantity.
    **needs : Need
        For each argument one of these: a unit, such as ``"m^2"``; ``"latitude"``, which is an angle no farther than a
        pole; ``PlainNumber(5.8)`` for a number that carries no unit; a class, such as ``Water``, or one of several,
        ``Weather | Site``; or the words that are allowed, such as ``("closed", "open")``.

    Returns
    -------
    callable
        What makes of a function a Formula, the function with this door. ``.plain`` is the function without it: plain
        numbers in and out.

    Raises
    ------
    TypeError
        A declaration names no argument of the function. This stops the import.

    Notes
    -----
    An argument whose default is None may be None. Arrays must fit each other by numpy's rules. While the function
    runs, ``said`` writes quantities in the system of units in which its caller gave them.

    Examples
    --------
    >>> @takes(area="dm^2", rise="dm", returns="L")
    ... def refill_volume(area, rise):
    ...     return area * rise
    >>> refill_volume(Q(25, "dm^2"), Q(2, "cm")).magnitude
    5.0
    >>> refill_volume.plain(25, 0.2)
    5.0
    """

    def decorate(function: Callable[P, R]) -> Formula[P, R]:
        signature = inspect.signature(function)
        unknown = set(needs) - set(signature.parameters)
        if unknown:
            raise TypeError(f"{function.__name__} has no argument {', '.join(sorted(unknown))}")
        for unit in (*(need for need in needs.values() if isinstance(need, str)), returns or "m"):
            ureg.Unit(_ANGLES.get(unit, unit))  # a typing error in a declaration fails on import
        optional = {name for name in needs if signature.parameters[name].default is None}
        name_of = function.__name__

        @functools.wraps(function)
        def with_units(*args: P.args, **kwargs: P.kwargs) -> R:
            bound = signature.bind(*args, **kwargs)
            with speaking_of(*bound.arguments.values()):
                sizes = {}
                for name, need in needs.items():
                    if name not in bound.arguments or (name in optional and bound.arguments[name] is None):
                        continue
                    found = bound.arguments[name] = _as_needed(bound.arguments[name], need, name, name_of)
                    if not isinstance(need, (type, UnionType, tuple)):
                        sizes[name] = np.shape(found)
                check_shapes(sizes, name_of)
                answer: Any = function(*bound.args, **bound.kwargs)
            return cast("R", Q(answer, returns) if returns else answer)

        public = cast("Formula[P, R]", with_units)
        public.plain = function
        return public

    return decorate


_ANGLES = {"latitude": "degree"}


def _as_needed(value: Any, need: Need, name: str, function: str) -> Any:
    """An argument as its function needs it."""
    if isinstance(need, PlainNumber):
        return pure_number(value, need.example, name, function)
    if isinstance(need, tuple):
        return one_of(value, need, name, function)
    if isinstance(need, (type, UnionType)):
        return instance_of(value, need, name, function)
    if need == "latitude":
        return latitude_degrees(value, function)
    return magnitude(value, need, name, function)
