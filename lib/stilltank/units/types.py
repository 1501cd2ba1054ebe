"""The words that public signatures are made of, beside our own classes."""

import datetime
from collections.abc import Callable, Sequence
from typing import Any, Literal, ParamSpec, Protocol, TypeAlias, TypeVar, overload

import numpy as np
from numpy.typing import NDArray

from stilltank.registry import Quantity

P = ParamSpec("P")
R_co = TypeVar("R_co", covariant=True)

Array: TypeAlias = NDArray[np.float64]
"""Plain numbers, any count."""

Numbers: TypeAlias = NDArray[np.int_]
"""Whole numbers, any count: days of the year, rows of a record."""

Plain: TypeAlias = float | Array
"""A plain number or an array of them: what is computed with inside."""

PlainLike: TypeAlias = Any
"""Plain numbers where only the call tells whether one or many: a float, or an array of them."""

Quantities: TypeAlias = Quantity[Any] | Sequence[Quantity[Any]]
"""A quantity, of one number or an array, or a list of quantities."""

Day: TypeAlias = datetime.date | np.datetime64 | str
"""One day; as text it is written 2027-06-21."""

Days: TypeAlias = NDArray[np.datetime64]
"""Days as numpy holds them."""

SomeDays: TypeAlias = Day | Sequence[Day] | Days
"""One day, or many."""

System: TypeAlias = Literal["metric", "US"]
"""A system of units."""

Air: TypeAlias = Literal["closed", "open"]
"""Whether the solution exchanges carbon dioxide with the air."""


class Formula(Protocol[P, R_co]):
    """A function with units at its door.

    Its ``plain`` is the same without them, plain numbers in and out, for use between rooms of science.

    Parameters
    ----------
    *args, **kwargs : object
        What the function takes.

    See Also
    --------
    takes : Make one.

    Examples
    --------
    >>> from stilltank.science.pure_water import water_density
    >>> round(water_density.plain(25.0), 2)
    997.05
    """

    plain: Callable[..., Any]

    def __call__(self, *args: P.args, **kwargs: P.kwargs) -> R_co:
        """Call it with quantities."""
        ...

    @overload
    def __get__(self, instance: None, owner: type) -> "Formula[P, R_co]": ...
    @overload
    def __get__(self, instance: object, owner: type) -> Callable[..., R_co]: ...


__all__ = [
    "Air",
    "Array",
    "Day",
    "Days",
    "Formula",
    "Numbers",
    "Plain",
    "PlainLike",
    "Quantities",
    "Quantity",
    "SomeDays",
    "System",
]
