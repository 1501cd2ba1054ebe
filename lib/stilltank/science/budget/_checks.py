"""What is refused, and how it is said: in the unit that the person used."""

import math
from collections.abc import Mapping
from datetime import date

import numpy as np
import pint

from stilltank.science.sky import day_of
from stilltank.tables import load
from stilltank.units import (
    OutOfRange,
    Problem,
    Q,
    Quantity,
    UnitNeeded,
    Unreadable,
    magnitude,
    one_value,
    pure_number,
    whole_number,
    within,
)

_LONGEST = 60  # signs of what was given that a sentence repeats


def shown(given: object) -> str:
    """What was given, short enough for a sentence."""
    if given is None:
        return "nothing"
    if isinstance(given, int) and abs(given) >= 10**_LONGEST:
        return f"a number of more than {_LONGEST} digits"
    if isinstance(given, (str, int, float, Quantity)) and np.ndim(given) == 0:
        words = repr(given) if isinstance(given, str) else f"{given}"
        return words if len(words) <= _LONGEST else f"{words[:_LONGEST]}..."
    name = type(given).__name__
    return f"{'an' if name[0].lower() in 'aeiou' else 'a'} {name}"


def told(plain: float, unit: str, given: object = None, shown_in: str = "") -> str:
    """A plain number in ``unit`` for people: in the unit of ``given`` where that has one, else in ``shown_in``."""
    one = given[0] if isinstance(given, (list, tuple)) and given else given
    alike = isinstance(one, pint.Quantity) and one.is_compatible_with(unit)
    value = Q(plain, unit).to(one.units if alike else shown_in or unit)  # type: ignore[union-attr]
    number = f"{value.magnitude:.4g}"
    symbol = f"{value.units:~P}".replace("gal", "US gal")
    return f"{number} {symbol}".strip()


def between(given: object, plain: float, unit: str, low: float, high: float, sentence: str) -> None:
    """Refuse a plain number outside ``low`` to ``high``.

    ``sentence`` may use ``{value}``, ``{low}`` and ``{high}``: they are written in the unit of ``given``.
    """
    if low <= plain <= high:
        return
    words = {"value": plain, "low": low, "high": high}
    raise OutOfRange(sentence.format(**{name: told(each, unit, given) for name, each in words.items()}))


def one_size(given: object, unit: str, name: str) -> float:
    """One quantity as a plain number in ``unit``."""
    return one_value(_no_list_of_lists(given, name), unit, name, "A water budget")


def _no_list_of_lists(given: object, name: str) -> object:
    if isinstance(given, (list, tuple)) and any(isinstance(one, (list, tuple)) for one in given):
        raise UnitNeeded(
            f"A list of lists cannot be meant for `{name}`. Give one quantity, or a list of them."
        )
    return given


def whole(given: object, low: int, high: int, sentence: str) -> int:
    """A whole number from ``low`` to ``high``; ``sentence`` may use ``{value}``."""
    try:
        return whole_number(given, low, high, "")
    except OutOfRange:
        raise OutOfRange(sentence.format(value=shown(given))) from None


def positive_length(given: object, name: str) -> pint.Quantity | None:
    """A length above zero as it was given, or None where nothing was."""
    if given is None:
        return None
    plain = one_size(given, "m", name)
    between(given, plain, "m", 1e-8, np.inf, f"A {name} of {{value}} is not possible. Write one above 0.")
    return scalar(given, plain, "m")


def scalar(given: object, plain: float, unit: str) -> pint.Quantity:
    """One quantity as it was given; a list or an array of one as the number it holds."""
    alone = isinstance(given, pint.Quantity) and np.ndim(given.magnitude) == 0
    return given if alone else Q(plain, unit)  # type: ignore[return-value]


def one_day(given: object, what: str) -> np.datetime64:
    """One day; ``what`` it is goes into the sentence."""
    if isinstance(given, (Quantity, list, tuple, np.ndarray, Mapping)):
        raise Unreadable(f'{what} is a date, such as "2027-05-10"; you gave {shown(given)}.')
    try:
        return day_of(given)  # type: ignore[arg-type]
    except Problem as error:
        raise type(error)(f"{what}: {error}") from None


def plain_date(day: np.datetime64) -> date:
    """A day as Python holds it."""
    return day.astype("datetime64[D]").astype(object)


def one_share(given: object, name: str) -> float:
    """A share of the seasons: a plain number from 0 to 1."""
    plain = np.asarray(None if isinstance(given, (Quantity, list, tuple)) else given)
    if plain.dtype.kind not in "iuf":
        raise Unreadable(f"A share of the seasons is a plain number such as 0.5; you gave {shown(given)}.")
    if plain.ndim:
        raise Problem(f"Take one share of the seasons for `{name}`; you gave {plain.size}.")
    within(plain, 0, 1, "A share of the seasons lies between 0 and 1; {value:g} does not.")
    return float(plain)


def one_number(given: object, name: str) -> float:
    """One plain number, or one quantity without a dimension."""
    if isinstance(given, Quantity):
        return one_size(given, "dimensionless", name)
    plain = pure_number(_no_list_of_lists(given, name), 0.5, name, "A water budget")
    if np.ndim(plain):
        raise Problem(f"A water budget takes one value for `{name}`; you gave {np.size(plain)}.")
    return float(plain)


def strength_share(given: object) -> float:
    """Plain strength of what is poured in, 0 to 10 times the recipe."""
    plain = one_number(given, "strength")
    within(plain, 0, 10, "A strength of {value:g} times the recipe: write 0 (plain water) to 10.")
    return plain


def certainty_share(given: object) -> float:
    """The certainty as given or usual, plain."""
    entry = load("budget")["certainty", "usual"]
    usual, (low, high) = float(entry.quantity), map(float, entry.range)
    plain = pure_number(
        usual if given is None else _no_list_of_lists(given, "certainty"),
        usual,
        "certainty",
        "A water budget",
    )
    if np.ndim(plain):
        raise Problem(f"A water budget takes one certainty; you gave {np.size(plain)}.")
    within(
        plain,
        low,
        high,
        f"A certainty of {{value:g}}: write {low:g} to {high:g}. Nothing drawn from a record is surer than that.",
    )
    return float(plain)


def dated_volumes(given: object) -> dict[np.datetime64, float]:
    """Litres by day from a mapping of dates to volumes; two of one day add up."""
    if not isinstance(given, Mapping):
        raise Problem(
            'Top-ups are written as {"2027-06-01": Q(3, "L")}, a date and a volume each; you gave '
            f"{shown(given)}."
        )
    litres: dict[np.datetime64, float] = {}
    for when, volume in given.items():
        day = one_day(when, "A top-up")
        plain = one_size(volume, "L", f"top-up on {day}")
        between(volume, plain, "L", 0, math.inf, f"A top-up of {{value}} on {day} is not possible.")
        litres[day] = litres.get(day, 0.0) + plain
    return litres


def daily_et(given: object, days: int) -> np.ndarray:
    """A demand that is given rather than computed, as plain mm, one value a day."""
    plain = magnitude(_no_list_of_lists(given, "reference_et"), "mm/day", "reference_et", "A water budget")
    worst = float(np.max(np.where(np.asarray(plain) < 0, np.inf, plain), initial=0.0))
    if worst > 30:
        bad = float(np.ravel(plain)[np.argmax((np.ravel(plain) < 0) | (np.ravel(plain) > 30))])
        between(
            given,
            bad,
            "mm/day",
            0,
            30,
            "A reference evapotranspiration of {value} is not possible. Write {low} to {high}.",
        )
    if np.ndim(plain) and np.shape(plain) != (days,):
        raise Problem(f"{np.size(plain)} values of reference_et for {days} days. Give one, or one a day.")
    return np.broadcast_to(plain, (days,))
