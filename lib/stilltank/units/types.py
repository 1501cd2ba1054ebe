"""The words that public signatures are made of, beside our own classes."""

import datetime
from collections.abc import Sequence
from typing import Any, Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from stilltank.registry import Quantity

from .decorator import Formula

Array: TypeAlias = NDArray[np.float64]
"""Plain numbers, any count."""

Plain: TypeAlias = float | Array
"""A plain number or an array of them: what is computed with inside."""

Quantities: TypeAlias = Quantity[Any] | Sequence[Quantity[Any]]
"""A quantity, of one number or an array, or a list of quantities."""

Day: TypeAlias = datetime.date | np.datetime64 | str
"""One day; as text it is written 2027-06-21."""

Days: TypeAlias = NDArray[np.datetime64]
"""Days as numpy holds them."""

System: TypeAlias = Literal["metric", "US"]
"""A system of units."""

Air: TypeAlias = Literal["closed", "open"]
"""Whether the solution exchanges carbon dioxide with the air."""

__all__ = ["Air", "Array", "Day", "Days", "Formula", "Plain", "Quantities", "Quantity", "System"]
