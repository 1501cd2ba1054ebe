"""Visits added, corrected and struck: what is written is read back, and nobody's line is lost."""

import dataclasses
import signal
import subprocess
import sys
from datetime import date, time
from time import sleep

import pytest
from stilltank.files import FileChanged
from stilltank.season import log
from stilltank.units import Problem, Q, Unreadable

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
        ({"date": "2027-06-01", "pH": "62"}, "If you meant 6.2, type it"),
        ({"date": "2027-06-01", "level": "soon"}, "no level"),
        ({"date": "2027-06-01", "level": "-"}, "Nothing was measured"),
        ({"date": "last week", "level": "20"}, "no day"),
        ({"date": "3/4/27", "level": "20"}, "2027-03-04 or 2027-04-03"),
        ({"date": "2027-06-01", "EC": "1800"}, "µS/cm"),
        ({"date": "2027-06-01", "water temperature": "68"}, "°F"),
        ({"date": "2027-06-01", "added water": "2 gal"}, "Which gallon"),
        ({"date": "2027-06-01", "level": "20", "method": "guess"}, "ruler"),
        ({"date": "2027-06-01", "level": "20", "time": "noonish"}, "17:30"),
        ({"date": "2027-06-01", "event": "exploded"}, "list of events"),
        ({"date": "2027-06-01", "added mix": "2", "mix strength": "weak"}, "percent"),
        ({"date": "2027-06-01", "level": "20", "level (in)": "8"}, "twice"),
        ({"date": "2027-06-01", "level": "20", "status": "struck"}, "Leave it out"),
    ],
)
def test_what_cannot_be_kept_is_refused(tmp_path, cells, words):
    path = tmp_path / "my-log.csv"
    with pytest.raises(Problem, match=words):
        log.append(path, cells)
    assert not path.exists()


def test_a_unit_given_with_the_column_wins_over_the_heading(tmp_path):
    path = tmp_path / "my-log.csv"
    log.append(path, {"date": "2027-06-01", "level": "8"}, system="US")
    log.append(path, {"date": "2027-06-02", "level (cm)": "20", "water temperature (°C)": "21"})
    log.append(path, {"date": "2027-06-03", "level (in)": "7 1/4", "volume": "6"}, system="US")
    inches = [visit.level.m_as("in") for visit in log.read(path).visits]
    assert inches == pytest.approx([8, 20 / 2.54, 7.25])
    assert log.read(path).visits[1].water_temperature.m_as("degC") == pytest.approx(21)
    assert log.read(path).visits[2].volume.m_as("gal") == pytest.approx(6)


def test_a_visit_goes_into_a_log_and_comes_back(tmp_path):
    path = tmp_path / "my-log.csv"
    visit = log.Visit(
        day=date(2027, 6, 1), at=time(17, 30), tank="A", observer="B2", level=Q(22.3, "cm"), weight=Q(31.25, "kg"),
        weighed_with="lid", ph=(6.0, 6.5), conductivity=(Q(1.7, "mS/cm"),) * 2, water_temperature=Q(21.5, "degC"),
        rain=Q(0, "mm"), added_mix=Q(2, "L"), mix_strength=0.5, plants=4, events=("topped up", "stems cut"),
        method="strip", note="hot, dry; 9 in", tilt=Q(12, "degree"), wet_length=Q(21, "cm"),
    )  # fmt: skip
    log.append(path, visit, system="US")
    (found,) = log.read(path).visits
    for name in ("day", "at", "tank", "observer", "weighed_with", "ph", "plants", "events", "method", "note"):
        assert getattr(found, name) == getattr(visit, name), name
    assert found.level.m_as("cm") == pytest.approx(22.3)
    assert found.rain.m_as("mm") == 0
    assert found.mix_strength == 0.5
    with pytest.raises(Problem, match="cannot say added_to"):
        log.append(path, dataclasses.replace(visit, added_to=Q(24, "cm"), note="again"))


def test_a_row_that_someone_changed_meanwhile_is_left_alone(tmp_path):
    path = tmp_path / "my-log.csv"
    log.append(path, {"date": "2027-06-01", "level": "32.5"})
    (seen,) = log.read(path).visits
    log.correct(path, seen, {"level": "22.5"})
    raw = path.read_bytes()
    for act in (lambda: log.strike(path, seen), lambda: log.correct(path, seen, {"level": "23"})):
        with pytest.raises(FileChanged, match="changed meanwhile"):
            act()
    assert path.read_bytes() == raw


def test_a_correction_leaves_what_was_odd_before_and_refuses_what_is_odd_now(tmp_path):
    path = tmp_path / "my-log.csv"
    path.write_text("date,level (cm),pH,event\n3/4/27,20,62,burst\n", encoding="utf-8")
    assert log.correct(path, 2, {"level": "21"}) == 3
    assert path.read_text(encoding="utf-8").splitlines()[2] == "3/4/27,21,62,burst,"
    with pytest.raises(Problem, match="If you meant"):
        log.correct(path, 3, {"pH": "63"})
    with pytest.raises(Problem, match="Nothing is different"):
        log.correct(path, 3, {"level": "21"})


def test_the_same_visit_is_not_added_twice(tmp_path):
    path = tmp_path / "my-log.csv"
    log.append(path, {"date": "2027-06-01", "level": "20"})
    with pytest.raises(Problem, match="this very visit in row 2"):
        log.append(path, {"date": "2027-06-01", "level": "20"})


def test_no_row_no_correction(tmp_path):
    path = tmp_path / "my-log.csv"
    with pytest.raises(Unreadable):
        log.strike(path, 2)
    log.append(path, {"date": "2027-06-01", "level": "20"})
    with pytest.raises(Problem, match="no visit in row 7"):
        log.correct(path, 7, {"level": "3"})
    for odd in ([2], "2", None, True):
        with pytest.raises(Problem, match="no visit in row"):
            log.strike(path, odd)
    with pytest.raises(Problem, match="reason"):
        log.strike(path, 2, why=None)
    for odd in (tmp_path, 5, None, "a\0b"):
        with pytest.raises(Problem):
            log.append(odd, {"date": "2027-06-01", "level": "20"})


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
        sleep(0.45 + 0.1 * number)
        pair[0].send_signal(signal.SIGKILL)
        promised += [line for each in pair for line in each.stdout.read().split("\n")[:-1]]
        assert pair[1].wait() == 0
    notes = [visit.note for visit in log.read(tmp_path / "my-log.csv").visits]
    assert set(promised) <= set(notes)
    assert len(notes) == len(set(notes))
