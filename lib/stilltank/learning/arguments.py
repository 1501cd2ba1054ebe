"""What a function of these rooms was given, refused in one sentence where it is something else."""

import math
from pathlib import Path
from typing import TypeVar

from stilltank.units import Problem

T = TypeVar("T")
_SHOWN = 60  # characters of what was given that a sentence repeats


def briefly(value: object) -> str:
    """Return what was given as code shows it, cut to the length of a sentence.

    Parameters
    ----------
    value : object
        Anything.

    Returns
    -------
    str
        At most 63 characters.

    Examples
    --------
    >>> briefly("36 g"), len(briefly("g" * 1000))
    ("'36 g'", 63)
    """
    try:
        shown = repr(value)
    except Exception:  # such as a whole number of more digits than Python writes
        shown = f"something of the type {type(value).__name__}"
    return shown if len(shown) <= _SHOWN else f"{shown[:_SHOWN]}..."


def expect(value: object, kind: type[T], needed: str) -> T:
    """Return the value when it is of this kind, and refuse it when it is not.

    Parameters
    ----------
    value : object
        What was given.
    kind : type
        What it must be; True and False are no numbers.
    needed : str
        The first half of the sentence, such as ``"A code is a text"``.

    Returns
    -------
    object
        The value itself.

    Raises
    ------
    Problem
        It is something else.

    Examples
    --------
    >>> expect("7B-12", str, "A code is a text")
    '7B-12'
    """
    if not isinstance(value, kind) or (isinstance(value, bool) and kind is not bool):
        raise Problem(f"{needed}; you gave {briefly(value)}.")
    return value


def as_path(value: object, needed: str) -> Path:
    """Return a path from a text or a path, and refuse everything else.

    Parameters
    ----------
    value : object
        What was given.
    needed : str
        The first half of the sentence, such as ``"A folder is a text or a path"``.

    Returns
    -------
    pathlib.Path
        The same as a path.

    Raises
    ------
    Problem
        It is neither, or no file can have that name.

    Examples
    --------
    >>> as_path("my-work.toml", "A file is a text or a path").suffix
    '.toml'
    """
    if not isinstance(value, (str, Path)):
        raise Problem(f"{needed}; you gave {briefly(value)}.")
    path = Path(value)
    try:
        path.exists()
        fits = "\0" not in str(path)
    except OSError:  # too long
        fits = False
    if not fits:
        raise Problem(
            f"No file or folder can be called {briefly(str(value))}. Choose another name."
        ) from None
    return path


def count(value: object, needed: str) -> int:
    """Return a whole number from 0 on, and refuse everything else.

    Parameters
    ----------
    value : object
        What was given.
    needed : str
        The first half of the sentence, such as ``"An attempt is a whole number"``.

    Returns
    -------
    int
        The number; at most what a file can hold.

    Raises
    ------
    Problem
        It is no whole number, is below 0, or is too large for a file.

    Examples
    --------
    >>> count(2, "An attempt is a whole number")
    2
    """
    number = expect(value, int, needed)
    if not 0 <= number < 2**63:
        size = briefly(number) if math.log2(abs(number)) < 64 else "a much larger one"
        raise Problem(f"{needed} from 0 on; you gave {size}.")
    return number
