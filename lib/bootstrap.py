"""Make .venv once, with nothing but Python itself, then run a tool inside it.

The next .venv is made beside the present one, and takes its place only when it is whole; so whatever stops the work,
and wherever, what was there is there still. A folder that was moved or copied keeps its packages: only what names the
place is written again, which needs no network.

Written so that even Python 2.7 can read it: an old Python has to get as far as the sentence about it.
"""

from __future__ import print_function

import os
import sys

NEEDED = (3, 11)


def too_old(version):
    """Return the sentence for a Python older than the workbook needs, or None."""
    if tuple(version[:2]) >= NEEDED:
        return None
    return (
        "The workbook needs Python %d.%d or newer; this is Python %d.%d. Install a newer Python, then start "
        "with it, for example: %s%d.%d %s"
        % (NEEDED + tuple(version[:2]) + ("py -" if os.name == "nt" else "python",) + NEEDED + (_started(),))
    )


def _started():
    folder, name = os.path.split(sys.argv[0])
    started = (folder or os.curdir) if name == "__main__.py" else sys.argv[0]
    try:
        started = min(
            started, os.path.relpath(started), key=len
        )  # both are true from where the command was given
    except (OSError, ValueError):  # on another drive
        pass
    return '"%s"' % started if " " in started else started


if too_old(sys.version_info):
    sys.exit(too_old(sys.version_info))

import csv
import errno
import hashlib
import re
import shutil
import subprocess
import sysconfig
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
WINDOWS = os.name == "nt"
LOCK = ROOT / "lib" / "requirements.lock"
KERNELS = ROOT / "shared" / "jupyter" / "ipython_kernel_config.json"  # what kernels are told
ROOM = 1000000000  # bytes: the packages take about 700 MB, and are unpacked beside their archives
COMMAND = "py workbook" if WINDOWS else "python3 workbook"

AGAIN = "Then run the same command again."
NO_ROOM = "The disk is full: the workbook needs about 1 GB in %s. Make room. " + AGAIN
NO_WRITING = (
    "Nothing can be written in %s. Copy the workbook's folder to a place of your own, such as your home folder. "
    + AGAIN
)
IN_USE = (
    "The folder %s could not be replaced. Close every workbook that is still open, and check that this folder is "
    "yours to change. " + AGAIN
)
NO_VENV = (
    "This Python cannot make a virtual environment, because its parts venv or ensurepip are missing. "
    + (
        "On Debian or Ubuntu install them with: sudo apt-get install python3-venv. "
        if sys.platform.startswith("linux")
        else "Install a complete Python, with pip. "
    )
    + AGAIN
)
NO_PIP_SOURCE = (
    "The packages could not be fetched: no package source answered. Connect this computer to the network, "
    "or set pip's index address to a source that your school or firm runs. " + AGAIN
)
NOT_TRUSTED = (
    "The packages could not be fetched: this computer does not trust the certificate of the package source. In a "
    "school or firm, ask whoever runs the network for its certificate, and set PIP_CERT to that file. "
    + AGAIN
)
NO_SSL = "This Python cannot fetch over https: its part ssl is missing. Install a complete Python. " + AGAIN
NO_SPARE = (
    "No folder for temporary files can be written in. Set TMPDIR (on Windows: TEMP) to a folder that is there and "
    "yours to change. " + AGAIN
)
TOO_DEEP = (
    "The names of some files would be too long here. Move the workbook's folder to a short path, such as "
    + (r"C:\stilltank. " if WINDOWS else "one in your home folder. ")
    + AGAIN
)
WRONG_HASH = (
    "A package arrived that is not the one this workbook was tested with, so it was not installed. "
    "Try another network; if it stays so, tell whoever gave you the workbook."
)
NO_PACKAGE = (
    "The package source answered, but does not have a package that is needed here. Its copy may be incomplete or old, "
    "or there is no build of the package for this computer and this Python (%s). The workbook was tested with Python "
    "3.11 to 3.13."
)
NOT_WHOLE = (
    "The workbook's folder is not whole: %s cannot be read. Get it again from where you got the workbook."
)
NOT_STARTED = "The Python in %s does not start. Delete that folder. " + AGAIN
OTHER = "Setting up stopped for a reason the workbook does not know."
GOES_ON = "Until then the workbook goes on with the packages that were set up before."

_FETCHING = (
    "newconnectionerror",
    "connection broken",
    "name resolution",
    "getaddrinfo",
    "connecttimeout",
    "read timed out",
    "proxyerror",
    "network is unreachable",
    "from versions: none",
)
_BUILDING = (
    "failed building wheel",
    "failed to build",
    "subprocess-exited-with-error",
    "metadata-generation-failed",
)


class Failed(Exception):
    """Setting up could not be finished; says why, and what to do."""


def explain(output):
    """Turn what venv or pip printed on failing into one sentence with a remedy.

    The more particular causes come first: a full disk also breaks the fetching.
    """
    text = output.lower()
    full = shutil.disk_usage(str(ROOT)).free < ROOM / 20  # hides behind other words, of ensurepip for one
    if full or "no space left" in text or "disk quota" in text:
        return NO_ROOM % ROOT
    if "no usable temporary directory" in text:
        return NO_SPARE
    if "ensurepip" in text or "no module named venv" in text or "no module named pip" in text:
        return NO_VENV
    if "do not match the hashes" in text:
        return WRONG_HASH
    if (
        "filename or extension is too long" in text
        or "long path support" in text
        or "file name too long" in text
    ):
        return TOO_DEEP
    if "permission denied" in text or "read-only file system" in text:
        return NO_WRITING % ROOT
    if "certificate_verify_failed" in text or "certificate verify failed" in text:
        return NOT_TRUSTED
    if "ssl module is not available" in text or "ssl module in python is not available" in text:
        return NO_SSL
    if any(sign in text for sign in _FETCHING):
        return NO_PIP_SOURCE
    if "no matching distribution" in text or any(sign in text for sign in _BUILDING):
        return NO_PACKAGE % sys.version.split()[0]
    return OTHER


def cause(output):
    """Return the one line of a tool's output that says best what went wrong."""
    lines = [line.strip() for line in output.splitlines() if line.strip()]
    for sign in ("error:", "error", "errno"):
        for line in lines:
            if sign in line.lower():
                return line[:300]
    return lines[-1][:300] if lines else "(nothing)"


def _failed(sentence, output=""):
    return Failed("%s\nThe tool said: %s" % (sentence, cause(output)) if output else sentence)


# What an installation depends on, and what its stamp says of it


def _base():
    return getattr(sys, "_base_executable", None) or sys.executable


def _bin(venv):
    return venv / ("Scripts" if WINDOWS else "bin")


def _python(venv):
    return _bin(venv) / ("python.exe" if WINDOWS else "python")


def _packages_folder(venv):
    return venv / ("Lib/site-packages" if WINDOWS else "lib/python%d.%d/site-packages" % sys.version_info[:2])


def _digest(texts):
    return hashlib.sha256(b"\n".join(texts)).hexdigest()


def kin():
    """Return which Pythons can use the same packages."""
    return "%s on %s" % (sys.implementation.cache_tag, sysconfig.get_platform())


def wanted(lock=None):
    """Return a digest of the lists of packages."""
    texts = []
    for path in (LOCK, ROOT / "pyproject.toml", lock or LOCK):
        try:
            texts.append(path.read_bytes())
        except OSError:
            raise Failed(NOT_WHOLE % path)
    return _digest([kin().encode()] + texts)


def _place(venv):
    return _digest([os.fsencode(str(part)) for part in (sys.version, _base(), venv)])


def _stamp(venv, settled):
    """Say that ``venv`` is whole; ``settled``: all that names its place names this one."""
    packages = sorted(_distributions(venv))
    lines = [kin(), wanted(), _place(venv) if settled else "to be settled"] + packages
    part = venv / ".stamp.part"
    part.write_text("\n".join(lines), encoding="ascii", errors="replace")
    os.replace(str(part), str(venv / ".stamp"))


def _stamped(venv, name=".stamp"):
    """Return the lines of a stamp; one that cannot be read has none."""
    try:
        return (venv / name).read_text(encoding="ascii").splitlines()
    except (OSError, ValueError):
        return []


def _distributions(venv):
    try:
        names = os.listdir(str(_packages_folder(venv)))
    except OSError:
        names = []
    return {name.split("-")[0].lower(): name for name in names if name.endswith(".dist-info")}


def damaged(venv):
    """Return the name of a package that is gone, or of which a file is gone or cut short; None if all are whole."""
    there = _distributions(venv)
    for name in _stamped(venv)[3:]:
        if name not in there:
            return name
    folder = str(_packages_folder(venv))
    for name, info in there.items():
        try:
            with open(os.path.join(folder, info, "RECORD"), encoding="utf-8", newline="") as record:
                rows = list(csv.reader(record))
            for path, _, size in rows:
                if not path.endswith(".pyc"):
                    found = os.stat(os.path.join(folder, path)).st_size
                    # Scripts, and the path to the library, are written again when the folder is moved.
                    if (
                        size
                        and int(size) != found
                        and not path.startswith("..")
                        and not path.endswith(".pth")
                    ):
                        return name
        except (OSError, ValueError, csv.Error):
            return name
        if not rows:
            return name
    return None


def _has_python(venv):
    """Whether its Python is the one that runs this, or a copy of it, and knows that it belongs to a .venv."""
    python = str(_python(venv))
    try:
        is_ours = (
            WINDOWS
            or os.path.samefile(python, _base())
            or os.path.getsize(python) == os.path.getsize(_base())
        )
        return (
            is_ours
            and os.access(python, os.X_OK)
            and "home" in (venv / "pyvenv.cfg").read_text(encoding="utf-8")
        )
    except (OSError, ValueError):
        return False


def state(venv):
    """Return what ``venv`` is: "ready", "to be settled" where only its place is another, or what is wrong with it."""
    if not os.path.lexists(str(venv)):
        return "it is missing"
    lines = _stamped(venv)
    if len(lines) < 3:
        return "it was not finished"
    if lines[:2] != [kin(), wanted()]:
        return "the Python or the packages that are wanted have changed"
    broken = damaged(venv)
    if broken:
        return "a part of it is gone: %s" % broken
    return "ready" if lines[2] == _place(venv) and _has_python(venv) else "to be settled"


# Making one


def _call(command, held=None):
    """Run a command, keep its noise, show how far it is; raise Failed with a sentence when it fails."""
    shown = sys.stdout.isatty()
    env = dict(os.environ, PIP_USER="0", PIP_NO_INPUT="1", PYTHONIOENCODING="utf-8", PYTHONUTF8="1")
    for name in ("PIP_TARGET", "PIP_PREFIX", "PIP_ROOT"):  # would install elsewhere
        env.pop(name, None)
    said = []
    try:
        tool = subprocess.Popen(
            command,
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            errors="replace",
            pass_fds=[held.fileno()] if held and not WINDOWS else [],  # the lock lasts as long as the tool
        )
    except OSError as error:
        raise _failed(explain(str(error)), str(error))
    for line in tool.stdout:
        said.append(line)
        if shown and line.startswith("Collecting "):
            print("\r  %-60s" % line.split()[1][:60], end="", flush=True)
    if shown:
        print("\r%-62s\r" % "", end="", flush=True)
    if tool.wait():
        raise _failed(explain("".join(said)), "".join(said))


def _pip(venv, held, *args):
    # -P here and below: a file that lies where the command is given is not taken for a part of Python or of a package.
    _call(
        [
            str(_python(venv)),
            "-P",
            "-m",
            "pip",
            "--disable-pip-version-check",
            "install",
            "--progress-bar",
            "off",
        ]
        + list(args),
        held,
    )


def _remove(path):
    """Remove a file, link or folder, also one whose permissions were taken away; what stays is tried next time."""
    if path.is_symlink() or not path.is_dir():
        try:
            path.unlink()
        except OSError:
            pass
        return
    shutil.rmtree(str(path), ignore_errors=True)
    if path.exists():
        try:
            os.chmod(str(path), 0o700)
            for folder, inner, _ in os.walk(str(path)):
                for name in inner:
                    if not os.path.islink(os.path.join(folder, name)):
                        os.chmod(os.path.join(folder, name), 0o700)
        except OSError:
            pass
        shutil.rmtree(str(path), ignore_errors=True)


def _beside(name):
    return VENV.with_name(VENV.name + name)


def _free(name):
    path, number = _beside(name), 1
    while os.path.lexists(str(path)):
        number += 1
        path = _beside("%s-%d" % (name, number))
    return path


def sweep():
    """End what an earlier start left: put the new one in its place if it is whole, the old one back if it is needed."""
    new, olds = _beside("-new"), sorted(VENV.parent.glob(VENV.name + "-old*"))
    usable = ("ready", "to be settled")
    if os.path.lexists(str(new)) and state(new) in usable and state(VENV) not in usable:
        _swap(new)
    elif not os.path.lexists(str(VENV)) and olds:
        os.rename(str(olds.pop()), str(VENV))
    for left in [new] + olds:
        _remove(left)


def _swap(new):
    """Put ``new`` in the place of .venv; two renames, between which ``sweep`` can take over."""
    old = _free("-old")
    try:
        if os.path.lexists(str(VENV)):
            os.rename(str(VENV), str(old))
        os.rename(str(new), str(VENV))
    except OSError as error:
        raise _failed(IN_USE % VENV, str(error))
    _remove(old)


def build(held=None):
    """Make a new .venv beside the present one, with the locked packages and the library, and put it in its place."""
    new = _beside("-new")
    _remove(new)
    try:
        new.mkdir()
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise _failed(NO_ROOM % ROOT, str(error))
        raise _failed(IN_USE % new if os.path.lexists(str(new)) else NO_WRITING % ROOT, str(error))
    try:
        if shutil.disk_usage(str(ROOT)).free < ROOM:
            raise Failed(NO_ROOM % ROOT)
        # As a command of its own: Debian's Python without ensurepip stops inside venv.create() with its own text.
        _call([_base(), "-P", "-m", "venv", str(new)], held)
        _pip(new, held, "--require-hashes", "-r", str(LOCK))
        _pip(new, held, "--no-deps", "--no-build-isolation", "-e", str(ROOT))
        _point_to_library(new)
        _stamp(new, settled=False)  # last: one that was not finished is made again
    except Failed:
        _remove(new)
        raise
    _swap(new)
    settle(held)


def _point_to_library(venv):
    """Say where the library is by a relative path: it stays true when the folder is moved, and is plain ASCII."""
    folder = _packages_folder(venv)
    library = os.path.relpath(str(ROOT / "lib"), str(folder))
    for path in list(folder.glob("__editable__*stilltank*.pth")) or [folder / "__editable__.stilltank.pth"]:
        path.write_text(library + "\n", encoding="ascii")


def settle(held=None):
    """Write again in .venv all that names its place: its Python, its scripts, its settings. No network is needed."""
    try:
        told = KERNELS.read_bytes()
    except OSError:
        raise Failed(NOT_WHOLE % KERNELS)
    try:
        for path in _bin(VENV).glob("python*"):
            if not WINDOWS:
                path.unlink()  # or a link to a Python that is gone would stay
        _call([_base(), "-P", "-m", "venv", "--without-pip", str(VENV)], held)
        for path in _bin(VENV).iterdir():
            if path.is_file() and not path.is_symlink():
                text = path.read_bytes()
                settled = _settled(text)
                if settled != text:
                    mode = path.stat().st_mode
                    part = path.with_name(path.name + ".part")
                    part.write_bytes(settled)
                    part.chmod(mode)
                    os.replace(str(part), str(path))
        _point_to_library(VENV)
        kernels = VENV / "etc" / "ipython"  # where each kernel of a virtual environment looks
        kernels.mkdir(parents=True, exist_ok=True)
        (kernels / KERNELS.name).write_bytes(told)
        _stamp(VENV, settled=True)
    except OSError as error:
        raise _failed(explain(str(error)), str(error))


# As pip begins its scripts: the Python itself, or a shell where the path has a space or is too long for the system.
_PLAIN = re.compile(r"\A#!(?:[^\n]*python[^\n]*|/bin/sh\n'''exec' [^\n]*\n' ''')\n".encode("ascii"))
_LAUNCHER = re.compile(r"#![^\r\n\0]*python(w?)\.exe[^\r\n\0]*(?=\r?\n)".encode("ascii"))


def _settled(script):
    """Return a script, or a Windows launcher, that starts the Python of .venv where it now is."""
    python = os.fsencode(str(_python(VENV)))
    if script.startswith(b"MZ"):
        quote = b'"' if b" " in python else b""
        line = lambda found: b"#!" + quote + python[:-4] + found.group(1) + python[-4:] + quote  # noqa: E731
        return _LAUNCHER.sub(line, script)
    if b" " in python or len(python) > 120:
        start = b"#!/bin/sh\n'''exec' \"" + python + b'" "$0" "$@"\n\' \'\'\'\n'
    else:
        start = b"#!" + python + b"\n"
    return _PLAIN.sub(lambda _: start, script, count=1)


def add(folder, held=None):
    """Install the further packages that one folder of tests needs, once; not all folders need any."""
    lock = ROOT / "tests" / folder / "requirements.lock"
    stamp = VENV / (".stamp-" + folder)
    if lock.exists() and _stamped(VENV, stamp.name) != [wanted(lock)]:
        print("Adding what tests/%s needs, once." % folder, flush=True)
        _pip(VENV, held, "--require-hashes", "-r", str(lock))
        stamp.write_text(wanted(lock), encoding="ascii")
        _stamp(VENV, settled=True)


# Running


def _alone():
    """Wait until no other window is setting up; the lock goes with the processes that hold it, and is never left."""
    try:
        held = LOCK.open("rb")
    except OSError:
        raise Failed(NOT_WHOLE % LOCK)
    waiting = "Another window is setting up the workbook; waiting for it."
    if WINDOWS:
        import msvcrt
        import time

        said = False
        while True:
            held.seek(0x7FFFFFFE)  # beyond the end: what is locked there cannot be read by others
            try:
                msvcrt.locking(held.fileno(), msvcrt.LK_NBLCK, 1)
                return held
            except OSError:
                if not said:
                    print(waiting, flush=True)
                said = True
                time.sleep(0.5)
    import fcntl

    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        if error.errno in (errno.EWOULDBLOCK, errno.EACCES):
            print(waiting, flush=True)
            fcntl.flock(held, fcntl.LOCK_EX)
        # else this disk knows no locks, as some in networks: then two windows must not set up at once
    return held


_SERVES = """
import sys
from stilltank import installation
faults = [one.said for one in installation.packages() if one.state == "fault"]
exec(installation.LOADED)
import ipykernel, jupyterlab
sys.exit(" ".join(faults) or None)
"""


def _serves():
    """Whether the present .venv, though not as wanted, can run the workbook."""
    os.environ["PYTHONPATH"] = os.pathsep.join(
        filter(None, (str(ROOT / "lib"), os.environ.get("PYTHONPATH")))
    )
    try:
        if _stamped(VENV)[:1] == [kin()] and not _has_python(VENV):
            settle()
        _call([str(_python(VENV)), "-P", "-c", _SERVES])
    except Failed:
        return False
    return True


def set_up(held=None, lenient=False):
    """See to it that .venv is ready; ``lenient``: if that fails, one that can still run the workbook will do."""
    sweep()
    found = state(VENV)
    try:
        if found == "to be settled":
            settle(held)
        elif found == "it is missing":
            print("Setting up .venv, once; this takes about a minute.", flush=True)
            build(held)
        elif found != "ready":
            print("Setting up .venv again (%s); this takes about a minute." % found, flush=True)
            build(held)
    except Failed as failed:
        if not lenient or not _serves():
            raise
        print("%s\n%s" % (failed, GOES_ON), file=sys.stderr, flush=True)


def _become(command):
    sys.stdout.flush()
    if not WINDOWS:
        os.execv(command[0], command)  # one process: a signal reaches the tool itself
    tool = subprocess.Popen(command)  # exec there would return to the prompt at once
    while True:
        try:
            sys.exit(tool.wait())
        except KeyboardInterrupt:  # the tool gets it too, and ends in its own way
            pass


def run(module, args, extra=()):
    """Set up whatever is missing, then become ``python -m module args`` in .venv; ``extra``: as for ``add``."""
    try:
        held = _alone()
        set_up(held, lenient=module == "stilltank")
        for folder in extra:
            add(folder, held)
        held.close()
    except KeyboardInterrupt:
        sys.exit("Stopped before all was set up; the next start does it again.")
    except Failed as failed:
        sys.stdout.flush()
        sys.exit(str(failed))
    except OSError as error:
        sys.exit("%s\nThe tool said: %s" % (explain(str(error)), error))
    os.environ["PATH"] = str(_bin(VENV)) + os.pathsep + os.environ.get("PATH", "")
    try:
        _become([str(_python(VENV)), "-P", "-m", module] + list(args))
    except OSError as error:
        sys.exit("%s\nThe tool said: %s" % (NOT_STARTED % VENV, error))
