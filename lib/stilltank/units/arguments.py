"""Units at the door: a public function says which units it needs; inside, it computes with plain numbers."""

import functools
import inspect
import math
import numbers
from collections.abc import Callable
from typing import Any, ParamSpec, TypeVar

import numpy as np
import pint

from stilltank.problems import OutOfRange, Problem, UnitNeeded, Unreadable
from stilltank.registry import Q, ureg  # noqa: F401 (Q is used in the examples)

P = ParamSpec("P")
R = TypeVar("R")


# The words and the example of the sentence a person gets, by one unit of each kind.
_WORDS = {
    "cm": ("a length", 'Q(30, "cm")'),
    "m^2": ("an area", 'Q(0.24, "m^2")'),
    "L": ("a volume", 'Q(45, "L")'),
    "g": ("a mass", 'Q(36, "g")'),
    "mg/L": ("a mass in each litre", 'Q(150, "mg/L")'),
    "mmol/L": ("an amount in each litre", 'Q(5, "mmol/L")'),
    "mmol": ("an amount of substance", 'Q(5, "mmol")'),
    "g/mol": ("a molar mass", 'Q(101.1, "g/mol")'),
    "degC": ("a temperature", 'Q(20, "degC")'),
    "day": ("a time", 'Q(3, "day")'),
    "mm/day": ("a depth a day or a speed", 'Q(4, "mm/day")'),
    "mS/cm": ("a conductivity", 'Q(1.8, "mS/cm")'),
    "kPa": ("a pressure", 'Q(101.3, "kPa")'),
    "MJ/m^2/day": ("a radiation", 'Q(22, "MJ/m^2/day")'),
    "percent": ("a share or an angle", 'Q(80, "percent")'),
    "L/day": ("a volume a day", 'Q(0.3, "L/day")'),
    "umol/m^2/s": ("a light intensity", 'Q(200, "umol/m^2/s")'),
}
_KINDS = {ureg.Unit(unit).dimensionality: words for unit, words in _WORDS.items()}


def _shown(value: Any) -> str:
    """What was given, short enough for a sentence."""
    if value is None:
        return "nothing"
    if isinstance(value, str):
        return f"the text {value!r}"
    if isinstance(value, (int, float)):
        return f"{value!r} with no unit"
    if np.size(value) > 1:
        return f"{np.size(value)} values with no unit"
    return f"{value!s} with no unit"


def magnitude(value: Any, unit: str, name: str, function: str) -> Any:
    """Strip a quantity to plain numbers in ``unit``; refuse anything else with a sentence.

    Parameters
    ----------
    value : quantity, one number or an array; or a list of quantities
    unit : str
        The unit the caller computes in.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    float, or numpy array of float

    Raises
    ------
    UnitNeeded   no unit, or a unit of another kind
    OutOfRange   not a finite number

    Example
    -------
    >>> magnitude(Q(1.5, "L"), "mL", "volume", "example")
    1500.0
    """
    if isinstance(value, (list, tuple)) and value and all(isinstance(one, pint.Quantity) for one in value):
        return np.array([magnitude(one, unit, name, function) for one in value])
    if not isinstance(value, pint.Quantity):
        what, example = _KINDS.get(ureg.Unit(unit).dimensionality, ("a quantity", f'Q(1, "{unit}")'))
        hint = f" Text goes through read({value!r})." if isinstance(value, str) else ""
        raise UnitNeeded(
            f"{function} needs {what} for `{name}`, such as {example}. You gave {_shown(value)}.{hint}"
        )
    try:
        plain = value.m_as(unit)
    except pint.DimensionalityError as error:
        what, example = _KINDS.get(ureg.Unit(unit).dimensionality, ("a quantity", f'Q(1, "{unit}")'))
        other, _ = _KINDS.get(value.dimensionality, (f"a quantity in {value.units:P}", ""))
        if other == what:  # a step of a degree is no temperature
            other = "a difference of temperatures"
        raise UnitNeeded(
            f"{function} needs {what} for `{name}`, such as {example}. You gave {value:.6g~P}, which is {other}."
        ) from error
    plain = plain.astype(float) if np.ndim(plain) else float(plain)
    if not np.all(np.isfinite(plain)):
        raise OutOfRange(
            f"{function}: `{name}` has a value that is not a number. Leave gaps out, or fill them first."
        )
    return plain


def one_value(value: Any, unit: str, name: str, function: str) -> float:
    """Strip one quantity to a plain number, as ``magnitude`` does, and refuse several.

    Raises
    ------
    UnitNeeded   no unit, or a unit of another kind
    OutOfRange   not a finite number
    Problem      more than one value, or none

    Example
    -------
    >>> one_value(Q([20, 30], "cm"), "cm", "height", "example")
    Traceback (most recent call last):
    stilltank.problems.Problem: example takes one value for `height`; you gave 2.
    """
    found = magnitude(value, unit, name, function)
    if np.size(found) != 1:
        raise Problem(f"{function} takes one value for `{name}`; you gave {np.size(found)}.")
    return float(np.ravel(found)[0])


def pure_number(value: Any, example: float, name: str, function: str) -> Any:
    """A number that carries no unit, such as a pH or a share; one or an array; ``example`` is for the sentence.

    Raises Unreadable for a quantity, text, None, and what is not a finite number.

    Example
    -------
    >>> pure_number(5, 5.8, "target", "example")
    5.0
    """
    array = np.asarray(None if isinstance(value, pint.Quantity) else value)
    if array.dtype.kind not in "iuf" or not np.all(np.isfinite(array)):
        raise Unreadable(
            f"{function} needs for `{name}` a plain number such as {example:g}; {value!r} is not one."
        )
    return array.astype(float) if array.ndim else float(array)


def whole_number(value: Any, low: int, high: int, sentence: str) -> int:
    """A whole number from ``low`` to ``high``; ``sentence`` may use ``{value!r}``.

    Raises OutOfRange for any other number, and for what is no number.

    Example
    -------
    >>> whole_number(6.0, 1, 100, "A number of plants is whole and at least 1; {value!r} is not.")
    6
    """
    number = isinstance(value, numbers.Real) and not isinstance(value, bool)
    if not number or not low <= value <= high or value != int(value):
        raise OutOfRange(sentence.format(value=value))
    return int(value)


def takes(**units: str) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Declare the units a function computes in; its arguments then arrive as plain numbers in them.

    An argument whose default is None may be None. Arrays must fit each other by numpy's rules. The bare
    function stays reachable as ``function.__wrapped__``.

    Example
    -------
    >>> @takes(area="m^2", rise="m")
    ... def refill_volume(area, rise):
    ...     return Q(area * rise * 1000, "L")
    >>> refill_volume(Q(0.24, "m^2"), Q(2, "cm")).magnitude
    4.8
    """

    def decorate(function: Callable[P, R]) -> Callable[P, R]:
        signature = inspect.signature(function)
        unknown = set(units) - set(signature.parameters)
        if unknown:
            raise TypeError(f"{function.__name__} has no argument {', '.join(sorted(unknown))}")
        for unit in units.values():
            ureg.Unit(unit)  # a typing error in a declaration fails on import

        @functools.wraps(function)
        def with_units(*args: P.args, **kwargs: P.kwargs) -> R:
            bound = signature.bind(*args, **kwargs)
            sizes = {}
            for name, unit in units.items():
                optional = signature.parameters[name].default is None
                if name not in bound.arguments or (optional and bound.arguments[name] is None):
                    continue
                found = magnitude(bound.arguments[name], unit, name, function.__name__)
                bound.arguments[name], sizes[name] = found, np.shape(found)
            check_shapes(sizes, function.__name__)
            return function(*bound.args, **bound.kwargs)

        return with_units

    return decorate


def check_shapes(shapes: dict[str, tuple[int, ...]], function: str) -> None:
    """Refuse arrays that do not fit each other by numpy's rules.

    Raises Problem.

    Example
    -------
    >>> check_shapes({"tmin": (3,), "tmax": (2,), "base": ()}, "example")
    Traceback (most recent call last):
    stilltank.problems.Problem: example: 3 values of `tmin` and 2 of `tmax` do not fit. Give as many of each, or one.
    """
    try:
        np.broadcast_shapes(*shapes.values())
    except ValueError:
        counts = [f"{math.prod(shape)} values of `{name}`" for name, shape in shapes.items() if shape]
        counts = [counts[0], *(count.replace("values ", "") for count in counts[1:])]
        raise Problem(
            f"{function}: {' and '.join(counts)} do not fit. Give as many of each, or one."
        ) from None


def within(value: Any, low: float, high: float, sentence: str) -> None:
    """Refuse numbers outside ``low`` to ``high``; ``sentence`` may use ``{value}`` for the first bad one.

    Raises
    ------
    OutOfRange   any value lies outside, or is not a number

    Example
    -------
    >>> within(95.0, -90, 90, "A latitude lies between -90 and 90 degrees; {value:g} does not.")
    Traceback (most recent call last):
    stilltank.problems.OutOfRange: A latitude lies between -90 and 90 degrees; 95 does not.
    """
    values = np.atleast_1d(np.asarray(value, dtype=float))
    if not values.size or (values.min() >= low and values.max() <= high):  # with nan neither is true
        return
    bad = values[~((values >= low) & (values <= high))]
    if bad.size:
        raise OutOfRange(sentence.format(value=bad[0]))
