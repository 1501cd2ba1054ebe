"""What an answer remembers of the values it was worked out with."""

import dataclasses
import hashlib
from collections.abc import Mapping
from datetime import date
from typing import Any

import numpy as np

from stilltank.problems import Problem
from stilltank.registry import Q, Quantity  # noqa: F401 (Q is used in the examples)

from .writing import write

DIGEST = "digest "


def value_text(value: object) -> str:
    """A value in a form that stays the same as long as the value does: readable, or a digest where it is long.

    Parameters
    ----------
    value : object
        A quantity, number, text or date, or a mapping, list or dataclass of such.

    Returns
    -------
    str
        Readable, or a digest where it would be long.

    Raises
    ------
    Problem
        Anything else.

    Notes
    -----
    Six figures; a smaller change is none.

    Examples
    --------
    >>> value_text(Q(45, "L")), value_text(Q(0.045, "m^3"))
    ('45 L', '45 L')
    """
    if isinstance(value, str):
        return value
    if isinstance(value, Quantity) and np.ndim(value.magnitude) == 0:
        return write(value, digits=6)
    if isinstance(value, date | bool | int):
        return str(value)
    if isinstance(value, float):
        return f"{value:.6g}"
    return DIGEST + hashlib.sha256(_canonical(value).encode()).hexdigest()[:16]


def _canonical(value: Any) -> str:
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        value = {part.name: getattr(value, part.name) for part in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        parts = sorted((str(key), _canonical(part)) for key, part in value.items())
        return "{" + ";".join(f"{key}={part}" for key, part in parts) + "}"
    if isinstance(value, Quantity):
        return _canonical(list(value)) if np.ndim(value.magnitude) else write(value, digits=6)
    if isinstance(value, list | tuple):
        return "[" + ";".join(_canonical(part) for part in value) + "]"
    if value is None or isinstance(value, str | date | bool | int):
        return repr(value)
    if isinstance(value, float):
        return f"{value:.6g}"
    raise Problem(f"An answer can remember quantities, numbers, words and dates; {value!r} is none of these.")
