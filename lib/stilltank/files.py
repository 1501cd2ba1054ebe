"""Ground floor: writing a user's file whole or not at all."""

import contextlib
import os
import tempfile
from pathlib import Path

from .units import Problem


def write_atomically(path: Path, text: str | bytes) -> None:
    """Write a file, of text or of bytes, whole or not at all: a finished copy takes the place of the old one.

    Raises Problem when the folder does not exist or cannot be written.
    """
    path = Path(path)
    try:
        handle, part = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    except OSError as error:
        raise Problem(f"{path.name} could not be saved in {path.parent}: {error.strerror}.") from error
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(text.encode() if isinstance(text, str) else text)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(part, path.stat().st_mode & 0o777 if path.exists() else 0o644)
        os.replace(part, path)
    except OSError as error:
        with contextlib.suppress(OSError):
            os.unlink(part)
        raise Problem(f"{path.name} could not be saved in {path.parent}: {error.strerror}.") from error
