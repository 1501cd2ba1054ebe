"""Writing in a log: a visit added, corrected or struck; all else in the file stays as it is."""

import csv
import io
from collections.abc import Mapping
from pathlib import Path

from stilltank.files import alone_with
from stilltank.units import Problem, Unreadable

from .columns import log_columns
from .grid import Column, Grid, column_of, grid_of, text_of

_MOST = 500  # letters in a cell


def append(path: Path | str, cells: Mapping[str, str], *, system: str = "metric") -> int:
    """Add a visit to a log, or begin the log with it.

    Parameters
    ----------
    path : Path or str
        The file; it is made when it is not there.
    cells : mapping of str to str
        What was read, by column, as one would write it: ``{"date": "2027-06-01", "level": "22.5"}``. A value without
        a unit is in that of the heading.
    system : {"metric", "US"}
        The units of a new file.

    Returns
    -------
    int
        The row of the visit in the file.

    Raises
    ------
    Problem
        No date or nothing measured, a column the log does not know, or the file cannot be written.
    Unreadable
        The file is no log.

    Notes
    -----
    The whole file is written anew beside the old one, which is then replaced: a program that is killed leaves the one
    or the other. Two writers wait for each other. Separator, decimal mark, byte-order mark and line ends stay as they
    are; a column that is missing is added to the headings, and rows before it stay short.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "my-log.csv"
    >>> append(path, {"date": "2027-06-01", "level": "22.5"})
    2
    >>> append(path, {"date": "2027-06-04", "level": "20", "note": "hot, dry"})
    3
    """
    with alone_with(path) as write:
        book = _Book.open(Path(path), system)
        row = book.row_of(cells)
        book.lines.append(book.line(row))
        write(book.raw())
        return len(book.lines)


def correct(path: Path | str, row: int, cells: Mapping[str, str], why: str = "") -> int:
    """Correct a visit: the old row says that it was corrected, and a new one stands under it.

    Parameters
    ----------
    path : Path or str
        The log.
    row : int
        The row of the visit, as the file counts.
    cells : mapping of str to str
        What is different, by column.
    why : str
        The reason, for the note of the old row.

    Returns
    -------
    int
        The row of the new version.

    Raises
    ------
    Problem
        There is no such row, or it does not count any more.
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
    with alone_with(path) as write:
        book = _Book.open(Path(path), "metric", new=False)
        old = book.cells(row)
        new = book.row_of({**old, **_by_name(cells), "status": ""})
        book.mark(row, old, "corrected", why)
        book.lines.insert(row, book.line(new))
        write(book.raw())
        return row + 1


def strike(path: Path | str, row: int, why: str = "") -> None:
    """Strike a visit: its row stays in the file, and says that it does not count.

    Parameters
    ----------
    path : Path or str
        The log.
    row : int
        The row of the visit, as the file counts.
    why : str
        The reason, for its note.

    Raises
    ------
    Problem
        There is no such row, or it does not count any more.
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
    with alone_with(path) as write:
        book = _Book.open(Path(path), "metric", new=False)
        book.mark(row, book.cells(row), "struck", why)
        write(book.raw())


class _Book:
    """The lines of a log, each as it stands in the file."""

    def __init__(self, mark: bytes, encoding: str, end: str, lines: list[str], grid: Grid):
        self.bom, self.encoding, self.end, self.lines, self.grid = mark, encoding, end, lines, grid
        self.columns = list(grid.columns)

    @classmethod
    def open(cls, path: Path, system: str, new: bool = True) -> "_Book":
        raw = path.read_bytes() if path.exists() else b""
        if not raw.strip():
            if not new:
                raise Unreadable(f"{path.name} holds no visit yet.")
            heads = ",".join(log_columns(system))
            return cls(b"", "utf-8", "\n", [heads], grid_of(heads + "\n"))
        text, notes = text_of(raw)
        bom = next(
            (mark for mark in (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff") if raw.startswith(mark)), b""
        )
        encoding = (
            "cp1252" if notes else {b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}.get(bom, "utf-8")
        )
        whole = raw[len(bom) :].decode(encoding, "replace")
        end = "\r\n" if "\r\n" in whole else "\n"
        lines = _records(whole.replace("\r\n", "\n").replace("\r", "\n"))
        return cls(bom, encoding, end, lines, grid_of(text))

    def raw(self) -> bytes:
        return self.bom + (self.end.join(self.lines) + self.end).encode(self.encoding, "replace")

    def cells(self, row: int) -> dict[str, str]:
        found = self.grid.rows.get(row)
        if isinstance(row, bool) or not isinstance(row, int) or found is None:
            raise Problem(f"The log has no visit in row {row!r}. The heading is row {self.grid.heading_row}.")
        cells = {
            column.name or column.heading: text for column, text in zip(self.columns, found, strict=False)
        }
        if cells.get("status"):
            raise Problem(f"Row {row} was {cells['status']} already and does not count.")
        return {name: text for name, text in cells.items() if text}

    def row_of(self, given: Mapping[str, str]) -> dict[str, str]:
        """Cells by the name of their column; refuses what the log could not read back."""
        cells = _by_name(given)
        for name, text in cells.items():
            if not isinstance(text, str):
                raise Problem(f'A cell of a log is text, such as "22.5"; "{name}" got {text!r}.')
            if len(text) > _MOST or "\n" in text or "\r" in text or "\0" in text:
                raise Problem(f'"{name}" of a visit is one line of at most {_MOST} letters.')
        if not cells.get("date", "").strip():
            raise Problem("A visit needs its day. Type it, such as 2027-06-14.")
        if not any(text.strip() for name, text in cells.items() if name not in _WHO):
            raise Problem("Nothing was measured on this visit. Type at least one reading, or what was done.")
        known = {column.name or column.heading for column in self.columns}
        for name in cells:
            if name in known or not cells[name]:
                continue
            if not column_of(name).name:
                listed = ", ".join(column.heading for column in self.columns[:4])
                raise Problem(f'A log knows no column "{name}". It has {listed} and others.')
            heading = next((each for each in log_columns("metric") if column_of(each).name == name), name)
            self._add(heading)
            known.add(name)
        return cells

    def _add(self, heading: str) -> None:
        place = self.grid.heading_row - 1
        self.columns.append(column_of(heading))
        self.lines[place] += self.grid.separator + _quoted(heading, self.grid.separator)

    def line(self, cells: Mapping[str, str]) -> str:
        texts = [cells.get(column.name or column.heading, "").strip() for column in self.columns]
        if self.grid.separator == ";" and any("," in "".join(row) for row in self.grid.rows.values()):
            texts = [_comma(text, column) for text, column in zip(texts, self.columns, strict=True)]
        out = io.StringIO()
        csv.writer(out, delimiter=self.grid.separator, lineterminator="").writerow(texts)
        return out.getvalue()

    def mark(self, row: int, cells: Mapping[str, str], status: str, why: str) -> None:
        noted = "; ".join(each for each in (cells.get("note", ""), why.strip().replace("\n", " ")) if each)
        marked = {**cells, "status": status, **({"note": noted} if noted else {})}
        for name in ("status", "note"):
            if marked.get(name) and name not in {column.name for column in self.columns}:
                self._add(name)
        self.lines[row - 1] = self.line(marked)


_WHO = ("date", "time", "tank", "observer", "method", "status", "mix strength", "weighed with")


def _by_name(given: Mapping[str, str]) -> dict[str, str]:
    if not isinstance(given, Mapping):
        raise Problem('A visit is given by column, such as {"date": "2027-06-01", "level": "22.5"}.')
    return {column_of(str(name)).name or str(name): text for name, text in given.items()}


def _records(text: str) -> list[str]:
    """Lines, where a cell in quotes may go over several."""
    records, held = [], ""
    for line in text.removesuffix("\n").split("\n"):
        held = f"{held}\n{line}" if held else line
        if held.count('"') % 2 == 0:
            records.append(held)
            held = ""
    return [*records, held] if held else records


def _quoted(text: str, separator: str) -> str:
    return f'"{text}"' if separator in text or '"' in text else text


def _comma(text: str, column: Column) -> str:
    """The decimal mark of the file."""
    try:
        float(text)
    except ValueError:
        return text
    return text.replace(".", ",") if column.name not in ("date", "note") else text
