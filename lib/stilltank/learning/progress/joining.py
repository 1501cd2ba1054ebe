"""Joining work that was saved in two places: no attempt is lost, and a stored prediction stays."""

from typing import Any

GUESS = ("question", "kind", "typed")  # what makes a prediction the same prediction


def joined(table: str, new: Any, stored: Any) -> Any:
    """One entry that was changed in two places: no attempt is lost, and a stored prediction stays."""
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
    return {**stored, **new} if isinstance(new, dict) else new


def put(table: dict[str, Any], key: str, entry: Any) -> None:
    """Put an entry in; whoever holds the old one sees the new."""
    if isinstance(entry, dict) and key in table:
        if table[key] is not entry:
            table[key].clear()
            table[key].update(entry)
    else:
        table[key] = entry


def counted(number: int, word: str) -> str:
    """A number with its word: "1 question", "2 questions"."""
    return f"{number} {word}{'' if number == 1 else 's'}"
