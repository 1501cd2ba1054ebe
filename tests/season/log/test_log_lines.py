"""The lines of a log that is written in: every byte but the new ones stays, whatever the file looks like."""

import random

import pytest
from stilltank.season import log
from stilltank.units import Problem

FILES = {
    "an inch mark alone": [b"date,level,note", b'2027-06-01,9",a', b'2027-06-02,8",b', b"2027-06-03,7 in,c"],
    "headings twice": [b"date,level (cm),,", b"2027-06-01,20,x,y", b"2027-06-02,19,,z", b"2027-06-03,18,q"],
    "spaces": [b"date,level (cm),note", b"2027-06-01, 20 ,a\xc2\xa0b", b"2027-06-02 ,19", b"2027-06-03,18"],
    "older Windows": [b"date,level (cm),note", b"2027-06-01,20,\x81\xb0", b"2027-06-02,19,\xb0", b"2027-06-03,18"],
    "quotes": [b"date,level (cm),note", b'2027-06-01,20,"a\r\nb"', b'"2027-06-02",19,"c,d"', b"2027-06-03,18"],
    "titles": [b"Our log\n\ndate,level (cm)", b"2027-06-01,20\n", b"2027-06-02,19", b"2027-06-03,18"],
    "tabs": [b"date\tlevel (cm)\tnote", b"2027-06-01\t20,5", b"2027-06-02\t19,5\tx", b"2027-06-03\t18"],
}  # fmt: skip


def parts(raw, ends):
    """The file as one run of bytes for each line of the case."""
    return b"".join(line + end for line, end in zip(raw, ends, strict=True))


@pytest.mark.parametrize("name", FILES)
@pytest.mark.parametrize("ends", [(b"\n",) * 4, (b"\r\n", b"\n", b"\r", b"")])
def test_only_what_is_written_changes(tmp_path, name, ends):
    path, raw = tmp_path / "my-log.csv", FILES[name]
    path.write_bytes(parts(raw, ends))
    log.append(path, {"date": "2027-06-08", "level (cm)": "17.5", "tank": "A"})
    heading = path.read_bytes().split(raw[1])[0]
    assert heading.startswith(raw[0])
    assert heading.endswith(b"tank" + ends[0])
    rest = path.read_bytes()[len(heading) :]
    assert rest.startswith(parts(raw[1:], ends[1:]))

    visit = next(each for each in log.read(path).rows if each.day.isoformat() == "2027-06-02")
    log.strike(path, visit, why="another tank")
    struck = path.read_bytes()
    assert raw[1] + ends[1] in struck
    assert raw[3] + (ends[3] or b"\r") in struck or raw[3] + b"\n" in struck
    found = log.read(path)
    assert [each.status for each in found.rows] == ["", "struck", "", ""]
    kept = next(each for each in found.rows if each.status)
    for heading, text in visit.cells.items():
        assert kept.cells[heading] == (f"{text}; another tank" if heading == "note" else text)


def test_rows_that_would_move_under_another_heading_stop_the_writer(tmp_path):
    path = tmp_path / "my-log.csv"
    for raw, words in (
        (b"date,level (cm)\n2027-06-01,22,4\n2027-06-02,21\n", "more cells than headings"),
        (b'date,level (cm),status\n2027-06-01,"20\n2027-06-02,19\n', "quotation mark"),
    ):
        path.write_bytes(raw)
        with pytest.raises(Problem, match=words):
            log.append(path, {"date": "2027-06-08", "level": "20", "note": "dry"})
        assert path.read_bytes() == raw


def test_a_letter_the_file_cannot_hold_is_refused(tmp_path):
    path = tmp_path / "my-log.csv"
    raw = "date,water temperature (°C),note\n2027-06-01,21,\n".encode("cp1252")
    path.write_bytes(raw)
    with pytest.raises(Problem, match='no "Δ"'):
        log.append(path, {"date": "2027-06-08", "water temperature": "20", "note": "ΔpH"})
    assert path.read_bytes() == raw


def test_nonsense_loses_no_line(tmp_path):
    """Whatever is in a file: it is refused as it is, or all its other rows are read as before."""
    path, rng, written = tmp_path / "my-log.csv", random.Random(16), 0
    pieces = [
        "2027-06-0",
        "1",
        "20",
        ",",
        ",",
        ";",
        "\t",
        '"',
        "\n",
        "\n",
        "\r",
        "\r\n",
        " ",
        "é",
        "\x0c",
        "total",
    ]
    for _ in range(100):
        body = "".join(rng.choice(pieces) for _ in range(rng.randrange(40)))
        raw = (rng.choice(["date,level (cm),note\n", "\ufeffdate;level (cm)\r\n"]) + body).encode()
        path.write_bytes(raw)
        before = log.read(path).rows
        act = rng.choice(
            [
                lambda: log.append(path, {"date": "2027-06-08", "level": "20", "pH": "6"}),
                lambda: log.strike(path, rng.randrange(1, 6), "nonsense"),
                lambda: log.correct(path, rng.randrange(1, 6), {"date": "2027-06-09", "level": "19"}),
            ]
        )
        try:
            act()
        except Problem:
            assert path.read_bytes() == raw
            continue
        written += 1
        after = [dict(each.cells) for each in log.read(path).rows]
        assert len([each for each in before if dict(each.cells) not in after]) <= 1
    assert written > 20
