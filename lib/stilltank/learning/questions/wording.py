"""Words with numbers in them: templates whose quantities are written by ``units.write``."""

import string
from collections.abc import Mapping
from typing import Any

from ...units import Q, Quantity, write  # noqa: F401 (Q is used in the examples)
from ...units.writing import figure


class _Words(string.Formatter):
    """``{mass}``, ``{mass:4}`` (digits), ``{mass:US}`` (system), ``{mass:mg}`` (in this unit), or several of them."""

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, str):
            return value
        digits, system, unit = 3, "metric", ""
        for word in format_spec.split():
            if word.isdigit():
                digits = int(word)
            elif word in ("US", "both"):
                system = word
            else:
                unit = word
        if unit and isinstance(value, Quantity):
            return f"{figure(float(value.m_as(unit)), digits)} {unit}"
        return write(value, system, digits)


def fill(template: str, values: Mapping[str, Any]) -> str:
    """Write the values into a template.

    Parameters
    ----------
    template : str
        With names in braces; after a colon the digits, the system or the unit to write in.
    values : mapping of name to quantity, plain number or text

    Returns
    -------
    str

    Raises
    ------
    KeyError   the template names a value that is not there: a fault of the question, seen by its tests

    Example
    -------
    >>> fill("{volume} holds {mass:mg}", {"volume": Q(45, "L"), "mass": Q(4.5, "g")})
    '45 L holds 4500 mg'
    """
    return _Words().vformat(template, (), values)
