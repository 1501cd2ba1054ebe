"""The dates of a log, as people write them."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?")
_NUMBERS = re.compile(r"(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})")
_LETTERS = re.compile(
    r"(?:[a-z]{2,9},? )?(?:(\d{1,2})[. -]* ?([a-z]{3,9})|([a-z]{3,9}) (\d{1,2}),?)[ .,-]*(\d{4}|\d{2})?", re.I
)


@dataclass(frozen=True)
class Dates:
    """What was understood of the dates of a log.

    Parameters
    ----------
    days : dict of int to date
        By row; a row in doubt is not in it.
    notes : tuple of str
        How they were read.
    undecided : tuple of int
        Rows with slashes, where nothing says whether day or month stands first.
    contradicting : tuple of int
        One row that says month first and one that says day first; empty where they agree.
    impossible : tuple of int
        Rows whose date is no day, or cannot be read.

    Examples
    --------
    >>> dates_of({2: "2027-06-01"}).days[2].isoformat()
    '2027-06-01'
    """

    days: dict[int, date]
    notes: tuple[str, ...] = ()
    undecided: tuple[int, ...] = ()
    contradicting: tuple[int, ...] = ()
    impossible: tuple[int, ...] = ()


def dates_of(cells: Mapping[int, str], year: int | None = None, month_first: bool | None = None) -> Dates:
    """Read the dates of a log, each by itself where it is certain, else by the rows that decide.

    Parameters
    ----------
    cells : mapping of int to str
        As written, by row.
    year : int, optional
        Of the plan, for dates without a year.
    month_first : bool, optional
        What was answered, where no row decides.

    Returns
    -------
    Dates
        With the rows in doubt.

    Examples
    --------
    >>> found = dates_of({2: "3/4/27", 3: "3/25/27"})
    >>> found.days[2].isoformat(), found.notes
    ('2027-03-04', ('Dates such as "3/4/27" were read as month/day, because row 3 can only be that.',))
    >>> dates_of({2: "3/4/27"}).undecided
    (2,)
    """
    days: dict[int, date] = {}
    slashes: dict[int, tuple[int, int, int]] = {}
    impossible: list[int] = []
    notes: list[str] = []
    for row, cell in cells.items():
        text = cell.strip()
        if found := _ISO.fullmatch(text):
            _put(days, impossible, row, int(found[1]), int(found[2]), int(found[3]))
        elif found := _NUMBERS.fullmatch(text):
            whole = int(found[4]) + (2000 if len(found[4]) == 2 else 0)
            if found[2] == ".":
                _put(days, impossible, row, whole, int(found[3]), int(found[1]))
            else:
                slashes[row] = (int(found[1]), int(found[3]), whole)
        elif (found := _LETTERS.fullmatch(text)) and (found[2] or found[3])[:3].lower() in _MONTHS:
            month = _MONTHS.index((found[2] or found[3])[:3].lower()) + 1
            written = int(found[5]) if found[5] else year
            if written is None:
                impossible.append(row)
                continue
            whole = written + 2000 if written < 100 else written
            _put(days, impossible, row, whole, month, int(found[1] or found[4]))
        else:
            impossible.append(row)
    day_rows = [row for row, (first, second, _) in slashes.items() if first > 12 >= second]
    month_rows = [row for row, (first, second, _) in slashes.items() if second > 12 >= first]
    if day_rows and month_rows and month_first is None:
        for row in slashes:
            first, second, whole = slashes[row]
            if row in day_rows:
                _put(days, impossible, row, whole, second, first)
            elif row in month_rows:
                _put(days, impossible, row, whole, first, second)
        left = tuple(row for row in slashes if row not in (*day_rows, *month_rows))
        notes.append(
            f"Row {month_rows[0]} has the month first and row {day_rows[0]} the day; each was read as it must be."
        )
        return Dates(days, tuple(notes), left, (month_rows[0], day_rows[0]), tuple(impossible))
    if slashes:
        order = month_first
        if order is None and (day_rows or month_rows):
            order = bool(month_rows)
            row = (month_rows or day_rows)[0]
            said = "month/day" if order else "day/month"
            notes.append(
                f'Dates such as "{cells[next(iter(slashes))]}" were read as {said}, because row {row} can only be that.'
            )
        same = all(first == second for first, second, _ in slashes.values())
        if order is None and not same:
            return Dates(days, tuple(notes), tuple(slashes), (), tuple(impossible))
        for row, (first, second, whole) in slashes.items():
            month, day = (first, second) if order else (second, first)
            if month > 12 >= day:
                month, day = day, month
            _put(days, impossible, row, whole, month, day)
    return Dates(days, tuple(notes), (), (), tuple(impossible))


def _put(days: dict[int, date], impossible: list[int], row: int, year: int, month: int, day: int) -> None:
    try:
        days[row] = date(year, month, day)
    except ValueError:
        impossible.append(row)
