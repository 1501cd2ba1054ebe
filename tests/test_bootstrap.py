"""The bootstrap: its sentences, and that it sets up once, wholly, and again when something changed."""

import ast
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import threading
from pathlib import Path
from types import SimpleNamespace

import pytest

ROOT = Path(__file__).resolve().parents[1]
READ_BY_ALL = ("lib/bootstrap.py", "workbook/__main__.py", "tests/__main__.py")
POSIX = pytest.mark.skipif(os.name != "posix", reason="the stand-in for Python is a script")


@pytest.fixture
def bootstrap(tmp_path):
    """The bootstrap as a module of its own, for an empty workbook folder."""
    spec = importlib.util.spec_from_file_location("bootstrap_under_test", ROOT / "lib" / "bootstrap.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    module.ROOT, module.VENV, module.LOCK = (
        tmp_path,
        tmp_path / ".venv",
        tmp_path / "lib" / "requirements.lock",
    )
    return module


# An old Python


@pytest.mark.parametrize(
    ("version", "said"),
    [
        ((2, 7, 18), "this is Python 2.7."),
        ((3, 8, 18), "this is Python 3.8."),
        ((3, 10, 13), "this is Python 3.10."),
    ],
)
def test_an_old_python_is_named(bootstrap, version, said):
    assert said in bootstrap.too_old(version)
    assert "python3.11" in bootstrap.too_old(version)


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 13, 0), (4, 0, 0)])
def test_a_newer_python_is_welcome(bootstrap, version):
    assert bootstrap.too_old(version) is None


@pytest.mark.parametrize("folder", ["workbook", "tests"])
def test_an_old_python_gets_one_sentence_and_no_traceback(folder):
    """The version is pretended; what comes after the check would run on this Python."""
    pretend = (
        "import runpy, sys; sys.version_info = (3, 8, 18, 'final', 0); "
        f"sys.argv = [{folder!r}]; runpy.run_path({str(ROOT / folder)!r}, run_name='__main__')"
    )
    run = subprocess.run([sys.executable, "-c", pretend], capture_output=True, text=True)
    assert run.returncode == 1
    assert re.fullmatch(rf"The workbook needs Python 3\.11 or newer; .* python3\.11 {folder}\n", run.stderr)


@pytest.mark.parametrize("name", READ_BY_ALL)
def test_an_old_python_can_read_it(name):
    """No syntax that came after Python 2.7, or the sentence above would never appear."""
    text = (ROOT / name).read_text(encoding="ascii")
    for node in ast.walk(ast.parse(text)):
        assert not isinstance(
            node,
            (
                ast.JoinedStr,
                ast.NamedExpr,
                ast.Match,
                ast.AnnAssign,
                ast.Starred,
                ast.AsyncFunctionDef,
                ast.Nonlocal,
            ),
        ), ast.unparse(node)
        if isinstance(node, ast.FunctionDef):
            newer = [node.returns, *node.args.kwonlyargs, *(arg.annotation for arg in node.args.args)]
            assert not any(newer), node.name
        if isinstance(node, ast.Raise):
            assert node.cause is None


@pytest.mark.parametrize("folder", ["workbook", "tests"])
def test_a_real_old_python_gets_the_sentence(folder):
    tried = 0
    for old in ("2.7", "3.6", "3.8", "3.10"):
        found = shutil.which(f"python{old}")
        if found and subprocess.run([found, "-c", "pass"], capture_output=True).returncode == 0:
            run = subprocess.run([found, "-B", folder], capture_output=True, text=True, cwd=ROOT)
            assert run.returncode == 1
            assert run.stderr.startswith("The workbook needs Python 3.11 or newer; this is Python " + old)
            tried += 1
    if not tried:
        pytest.skip("no Python before 3.11 on this computer")


# What venv and pip say, as printed by Debian 12's Python 3.11 and by pip 23 to 26

NO_SOURCE = """\
WARNING: Retrying (Retry(total=0, connect=None, read=None, redirect=None, status=None)) after connection broken by \
'NewConnectionError('...: Failed to establish a new connection: [Errno 111] Connection refused')': /simple/anyio/
ERROR: Could not find a version that satisfies the requirement anyio==4.16.0 (from versions: none)
ERROR: No matching distribution found for anyio==4.16.0
"""
OLD_SOURCE = """\
ERROR: Could not find a version that satisfies the requirement anyio==4.16.0 (from versions: 4.14.0, 4.15.0)
ERROR: No matching distribution found for anyio==4.16.0
"""
NO_ENSUREPIP = """\
The virtual environment was not created successfully because ensurepip is not
available.  On Debian/Ubuntu systems, you need to install the python3-venv
package using the following command.
"""
HASHES = """\
ERROR: THESE PACKAGES DO NOT MATCH THE HASHES FROM THE REQUIREMENTS FILE. If you have updated the package versions, \
please update the hashes. Otherwise, examine the package contents carefully; someone may have tampered with them.
"""
FULL = """\
Installing collected packages: numpy
ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device
"""
READ_ONLY = "Error: [Errno 30] Read-only file system: '.venv/include'"


@pytest.mark.parametrize(
    ("output", "sentence", "cause"),
    [
        (NO_SOURCE, "no package source answered", "ERROR: Could not find a version"),
        (OLD_SOURCE, "does not have a package", "ERROR: Could not find a version"),
        (NO_ENSUREPIP, "sudo apt-get install python3-venv", "package using the following command."),
        (
            "/usr/bin/python3: No module named venv",
            "sudo apt-get install python3-venv",
            "No module named venv",
        ),
        (HASHES, "not the one this workbook was tested with", "ERROR: THESE PACKAGES DO NOT MATCH"),
        (FULL, "The disk is full", "[Errno 28]"),
        (READ_ONLY, "Nothing can be written in", "[Errno 30]"),
        ("Segmentation fault", "a reason the workbook does not know", "Segmentation fault"),
    ],
)
def test_each_failure_has_its_sentence_and_its_cause(bootstrap, output, sentence, cause):
    assert sentence in bootstrap.explain(output)
    assert cause in bootstrap.cause(output)


def test_a_disk_that_is_full_is_seen_before_anything_is_fetched(bootstrap, monkeypatch):
    monkeypatch.setattr(bootstrap.shutil, "disk_usage", lambda _: SimpleNamespace(free=200_000_000))
    with pytest.raises(SystemExit, match=r"The disk is full: the workbook needs about 1 GB in .*Make room"):
        bootstrap.set_up()


def test_a_folder_that_cannot_be_written_in_is_named(bootstrap, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(bootstrap.Path, "mkdir", refuse)
    with pytest.raises(SystemExit, match=r"Nothing can be written in .*Copy the workbook's folder"):
        bootstrap.set_up()


def test_an_old_installation_that_cannot_be_removed_is_said(bootstrap, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    bootstrap.VENV.mkdir()
    monkeypatch.setattr(bootstrap.shutil, "rmtree", refuse)
    with pytest.raises(SystemExit, match="Close every workbook that is still open"):
        bootstrap.set_up()


# The whole course, with a stand-in for Python that writes down what it is asked to do

STAND_IN = """#!{python} -S
import os, sys
asked = sys.argv[1:]
with open({log!r}, "a") as log:
    print(*asked, file=log)
fault = os.environ.get("FAULT", "")
if asked[:2] == ["-m", "venv"]:
    if fault == "venv":
        print({no_ensurepip!r})
        sys.exit(1)
    os.makedirs(asked[2] + "/bin", exist_ok=True)
    os.symlink({me!r}, asked[2] + "/bin/python")
elif asked[:2] == ["-m", "pip"] and (fault == "pip" or fault == "pip -e" and "-e" in asked):
    print("Looking in indexes: somewhere")
    print({no_source!r})
    sys.exit(1)
elif asked[:2] == ["-m", "pip"]:
    print("Collecting noise")
else:
    print("RAN", *asked)
"""


@pytest.fixture
def start(tmp_path):
    """Start a copy of the two commands; returns what came of it and what Python was asked to do."""
    base, me, log = tmp_path / "still tank", tmp_path / "stand-in", tmp_path / "log"
    for name in READ_BY_ALL:
        (base / name).parent.mkdir(parents=True, exist_ok=True)
        shutil.copy(ROOT / name, base / name)
    for name in ("lib/requirements.lock", "pyproject.toml", "tests/reference/requirements.lock"):
        (base / name).parent.mkdir(parents=True, exist_ok=True)
        (base / name).write_text("one==1\n", encoding="ascii")
    me.write_text(
        STAND_IN.format(
            python=sys.executable, log=str(log), me=str(me), no_source=NO_SOURCE, no_ensurepip=NO_ENSUREPIP
        )
    )
    me.chmod(0o755)

    def run(*words, fault="", after_a_line=None):
        pretend = (
            f"import runpy, sys; sys._base_executable = {str(me)!r}; sys.argv = {list(words)!r}; "
            f"runpy.run_path({str(base / words[0])!r}, run_name='__main__')"
        )
        log.write_text("")
        done = subprocess.Popen(
            [sys.executable, "-B", "-c", pretend],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=os.environ | {"FAULT": fault},
        )
        first = ""
        if after_a_line:
            first = done.stdout.readline()
            after_a_line()
        out, err = done.communicate()
        return SimpleNamespace(
            code=done.returncode,
            out=first + out,
            err=err,
            asked=log.read_text().splitlines(),
            base=base,
        )

    return run


@POSIX
def test_it_sets_up_once_and_then_only_runs(start):
    first = start("workbook", "--no-browser")
    assert (first.code, first.err) == (0, "")
    assert (
        first.out
        == "Setting up .venv, once; this takes about a minute.\nRAN -m stilltank open --no-browser\n"
    )
    assert len(first.asked) == 4  # venv, the locked packages, the library, the tool
    assert "--require-hashes" in first.asked[1]
    assert "--no-deps --no-build-isolation" in first.asked[2]
    second = start("tests", "-k", "units")
    assert second.out == "RAN -m pytest -k units\n"
    assert len(second.asked) == 1


@POSIX
@pytest.mark.parametrize("fault", ["venv", "pip", "pip -e"])
def test_a_half_made_installation_is_made_again(start, fault):
    broken = start("workbook", fault=fault)
    assert broken.code == 1
    assert "RAN" not in broken.out
    sentence, cause = broken.err.splitlines()  # two lines: what to do, and what the tool said
    assert ("python3-venv" if fault == "venv" else "no package source answered") in sentence
    assert cause.startswith("The tool said: ")
    assert "Looking in indexes" not in broken.err
    again = start("workbook")
    assert again.code == 0
    assert len(again.asked) == 4


@POSIX
@pytest.mark.parametrize("changed", ["lib/requirements.lock", "pyproject.toml", "moved"])
def test_a_change_sets_up_again(start, changed):
    base = start("workbook").base
    if changed == "moved":  # the library is installed by its path
        (base / ".venv" / ".stamp").write_text("of another place", encoding="ascii")
    else:
        (base / changed).write_text("two==2\n", encoding="ascii")
    assert len(start("workbook").asked) == 4


@POSIX
def test_a_folder_of_tests_brings_its_packages_once(start):
    first = start("tests", "reference", "-x")
    assert len(first.asked) == 5
    assert first.asked[3].endswith("tests/reference/requirements.lock")
    assert first.out.splitlines()[-1] == "RAN -m pytest tests/reference -x"
    second = start("tests", "reference")
    assert second.asked == ["-m pytest tests/reference"]
    (second.base / "tests/reference/requirements.lock").write_text("two==2\n", encoding="ascii")
    assert len(start("tests", "reference").asked) == 2


@POSIX
def test_a_second_window_waits_for_the_first(start):
    import fcntl

    base = start("workbook").base
    held = (base / "lib" / "requirements.lock").open()
    fcntl.flock(held, fcntl.LOCK_EX)
    silent = threading.Timer(60, held.close)  # one that waits without a word fails below, and does not hang
    silent.start()
    second = start("workbook", after_a_line=held.close)
    silent.cancel()
    assert second.out.splitlines() == [
        "Another window is setting up the workbook; waiting for it.",
        "RAN -m stilltank open",
    ]


@POSIX
@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("", "-n logical --maxprocesses 8 --dist loadfile"),
        ("-q --durations=5", "-n logical --maxprocesses 8 --dist loadfile -q --durations=5"),
        ("-n 0", "-n 0"),
        ("-p no:xdist", "-p no:xdist"),
        ("-q -s", "-q -s"),
        ("-k weight", "-k weight"),
        ("tests/test_tank.py", "tests/test_tank.py"),
    ],
)
def test_all_tests_share_the_cores_unless_asked_otherwise(start, words, asked):
    assert start("tests", *words.split()).asked[-1] == f"-m pytest {asked}"


@POSIX
def test_a_command_goes_to_the_library(start):
    assert start("workbook", "where", "constants/water/x").asked[-1] == "-m stilltank where constants/water/x"


@POSIX
def test_benchmarks_run_on_demand_from_their_own_files(start):
    last = start("tests", "benchmarks").asked[-1]
    assert last.startswith("-m pytest tests/benchmarks -s")
    assert "bench_*.py" in last
