"""Every stated value of data/checks.csv, computed through the public functions."""

import importlib
import json
import re
from pathlib import Path

import pytest
from stilltank.learning import checks
from stilltank.units import Problem, Q

HERE = Path(__file__).resolve().parent
TOPICS = sorted(path.stem for path in (HERE / "stated").glob("[a-z]*.py"))
COMPUTED = {
    id: compute
    for topic in TOPICS
    for id, compute in importlib.import_module(f"stated.{topic}").COMPUTED.items()
}


def test_the_workbook_starts_with_at_least_sixty_stated_values():
    assert len(checks.rows()) >= 60


@pytest.mark.parametrize("id", sorted(COMPUTED))
def test_computed_value_is_within_its_tolerance(id):
    comparison = checks.compare(id, COMPUTED[id]())
    assert comparison.good, comparison


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
