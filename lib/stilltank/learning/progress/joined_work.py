"""Joining work that was saved in two places: no attempt is lost, and a stored prediction stays."""

from collections.abc import Callable
from typing import Any

Entry = dict[str, Any] | str
"""What a table of a progress file holds under one name; a setting is a text."""

GUESS = ("question", "kind", "typed")  # what makes a prediction the same prediction


def joined(table: str, new: Entry, stored: Entry) -> Entry:
    """One entry that was changed in two places: no attempt is lost, and a stored prediction stays."""
    if isinstance(new, str) or isinstance(stored, str):
        return new
    if table == "predictions":
        same = all(new.get(key) == stored.get(key) for key in GUESS)
        return {**new, **stored} if same else stored
    if table == "answers":
        common = 0
        for first, second in zip(new["typed"], stored["typed"], strict=False):
            if first != second:
                break
            common += 1
        tail = new["typed"][common:]
        newer = new if tail or len(stored["typed"]) == common else stored
        older = stored if newer is new else new
        return {
            **older,
            **newer,
            "typed": stored["typed"] + tail,
            "hints": max(new["hints"], stored["hints"]),
        }
    if table == "chapters":
        return {**stored, **new, "round": max(new["round"], stored["round"])}
    return new


def merged(
    table: str,
    base: dict[str, Any],
    mine: dict[str, Any],
    kept: dict[str, Any],
    restarted: Callable[[str, Any], bool],
) -> dict[str, Any]:
    """A table as it is to be kept, from what both began with, what is here, and what the file holds now.

    What the file has lost since, because a folder that computers copy to each other went back to an older copy, is put
    back. Answers go only with a chapter that was started again: ``restarted`` says so of a question and its entry.
    """
    found = {}
    for key in [*kept, *(key for key in mine if key not in kept)]:
        before, here, there = (part.get(key) for part in (base, mine, kept))
        if table == "answers" and before is not None:
            if restarted(key, before):  # elsewhere
                here, before = here and _since(here, before), None
            elif here is None and there is not None:  # started again here
                there = _since(there, before)
        if here is None or there is None:
            entry = there if here is None else here
        elif here == there or there == before:
            entry = here
        elif table == "answers":
            entry = _both(before or {"typed": []}, here, there)
        elif here == before:
            entry = there
        else:
            entry = joined(table, here, there)
        if entry is not None:
            found[key] = entry
    return found


def _since(entry: dict[str, Any], base: dict[str, Any]) -> dict[str, Any] | None:
    """What was typed since; None where nothing was."""
    added = _added(entry["typed"], base["typed"])
    if added is None:  # typed afresh
        return entry
    return {**entry, "typed": added} if added else None


def _both(base: dict[str, Any], mine: dict[str, Any], kept: dict[str, Any]) -> Entry:
    here, there = (_added(entry["typed"], base["typed"]) for entry in (mine, kept))
    if here is None or there is None:  # one of them is older than what both began with
        return joined("answers", mine, kept)
    older, newer = (kept, mine) if here or (mine != base and not there) else (mine, kept)
    typed = [*base["typed"], *there, *here]
    return {**older, **newer, "typed": typed, "hints": max(mine["hints"], kept["hints"])}


def _added(typed: list[str], base: list[str]) -> list[str] | None:
    """The attempts after those of ``base``; None where these are not its beginning."""
    return typed[len(base) :] if typed[: len(base)] == base else None


def put(table: dict[str, Any], key: str, entry: Entry) -> None:
    """Put an entry in; whoever holds the old one sees the new."""
    if isinstance(entry, dict) and key in table:
        if table[key] is not entry:
            table[key].clear()
            table[key].update(entry)
    else:
        table[key] = entry


def counted(number: int, word: str) -> str:
    """Return a number with its word, which gets an s where there are several.

    Parameters
    ----------
    number : int
        How many.
    word : str
        What one is called.

    Returns
    -------
    str
        Such as "1 question" or "2 questions".

    Examples
    --------
    >>> counted(2, "question")
    '2 questions'
    """
    return f"{number} {word}{'' if number == 1 else 's'}"
