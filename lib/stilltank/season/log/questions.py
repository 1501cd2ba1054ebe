"""What a log asks about: an odd entry, what it may mean, and the answers kept beside the log."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Choice:
    """One answer to a question about a log.

    Parameters
    ----------
    name : str
        Tells it apart in the file of answers, such as "month first".
    words : str
        As a button says it.
    cells : mapping of int to mapping of str to str
        What the answer puts in place of cells, by row and heading; nothing is changed in the file.

    Examples
    --------
    >>> Choice(name="as written", words="It is right as it stands.").cells
    {}
    """

    name: str
    words: str
    cells: Mapping[int, Mapping[str, str]] = field(default_factory=dict, hash=False)


@dataclass(frozen=True, kw_only=True)
class Question:
    """Something odd in a log: what was read, what does not fit, what it may mean.

    Parameters
    ----------
    key : str
        Stands for the question, whatever rows come before: kind and content of the rows it is about.
    kind : str
        Such as "above the hole"; equal kinds are put together.
    rows : tuple of int
        The rows it is about, the heading being row 1.
    sentence : str
        At most 30 words.
    choices : tuple of Choice
        What may be answered; the doubtful value stays out until then.
    typed : str, optional
        What to type where no choice fits, such as "litres"; empty where nothing can be typed.

    Examples
    --------
    >>> Question(key="a", kind="rise", rows=(4,), sentence="Was water added?").choices
    ()
    """

    key: str
    kind: str
    rows: tuple[int, ...]
    sentence: str
    choices: tuple[Choice, ...] = ()
    typed: str = ""
