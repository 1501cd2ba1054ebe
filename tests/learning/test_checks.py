"""Every stated value of data/checks.csv, computed through the public functions."""

import csv
import json
import re
from decimal import Decimal
from pathlib import Path

import pytest
from gathered import gathered
from stilltank.learning import checks
from stilltank.units import Problem, Q

HERE = Path(__file__).resolve().parents[1]
COMPUTED = {id: compute for module in gathered("stated") for id, compute in module.COMPUTED.items()}


def test_the_workbook_starts_with_at_least_sixty_stated_values():
    assert len(checks.rows()) >= 60


@pytest.mark.parametrize("id", sorted(COMPUTED))
def test_computed_value_is_within_its_tolerance(id):
    comparison = checks.compare(id, COMPUTED[id]())
    assert comparison.good, comparison


def written():
    """The rows of data/checks.csv as they are written, digits and all."""
    with (HERE.parent / "data" / "checks.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_tolerance_wider_than_the_rounding_says_why():
    """Half a unit of the last stated digit is what rounding allows; a wider one has its reason in the note."""
    for row in written():
        half = Decimal(5).scaleb(Decimal(row["stated"]).as_tuple().exponent - 1)
        reason = row["note"].partition("tolerance: ")[2].strip()
        assert Decimal(row["tolerance"]) <= half or len(reason) > 10, row["id"]
        assert Decimal(row["tolerance"]) > half or not reason, f"{row['id']} gives a reason it does not need"


def test_what_was_chosen_after_seeing_the_answer_is_no_check():
    """A trade's word on no tank in particular can be met by choosing the tank: such rows are illustrations."""
    assert not [
        row["id"] for row in written() if row["kind"] == "common practice" and "our choice" in row["note"]
    ]


def test_every_row_is_computed_somewhere():
    """A stated value that nothing computes would stand there for show."""
    used = set(COMPUTED)
    for path in (HERE.parent / "workbook").glob("[0-9]*.ipynb"):
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        used |= set(re.findall(r'check\("([^"]+)"', "\n".join("".join(cell["source"]) for cell in cells)))
    assert used == set(checks.rows())


def test_a_value_outside_its_tolerance_is_reported_and_raises(capsys):
    check = checks.Checks()
    check("M-UN01", Q(4.54609, "L"))
    with pytest.raises(checks.CheckFailed, match="M-UN01"):
        check.report()
    lines = capsys.readouterr().out.splitlines()
    assert lines[1].startswith("OFF")
    assert lines[-1] == "Sources: NIST811 (from memory)."


def row(**more):
    fields = {
        "id": "HAND", "chapter": "01", "quantity": "a sum", "stated": 2.5, "unit": "L", "tolerance": 0.04,
        "kind": "published", "source": ("NIST811",), "where": "p. 1", "note": "",
    }  # fmt: skip
    return checks.Stated(**(fields | more))


@pytest.mark.parametrize(
    ("computed", "good"),
    [(2.54, True), (2.46, True), (2.5401, False), (2.4599, False), (float("nan"), False)],
)
def test_a_tolerance_reaches_as_far_as_it_says(computed, good):
    assert checks.Comparison(row(tolerance=0.04000001), computed).good == good


def test_a_report_shows_each_value_to_the_digits_of_its_tolerance(monkeypatch, capsys):
    """Half of 0.04 is 0.02: two decimals; half of 3 is 1.5: none."""
    made = {"A": row(), "B": row(stated=1200, tolerance=3, unit="1", kind="common practice", source=())}
    monkeypatch.setattr(checks, "rows", lambda: made)
    check = checks.Checks()
    check("A", Q(2523.4, "mL"))
    check("B", 1201.6)
    check.report()
    _, first, second, sources = capsys.readouterr().out.splitlines()
    assert first.split() == ["ok", "a", "sum", "2.50", "2.52", "0.04", "L", "NIST811"]
    assert second.split() == ["ok", "a", "sum", "1200", "1202", "3", "common", "practice"]
    assert sources == "Sources: NIST811 (published)."


def test_reporting_nothing_is_a_failure():
    with pytest.raises(checks.CheckFailed, match="nothing"):
        checks.Checks().report()


@pytest.mark.parametrize(
    ("id", "computed", "words"),
    [
        ("no-such-row", 1.0, "no row"),
        ("M-UN01", 3.785, "has no unit"),
        ("M-UN01", Q(3.785, "kg"), "stated in L"),
        ("M-UN01", Q([1, 2], "L"), "one number"),
    ],
)
def test_a_check_that_cannot_be_made_says_why(id, computed, words):
    with pytest.raises(Problem, match=words):
        checks.compare(id, computed)


def test_not_a_number_is_off():
    assert not checks.compare("M-OX01", float("nan")).good
