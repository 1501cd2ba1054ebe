"""What a function was given: quoted in a sentence, or refused with one."""

from collections.abc import Iterable
from typing import TypeVar

from stilltank.problems import Problem

ThingT = TypeVar("ThingT")
_LONGEST = 60  # letters of a value that a sentence has room for


def quoted(value: object) -> str:
    """Quote what was given, short enough for a sentence.

    Parameters
    ----------
    value : object
        Anything, also what cannot be printed.

    Returns
    -------
    str
        As Python writes it, cut where it is long.

    Examples
    --------
    >>> quoted("imperial"), quoted(10**5000)
    ("'imperial'", 'a value of the kind int')
    """
    try:
        text = repr(value)
    except Exception:  # whatever somebody's own object does, or a number with too many digits
        return f"a value of the kind {type(value).__name__}"
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."


def known_system(system: str) -> str:
    """Check that numbers can be shown in a system.

    Parameters
    ----------
    system : {"metric", "US"}
        The system of units.

    Returns
    -------
    str
        The system.

    Raises
    ------
    Problem
        There is no such system.

    Examples
    --------
    >>> known_system("US")
    'US'
    """
    if not isinstance(system, str) or system not in ("metric", "US"):
        raise Problem(f'Numbers are shown in "metric" or "US" units; {quoted(system)} is neither.')
    return system


def of_kind(value: object, kind: type[ThingT], needed: str) -> ThingT:
    """Check that something is of a kind.

    Parameters
    ----------
    value : object
        What was given.
    kind : type
        What it must be.
    needed : str
        The first half of the sentence for anything else: who needs what, with an example.

    Returns
    -------
    object of that kind
        The value.

    Raises
    ------
    Problem
        It is something else.

    Examples
    --------
    >>> of_kind("Tub A", str, 'A name is a text, such as "Tub A"')
    'Tub A'
    """
    if isinstance(value, type) or not isinstance(value, kind):
        raise Problem(f"{needed}; {quoted(value)} is not.")
    return value


def texts(values: Iterable[str], needed: str) -> list[str]:
    """Check that something is a row of texts.

    Parameters
    ----------
    values : iterable of str
        What was given.
    needed : str
        The first half of the sentence for anything else.

    Returns
    -------
    list of str
        The texts.

    Raises
    ------
    Problem
        It is no row, or one of it is no text.

    Examples
    --------
    >>> texts(("One.", "Two."), "Sentences are a list of texts")
    ['One.', 'Two.']
    """
    try:
        found = list(values)
    except TypeError:
        raise Problem(f"{needed}; {quoted(values)} is not.") from None
    return [of_kind(one, str, needed) for one in found]
