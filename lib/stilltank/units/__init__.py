"""Ground floor: one unit registry, units at the door, reading what people write, writing for people."""

from .door import (
    OutOfRange,
    Problem,
    UnitNeeded,
    Unreadable,
    fitting,
    magnitude,
    pure_number,
    single,
    takes,
    whole_number,
    within,
)
from .reading import Reading, explain, read
from .registry import Q, Quantity, ureg
from .unclear import Choice, Unclear
from .writing import write, write_kind, write_range

__all__ = [
    "Choice",
    "OutOfRange",
    "Problem",
    "Q",
    "Quantity",
    "Reading",
    "Unclear",
    "UnitNeeded",
    "Unreadable",
    "explain",
    "fitting",
    "magnitude",
    "pure_number",
    "read",
    "single",
    "takes",
    "ureg",
    "whole_number",
    "within",
    "write",
    "write_kind",
    "write_range",
]
