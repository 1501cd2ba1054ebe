"""Words with numbers in them: templates whose quantities are written by ``units.write_kind``."""

import string
from collections.abc import Mapping
from typing import Any

from stilltank.units import figure

from ...units import Q, Quantity, write_kind  # noqa: F401 (Q is used in the examples)
from ..arguments import expect

_KINDS = ("charge", "alkalinity")


class _Words(string.Formatter):
    """``{mass}``, ``{mass:4}`` (digits), ``{mass:US}`` (system), ``{mass:mg}`` (in this unit), ``{report:alkalinity}``
    (as one of this kind), or several of them."""

    def format_field(self, value: Any, format_spec: str) -> str:
        if isinstance(value, str):
            return value
        digits, system, unit, kind = 3, "metric", "", ""
        for word in format_spec.split():
            if word.isdigit():
                digits = int(word)
            elif word in ("US", "both"):
                system = word
            elif word in _KINDS:
                kind = word
            else:
                unit = word
        if unit and isinstance(value, Quantity):
            return f"{figure(float(value.m_as(unit)), digits)} {unit}"
        return write_kind(value, kind, system, digits)


def fill(template: str, values: Mapping[str, object]) -> str:
    """Write the values into a template.

    Parameters
    ----------
    template : str
        With names in braces, and after a colon the digits, the system, the unit or the kind to write in.
    values : mapping of str to quantity, float or str
        The value of each name.

    Returns
    -------
    str
        The text with the values in it.

    Raises
    ------
    Problem
        The template is no text.
    KeyError
        The template names a value that is missing. This is a fault of the question, which its tests see.

    Examples
    --------
    >>> fill("{volume} holds {mass:mg}", {"volume": Q(45, "L"), "mass": Q(4.5, "g")})
    '45 L holds 4500 mg'
    """
    expect(template, str, "A template is a text")
    return _Words().vformat(template, (), values)
