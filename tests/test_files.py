"""Writing a user's file: whole, by one at a time, whoever is killed; with real processes."""

import errno
import os
import stat
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import pytest
from stilltank import files
from stilltank.files import FileChanged, sweep, write_atomically
from stilltank.learning.progress import Progress
from stilltank.units import Problem
from writers import killed_saves, lost_answers

POSIX = pytest.mark.skipif(os.name == "nt", reason="this system has no such permissions, links or signals")


def start(code, folder, *args):
    return subprocess.Popen(
        [sys.executable, "-c", code, *map(str, args)], cwd=folder, stdout=subprocess.PIPE, text=True
    )


def hidden(folder):
    return sorted(path.name for path in Path(folder).iterdir() if path.name.startswith("."))


def test_six_writers_lose_nothing(tmp_path):
    assert lost_answers(tmp_path, saves=200, processes=6) == []
    assert os.listdir(tmp_path) == ["my-progress-A1.toml"]


@POSIX
def test_a_killed_writer_costs_nothing_that_was_said_to_be_kept(tmp_path):
    found = killed_saves(tmp_path, kills=20)
    assert (found.lost, found.unreadable, found.left) == (0, 0, 0)


COUNT = """
import sys
from pathlib import Path
from stilltank.files import alone_with

path = Path("count.txt")
for _ in range(int(sys.argv[1])):
    with alone_with(path) as write:
        write(str(int(path.read_text()) + 1))
"""


def test_the_lock_alone_lets_nobody_between_reading_and_writing(tmp_path):
    (tmp_path / "count.txt").write_text("0")
    running = [start(COUNT, tmp_path, 60) for _ in range(5)]
    assert [process.wait() for process in running] == [0] * 5
    assert (tmp_path / "count.txt").read_text() == "300"
    assert hidden(tmp_path) == []


HOLD = """
import sys, time
from pathlib import Path
from stilltank.files import alone_with

with alone_with(Path("my-tank.toml")) as write:
    Path(".my-tank.toml.0123abcd.part").write_text("half of it")
    print("held", flush=True)
    time.sleep(600)
"""


@pytest.fixture
def holder(tmp_path):
    """A process in the middle of writing my-tank.toml."""
    with start(HOLD, tmp_path) as process:
        assert process.stdout.readline() == "held\n"
        yield process
        process.kill()


def test_whoever_waits_too_long_is_told_and_a_kill_ends_the_waiting(tmp_path, holder, monkeypatch):
    monkeypatch.setattr(files, "PATIENCE", 0.2)
    with pytest.raises(Problem, match=r"my-tank\.toml could not be saved: another program"):
        write_atomically(tmp_path / "my-tank.toml", "mine")
    assert not (tmp_path / "my-tank.toml").exists()
    write_atomically(tmp_path / "my-other.toml", "mine")  # another file is free
    monkeypatch.undo()
    holder.kill()
    holder.wait()
    began = time.monotonic()
    write_atomically(tmp_path / "my-tank.toml", "mine")
    assert time.monotonic() - began < files.PATIENCE / 2, "the lock of a dead process is none"


def test_only_what_dead_writers_of_ours_left_is_swept(tmp_path, holder):
    stays = [".my-notes.part", ".notes.0123abcd.part", "my-tank.0123abcd.part", ".my-tank.toml.swp", ".lock"]
    goes = [
        ".my-progress-A1.toml.abcd0123.part",
        ".my-progress-A1.toml.lock",
        ".01_mixing.ipynb.x_yz0123.part",
    ]
    for name in [*stays, *goes]:
        (tmp_path / name).write_text("?")
    writing = [".my-tank.toml.0123abcd.part", ".my-tank.toml.lock"]
    sweep(tmp_path)
    assert sorted(os.listdir(tmp_path)) == sorted([*stays, *writing])
    holder.kill()
    holder.wait()
    Progress.open("A1", tmp_path)
    assert sorted(os.listdir(tmp_path)) == sorted(stays)
    sweep(tmp_path / "no such folder")


@POSIX
def test_permissions_are_those_the_user_wants(tmp_path):
    before = os.umask(0o077)
    try:
        write_atomically(tmp_path / "private", "mine")
        os.umask(0o022)
        write_atomically(tmp_path / "usual", "mine")
    finally:
        os.umask(before)
    os.chmod(tmp_path / "usual", 0o640)
    write_atomically(tmp_path / "usual", "again")
    assert [stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("private", "usual")] == [0o600, 0o640]


@POSIX
def test_a_link_still_leads_to_the_file_afterwards(tmp_path):
    (tmp_path / "stick").mkdir()
    (tmp_path / "stick" / "work.toml").write_text("old")
    (tmp_path / "my-work.toml").symlink_to(Path("stick") / "work.toml")
    write_atomically(tmp_path / "my-work.toml", "new")
    assert (tmp_path / "my-work.toml").is_symlink()
    assert (tmp_path / "stick" / "work.toml").read_text() == "new"


def test_only_what_was_expected_is_replaced(tmp_path):
    path = tmp_path / "my-tank.toml"
    write_atomically(path, "first", expected=None)
    with pytest.raises(FileChanged, match=r"my-tank\.toml exists already"):
        write_atomically(path, "second", expected=None)
    with pytest.raises(FileChanged, match="was changed meanwhile"):
        write_atomically(path, "second", expected=b"other")
    assert path.read_text() == "first"
    write_atomically(path, "second", expected=b"first")
    assert path.read_text() == "second"


def test_a_program_that_reads_the_file_is_waited_for(tmp_path, monkeypatch):
    """As Windows does: it refuses to replace a file that somebody has open."""
    real, refusals = os.replace, [PermissionError(errno.EACCES, "Permission denied")] * 3

    def replace(*args):
        if refusals:
            raise refusals.pop()
        real(*args)

    monkeypatch.setattr(os, "replace", replace)
    write_atomically(tmp_path / "my-tank.toml", "mine")
    assert (tmp_path / "my-tank.toml").read_text() == "mine"
    refusals += [PermissionError(errno.EACCES, "Permission denied")] * 99
    with pytest.raises(Problem, match="open in another program"):
        write_atomically(tmp_path / "my-tank.toml", "other")
    assert (tmp_path / "my-tank.toml").read_text() == "mine"
    assert hidden(tmp_path) == []


@POSIX
def test_a_folder_that_knows_no_locks_is_written_without(tmp_path, monkeypatch):
    def none(*_):
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(files.fcntl, "flock", none)
    write_atomically(tmp_path / "my-tank.toml", "mine")
    assert (tmp_path / "my-tank.toml").read_text() == "mine"


@pytest.mark.parametrize("typed", ["36 g \ud83c", "\udf31", "\udcff36"])
def test_half_a_character_blocks_nothing(tmp_path, typed):
    progress = Progress.open("A1", tmp_path)
    progress.record_answer("01-a", typed, "other")
    progress.record_answer("01-b", "36 g \ud83c\udf31", "right")
    other = Progress.open("A1", tmp_path)
    other.record_answer("01-c", "5 g", "right")
    progress.record_answer("01-d", "6 g", "right")
    found = Progress.open("A1", tmp_path).answers
    assert found["01-b"]["typed"] == ["36 g 🌱"]
    assert "�" in found["01-a"]["typed"][0]
    assert [len(entry["typed"]) for entry in found.values()] == [1] * 4


@pytest.mark.parametrize("name", ["my-\0.toml", "n" * 300, "none/my-tank.toml", ""])
def test_a_name_no_system_takes_is_a_problem_in_words(tmp_path, name):
    with pytest.raises(Problem, match="could not be saved"):
        write_atomically(tmp_path / name, "mine")
    assert os.listdir(tmp_path) == []


FULL = """
import resource, signal, sys
from stilltank.learning.progress import Progress
from stilltank.units import Problem

progress = Progress.open("A1", ".")
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
limits = resource.getrlimit(resource.RLIMIT_FSIZE)
resource.setrlimit(resource.RLIMIT_FSIZE, (3000, limits[1]))
try:
    progress.record_answer("01-long", "x" * 5000, "other")
except Problem as problem:
    print(problem)
resource.setrlimit(resource.RLIMIT_FSIZE, limits)
progress.record_answer("01-after", "1 g", "right")
"""


@POSIX
def test_where_there_is_no_room_the_old_file_stays_and_the_next_save_has_all(tmp_path):
    """A limit on the size of files stands for a full disk: writing breaks off in the middle."""
    Progress.open("A1", tmp_path).record_answer("01-first", "1 g", "right")
    with start(FULL, tmp_path) as process:
        assert "my-progress-A1.toml could not be saved" in process.stdout.read()
    assert process.returncode == 0
    assert set(Progress.open("A1", tmp_path).answers) == {"01-first", "01-long", "01-after"}
    assert hidden(tmp_path) == []


READ_ONLY = """
import os, sys
from pathlib import Path
from stilltank.files import write_atomically
from stilltank.learning.progress import Progress
from stilltank.units import Problem

write_atomically("warm/up", "all is imported")
if os.geteuid() == 0:
    os.setuid(65534)  # the administrator may write everywhere
for path in (Path("closed/my-tank.toml"), Path("closed/my-new.toml"), Path("open/my-tank.toml")):
    try:
        write_atomically(path, "mine")
    except Problem as problem:
        print(problem)
Progress.open("A1", "closed")
"""


@pytest.mark.parametrize("name", ["my-tank\0.toml", "my-tank\ud83c.toml"])
def test_a_name_that_no_file_can_have_is_said_in_whole_characters(tmp_path, name):
    with pytest.raises(Problem, match=r"no file can have this name\. Give it another one\.$") as said:
        write_atomically(tmp_path / name, "mine")
    str(said.value).encode()


@pytest.fixture
def shared_place():
    """A folder that other users can get to, which pytest's own is not."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o755)
        yield Path(folder)


@POSIX
def test_a_folder_or_file_to_read_only_is_said_and_stays(shared_place):
    for name, mode in (("closed", 0o555), ("open", 0o777), ("warm", 0o777)):
        (shared_place / name).mkdir()
        (shared_place / name / "my-tank.toml").write_text("teacher's")
        (shared_place / name / "my-tank.toml").chmod(0o444)
        (shared_place / name).chmod(mode)
    with start(READ_ONLY, shared_place) as process:
        said = process.stdout.read().splitlines()
    assert process.returncode == 0
    assert len(said) == 3
    for name, line in zip(("my-tank.toml", "my-new.toml"), said, strict=False):  # in a closed folder
        assert line.startswith(f"{name} could not be saved in ")
        assert "Permission denied. Copy the workbook to a folder of your own" in line
    assert "my-tank.toml is write-protected and stays as it is" in said[2]
    for name in ("closed", "open"):
        assert (shared_place / name / "my-tank.toml").read_text() == "teacher's"
        assert os.listdir(shared_place / name) == ["my-tank.toml"]
