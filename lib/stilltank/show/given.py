"""What a function was given: quoted in a sentence, or refused with one."""

from stilltank.problems import Problem

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
