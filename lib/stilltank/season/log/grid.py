"""The cells of a log as written: decoded, split, under their headings."""

import csv
import io
import os
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from stilltank.units import Unreadable

_SMALLEST = "Write at least: date,level (cm) - 2027-06-01,24.5 - 2027-06-04,22"
# What a column is called here, and what people call it; lower case, spaces single.
NAMES = {
    "date": ("date", "day", "when"),
    "time": ("time", "hour", "clock"),
    "tank": ("tank", "tub", "bucket", "tank code"),
    "observer": ("observer", "who", "by", "read by", "code"),
    "level": ("level", "water level", "depth", "height", "stick", "solution level"),
    "volume": ("volume", "litres", "liters", "gallons", "dipstick"),
    "weight": ("weight", "mass"),
    "weighed with": ("weighed with",),
    "tilt": ("tilt", "angle"),
    "wet length": ("wet length",),
    "lift": ("lift", "lifted"),
    "pH": ("ph",),
    "pH colour": ("ph colour", "ph color", "strip"),
    "EC": ("ec", "conductivity"),
    "EC lights": ("ec lights",),
    "water temperature": ("water temperature", "temperature", "temp", "water temp", "solution temperature"),
    "rain": ("rain", "gauge", "rain gauge", "rainfall"),
    "added water": ("added water", "water added", "added", "top-up", "topped up", "top up"),
    "added mix": ("added mix", "mix added", "added solution", "solution added"),
    "mix strength": ("mix strength", "strength"),
    "plants": ("plants", "plants alive", "alive"),
    "stems cut": ("stems cut", "stems"),
    "heads cut": ("heads cut", "heads", "harvest"),
    "event": ("event", "events", "what happened"),
    "method": ("method", "how"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
    "status": ("status",),
}
MEASURED = (
    *(
        "level",
        "volume",
        "weight",
        "tilt",
        "lift",
        "pH",
        "pH colour",
        "EC",
        "EC lights",
        "water temperature",
        "rain",
    ),
    *("added water", "added mix", "plants", "stems cut", "heads cut", "event", "note"),
)
_ALIASES = {alias: name for name, aliases in NAMES.items() for alias in aliases}
_HEADING = re.compile(r"^(?P<name>.*?)\s*[\[(,:]\s*(?P<unit>[^\])]*?)\s*[\])]?$")
_TRAILING = re.compile(
    r"^(?P<name>.+?)[ _](?P<unit>cm|mm|in|inch|inches|l|litres?|liters?|gal|us gal|kg|lb|ms/cm|µs/cm|°?[cf]|%)$",
    re.I,
)


@dataclass(frozen=True)
class Column:
    """One column of a log.

    Parameters
    ----------
    heading : str
        As written.
    name : str
        One of ``NAMES``; empty where it is none of them.
    unit : str
        As written in the heading; empty without one.

    Examples
    --------
    >>> column_of("Water level [cm]")
    Column(heading='Water level [cm]', name='level', unit='cm')
    """

    heading: str
    name: str
    unit: str


@dataclass(frozen=True, eq=False)
class Grid:
    """A file as it was split: headings, and rows by number.

    Parameters
    ----------
    columns : tuple of Column
        In the order of the file.
    rows : dict of int to tuple of str
        Cells by row, the first line of the file being row 1; empty rows are left out.
    heading_row : int
        On which row the headings stand.
    separator : str
        Between cells.
    notes : tuple of str
        What had to be assumed.
    too_long : tuple of int
        Rows with more cells than headings.
    lines : dict of int to tuple of two ints
        From which line of the file to before which one a row goes, counted from 0; also of the headings.

    Examples
    --------
    >>> grid_of("date;level (cm)\\n2027-06-01;24,5\\n").rows
    {2: ('2027-06-01', '24,5')}
    """

    columns: tuple[Column, ...]
    rows: dict[int, tuple[str, ...]]
    heading_row: int
    separator: str
    notes: tuple[str, ...]
    too_long: tuple[int, ...]
    lines: Mapping[int, tuple[int, int]]


def column_of(heading: str) -> Column:
    """Tell which column a heading names, and its unit.

    Parameters
    ----------
    heading : str
        As written.

    Returns
    -------
    Column
        With an empty name where it is none that a log knows.

    Examples
    --------
    >>> column_of("LEVEL_cm").unit
    'cm'
    """
    plain = re.sub(r"[\s_]+", " ", heading.replace("\ufeff", "")).strip()
    if plain.lower() in _ALIASES:
        return Column(heading, _ALIASES[plain.lower()], "")
    for pattern in (_HEADING, _TRAILING):
        found = pattern.match(plain)
        if found and (name := _ALIASES.get(found["name"].strip().lower())):
            return Column(heading, name, found["unit"].strip())
    return Column(heading, "", "")


def read_bytes(path: str | os.PathLike[str]) -> bytes:
    """Read the bytes of a log.

    Parameters
    ----------
    path : str or path
        The file.

    Returns
    -------
    bytes
        As they are; the file is never changed.

    Raises
    ------
    Unreadable
        No such file, a folder, or no permission.

    Examples
    --------
    >>> read_bytes("no-such-log.csv")
    Traceback (most recent call last):
        ...
    stilltank.problems.Unreadable: The log no-such-log.csv is not there. Check the name and the folder.
    """
    if not isinstance(path, (str, os.PathLike)):
        raise Unreadable(f'A log is a file; write its name, such as "my-log.csv". {path!r} is none.')
    try:
        return Path(path).read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise Unreadable(f"The log {path} is not there. Check the name and the folder.") from None
    except IsADirectoryError:
        raise Unreadable(f"The log {path} is a folder. Give the name of a file.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise Unreadable(f"The log {path} could not be opened: {reason}.") from None


def text_of(raw: bytes) -> tuple[str, tuple[str, ...]]:
    """Decode a log.

    Parameters
    ----------
    raw : bytes
        Of the file.

    Returns
    -------
    tuple of str and tuple of str
        The text with plain line ends and spaces, and what had to be assumed.

    Raises
    ------
    Unreadable
        The file is no text.

    Examples
    --------
    >>> text_of("Temp (°C)".encode("cp1252"))
    ('Temp (°C)', ('The file is not in UTF-8; its letters were read as those of an older Windows.',))
    """
    notes: tuple[str, ...] = ()
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        text = raw.decode("utf-16", "replace")
    elif b"\0" in raw or raw.startswith(b"PK"):
        raise Unreadable(
            "This log is not a text file. Open it in the spreadsheet program, save it as CSV, and give that file."
        )
    else:
        try:
            text = raw.decode("utf-8-sig")
        except UnicodeDecodeError:
            text = raw.decode("cp1252", "replace")
            notes = ("The file is not in UTF-8; its letters were read as those of an older Windows.",)
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return re.sub("[\u00a0\u202f\u2007]", " ", text), notes


def grid_of(text: str) -> Grid:
    """Split the text of a log into cells under headings.

    Parameters
    ----------
    text : str
        Of the file.

    Returns
    -------
    Grid
        Its cells as written.

    Raises
    ------
    Unreadable
        There is no heading with a date and something measured.

    Examples
    --------
    >>> [column.name for column in grid_of("Day,Water level (in)\\n2027-06-01,9 1/2\\n").columns]
    ['date', 'level']
    """
    lines = text.split("\n")
    found = None
    for place, line in enumerate(lines[:30]):
        for separator in (",", ";", "\t"):
            names = {column_of(cell).name for cell in next(_split(line, separator), ([], 0))[0]}
            if "date" in names and names & set(MEASURED):
                found = (place, separator)
                break
        if found:
            break
    if found is None:
        raise Unreadable(
            f"This is no log: no row names a date and something measured. {_SMALLEST}, each on a line of its own."
        )
    place, separator = found
    split = list(_split("\n".join(lines[place:]), separator))
    ends = [place, *(place + last for _, last in split)]
    spans = {place + 1 + each: (ends[each], ends[each + 1]) for each in range(len(split))}
    columns = tuple(column_of(cell.strip()) for cell in split[0][0])
    notes: list[str] = []
    if any(line.strip(" ,;\t") for line in lines[:place]):
        notes.append(
            f"Row 1 to {place} above the headings were left out."
            if place > 1
            else "Row 1 above the headings was left out."
        )
    rows: dict[int, tuple[str, ...]] = {}
    too_long = []
    for number, (row, _) in enumerate(split[1:], place + 2):
        kept = [cell.strip() for cell in row]
        while len(kept) > len(columns) and not kept[-1]:
            kept.pop()
        if not any(kept):
            continue
        if len(kept) > len(columns):
            too_long.append(number)
        rows[number] = tuple(kept + [""] * (len(columns) - len(kept)))
    unknown = [column.heading for column in columns if not column.name and column.heading]
    if unknown:
        listed = ", ".join(f'"{each}"' for each in unknown[:3])
        notes.append(f"Not read, and kept in the file: the column{'s' if len(unknown) > 1 else ''} {listed}.")
    return Grid(columns, rows, place + 1, separator, tuple(notes), tuple(too_long), spans)


def _split(text: str, separator: str) -> Iterator[tuple[list[str], int]]:
    """Rows and how many lines were read; also of text that a spreadsheet would not have written."""
    rows = csv.reader(io.StringIO(text), delimiter=separator)
    while True:
        try:
            yield next(rows), rows.line_num
        except StopIteration:
            return
        except csv.Error:
            yield [], rows.line_num
