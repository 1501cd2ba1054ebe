"""Tasks as a calendar that phones and computers read: the open iCalendar format, RFC 5545."""

import datetime
import unicodedata
import uuid
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TypeAlias

from stilltank.files import write_atomically
from stilltank.science.calendar import TASK_KINDS, Task
from stilltank.units import Problem, Unreadable

from ..given import quoted
from .parts import cautions, named_file

Made: TypeAlias = datetime.date | datetime.datetime | str
_PRODUCT = "-//Still Tank Workbook//Tasks of a tank//EN"
_LINE = 75  # octets of a line at most, without its end
# Names the events; any fixed one will do, and another would make them new events in everybody's calendar.
_NAMESPACE = uuid.UUID("6f0d7a0e-6c1c-4c53-9a55-0f6f1d2b9b1d")


def calendar_text(tasks: Iterable[Task] | Mapping[str, Iterable[Task]], made: Made, name: str = "") -> str:
    """Write tasks as the text of an iCalendar file, each as an all-day event.

    Parameters
    ----------
    tasks : iterable of Task, or mapping of str to iterable of Task
        Such as ``calendar.tasks`` gives; those of several tanks by their names.
    made : datetime, date or str
        When the calendar was made: a time with its zone, or a date, which counts as midnight UTC; a text is ISO. It is
        never read from the clock, so the same tasks give the same text.
    name : str
        The name of the tank, to stand before each title; none when empty. Several tanks have their own.

    Returns
    -------
    str
        A whole calendar. A task keeps its identifier, so reading the file again does not double it.

    Raises
    ------
    Problem
        There are no tasks, something is no Task, a time has no zone, or a text holds a control character.
    Unreadable
        ``made`` cannot be understood.

    Notes
    -----
    Lines end in CR LF and are folded at 75 octets. Commas, semicolons, backslashes and line breaks are escaped. There
    are no alarms; each calendar program sets its own.

    References
    ----------
    RFC 5545, sections 3.1 (folding), 3.3.11 (escaping), 3.6.1 (events), 3.8.2.2 (the end is the day after).

    Examples
    --------
    >>> from stilltank.science import calendar
    >>> todo = calendar.tasks(calendar.schedule("rocket", "new-york", sow="2026-04-01"))
    >>> calendar_text(todo, "2026-03-01").splitlines()[6:9]
    ['DTSTAMP:20260301T000000Z', 'DTSTART;VALUE=DATE:20260401', 'DTEND;VALUE=DATE:20260402']
    """
    stamp = _stamp(made)
    if not isinstance(name, str):
        raise Problem(f"The name of a tank is text; {quoted(name)} is none.")
    listed = [
        (whose, task)
        for whose, several in (tasks.items() if isinstance(tasks, Mapping) else ((name, tasks),))
        for task in _several(several)
    ]
    if not listed:
        raise Problem("There are no tasks to put into a calendar.")
    lines = ["BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{_PRODUCT}", "CALSCALE:GREGORIAN"]
    seen: Counter[str] = Counter()
    for whose, task in listed:
        if not isinstance(whose, str):
            raise Problem(f"The name of a tank is text; {quoted(whose)} is none.")
        key = "\n".join((whose, task.kind, task.title, str(task.batch), str(task.date)))
        lines += _event(task, whose, stamp, _identifier(key, seen[key]))
        seen[key] += 1
    return "".join(f"{_fold(line)}\r\n" for line in [*lines, "END:VCALENDAR"])


def calendar_file(
    tasks: Iterable[Task] | Mapping[str, Iterable[Task]], path: str | Path, made: Made, name: str = ""
) -> Path:
    """Write tasks as an iCalendar file, to open with a calendar program.

    Parameters
    ----------
    tasks : iterable of Task, or mapping of str to iterable of Task
        Such as ``calendar.tasks`` gives; those of several tanks by their names.
    path : str or Path
        Where to write; the ending .ics is added when there is none.
    made : datetime, date or str
        When the calendar was made, as in `calendar_text`.
    name : str
        The name of the tank, to stand before each title; none when empty.

    Returns
    -------
    Path
        The file that was written.

    Raises
    ------
    Problem
        The tasks cannot be written, as in `calendar_text`, or the folder cannot.
    Unreadable
        The path names no file, or ``made`` cannot be understood.

    Examples
    --------
    >>> import tempfile
    >>> from stilltank.science import calendar
    >>> todo = calendar.tasks(calendar.schedule("rocket", "new-york", sow="2026-04-01"))
    >>> calendar_file(todo, Path(tempfile.mkdtemp()) / "my-season", "2026-03-01").name
    'my-season.ics'
    """
    target = named_file(path, "calendar_file", "my-season", ".ics")
    write_atomically(target, calendar_text(tasks, made, name))
    return target


def _several(tasks: object) -> list[Task]:
    """Tasks as a list, one alone too; nothing else."""
    several = [tasks] if isinstance(tasks, Task) else tasks
    if not isinstance(several, Iterable):
        raise Problem(f"A calendar takes tasks, such as those of calendar.tasks; {quoted(tasks)} is none.")
    found = list(several)
    if wrong := [task for task in found if not isinstance(task, Task)]:
        raise Problem(f"A calendar takes tasks, such as those of calendar.tasks; {quoted(wrong[0])} is none.")
    return found


def _event(task: Task, name: str, stamp: str, identifier: str) -> list[str]:
    batch = f" (sowing {task.batch})" if task.batch > 1 else ""
    title = f"{name}: {task.title}{batch}" if name else f"{task.title}{batch}"
    after = task.until + datetime.timedelta(days=1)  # the end of an all-day event is the day after it
    return [
        "BEGIN:VEVENT",
        f"UID:{identifier}",
        f"DTSTAMP:{stamp}",
        f"DTSTART;VALUE=DATE:{task.date:%Y%m%d}",
        f"DTEND;VALUE=DATE:{after:%Y%m%d}",
        f"SUMMARY:{_escaped(title)}",
        f"DESCRIPTION:{_escaped(_told(task))}",
        f"CATEGORIES:{_escaped(TASK_KINDS.get(task.kind, task.kind))}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _told(task: Task) -> str:
    return f"{task.text} {cautions()['emptying']['short']}" if task.kind == "empty" else task.text


def _identifier(key: str, again: int) -> str:
    return str(uuid.uuid5(_NAMESPACE, f"{key}\n{again}" if again else key))


def _stamp(made: Made) -> str:
    if isinstance(made, str):
        try:
            made = (
                datetime.datetime.fromisoformat(made) if len(made) > 10 else datetime.date.fromisoformat(made)
            )
        except ValueError:
            raise Unreadable(
                f'{made!r} is no time. Write a date, as in "2026-03-01", or with time and zone '
                '"2026-03-01T12:00+00:00".'
            ) from None
    if isinstance(made, datetime.datetime):
        if made.tzinfo is None:
            raise Problem(f"The time {made} needs its zone: write {made.isoformat()}+00:00 for UTC.")
        return f"{made.astimezone(datetime.UTC):%Y%m%dT%H%M%SZ}"
    if isinstance(made, datetime.date):
        return f"{made:%Y%m%d}T000000Z"
    raise Unreadable(
        f'A calendar needs the day on which it was made, such as "2026-03-01"; {quoted(made)} is none.'
    )


def _escaped(text: str) -> str:
    """Text as RFC 5545 writes it."""
    plain = text.replace("\r\n", "\n").replace("\r", "\n")
    bad = [sign for sign in plain if unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\t"]
    if bad:
        raise Problem(
            f"The text {text!r} holds a control character, {bad[0]!r}; no calendar can. Take it out."
        )
    for sign in ("\\", ";", ","):
        plain = plain.replace(sign, f"\\{sign}")
    return plain.replace("\n", "\\n")


def _fold(line: str) -> str:
    """A line in pieces of at most 75 octets, never within a letter; each further piece begins with a space."""
    pieces, piece, size = [], "", 0
    for letter in line:
        long = len(letter.encode())
        if size + long > _LINE:
            pieces.append(piece)
            piece, size = " ", 1
        piece, size = piece + letter, size + long
    return "\r\n".join([*pieces, piece])
