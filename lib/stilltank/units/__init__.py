"""Ground floor: one unit registry, units at the door, reading what people write, writing for people."""

from .door import OutOfRange, Problem, UnitNeeded, Unreadable, magnitude, takes, within
from .registry import Q, Quantity, ureg
from .writing import write, write_range

__all__ = [
    "OutOfRange",
    "Problem",
    "Q",
    "Quantity",
    "UnitNeeded",
    "Unreadable",
    "magnitude",
    "takes",
    "ureg",
    "within",
    "write",
    "write_range",
]
