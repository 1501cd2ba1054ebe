"""Ground floor: the tables in data/, each value with its unit, range, kind and source.

A table is a CSV with the columns ``item, property, value, unit, low, high, kind, source, where, note``;
a value is addressed as ``table/item/property``. ``unit`` is ``1`` for a plain number and ``text`` for words.
"""

import csv
import io
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from stilltank.files import read_text
from stilltank.problems import Problem, Unreadable
from stilltank.registry import Q, Quantity, ureg

DATA = Path(__file__).resolve().parents[2] / "data"
COLUMNS = ("item", "property", "value", "unit", "low", "high", "kind", "source", "where", "note")
KINDS = (
    "published",
    "computed",
    "common practice",
    "from memory",
    "assumption",
    "invented for the demo",
)


class TableFault(Problem):
    """A table in data/ breaks its own rules, or a value asked for does not exist.

    Examples
    --------
    >>> load("constants")["water", "colour"]
    Traceback (most recent call last):
    stilltank.tables.TableFault: data/constants.csv has no 'colour' for 'water'. It has: ...
    """


@dataclass(frozen=True, slots=True)
class Source:
    """One entry of data/sources.csv.

    Parameters
    ----------
    key : str
        Author or body, and year.
    citation : str
        What is cited, in full.
    read : str
        How much of it was really read.

    Examples
    --------
    >>> sources()["FAO56"].key
    'FAO56'
    """

    key: str
    citation: str
    read: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One value of a table, with everything needed to answer for it.

    Parameters
    ----------
    table, item, prop : str
        Where it stands.
    value : float or str
        The number, or the word.
    unit : str
        Its unit; "1" for a plain number, "text" for words.
    low, high : float or None
        Its range, where the table gives one.
    kind : str
        One of ``KINDS``.
    source : tuple of str
        Keys of data/sources.csv.
    where : str
        Page or table in the source.
    note : str
        What else to know.

    See Also
    --------
    where_from : Take one by its address.

    Examples
    --------
    >>> load("constants")["water", "standard gravity"].unit
    'm/s^2'
    """

    table: str
    item: str
    prop: str
    value: float | str
    unit: str
    low: float | None
    high: float | None
    kind: str
    source: tuple[str, ...]
    where: str
    note: str

    @property
    def address(self) -> str:
        """``table/item/property``, as ``where_from`` takes it.

        Examples
        --------
        >>> load("constants")["water", "standard gravity"].address
        'constants/water/standard gravity'
        """
        return f"{self.table}/{self.item}/{self.prop}"

    @property
    def quantity(self) -> Any:
        """The value as a quantity; words stay words.

        Examples
        --------
        >>> load("constants")["water", "standard gravity"].quantity.magnitude
        9.80665
        """
        return self.value if isinstance(self.value, str) else Q(self.value, _unit(self.unit))

    @property
    def range(self) -> tuple[Quantity, Quantity]:
        """Low and high as quantities; the value itself where the table gives no range.

        Raises
        ------
        TableFault
            The value is a word.

        Examples
        --------
        >>> low, high = load("constants")["water", "standard gravity"].range
        >>> low == high
        True
        """
        if isinstance(self.value, str):
            raise TableFault(f"{self.address} is a word, {self.value!r}; it has no range.")
        unit = _unit(self.unit)
        low = self.value if self.low is None else self.low
        high = self.value if self.high is None else self.high
        return Q(low, unit), Q(high, unit)

    def __str__(self) -> str:
        unit = "" if self.unit in ("1", "text") else f" {self.unit}"
        spread = (
            ""
            if self.low is None and self.high is None
            else f" (range {_plain(self.low)} to {_plain(self.high)}{unit})"
        )
        where = f", {self.where}" if self.where else ""
        cited = "; ".join(_cite(key, self.address) for key in self.source)
        note = f" Note: {self.note}" if self.note else ""
        shown = self.value if isinstance(self.value, str) else _plain(self.value)
        return f"{self.address} = {shown}{unit}{spread}. Kind: {self.kind}. Source: {cited or 'none'}{where}.{note}"


class Table(Mapping[tuple[str, str], Entry]):
    """The values of one file, by (item, property).

    Parameters
    ----------
    name : str
        Of the file, without ``.csv``.
    entries : dict of (str, str) to Entry
        The values.

    See Also
    --------
    load : Load a table once.

    Examples
    --------
    >>> len(load("constants")) > 0
    True
    """

    def __init__(self, name: str, entries: dict[tuple[str, str], Entry]):
        self.name = name
        self._entries = entries
        items: dict[str, dict[str, Entry]] = {}
        for (item, prop), entry in entries.items():
            items.setdefault(item, {})[prop] = entry
        self._items = items

    def __getitem__(self, key: tuple[str, str]) -> Entry:
        try:
            return self._entries[key]
        except KeyError:
            raise TableFault(self._missing(*key)) from None

    def __iter__(self) -> Iterator[tuple[str, str]]:
        return iter(self._entries)

    def __len__(self) -> int:
        return len(self._entries)

    def __contains__(self, key: object) -> bool:
        return key in self._entries

    @property
    def items_named(self) -> tuple[str, ...]:
        """The names in the first column, in the order of the file.

        Examples
        --------
        >>> "water" in load("constants").items_named
        True
        """
        return tuple(self._items)

    def of(self, item: str) -> Mapping[str, Entry]:
        """All properties of one item.

        Parameters
        ----------
        item : str
            A name in the first column.

        Returns
        -------
        Mapping of str to Entry
            The entries by property.

        Raises
        ------
        TableFault
            The table has no such item; the sentence names near ones.

        Examples
        --------
        >>> "standard gravity" in load("constants").of("water")
        True
        """
        if item not in self._items:
            raise TableFault(self._missing(item, None))
        return MappingProxyType(self._items[item])

    def _missing(self, item: str, prop: str | None) -> str:
        import difflib

        if item not in self._items:
            near = difflib.get_close_matches(str(item), self._items, n=3, cutoff=0.4) or list(self._items)[:6]
            return f"data/{self.name}.csv has no {item!r}. Near names: {', '.join(near)}."
        return f"data/{self.name}.csv has no {prop!r} for {item!r}. It has: {', '.join(self._items[item])}."


def _unit(unit: str) -> str:
    return "dimensionless" if unit == "1" else unit


def _plain(number: float | None) -> str:
    return "open" if number is None else f"{number:.10g}"


def _cite(key: str, address: str) -> str:
    if key not in sources():
        raise TableFault(f"{address} cites {key!r}, and data/sources.csv has no such key.")
    return f"{sources()[key].citation} [read: {sources()[key].read}]"


def _number(text: str, place: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = math.nan
    if not math.isfinite(number) or "_" in text:
        raise TableFault(
            f"{place}: {text!r} is not a number. Use a full stop for decimals, and unit 'text' for words."
        )
    return number


def _entry(name: str, row: dict[str, str], place: str) -> Entry:
    unit, kind = row["unit"], row["kind"]
    if not row["item"] or not row["property"] or not row["value"]:
        raise TableFault(f"{place}: item, property and value must all be filled in.")
    if not unit:
        raise TableFault(f"{place}: no unit. Write 1 for a plain number, text for words.")
    if unit not in ("1", "text"):
        try:
            ureg.Unit(unit)
        except Exception:
            raise TableFault(f"{place}: unit {unit!r} is not known.") from None
    if kind not in KINDS:
        raise TableFault(f"{place}: kind {kind!r} is not one of {', '.join(KINDS)}.")
    keys = tuple(key.strip() for key in row["source"].split(";") if key.strip())
    if not keys and kind in ("published", "computed", "from memory"):
        raise TableFault(f"{place}: a {kind} value needs a source.")
    low = _number(row["low"], place) if row["low"] else None
    high = _number(row["high"], place) if row["high"] else None
    value: float | str = row["value"] if unit == "text" else _number(row["value"], place)
    if isinstance(value, float):
        if (low is not None and low > value) or (high is not None and high < value):
            raise TableFault(
                f"{place}: {value:g} lies outside its own range {_plain(low)} to {_plain(high)}."
            )
    elif low is not None or high is not None:
        raise TableFault(f"{place}: words have no range.")
    return Entry(
        name, row["item"], row["property"], value, unit, low, high, kind, keys, row["where"], row["note"]
    )


def read_rows(path: Path, columns: tuple[str, ...]) -> Iterator[tuple[int, dict[str, str]]]:
    """Rows of a table of ours with exactly these columns.

    Parameters
    ----------
    path : Path
        The file.
    columns : tuple of str
        The names that the header must have.

    Yields
    ------
    tuple of int and dict
        The line on which the row ends, and its cells by column.

    Raises
    ------
    TableFault
        The file is missing, its header differs, or a row is too long or too short.

    Examples
    --------
    >>> line, row = next(read_rows(DATA / "sources.csv", ("key", "citation", "read")))
    >>> line
    2
    """
    try:
        text = read_text(path, "the table")
    except Unreadable as error:
        raise TableFault(str(error)) from None
    reader = csv.reader(io.StringIO(text), strict=True)
    try:
        header = tuple(next(reader, ()))
        if header != columns:
            raise TableFault(
                f"{path.name}, line 1: it must read {','.join(columns)}; it reads {','.join(header)}."
            )
        for cells in reader:
            if not cells:
                continue
            if len(cells) != len(columns):
                raise TableFault(
                    f"{path.name}, line {reader.line_num}: {len(cells)} cells, and {len(columns)} are needed."
                )
            yield reader.line_num, {name: cell.strip() for name, cell in zip(columns, cells, strict=True)}
    except csv.Error as error:
        raise TableFault(f"{path.name}, line {reader.line_num}: the quotes do not close ({error}).") from None


@cache
def names() -> tuple[str, ...]:
    """Names of all value tables in data/.

    Returns
    -------
    tuple of str
        The demo ones included, as ``demo/...``. A CSV counts as a value table when its first line holds the value
        columns.

    Examples
    --------
    >>> "constants" in names()
    True
    """
    header = ",".join(COLUMNS)
    found = []
    for path in sorted(DATA.rglob("*.csv")):
        with path.open(encoding="utf-8-sig") as file:
            if file.readline().strip() == header:
                found.append(path.relative_to(DATA).with_suffix("").as_posix())
    return tuple(found)


def read_table(path: Path, name: str) -> Table:
    """Read one value table from a file.

    ``load`` does it once for those in data/.

    Parameters
    ----------
    path : Path
        The file.
    name : str
        Its name without ``.csv``.

    Returns
    -------
    Table
        The values.

    Raises
    ------
    TableFault
        The file is missing or a row breaks the rules; names file and line.

    Examples
    --------
    >>> read_table(DATA / "constants.csv", "constants").name
    'constants'
    """
    entries: dict[tuple[str, str], Entry] = {}
    for line, row in read_rows(path, COLUMNS):
        place = f"{path.name}, line {line}"
        key = (row["item"], row["property"])
        if key in entries:
            raise TableFault(f"{place}: {key[0]} / {key[1]} stands in this file twice.")
        entries[key] = _entry(name, row, place)
    return Table(name, entries)


@cache
def load(name: str) -> Table:
    """Load a value table of data/, once.

    Parameters
    ----------
    name : str
        The file's name without ``.csv``; ``demo/...`` for the invented ones.

    Returns
    -------
    Table
        The values.

    Raises
    ------
    TableFault
        The file is missing, or a row breaks the rules of a table; names file and line.

    Examples
    --------
    >>> load("constants")["water", "standard gravity"].value
    9.80665
    """
    return read_table(DATA / f"{name}.csv", name)


@cache
def number(table: str, item: str, prop: str, unit: str) -> float:
    """A table's value as a plain number; for the inside of the science floor.

    Parameters
    ----------
    table, item, prop : str
        Where it stands.
    unit : str
        The unit in which it is wanted; "1" for a plain number.

    Returns
    -------
    float
        The number.

    Raises
    ------
    TableFault
        There is no such value, or it is a word.

    Examples
    --------
    >>> number("constants", "water", "standard gravity", "m/s^2")
    9.80665
    """
    entry = load(table)[item, prop]
    if isinstance(entry.value, str):
        raise TableFault(f"{entry.address} is a word, {entry.value!r}, not a number.")
    return float(entry.quantity.m_as(_unit(unit)))


@cache
def sources() -> dict[str, Source]:
    """The bibliography, data/sources.csv, by key.

    Returns
    -------
    dict of str to Source
        The sources.

    Raises
    ------
    TableFault
        A key stands twice or a row does not say how much was read.

    Examples
    --------
    >>> "FAO56" in sources()
    True
    """
    found: dict[str, Source] = {}
    for line, row in read_rows(DATA / "sources.csv", ("key", "citation", "read")):
        if row["key"] in found or not all(row.values()):
            raise TableFault(f"sources.csv, line {line}: {row['key']!r} stands twice or has an empty cell.")
        found[row["key"]] = Source(**row)
    return found


def where_from(address: str) -> Entry:
    """Say where a number comes from: value, unit, range, kind, full source.

    Parameters
    ----------
    address : str
        ``table/item/property``, for example ``"constants/water/standard gravity"``.

    Returns
    -------
    Entry
        Printing it gives the whole answer in one sentence.

    Raises
    ------
    TableFault
        Nothing stands at that address; the sentence names near ones.

    Examples
    --------
    >>> where_from("constants/water/standard gravity").kind
    'from memory'
    """
    for name in sorted(names(), key=len, reverse=True) if isinstance(address, str) else ():
        if address.startswith(name + "/"):
            table, rest = load(name), address[len(name) + 1 :]
            # a name may hold a stroke itself, as "nitric acid 0.5 mol/L" does: the longest one that fits is meant
            fitting = [item for item in table.items_named if f"{rest}/".startswith(f"{item}/")]
            item = max(fitting, key=len, default=rest.partition("/")[0])
            prop = rest[len(item) + 1 :]
            if not prop:
                known = ", ".join(table.of(item))
                raise TableFault(f"Name the property too, as {name}/{item}/...; there are: {known}.")
            return table[item, prop]
    raise TableFault(
        f"No table for {address!r}. Write table/item/property; the tables are: {', '.join(names())}."
    )
