"""Ground floor: one unit registry, units at the door, reading what people write, writing for people."""

from stilltank.problems import OutOfRange, Problem, UnitNeeded, Unreadable
from stilltank.registry import Q, Quantity, ureg

from .arguments import (
    check_shapes,
    instance_of,
    latitude_degrees,
    magnitude,
    one_of,
    one_value,
    only,
    pure_number,
    whole_number,
    within,
)
from .decorator import PlainNumber, takes
from .fingerprint import DIGEST, value_text
from .numerals import scientific
from .plausible import limits
from .reading import Reading, read, read_with_notes
from .ruler import on_ruler, ruler_range
from .sentences import all_of, capital
from .spellings import kinds
from .unclear import Choice, Unclear
from .wording import said, said_ends, speaking_of
from .writing import figure, whole_degrees, write, write_kind, write_range

__all__ = [
    "DIGEST",
    "Choice",
    "OutOfRange",
    "PlainNumber",
    "Problem",
    "Q",
    "Quantity",
    "Reading",
    "Unclear",
    "UnitNeeded",
    "Unreadable",
    "all_of",
    "capital",
    "check_shapes",
    "figure",
    "instance_of",
    "kinds",
    "latitude_degrees",
    "limits",
    "magnitude",
    "on_ruler",
    "one_of",
    "one_value",
    "only",
    "pure_number",
    "read",
    "read_with_notes",
    "ruler_range",
    "said",
    "said_ends",
    "scientific",
    "speaking_of",
    "takes",
    "ureg",
    "value_text",
    "whole_degrees",
    "whole_number",
    "within",
    "write",
    "write_kind",
    "write_range",
]
