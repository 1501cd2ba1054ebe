"""A learner's files in one zip: whose they are, back again byte by byte, nothing replaced, nothing let in."""

import zipfile

import pytest
from stilltank.learning.progress import Progress, ProgressFault
from stilltank.learning.progress.bundle import files_of, opened
from stilltank.units import Problem

ANSWERS = "my-progress-A1.toml"


@pytest.fixture
def learner(tmp_path):
    progress = Progress.open("A1", tmp_path)
    progress.record_answer("mixing-dose", "36 g", "right")
    return progress


def names(folder, code):
    return [path.name for path in files_of(folder, code)]


def test_whose_a_file_is_is_said_by_the_longest_code(tmp_path):
    for name in (
        "my-tank-7B-12.toml",
        "my-tank-12.toml",
        "my-log-12.csv",
        "my-tub-b-7B-12.toml",
        "my-water.csv",
    ):
        (tmp_path / name).write_text("x = 1\n", encoding="utf-8")
    assert names(tmp_path, "12") == ["my-log-12.csv", "my-tank-12.toml"]
    assert names(tmp_path, "7B-12") == ["my-tank-7B-12.toml", "my-tub-b-7B-12.toml"]


def test_whoever_is_alone_takes_what_has_no_code_and_no_copies(tmp_path, learner):
    for name in (
        *("my-tank.toml", "my-water.csv", "my-notes.md", "my-tank-card.html", "my-work-A1.zip"),
        *("my-progress-A1-2027-05-03.toml", "others.csv", "my-tank.ipynb"),
    ):
        (tmp_path / name).write_text("x = 1\n", encoding="utf-8")
    (tmp_path / "tub-b.toml").write_text("[tank]\n[plants]\n", encoding="utf-8")
    assert names(tmp_path, "A1") == ["my-notes.md", ANSWERS, "my-tank.toml", "my-water.csv", "tub-b.toml"]


def test_the_same_work_makes_the_same_file_and_nothing_is_replaced(tmp_path, learner):
    learner.export(tmp_path / "one.zip")
    learner.export(tmp_path / "two.zip")
    assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()
    with pytest.raises(Problem, match="there already and stays"):
        learner.export(tmp_path / "one.zip")


def test_what_comes_back_is_what_was_taken(tmp_path, learner):
    raw = "date,level (cm)\r\n2027-05-03,24,5 µS\r\n".encode()
    (tmp_path / "my-log-A1.csv").write_bytes(raw)
    learner.export(tmp_path / "take.zip")
    home = tmp_path / "home"
    home.mkdir()
    there = Progress.open("A1", home)
    said = there.what_comes(tmp_path / "take.zip")
    assert "New files here: my-log-A1.csv." in said
    assert list(home.iterdir()) == []
    there.import_from(tmp_path / "take.zip")
    assert (home / "my-log-A1.csv").read_bytes() == raw
    assert Progress.open("A1", home).answers["mixing-dose"]["typed"] == ["36 g"]
    again = there.import_from(tmp_path / "take.zip")
    assert "written" not in again
    assert sorted(path.name for path in home.iterdir()) == ["my-log-A1.csv", ANSWERS]


def test_two_that_differ_are_both_kept_whatever_is_there(tmp_path, learner):
    (tmp_path / "my-log-A1.csv").write_text("mine\n", encoding="utf-8")
    learner.export(tmp_path / "take.zip")
    home = tmp_path / "home"
    home.mkdir()
    for number, text in enumerate(("first", "second")):
        (home / ("my-log-A1.csv", "my-log-A1.brought.csv")[number]).write_text(text, encoding="utf-8")
    said = Progress.open("A1", home).import_from(tmp_path / "take.zip")
    assert "my-log-A1.csv stays, and the one brought in is my-log-A1.brought-2.csv" in said
    kept = {path.name: path.read_text(encoding="utf-8") for path in home.glob("*.csv")}
    assert kept == {
        "my-log-A1.csv": "first",
        "my-log-A1.brought.csv": "second",
        "my-log-A1.brought-2.csv": "mine\n",
    }


def made(path, *entries):
    with zipfile.ZipFile(path, "w") as bundle:
        for name, content in entries:
            bundle.writestr(name, content)
    return path


GOOD = (ANSWERS, 'format = 1\ncode = "A1"\nlibrary = "0.1.0"\n')


@pytest.mark.parametrize(
    ("entries", "says"),
    [
        ((GOOD, ("../my-log.csv", "x")), "which no bundle does"),
        ((GOOD, ("/etc/my-log.csv", "x")), "which no bundle does"),
        ((GOOD, ("C:\\my-log.csv", "x")), "which no bundle does"),
        ((GOOD, ("folder/my-log.csv", "x")), "which no bundle does"),
        ((GOOD, (".hidden.toml", "x")), "which no bundle does"),
        ((GOOD, ("sitecustomize.py", "x")), "which no bundle does"),
        ((GOOD, ("01_mixing.ipynb", "x")), "which no bundle does"),
        ((("my-log.csv", "x"),), "answers of 0 codes"),
        ((GOOD, ("my-progress-B2.toml", "x")), "answers of 2 codes"),
        (((ANSWERS, 'format = 1\ncode = "B2"\nlibrary = "0.1.0"\n'),), "the work of code B2"),
        (((ANSWERS, "not TOML"), ("my-log.csv", "x")), "line 1"),
        ((GOOD, *((f"my-{number}.csv", "x") for number in range(201))), "more than a bundle takes"),
        ((GOOD, ("my-log.csv", "0" * 20_000_001)), "more than a bundle takes"),
    ],
)
def test_what_is_no_bundle_is_refused_whole(tmp_path, entries, says):
    home = tmp_path / "home"
    home.mkdir()
    with pytest.raises(ProgressFault, match=says):
        Progress.open("A1", home).import_from(made(tmp_path / "take.zip", *entries))
    assert list(home.iterdir()) == []
    assert [path.name for path in tmp_path.iterdir() if path.suffix != ".zip"] == ["home"]


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 cut short", b"no zip at all"])
def test_a_damaged_bundle_says_so(tmp_path, content):
    (tmp_path / "take.zip").write_bytes(content)
    with pytest.raises(ProgressFault, match="cannot be opened as a bundle"):
        Progress.open("A1", tmp_path).what_comes(tmp_path / "take.zip")


def test_a_bundle_with_a_wrong_byte_is_refused_or_reads_the_same(tmp_path, learner):
    (tmp_path / "my-log-A1.csv").write_text("date,level (cm)\n" * 20, encoding="utf-8")
    learner.export(tmp_path / "take.zip")
    whole = (tmp_path / "take.zip").read_bytes()
    right, refused = opened(tmp_path / "take.zip"), 0
    for place in range(0, len(whole), 3):
        spoilt = tmp_path / "spoilt.zip"
        spoilt.write_bytes(whole[:place] + bytes([whole[place] ^ 0x55]) + whole[place + 1 :])
        try:
            found = opened(spoilt)
        except ProgressFault:
            refused += 1
        else:  # a byte that does not count; a name may be another one, and then it is new
            assert set(found.values()) <= set(right.values()), place
    assert refused > len(whole) / 10


def test_a_file_that_is_not_there_and_work_without_a_code(tmp_path):
    with pytest.raises(ProgressFault, match="is not there"):
        Progress.open("A1", tmp_path).import_from(tmp_path / "none.zip")
    with pytest.raises(Problem, match="Type your code first"):
        Progress().import_from(tmp_path / "none.zip")
    with pytest.raises(Problem, match="kept in no folder"):
        Progress("A1").export(tmp_path / "take.zip")
