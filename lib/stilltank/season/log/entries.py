"""Writing in a log: a visit added, corrected or struck; all else in the file stays as it is."""

import dataclasses
import math
import os
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path

from stilltank.files import FileChanged, alone_with, whole_characters
from stilltank.tables import load, number
from stilltank.units import Problem, Q, Quantity, Unreadable

from .answers import key_of, load_answers
from .cells import blank, cell_of
from .columns import EVENTS, METHODS, STATUSES, WEIGHED_WITH, log_columns
from .grid import MEASURED, Grid, column_of, read_bytes
from .log_file import log_of
from .log_lines import LogLines
from .visits import Visit

_MOST = 500  # letters in a cell
_QUANTITIES = {
    "level": "cm",
    "volume": "L",
    "weight": "kg",
    "tilt": "degree",
    "wet length": "cm",
    "EC": "mS/cm",
    "water temperature": "degC",
    "rain": "mm",
    "added water": "L",
    "added mix": "L",
}
_FIELDS = {"EC": "conductivity", "pH": "ph"}
_WORDS = {"method": METHODS, "weighed with": WEIGHED_WITH}


def append(path: Path | str, visit: Visit | Mapping[str, str], *, system: str = "metric") -> int:
    """Add a visit to a log, or begin the log with it.

    Parameters
    ----------
    path : Path or str
        The file; it is made when it is not there.
    visit : Visit or mapping of str to str
        A visit, or its cells by column as one would write them: ``{"date": "2027-06-01", "level": "22.5"}``. A value
        without a unit has the unit that its column is given with, as in ``"level (in)"``; else that of the file.
    system : {"metric", "US"}
        The units of a new file, and of a column that the file does not have yet.

    Returns
    -------
    int
        The row of the visit in the file.

    Raises
    ------
    Problem
        There is no date or nothing was measured, a value cannot be read, the log has no such column or holds this very
        visit already, or the file cannot be written.
    Unreadable
        The file is no log.

    Notes
    -----
    The whole file is written beside the old one and then takes its place: a program that is killed leaves the old log
    or the new one. Two writers wait for each other. Separator, decimal mark, byte-order mark, letters and line ends
    stay those of the file. A missing column is added after the last heading, and rows before it stay short. A date that
    could be read with the day or the month first is refused; others with slashes are written with the year first.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> append(path, {"date": "2027-06-01", "level": "22.5"})
    2
    >>> append(path, {"date": "2027-06-04", "level (in)": "8", "note": "hot, dry"})
    3
    >>> print(path.read_text().splitlines()[-1])
    2027-06-04,,8 in,,,,,,,,,,,,,,,"hot, dry"
    """
    given = _cells_of(visit)
    with _opened(path, system) as log:
        row = log.written({}, given)
        number = log.lines.put(row)
        read = log.read_back(number, log.same(number, None))
        if isinstance(visit, Visit):
            _same_visit(visit, read)
    return number


def correct(path: Path | str, row: int | Visit, cells: Mapping[str, str], why: str = "") -> int:
    """Correct a visit: the old row says that it was corrected, and a new one is put under it.

    Parameters
    ----------
    path : Path or str
        The log.
    row : int or Visit
        The number of its row, or the visit as it was read: then a row that someone changed meanwhile is refused.
    cells : mapping of str to str
        What is different, by column; an empty text takes a value out.
    why : str
        The reason, for the note of the old row.

    Returns
    -------
    int
        The row of the new version.

    Raises
    ------
    Problem
        There is no such row, it does not count any more, nothing is different, or a value cannot be read.
    FileChanged
        The row is not the one that was read.
    Unreadable
        The file is no log.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = append(path, {"date": "2027-06-01", "level": "32.5"})
    >>> correct(path, 2, {"level": "22.5"}, why="misread")
    3
    """
    given = _cells_of(cells)
    with _opened(path, None) as log:
        number = log.counting(row)
        old = dict(enumerate(log.lines.cells(number)))
        if (place := log.lines.place("status")) is not None:
            old[place] = ""
        new = log.written(old, given)
        if [each.strip() for each in new] == [old.get(place, "").strip() for place in range(len(new))]:
            raise Problem(f"Nothing is different from row {number}. Type what should be there.")
        log.mark(number, "corrected", why)
        new += [""] * (len(log.lines.columns) - len(new))
        under = log.lines.put(new, number)
        log.read_back(under, log.same(under, number), number)
    return under


def strike(path: Path | str, row: int | Visit, why: str = "") -> None:
    """Strike a visit: its row stays in the file, and says that it does not count.

    Parameters
    ----------
    path : Path or str
        The log.
    row : int or Visit
        The number of its row, or the visit as it was read: then a row that someone changed meanwhile is refused.
    why : str
        The reason, for its note.

    Raises
    ------
    Problem
        There is no such row, or it does not count any more.
    FileChanged
        The row is not the one that was read.
    Unreadable
        The file is no log.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> _ = append(path, {"date": "2027-06-01", "level": "32.5"})
    >>> strike(path, 2, why="another tank")
    >>> "struck" in path.read_text()
    True
    """
    with _opened(path, None) as log:
        number = log.counting(row)
        log.mark(number, "struck", why)
        log.same(None, number)


@contextmanager
def _opened(path: Path | str, system: str | None) -> Iterator["_Writing"]:
    """Keep others away from a log, and write it when the block ends well; only an existing one without a system."""
    if not isinstance(path, (str, os.PathLike)):
        read_bytes(path)  # says what is wrong with it
    heads = ",".join(log_columns(system or "metric")) + "\n"
    with alone_with(path) as write:
        raw = read_bytes(path) if system is None or Path(path).exists() else b""
        if not raw.strip(b"\xef\xbb\xbf \t\r\n"):
            if system is None:
                raise Unreadable(f"{Path(path).name} holds no visit yet.")
            raw = heads.encode()
        log = _Writing(Path(path), LogLines(raw), system or "metric")
        yield log
        write(log.lines.raw())


class _Writing:
    """A log that is written in."""

    def __init__(self, path: Path, lines: LogLines, system: str):
        self.path, self.lines, self.before, self.system = path, lines, lines.grid, system

    def counting(self, row: int | Visit) -> int:
        """The number of a row that counts."""
        number = row.row if isinstance(row, Visit) else row
        whole = isinstance(number, int) and not isinstance(number, bool)
        found = self.before.rows.get(number) if whole else None
        if found is None:
            raise Problem(
                f"The log has no visit in row {number!r}. The heading is row {self.before.heading_row}."
            )
        cells = {
            column.heading: text for column, text in zip(self.lines.columns, found, strict=False) if text
        }
        if isinstance(row, Visit) and cells != dict(row.cells):
            raise FileChanged(
                f"Row {number} of {self.path.name} was changed meanwhile; it stays as it is. Read the log again."
            )
        if number in self.before.too_long:
            raise Problem(
                f"Row {number} has more cells than headings. Put it right in the file first, in a spreadsheet."
            )
        if (status := self._status(found)) in STATUSES:
            raise Problem(f"Row {number} was {status} already and does not count.")
        return number

    def _status(self, cells: tuple[str, ...]) -> str:
        place = self.lines.place("status")
        return "" if place is None or place >= len(cells) else cells[place].strip().lower()

    def written(self, old: Mapping[int, str], given: Mapping[str, str]) -> list[str]:
        """The cells of a row, in the order of the columns."""
        cells = {place: text for place, text in old.items() if place < len(self.lines.columns)}
        new: dict[int, str] = {}
        for key, text in given.items():
            column = column_of(key)
            name = column.name or key.strip()
            place = self.lines.place(name)
            if place is None and not text:
                continue
            if place is None and not column.name:
                listed = ", ".join(each.heading for each in self.lines.columns[:4])
                raise Problem(f'A log knows no column "{key}". It has {listed} and others.')
            if place is None:
                place = self.lines.head(self._heading(name))
            if name == "date":
                text = _day(text)
            if column.unit:
                text = _with_unit(text, name, column.unit, self.lines.columns[place].unit)
            if new.get(place):
                raise Problem(f'"{name}" is given twice. Leave one of them out.')
            new[place] = text
        row = [(cells | new).get(place, "") for place in range(len(self.lines.columns))]
        self._complete(row)
        return row

    def _heading(self, name: str) -> str:
        usual = [*log_columns(self.system), *_more_columns(self.system)]
        return next((each for each in usual if column_of(each).name == name), name)

    def _complete(self, row: list[str]) -> None:
        day = self.lines.place("date")
        if day is None or blank(row[day]):
            raise Problem("A visit needs its day. Type it, such as 2027-06-14.")
        named = zip(self.lines.columns, row, strict=True)
        if not any(column.name in MEASURED and not blank(text) for column, text in named):
            raise Problem("Nothing was measured on this visit. Type at least one reading, or what was done.")

    def mark(self, number: int, status: str, why: str) -> None:
        """Say in a row that it does not count, and why."""
        if not isinstance(why, str):
            raise Problem(f'The reason is a text, such as "misread"; {why!r} is none.')
        reason = " ".join(_one_line("the reason", why).split())
        named = {"status": status}
        cells = self.lines.cells(number)
        places = {name: self.lines.place(name) for name in ("status", "note")}
        held = {
            name: cells[place].strip() if place is not None and place < len(cells) else ""
            for name, place in places.items()
        }
        noted = "; ".join(each for each in (held["note"], held["status"], reason) if each)
        if noted != held["note"]:
            named["note"] = noted
        marks = {}
        for name, text in named.items():
            place = places[name]
            marks[self.lines.head(name) if place is None else place] = text
        self.lines.mark(number, marks)

    def same(self, added: int | None, marked: int | None) -> Grid:
        """The rows as they would be written; refuses where another one would not be read as before."""
        after = LogLines(self.lines.raw()).grid
        wide = len(self.lines.columns)
        before = {
            row + (added is not None and row >= added): cells for row, cells in self.before.rows.items()
        }
        changed = {added, marked}
        wanted, found = (
            {row: cells + ("",) * (wide - len(cells)) for row, cells in rows.items() if row not in changed}
            for rows in (before, after.rows)
        )
        if wanted != found or not changed - {None} <= after.rows.keys():
            raise Problem(
                f"Nothing was written in {self.path.name}: a quotation mark in it is not closed. Close it in the file "
                "first, or take it out."
            )
        return after

    def read_back(self, number: int, grid: Grid, old: int | None = None) -> Visit:
        """Read a new row; refuses what the log would ask about it, but for what it asks about the old version."""
        kept = {"gallon: all", *(key_of("no unit", [(name,)]) for name in _QUANTITIES)}
        answers = {key: answer for key, answer in load_answers(self.path).items() if key in kept}
        before: set[str] = set()
        if old is not None:
            alone = dataclasses.replace(self.before, rows={old: self.before.rows[old]}, too_long=())
            before = {_plain(each.sentence) for each in log_of(self.path, alone, answers).questions}
        cells = grid.rows[number]
        found = log_of(self.path, dataclasses.replace(grid, rows={number: cells}, too_long=()), answers)
        for question in found.questions:
            if _plain(question.sentence) not in before:
                raise Problem(_asked(question.kind, question.sentence, number, cells, grid))
        if not found.rows:
            raise Problem("This row would be read as a total. Type the day, such as 2027-06-14.")
        self._words_kept(cells, () if old is None else self.before.rows[old], found.rows[0])
        twin = next((each for each, other in grid.rows.items() if each != number and other == cells), None)
        if twin is not None:
            raise Problem(
                f"The log holds this very visit in row {twin}. If it is another one, type its time as well."
            )
        return found.rows[0]

    def _words_kept(self, row: Sequence[str], old: Sequence[str], read: Visit) -> None:
        """Refuse new words that reading would pass over, and values that no tank has."""
        held = [*old, *[""] * (len(row) - len(old))]
        texts = {
            column.name: text
            for column, text, before in zip(self.lines.columns, row, held, strict=True)
            if text != before
        }
        most = load("plausible")["reading", "conductivity"].range[1]
        if "EC" in texts and read.conductivity is not None and read.conductivity[1] > most:
            raise Problem(
                f'An EC of "{texts["EC"][:20]}" does not fit a tank, which has at most {most.m_as("mS/cm"):g} mS/cm. '
                "If the meter shows µS/cm, type that unit too."
            )
        warmest = Q(number("plausible", "weather", "highest temperature", "degC"), "degC")
        if (
            "water temperature" in texts
            and read.water_temperature is not None
            and read.water_temperature > warmest
        ):
            raise Problem(
                f'"{texts["water temperature"][:20]}" is too hot for a solution. If the thermometer shows °F, '
                "type that unit too."
            )
        for name, allowed in _WORDS.items():
            if not blank(texts.get(name, "")) and not getattr(read, name.replace(" ", "_")):
                raise Problem(f'"{name}" cannot be "{texts[name][:30]}". Choose from: {", ".join(allowed)}.')
        if not blank(texts.get("time", "")) and read.at is None:
            raise Problem(f'"{texts["time"][:20]}" is not a time of day. Type it such as 17:30.')
        for each in re.split(r"[;,]", texts.get("event", "")):
            if not blank(each) and " ".join(each.split()).lower() not in EVENTS:
                raise Problem(
                    f'"{each.strip()[:30]}" is not in the list of events. Type it as a note, or choose from: '
                    f"{', '.join(EVENTS)}."
                )
        strength = texts.get("mix strength", "")
        if not blank(strength) and not re.fullmatch(
            r"\d+(?:[.,]\d+)? ?%?|full|half|quarter|water", strength.lower()
        ):
            raise Problem(f'"{strength[:20]}" is not a strength. Type percent of the recipe, such as 50.')


def _more_columns(system: str) -> tuple[str, ...]:
    """Columns that a new log does not begin with, with their units."""
    metric = system == "metric"
    return (
        f"volume ({'L' if metric else 'US gal'})",
        "tilt (degree)",
        f"wet length ({'cm' if metric else 'in'})",
        "EC lights (mS/cm)",
    )


def _cells_of(visit: Visit | Mapping[str, str]) -> dict[str, str]:
    """What is to be written, by column."""
    if isinstance(visit, Visit):
        return _cells_of_visit(visit)
    if not isinstance(visit, Mapping):
        raise Problem('A visit is given by column, such as {"date": "2027-06-01", "level": "22.5"}.')
    for name, text in visit.items():
        if not isinstance(text, str):
            raise Problem(f'A cell of a log is text, such as "22.5"; "{name}" got {text!r}.')
        if column_of(str(name)).name == "status" and text.strip():
            raise Problem('"status" is written by correcting or striking a visit. Leave it out.')
    return {str(name): _one_line(f'"{name}"', text) for name, text in visit.items()}


def _one_line(what: str, text: str) -> str:
    if len(text) > _MOST or re.search(r"[\r\n\0]", text.strip()):
        raise Problem(f"{what[:1].upper()}{what[1:]} of a visit is one line of at most {_MOST} letters.")
    return whole_characters(text.strip())


def _cells_of_visit(visit: Visit) -> dict[str, str]:
    if not visit.counts:
        raise Problem("A visit that was struck or corrected cannot be added again.")
    if visit.day is None:
        raise Problem("A visit needs its day. Give it as day=, such as date(2027, 6, 14).")
    cells = {"date": visit.day.isoformat(), "tank": visit.tank, "observer": visit.observer}
    if visit.at is not None:
        cells["time"] = f"{visit.at:%H:%M}"
    for name, unit in _QUANTITIES.items():
        value = getattr(visit, _FIELDS.get(name, name.replace(" ", "_")))
        ends = value if isinstance(value, tuple) else (value, value)
        if value is not None:
            low, high = (f"{each.m_as(unit):.10g}" for each in ends)
            said = {"degC": "°C"}.get(unit, unit)
            cells[name] = f"{low} {said}" if low == high else f"{low}-{high} {said}"
    if visit.ph is not None:
        low, high = (f"{each:.10g}" for each in visit.ph)
        cells["pH"] = low if low == high else f"{low}-{high}"
    if visit.mix_strength != 1:
        cells["mix strength"] = f"{100 * visit.mix_strength:.10g} %"
    for name in ("plants", "stems cut", "heads cut"):
        count = getattr(visit, name.replace(" ", "_"))
        cells[name] = "" if count is None else str(count)
    cells |= {"event": "; ".join(visit.events), "method": visit.method, "weighed with": visit.weighed_with}
    return {name: _one_line(name, text) for name, text in (cells | {"note": visit.note}).items() if text}


def _same_visit(given: Visit, read: Visit) -> None:
    """Refuse a visit that holds more than a row can say."""
    for field in dataclasses.fields(Visit):
        if field.name in ("row", "cells", "status"):
            continue
        ours, theirs = getattr(given, field.name), getattr(read, field.name)
        if not _alike(ours, theirs):
            raise Problem(
                f"A row of a log cannot say {field.name}={ours}. Leave it out, or write it as a note."
            )


def _alike(ours: object, theirs: object) -> bool:
    if isinstance(ours, tuple) and isinstance(theirs, tuple):
        return len(ours) == len(theirs) and all(map(_alike, ours, theirs))
    if isinstance(ours, Quantity) and isinstance(theirs, Quantity):
        unit = str(ours.units)
        return math.isclose(ours.magnitude, theirs.m_as(unit), rel_tol=1e-6, abs_tol=1e-9)
    if isinstance(ours, float) and isinstance(theirs, float):
        return math.isclose(ours, theirs, rel_tol=1e-6)
    return ours == theirs


def _day(text: str) -> str:
    """A day as it is written: with the year first where the order of day and month could be asked about."""
    found = re.fullmatch(r"(\d{1,2})([-/])(\d{1,2})\2(\d{4}|\d{2})", text)
    if not found:
        return text
    first, second = int(found[1]), int(found[3])
    year = int(found[4]) + (2000 if len(found[4]) == 2 else 0)
    if first != second and max(first, second) <= 12:
        raise Problem(
            f'"{text}" could be read with the day or the month first. Type the year first: '
            f"{year}-{first:02}-{second:02} or {year}-{second:02}-{first:02}."
        )
    month, day = min(first, second), max(first, second)
    return f"{year}-{month:02}-{day:02}"


def _with_unit(text: str, name: str, given: str, here: str) -> str:
    """A cell under a heading with another unit; a cell with a unit of its own stays as it is."""
    if blank(text) or name not in _QUANTITIES or re.search(r"[^\W\d_]|[\"°%]", text):
        return text
    meant, read = (cell_of(text, name, unit) for unit in (given, here))
    if meant.low is None:
        return text
    unit = _QUANTITIES[name]
    same = read.low is not None and math.isclose(read.low.m_as(unit), meant.low.m_as(unit), abs_tol=1e-9)
    return text if same else f"{text} {given}"


def _plain(sentence: str) -> str:
    """A sentence about a row, whatever its number."""
    return re.sub(r"\b[Rr]ow \d+", "row", sentence)


def _asked(kind: str, sentence: str, number: int, cells: tuple[str, ...], grid: Grid) -> str:
    """What a log would ask about a row, as it is said to the person who writes it."""
    texts = {
        column.name: text for column, text in zip(grid.columns, cells, strict=False) if text and column.name
    }
    if kind == "no unit":
        name = next(each for each in texts if f'"{each}"' in sentence)
        units = "cm or in" if name in ("level", "wet length") else "its unit"
        return f'The heading of "{name}" names no unit. Type {texts[name]} with {units}.'
    if kind == "which gallon":
        return "Which gallon? Type US gal (3.785 L) or imperial gal (4.546 L)."
    said = re.sub(rf"^Row {number}[:,] ", "", sentence)
    return said[:1].upper() + said[1:] if not said.startswith("pH") else said
