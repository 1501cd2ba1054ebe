"""Ground floor: a person's TOML file, read so that every fault is named with its line."""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import date
from fnmatch import fnmatchcase
from pathlib import Path
from typing import Any, ClassVar, TypeVar, overload

from stilltank.files import read_text
from stilltank.units import Problem, Q, Quantity, Unreadable, read_with_notes, write

# What stands before the equals sign: names, bare or between quotation marks, parted by dots.
_ASSIGNED = re.compile(r"""\s*((?:"(?:[^"\\]|\\.)*"|'[^']*'|[\w-]+|\s*\.\s*)+)\s*=""")


T = TypeVar("T")


class DocumentFault(Problem):
    """A file cannot be used; the sentence names the line and what to write instead.

    Examples
    --------
    >>> isinstance(DocumentFault("tank.toml, line 3: too low."), Problem)
    True
    """


class Section:
    """One [section] of a file; each read names its line when something is wrong.

    Parameters
    ----------
    document : Document
        The file.
    path : tuple of str
        Names of the sections, outermost first.
    values : dict
        What stands in it.

    See Also
    --------
    Document.section : Take one from a file.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
    >>> _ = path.write_text('format = 1\\n[tank]\\nheight = "30 cm"\\n')
    >>> "height" in Document(path).section("tank")
    True
    """

    def __init__(self, document: "Document", path: tuple[str, ...], values: dict[str, Any]):
        self._document = document
        self._path = path
        self._values = values
        self._used: set[str] = set()

    def __contains__(self, key: str) -> bool:
        return key in self._values

    def __iter__(self) -> Iterator[str]:
        return iter(self._values)

    def fault(self, key: str, what: str) -> DocumentFault:
        """The fault about a key, with its line.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        what : str
            What is wrong, as a sentence.

        Returns
        -------
        DocumentFault
            To be raised.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nheight = "30 cm"\\n')
        >>> print(Document(path).section("tank").fault("height", "too low."))
        tank.toml, line 3: too low.
        """
        return self._document.fault(self._path, key, what)

    @overload
    def get(self, key: str, kinds: type[T], example: str) -> T: ...
    @overload
    def get(self, key: str, kinds: tuple[type[T], ...], example: str) -> T: ...
    def get(self, key: str, kinds: type | tuple[type, ...], example: str) -> object:
        """The value of a key, of a kind that is asked for.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        kinds : type or tuple of type
            The class, or classes, that the value must have.
        example : str
            What to write, for the sentence.

        Returns
        -------
        object
            The value, of a class in ``kinds``.

        Raises
        ------
        DocumentFault
            The key is missing, misspelt, or its value is of another kind.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\npots = 6\\n')
        >>> Document(path).section("tank").get("pots", int, "6")
        6
        """
        self._used.add(key)
        if key not in self._values:
            unread = [other for other in self._values if other not in self._used | self._document.alike]
            if near := _near(key, unread, 0.8):
                raise self.fault(near, f"`{near}` is not a word this section knows. Did you mean `{key}`?")
            raise self.fault(key, f"`{key}` is missing. Add a line such as: {key} = {example}")
        value = self._values[key]
        if not isinstance(value, kinds) or (isinstance(value, bool) and kinds is not bool):
            raise self.fault(key, f"`{key}` reads {_shown(value)}. Write: {key} = {example}")
        return value

    def text(self, key: str, example: str) -> str:
        """Words between quotation marks.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        example : str
            What to write, for the sentence.

        Returns
        -------
        str
            The words.

        Raises
        ------
        DocumentFault
            Missing, or no text.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nlabel = "basil"\\n')
        >>> Document(path).section("tank").text("label", "basil")
        'basil'
        """
        return self.get(key, str, f'"{example}"')

    def texts(self, key: str, example: str) -> list[str]:
        """A list of words, each between quotation marks.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        example : str
            One of them, for the sentence.

        Returns
        -------
        list of str
            The words.

        Raises
        ------
        DocumentFault
            Missing, no list, or something else than text in it.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nlabels = ["basil"]\\n')
        >>> Document(path).section("tank").texts("labels", "basil")
        ['basil']
        """
        found = self.get(key, list, f'["{example}"]')
        for item in found:
            if not isinstance(item, str):
                raise self.fault(
                    key,
                    f"`{key}` holds {_shown(item)}; each part stands between quotation marks: "
                    f'{key} = ["{example}"]',
                )
        return found

    def number(self, key: str, example: float) -> float:
        """A plain number.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        example : float
            What to write, for the sentence.

        Returns
        -------
        float
            The number.

        Raises
        ------
        DocumentFault
            Missing, or no number.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\ntarget = 6.2\\n')
        >>> Document(path).section("tank").number("target", 5.8)
        6.2
        """
        return float(self.get(key, (int, float), f"{example:g}"))

    def count(self, key: str, example: int) -> int:
        """A whole number from zero upwards.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        example : int
            What to write, for the sentence.

        Returns
        -------
        int
            The number.

        Raises
        ------
        DocumentFault
            Missing, not whole, or below zero.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\npots = 6\\n')
        >>> Document(path).section("tank").count("pots", 6)
        6
        """
        value = self.get(key, int, f"{example}")
        if value < 0:
            raise self.fault(key, f"`{key}` reads {value}; it counts from zero upwards.")
        return int(value)

    def day(self, key: str, example: str) -> date:
        """A date, written 2027-04-26 without quotation marks.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        example : str
            What to write, for the sentence.

        Returns
        -------
        date
            The date.

        Raises
        ------
        DocumentFault
            Missing, or no date.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nstart = 2027-04-26\\n')
        >>> Document(path).section("tank").day("start", "2027-04-26").isoformat()
        '2027-04-26'
        """
        value = self.get(key, date, example)
        return date(value.year, value.month, value.day)

    def quantity(self, key: str, kind: str, example: str, many: bool = False) -> Quantity:
        """A quantity, or a list of them, written with its unit between quotation marks.

        Parameters
        ----------
        key : str
            The word before the equals sign.
        kind : str
            As for ``read``.
        example : str
            What to write, for the sentence.
        many : bool, default False
            Whether a list is wanted.

        Returns
        -------
        Quantity
            One value, or an array.

        Raises
        ------
        DocumentFault
            Missing, not understood, or a range.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nheight = "30 cm"\\n')
        >>> Document(path).section("tank").quantity("height", "length", "30 cm").magnitude
        30.0
        """
        shown = f'["{example}"]' if many else f'"{example}"'
        value: Any = self.get(key, list if many else str, shown)
        try:
            if not many:
                return _one_value(value, kind)
            quantities = [_one_value(str(item), kind) for item in value]
        except Problem as error:
            raise self.fault(key, f"`{key}`: {error} Write it as: {key} = {shown}") from error
        if not quantities:
            raise self.fault(key, f"`{key}` is an empty list. Write: {key} = {shown}")
        unit = str(quantities[0].units)
        return Q([item.m_as(unit) for item in quantities], unit)

    def using(self, keys: Sequence[str], make: Callable[[], T]) -> T:
        """What a function makes of this section, with the line in a refusal.

        Parameters
        ----------
        keys : list of str
            The words it is made from.
        make : callable
            The function, without arguments.

        Returns
        -------
        object
            What ``make`` returns.

        Raises
        ------
        DocumentFault
            ``make`` raised a Problem; the fault has the line of the key it names, else of the last one.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\npots = 6\\n')
        >>> Document(path).section("tank").using(["pots"], lambda: 6)
        6
        """
        try:
            return make()
        except DocumentFault:
            raise
        except Problem as error:
            words = str(error).replace("_", " ")
            named = (key for key in keys if re.search(rf"\b{re.escape(key.replace('_', ' '))}\b", words))
            raise self.fault(next(named, keys[-1]), str(error)) from error

    def nothing_else(self) -> None:
        """Refuse keys that nothing has read: a typing error must not be lost.

        Raises
        ------
        DocumentFault
            Such a key is there; the sentence names the first one, with a near name.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nhight = "30 cm"\\n')
        >>> Document(path).section("tank").nothing_else()
        Traceback (most recent call last):
        stilltank.documents.DocumentFault: tank.toml, line 3: `hight` is not a word this section knows. Known here: ...
        """
        for key in self._values:
            if key not in self._used:
                hint = _hint(key, sorted(self._used), "Known here")
                raise self.fault(key, f"`{key}` is not a word this section knows. {hint}")


class Document:
    """A file being read; a kind of file is a subclass that fills in the class variables.

    Parameters
    ----------
    path : Path or str
        The file; reading never changes it.

    Raises
    ------
    DocumentFault
        Not there, not TOML, or of a format this version cannot read; of the subclass' own type.

    Examples
    --------
    >>> Document("no-such-file.toml")
    Traceback (most recent call last):
    stilltank.documents.DocumentFault: The document no-such-file.toml is not there...
    """

    called: ClassVar[str] = "document"
    remedy: ClassVar[str] = "make it again"
    line: ClassVar[str] = 'height = "30 cm"'
    newest: ClassVar[int] = 1
    faulty: ClassVar[type[DocumentFault]] = DocumentFault
    # Words that look alike, of which none is another one misspelt.
    alike: ClassVar[frozenset[str]] = frozenset()
    # For each older format, the step from its values to those of the next one.
    upgrades: ClassVar[Mapping[int, Callable[[dict[str, Any]], dict[str, Any]]]] = {}

    def __init__(self, path: Path | str):
        self.path = Path(path)
        try:
            self._text = read_text(self.path, f"the {self.called}", "TOML")
        except Unreadable as error:
            raise self.faulty(str(error)) from None
        try:
            self.values = tomllib.loads(self._text)
        except RecursionError:
            raise self.faulty(f"{self.path.name} cannot be read: it holds brackets in brackets.") from None
        except ValueError as error:
            raise self._not_toml(str(error)) from error
        version = self.values.get("format")
        if version is None:
            raise self.faulty(
                f"{self.path.name} has no line `format = {self.newest}`; is it a {self.called}?"
            )
        self.written = version  # the format in which the file stands
        while type(version) is int and version != self.newest and version in self.upgrades:
            self.values = self.upgrades[version](self.values)
            version += 1
        if type(version) is not int or version != self.newest:
            raise self.fault(
                (),
                "format",
                f"this {self.called} is written in format {_shown(version)}, and this version reads format "
                f"{self.newest}. Open it with the version that made it, or {self.remedy}.",
            )

    def _not_toml(self, what: str) -> DocumentFault:
        line = len(self._text.splitlines())
        if found := re.fullmatch(r"(.*) \(at (?:line (\d+), column \d+|end of document)\)", what, re.DOTALL):
            what, line = found[1], int(found[2] or line)
        elif long := re.search(r"\d{4300}", self._text):  # more digits than Python reads
            what, line = "a number has thousands of digits", self._text.count("\n", 0, long.start()) + 1
        return self.faulty(
            f"{self.path.name}, line {line}: this cannot be read: {what}. "
            f"A line looks like: {self.line}   (words and quantities between quotation marks)."
        )

    def section(self, *path: str) -> Section:
        """The section at a path.

        ``section("tank")`` is [tank]; ``section()`` are the lines before any.

        Parameters
        ----------
        *path : str
            Names of the sections, outermost first.

        Returns
        -------
        Section
            The section.

        Raises
        ------
        DocumentFault
            It is missing.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nheight = "30 cm"\\n')
        >>> list(Document(path).section("tank"))
        ['height']
        """
        values: Any = self.values
        for part in path:
            values = values.get(part) if isinstance(values, dict) else None
        if not isinstance(values, dict):
            raise self.fault(
                path[:-1], path[-1], f"there is no section [{'.'.join(path)}]. Add it, or {self.remedy}."
            )
        return Section(
            self, path, {key: value for key, value in values.items() if not isinstance(value, dict)}
        )

    def sections(self, *path: str) -> dict[str, Section]:
        """The sections inside the one at a path, by their own names.

        Parameters
        ----------
        *path : str
            Names of the sections, outermost first.

        Returns
        -------
        dict of str to Section
            None where the outer one is missing.

        Raises
        ------
        DocumentFault
            Something else than a section stands there.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tanks.north]\\n[tanks.south]\\n')
        >>> list(Document(path).sections("tanks"))
        ['north', 'south']
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

    def only(self, *known: str) -> None:
        """Refuse loose lines and sections other than these, at any depth.

        Parameters
        ----------
        *known : str
            Names; ``"water.ions"`` stands for a section inside another, ``"answers.*"`` for all that are inside one.

        Raises
        ------
        DocumentFault
            Another one is there; the sentence names the first, with a near name.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\n')
        >>> Document(path).only("format", "tank")
        """
        plain = [name for name in known if "*" not in name]

        def check(path: tuple[str, ...], key: str) -> None:
            full = ".".join((*path, key))
            if not any(fnmatchcase(full, name) for name in known):
                hint = _hint(full, plain, "Known")
                raise self.fault(path, key, f"`{full}` is not a part of a {self.called}. {hint}")

        def walk(path: tuple[str, ...], values: dict[str, Any]) -> None:
            for key, value in values.items():
                if not path or isinstance(value, dict):
                    check(path, key)
            for key, value in values.items():
                if isinstance(value, dict):
                    walk((*path, key), value)

        walk((), self.values)

    def fault(self, path: tuple[str, ...], key: str, what: str) -> DocumentFault:
        """A fault with the line where a key stands, or where its section begins.

        Parameters
        ----------
        path : tuple of str
            Names of the sections, outermost first.
        key : str
            The word before the equals sign.
        what : str
            What is wrong, as a sentence.

        Returns
        -------
        DocumentFault
            To be raised.

        Examples
        --------
        >>> import tempfile
        >>> path = Path(tempfile.mkdtemp()) / "tank.toml"
        >>> _ = path.write_text('format = 1\\n[tank]\\nheight = "30 cm"\\n')
        >>> print(Document(path).fault(("tank",), "height", "too low."))
        tank.toml, line 3: too low.
        """
        line = self._line((*path, key))
        place = f", line {line}" if line else ""
        return self.faulty(f"{self.path.name}{place}: {what}")

    def _line(self, path: tuple[str, ...]) -> int | None:
        """Where ``path`` stands, however it is written; else where the innermost part around it begins."""
        heading: tuple[str, ...] = ()
        found, best = None, (0, False)
        for number, line in enumerate(self._text.splitlines(), 1):
            if line.lstrip().startswith("[") and (names := _names(line)):
                here = heading = names
            elif assigned := _ASSIGNED.match(line):
                here = (*heading, *_names(f"{assigned[1]} = 0"))
            else:
                continue
            shared = next(
                (n for n, pair in enumerate(zip(here, path, strict=False)) if pair[0] != pair[1]),
                min(len(here), len(path)),
            )
            # a line of the part itself goes before one of something inside it
            if shared and (fits := (shared, shared == len(here))) > best:
                found, best = number, fits
        return found


def _names(line: str) -> tuple[str, ...]:
    """The names, outermost first, in a heading or before an equals sign; none for any other line."""
    try:
        values: Any = tomllib.loads(line)
    except tomllib.TOMLDecodeError:
        return ()
    names = []
    while isinstance(values, dict) and values:
        name, values = next(iter(values.items()))
        names.append(name)
        values = values[0] if isinstance(values, list) else values
    return tuple(names)


def _one_value(text: str, kind: str) -> Quantity:
    """What a text of a file says; a range is refused, since its middle is nobody's choice."""
    found = read_with_notes(text, kind)
    if found.low is not None and found.high is not None:
        raise Unreadable(
            f'"{text}" runs from {write(found.low)} to {write(found.high)}, and one value is needed.'
        )
    return found.quantity


def _near(word: str, known: Sequence[str], cutoff: float) -> str | None:
    import difflib

    return next(iter(difflib.get_close_matches(word, known, n=1, cutoff=cutoff)), None)


def _hint(word: str, known: Sequence[str], said: str) -> str:
    near = _near(word, known, 0.5)
    return f"Did you mean `{near}`?" if near else f"{said}: {', '.join(known)}."


def _shown(value: Any) -> str:
    return f'"{value}"' if isinstance(value, str) else str(value)
