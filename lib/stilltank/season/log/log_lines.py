"""The lines of a log as they are in the file: one is added or marked, every other byte stays."""

import csv
import re
from collections.abc import Sequence

from stilltank.units import Problem, Unreadable

from .grid import column_of, grid_of, text_of

_MARKS = {b"\xef\xbb\xbf": "utf-8", b"\xff\xfe": "utf-16-le", b"\xfe\xff": "utf-16-be"}
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")
_NUMERIC = (
    *("level", "volume", "weight", "tilt", "wet length", "pH", "EC", "water temperature", "rain"),
    *("added water", "added mix", "mix strength"),
)


class LogLines:
    """A log as lines of text, each with its own end.

    Parameters
    ----------
    raw : bytes
        The content of the file.

    Attributes
    ----------
    grid : Grid
        The rows as they were read.
    columns : list of Column
        With those that were added.

    Raises
    ------
    Unreadable
        The file is no log, or holds bytes that are no letters.

    Notes
    -----
    Separator, decimal mark, byte-order mark, letters and line ends are those of the file. The cells of a row that is
    marked keep their text; a spreadsheet's quotation marks around them may change.

    Examples
    --------
    >>> lines = LogLines(b"date;level (cm)\\r\\n2027-06-01;24,5")
    >>> lines.put(["2027-06-04", "22.5"])
    3
    >>> lines.raw()
    b'date;level (cm)\\r\\n2027-06-01;24,5\\r\\n2027-06-04;22,5\\r\\n'
    """

    def __init__(self, raw: bytes):
        text, notes = text_of(raw)
        self._bom = next((mark for mark in _MARKS if raw.startswith(mark)), b"")
        self._encoding = "cp1252" if notes else _MARKS.get(self._bom, "utf-8")
        self._keep = "surrogateescape" if notes else "strict"  # bytes that an older Windows has no letter for
        try:
            whole = raw[len(self._bom) :].decode(self._encoding, self._keep)
        except UnicodeDecodeError:
            raise Unreadable(
                "This log holds bytes that are no letters. Save it as CSV UTF-8 in the spreadsheet, then try again."
            ) from None
        self._lines: list[str] = _LINE.findall(whole)
        self.grid = grid_of(text)
        self.columns = list(self.grid.columns)
        self._spans = dict(self.grid.lines)
        ends = [re.sub(r"[^\r\n]", "", each) for each in self._lines if each[-1] in "\r\n"]
        self._end = max(reversed(ends), key=ends.count, default="\n")
        self._comma = self._has_commas()

    def raw(self) -> bytes:
        """Return the content of the file.

        Returns
        -------
        bytes
            With what was added and marked.

        Raises
        ------
        Problem
            The file is kept in the letters of an older Windows, and a new letter is none of them.
        """
        try:
            return self._bom + "".join(self._lines).encode(self._encoding, self._keep)
        except UnicodeEncodeError as error:
            raise Problem(
                f'This log is kept in the letters of an older Windows, which has no "{error.object[error.start]}". '
                "Leave it out, or save the log as CSV UTF-8 first."
            ) from error

    @property
    def last(self) -> int:
        """The number of the last row."""
        return max(self._spans)

    def place(self, name: str) -> int | None:
        """Find the column of a value.

        Parameters
        ----------
        name : str
            As a log calls it, or a heading that it does not know.

        Returns
        -------
        int or None
            Counted from 0; None where there is none.
        """
        names = [column.name or column.heading for column in self.columns]
        return names.index(name) if name in names else None

    def cells(self, row: int) -> list[str]:
        """Return the cells of a row as they are in the file.

        Parameters
        ----------
        row : int
            Its number.

        Returns
        -------
        list of str
            In the order of the columns; a short row has fewer.
        """
        first, last = self._spans[row]
        return next(csv.reader(self._lines[first:last], delimiter=self.grid.separator), [])

    def head(self, heading: str) -> int:
        """Add a column to the headings.

        Parameters
        ----------
        heading : str
            With its unit.

        Returns
        -------
        int
            Its place, counted from 0. Rows before it stay short.

        Raises
        ------
        Problem
            A row has more cells than headings, so that its last ones would come under the new heading.
        """
        if self.grid.too_long:
            raise Problem(
                f'Row {self.grid.too_long[0]} has more cells than headings, so the log can get no column "{heading}". '
                "Put that row right in the file first."
            )
        _, after = self._spans[self.grid.heading_row]
        line = self._lines[after - 1]
        bare = line.rstrip("\r\n")
        self._lines[after - 1] = f"{bare}{self.grid.separator}{self._joined([heading])}{line[len(bare) :]}"
        self.columns.append(column_of(heading))
        return len(self.columns) - 1

    def put(self, cells: Sequence[str], under: int | None = None) -> int:
        """Add a row.

        Parameters
        ----------
        cells : sequence of str
            In the order of the columns.
        under : int, optional
            The row under which it goes; at the end when left out.

        Returns
        -------
        int
            The number of the new row.
        """
        after = len(self._lines) if under is None else self._spans[under][1]
        row = (self.last if under is None else under) + 1
        before = self._lines[after - 1]
        if before[-1] not in "\r\n":
            self._lines[after - 1] = before + self._end
        self._lines.insert(after, self._joined(self._as_here(cells)) + self._end)
        return row

    def mark(self, row: int, marks: dict[int, str]) -> None:
        """Write in cells of a row.

        Parameters
        ----------
        row : int
            Its number.
        marks : dict of int to str
            Texts by the place of their column.
        """
        first, last = self._spans[row]
        cells = self.cells(row)
        for place, text in marks.items():
            cells += [""] * (place + 1 - len(cells))
            cells[place] = text
        end = re.sub(r".*?(\r\n|\r|\n)?\Z", r"\1", self._lines[last - 1], flags=re.S)
        # One entry for each line stays, so that the lines of other rows are found again.
        self._lines[first:last] = [*[""] * (last - first - 1), self._joined(cells) + end]

    def _joined(self, cells: Sequence[str]) -> str:
        out = _Text()
        csv.writer(out, delimiter=self.grid.separator, lineterminator="\r\n").writerow(cells)
        return out.text.removesuffix("\r\n")

    def _as_here(self, cells: Sequence[str]) -> list[str]:
        if not self._comma:
            return list(cells)
        return [
            text.replace(".", ",")
            if column.name in _NUMERIC and re.fullmatch(r"[+-]?\d+\.\d+", text)
            else text
            for text, column in zip(cells, self.columns, strict=True)
        ]

    def _has_commas(self) -> bool:
        """Whether the numbers of the file have more decimal commas than points."""
        numbers = [
            text
            for row in self.grid.rows.values()
            for text, column in zip(row, self.columns, strict=False)
            if column.name in _NUMERIC
        ]
        commas, points = (
            sum(bool(re.fullmatch(rf"[+-]?\d+{mark}\d+", text)) for text in numbers) for mark in (",", r"\.")
        )
        return commas > points


class _Text:
    """What a writer of rows writes."""

    def __init__(self) -> None:
        self.text = ""

    def write(self, text: str) -> None:
        self.text += text
