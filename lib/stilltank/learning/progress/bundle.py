"""All of a learner's own files as one: answers, plans, shelf, logs, reports and notes in a zip."""

import io
import re
import tomllib
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from stilltank.files import FileChanged, write_atomically
from stilltank.units import Problem

from .file import ProgressFault
from .joined_work import counted

KINDS = (".toml", ".csv", ".txt", ".md")
"""What a bundle takes: plain text. Pages and pictures can be made again."""

_MOST_FILES, _MOST_BYTES = 200, 20_000_000  # far above a season of 20 tanks
_DAMAGED = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, ValueError)
_STAMP = (1980, 1, 1, 0, 0, 0)  # the same work makes the same file
_COPIES = re.compile(r"-\d{4}-\d\d-\d\d(-\d+)?$|^my-work-")
_READ_ME = "READ-ME.txt"
_TOLD = (
    "Still Tank Workbook: the files of code {code}.\n\nBring this file in whole, under the same code: in a chapter, "
    'under your code, choose it at "Bring work in from another computer". No file there is replaced.\n\n{names}\n'
)


def packed(folder: Path, code: str, progress: Path, text: str) -> bytes:
    """Put a learner's files into a zip.

    Parameters
    ----------
    folder : Path
        Where they are.
    code : str
        Whose.
    progress : Path
        The file of the answers, for its name.
    text : str
        The answers as they are now.

    Returns
    -------
    bytes
        The zip. The same files make the same bytes.

    Raises
    ------
    Problem
        A file cannot be read, or they are too large.
    """
    contents = {progress.name: text.encode()}
    for path in files_of(folder, code):
        if path.name != progress.name:
            try:
                contents[path.name] = path.read_bytes()
            except OSError as error:
                raise Problem(f"{path.name} cannot be read: {error.strerror}. Nothing was written.") from None
    _not_too_much(len(contents), sum(map(len, contents.values())))
    names = "\n".join(sorted(contents))
    contents[_READ_ME] = _TOLD.format(code=code, names=names).encode()
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as bundle:
        for name in sorted(contents):
            entry = zipfile.ZipInfo(name, _STAMP)
            entry.compress_type, entry.external_attr = zipfile.ZIP_DEFLATED, 0o644 << 16
            bundle.writestr(entry, contents[name])
    return made.getvalue()


def files_of(folder: Path, code: str) -> list[Path]:
    """Find the files of a learner: those with the code in their names, and those that these name.

    Where nobody else has worked in the folder, those without a code are the learner's too.

    Parameters
    ----------
    folder : Path
        Where they are.
    code : str
        Whose.

    Returns
    -------
    list of Path
        Without copies that were made before.
    """
    held = sorted(path for path in folder.iterdir() if path.suffix.lower() in KINDS and path.is_file())
    held = [path for path in held if not _COPIES.search(path.stem)]
    codes = {
        path.stem.removeprefix(start)
        for path in held
        for start in ("my-progress-", "my-tank-")
        if path.name.startswith(start)
    }
    alone = codes <= {code}
    mine = []
    for path in held:
        # "my-tank-7B-12" is of 7B-12, and not of 12
        whose = max((each for each in {*codes, code} if path.stem.endswith(f"-{each}")), key=len, default="")
        if whose == code or (alone and not whose and (path.name.startswith("my-") or _is_a_plan(path))):
            mine.append(path)
    named = {name for path in mine for name in _texts(_values(path))}
    return sorted({*mine, *(path for path in held if path.name in named)})


def opened(path: Path) -> dict[str, bytes]:
    """Read a bundle; it does not change.

    Parameters
    ----------
    path : Path
        The zip.

    Returns
    -------
    dict of str to bytes
        Its files by name, without the words for the reader.

    Raises
    ------
    ProgressFault
        It is no bundle, is damaged or too large, or holds a file that no bundle has.
    """
    found: dict[str, bytes] = {}
    try:
        with zipfile.ZipFile(path) as bundle:
            entries = [entry for entry in bundle.infolist() if entry.filename != _READ_ME]
            _not_too_much(len(entries), sum(entry.file_size for entry in entries))
            for entry in entries:
                name = entry.filename
                if not _plain(name) or name in found:
                    raise ProgressFault(
                        f"{path.name} holds {name[:60]!r}, which no bundle does. Nothing was taken."
                    )
                found[name] = bundle.read(entry)
    except FileNotFoundError:
        raise ProgressFault(f"{path.name} is not there. Check the name.") from None
    except (*_DAMAGED, OSError) as error:
        raise ProgressFault(
            f"{path.name} cannot be opened as a bundle: {error}. Nothing was taken. Copy it again from where it was "
            "made."
        ) from None
    return found


def answers_in(path: Path, contents: Mapping[str, bytes]) -> str:
    """Find the file of the answers in a bundle.

    Parameters
    ----------
    path : Path
        The zip, for the sentence.
    contents : mapping of str to bytes
        Its files.

    Returns
    -------
    str
        Its name.

    Raises
    ------
    ProgressFault
        There is none, or several.
    """
    names = [name for name in contents if name.startswith("my-progress-") and name.endswith(".toml")]
    if len(names) != 1:
        raise ProgressFault(
            f"{path.name} holds the answers of {len(names)} codes, not of one. Nothing was taken."
        )
    return names[0]


def what_is_new(contents: Mapping[str, bytes], folder: Path) -> str:
    """Say what putting the files back would do; nothing changes.

    Parameters
    ----------
    contents : mapping of str to bytes
        The files by name.
    folder : Path
        Where they are to go.

    Returns
    -------
    str
        A sentence, empty where there are no files.
    """
    new, same, other = _sorted(contents, folder)
    return " ".join(
        sentence
        for sentence in (
            f"New files here: {', '.join(new)}." if new else "",
            f"The same here already: {', '.join(same)}." if same else "",
            f"Different here, so that both are kept: {', '.join(other)}." if other else "",
        )
        if sentence
    )


def put_back(contents: Mapping[str, bytes], folder: Path) -> str:
    """Write files that are not there; beside one that is there and differs, under another name.

    Parameters
    ----------
    contents : mapping of str to bytes
        The files by name.
    folder : Path
        Where they go.

    Returns
    -------
    str
        A sentence on what was written, empty where nothing was.

    Raises
    ------
    Problem
        The folder cannot be written. What was written until then stays; doing it again goes on from there.
    """
    new, _, other = _sorted(contents, folder)
    beside = []
    for name in new:
        try:
            write_atomically(folder / name, contents[name], expected=None)
        except FileChanged:  # it appeared meanwhile
            other.append(name)
    for name in other:
        beside.append(
            f"{name} stays, and the one brought in is {_beside(folder / name, contents[name]).name}"
        )
    new = [name for name in new if name not in other]
    return " ".join(
        sentence
        for sentence in (
            f"{counted(len(new), 'file')} written: {', '.join(new)}." if new else "",
            f"{'; '.join(beside)}." if beside else "",
        )
        if sentence
    )


def _beside(path: Path, content: bytes) -> Path:
    for number in range(1, 100):
        other = path.with_name(f"{path.stem}.brought{'' if number == 1 else f'-{number}'}{path.suffix}")
        if other.exists() and other.read_bytes() == content:
            return other
        if not other.exists():
            write_atomically(other, content, expected=None)
            return other
    raise Problem(f"There are 99 files beside {path.name} that were brought in. Move some away first.")


def _sorted(contents: Mapping[str, bytes], folder: Path) -> tuple[list[str], list[str], list[str]]:
    """Names of what is new, the same and different in a folder."""
    new: list[str] = []
    same: list[str] = []
    other: list[str] = []
    for name, content in sorted(contents.items()):
        path = folder / name
        if not path.exists():
            new.append(name)
        else:
            (same if path.is_file() and path.read_bytes() == content else other).append(name)
    return new, same, other


def _not_too_much(files: int, size: int) -> None:
    if files > _MOST_FILES or size > _MOST_BYTES:
        raise ProgressFault(
            f"{files} files of {size / 1e6:.0f} MB are more than a bundle takes: {_MOST_FILES} files, "
            f"{_MOST_BYTES / 1e6:.0f} MB. Move what is not yours to another folder."
        )


def _plain(name: str) -> bool:
    """Whether this is the bare name of a text file, that leads to no other folder."""
    return (
        name.isprintable()
        and not name.startswith(".")
        and not set(name) & set('/\\:*?"<>|')
        and Path(name).suffix.lower() in KINDS
    )


def _is_a_plan(path: Path) -> bool:
    values = _values(path)
    return "tank" in values and "plants" in values


def _values(path: Path) -> dict[str, Any]:
    if path.suffix.lower() != ".toml":
        return {}
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}


def _texts(values: object) -> Iterator[str]:
    if isinstance(values, str):
        yield values
    elif isinstance(values, dict):
        for value in values.values():
            yield from _texts(value)
    elif isinstance(values, list):
        for value in values:
            yield from _texts(value)
