"""Examine an installation, part by part, and start JupyterLab in it.

Packages are imported where they are used: what cannot be loaded is a finding, not the end of the examination.
"""

import contextlib
import itertools
import os
import re
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Literal

from . import COMMAND

ROOT = Path(__file__).resolve().parents[2]
LOCK = ROOT / "lib" / "requirements.lock"
WORKBOOK = ROOT / "workbook"
KERNELS = ROOT / "shared" / "jupyter" / "ipython_kernel_config.json"  # what kernels are told
FIRST = "00_start_here.ipynb"
_PORTS = ("--port", "--ServerApp.port")
PORT = 8888  # where JupyterLab starts to look for a free one
LOADED = "import ipywidgets, matplotlib.figure, numpy, pandas, scipy.optimize, stilltank.tables"
AFRESH = f"Delete the folder .venv, then run: {COMMAND}"


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found for one part of the installation; a fault has a remedy.

    Parameters
    ----------
    part : str
        The part.
    state : str
        "ok", "note" or "fault".
    said : str
        What was found.
    remedy : str, default ""
        What to do about a fault.

    Examples
    --------
    >>> print(Finding("port", "ok", "8888 is free."))
    ok    port              8888 is free.
    """

    part: str
    state: Literal["ok", "note", "fault"]
    said: str
    remedy: str = ""

    def __str__(self) -> str:
        line = f"{self.state:<6}{self.part:<18}{self.said}"
        return f"{line}\n{'':<24}Remedy: {self.remedy}" if self.remedy else line


def python_version(version: tuple[int, ...] = tuple(sys.version_info[:3])) -> Finding:
    """Check that this Python is one that the library says it needs.

    Parameters
    ----------
    version : tuple of int, optional
        Its numbers; those of the Python that runs this when left out.

    Returns
    -------
    Finding
        The version, or a fault with the version that is needed.

    Examples
    --------
    >>> python_version((3, 10, 13)).state
    'fault'
    """
    shown = ".".join(map(str, version))
    needed = metadata.metadata("stilltank")["Requires-Python"]
    from packaging.specifiers import SpecifierSet

    if SpecifierSet(needed).contains(shown):
        return Finding("Python", "ok", shown)
    return Finding(
        "Python",
        "fault",
        f"{shown}; needed is {needed}.",
        f"Install a newer Python, then run: {COMMAND}",
    )


def _installed(name: str) -> str | None:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return None


def packages(installed: Callable[[str], str | None] = _installed) -> Iterator[Finding]:
    """Check that each package the library names is there, in a version it can work with, and as tested.

    Parameters
    ----------
    installed : callable, optional
        Gives the version of a package, None where it is missing; that of this environment when left out.

    Yields
    ------
    Finding
        A fault for each package that is missing or does not fit, then what holds for all.

    Examples
    --------
    >>> next(packages(lambda name: None)).state
    'fault'
    """
    from packaging.requirements import Requirement

    asked = [Requirement(line) for line in _required()]
    asked = [one for one in asked if one.marker is None or one.marker.evaluate()]
    good = 0
    for one in asked:
        here = installed(one.name)
        if here is None:
            yield Finding("package", "fault", f"{one.name} is missing.", AFRESH)
        elif not one.specifier.contains(here, prereleases=True):
            yield Finding("package", "fault", f"{one.name} is {here}; needed is {one.specifier}.", AFRESH)
        else:
            good += 1
    if good == len(asked):
        yield Finding("packages", "ok", f"all {good} that the library names are there.")
    if not LOCK.exists():
        return
    tested = [Requirement(line.split("\\")[0]) for line in _lock_lines()]
    tested = [one for one in tested if one.marker is None or one.marker.evaluate()]
    other = [
        f"{one.name} {here or 'missing'} (tested {str(one.specifier).lstrip('=')})"
        for one in tested
        if (here := installed(one.name)) is None or not one.specifier.contains(here, prereleases=True)
    ]
    if other:
        said = f"{len(other)} of {len(tested)} differ from the tested set: {', '.join(other[:4])}"
        said += ", and others." if len(other) > 4 else "."
        yield Finding("tested versions", "note", said)
    else:
        yield Finding("tested versions", "ok", f"all {len(tested)} packages are the tested ones.")


def _required() -> list[str]:
    """What the library needs: as its folder says, for what was written when it was installed may be older."""
    import tomllib

    try:
        text = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
        return list(tomllib.loads(text)["project"]["dependencies"])
    except (OSError, ValueError, KeyError):
        return metadata.requires("stilltank") or []


def _lock_lines() -> list[str]:
    return re.findall(r"^[A-Za-z0-9][^\n]*", LOCK.read_text(encoding="utf-8"), re.MULTILINE)


def kernel(name: str = "python3", seconds: float = 60) -> Finding:
    """Start the kernel that the chapters name, and let it load what they load.

    Parameters
    ----------
    name : str, default "python3"
        The name of the kernel.
    seconds : float, default 60
        How long to wait for its answers.

    Returns
    -------
    Finding
        Whether it starts and loads the library.

    Examples
    --------
    >>> kernel("no-such-kernel").said
    'There is no kernel named no-such-kernel.'
    """
    from jupyter_client.kernelspec import NoSuchKernel
    from jupyter_client.manager import start_new_kernel

    try:
        manager, client = start_new_kernel(
            kernel_name=name, startup_timeout=seconds, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
    except NoSuchKernel:
        return Finding("kernel", "fault", f"There is no kernel named {name}.", AFRESH)
    except (RuntimeError, OSError) as error:
        return Finding("kernel", "fault", f"The kernel {name} does not start: {_line(error)}.", AFRESH)
    try:
        answer = client.execute(LOADED, reply=True, timeout=seconds, store_history=False)["content"]
    except TimeoutError:
        slow = f"The kernel {name} gave no answer in {seconds:g} s."
        return Finding("kernel", "fault", slow, f"Close other programs and check again. {AFRESH}")
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)
    if answer["status"] == "ok":
        return Finding("kernel", "ok", f"{name} starts and loads the library.")
    return Finding("kernel", "fault", f"The kernel {name} starts, but: {answer['evalue']}.", AFRESH)


def tables() -> Finding:
    """Read every table in data/.

    Returns
    -------
    Finding
        How many values there are, or the first fault.

    Examples
    --------
    >>> tables().state
    'ok'
    """
    from . import tables as ground
    from .units import Problem

    whole = "Get the folder data/ again from where you got the workbook."
    try:
        count = sum(len(ground.load(name)) for name in ground.names())
        cited = len(ground.sources())
    except Problem as problem:
        return Finding("data", "fault", str(problem), whole)
    if not count:
        return Finding("data", "fault", f"There are no tables in {ground.DATA}.", whole)
    return Finding("data", "ok", f"{count} values in {len(ground.names())} tables, {cited} sources.")


def chapters(folder: Path = WORKBOOK) -> Finding:
    """Check that the chapters are there.

    Parameters
    ----------
    folder : Path, optional
        The folder of the chapters; workbook/ when left out.

    Returns
    -------
    Finding
        How many there are, or a fault.

    Examples
    --------
    >>> chapters(Path("no-such-folder")).state
    'fault'
    """
    found = sorted(folder.glob("[0-9]*.ipynb"))
    if (folder / FIRST).exists():
        return Finding("chapters", "ok", f"{len(found)} in {folder}")
    return Finding(
        "chapters",
        "fault",
        f"{FIRST} is not in {folder}.",
        "Get the folder workbook/ again from where you got the workbook.",
    )


def hiding(folder: Path = WORKBOOK) -> Finding:
    """Check that no file beside the chapters would be loaded in place of a part of Python or of a package.

    Parameters
    ----------
    folder : Path, optional
        The folder of the chapters; workbook/ when left out.

    Returns
    -------
    Finding
        A fault for the first such file.

    Examples
    --------
    >>> hiding(Path("no-such-folder")).state
    'ok'
    """
    from importlib.machinery import PathFinder

    elsewhere = [one for one in sys.path if Path(one or os.curdir).resolve() != folder.resolve()]
    found = [path for path in sorted(folder.glob("*.py")) if path.name != "__main__.py"]
    found += [path.parent for path in sorted(folder.glob("*/__init__.py"))]
    for path in found:
        if path.stem in sys.stdlib_module_names or PathFinder.find_spec(path.stem, elsewhere):
            return Finding(
                "names",
                "fault",
                f"{path.name} in {folder} has the name of a part of Python or of a package, and is loaded instead.",
                f"Give {path.name} another name, such as my_{path.name}.",
            )
    return Finding("names", "ok", "No file beside the chapters hides a package.")


def writable(folder: Path = WORKBOOK) -> Finding:
    """Check that what a learner makes can be saved beside the chapters.

    Parameters
    ----------
    folder : Path, optional
        The folder of the chapters; workbook/ when left out.

    Returns
    -------
    Finding
        A fault where nothing can be saved.

    Examples
    --------
    >>> writable(Path("no-such-folder")).state
    'fault'
    """
    try:
        with tempfile.TemporaryFile(dir=folder) as file:
            file.write(b"a line\n")
    except OSError as error:
        return Finding(
            "folder",
            "fault",
            f"Nothing can be saved in {folder}: {error.strerror}.",
            "Copy the whole workbook to a folder of your own; if the disk is full, make room.",
        )
    return Finding("folder", "ok", f"{folder} can be written in.")


def home() -> Finding:
    """Check that JupyterLab can keep its own settings in the home folder; if not, it gets a folder for this time.

    Returns
    -------
    Finding
        Where JupyterLab keeps its settings; a fault where it can keep them nowhere.

    Notes
    -----
    A folder for this time is named in the environment of this process, and so for the programs that it starts.

    Examples
    --------
    >>> from unittest import mock
    >>> names = "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR"
    >>> with tempfile.TemporaryDirectory() as folder, mock.patch.dict(os.environ, dict.fromkeys(names, folder)):
    ...     home().state
    'ok'
    """
    from jupyter_core import paths

    places = {
        "JUPYTER_CONFIG_DIR": paths.jupyter_config_dir(),
        "JUPYTER_DATA_DIR": paths.jupyter_data_dir(),
        "JUPYTER_RUNTIME_DIR": paths.jupyter_runtime_dir(),
    }
    try:
        for place in places.values():
            Path(place).mkdir(parents=True, exist_ok=True, mode=0o700)
            with tempfile.TemporaryFile(dir=place):
                pass
    except OSError as error:
        try:
            spare = tempfile.mkdtemp(prefix="stilltank-")
        except OSError:
            return Finding(
                "home",
                "fault",
                f"Neither {place} nor the folder for temporary files can be written in.",
                "Set HOME (on Windows: USERPROFILE) to a folder that is there and yours to change.",
            )
        for name in (*places, "IPYTHONDIR", "MPLCONFIGDIR"):
            os.environ[name] = os.path.join(spare, name.lower())
        said = (
            f"{place} cannot be written in ({error.strerror}); JupyterLab keeps its own settings in {spare}."
        )
        return Finding("home", "note", said)
    return Finding("home", "ok", f"JupyterLab keeps its own settings in {places['JUPYTER_CONFIG_DIR']}.")


def is_free(port: int) -> bool:
    """True if nothing listens on this port of this computer.

    Parameters
    ----------
    port : int
        The number of the port.

    Returns
    -------
    bool
        False if it is in use.

    Examples
    --------
    >>> with socket.create_server(("127.0.0.1", 0)) as server:
    ...     is_free(server.getsockname()[1])
    False
    """
    with socket.socket() as probe:
        if os.name == "posix":  # as servers do there, so that a port just given up counts as free
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def port(wish: int | None = None) -> Finding:
    """Check that JupyterLab can use its port, or the next free one if none was asked for.

    Parameters
    ----------
    wish : int, optional
        A port that it must get.

    Returns
    -------
    Finding
        A fault where the port asked for is in use, with a free one in the remedy.

    Examples
    --------
    >>> with socket.create_server(("127.0.0.1", 0)) as server:
    ...     port(server.getsockname()[1]).state
    'fault'
    """
    number = wish or PORT
    if is_free(number):
        return Finding("port", "ok", f"{number} is free.")
    if wish is None:
        said = f"{number} is in use, perhaps by a workbook left open; the next free one will be taken."
        return Finding("port", "note", said)
    another = next((one for one in range(wish + 1, min(wish + 50, 65536)) if is_free(one)), PORT)
    remedy = f"Close what uses it (perhaps a workbook left open), or run: {COMMAND} --port={another}"
    return Finding("port", "fault", f"{wish} is in use.", remedy)


def examine(wish: int | None = None) -> Iterator[Finding]:
    """Examine everything the workbook needs, part by part.

    Parameters
    ----------
    wish : int, optional
        A port that JupyterLab must get; without it any free one does.

    Yields
    ------
    Finding
        What was found for the next part, or for a part of it.

    Examples
    --------
    >>> next(examine()).part
    'Python'
    """
    parts: tuple[Callable[[], Finding | Iterator[Finding]], ...] = (
        python_version,
        packages,
        home,
        kernel,
        tables,
        chapters,
        hiding,
        writable,
        lambda: port(wish),
    )
    for part in parts:
        try:
            found = part()
            yield from (found,) if isinstance(found, Finding) else found
        except ImportError as error:
            yield Finding("package", "fault", f"{_line(error)}.", AFRESH)


def _line(error: BaseException) -> str:
    return " ".join(str(error).split())[:200]


def become(command: list[str]) -> None:
    """End this process as another command.

    Parameters
    ----------
    command : list of str
        The program and its arguments.

    Examples
    --------
    >>> code = "import sys; from stilltank.installation import become; become([sys.executable, '-c', 'print(1 + 1)'])"
    >>> int(subprocess.run([sys.executable, "-c", code], capture_output=True).stdout)
    2
    """
    sys.stdout.flush()
    if os.name != "nt":
        os.execv(command[0], command)  # one process: a signal reaches the tool itself
        return  # only where a test stands in for it
    tool = subprocess.Popen(command)  # exec there would return to the prompt at once
    while True:
        with contextlib.suppress(KeyboardInterrupt):  # the tool gets it too, and ends in its own way
            sys.exit(tool.wait())


def workbook_around(folder: Path) -> Path | None:
    """Find the workbook in which a folder is.

    Parameters
    ----------
    folder : Path
        The folder.

    Returns
    -------
    Path or None
        The nearest folder that has the list of chapters; None if there is none.

    Examples
    --------
    >>> workbook_around(WORKBOOK) == ROOT
    True
    """
    return next(
        (one for one in (folder, *folder.parents) if (one / "shared/chapters.sha256").is_file()), None
    )


def has_stray_chapters(folder: Path) -> bool:
    """True if chapters are in a folder that is in no workbook: copies that no command belongs to.

    Parameters
    ----------
    folder : Path
        The folder.

    Returns
    -------
    bool
        False for a folder without chapters, and for one in a workbook.

    Examples
    --------
    >>> has_stray_chapters(WORKBOOK)
    False
    """
    names = [path.name for path in WORKBOOK.glob("[0-9]*.ipynb")]
    return workbook_around(folder) is None and any(
        (place / name).exists() for place in (folder, folder / "workbook") for name in names
    )


def tell_kernels(prefix: Path | None = None) -> None:
    """Let the kernels of a virtual environment write down no cell, and say when a page was not run from the top.

    Parameters
    ----------
    prefix : Path, optional
        The folder of the environment; default: the one this runs in. In a Python that all share nothing is written.

    Raises
    ------
    OSError
        The settings cannot be written.

    Notes
    -----
    The bootstrap does the same in the .venv it makes; this is for one that was made otherwise.

    Examples
    --------
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     tell_kernels(Path(folder))
    ...     [path.name for path in Path(folder).rglob("*.json")]
    ['ipython_kernel_config.json']
    """
    if prefix is None:
        if sys.prefix == sys.base_prefix:
            return
        prefix = Path(sys.prefix)
    place, told = prefix / "etc" / "ipython" / KERNELS.name, KERNELS.read_bytes()
    if not place.is_file() or place.read_bytes() != told:
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_bytes(told)


def open_lab(args: list[str]) -> None:
    """Become JupyterLab in workbook/, at chapter 0.

    Parameters
    ----------
    args : list of str
        Options that go on to JupyterLab.

    Raises
    ------
    Problem
        An option cannot be used, a fixed port is in use, or the chapters are missing.

    Examples
    --------
    >>> open_lab(["9000"])
    Traceback (most recent call last):
        ...
    stilltank.problems.Problem: '9000' is no option of JupyterLab; ...
    """
    _examine_options(args)
    found = chapters()
    wish = fixed_port(args)
    if found.state == "ok" and wish:
        found = port(wish)
    if found.state == "ok":
        found = hiding()
    if found.state == "ok":
        found = home()
        if found.state == "note":
            print(found.said)
    if found.state == "fault":
        from .units import Problem

        raise Problem(f"{found.part.capitalize()}: {found.said} {found.remedy}")
    from stilltank import shipped as notebooks

    from .units import Problem

    try:
        tell_kernels()
    except OSError as error:
        print(
            f"The kernels could not be told to keep no history of your cells ({error.strerror}); Python may keep one "
            "in your home folder, in .ipython."
        )
    with contextlib.suppress(Problem):  # without a copy of the chapters the workbook still opens
        notebooks.keep(WORKBOOK.parent)
    if sys.prefix != sys.base_prefix:  # a kernel of the same name in the user's home is one of another Python
        os.environ.setdefault("JUPYTER_PREFER_ENV_PATH", "1")
    command = [
        sys.executable,
        "-P",
        "-m",
        "jupyterlab",
        str(WORKBOOK),
        f"--LabApp.default_url=/lab/tree/{FIRST}",
    ]
    if os.environ.get("CI") and hasattr(os, "geteuid") and os.geteuid() == 0:
        command.append("--allow-root")  # elsewhere JupyterLab asks for it, and is right to
    command += args
    # With these neither JupyterLab's pages nor its server ask another computer for anything; what a person has set
    # in JUPYTER_CONFIG_PATH comes first.
    ours = [os.environ.get("JUPYTER_CONFIG_PATH", ""), str(ROOT / "shared" / "jupyter")]
    os.environ["JUPYTER_CONFIG_PATH"] = os.pathsep.join(filter(None, ours))
    os.environ.pop("JUPYTER_NO_CONFIG", None)  # it would switch these off too
    os.environ["YARN_ENABLE_NETWORK"] = "0"  # or a press on "Rebuild" in JupyterLab would fetch its parts
    become(command)


def _examine_options(args: list[str]) -> None:
    from .units import Problem

    before = ""
    for word in args:
        if not word.startswith("-") and not (before.startswith("-") and "=" not in before):
            raise Problem(f"{word!r} is no option of JupyterLab; those begin with --, such as --port=9000.")
        key, _, number = word.partition("=") if "=" in word else (before, "", word)
        if key in _PORTS and not (number.isascii() and number.isdigit() and int(number) < 65536):
            raise Problem(
                f"A port is a whole number up to 65535; {number!r} is not. Write, for example, --port=9000."
            )
        before = word


def fixed_port(args: list[str]) -> int | None:
    """Read the port that must be had: one asked for, or the usual one when no other may be tried.

    Parameters
    ----------
    args : list of str
        Options for JupyterLab.

    Returns
    -------
    int or None
        The port; None where any free one does.

    Examples
    --------
    >>> fixed_port(["--no-browser", "--port=9000"])
    9000
    >>> fixed_port(["--ServerApp.port_retries=0"])
    8888
    >>> fixed_port(["--no-browser"])
    """
    pairs = dict(itertools.pairwise(args))
    pairs.update((key, value) for key, _, value in (part.partition("=") for part in args) if value)
    for key in _PORTS:
        if pairs.get(key, "").isdigit():
            return int(pairs[key])
    return PORT if pairs.get("--ServerApp.port_retries", pairs.get("--port-retries")) == "0" else None
