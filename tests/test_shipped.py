"""A chapter is started again as it was shipped, and nothing a learner made is lost; keys answer for a code."""

import hashlib
import os
import shutil
import subprocess
import sys
from datetime import date

import pytest
import tidy
from stilltank import __main__ as command
from stilltank import shipped
from stilltank.chapters import keys
from stilltank.chapters.bank import ask, examples, questions
from stilltank.learning.progress import Progress
from stilltank.learning.questions import State, judge
from stilltank.units import Problem, Unreadable

DAY = date(2027, 5, 3)
SHIPPED = '{"cells": ["as shipped: 45 °C, ≤ 3"]}\n'
PATH = "workbook/01_mixing.ipynb"


@pytest.fixture
def root(tmp_path):
    """A small workbook of one chapter, just unpacked."""
    (tmp_path / "workbook").mkdir()
    (tmp_path / "shared").mkdir()
    (tmp_path / PATH).write_text(SHIPPED, encoding="utf-8", newline="\n")
    digest = hashlib.sha256(SHIPPED.encode()).hexdigest()
    (tmp_path / shipped.LIST).write_text(f"{digest}  {PATH}\n", encoding="ascii")
    return tmp_path


def change(root, text="changed by a learner"):
    (root / PATH).write_text(text, encoding="utf-8")


def files(root):
    return {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}


def worked(root, code="7B-12"):
    """A learner who has answered a question of this chapter and one of another."""
    progress = Progress.open(code, root / "workbook")
    progress.record_answer("mixing-dose", "300 mL", "right", chapter="01")
    progress.record_answer("start-rain", "3 L", "right", chapter="00")
    return progress


def test_the_list_is_that_of_the_chapters():
    assert (shipped.ROOT / shipped.LIST).read_text(encoding="ascii") == tidy.listed(), "run tests/tidy.py"


def test_started_again_from_the_copy_that_was_kept(root):
    assert shipped.keep(root) == 1
    change(root)
    worked(root)
    said = shipped.start_again("01", "7b 12", DAY, root)
    folder = root / "workbook"
    assert (root / PATH).read_text(encoding="utf-8") == SHIPPED
    assert (folder / "my-01_mixing-2027-05-03.ipynb").read_text(encoding="utf-8") == "changed by a learner"
    assert set(Progress.open("7B-12", folder).answers) == {"start-rain"}
    assert set(Progress.load(folder / "my-progress-7B-12-2027-05-03.toml").answers) == {
        "mixing-dose",
        "start-rain",
    }
    for name in ("my-01_mixing-2027-05-03.ipynb", "my-progress-7B-12-2027-05-03.toml"):
        assert any(name in sentence for sentence in said)


def test_a_changed_chapter_is_never_kept_as_the_shipped_one(root):
    change(root)
    assert shipped.keep(root) == 0
    before = files(root)
    with pytest.raises(Problem, match="no copy of it as shipped was kept"):
        shipped.start_again("01", "", DAY, root)
    assert files(root) == before


def test_a_spoilt_copy_is_not_put_back(root):
    shipped.keep(root)
    next((root / shipped.KEPT).iterdir()).write_text("spoilt", encoding="utf-8")
    change(root)
    with pytest.raises(Problem, match="Nothing was changed"):
        shipped.start_again("01", "", DAY, root)


def test_without_a_kept_copy_git_is_asked(root):
    def git(*words):
        who = ["-c", "user.name=A1", "-c", "user.email=", "-c", "core.autocrlf=false"]
        subprocess.run(["git", "-C", root, *who, *words], check=True, capture_output=True)

    git("init")
    git("add", PATH)
    git("commit", "-m", "As shipped")
    change(root)
    shipped.start_again("01", "", DAY, root)
    assert (root / PATH).read_text(encoding="utf-8") == SHIPPED


def test_twice_on_a_day_and_a_damaged_notebook(root):
    shipped.keep(root)
    for raw in (b"first", b"\xff\xfe damaged"):
        (root / PATH).write_bytes(raw)
        shipped.start_again("01", "", DAY, root)
    folder = root / "workbook"
    assert (folder / "my-01_mixing-2027-05-03.ipynb").read_bytes() == b"first"
    assert (folder / "my-01_mixing-2027-05-03-2.ipynb").read_bytes() == b"\xff\xfe damaged"


def test_an_untouched_or_lost_notebook(root):
    shipped.keep(root)
    worked(root)
    assert shipped.start_again("01", "7B-12", DAY, root)[0] == "01_mixing.ipynb is as it was shipped."
    (root / PATH).unlink()
    shipped.start_again("01", "", DAY, root)
    assert (root / PATH).read_text(encoding="utf-8") == SHIPPED
    assert not list((root / "workbook").glob("my-01_mixing*"))


@pytest.mark.parametrize(
    ("chapter", "code", "error", "said"),
    [
        ("09", "", Problem, "The chapters are 01"),
        ("01", "Charlotte", Unreadable, "looks like a name"),
        ("01", "7B-99", Problem, "No work of code 7B-99"),
    ],
)
def test_what_cannot_be_done_changes_nothing(root, chapter, code, error, said):
    shipped.keep(root)
    change(root)
    before = files(root)
    with pytest.raises(error, match=said):
        shipped.start_again(chapter, code, DAY, root)
    assert files(root) == before


def test_the_commands(root, monkeypatch, capsys):
    monkeypatch.setattr(shipped.start_again, "__defaults__", (root,))
    shipped.keep(root)
    change(root)
    assert command.main(["again", "01"]) == 0
    assert "is as it was shipped again" in capsys.readouterr().out
    assert command.main(["again", "1"]) == 2
    assert "There is no chapter '1'" in capsys.readouterr().err


# Where a command is given


@pytest.fixture
def copy(tmp_path):
    """A whole copy of the workbook, in which a learner has changed a chapter."""
    copy = tmp_path / "copy of the workbook"
    for name in ("lib/stilltank", "data", "shared", "workbook"):
        shutil.copytree(
            shipped.ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__", "my-*")
        )
    shipped.keep(copy)
    change(copy)
    return copy


def digests(root):
    """Of all that lies beside the chapters."""
    return {
        path: shipped.digest(path.read_bytes()) for path in (root / "workbook").iterdir() if path.is_file()
    }


def at_the_prompt(folder, *words, **env):
    return subprocess.run(
        [sys.executable, "-m", "stilltank", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(shipped.ROOT / "lib")} | env,
        capture_output=True,
        text=True,
        encoding="utf-8",
    )


@pytest.mark.parametrize("folder", ["", "workbook/teacher"])
def test_in_a_copy_a_command_acts_on_the_copy(copy, folder):
    before = digests(shipped.ROOT)
    done = at_the_prompt(copy / folder, "again", "01")
    assert (done.returncode, done.stderr) == (0, "")
    assert "is as it was shipped again" in done.stdout
    assert digests(shipped.ROOT) == before
    assert shipped.digest((copy / PATH).read_bytes()) == shipped.shipped(copy)[PATH]
    (kept,) = copy.glob("workbook/my-01_mixing-*.ipynb")
    assert kept.read_text(encoding="utf-8") == "changed by a learner"


def test_in_a_copy_a_number_comes_from_its_own_tables(copy):
    table = copy / "data" / "constants.csv"
    table.write_text(table.read_text(encoding="utf-8").replace("9.80665", "9.81"), encoding="utf-8")
    done = at_the_prompt(copy / "data", "where", "constants/water/standard gravity")
    assert " = 9.81 m/s^2" in done.stdout


def test_a_command_given_by_its_place_acts_there(copy):
    """As ``python3 /there/workbook again 01`` is, from inside another copy."""
    before = digests(copy)
    done = at_the_prompt(copy, "again", "", STILLTANK_FOLDER=str(shipped.ROOT))
    assert done.returncode == 2
    assert "There is no chapter ''" in done.stderr
    assert at_the_prompt(copy, "where", "x/y/z", STILLTANK_FOLDER="/elsewhere").returncode == 2
    assert digests(copy) == before


@pytest.mark.parametrize("words", [("again", "01"), ("open",)])
def test_chapters_without_their_workbook_are_refused(copy, words):
    shutil.rmtree(copy / "shared")
    before = digests(shipped.ROOT), digests(copy)
    for folder in (copy, copy / "workbook"):
        done = at_the_prompt(folder, *words)
        assert (done.returncode, done.stdout) == (2, "")
        assert done.stderr.startswith(
            f"Problem: The chapters in {folder} are copies without their workbook; "
        )
        assert f"Go to {shipped.ROOT} and run there: python3 workbook {words[0]}" in done.stderr
    assert (digests(shipped.ROOT), digests(copy)) == before


def test_within_another_process_it_is_refused(copy, monkeypatch, capsys):
    """There the process cannot go on as another."""
    monkeypatch.chdir(copy)
    before = digests(shipped.ROOT), digests(copy)
    assert command.main(["again", "01"]) == 2
    assert f"Go to {copy} and run there" in capsys.readouterr().err
    assert (digests(shipped.ROOT), digests(copy)) == before


def test_a_list_or_a_notebook_that_cannot_be_read(root):
    shipped.keep(root)
    (root / PATH).unlink()
    (root / PATH).mkdir()
    with pytest.raises(Problem, match=r"01_mixing.ipynb cannot be read: .* Nothing was changed"):
        shipped.start_again("01", "", DAY, root)
    for spoilt in (b"\xff\x00", b"one word\nalone\n"):
        (root / shipped.LIST).write_bytes(spoilt)
        with pytest.raises(Problem, match="cannot be read: it is damaged"):
            shipped.shipped(root)


# Keys


def test_a_key_answers_every_question_and_blank_of_a_chapter():
    lines = keys.key("7B-12", "01")
    asked = [each for each in questions().values() if each.chapter == "01"]
    blanks = sum(
        1 + 2 + len(each.steps) for each in examples().values() if each.chapter == "01"
    )  # last, last two, all
    assert len(lines) == len(asked) + blanks
    assert [line.id for line in lines[: len(asked)]] == [each.id for each in asked]


@pytest.mark.parametrize("code", ["A1", "7B-12", "F5"])
def test_what_a_key_prints_is_accepted_as_an_answer(code):
    """The printed text itself, rounded as it is, must be judged right: learners compare with it."""
    for line in keys.key(code):
        if line.id in questions():
            answer = line.answer.split("  ")[0].split(" (")[0]
            found = judge(ask(line.id, code), answer)
            assert found.state in (State.RIGHT, State.OTHER_UNIT), f"{line}: {found}"


def test_the_key_of_one_code_by_hand():
    """18 % P2O5, of which 2 × 30.974 / 141.945 = 43.64 % is P: 7.86 %."""
    assert "mixing-label-phosphorus: 7.86 %" in str(keys.key("7B-12", "01")[2])


def test_the_command_prints_keys_and_says_they_are_public(capsys):
    assert command.main(["key", "a1", "7B-12", "--chapter", "01"]) == 0
    out = capsys.readouterr().out
    assert "a public repository means a public key" in out
    assert out.index("Code A1") < out.index("Code 7B-12")
    assert "start-rain" not in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["A1", "Charlotte"], "looks like a name"),
        (["A1", "--chapter", "1"], "Chapters with questions: 00, 01"),
    ],
)
def test_a_key_that_cannot_be_made_prints_nothing(capsys, words, said):
    assert command.main(["key", *words]) == 2
    printed = capsys.readouterr()
    assert printed.out == ""
    assert said in printed.err
