"""Make .venv once, with nothing but Python itself, then run a tool inside it.

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
        "with it, for example: python%d.%d %s" % (NEEDED + tuple(version[:2]) + NEEDED + (_started(),))
    )


def _started():
    folder, name = os.path.split(os.path.abspath(sys.argv[0]))
    return os.path.basename(folder) if name == "__main__.py" else name


if too_old(sys.version_info):
    sys.exit(too_old(sys.version_info))

import errno
import hashlib
import shutil
import subprocess
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
WINDOWS = os.name == "nt"
BIN = VENV / ("Scripts" if WINDOWS else "bin")
PYTHON = BIN / ("python.exe" if WINDOWS else "python")
LOCK = ROOT / "lib" / "requirements.lock"
ROOM = 1000000000  # bytes: the packages take about 700 MB, and are unpacked beside their archives

AGAIN = "Then run the same command again."
NO_ROOM = "The disk is full: the workbook needs about 1 GB in %s. Make room. " + AGAIN
NO_WRITING = (
    "Nothing can be written in %s. Copy the workbook's folder to a place of your own, such as your home folder. "
    + AGAIN
)
IN_USE = (
    "The old .venv could not be removed. Close every workbook that is still open, and check that this folder is "
    "yours to change. " + AGAIN
)
NO_VENV = (
    "This Python cannot make a virtual environment, because its parts venv or ensurepip are missing. "
    "On Debian or Ubuntu install them with: sudo apt-get install python3-venv. " + AGAIN
)
NO_PIP_SOURCE = (
    "The packages could not be fetched: no package source answered. Connect this computer to the network, "
    "or set pip's index address to a source that your school or firm runs. " + AGAIN
)
WRONG_HASH = (
    "A package arrived that is not the one this workbook was tested with, so it was not installed. "
    "Try another network; if it stays so, tell whoever gave you the workbook."
)
NO_PACKAGE = (
    "The package source answered, but does not have a package that is needed here. Its copy may be incomplete or old, "
    "or there is no build of the package for this computer and this Python (%s)."
)
OTHER = "Setting up stopped for a reason the workbook does not know."

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


def explain(output):
    """Turn what venv or pip printed on failing into one sentence with a remedy.

    The more particular causes come first: a full disk also breaks the fetching.
    """
    text = output.lower()
    full = shutil.disk_usage(str(ROOT)).free < ROOM / 20  # hides behind other words, of ensurepip for one
    if full or "no space left" in text or "disk quota" in text:
        return NO_ROOM % ROOT
    if "ensurepip" in text or "no module named venv" in text or "no module named pip" in text:
        return NO_VENV
    if "do not match the hashes" in text:
        return WRONG_HASH
    if "permission denied" in text or "read-only file system" in text:
        return NO_WRITING % ROOT
    if any(sign in text for sign in _FETCHING):
        return NO_PIP_SOURCE
    if "no matching distribution" in text:
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


def wanted(lock=LOCK):
    """Return a digest of all that an installation depends on: the Python, the place, the lists of packages."""
    base = getattr(sys, "_base_executable", sys.executable)
    digest = hashlib.sha256("\n".join((sys.version, base, str(ROOT))).encode())
    for path in (LOCK, ROOT / "pyproject.toml", lock):
        digest.update(path.read_bytes())
    return digest.hexdigest()


def stamped(stamp, lock=LOCK):
    """Whether an installation was finished, and is still the one wanted."""
    return stamp.exists() and stamp.read_text(encoding="ascii") == wanted(lock)


def _stop(sentence, output):
    sys.stdout.flush()
    sys.exit("%s\nThe tool said: %s" % (sentence, cause(output)) if output else sentence)


def _call(command):
    """Run a command, keep its noise, show how far it is; stop with a sentence when it fails."""
    shown = sys.stdout.isatty()
    env = dict(os.environ, PIP_USER="0", PIP_NO_INPUT="1", PYTHONIOENCODING="utf-8", PYTHONUTF8="1")
    said = []
    tool = subprocess.Popen(
        command, env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, encoding="utf-8", errors="replace"
    )
    for line in tool.stdout:
        said.append(line)
        if shown and line.startswith("Collecting "):
            print("\r  %-60s" % line.split()[1][:60], end="", flush=True)
    if shown:
        print("\r%-62s\r" % "", end="", flush=True)
    if tool.wait():
        _stop(explain("".join(said)), "".join(said))


def _pip(*args):
    _call(
        [str(PYTHON), "-m", "pip", "--disable-pip-version-check", "install", "--progress-bar", "off"]
        + list(args)
    )


def set_up():
    """Make .venv afresh and install the locked packages and the library; stamp it last."""
    print("Setting up .venv, once; this takes about a minute.", flush=True)
    try:
        if VENV.exists():
            shutil.rmtree(str(VENV))
    except OSError as error:
        _stop(IN_USE, str(error))
    try:
        VENV.mkdir()
    except OSError as error:
        _stop((NO_ROOM if error.errno == errno.ENOSPC else NO_WRITING) % ROOT, str(error))
    if shutil.disk_usage(str(ROOT)).free < ROOM:
        _stop(NO_ROOM % ROOT, "")
    # As a command of its own: Debian's Python without ensurepip stops inside venv.create() with its own text.
    _call([getattr(sys, "_base_executable", sys.executable), "-m", "venv", str(VENV)])
    _pip("--require-hashes", "-r", str(LOCK))
    _pip("--no-deps", "--no-build-isolation", "-e", str(ROOT))
    (VENV / ".stamp").write_text(wanted(), encoding="ascii")  # last: a half-made .venv is made again


def add(folder):
    """Install the further packages that one folder of tests needs, once; not all folders need any."""
    lock = ROOT / "tests" / folder / "requirements.lock"
    stamp = VENV / (".stamp-" + folder)
    if lock.exists() and not stamped(stamp, lock):
        print("Adding what tests/%s needs, once." % folder, flush=True)
        _pip("--require-hashes", "-r", str(lock))
        stamp.write_text(wanted(lock), encoding="ascii")


def _alone():
    """Wait until no other window is setting up; the lock goes with this process, so it is never left behind."""
    if WINDOWS:
        return None
    import fcntl

    held = LOCK.open()
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        print("Another window is setting up the workbook; waiting for it.", flush=True)
        fcntl.flock(held, fcntl.LOCK_EX)
    return held


def run(module, args, extra=()):
    """Set up whatever is missing, then become ``python -m module args`` in .venv; ``extra``: as for ``add``."""
    try:
        held = _alone()
        if not stamped(VENV / ".stamp"):
            set_up()
        for folder in extra:
            add(folder)
    except KeyboardInterrupt:
        sys.exit("Stopped before all was set up; the next start does it again.")
    if held:
        held.close()
    os.environ["PATH"] = str(BIN) + os.pathsep + os.environ.get("PATH", "")
    command = [str(PYTHON), "-m", module] + list(args)
    sys.stdout.flush()
    if WINDOWS:  # exec there would return to the prompt at once
        sys.exit(subprocess.call(command))
    os.execv(command[0], command)  # one process: a signal reaches the tool itself
