"""A question back: what was typed can be read in more than one way, each shown with a size from everyday life."""

import math
from dataclasses import dataclass
from functools import cache

from stilltank.problems import Problem
from stilltank.registry import Q, Quantity  # noqa: F401 (Q is used in the examples)
from stilltank.tables import load

from .writing import figure

_MOST_COUNTED = 200  # "about 300 buckets" says nothing to anyone
_NEAR_KELVIN = 8


class Unclear(Problem):
    """What was typed can be read in more than one way, or only by guessing.

    Parameters
    ----------
    sentence : str
        The question back.
    choices : tuple of Choice
        The ways to read it.

    Examples
    --------
    >>> Unclear("Which gallon?").choices
    ()
    """

    def __init__(self, sentence: str, choices: tuple["Choice", ...] = ()):
        super().__init__(sentence)
        self.choices = choices


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to read a text.

    Parameters
    ----------
    quantity : Quantity
        What it would be.
    words : str
        To read aloud.
    size : str
        Compared with something from everyday life.
    text : str
        To type for it.

    Examples
    --------
    >>> print(Choice(Q(5, "mL"), "5 millilitres", "about one teaspoon", "5 mL"))
    5 millilitres, about one teaspoon
    """

    quantity: Quantity
    words: str
    size: str
    text: str

    def __str__(self) -> str:
        return f"{self.words}, {self.size}" if self.size else self.words


def ask(typed: str, choices: tuple[Choice, ...]) -> Unclear:
    """The question for a text with these choices.

    Parameters
    ----------
    typed : str
        What was typed.
    choices : tuple of Choice
        The ways to read it, at least one.

    Returns
    -------
    Unclear
        To be raised.

    Examples
    --------
    >>> print(ask("5 ML", (Choice(Q(5, "mL"), "5 millilitres", "", "5 mL"),)))
    Did you mean 5 millilitres? You typed "5 ML". Type 5 mL if so.
    """
    ways = "; or ".join(str(choice) for choice in choices)
    texts = " or ".join(choice.text for choice in choices)
    if len(choices) == 1:
        return Unclear(f'Did you mean {ways}? You typed "{typed}". Type {texts} if so.', choices)
    return Unclear(f'"{typed}" can be read as {ways}. Type {texts}.', choices)


@cache
def _things(kind: str) -> tuple[tuple[float, str], ...]:
    """The everyday things of a kind, smallest first, each with its size in base units."""
    found = [
        (float(entry.quantity.to_base_units().magnitude), item)
        for (item, prop), entry in load("everyday_sizes").items()
        if prop == kind
    ]
    return tuple(sorted(found))


def everyday(quantity: Quantity, kind: str) -> str:
    """Compare a quantity with something known.

    Parameters
    ----------
    quantity : Quantity
        One value.
    kind : str
        As in ``read``.

    Returns
    -------
    str
        Such as "about 2 large swimming pools"; empty where nothing fits.

    Notes
    -----
    The things stand in data/everyday_sizes.csv.

    Examples
    --------
    >>> everyday(Q(5e6, "L"), "volume"), everyday(Q(68, "degF"), "temperature")
    ('about 2 large swimming pools', 'about as warm as a warm room')
    """
    things = _things(kind)
    size = float(quantity.to_base_units().magnitude)
    if not things or not math.isfinite(size) or (size <= 0 and kind != "temperature"):
        return ""
    if kind == "temperature":
        near, item = min(things, key=lambda thing: abs(thing[0] - size))
        if abs(near - size) <= _NEAR_KELVIN:
            return f"about as warm as {item}"
        return f"{'hotter' if size > near else 'colder'} than {item}"
    near, item = min(things, key=lambda thing: abs(math.log(thing[0] / size)))
    times = size / near
    if kind == "conductivity":
        return f"like {item}" if 1 / 3 < times < 3 else f"far {'more' if times > 1 else 'less'} than {item}"
    if times < 0.5:  # rather several of the next smaller thing than a part of this one
        near, item = max((thing for thing in things if thing[0] <= size), default=(near, item))
        times = size / near
    if times > _MOST_COUNTED or times < 1 / _MOST_COUNTED:
        return f"far {'more' if times > 1 else 'less'} than one {item}"
    shown = figure(times, 1 if times < 1 else 2)
    return (
        f"about one {item}"
        if shown == "1"
        else f"about {shown} {item}s"
        if times > 1
        else f"about {shown} of one {item}"
    )
