"""The tank plan as a file: plain TOML, every quantity with its unit, every fault named with its line."""

import re
import tomllib
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

import tomli_w

from stilltank import tables
from stilltank.units import Problem, read

FORMAT = 1
_HEADER = """\
# Still Tank Workbook: the plan of one tank, for one season.
# Plain text: change a value, keep its unit, and open the plan again. The order of the lines does not matter.

"""


class PlanFault(Problem):
    """A plan file cannot be used; the sentence names the line and what to write instead."""


def as_text(plan: dict[str, Any]) -> str:
    """The file's text for the sections of a plan."""
    return _HEADER + tomli_w.dumps({"format": FORMAT, **plan})


class Section:
    """One [section] of the file; each read names its line when something is wrong."""

    def __init__(self, document: "Document", name: str, values: dict[str, Any]):
        self._document = document
        self.name = name
        self._values = values
        self._used: set[str] = set()

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def keys(self) -> Iterator[str]:
        """The keys that stand in the section."""
        return iter(self._values)

    def fault(self, key: str, what: str) -> PlanFault:
        """A PlanFault for ``key``, with its line."""
        return self._document.fault(self.name, key, what)

    def get(self, key: str, kinds: type | tuple[type, ...], example: str) -> Any:
        """The value of ``key``, which must be of one of ``kinds``.

        Raises PlanFault when it is missing or of another kind.
        """
        self._used.add(key)
        if key not in self._values:
            raise self.fault(key, f"`{key}` is missing. Add a line such as: {key} = {example}")
        value = self._values[key]
        if not isinstance(value, kinds) or isinstance(value, bool):
            raise self.fault(key, f"`{key}` reads {_shown(value)}. Write: {key} = {example}")
        return value

    def text(self, key: str, example: str) -> str:
        """Words between quotation marks."""
        return self.get(key, str, f'"{example}"')

    def number(self, key: str, example: float) -> float:
        """A plain number."""
        return float(self.get(key, (int, float), f"{example:g}"))

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
        import numpy as np

        from stilltank.units import Q

        unit = quantities[0].units
        return Q(np.array([item.m_as(unit) for item in quantities]), str(unit))

    def using(self, key: str, make: Callable[[], Any]) -> Any:
        """What ``make`` returns; a Problem it raises gets the line of ``key``."""
        try:
            return make()
        except PlanFault:
            raise
        except Problem as error:
            raise self.fault(key, str(error)) from error

    def nothing_else(self) -> None:
        """Refuse keys that nothing has read: a typing error must not be lost.

        Raises PlanFault naming the first one, with near names.
        """
        import difflib

        for key in self._values:
            if key not in self._used:
                near = difflib.get_close_matches(key, self._used, n=1, cutoff=0.5)
                hint = (
                    f"Did you mean `{near[0]}`?" if near else f"Known here: {', '.join(sorted(self._used))}."
                )
                raise self.fault(key, f"`{key}` is not a word this section knows. {hint}")


class Document:
    """A plan file being read."""

    def __init__(self, path: Path):
        self.path = Path(path)
        self._text = tables.read_text(self.path, "tank plan")
        try:
            self.values = tomllib.loads(self._text)
        except tomllib.TOMLDecodeError as error:
            raise PlanFault(
                f"{self.path.name} cannot be read: {error}. "
                'A line looks like: height = "30 cm"   (words and quantities between quotation marks).'
            ) from error
        version = self.values.get("format")
        if version != FORMAT:
            reason = (
                "has no line `format = 1`; is it a tank plan?"
                if version is None
                else f"is written in format {version!r}, and this version reads format {FORMAT}. "
                "Open it with the version that made it, or make the plan again in chapter 0."
            )
            raise PlanFault(f"{self.path.name} {reason}")

    def section(self, name: str) -> Section:
        """The [name] section.

        Raises PlanFault when it is missing.
        """
        values: Any = self.values
        for part in name.split("."):
            values = values.get(part) if isinstance(values, dict) else None
        if not isinstance(values, dict):
            raise PlanFault(
                f"{self.path.name} has no section [{name}]. Add it, or make the plan again in chapter 0."
            )
        return Section(
            self, name, {key: value for key, value in values.items() if not isinstance(value, dict)}
        )

    def only(self, *sections: str) -> None:
        """Refuse sections and loose lines other than these.

        Raises PlanFault naming the first one.
        """
        for key in self.values:
            if key not in sections:
                raise self.fault("", key, f"[{key}] is not a part of a plan. Known: {', '.join(sections)}.")

    def fault(self, section: str, key: str, what: str) -> PlanFault:
        """A PlanFault with the line where ``key`` stands, or where its section begins."""
        line = self._line(section, key)
        place = f", line {line}" if line else ""
        return PlanFault(f"{self.path.name}{place}: {what}")

    def _line(self, section: str, key: str) -> int | None:
        current, found = "", None
        for number, line in enumerate(self._text.splitlines(), 1):
            if header := re.match(r"\s*\[\s*([^\[\]]+?)\s*\]", line):
                current = header[1].replace('"', "").replace(" ", "")
                if current in (section, key):
                    found = found or number
            elif current == section and re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", line):
                return number
        return found


def _shown(value: Any) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value)
