"""Ground floor: a person's TOML file, read so that every fault is named with its line."""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any, ClassVar

from .tables import read_text
from .units import Problem, Q, Unreadable, read


class DocumentFault(Problem):
    """A file cannot be used; the sentence names the line and what to write instead."""


class Section:
    """One [section] of a file; each read names its line when something is wrong."""

    def __init__(self, document: "Document", path: tuple[str, ...], values: dict[str, Any]):
        self._document = document
        self._path = path
        self._values = values
        self._used: set[str] = set()

    def __contains__(self, key: str) -> bool:
        return key in self._values

    @property
    def name(self) -> str:
        """The section's name, as it stands between the brackets."""
        return ".".join(self._path)

    def keys(self) -> Iterator[str]:
        """The keys that stand in the section."""
        return iter(self._values)

    def fault(self, key: str, what: str) -> DocumentFault:
        """The fault ``what`` about ``key``, with its line."""
        return self._document.fault(self._path, key, what)

    def get(self, key: str, kinds: type | tuple[type, ...], example: str) -> Any:
        """The value of ``key``, which must be of one of ``kinds``.

        Raises DocumentFault when it is missing or of another kind; ``example`` is what to write.
        """
        self._used.add(key)
        if key not in self._values:
            raise self.fault(key, f"`{key}` is missing. Add a line such as: {key} = {example}")
        value = self._values[key]
        if not isinstance(value, kinds) or (isinstance(value, bool) and kinds is not bool):
            raise self.fault(key, f"`{key}` reads {_shown(value)}. Write: {key} = {example}")
        return value

    def text(self, key: str, example: str) -> str:
        """Words between quotation marks."""
        return self.get(key, str, f'"{example}"')

    def texts(self, key: str, example: str) -> list[str]:
        """A list of words, each between quotation marks."""
        found = self.get(key, list, f'["{example}"]')
        if not all(isinstance(item, str) for item in found):
            raise self.fault(
                key, f'each part of `{key}` stands between quotation marks: {key} = ["{example}"]'
            )
        return found

    def number(self, key: str, example: float) -> float:
        """A plain number."""
        return float(self.get(key, (int, float), f"{example:g}"))

    def count(self, key: str, example: int) -> int:
        """A whole number from zero upwards."""
        value = self.get(key, int, f"{example}")
        if value < 0:
            raise self.fault(key, f"`{key}` reads {value}; it counts from zero upwards.")
        return int(value)

    def day(self, key: str, example: str) -> date:
        """A date, written 2027-04-26 without quotation marks."""
        value = self.get(key, date, example)
        return date(value.year, value.month, value.day)

    def quantity(self, key: str, kind: str, example: str) -> Any:
        """A quantity, or a list of them, written with its unit between quotation marks."""
        value = self.get(key, (str, list), f'"{example}"')
        try:
            if isinstance(value, str):
                return read(value, kind)
            quantities = [read(str(item), kind) for item in value]
        except Problem as error:
            raise self.fault(key, f'`{key}`: {error} Write it as: {key} = "{example}"') from error
        if not quantities:
            raise self.fault(key, f"`{key}` is an empty list.")
        unit = str(quantities[0].units)
        return Q([item.m_as(unit) for item in quantities], unit)

    def using(self, key: str, make: Callable[[], Any]) -> Any:
        """What ``make`` returns; a Problem it raises gets the line of ``key``."""
        try:
            return make()
        except DocumentFault:
            raise
        except Problem as error:
            raise self.fault(key, str(error)) from error

    def nothing_else(self) -> None:
        """Refuse keys that nothing has read: a typing error must not be lost.

        Raises DocumentFault naming the first one, with near names.
        """
        import difflib

        for key in self._values:
            if key not in self._used:
                near = difflib.get_close_matches(key, self._used, n=1, cutoff=0.5)
                known = f"Known here: {', '.join(sorted(self._used))}."
                hint = f"Did you mean `{near[0]}`?" if near else known
                raise self.fault(key, f"`{key}` is not a word this section knows. {hint}")


class Document:
    """A file being read; a kind of file is a subclass that fills in the four words below.

    Parameters
    ----------
    path : path of the file; reading never changes it

    Raises
    ------
    DocumentFault   not there, not TOML, or of a format this version cannot read; of the subclass' own type

    Example
    -------
    >>> Document("no-such-file.toml")
    Traceback (most recent call last):
    stilltank.documents.DocumentFault: The document no-such-file.toml is not there...
    """

    called: ClassVar[str] = "document"
    remedy: ClassVar[str] = "make it again"
    newest: ClassVar[int] = 1
    faulty: ClassVar[type[DocumentFault]] = DocumentFault
    # For each older format, the step from its values to those of the next one.
    upgrades: ClassVar[Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {}

    def __init__(self, path: Path | str):
        self.path = Path(path)
        try:
            self._text = read_text(self.path, f"the {self.called}")
        except Unreadable as error:
            raise self.faulty(str(error)) from None
        try:
            self.values = tomllib.loads(self._text)
        except (ValueError, RecursionError) as error:
            raise self.faulty(
                f"{self.path.name} cannot be read: {error}. "
                'A line looks like: height = "30 cm"   (words and quantities between quotation marks).'
            ) from error
        version = self.values.get("format")
        if version is None:
            raise self.faulty(
                f"{self.path.name} has no line `format = {self.newest}`; is it a {self.called}?"
            )
        while version in self.upgrades and version != self.newest:
            self.values = self.upgrades[version](self.values)
            version += 1
        if version != self.newest or isinstance(version, bool):
            raise self.faulty(
                f"{self.path.name} is written in format {_shown(version)}, and this version reads format "
                f"{self.newest}. Open it with the version that made it, or {self.remedy}."
            )

    def section(self, *path: str) -> Section:
        """The section at ``path``: ``section("tank")`` for [tank]; ``section()`` for the lines before any.

        Raises DocumentFault when it is missing.
        """
        values: Any = self.values
        for part in path:
            values = values.get(part) if isinstance(values, dict) else None
        if not isinstance(values, dict):
            raise self.faulty(
                f"{self.path.name} has no section [{'.'.join(path)}]. Add it, or {self.remedy}."
            )
        return Section(
            self, path, {key: value for key, value in values.items() if not isinstance(value, dict)}
        )

    def sections(self, *path: str) -> dict[str, Section]:
        """The sections inside the one at ``path``, by their own names; none where it is missing.

        Raises DocumentFault when something else than a section stands there.
        """
        values: Any = self.values
        for number, part in enumerate(path):
            values = values.get(part, {})
            if not isinstance(values, dict):
                raise self.fault(path[:number], part, f"[{'.'.join(path)}] must be a section.")
        for key, value in values.items():
            if not isinstance(value, dict):
                raise self.fault(
                    path, key, f"`{key}` must be a section of its own: [{'.'.join((*path, key))}]"
                )
        return {key: self.section(*path, key) for key in values}

    def only(self, *names: str) -> None:
        """Refuse sections and loose lines other than these.

        Raises DocumentFault naming the first one.
        """
        for key in self.values:
            if key not in names:
                raise self.fault(
                    (), key, f"[{key}] is not a part of a {self.called}. Known: {', '.join(names)}."
                )

    def fault(self, path: tuple[str, ...], key: str, what: str) -> DocumentFault:
        """The fault ``what`` with the line where ``key`` stands, or where its section begins."""
        line = self._line(path, key)
        place = f", line {line}" if line else ""
        return self.faulty(f"{self.path.name}{place}: {what}")

    def _line(self, path: tuple[str, ...], key: str) -> int | None:
        current: tuple[str, ...] = ()
        found = None
        for number, line in enumerate(self._text.splitlines(), 1):
            if header := _header(line):
                current = header
                if current == path or current[: len(path) + 1] == (*path, key):
                    found = found or number
            elif current == path and (match := _KEY.match(line)) and key in match.groups():
                return number
        return found


_KEY = re.compile(r"""\s*(?:"([^"]*)"|'([^']*)'|([\w-]+))\s*=""")


def _header(line: str) -> tuple[str, ...] | None:
    """The path in a [section] line; None for any other line."""
    if not line.lstrip().startswith("["):
        return None
    try:
        values: Any = tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return None
    path = []
    while values:
        key, values = next(iter(values.items()))
        path.append(key)
        values = values[0] if isinstance(values, list) else values
    return tuple(path)


def _shown(value: Any) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value)
