"""What a caller gave: quantities stripped to plain numbers, words and objects; anything else gets a sentence."""

import math
import numbers
from collections.abc import Mapping  # noqa: F401 (used in the examples)
from types import UnionType
from typing import Any, TypeVar, get_args

import numpy as np
import pint
from numpy.typing import ArrayLike

from stilltank.problems import OutOfRange, Problem, UnitNeeded, Unreadable
from stilltank.registry import Q, Quantity, ureg

from .types import PlainLike
from .wording import said, said_ends

T = TypeVar("T")

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
_CALLED: dict[Any, str] = {str: "text", int: "whole number", bool: "True or False"}
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


def magnitude(value: object, unit: str, name: str, function: str) -> PlainLike:
    """Strip a quantity to plain numbers in ``unit``; refuse anything else with a sentence.

    Parameters
    ----------
    value : Quantity or list of Quantity
        One number or an array, or a list of quantities.
    unit : str
        The unit the caller computes in.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    float or ndarray
        Plain numbers in ``unit``, of the shape of ``value``.

    Raises
    ------
    UnitNeeded
        No unit, or a unit of another kind.
    OutOfRange
        Not a finite number.

    Examples
    --------
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


def one_value(value: object, unit: str, name: str, function: str) -> float:
    """Strip one quantity to a plain number, and refuse several.

    Parameters
    ----------
    value : Quantity
        One quantity.
    unit : str
        The unit the caller computes in.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    float
        The number in ``unit``.

    Raises
    ------
    UnitNeeded
        No unit, or a unit of another kind.
    OutOfRange
        Not a finite number.
    Problem
        More than one value, or none.

    See Also
    --------
    magnitude : The same for one or many.

    Examples
    --------
    >>> one_value(Q([20, 30], "cm"), "cm", "height", "example")
    Traceback (most recent call last):
    stilltank.problems.Problem: example takes one value for `height`; you gave 2.
    """
    return only(magnitude(value, unit, name, function), name, function)


def only(value: PlainLike, name: str, function: str) -> float:
    """Hand on the one plain number of an argument; refuse several with a sentence.

    Parameters
    ----------
    value : float or array
        Plain numbers.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    float
        The number.

    Raises
    ------
    Problem
        More than one value, or none.

    Examples
    --------
    >>> only(np.array([5.8]), "target", "example")
    5.8
    """
    if np.size(value) != 1:
        raise Problem(f"{function} takes one value for `{name}`; you gave {np.size(value)}.")
    return float(np.ravel(value)[0])


def pure_number(value: object, example: float, name: str, function: str) -> PlainLike:
    """Hand on a number that carries no unit, such as a pH or a share.

    Parameters
    ----------
    value : float or array_like
        One number or an array.
    example : float
        For the sentence.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    float or ndarray
        Of the shape of ``value``.

    Raises
    ------
    Unreadable
        A quantity, text, None, or what is not a finite number.

    Examples
    --------
    >>> pure_number(5, 5.8, "target", "example")
    5.0
    """
    array = np.asarray(None if isinstance(value, pint.Quantity) else value)
    if array.dtype.kind not in "iuf" or not np.all(np.isfinite(array)):
        raise Unreadable(
            f"{function} needs for `{name}` a plain number such as {example:g}; {value!r} is not one."
        )
    return array.astype(float) if array.ndim else float(array)


def whole_number(value: object, low: int, high: int, sentence: str) -> int:
    """Hand on a whole number within limits.

    Parameters
    ----------
    value : int or float
        What the caller gave.
    low, high : int
        The ends that are still allowed.
    sentence : str
        What is said; it may use ``{value!r}``.

    Returns
    -------
    int
        The number.

    Raises
    ------
    OutOfRange
        Another number, or what is no number.

    Examples
    --------
    >>> whole_number(6.0, 1, 100, "A number of plants is whole and at least 1; {value!r} is not.")
    6
    """
    number: Any = value if isinstance(value, numbers.Real) and not isinstance(value, bool) else math.nan
    if low <= number <= high and number == int(number):
        return int(number)
    raise OutOfRange(sentence.format(value=value))


def instance_of(value: object, kind: type[T] | UnionType, name: str, function: str) -> T:
    """Hand on what is of this kind; refuse anything else with a sentence.

    Parameters
    ----------
    value : object
        What the caller gave.
    kind : type
        A class, or a union of several.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    object
        ``value``, as it is.

    Raises
    ------
    Unreadable
        Something else.

    Examples
    --------
    >>> instance_of(5, Mapping, "targets", "example")
    Traceback (most recent call last):
    stilltank.problems.Unreadable: example needs a Mapping for `targets`. You gave 5, which is none.
    """
    if isinstance(value, kind):
        return value
    kinds = get_args(kind) if isinstance(kind, UnionType) else (kind,)
    called = " or ".join(_CALLED.get(one) or getattr(one, "called", one.__name__) for one in kinds)
    article = "an" if called[0].lower() in "aeiou" else "a"
    raise Unreadable(
        f"{function} needs {article} {called} for `{name}`. You gave {_brief(value)}, which is none."
    )


def one_of(value: object, words: tuple[str, ...], name: str, function: str) -> str:
    """Hand on a word that is allowed; refuse anything else with a sentence.

    Parameters
    ----------
    value : str
        What the caller gave.
    words : tuple of str
        The words that are allowed.
    name, function : str
        The argument and the function, for the sentence.

    Returns
    -------
    str
        ``value``, as it is.

    Raises
    ------
    Unreadable
        Something else.

    Examples
    --------
    >>> one_of("shut", ("closed", "open"), "air", "example")
    Traceback (most recent call last):
    stilltank.problems.Unreadable: example takes for `air` "closed" or "open". You gave 'shut'.
    """
    if isinstance(value, str) and value in words:
        return value
    *most, last = (f'"{word}"' for word in words)
    allowed = f"{', '.join(most)} or {last}" if most else last
    raise Unreadable(f"{function} takes for `{name}` {allowed}. You gave {_brief(value)}.")


def latitude_degrees(latitude: object, function: str, *, single: bool = False) -> PlainLike:
    """A latitude as plain degrees; south negative.

    Parameters
    ----------
    latitude : Quantity
        In degrees or radians, south negative; one value or an array.
    function : str
        The function that asks, for the sentence.
    single : bool, default False
        Whether one latitude only makes sense.

    Returns
    -------
    float or ndarray
        In degrees.

    Raises
    ------
    UnitNeeded
        Not an angle; a percentage is none.
    OutOfRange
        Beyond a pole.

    Examples
    --------
    >>> latitude_degrees(Q(-22.9, "degree"), "example")
    -22.9
    """
    if not isinstance(latitude, Quantity) or latitude.units not in (ureg.degree, ureg.radian):
        raise UnitNeeded(
            f'{function} needs a latitude in degrees, such as Q(41.5, "degree"), south negative. '
            f"You gave {_brief(latitude)}."
        )
    degrees = (one_value if single else magnitude)(latitude, "degree", "latitude", function)
    within(degrees, -90, 90, f"{function}: a latitude lies between -90 and 90 degrees; {{value:g}} does not.")
    return degrees


def _brief(value: Any) -> str:
    """What was given, in a few words."""
    if isinstance(value, Quantity):
        return f"{value:.6g~P}" if np.ndim(value.magnitude) == 0 else f"{np.size(value.magnitude)} quantities"
    text = repr(value)
    return text if len(text) <= 60 else f"something of the kind {type(value).__name__}"


def check_shapes(shapes: dict[str, tuple[int, ...]], function: str) -> None:
    """Refuse arrays that do not fit each other by the rules of numpy.

    Parameters
    ----------
    shapes : dict of str to tuple
        The shape of each argument, by its name.
    function : str
        The function that asks, for the sentence of a refusal.

    Raises
    ------
    Problem
        They do not fit; the sentence counts the values of each.

    Examples
    --------
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


def within(
    value: ArrayLike, low: float, high: float, sentence: str, unit: str | tuple[str, str] | None = None
) -> None:
    """Refuse numbers outside ``low`` to ``high``.

    Parameters
    ----------
    value : array_like
        Plain numbers.
    low, high : float
        The ends that are still allowed.
    sentence : str
        What is said; it may use ``{value}`` for the first bad one, ``{low}`` and ``{high}``.
    unit : str or tuple of str, optional
        The unit of these numbers; the sentence then has them as quantities, in the person's system of units. A pair
        such as ``("m", "ft")`` holds the sentence to these two, metric and US: an altitude is no number of miles.

    Raises
    ------
    OutOfRange
        Any value lies outside, or is not a number.

    Examples
    --------
    >>> within(95.0, -90, 90, "A latitude lies between -90 and 90 degrees; {value:g} does not.")
    Traceback (most recent call last):
    stilltank.problems.OutOfRange: A latitude lies between -90 and 90 degrees; 95 does not.
    >>> within(1.2, 0, 0.3, "This tank has no level of {value}. Write {low} to {high}.", "m")
    Traceback (most recent call last):
    stilltank.problems.OutOfRange: This tank has no level of 1.2 m. Write 0 cm to 30 cm.
    """
    values = np.atleast_1d(np.asarray(value, dtype=float))
    if not values.size or (values.min() >= low and values.max() <= high):  # with nan neither is true
        return
    bad = values[~((values >= low) & (values <= high))]
    if bad.size:
        parts: dict[str, Any] = {"value": bad[0], "low": low, "high": high}
        if unit:
            own, us = (unit, "") if isinstance(unit, str) else unit
            least, most = said_ends(Q(low, own), Q(high, own), 4, us)
            parts = {"value": said(Q(bad[0], own), 4, us), "low": least, "high": most}
        raise OutOfRange(sentence.format(**parts))
