"""The log to keep by hand: its days, its columns, and the level that each week expects."""

import csv
import io
import re
from datetime import date

import pytest
from printed import NASTY, Page, words_of
from stilltank.science import budget
from stilltank.season.log import log_columns
from stilltank.season.paper import log_sheet, log_template
from stilltank.season.plan import Plan, Reading
from stilltank.units import Problem, Q, Unreadable, on_ruler

PLAN = Plan.make(count=4)


def printed_rows(text):
    (body,) = re.findall(r"<tbody>(.*?)</tbody>", text, re.DOTALL)
    return [re.findall(r"<td[^>]*>([^<]*)</td>", row) for row in re.findall(r"<tr>(.*?)</tr>", body)]


def test_a_dated_row_for_each_week_to_the_end_and_empty_ones_between():
    rows = printed_rows(log_sheet(PLAN))
    dated = [row for row in rows if row[0]]
    weeks = PLAN.outlook.weekly
    assert dated[0][:2] == ["Mon 26 Apr", "25.0"]  # planted, filled to 25 cm
    assert len(dated) == 1 + len(weeks)
    for row, week in zip(dated[1:], weeks, strict=True):
        assert row[0] == f"{week['day']:%a} {week['day'].day} {week['day']:%b}"
        assert row[1] == f"{week['low'].m_as('cm'):.1f} to {week['high'].m_as('cm'):.1f}"
        assert set(row[2:]) == {""}
    assert [bool(row[0]) for row in rows[:5]] == [True, False, True, False, True]
    often = printed_rows(log_sheet(PLAN.change(top_up=budget.by_hand(2))))
    assert [bool(row[0]) for row in often[:5]] == [
        True,
        False,
        False,
        False,
        True,
    ]  # a visit every second day


def test_the_columns_of_both_are_the_same():
    """Those of a spreadsheet with the tank, the plants and the method, those on paper with what to expect."""
    heads = [
        re.sub(r"<[^>]*>", "", one) for one in re.findall(r"<th [^>]*>.*?</th>", log_sheet(PLAN, system="US"))
    ]
    assert heads[:4] == ["date", "expected, in", "level, in", "weight, lb"]
    assert heads[4:] == [
        "weighed with", "pH", "EC, mS/cm", "water, °F", "rain, in", "added water, US gal", "added mix, US gal",
        "strength, %", "stems cut", "heads cut", "event", "note",
    ]  # fmt: skip
    assert len(log_columns("US")) == len(heads) + 2


def test_us_levels_are_those_of_a_ruler():
    rows = [row for row in printed_rows(log_sheet(PLAN, system="US")) if row[0]]
    low, high = (on_ruler(PLAN.outlook.weekly[3][end], "US").removesuffix(" in") for end in ("low", "high"))
    assert rows[4][1] == f"{low} to {high}"
    assert not re.search(
        r"\d (cm|mm|L|kg)\b", words_of(log_sheet(PLAN, system="US")).replace("45 litres", "")
    )


def test_a_log_from_mid_season_begins_there():
    plan = PLAN.change(reading=Reading("2027-06-10", Q(14, "cm")))
    assert next(row for row in printed_rows(log_sheet(plan)) if row[0])[:2] == ["Thu 10 Jun", "14.0"]


def test_a_page_with_repeated_heads_that_asks_for_nothing():
    text = log_sheet(PLAN.change(name=NASTY), paper="Letter")
    page = Page(text)
    assert page.words["h1"] == f"Log: {NASTY}"
    assert len(page.all("thead")) == 1
    assert "size: Letter landscape" in text
    assert any("default-src 'none'" in meta.get("content", "") for meta in page.all("meta"))
    assert {"script", "link", "iframe", "a", "form"}.isdisjoint(tag for tag, _ in page.found)
    (region,) = [attrs for attrs in page.all("div") if "wide-table" in attrs.get("class", "")]
    assert region["tabindex"] == "0"
    assert region["aria-label"]


def test_the_file_for_a_spreadsheet():
    rows = list(csv.reader(io.StringIO(log_template(PLAN))))
    assert tuple(rows[0]) == log_columns()
    assert rows[0][:4] == ["date", "tank", "level (cm)", "weight (kg)"]
    assert {len(row) for row in rows} == {len(rows[0])}
    days = [date.fromisoformat(row[0]) for row in rows[1:]]
    assert days == [PLAN.start, *(week["day"] for week in PLAN.outlook.weekly)]
    assert not any(cell for row in rows[1:] for cell in row[1:])


def test_logs_are_written_whole_or_refused(tmp_path):
    assert log_sheet(PLAN, tmp_path / "log").name == "log.html"
    assert log_template(PLAN, tmp_path / "log").name == "log.csv"
    for call, error, words in (
        (lambda: log_sheet("tub"), Problem, "needs a plan"),
        (lambda: log_template(None), Problem, "needs a plan"),
        (lambda: log_sheet(PLAN, paper="A3"), Problem, "A3"),
        (lambda: log_template(PLAN, system="old"), Problem, "old"),
        (lambda: log_columns(3), Problem, "3"),
        (lambda: log_sheet(PLAN, 7), Unreadable, "name of a file"),
    ):
        with pytest.raises(error, match=words):
            call()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["log.csv", "log.html"]
