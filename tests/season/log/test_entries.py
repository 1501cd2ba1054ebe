"""Visits added, corrected and struck: what is written is read back, and nobody's line is lost."""

import signal
import subprocess
import sys
import time

import pytest
from stilltank.season import log
from stilltank.units import Problem, Unreadable

WRITER = """
import sys
from stilltank.season.log import append
name = sys.argv[1]
for number in range(int(sys.argv[2])):
    append("my-log.csv", {"date": "2027-06-01", "level": "20", "note": f"{name}-{number}"})
    print(f"{name}-{number}", flush=True)
"""


def test_a_visit_is_read_back_as_it_was_written(tmp_path):
    path = tmp_path / "my-log.csv"
    log.append(
        path, {"date": "2027-06-01", "tank": "A", "level": "9 in", "pH": "6.0-6.5", "added mix": "2 L"}
    )
    log.append(
        path, {"date": "2027-06-04", "level (cm)": "18", "tilt": "12", "note": 'he said "hot", dry; 3'}
    )
    first, second = log.read(path).visits
    assert first.level.m_as("in") == pytest.approx(9)
    assert (first.ph, first.added_mix.m_as("L")) == ((6.0, 6.5), 2)
    assert (second.tilt.m_as("degree"), second.note) == (12, 'he said "hot", dry; 3')


def test_the_ways_of_a_file_are_kept(tmp_path):
    path = tmp_path / "my-log.csv"
    raw = b"\xef\xbb\xbfDate;Level (cm);Mood\r\n1.6.2027;24,5;good\r\n4.6.2027;22,5;"
    path.write_bytes(raw)
    log.append(path, {"date": "2027-06-08", "level": "20.5"})
    written = path.read_bytes()
    assert written.startswith(raw)
    assert written.endswith(b"\r\n2027-06-08;20,5;\r\n")
    assert [visit.level.m_as("cm") for visit in log.read(path).visits] == [24.5, 22.5, 20.5]


def test_a_correction_and_a_struck_visit_say_so_in_the_file(tmp_path):
    path = tmp_path / "my-log.csv"
    for day, level in (("2027-06-01", "32.5"), ("2027-06-04", "21"), ("2027-06-08", "18")):
        log.append(path, {"date": day, "level": level})
    untouched = path.read_text().splitlines()[2:]
    assert log.correct(path, 2, {"level": "22.5"}, why="misread") == 3
    log.strike(path, 5, why="another tank")
    lines = path.read_text().splitlines()
    assert lines[3] == untouched[0]
    assert "corrected" in lines[1]
    assert "misread" in lines[1]
    assert "struck" in lines[4]
    found = log.read(path)
    assert [visit.level.m_as("cm") for visit in found.visits] == [22.5, 21]
    assert [visit.status for visit in found.rows] == ["corrected", "", "", "struck"]
    with pytest.raises(Problem, match="already"):
        log.strike(path, 5)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        ({"level": "20"}, "day"),
        ({"date": "2027-06-01", "tank": "A"}, "Nothing was measured"),
        ({"date": "2027-06-01", "level": "20", "mood": "good"}, "no column"),
        ({"date": "2027-06-01", "level": 20}, "text"),
        ({"date": "2027-06-01", "note": "two\nlines"}, "one line"),
        (None, "by column"),
    ],
)
def test_what_cannot_be_kept_is_refused(tmp_path, cells, words):
    path = tmp_path / "my-log.csv"
    with pytest.raises(Problem, match=words):
        log.append(path, cells)
    assert not path.exists()


def test_no_row_no_correction(tmp_path):
    path = tmp_path / "my-log.csv"
    with pytest.raises(Unreadable):
        log.strike(path, 2)
    log.append(path, {"date": "2027-06-01", "level": "20"})
    with pytest.raises(Problem, match="no visit in row 7"):
        log.correct(path, 7, {"level": "3"})


def test_two_writers_and_kills_lose_no_line(tmp_path):
    """What a writer said was kept is there; the large run of 200 kills stands in tests/benchmarks."""
    promised = []
    for number in range(3):
        pair = [
            subprocess.Popen(
                [sys.executable, "-c", WRITER, f"{name}{number}", "40"],
                cwd=tmp_path,
                stdout=subprocess.PIPE,
                text=True,
            )
            for name in "ab"
        ]
        time.sleep(0.45 + 0.1 * number)
        pair[0].send_signal(signal.SIGKILL)
        promised += [line for each in pair for line in each.stdout.read().split("\n")[:-1]]
        assert pair[1].wait() == 0
    notes = [visit.note for visit in log.read(tmp_path / "my-log.csv").visits]
    assert set(promised) <= set(notes)
    assert len(notes) == len(set(notes))
