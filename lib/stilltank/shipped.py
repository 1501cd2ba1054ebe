"""The chapters as shipped: kept aside before anyone works in them, and put back when one is started again.

``shared/chapters.sha256`` names each shipped chapter by its digest, so that a changed chapter is never taken for the
shipped one. ``python -m stilltank open`` keeps a copy of each chapter that still has its digest; where no copy was
kept, git is asked for the last committed one.
"""

import contextlib
import hashlib
import subprocess
from datetime import date
from pathlib import Path

from stilltank.files import sweep, write_atomically
from stilltank.learning.progress import Progress
from stilltank.units import Problem

ROOT = Path(__file__).resolve().parents[2]
LIST = "shared/chapters.sha256"
KEPT = "workbook/.shipped"


def digest(text: bytes) -> str:
    """Find the SHA-256 digest of a file's content.

    Parameters
    ----------
    text : bytes
        The content.

    Returns
    -------
    str
        The digest, as ``sha256sum`` prints it.

    Examples
    --------
    >>> digest(b"{}")[:8]
    '44136fa3'
    """
    return hashlib.sha256(text).hexdigest()


def shipped(root: Path = ROOT) -> dict[str, str]:
    """Read the digest of each shipped chapter.

    Parameters
    ----------
    root : Path, optional
        The folder of the workbook; this one when left out.

    Returns
    -------
    dict of str to str
        The digests, by the path of the chapter inside the workbook's folder.

    Raises
    ------
    Problem
        The list of chapters is missing or damaged.

    Examples
    --------
    >>> "workbook/00_start_here.ipynb" in shipped()
    True
    """
    try:
        lines = (root / LIST).read_text(encoding="ascii").splitlines()
        return {path: digest for digest, path in (line.split(maxsplit=1) for line in lines if line)}
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "it is damaged"
        raise Problem(
            f"The list {LIST} cannot be read: {why}. Get it again from where you got the workbook."
        ) from error


def keep(root: Path = ROOT) -> int:
    """Keep a copy of each chapter that still is as shipped.

    Parameters
    ----------
    root : Path, optional
        The folder of the workbook; this one when left out.

    Returns
    -------
    int
        How many copies are kept now.

    Raises
    ------
    Problem
        The list of chapters cannot be read, or the folder cannot be written.

    Examples
    --------
    >>> import tempfile
    >>> folder, page = tempfile.TemporaryDirectory(), "workbook/01_mixing.ipynb"
    >>> root = Path(folder.name)
    >>> for name, text in ((LIST, f"{digest(b'{}')}  {page}"), (page, "{}")):
    ...     (root / name).parent.mkdir()
    ...     _ = (root / name).write_text(text)
    >>> keep(root)
    1
    >>> folder.cleanup()
    """
    kept = 0
    for folder in (root / KEPT, root / "workbook"):
        sweep(folder)
    for path, wanted in shipped(root).items():
        copy = root / KEPT / f"{wanted}.kept"
        if not copy.exists():
            with contextlib.suppress(OSError):
                text = (root / path).read_bytes()
                if digest(text) == wanted:
                    copy.parent.mkdir(exist_ok=True)
                    write_atomically(copy, text.decode("utf-8"))
        kept += copy.exists()
    return kept


def as_shipped(path: str, root: Path = ROOT) -> str:
    """Return the text of a chapter as it was shipped.

    Parameters
    ----------
    path : str
        The path of a shipped chapter, such as ``"workbook/01_mixing.ipynb"``.
    root : Path, optional
        The folder of the workbook; this one when left out.

    Returns
    -------
    str
        The notebook as text.

    Raises
    ------
    Problem
        No copy of it is left on this computer. The sentence says where to get it.

    Examples
    --------
    >>> import tempfile
    >>> folder, page = tempfile.TemporaryDirectory(), "workbook/01_mixing.ipynb"
    >>> root = Path(folder.name)
    >>> for name, text in ((LIST, f"{digest(b'{}')}  {page}"), (page, "{}")):
    ...     (root / name).parent.mkdir()
    ...     _ = (root / name).write_text(text)
    >>> as_shipped(page, root)
    '{}'
    >>> folder.cleanup()
    """
    known = shipped(root)
    if path not in known:
        raise Problem(f"{path!r} is no chapter. The chapters are {', '.join(sorted(known))}.")
    wanted = known[path]
    for read in (
        lambda: (root / path).read_bytes(),
        lambda: (root / KEPT / f"{wanted}.kept").read_bytes(),
        lambda: (
            subprocess.run(
                ["git", "-C", str(root), "show", f"HEAD:./{path}"],
                capture_output=True,
                check=True,
                timeout=30,
            ).stdout
        ),
    ):
        with contextlib.suppress(OSError, subprocess.SubprocessError):
            if digest(text := read()) == wanted:
                return text.decode("utf-8")
    raise Problem(
        f"{path} has been changed, and no copy of it as shipped was kept on this computer. Nothing was changed. "
        f"Get {path} again from where you got the workbook."
    )


def start_again(chapter: str, code: str, on: date, root: Path = ROOT) -> list[str]:
    """Start a chapter again: put the shipped notebook back, and clear the learner's answers to it.

    Nothing is lost: the notebook as it was, and the learner's file as it was, are kept under dated names.

    Parameters
    ----------
    chapter : str
        The number of the chapter, such as ``"01"``.
    code : str
        The learner's code; empty for the notebook alone.
    on : date
        Today; part of the names of the copies.
    root : Path, optional
        The folder of the workbook; this one when left out.

    Returns
    -------
    list of str
        Sentences on what was done.

    Raises
    ------
    Problem
        There is no such chapter, no work of that code, or no copy as shipped. Nothing was changed.
    Unreadable
        What was typed is no code.

    Examples
    --------
    >>> start_again("99", "", date(2027, 5, 10))
    Traceback (most recent call last):
        ...
    stilltank.problems.Problem: There is no chapter '99'. ...
    """
    found = [path for path in shipped(root) if Path(path).name.startswith(f"{chapter}_")]
    if not found:
        numbers = ", ".join(sorted(Path(path).name[:2] for path in shipped(root)))
        raise Problem(f"There is no chapter {chapter!r}. The chapters are {numbers}.")
    path = found[0]
    notebook = root / path
    text = as_shipped(path, root)
    progress = Progress.open(code, notebook.parent)
    if progress.path is not None and not progress.path.exists():
        raise Problem(f"No work of code {progress.code} is kept in {notebook.parent}. Nothing was changed.")

    try:
        now = (
            notebook.read_bytes() if notebook.exists() else None
        )  # as bytes: it may be damaged, and still is theirs
    except OSError as error:
        raise Problem(f"{notebook.name} cannot be read: {error.strerror}. Nothing was changed.") from error
    said = []
    if now == text.encode():
        said.append(f"{notebook.name} is as it was shipped.")
    else:
        if now is not None:
            copy = _free_name(notebook, on)
            try:
                copy.write_bytes(now)
            except OSError as error:
                raise Problem(
                    f"{copy.name} could not be written: {error.strerror}. Nothing was changed."
                ) from error
            said.append(f"Your {notebook.name} is kept as {copy.name}.")
        write_atomically(notebook, text)
        said.append(f"{notebook.name} is as it was shipped again.")
    if copied := progress.start_again(chapter, on) if progress.path else None:
        said.append(
            f"The answers of code {progress.code} to chapter {chapter} are cleared; "
            f"the file as it was is kept as {copied.name}. Predictions stay."
        )
    return said


def _free_name(notebook: Path, on: date) -> Path:
    stem = f"my-{notebook.stem}-{on.isoformat()}"
    for extra in ("", *(f"-{number}" for number in range(2, 100))):
        if not (found := notebook.with_name(f"{stem}{extra}.ipynb")).exists():
            return found
    raise Problem(f"There are 99 copies of {notebook.name} from {on.isoformat()}. Move some away first.")
