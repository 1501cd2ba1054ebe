"""Ground floor: writing a user's file whole or not at all, one writer at a time."""

import contextlib
import errno
import os
import random
import re
import secrets
import sys
import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from types import EllipsisType

from stilltank.problems import Problem, Unreadable

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

PATIENCE = 10.0  # seconds to wait for one other writer; a save takes hundredths of one
_ROUND = 0.01  # seconds within which each who waits asks again
_TAKEN = {errno.EACCES, errno.EAGAIN, errno.EDEADLK}  # what the systems say of a lock that somebody has
_OTHERS = 0.5  # seconds to wait for a lock that is not ours to open
_RETRIES = 20  # of a twentieth of a second: Windows refuses to replace a file while another program reads it
_DAY = 86400.0  # seconds
_REMEDIES = {
    errno.ENOSPC: " Make room, then save again.",
    errno.EDQUOT: " Make room, then save again.",
    errno.EACCES: " Copy the workbook to a folder of your own, or save elsewhere.",
    errno.EROFS: " Copy the workbook to a folder of your own, or save elsewhere.",
}
# What a writer that was killed leaves: of files a learner made, and of chapters.
_LEFT = re.compile(r"\.((?:my-.+|\d\d_\w+\.ipynb|[0-9a-f]{64}\.kept))\.(?:[0-9a-z_]{8}\.part|lock)")
_given_back: dict[Path, float] = {}  # when this process last had a lock


class FileChanged(Problem):
    """A file is not what its writer expected to replace; it stays as it is.

    Examples
    --------
    >>> isinstance(FileChanged("mine.csv exists already; it stays as it is."), Problem)
    True
    """


@contextlib.contextmanager
def alone_with(path: Path | str) -> Iterator[Callable[[str | bytes], None]]:
    """Keep other writers away from a file, to read it and write it again.

    Another writer waits, whichever process it belongs to. The lock ends with the process that holds it, so that one
    that was killed blocks nobody. In the block, ``write_atomically`` of the same file would wait for itself.

    Parameters
    ----------
    path : Path or str
        The file; of a link, the one it leads to.

    Yields
    ------
    callable
        The function that writes.

    Raises
    ------
    Problem
        Another writer does not end within ten seconds, or the file cannot be written. In a queue that moves on,
        everyone waits for their turn.

    Notes
    -----
    On a network folder the lock holds as far as its server passes locks on; a folder that two computers copy to each
    other has none between them. Where a folder knows no locks, writing goes on without.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "log.txt"
    >>> with alone_with(path) as write:
    ...     write("20 L")
    >>> path.read_text()
    '20 L'
    """
    with _said(Path(path)):
        target = Path(os.path.realpath(path))  # of a link the file it leads to is written
    with _lock(target, PATIENCE):
        yield partial(_replace, target)


def write_atomically(
    path: Path | str, text: str | bytes, *, expected: bytes | EllipsisType | None = ...
) -> None:
    """Write a file whole or not at all: a finished copy takes the place of the old one.

    An older file keeps its permissions; a new one gets the usual ones of its user. Half of a character, as a browser
    can send it, is written as the sign �, since no file can hold it.

    Parameters
    ----------
    path : Path or str
        The file; of a link, the one it leads to is written.
    text : str or bytes
        Its whole content.
    expected : bytes or None, optional
        What the file must hold now, None where there must be no file yet; when left out, all is replaced.

    Raises
    ------
    FileChanged
        The file is not as expected; it stays as it is.
    Problem
        The folder does not exist or cannot be written, the disk is full, the file is write-protected, or another
        program keeps it busy.

    Examples
    --------
    >>> import tempfile
    >>> path = Path(tempfile.mkdtemp()) / "mine.txt"
    >>> write_atomically(path, "20 L")
    >>> path.read_text()
    '20 L'
    """
    path = Path(path)
    with alone_with(path) as write:
        if expected is not ...:
            with _said(path):
                found = path.read_bytes() if path.exists() else None
            if found != expected:
                raise FileChanged(
                    f"{path.name} {'was changed meanwhile' if expected else 'exists already'}; it stays as it is."
                )
        write(text)


def sweep(folder: Path | str) -> None:
    """Remove what killed saves left in a folder.

    Only hidden parts of ours that no living process is writing are removed.

    Parameters
    ----------
    folder : Path or str
        The folder.

    Examples
    --------
    >>> import tempfile
    >>> sweep(tempfile.mkdtemp())
    """
    with contextlib.suppress(OSError):
        for left in sorted(Path(folder).iterdir()):
            if found := _LEFT.fullmatch(left.name):
                with contextlib.suppress(OSError, Problem), _lock(left.with_name(found[1]), 0) as alone:
                    if left.suffix == ".part" and (alone or time.time() - left.stat().st_mtime > _DAY):
                        left.unlink()


def whole_characters(text: str) -> str:
    """A text that a file can hold.

    Parameters
    ----------
    text : str
        Perhaps with halves of characters, as a browser can send them.

    Returns
    -------
    str
        Halves of one character are put together; a single half becomes the sign �.

    Examples
    --------
    >>> whole_characters("36 g \\ud83c\\udf31"), whole_characters("36 g \\ud83c")
    ('36 g 🌱', '36 g �')
    """
    try:
        text.encode()
    except UnicodeEncodeError:
        return text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    return text


def _replace(target: Path, text: str | bytes) -> None:
    content = whole_characters(text).encode() if isinstance(text, str) else text
    with _said(target):
        mode = target.stat().st_mode & 0o777 if target.exists() else None
        if mode is not None and not os.access(target, os.W_OK) and os.access(target.parent, os.W_OK):
            raise Problem(
                f"{target.name} is write-protected and stays as it is. Allow writing to it, or give it another name."
            )
        part = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
        try:
            with open(part, "xb") as file:  # with the permissions the user's new files get
                if mode is not None:
                    with contextlib.suppress(OSError):  # some memory sticks know no permissions
                        os.chmod(part, mode)
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            for retry in range(_RETRIES + 1):
                try:
                    os.replace(part, target)
                    break
                except PermissionError as error:
                    if retry == _RETRIES:
                        raise Problem(
                            f"{target.name} could not be saved: it is open in another program, or belongs to somebody "
                            "else. Close it there, then save again."
                        ) from error
                    time.sleep(0.05)
        except BaseException:
            with contextlib.suppress(OSError):
                part.unlink()
            raise


@contextlib.contextmanager
def _said(target: Path) -> Iterator[None]:
    """What the system says of a file, as a Problem."""
    try:
        yield
    except (OSError, ValueError) as error:
        if isinstance(error, Problem):
            raise
        reason, remedy = "no file can have this name", " Give it another one."
        if isinstance(error, OSError):
            reason, remedy = error.strerror or str(error), _REMEDIES.get(error.errno or 0, "")
        said = f"{target.name} could not be saved in {target.parent}: {reason}.{remedy}"
        raise Problem(whole_characters(said)) from error


@contextlib.contextmanager
def _lock(target: Path, patience: float) -> Iterator[bool]:
    """Hold the lock of a file; gives False where the folder knows none. Raises Problem when somebody else has it."""
    path = target.with_name(f".{target.name}.lock")
    held = _take(path, target, patience)
    try:
        yield held is not None
    finally:
        if held is not None:
            # Whoever waits for the lock sees that its file is gone. Windows removes no open file, nor one others wait
            # for, so there it goes after it was closed.
            if sys.platform != "win32":
                _forget(path)
            os.close(held)
            if sys.platform == "win32":
                _forget(path)
            _given_back[path] = time.monotonic()


def _forget(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


def _take(path: Path, target: Path, patience: float) -> int | None:
    """The open and locked file at ``path``; None where there can be none, and writing says why or needs none."""
    # Whoever has just had it lets those who wait go first, or would have it again before they ask.
    time.sleep(max(0.0, _given_back.get(path, -_ROUND) + 1.2 * _ROUND - time.monotonic()))
    start, moved = time.monotonic(), _state(target)
    while True:
        try:
            held = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
        except PermissionError:  # not our folder, another user's lock, or on Windows one just removed
            if time.monotonic() - start > min(patience, _OTHERS):
                return None
        except (OSError, ValueError):
            return None
        else:
            try:
                if sys.platform == "win32":
                    msvcrt.locking(held, msvcrt.LK_NBLCK, 1)
                else:
                    fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
                if os.path.samestat(os.fstat(held), os.stat(path)):
                    return held
                os.close(held)  # its last holder had removed it
                continue
            except FileNotFoundError:
                os.close(held)
                continue
            except OSError as error:
                os.close(held)
                if error.errno not in _TAKEN:
                    return None
                if moved != (now := _state(target)):  # another one's turn
                    start, moved = time.monotonic(), now
                if time.monotonic() - start > patience:
                    raise Problem(
                        f"{target.name} could not be saved: another program has been saving it for {patience:g} "
                        "seconds. Close other windows of the workbook and try again."
                    ) from None
        time.sleep(random.uniform(0.1, 1) * _ROUND)


def _state(target: Path) -> tuple[int, int] | None:
    """What changes whenever a file is written."""
    try:
        found = target.stat()
    except (OSError, ValueError):
        return None
    return found.st_ino, found.st_mtime_ns


def read_text(path: str | os.PathLike[str], what: str, kind: str = "CSV") -> str:
    """Read a person's text file: UTF-8, with or without a byte-order mark, any line ends; never changes it.

    Parameters
    ----------
    path : str or path
        The file.
    what : str
        What the file is to the person, for the sentence: ``"the water report"``.
    kind : str, default "CSV"
        "CSV" or "TOML"; what the file should be.

    Returns
    -------
    str
        The text; line ends are ``\\n``.

    Raises
    ------
    Unreadable
        No such file, a folder, no permission, not text, or not UTF-8 (names the line).

    Examples
    --------
    >>> read_text("no-such-folder/water.csv", "the water report")
    Traceback (most recent call last):
    stilltank.problems.Unreadable: The water report no-such-folder/water.csv is not there. Check the name...
    """
    if not isinstance(path, (str, os.PathLike)):
        raise Unreadable(
            f'{what[:1].upper()}{what[1:]} is a file; write its name, such as "mine.csv". {path!r} is none.'
        )
    path = Path(path)
    named = f"{what[:1].upper()}{what[1:]} {path}"
    try:
        raw = path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        raise Unreadable(f"{named} is not there. Check the name and the folder.") from None
    except IsADirectoryError:
        raise Unreadable(f"{named} is a folder. Give the name of a file.") from None
    except (OSError, ValueError) as error:  # no permission, a disk fault, a name no system accepts
        reason = getattr(error, "strerror", None) or str(error)
        raise Unreadable(f"{named} could not be opened: {reason}.") from None
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        encoding = "utf-16"  # what some spreadsheets call "Unicode text"; the mark makes it certain
    else:
        encoding = "utf-8-sig"
        if b"\0" in raw:
            raise Unreadable(f"{named} is not a text file. {_not_text(path, raw, kind)}")
    try:
        text = raw.decode(encoding)
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        said = "CSV UTF-8" if kind == "CSV" else "UTF-8 text"
        raise Unreadable(
            f"{named}, line {line}: a letter is stored in an old way. Save the file again as {said}."
        ) from None
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _not_text(path: Path, raw: bytes, kind: str) -> str:
    """What to do with a file that is no text, by what it is and what is wanted."""
    if kind != "CSV":
        return f"Give a {kind} file: plain text, as a text editor shows and saves it."
    if path.suffix.lower() in (".xls", ".xlsx", ".xlsm", ".ods") or raw.startswith(b"PK"):
        return "Open it in the spreadsheet program, save it as CSV, and give that file."
    return "Give a table as CSV: a picture or a PDF must be typed in first."
