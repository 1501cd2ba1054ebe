"""The page for the wall and the numbers of a bench, read back."""

import csv
import html
import re
from datetime import date

import numpy as np
import pytest
from stilltank.science import budget
from stilltank.season.bench import Bench
from stilltank.season.plan import Group, Plan
from stilltank.units import Problem, Q, Unreadable

PLANS = {
    "A": Plan.make(count=6, top_up=budget.by_hand(7, Q(15, "cm"), strength=0.5)),
    "B": Plan.make(crop="basil", count=4, start="2027-05-10", beside=[Group("lettuce", 2)]),
}


@pytest.fixture(scope="module")
def bench():
    return Bench.of(PLANS)


def words(path):
    return html.unescape(
        re.sub(r"<[^>]+>", " ", re.sub(r"<style>.*?</style>", "", path.read_text(), flags=re.S))
    )


def test_the_page_says_what_the_plans_say(bench, tmp_path):
    said = " ".join(words(bench.page(tmp_path / "wall")).split())
    assert "A 6 snapdragon" in said
    assert "B 4 basil, 2 lettuce" in said
    # 25 cm and 36.2 L are the fill line of the card of this tub; 2 cm: Kratky 2004, abstract
    assert "fill to 25 cm (36.2 L); hole at 25.5 cm" in said
    assert "every 7 days half-strength solution, up to 15 cm; at most 2 cm (3.3 L) at once" in said
    assert "nothing is added" in said
    assert "Invented demo" in said
    assert "Whom to call" in said
    assert "watering round" in said


def test_the_page_is_whole_and_asks_nobody(bench, tmp_path):
    for paper in ("A4", "Letter"):
        text = bench.page(tmp_path / "wall", paper=paper).read_text()
        assert "Content-Security-Policy" in text
        assert "default-src 'none'" in text
        assert not re.search(r"(src|href)=|https?:", text)
        assert f"size: {paper}" in text
        assert text.count("<table") == text.count("<thead")
        assert text.count('scope="row"') >= len(PLANS)


def test_us_units(bench, tmp_path):
    said = words(bench.page(tmp_path / "wall", system="US", paper="Letter"))
    assert "fill to 9 7/8 in (9.57 US gal)" in said  # 25 cm are 9.84 in, to an eighth; 36.2 L / 3.785
    assert not re.search(r"\d (cm|L)\b", said)


def test_weeks_before_a_day_are_left_out(bench, tmp_path):
    all_weeks, late = (words(bench.page(tmp_path / "wall", since=day)) for day in (None, "2027-06-01"))
    assert "26 Apr" in all_weeks
    assert "26 Apr" not in late
    assert "31 May" in late  # the Monday of that week


@pytest.mark.parametrize(
    ("asked", "kind", "says"),
    [
        ({"paper": "A3"}, Problem, "A4 or Letter"),
        ({"system": "imperial"}, Problem, "metric"),
        ({"since": "spring"}, Problem, "Write the year first"),
    ],
)
def test_what_cannot_be_printed_is_said(bench, tmp_path, asked, kind, says):
    with pytest.raises(kind, match=says):
        bench.page(tmp_path / "wall", **asked)
    assert list(tmp_path.iterdir()) == []


def test_names_are_written_as_text(tmp_path):
    page = Bench.of({"tub <3 & co": PLANS["A"]}).page(tmp_path / "wall").read_text()
    assert "tub &lt;3 &amp; co" in page


def rows_of(path):
    with path.open(newline="") as file:
        return list(csv.DictReader(file))


def test_numbers_are_those_of_the_seasons(bench, tmp_path):
    rows = rows_of(bench.numbers(tmp_path / "numbers"))
    first = [row for row in rows if row["tank"] == "A"]
    season = bench.plans["A"].outlook.season
    assert len(first) == -(-len(season.dates) // 7)
    for row in first:
        end = (date.fromisoformat(row["to"]) - PLANS["A"].start).days
        assert float(row["level median (cm)"]) == pytest.approx(
            float(np.median(season.level.m_as("cm")[:, end])), abs=0.006
        )
        added = season.top_up.m_as("L")[:, end - (end % 7) : end + 1].sum(axis=1)
        assert float(row["top-up high (L)"]) == pytest.approx(float(np.quantile(added, 0.9)), abs=0.006)
        assert (
            float(row["volume low (L)"]) <= float(row["volume median (L)"]) <= float(row["volume high (L)"])
        )
    assert any("Sow: Snapdragon" in row["to do"] for row in first)
    assert any("The pots may hang clear" in row["to do"] for row in first)
    done = [piece for row in rows for piece in row["to do"].split(" | ") if piece]
    assert len(done) == sum(len(bench.tasks()[name]) for name in PLANS)


def test_numbers_in_us_units(bench, tmp_path):
    metric = rows_of(bench.numbers(tmp_path / "numbers"))
    row = rows_of(bench.numbers(tmp_path / "numbers", system="US"))[0]
    assert float(row["level median (in)"]) * 2.54 == pytest.approx(
        float(metric[0]["level median (cm)"]), abs=0.02
    )
    assert float(row["volume high (US gal)"]) * 3.785 == pytest.approx(
        float(metric[0]["volume high (L)"]), abs=0.03
    )


def test_a_path_that_names_no_file_is_refused(bench):
    with pytest.raises(Unreadable):
        bench.numbers("")
