"""Words put together as a sentence needs them."""

from collections.abc import Sequence

from stilltank.problems import Unreadable


def capital(words: str) -> str:
    """Begin with a capital letter, and leave the rest as it is.

    Parameters
    ----------
    words : str
        A sentence, or its beginning.

    Returns
    -------
    str
        The same.

    Raises
    ------
    Unreadable
        This is no text.

    Examples
    --------
    >>> capital("pH of the tank"), capital("three cups")
    ('PH of the tank', 'Three cups')
    """
    if not isinstance(words, str):
        raise Unreadable(f'A sentence is a text, such as "three cups"; {words!r} is none.')
    return words[:1].upper() + words[1:]


def all_of(words: Sequence[str]) -> str:
    """List several things with *and* before the last.

    Parameters
    ----------
    words : list of str
        The things.

    Returns
    -------
    str
        Empty where there is none.

    Raises
    ------
    Unreadable
        These are no texts.

    Examples
    --------
    >>> all_of(["K"]), all_of(["N", "P", "K"])
    ('K', 'N, P and K')
    """
    if not isinstance(words, (list, tuple)):
        raise Unreadable(f'Several things are a list of texts, such as ["N", "P"]; {words!r} is none.')
    several = list(words)
    if wrong := [one for one in several if not isinstance(one, str)]:
        raise Unreadable(f'Several things are a list of texts, such as ["N", "P"]; {wrong[0]!r} is no text.')
    return " and ".join([", ".join(several[:-1]), several[-1]] if len(several) > 1 else several)
