"""The tables in data/: what is there, what is refused, and where a number comes from."""

import csv
import io

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from stilltank import tables
from stilltank.files import read_text
from stilltank.tables import COLUMNS, KINDS, TableFault, read_table, where_from
from stilltank.units import Problem, Q, Unreadable

HEADER = ",".join(COLUMNS)
GOOD = "water,depth,12,cm,10,15,published,NIST811,p. 1,a note"


def table(tmp_path, *lines, header=HEADER, encoding="utf-8"):
    path = tmp_path / "made.csv"
    path.write_bytes("\n".join((header, *lines)).encode(encoding))
    return path


# Our own tables


@pytest.mark.parametrize("name", tables.names())
def test_table_loads_and_every_source_exists(name):
    for entry in tables.load(name).values():
        assert set(entry.source) <= set(tables.sources()), entry.address
        assert str(where_from(entry.address)) == str(entry)
        assert entry.kind in str(entry)


def rows_with_a_kind():
    """Every row of data/ that tells its kind, the stated checks too."""
    for path in sorted(tables.DATA.rglob("*.csv")):
        with path.open(encoding="utf-8", newline="") as file:
            reader = csv.DictReader(file)
            if {"kind", "source", "where"} <= set(reader.fieldnames or ()):
                for number, row in enumerate(reader, 2):
                    yield pytest.param(row, id=f"{path.stem}-{number}")


ROWS = list(rows_with_a_kind())


def test_the_rows_are_all_there():
    assert len({row.id.rpartition("-")[0] for row in ROWS}) >= 30
    assert len(ROWS) > 2500


def test_a_published_value_was_read_where_it_says():
    """What is remembered was not read; and what was read stands somewhere: on a page, in a table, in an abstract."""
    read = {key: source.read for key, source in tables.sources().items()}
    published = [(row.id, row.values[0]) for row in ROWS if row.values[0]["kind"] == "published"]
    assert len(published) > 500
    remembered = [
        id
        for id, row in published
        if any(read[key.strip()] == "from memory" for key in row["source"].split(";"))
    ]
    assert not remembered
    assert not [id for id, row in published if not row["where"].strip()]


def test_tables_are_loaded_once():
    assert tables.load("constants") is tables.load("constants")


def test_number_comes_in_the_unit_asked_for():
    assert tables.number("constants", "water", "standard gravity", "cm/s^2") == pytest.approx(980.665)


# Where a number comes from


def test_where_from_tells_value_unit_kind_and_source():
    answer = str(where_from("constants/water/standard gravity"))
    for part in (
        "9.80665 m/s^2",
        "Kind: from memory",
        "NIST Special Publication 811",
        "read: from memory",
        "Appendix B",
    ):
        assert part in answer


@pytest.mark.parametrize(
    ("address", "words"),
    [
        (
            "constants/water/standard gravitty",
            "has no 'standard gravitty' for 'water'. It has: standard gravity",
        ),
        ("constants/watter/standard gravity", "Near names: water"),
        ("constants/water", "Name the property too"),
        ("constant/water/standard gravity", "the tables are:"),
        ("", "Write table/item/property"),
    ],
)
def test_where_from_a_wrong_address_names_near_ones(address, words):
    with pytest.raises(TableFault) as caught:
        where_from(address)
    assert words in str(caught.value)


# Rows that break the rules


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("water,depth,12,cm,10,15,published,,p. 1,", "a published value needs a source"),
        ("water,depth,12,cm,10,15,from memory,,,", "a from memory value needs a source"),
        ("water,depth,12,cm,10,15,guessed,NIST811,,", "kind 'guessed' is not one of"),
        ("water,depth,12,,10,15,assumption,,,", "no unit"),
        ("water,depth,12,furlongs per moon,10,15,assumption,,,", "unit 'furlongs per moon' is not known"),
        ("water,depth,,cm,10,15,assumption,,,", "must all be filled in"),
        (",depth,12,cm,10,15,assumption,,,", "must all be filled in"),
        ("water,depth,twelve,cm,10,15,assumption,,,", "'twelve' is not a number"),
        ('water,depth,"12,5",cm,10,15,assumption,,,', "'12,5' is not a number"),
        ("water,depth,nan,cm,,,assumption,,,", "'nan' is not a number"),
        ("water,depth,inf,cm,,,assumption,,,", "'inf' is not a number"),
        ("water,depth,1_2,cm,,,assumption,,,", "'1_2' is not a number"),
        ("water,depth,12,cm,13,15,assumption,,,", "12 lies outside its own range 13 to 15"),
        ("water,depth,12,cm,,11,assumption,,,", "12 lies outside its own range open to 11"),
        ("water,colour,blue,text,1,2,assumption,,,", "words have no range"),
        ("water,depth,12,cm", "4 cells, and 10 are needed"),
        ("water,depth,12,5,cm,10,15,assumption,,,", "11 cells, and 10 are needed"),
        ('water,"depth,12,cm,10,15,assumption,,,', "the quotes do not close"),
    ],
)
def test_a_bad_row_is_refused_by_file_and_line(tmp_path, row, words):
    with pytest.raises(TableFault) as caught:
        read_table(table(tmp_path, GOOD.replace("depth", "width"), row), "made")
    assert words in str(caught.value)
    assert "made.csv, line 3" in str(caught.value)


def test_a_value_given_twice_is_refused(tmp_path):
    with pytest.raises(TableFault, match=r"made.csv, line 3: water / depth stands in this file twice"):
        read_table(table(tmp_path, GOOD, GOOD), "made")


def test_a_wrong_header_is_refused(tmp_path):
    with pytest.raises(TableFault, match=r"made.csv, line 1: it must read item,property"):
        read_table(table(tmp_path, GOOD, header="item,value"), "made")
    with pytest.raises(TableFault, match=r"made.csv, line 1"):
        read_table(table(tmp_path, header=""), "made")


def test_a_missing_table_is_refused():
    with pytest.raises(TableFault, match=r"no-such.csv is not there"):
        tables.load("no-such")


def test_words_and_numbers_are_told_apart(tmp_path):
    made = read_table(table(tmp_path, GOOD, "water,colour,blue,text,,,assumption,,,"), "made")
    assert made["water", "colour"].quantity == "blue"
    assert made["water", "depth"].quantity == Q(12, "cm")
    assert made["water", "depth"].range == (Q(10, "cm"), Q(15, "cm"))
    with pytest.raises(TableFault, match="is a word"):
        _ = made["water", "colour"].range


def test_a_source_without_an_entry_is_a_table_fault(tmp_path):
    made = read_table(table(tmp_path, GOOD.replace("NIST811", "NOBODY")), "made")
    with pytest.raises(TableFault, match="cites 'NOBODY'"):
        str(made["water", "depth"])


# People's files


def test_text_is_read_with_any_mark_and_line_ends(tmp_path):
    path = tmp_path / "report.csv"
    path.write_bytes("\ufeffname,value\r\npH,7\rK,5\n".encode())
    assert read_text(path, "the water report") == "name,value\npH,7\nK,5\n"
    path.write_bytes("µ,1\n".encode("utf-16"))
    assert read_text(path, "the water report") == "µ,1\n"


def test_reading_never_changes_the_file(tmp_path):
    path = tmp_path / "report.csv"
    path.write_bytes(b"\xef\xbb\xbfa,b\r\n1,2")
    before = path.read_bytes(), path.stat().st_mtime_ns
    read_text(path, "the water report")
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


def test_faults_of_a_file_are_sentences(tmp_path):
    with pytest.raises(Unreadable, match=r"The log .*nothing.csv is not there. Check the name"):
        read_text(tmp_path / "nothing.csv", "the log")
    with pytest.raises(Unreadable, match=r"is a folder. Give the name of a file"):
        read_text(tmp_path, "the log")
    (tmp_path / "old.csv").write_bytes("a,b\nGefäß,2\n".encode("latin-1"))
    with pytest.raises(Unreadable, match=r"old.csv, line 2: a letter is stored in an old way.*CSV UTF-8"):
        read_text(tmp_path / "old.csv", "the log")
    for name, raw, kind, remedy in (
        ("sheet.xlsx", b"PK\x03\x04\0\0", "CSV", "spreadsheet program, save it as CSV"),
        ("sheet.xls", b"\xd0\xcf\x11\xe0\0", "CSV", "spreadsheet program, save it as CSV"),
        ("report.pdf", b"%PDF-1.7\n\0", "CSV", "a picture or a PDF must be typed in"),
        ("plan.toml", b"\x89PNG\r\n\x1a\n\0", "TOML", "Give a TOML file: plain text"),
    ):
        (tmp_path / name).write_bytes(raw)
        with pytest.raises(Unreadable, match=rf"{name} is not a text file\. .*{remedy}"):
            read_text(tmp_path / name, "the log", kind)
    (tmp_path / "old.toml").write_bytes('name = "Gefäß"\n'.encode("latin-1"))
    with pytest.raises(Unreadable, match=r"old.toml, line 1: .*Save the file again as UTF-8 text"):
        read_text(tmp_path / "old.toml", "the tank plan", "TOML")
    with pytest.raises(Unreadable, match="could not be opened"):
        read_text("a\0b", "the log")


# Properties

CELL = st.text(st.characters(codec="utf-8", exclude_characters="\0\r\n"), max_size=12)
NUMBERS = st.floats(-1e12, 1e12).map(lambda number: f"{number:.12g}")
NAME = st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=12)


def row_of(cells) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow(cells)
    return out.getvalue()


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.tuples(NAME, NAME, NUMBERS, st.sampled_from(["cm", "mg/L", "1", "degC"]), CELL), max_size=6)
)
def test_what_a_table_holds_comes_back(tmp_path_factory, rows):
    rows = list({row[:2]: row for row in rows}.values())
    lines = [
        row_of([item, prop, value, unit, "", "", "assumption", "", "", note])
        for item, prop, value, unit, note in rows
    ]
    made = read_table(table(tmp_path_factory.mktemp("t"), *lines), "made")
    assert len(made) == len(rows)
    for item, prop, value, unit, note in rows:
        entry = made[item, prop]
        assert (entry.value, entry.unit, entry.note) == (float(value), unit, note.strip())


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.one_of(
            CELL.map(lambda cell: cell),
            st.lists(CELL, max_size=12).map(row_of),
            st.tuples(
                CELL, CELL, CELL, CELL, CELL, CELL, st.sampled_from([*KINDS, "x"]), CELL, CELL, CELL
            ).map(row_of),
        ),
        min_size=1,
        max_size=4,
    )
)
def test_a_malformed_table_is_a_table_fault_naming_file_and_line(tmp_path_factory, lines):
    path = table(tmp_path_factory.mktemp("t"), *lines)
    try:
        read_table(path, "made")
    except TableFault as fault:
        named = str(fault)
    else:
        named = "made.csv, line 1"  # nothing was wrong with it
    assert "made.csv, line " in named


@settings(max_examples=100, deadline=None)
@given(st.binary(max_size=200))
def test_any_file_is_text_or_a_problem(tmp_path_factory, raw):
    path = tmp_path_factory.mktemp("t") / "any.csv"
    path.write_bytes(raw)
    try:
        assert "\r" not in read_text(path, "the file")
    except Problem as problem:
        named = str(problem)
        assert "any.csv" in named
