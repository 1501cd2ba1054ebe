"""The tank plan as a file: plain TOML, every quantity with its unit, every fault named with its line."""

import difflib
import re
import tomllib
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import tomli_w

from stilltank import tables
from stilltank.units import Problem, Q, read

FORMAT = 1
_HEADER = """\
# Still Tank Workbook: the plan of one tank, for one season.
# Plain text: change a value, keep its unit, and open the plan again. The order of the lines does not matter.

"""
_ALIKE = {"latitude", "altitude"}  # neither is the other misspelt
# Names in TOML: bare, or between quotation marks; in a heading, or before the equals sign.
_NAME = r"""(?:"([^"]*)"|'([^']*)'|([\w-]+))"""
_HEADING = re.compile(r"\s*\[{1,2}([^\[\]]+)\]")
_ASSIGNED = re.compile(rf"\s*({_NAME}(?:\s*\.\s*{_NAME})*)\s*=")


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
            unread = [other for other in self._values if other not in self._used | _ALIKE]
            if near := difflib.get_close_matches(key, unread, n=1, cutoff=0.8):
                raise self.fault(
                    near[0], f"`{near[0]}` is not a word this section knows. Did you mean `{key}`?"
                )
            raise self.fault(key, f"`{key}` is missing. Add a line such as: {key} = {example}")
        value = self._values[key]
        if not isinstance(value, kinds) or isinstance(value, bool):
            raise self.fault(key, f"`{key}` reads {_shown(value)}. Write: {key} = {example}")
        return value

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of words between quotation marks."""
        found = self.get(key, list, '["what a reader should know"]')
        for item in found:
            if not isinstance(item, str):
                raise self.fault(
                    key, f"`{key}` holds {_shown(item)}; each part stands between quotation marks."
                )
        return tuple(found)

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

    def quantity(self, key: str, kind: str, example: str, many: bool = False) -> Any:
        """A quantity, or with ``many`` a list of them, written with its unit between quotation marks."""
        shown = f'["{example}"]' if many else f'"{example}"'
        value = self.get(key, list if many else str, shown)
        try:
            if not many:
                return read(value, kind)
            quantities = [read(str(item), kind) for item in value]
        except Problem as error:
            raise self.fault(key, f"`{key}`: {error} Write it as: {key} = {shown}") from error
        if not quantities:
            raise self.fault(key, f"`{key}` is an empty list.")
        unit = quantities[0].units
        return Q(np.array([item.m_as(unit) for item in quantities]), str(unit))

    def using(self, keys: Sequence[str], make: Callable[[], Any]) -> Any:
        """What ``make`` returns; a Problem it raises gets the line of the key it names, else of the last one."""
        try:
            return make()
        except PlanFault:
            raise
        except Problem as error:
            words = str(error).replace("_", " ")
            key = next((key for key in keys if re.search(rf"\b{key.replace('_', ' ')}\b", words)), keys[-1])
            raise self.fault(key, str(error)) from error

    def nothing_else(self) -> None:
        """Refuse keys that nothing has read: a typing error must not be lost.

        Raises PlanFault naming the first one, with near names.
        """
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
        try:
            self._text = tables.read_text(self.path, "the tank plan")
        except Problem as error:
            raise PlanFault(str(error)) from error
        try:
            self.values = tomllib.loads(self._text)
        except tomllib.TOMLDecodeError as error:
            what, line = str(error), len(self._text.splitlines())
            if found := re.fullmatch(
                r"(.*) \(at (?:line (\d+), column \d+|end of document)\)", what, re.DOTALL
            ):
                what, line = found[1], int(found[2] or line)
            raise PlanFault(
                f"{self.path.name}, line {line}: this cannot be read: {what}. "
                'A line looks like: height = "30 cm"   (words and quantities between quotation marks).'
            ) from error
        version = self.values.get("format")
        if version is None:
            raise PlanFault(f"{self.path.name} has no line `format = {FORMAT}`; is it a tank plan?")
        if isinstance(version, bool) or version != FORMAT:
            raise self.fault(
                "",
                "format",
                f"this plan is written in format {_shown(version)}, and this version reads format {FORMAT}. "
                "Open it with the version that made it, or make the plan again in chapter 0.",
            )

    def section(self, name: str) -> Section:
        """The [name] section.

        Raises PlanFault when it is missing.
        """
        values: Any = self.values
        for part in name.split("."):
            values = values.get(part) if isinstance(values, dict) else None
        if not isinstance(values, dict):
            above, _, last = name.rpartition(".")
            raise self.fault(
                above, last, f"there is no section [{name}]. Add it, or make the plan again in chapter 0."
            )
        return Section(
            self, name, {key: value for key, value in values.items() if not isinstance(value, dict)}
        )

    def only(self, *known: str) -> None:
        """Refuse sections and loose lines other than these.

        Raises PlanFault naming the first one, with near names.
        """
        below = [(key, "", value) for key, value in self.values.items()]
        for name, value in self.values.items():
            if isinstance(value, dict):
                below += [(key, name, part) for key, part in value.items() if isinstance(part, dict)]
        for key, above, _ in below:
            full = f"{above}.{key}" if above else key
            if full not in known:
                near = difflib.get_close_matches(full, known, n=1, cutoff=0.5)
                hint = f"Did you mean `{near[0]}`?" if near else f"Known: {', '.join(known)}."
                raise self.fault(above, key, f"`{full}` is not a part of a plan. {hint}")

    def fault(self, section: str, key: str, what: str) -> PlanFault:
        """A PlanFault with the line where ``key`` stands, or where its section begins."""
        line = self._line(section, key)
        place = f", line {line}" if line else ""
        return PlanFault(f"{self.path.name}{place}: {what}")

    def _line(self, section: str, key: str) -> int | None:
        """Where ``key`` stands, however it is written; else where the innermost part around it begins."""
        path = [*filter(None, section.split(".")), key]
        current: list[str] = []
        found, depth = None, 0
        for number, line in enumerate(self._text.splitlines(), 1):
            if header := _HEADING.match(line):
                here = current = _words(header[1])
            elif assigned := _ASSIGNED.match(line):
                here = [*current, *_words(assigned[1])]
            else:
                continue
            if len(here) > depth and here == path[: len(here)]:
                found, depth = number, len(here)
        return found


def _words(name: str) -> list[str]:
    return ["".join(parts) for parts in re.findall(rf"{_NAME}", name)]


def _shown(value: Any) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value)
