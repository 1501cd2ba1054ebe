"""The numbers of a question, drawn from a learner's code: the same on every computer, for all time."""

import hashlib
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import pint

from ...units import Problem

_MOST_TRIALS = 500

Answer = pint.Quantity | float
"""The right answer to a question; a plain number for a pH, a ratio or a count."""
Drawn = pint.Quantity | float | str | tuple[object, ...]
"""A number of a problem, a word such as the name of a salt, or several numbers."""


class Numbers(dict[str, Any]):
    """The quantities of a problem by name; ``numbers.volume`` is short for ``numbers["volume"]``.

    Examples
    --------
    >>> numbers = Numbers(volume=45, mass=36)
    >>> numbers.volume, numbers.but(volume=60)["volume"]
    (45, 60)
    """

    def __getattr__(self, name: str) -> Any:
        try:
            return self[name]
        except KeyError:
            raise AttributeError(f"this problem has no number called {name!r}") from None

    def but(self, **changes: Drawn) -> "Numbers":
        """Return the same numbers with some replaced.

        Parameters
        ----------
        **changes
            The new values, by name.

        Returns
        -------
        Numbers
            A copy; these numbers stay as they are.

        Examples
        --------
        >>> Numbers(volume=45, mass=36).but(volume=60)
        {'volume': 60, 'mass': 36}
        """
        return Numbers(self, **changes)


def place(code: str, id: str, name: str, trial: int, count: int) -> int:
    """Which of ``count`` values a code gets, 0 to count - 1.

    The digest is used directly: random streams of libraries may change between versions, and Python's own
    hash of a text differs from run to run.

    Examples
    --------
    >>> [place(code, "mixing-dose", "volume", 0, 6) for code in ("A1", "A2", "7B-12")]
    [4, 2, 5]
    """
    digest = hashlib.sha256(f"{code}\n{id}\n{name}\n{trial}".encode()).digest()
    return int.from_bytes(digest, "big") % count


def draw(
    code: str,
    id: str,
    draws: Mapping[str, Sequence[Drawn]],
    sound: Callable[[Numbers], bool],
    known: dict[tuple[int, ...], bool] | None = None,
) -> Numbers:
    """Draw the numbers of a question for a code.

    Parameters
    ----------
    code : str
        In its one form, from ``learner_code``.
    id : str
        Of the question.
    draws : mapping of str to sequence of quantity, float or str
        The values that each number may take.
    sound : callable
        Says of numbers whether they may be used. The next trial follows from the code as well.
    known : dict, optional
        Remembers which draws are sound, for drawing for a whole class.

    Returns
    -------
    Numbers
        One value of each.

    Raises
    ------
    Problem
        No draw is sound. This is a fault of the question, which its tests see.

    Examples
    --------
    >>> draw("A1", "example", {"volume": (10, 20, 40)}, lambda numbers: True).volume
    10
    """
    known = {} if known is None else known
    for trial in range(_MOST_TRIALS):
        places = tuple(place(code, id, name, trial, len(values)) for name, values in draws.items())
        numbers = Numbers(
            {name: values[at] for (name, values), at in zip(draws.items(), places, strict=True)}
        )
        if places not in known:
            known[places] = sound(numbers)
        if known[places]:
            return numbers
    raise Problem(f"The question {id} has no sound numbers for {code}.")
