"""Entries as people make them, each with its outcome: read, asked about, or refused; the file stays as it is."""

import contextlib
import hashlib
import random

import pytest
from stilltank.season import log
from stilltank.season.plan import Plan
from stilltank.units import Problem, Unreadable

HEAD = "date,level (cm)\n"
PLAN = Plan.make("quillgate-tub", "basil", start="2027-05-10", count=4)


@pytest.fixture
def read(tmp_path):
    def read_text(text, plans=None, encoding="utf-8"):
        path = tmp_path / "my-log.csv"
        path.write_bytes(text.encode(encoding))
        before = hashlib.sha256(path.read_bytes()).hexdigest()
        found = log.read(path, plans)
        assert hashlib.sha256(path.read_bytes()).hexdigest() == before
        return found

    return read_text


def level(visit):
    return None if visit.level is None else round(visit.level.m_as("cm"), 2)


@pytest.mark.parametrize(
    ("text", "levels"),
    [
        (HEAD + "2027-06-01,24.5\n", [24.5]),
        ("\ufeffDate ;LEVEL (CM)\n1.6.2027;24,5\n;\n;;\n", [24.5]),
        ("date\tlevel (cm)\n1 Jun 2027\t24.5\nJune 4, 2027\t22\n", [24.5, 22]),
        ("date,level (in)\n2027-06-01,9 1/2\n2027-06-04,22 cm\n", [24.13, 22]),
        ("date,level_cm,tank\n2027-06-04,20,A\n2027-06-01,24.5,A\n", [24.5, 20]),
        (HEAD + "2027-06-01,about 24\n2027-06-04,20-22\n", [24, 21]),
        (HEAD + "2027-06-01,24.5\n2027-06-01,24.5\n", [24.5]),
        ("Log of our tub,\n" + HEAD + "2027-06-01,24.5\nTotal,24.5\n", [24.5]),
        (HEAD + "2027-06-01,\n2027-06-08,\n2027-06-15,20\n", [20]),
        (HEAD + "13/6/2027,20\n14/6/2027,19\n4/7/2027,12\n", [20, 19, 12]),
    ],
)
def test_what_is_read(read, text, levels):
    found = read(text)
    assert [level(visit) for visit in found.visits] == levels
    assert not found.questions


@pytest.mark.parametrize(
    ("text", "kind", "levels"),
    [
        (HEAD + "2027-06-01,24,5\n", "too many cells", []),
        (HEAD + "3/4/2027,20\n5/4/2027,19\n", "slash dates", []),
        (HEAD + "5/25/2027,20\n26/5/2027,19\n1/6/2027,18\n", "slash dates", [20, 19]),
        (HEAD + "2027-02-30,20\n", "no such day", []),
        (HEAD + ",20\n", "no date", []),
        ("date,level\n2027-06-01,20\n2027-06-04,19\n", "no unit", []),
        (HEAD + "2027-06-01,=B3+1\n", "level unclear", []),
        (HEAD + "2027-06-01,wet\n", "level unclear", []),
        (HEAD + "2027-06-01,-4\n", "level unclear", []),
        ("date,level (cm),added water\n2027-06-01,20,2 gal\n", "which gallon", [20]),
        ("date,level (cm),added water (L)\n2027-06-01,20,a bit\n", "added water unclear", [20]),
        ("date,level (cm),pH\n2027-06-01,20,62\n", "pH unclear", [20]),
        ("date,level (cm),pH\n2027-06-01,20,0\n", "pH unclear", [20]),
        ("date,level (cm),plants\n2027-06-01,20,some\n", "plants unclear", [20]),
    ],
)
def test_what_is_asked(read, text, kind, levels):
    found = read(text)
    assert [question.kind for question in found.questions] == [kind]
    assert [level(visit) for visit in found.visits] == levels
    assert all(len(question.sentence.split()) <= 30 for question in found.questions)


@pytest.mark.parametrize(
    ("rows", "kind", "last"),
    [
        ("2027-06-01,42.1,,\n", "above the rim", None),
        ("2027-06-01,28,,\n", "above the hole", 28),
        ("2027-05-01,24,,\n", "before planting", "gone"),
        ("2027-05-10,21,,\n", "another zero", None),
        ("2027-06-10,12,,\n2027-06-14,22,0,\n", "rose", None),
        ("2027-06-10,22,,\n2027-06-11,10,,\n", "fell fast", None),
        ("2027-06-10,14,,topped up\n", "topped up", 14),
    ],
)
def test_what_plan_and_rain_do_not_explain_is_asked(read, rows, kind, last):
    found = read("date,level (cm),rain (mm),event\n" + rows, PLAN)
    assert [question.kind for question in found.questions] == [kind]
    assert (level(found.visits[-1]) if found.visits else "gone") == last
    assert len(found.questions[0].sentence.split()) <= 30


def test_two_observers_who_differ_both_count(read):
    found = read("date,level (cm),observer\n2027-06-01,22,A1\n2027-06-01,19,B2\n", PLAN)
    assert [question.kind for question in found.questions] == ["observers differ"]
    assert [level(visit) for visit in found.visits] == [22, 19]


def test_an_answer_is_kept_beside_the_log_and_asked_no_more(read, tmp_path):
    text = "date,level (cm),event\n2027-06-10,14,topped up\n2027-06-14,42.1,\n"
    found = read(text, PLAN)
    assert len(found.questions) == 2
    turned = next(each for each in found.questions if each.kind == "above the rim")
    found = found.answered(turned, "24.1 cm")
    assert [level(visit) for visit in found.visits] == [14, 24.1]
    found = found.answered(found.questions[0], "3 L")
    assert not found.questions
    assert found.visits[0].added_water.m_as("L") == 3
    longer = text.replace("2027-06-10", "2027-06-02,20,\n2027-06-10", 1)  # a row more, before them
    (tmp_path / "my-log.csv").write_text(longer)
    assert not log.read(tmp_path / "my-log.csv", PLAN).questions


def test_a_group_is_asked_once(read):
    found = read("date,level\n" + "".join(f"2027-06-{day:02d},{25 - day}\n" for day in range(1, 15)))
    assert len(found.questions) == 1
    assert len(found.questions[0].rows) == 14
    assert level(found.answered(found.questions[0], "cm").visits[0]) == 24


def test_a_wrong_answer_is_refused(read):
    found = read("date,level\n2027-06-01,20\n")
    with pytest.raises(Problem, match="cm"):
        found.answered(found.questions[0], "feet")


def test_older_windows_and_half_are_said(read):
    found = read("Date;Temp (°C);level (cm)\n2027-06-01;21;half\n", PLAN, "cp1252")
    assert any("older Windows" in note for note in found.notes)
    low, high = found.visits[0].between
    assert low < 0.5 * PLAN.outlook.volume < high


@pytest.mark.parametrize(
    "text", ["", "hello\nworld\n", "tank,level (cm)\nA,20\n", "date,colour\n2027-06-01,red\n"]
)
def test_what_is_no_log_is_refused_with_the_smallest_one(read, text):
    with pytest.raises(Unreadable, match="date,level"):
        read(text)


def test_struck_rows_are_kept_and_do_not_count(read):
    found = read("date,level (cm),status\n2027-06-01,20,struck\n2027-06-04,19,\n")
    assert (len(found.rows), len(found.visits)) == (2, 1)


def test_nonsense_raises_nothing_foreign(read, tmp_path):
    rng = random.Random(16)
    good = "date,time,tank,level (cm),pH,EC (mS/cm),rain (mm),added water (L),plants,event\n" + "".join(
        f"2027-06-{day:02d},08:00,A,{26 - day},6.1,1.7,0,,4,\n" for day in range(1, 9)
    )
    signs = 'äß;,\t"\n\r\u00a0=-/.%°½٣e\x00\ud83c0123456789 cm in gal L'
    for number in range(250):
        text = list(good)
        for _ in range(rng.randrange(1, 25)):
            place = rng.randrange(len(text))
            text[place : place + rng.randrange(3)] = rng.choices(signs, k=rng.randrange(4))
        whole = "".join(text).encode("utf-8", "surrogatepass")
        raw = bytes(rng.randrange(256) for _ in range(200)) if number % 10 == 0 else whole
        path = tmp_path / f"nonsense-{number}.csv"
        path.write_bytes(raw)
        with contextlib.suppress(Problem):
            str(log.read(path, PLAN if number % 2 else None))
        assert path.read_bytes() == raw
