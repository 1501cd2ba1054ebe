"""The answers to a log's questions, kept in a small file beside it."""

import hashlib
import json
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path

from stilltank.files import alone_with
from stilltank.units import Problem


def key_of(kind: str, rows: Iterable[Iterable[str]]) -> str:
    """Make the name of a question from what it is about, so that a sorted or longer file keeps its answers.

    Parameters
    ----------
    kind : str
        Of the question.
    rows : sequence of sequence of str
        Cells of the rows it is about.

    Returns
    -------
    str
        The same for the same content in any order.

    Examples
    --------
    >>> key_of("rise", [("a",), ("b",)]) == key_of("rise", [("b",), ("a",)])
    True
    """
    content = sorted("\x1f".join(cell.strip() for cell in row if cell.strip()) for row in rows)
    return f"{kind}: {hashlib.sha256(chr(30).join(content).encode('utf-8', 'replace')).hexdigest()[:12]}"


def answers_file(path: Path | str) -> Path:
    """Name the file of answers beside a log.

    Parameters
    ----------
    path : path or str
        The log.

    Returns
    -------
    Path
        Beside it.

    Examples
    --------
    >>> answers_file("my-log.csv").name
    'my-log.answers.toml'
    """
    log = Path(path)
    return log.with_name(f"{log.stem}.answers.toml")


def load_answers(path: Path | str) -> dict[str, str]:
    """Read the answers that are kept beside a log.

    Parameters
    ----------
    path : path or str
        The log.

    Returns
    -------
    dict of str to str
        Answer by key of the question; empty where there are none yet.

    Raises
    ------
    Problem
        The file of answers cannot be read.

    Examples
    --------
    >>> load_answers("no-such-log.csv")
    {}
    """
    return _parsed(answers_file(path))


def keep_answer(path: Path | str, key: str, answer: str) -> None:
    """Keep an answer beside a log.

    Parameters
    ----------
    path : path or str
        The log, which stays as it is.
    key : str
        Of the question.
    answer : str
        The name of a choice, or what was typed.

    Raises
    ------
    Problem
        The file of answers cannot be read or written.

    Examples
    --------
    >>> import tempfile
    >>> log = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> keep_answer(log, "rise: 1", "water was added")
    >>> load_answers(log)
    {'rise: 1': 'water was added'}
    """
    target = answers_file(path)
    with alone_with(target) as write:
        write(_as_text({**_parsed(target), key: answer}))


def _parsed(target: Path) -> dict[str, str]:
    try:
        found = tomllib.loads(target.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, ValueError) as error:
        raise Problem(
            f"{target.name}, the answers to questions about this log, could not be read. Give it another name; the "
            "questions are then asked again."
        ) from error
    kept = found.get("answers", {})
    return {str(key): str(value) for key, value in kept.items()} if isinstance(kept, Mapping) else {}


def _as_text(answers: Mapping[str, str]) -> str:
    rows = [f"{json.dumps(key)} = {json.dumps(value)}" for key, value in answers.items()]
    return (
        "# Answers to what the workbook asked about this log. The log itself is never changed.\n\n[answers]\n"
        + ("\n".join(rows) + "\n")
    )
