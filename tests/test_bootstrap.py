"""The bootstrap: its sentences, and that it sets up once, wholly, and again when something changed."""

import ast
import importlib.util
import os
import re
import shutil
import subprocess
import sys
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from types import SimpleNamespace

import pytest

ROOT = Path(__file__).resolve().parents[1]
READ_BY_ALL = ("lib/bootstrap.py", "workbook/__main__.py", "tests/__main__.py")
KERNELS = "shared/jupyter/ipython_kernel_config.json"
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
OLD_CERTIFICATE = """\
WARNING: Retrying (Retry(total=4, connect=None, read=None, redirect=None, status=None)) after connection broken by \
'SSLError(SSLCertVerificationError(1, '[SSL: CERTIFICATE_VERIFY_FAILED] certificate verify failed: self-signed \
certificate in certificate chain (_ssl.c:1006)'))': /simple/anyio/
ERROR: Could not find a version that satisfies the requirement anyio==4.16.0 (from versions: none)
"""
NOT_BUILT = """\
  error: subprocess-exited-with-error
  × Preparing metadata (pyproject.toml) did not run successfully.
error: metadata-generation-failed
"""
NO_TEMPORARY = "FileNotFoundError: [Errno 2] No usable temporary directory found in ['/tmp', '/var/tmp']"
TOO_LONG = "ERROR: [WinError 206] The filename or extension is too long: 'share\\\\jupyter\\\\lab'"
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
        (OLD_CERTIFICATE, "does not trust the certificate", "ERROR: Could not find a version"),
        (NOT_BUILT, "no build of the package for this computer", "error: subprocess-exited-with-error"),
        (NO_TEMPORARY, "No folder for temporary files", "No usable temporary directory"),
        (TOO_LONG, "Move the workbook's folder to a short path", "[WinError 206]"),
        ("Segmentation fault", "a reason the workbook does not know", "Segmentation fault"),
    ],
)
def test_each_failure_has_its_sentence_and_its_cause(bootstrap, output, sentence, cause):
    assert sentence in bootstrap.explain(output)
    assert cause in bootstrap.cause(output)


def test_a_disk_that_is_full_is_seen_before_anything_is_fetched(bootstrap, monkeypatch):
    monkeypatch.setattr(bootstrap.shutil, "disk_usage", lambda _: SimpleNamespace(free=200_000_000))
    with pytest.raises(
        bootstrap.Failed, match=r"The disk is full: the workbook needs about 1 GB in .*Make room"
    ):
        bootstrap.build()
    assert not list(bootstrap.ROOT.glob(".venv*"))


def test_a_folder_that_cannot_be_written_in_is_named(bootstrap, monkeypatch):
    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(bootstrap.Path, "mkdir", refuse)
    with pytest.raises(bootstrap.Failed, match=r"Nothing can be written in .*Copy the workbook's folder"):
        bootstrap.build()


def test_one_that_is_in_use_is_left_as_it_is_and_said(bootstrap, monkeypatch):
    """As on Windows, where a folder cannot be renamed while a program in it runs."""

    def refuse(*_):
        raise PermissionError(13, "Access is denied")

    new = bootstrap.ROOT / ".venv-new"
    for folder in (bootstrap.VENV, new):
        folder.mkdir()
    monkeypatch.setattr(bootstrap.os, "rename", refuse)
    with pytest.raises(bootstrap.Failed, match="Close every workbook that is still open"):
        bootstrap._swap(new)
    assert bootstrap.VENV.exists()


@pytest.mark.parametrize(
    ("python", "starts_with"),
    [
        ("/places/still/.venv/bin/python", b"#!/places/still/.venv/bin/python\n"),
        ("/a b/.venv/bin/python", b"#!/bin/sh\n'''exec' \"/a b/.venv/bin/python\" \"$0\" \"$@\"\n' '''\n"),
    ],
)
@pytest.mark.parametrize(
    "old",
    [
        b"#!/elsewhere/.venv/bin/python3.11\n",
        b"#!/bin/sh\n'''exec' \"/else where/.venv/bin/python\" \"$0\" \"$@\"\n' '''\n",
    ],
)
def test_a_script_starts_the_python_of_its_own_place(bootstrap, monkeypatch, old, python, starts_with):
    monkeypatch.setattr(bootstrap, "_python", lambda _: python)
    rest = b"# -*- coding: utf-8 -*-\nprint('python')\n"
    assert bootstrap._settled(old + rest) == starts_with + rest


def test_a_launcher_of_windows_starts_the_python_of_its_own_place(bootstrap, monkeypatch):
    """Its last part is the path, a line end and an archive; what stands before and after stays."""
    monkeypatch.setattr(bootstrap, "_python", lambda _: "C:\\a b\\python.exe")
    launcher = b"MZ\x00#! no\x00%s#!C:\\old\\python%s.exe\r\nPK\x03\x04%s"
    assert bootstrap._settled(launcher % (b"code", b"w", b"rest")) == (
        b'MZ\x00#! no\x00code#!"C:\\a b\\pythonw.exe"\r\nPK\x03\x04rest'
    )


# The whole course, with a stand-in for Python that writes down what it is asked to do

STAND_IN = """#!{python} -S
import os, sys
asked = sys.argv[1:]
asked.remove("-P")  # always given: nothing is loaded from where the command is given
with open({log!r}, "a") as log:
    print(*asked, file=log)
fault = os.environ.get("FAULT", "")
site = "lib/python%d.%d/site-packages/" % sys.version_info[:2]
if asked[:2] == ["-m", "venv"]:
    if fault == "venv":
        print({no_ensurepip!r})
        sys.exit(1)
    os.makedirs(asked[-1] + "/bin", exist_ok=True)
    os.makedirs(asked[-1] + "/" + site, exist_ok=True)
    with open(asked[-1] + "/pyvenv.cfg", "w") as settings:
        print("home = /somewhere", file=settings)
    os.symlink({me!r}, asked[-1] + "/bin/python")
elif asked[:2] == ["-m", "pip"] and (fault == "pip" or fault == "pip -e" and "-e" in asked):
    print("Looking in indexes: somewhere")
    print({no_source!r})
    sys.exit(1)
elif asked[:2] == ["-m", "pip"]:
    print("Collecting noise")
    if fault == "killed":
        os.kill(os.getppid(), 9)
        sys.exit(1)
    venv = os.path.dirname(os.path.dirname(sys.argv[0]))
    one = venv + "/" + site + "one"
    os.makedirs(one + "-1.0.dist-info", exist_ok=True)
    for name, text in (
        (one + ".py", "one = 1" + chr(10)),
        (one + "-1.0.dist-info/RECORD", "one.py,,8" + chr(10) + "../../../bin/one,,99" + chr(10)),
        (venv + "/bin/one", "#!" + sys.argv[0] + chr(10)),
    ):
        with open(name, "w") as file:
            file.write(text)
elif asked[0] == "-c":
    sys.exit("No module named 'pint'" if fault == "pip" else None)
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
    (base / KERNELS).parent.mkdir(parents=True)
    shutil.copy(ROOT / KERNELS, base / KERNELS)
    for name in ("lib/requirements.lock", "pyproject.toml", "tests/reference/requirements.lock"):
        (base / name).parent.mkdir(parents=True, exist_ok=True)
        (base / name).write_text("one==1\n", encoding="ascii")
    me.write_text(
        STAND_IN.format(
            python=sys.executable, log=str(log), me=str(me), no_source=NO_SOURCE, no_ensurepip=NO_ENSUREPIP
        )
    )
    me.chmod(0o755)

    def run(*words, fault="", after_a_line=None, base=base, cwd=None):
        pretend = (
            f"import runpy, sys; sys._base_executable = {str(me)!r}; sys.argv = {list(words)!r}; "
            f"runpy.run_path({str(base / words[0])!r}, run_name='__main__')"
        )
        log.write_text("")
        done = subprocess.Popen(
            [sys.executable, "-P", "-B", "-c", pretend],
            cwd=cwd,
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
    new, locked, library, settled, tool = first.asked
    assert new.endswith(".venv-new")
    assert "--require-hashes" in locked
    assert "--no-deps --no-build-isolation" in library
    assert settled.endswith("--without-pip " + str(first.base / ".venv"))
    assert tool == "-m stilltank open --no-browser"
    assert not list(first.base.glob(".venv-*"))
    told = first.base / ".venv" / "etc" / "ipython" / Path(KERNELS).name
    assert told.read_bytes() == (ROOT / KERNELS).read_bytes()
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
    assert not list(broken.base.glob(".venv*"))
    again = start("workbook")
    assert again.code == 0
    assert len(again.asked) == 5


@POSIX
def test_a_folder_without_what_kernels_are_told_is_not_whole(start):
    base = start("workbook").base
    (base / KERNELS).unlink()
    (base / ".venv" / "bin" / "python").unlink()
    missing = start("workbook")
    assert missing.code == 1
    assert missing.err.startswith("The workbook's folder is not whole: ")
    assert (Path(KERNELS).name + " cannot be read") in missing.err


@POSIX
@pytest.mark.parametrize("changed", ["lib/requirements.lock", "pyproject.toml"])
def test_a_change_sets_up_again(start, changed):
    (start("workbook").base / changed).write_text("two==2\n", encoding="ascii")
    assert len(start("workbook").asked) == 5


def spoil(venv, how):
    python, module = venv / "bin" / "python", next(venv.glob("lib/*/site-packages/one.py"))
    if how == "a file":
        shutil.rmtree(venv)
        venv.write_text("/places/still\n")
    elif how == "a link to nowhere":
        shutil.rmtree(venv)
        venv.symlink_to("/gone/.venv")
    elif how == "empty":
        shutil.rmtree(venv)
        venv.mkdir()
    elif how == "no stamp":
        (venv / ".stamp").unlink()
    elif how == "a stamp of other bytes":
        (venv / ".stamp").write_bytes(b"\xff\x00\xfe" * 40)
    elif how == "an empty stamp":
        (venv / ".stamp").write_bytes(b"")
    elif how == "a stamp that is a folder":
        (venv / ".stamp").unlink()
        (venv / ".stamp").mkdir()
    elif how == "a package gone":
        shutil.rmtree(module.parent / "one-1.0.dist-info")
    elif how == "a module gone":
        module.unlink()
    elif how == "a module cut short":
        module.write_text("")
    elif how == "all packages gone":
        shutil.rmtree(venv / "lib")
    elif how == "a record of other bytes":
        (module.parent / "one-1.0.dist-info" / "RECORD").write_bytes(b"\xff\x00,")
    elif how == "no Python":
        python.unlink()
    elif how == "a Python gone elsewhere":
        python.unlink()
        python.symlink_to("/gone/python")
    elif how == "a Python that is none":
        python.unlink()
        python.write_text("no program")
        python.chmod(0o755)
    elif how == "no settings":
        (venv / "pyvenv.cfg").unlink()
    elif how == "settings of other bytes":
        (venv / "pyvenv.cfg").write_bytes(b"\xff\x00")
    else:
        raise AssertionError(how)


SPOILT = [
    "a file",
    "a link to nowhere",
    "empty",
    "no stamp",
    "a stamp of other bytes",
    "an empty stamp",
    "a stamp that is a folder",
    "a package gone",
    "a module gone",
    "a module cut short",
    "all packages gone",
    "a record of other bytes",
]
UNSETTLED = [
    "no Python",
    "a Python gone elsewhere",
    "a Python that is none",
    "no settings",
    "settings of other bytes",
]


@POSIX
@pytest.mark.parametrize("how", SPOILT)
def test_whatever_is_wrong_with_it_it_is_made_again(start, how):
    spoil(start("workbook").base / ".venv", how)
    again = start("workbook")
    assert (again.code, again.err) == (0, "")
    assert again.out.endswith("this takes about a minute.\nRAN -m stilltank open\n")
    assert len(again.asked) == 5
    assert not list(again.base.glob(".venv-*"))
    assert start("workbook").out == "RAN -m stilltank open\n"


@POSIX
@pytest.mark.parametrize("how", UNSETTLED)
@pytest.mark.parametrize("fault", ["", "pip"])
def test_what_can_be_mended_in_place_needs_no_network(start, how, fault):
    spoil(start("workbook").base / ".venv", how)
    again = start("workbook", fault=fault)
    assert (again.code, again.out, again.err) == (0, "RAN -m stilltank open\n", "")
    assert len(again.asked) == 2


@POSIX
@pytest.mark.parametrize("how", SPOILT)
def test_without_a_network_what_was_there_stays_there(start, how):
    venv = start("workbook").base / ".venv"
    spoil(venv, how)

    def seen():
        return sorted((str(path), path.lstat().st_size) for path in (venv, *venv.rglob("*")))

    before = seen()
    again = start("workbook", fault="pip")
    assert again.code == 1
    assert [line[:40] for line in again.err.splitlines()] == [
        "The packages could not be fetched: no pa",
        "The tool said: ERROR: Could not find a v",
    ]
    assert "RAN" not in again.out
    assert seen() == before
    assert not list(venv.parent.glob(".venv-*"))


@POSIX
def test_a_folder_that_was_moved_needs_no_network(start):
    old = start("workbook").base
    new = old.with_name("moved here, ä")
    old.rename(new)
    moved = start("workbook", fault="pip", base=new)
    assert (moved.code, moved.out, moved.err) == (0, "RAN -m stilltank open\n", "")
    assert moved.asked[0].endswith(f"--without-pip {new / '.venv'}")
    assert str(new / ".venv") in (new / ".venv" / "bin" / "one").read_text()
    paths = [path.read_text() for path in (new / ".venv").glob("lib/*/site-packages/*.pth")]
    assert paths == ["../../../../lib\n"]  # as site reads it, from the folder of the file
    assert start("workbook", base=new).asked == ["-m stilltank open"]


@POSIX
def test_with_older_packages_and_no_network_the_workbook_goes_on_and_says_so(start):
    base = start("workbook").base
    (base / "lib" / "requirements.lock").write_text("two==2\n", encoding="ascii")
    later = start("workbook", fault="pip -e")
    assert later.code == 0
    assert later.out.endswith("RAN -m stilltank open\n")
    assert later.err.splitlines()[0].startswith("The packages could not be fetched")
    assert later.err.splitlines()[-1].startswith("Until then the workbook goes on")
    tests = start(
        "tests", fault="pip -e"
    )  # they would say something about other packages than the wanted ones
    assert tests.code == 1
    assert "RAN" not in tests.out
    assert len(start("workbook").asked) == 5  # with a network, the new ones come


@POSIX
def test_a_start_that_is_killed_harms_nothing(start):
    base = start("workbook").base
    (base / "lib" / "requirements.lock").write_text("two==2\n", encoding="ascii")
    before = (base / ".venv" / ".stamp").read_text()
    killed = start("workbook", fault="killed")
    assert killed.code == -9
    assert (base / ".venv" / ".stamp").read_text() == before
    assert (base / ".venv-new").exists()
    assert len(start("workbook").asked) == 5
    assert not list(base.glob(".venv-*"))


@POSIX
@pytest.mark.parametrize(
    ("left", "asked"),
    [
        ({".venv": "-old", ".venv-new": ""}, 2),  # between the two renames: the new one is whole
        ({".venv": "-new"}, 2),  # the first time, before the one rename
        ({".venv": "-old-2"}, 1),  # the new one was lost; the old one serves
    ],
)
def test_a_start_killed_at_the_swap_is_taken_up(start, left, asked):
    base = start("workbook").base
    stamp = base / ".venv" / ".stamp"
    if "-old-2" not in left.values():  # as it is before it has its place
        lines = stamp.read_text().splitlines()
        lines[2] = "to be settled"
        stamp.write_text("\n".join(lines))
    if ".venv-new" in left:
        shutil.copytree(base / ".venv", base / ".venv-new", symlinks=True)
        stamp.write_text("older")
        left = {".venv": "-old"}
    for name, ending in left.items():
        (base / name).rename(base / (".venv" + ending))
    taken = start("workbook", fault="pip")  # and no network is needed
    assert (taken.code, taken.out, taken.err) == (0, "RAN -m stilltank open\n", "")
    assert len(taken.asked) == asked
    assert not list(base.glob(".venv-*"))


@POSIX
def test_many_starts_at_once(start):
    """The first sets up, the others wait; each runs."""
    with ThreadPoolExecutor(5) as pool:
        done = list(pool.map(lambda _: start("workbook"), range(5)))
    assert [(one.code, one.err) for one in done] == [(0, "")] * 5
    assert sum("Setting up" in one.out for one in done) == 1
    assert all(one.out.endswith("RAN -m stilltank open\n") for one in done)


@POSIX
@pytest.mark.parametrize("gone", ["lib/requirements.lock", "pyproject.toml"])
def test_a_folder_that_is_not_whole_is_said(start, gone):
    base = start("workbook").base
    (base / gone).unlink()
    done = start("workbook")
    assert done.code == 1
    assert done.err == f"The workbook's folder is not whole: {base / gone} cannot be read. " + (
        "Get it again from where you got the workbook.\n"
    )


@POSIX
def test_files_with_the_names_of_modules_are_not_loaded(start, tmp_path):
    """Beside the chapters, and where the command is given from."""
    base = start("workbook").base
    for folder in (base / "workbook", tmp_path):
        for name in ("hashlib", "shutil", "random", "jupyterlab", "stilltank", "csv"):
            (folder / f"{name}.py").write_text("raise SystemExit('loaded')", encoding="ascii")
    assert start("workbook", cwd=tmp_path).out == "RAN -m stilltank open\n"


@POSIX
def test_a_folder_of_tests_brings_its_packages_once(start):
    first = start("tests", "reference", "-x")
    assert len(first.asked) == 6
    assert first.asked[4].endswith("tests/reference/requirements.lock")
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
